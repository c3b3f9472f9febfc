"""The one table of colours: of model files, pictures, the viewer and its legend.

Nobody tells forty colours apart, so roles that belong together share one, and a legend has ten
entries. Each has a colour for light grounds, which files and pictures have too, and one for dark
ones, where the same would be lost. Hoops are what one looks at: they stand out from both grounds.

References
----------
Colours for light grounds: P. Tol, "Colour Schemes", SRON/EPS/TN/09-002, issue 3.2 (2021), the
scheme *muted*, made to be told apart by the colour-blind, and a dark grey (values from memory).
Those for dark grounds are our own. Both are held by a test against simulated colour-blindness.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.frame.model.roles import Role

Colour = tuple[float, float, float]
"""Red, green and blue from 0 to 1, as a screen shows them (sRGB)."""


class ColourGroup(Struct, frozen=True, kw_only=True):
    """Roles that a legend shows as one.

    Parameters
    ----------
    name : str
        What the legend calls them.
    light, dark : str
        Their colour on light grounds and in files, and on dark grounds, ``#rrggbb``.
    roles : tuple of Role
    """

    name: str
    light: str
    dark: str
    roles: tuple[Role, ...]


LIGHT_GROUND, DARK_GROUND = "#dfe1d8", "#2a2f33"
"""What the frame stands on in the viewer's two themes."""

COLOUR_GROUPS: tuple[ColourGroup, ...] = (
    ColourGroup(
        name="hoops", light="#332288", dark="#7de8f4",
        roles=(Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT),
    ),
    ColourGroup(name="sockets", light="#882255", dark="#7c586c", roles=(Role.SOCKET,)),
    ColourGroup(
        name="rails", light="#117733", dark="#556931", roles=(Role.RAIL, Role.HIP_RAIL),
    ),
    ColourGroup(
        name="braces", light="#cc6677", dark="#ff9c84", roles=(Role.BRACE, Role.WALL_BRACE),
    ),
    ColourGroup(
        name="ties", light="#aa4499", dark="#c68af3",
        roles=(Role.TIE, Role.KING_POST, Role.WEB, Role.GUSSET),
    ),
    ColourGroup(
        name="side boards", light="#ddcc77", dark="#fee763",
        roles=(
            Role.SILL_BOARD, Role.SKIRT_BOARD, Role.JOINT_BLOCK, Role.HIP_BOARD, Role.END_STOP,
        ),
    ),
    ColourGroup(
        name="end walls", light="#999933", dark="#8b9c26",
        roles=(Role.STUD, Role.GIRT, Role.WALL_SILL, Role.WALL_ANCHOR, Role.WALL_SKIRT),
    ),
    ColourGroup(
        name="doors", light="#44aa99", dark="#59a0a2",
        roles=(
            Role.DOOR_JAMB, Role.DOOR_HEADER, Role.THRESHOLD, Role.DOOR_LEAF, Role.HINGE,
            Role.DOOR_TRACK, Role.ROLL_TUBE, Role.TRACK_NAILER, Role.BRACKET,
            Role.CURTAIN_GUIDE, Role.FLOOR_GUIDE,
        ),
    ),
    ColourGroup(
        name="cover and curtains", light="#88ccee", dark="#4d63b6",
        roles=(
            Role.CHANNEL, Role.CURTAIN_TUBE, Role.CURTAIN_CLIP, Role.CORD_EYE, Role.WINDER,
            Role.GUIDE_POST, Role.FILM, Role.WIRE, Role.CORD,
        ),
    ),
    ColourGroup(
        name="clamps, bolts, screws", light="#262626", dark="#dafed8",
        roles=(
            Role.CLAMP, Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW, Role.CHANNEL_SCREW,
            Role.CURTAIN_SCREW,
        ),
    ),
)  # fmt: skip
"""Every role once, in the order of the legend."""

_GROUP_OF: dict[Role, ColourGroup] = {
    role: group for group in COLOUR_GROUPS for role in group.roles
}


def colour_group(role: Role) -> ColourGroup:
    """The group that ``role`` belongs to."""
    return _GROUP_OF[role]


def role_colour(role: Role) -> Colour:
    """The colour of ``role`` in every model file and picture."""
    return shares(colour_group(role).light)


def shares(colour: str) -> Colour:
    """Red, green and blue from 0 to 1 of ``#rrggbb``."""
    # As many digits as files are written with.
    red, green, blue = (round(int(colour[k : k + 2], 16) / 255, 4) for k in (1, 3, 5))
    return red, green, blue
