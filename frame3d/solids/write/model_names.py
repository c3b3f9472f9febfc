"""What members are called in model files, and what colour they have there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TypedDict

from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role, Side


class GltfSurface(TypedDict):
    """How a material takes the light (glTF 2.0, section 3.9.2)."""

    baseColorFactor: list[float]
    metallicFactor: float
    roughnessFactor: float


class GltfMaterial(TypedDict):
    """What members of one role look like (glTF 2.0, section 3.9)."""

    name: str
    pbrMetallicRoughness: GltfSurface


Colour = tuple[float, float, float]
"""Red, green and blue from 0 to 1, as a screen shows them (sRGB)."""

ROLE_COLOURS: dict[Role, Colour] = {
    Role.SOCKET: (0.36, 0.42, 0.50),
    Role.HOOP: (0.67, 0.71, 0.75),
    Role.SPLICE: (0.45, 0.58, 0.72),
    Role.RIDGE_JOINT: (0.33, 0.49, 0.66),
    Role.RAIL: (0.30, 0.60, 0.56),
    Role.BRACE: (0.83, 0.54, 0.25),
    Role.SILL_BOARD: (0.75, 0.62, 0.42),
    Role.SKIRT_BOARD: (0.72, 0.58, 0.38),
    Role.JOINT_BLOCK: (0.63, 0.49, 0.31),
    Role.HIP_BOARD: (0.78, 0.66, 0.47),
    Role.HIP_RAIL: (0.36, 0.63, 0.52),
    Role.END_STOP: (0.66, 0.55, 0.38),
    Role.TIE: (0.60, 0.45, 0.62),
    Role.KING_POST: (0.52, 0.40, 0.58),
    Role.WEB: (0.66, 0.52, 0.68),
    Role.GUSSET: (0.44, 0.40, 0.52),
    Role.STUD: (0.80, 0.70, 0.50),
    Role.GIRT: (0.74, 0.64, 0.46),
    Role.WALL_SILL: (0.66, 0.54, 0.36),
    Role.WALL_BRACE: (0.80, 0.58, 0.32),
    Role.DOOR_JAMB: (0.72, 0.52, 0.34),
    Role.DOOR_HEADER: (0.72, 0.52, 0.34),
    Role.THRESHOLD: (0.58, 0.46, 0.32),
    Role.DOOR_LEAF: (0.55, 0.66, 0.72),
    Role.HINGE: (0.28, 0.28, 0.30),
    Role.DOOR_TRACK: (0.40, 0.46, 0.52),
    Role.ROLL_TUBE: (0.50, 0.58, 0.64),
    Role.TRACK_NAILER: (0.70, 0.58, 0.40),
    Role.BRACKET: (0.42, 0.40, 0.46),
    Role.CURTAIN_GUIDE: (0.46, 0.54, 0.60),
    Role.FLOOR_GUIDE: (0.42, 0.40, 0.46),
    Role.CHANNEL: (0.78, 0.80, 0.84),
    Role.CURTAIN_TUBE: (0.50, 0.58, 0.64),
    Role.CURTAIN_SCREW: (0.28, 0.28, 0.30),
    Role.CURTAIN_CLIP: (0.36, 0.38, 0.42),
    Role.CORD_EYE: (0.36, 0.38, 0.42),
    Role.WINDER: (0.72, 0.30, 0.26),
    Role.GUIDE_POST: (0.46, 0.54, 0.60),
    Role.CHANNEL_SCREW: (0.28, 0.28, 0.30),
    Role.CLAMP: (0.58, 0.36, 0.36),
    Role.BOLT: (0.28, 0.28, 0.30),
    Role.NUT: (0.34, 0.34, 0.36),
    Role.WASHER: (0.52, 0.52, 0.54),
    Role.SCREW: (0.28, 0.28, 0.30),
}
_OTHER: Colour = (0.60, 0.60, 0.60)


def role_colour(role: Role) -> Colour:
    """The colour of ``role`` in every model file."""
    return ROLE_COLOURS.get(role, _OTHER)


def role_material(role: Role) -> GltfMaterial:
    """The material of ``role`` as glTF 2.0 has it."""
    return {
        "name": role.value,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*_linear(role_colour(role)), 1.0],
            "metallicFactor": 0.2,
            "roughnessFactor": 0.6,
        },
    }


def _linear(colour: Colour) -> list[float]:
    """``colour`` from sRGB to linear light (IEC 61966-2-1)."""
    return [round(v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4, 6) for v in colour]


def member_name(member: Member, part: str | None = None) -> str:
    """Mark and spot, for example ``H1 hoop 3 left`` or ``R2 hoops 1-4 right 2``.

    ``part`` is what its part is called, if not by its mark. The last number is the member's place
    among its kind there, from the second on.
    """
    spot = member.spot
    if spot.to_hoop is None or spot.to_hoop == spot.hoop:
        place = f"hoop {spot.hoop}"
    else:
        place = f"hoops {spot.hoop}-{spot.to_hoop}"
    # In the middle of a hoop there is no other side to tell it from.
    side = "" if spot.side is Side.MIDDLE else f" {spot.side.value}"
    order = f" {spot.order}" if spot.order > 1 else ""
    return f"{part or member.mark} {place}{side}{order}"


def member_names(members: Iterable[Member], unmade: Iterable[Unmade] = ()) -> list[str]:
    """The name of each member, with a number behind it where a spot holds several.

    That of a member of a part in ``unmade`` begins with what the model lacks of it.
    """
    called = names_in_model(unmade)
    seen: Counter[str] = Counter()
    names = []
    for member in members:
        name = member_name(member, called.get(member.mark))
        seen[name] += 1
        names.append(f"{name} ({seen[name]})" if seen[name] > 1 else name)
    return names
