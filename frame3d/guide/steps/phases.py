"""The phases of the work in their order, and which members each has.

Glossary
--------
phase : a kind of work, for example driving the sockets.
made part : a part that is made or cut, and so no hardware.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable

from frame3d.design.tables.ends import End
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.figures import axis_ends


class Phase(enum.Enum):
    """A kind of work; in the order in which it is done (common practice, no source)."""

    PREPARE = "prepare"
    STAKE = "stake"
    SOCKETS = "sockets"
    HOOPS = "hoops"
    RAISE = "raise"
    RIDGE = "ridge"
    RAILS = "rails"
    BRACES = "braces"
    SILLS = "sills"
    TIES = "ties"
    WALLS = "walls"
    DOORS = "doors"
    HIPS = "hips"
    INSPECT = "inspect"
    CHANNEL = "channel"
    COVER = "cover"
    CURTAINS = "curtains"


PHASE_OF_ROLE = {
    Role.SOCKET: Phase.SOCKETS,
    Role.HOOP: Phase.HOOPS,
    Role.SPLICE: Phase.HOOPS,
    Role.RIDGE_JOINT: Phase.HOOPS,
    Role.BRACE: Phase.BRACES,
    Role.SILL_BOARD: Phase.SILLS,
    Role.SKIRT_BOARD: Phase.SILLS,
    Role.HIP_BOARD: Phase.HIPS,
    Role.HIP_RAIL: Phase.HIPS,
    Role.END_STOP: Phase.HIPS,
    Role.TIE: Phase.TIES,
    Role.KING_POST: Phase.TIES,
    Role.WEB: Phase.TIES,
    Role.GUSSET: Phase.TIES,
    Role.STUD: Phase.WALLS,
    Role.GIRT: Phase.WALLS,
    Role.WALL_SILL: Phase.WALLS,
    Role.WALL_BRACE: Phase.WALLS,
    Role.WALL_ANCHOR: Phase.WALLS,
    Role.WALL_SKIRT: Phase.WALLS,
    Role.DOOR_JAMB: Phase.WALLS,
    Role.DOOR_HEADER: Phase.WALLS,
    Role.THRESHOLD: Phase.WALLS,
    Role.DOOR_LEAF: Phase.DOORS,
    Role.HINGE: Phase.DOORS,
    Role.DOOR_TRACK: Phase.DOORS,
    Role.ROLL_TUBE: Phase.DOORS,
    Role.TRACK_NAILER: Phase.WALLS,
    Role.BRACKET: Phase.DOORS,
    Role.CURTAIN_GUIDE: Phase.DOORS,
    Role.FLOOR_GUIDE: Phase.DOORS,
    Role.CHANNEL: Phase.CHANNEL,
    Role.CURTAIN_TUBE: Phase.CURTAINS,
    Role.CURTAIN_SCREW: Phase.CURTAINS,
    Role.CURTAIN_CLIP: Phase.CURTAINS,
    Role.CORD_EYE: Phase.CURTAINS,
    Role.WINDER: Phase.CURTAINS,
    Role.GUIDE_POST: Phase.CURTAINS,
    Role.CHANNEL_SCREW: Phase.CHANNEL,
}
"""Where parts go by their role alone: all but rails and joint blocks."""
AT_ENDS = (Phase.WALLS, Phase.DOORS)
"""Phases that are done end by end."""


def made_members(frame: Frame) -> tuple[Member, ...]:
    """The members of ``frame`` that are no hardware, in order."""
    return tuple(m for m in frame.members if not m.part.is_bought)


def phase_of_made(frame: Frame) -> dict[int, Phase]:
    """The phase of every made member, by the identity of the member."""
    made = made_members(frame)
    ridges = _ridge_rails(made)
    behind = {id(other): j.members[0] for j in frame.joints for other in j.members[1:]}
    found = {}
    for member in made:
        if member.role is Role.RAIL:
            phase = Phase.RIDGE if id(member) in ridges else Phase.RAILS
        elif member.role is Role.JOINT_BLOCK:
            phase = PHASE_OF_ROLE[behind[id(member)].role]  # of the board that it is bolted to
        else:
            phase = PHASE_OF_ROLE[member.role]
        found[id(member)] = phase
    return found


def place_of_made(frame: Frame, member: Member, phase: Phase) -> tuple[Phase, End | None]:
    """The phase of a made member and, where that is done end by end, the end it is at."""
    if phase not in AT_ENDS:
        return phase, None
    y_mm = member.placement.origin[1]
    if member.role is Role.WALL_BRACE:
        # Its low end is on a stud; in a short frame its high end may be nearer to the other wall.
        y_mm = axis_ends(member)[0][1]
    front = y_mm < frame.grid.length_mm / 2
    return phase, End.FRONT if front else End.BACK


def _ridge_rails(made: Iterable[Member]) -> set[int]:
    """Rails that have no twin on the other side: there is one under the ridge at most."""
    lines: dict[tuple[float, float], list[Member]] = {}
    for member in made:
        if member.role is Role.RAIL:
            x, _, z = member.placement.origin
            lines.setdefault((round(x, 1) + 0.0, round(z, 1)), []).append(member)
    return {
        id(member)
        for (x, z), group in lines.items()
        if abs(x) < 1.0 or (-x, z) not in lines
        for member in group
    }
