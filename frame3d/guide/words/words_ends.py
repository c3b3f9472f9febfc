"""Words of end walls, doors, hips, and of the inspection before covering."""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.design.tables.ends import EndWall, StudFoot, WallAnchors
from frame3d.design.tables.whole_design import DoorKind, Hip
from frame3d.frame.describe.wall_feet import sentences_of_end
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Bolt, Nut, Screw
from frame3d.frame.model.roles import SKIN, Role, Side
from frame3d.frame.space.sweeps import clear_width_mm
from frame3d.guide.steps.figures import axis_ends
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.guide.steps.steps import given
from frame3d.guide.words.words_lines import bolts_check, in_order
from frame3d.site.earthwork.end_walls import anchored
from frame3d.site.survey import site_of
from frame3d.site.write.door_words import (
    clearance_of,
    door_answers,
    step_sentences,
    struck_at,
)
from frame3d.site.write.wall_words import sill_sentences

_WHOLE = "{} in the whole frame"
_DIG = (
    "What holds the sill goes into the ground: have buried cables and pipes located before you "
    "dig or drive."
)
_KINDS = {
    DoorKind.HINGED: "hinged", DoorKind.SLIDING: "sliding", DoorKind.ROLL_UP: "roll-up",
}  # fmt: skip


def walls(site: StepContext) -> Words:
    """The frame of an end wall with the frames of its doors."""
    end, members = given(site.step.end), site.step.members
    roles = {member.role for member in members}
    openings = _openings(site)
    do, then, cautions = _feet(site)
    do.append(
        "Set the studs and jambs at the positions listed: centre distances from the middle "
        "of the tunnel, left and right as seen from the front. Plumb each one both ways, "
        "fasten its foot, then its top to the hoop."
    )
    do += then
    if Role.DOOR_HEADER in roles:
        do.append(
            "Fit the header level between the jambs. Before fastening it for good, measure "
            "the opening: width at top, middle and bottom, height at both sides, both "
            "diagonals."
        )
    if _has_short_studs(site):
        do.append(
            "Then set the short studs that stand on the header, and fasten them to header and hoop."
        )
    if Role.THRESHOLD in roles:
        do.append("Set the threshold level between the jambs.")
    if Role.TRACK_NAILER in roles:
        do.append(
            "Fit the track nailers between the studs, level with the header and flush with "
            "the front of the studs."
        )
    if Role.GIRT in roles:
        do.append("Fit the girts level; the heights listed are to their centres.")
    if Role.WALL_BRACE in roles:
        do.append("Fit the braces from the studs to the next hoop before the wall is covered.")
    return Words(
        title=f"Frame the {end.value} end wall",
        aim=f"Studs from the {'sill' if _on_sill(site) else 'ground'} to the hoop"
        + (", and square door openings." if openings else "."),
        cautions=(*cautions, "A covered end wall catches wind: cover it only when its braces "
                             "and the tunnel's braces are in."),
        do=tuple(do),
        checks=(
            *(check for door in openings for check in _opening_checks(site, door)),
            Check(what="Studs and jambs plumb, both ways", figure="all of them"),
            *bolts_check(site),
        ),
    )  # fmt: skip


def _feet(site: StepContext) -> tuple[list[str], list[str], list[str]]:
    """What is done about the studs' feet before and after they stand, and its cautions."""
    has_sill = any(member.role is Role.WALL_SILL for member in site.step.members)
    wall = _wall(site)
    own = site_of(site.frame)
    gaps = [text for one in own.walls if one.end is site.step.end
            for text in sill_sentences(own, one)]  # fmt: skip
    if _on_sill(site):
        do = ["Set the wall's sill level, in line with the end hoop.", *gaps, *_anchored(site)]
        return do, [], [_DIG] if any(m.role is Role.WALL_ANCHOR for m in site.step.members) else []
    do = [
        f"Dig or drive for the studs and jambs: each goes {site.say(wall.embedment)} into the "
        "ground."
    ]
    on_edge = "Fix the sill on edge along the outside of the studs, level."
    then = [on_edge, *gaps] if has_sill else []
    return do, then, ["Studs go into the ground: have buried cables and pipes located before "
                      "you dig or drive."]  # fmt: skip


def _anchored(site: StepContext) -> list[str]:
    """How the sill is held to the ground, or that others see to it."""
    end, spec = given(site.step.end), _wall(site)
    do = list(sentences_of_end(site.frame, end))
    pieces = anchored(site.frame, end)
    if not pieces:
        return do
    places = "; ".join(
        f"{one.member.mark} {_from_middle(site, (one.low_x_mm + one.high_x_mm) / 2)}, top "
        f"{site.say(one.above_mm)} above its ground" for one in pieces
    )  # fmt: skip
    how = {
        WallAnchors.STAKES: "Drive the stakes plumb against the inner edge of the sill",
        WallAnchors.POSTS: "Dig for the posts, set them plumb against the inner edge of the sill",
        WallAnchors.GROUND_ANCHORS: "Turn the ground anchors in along the inner edge of the sill",
    }[spec.anchors]
    until = "the lug lies on the sill" if spec.anchors is WallAnchors.GROUND_ANCHORS else (
        "the top is level with that of the sill"
    )  # fmt: skip
    return [*do, f"{how} until {until}, and screw the sill to them: {places}."]


def _from_middle(site: StepContext, x_mm: float) -> str:
    side = "left" if x_mm < 0 else "right"
    return f"{site.say(abs(x_mm))} {side}"


def _wall(site: StepContext) -> EndWall:
    """What the design has for the wall of this step."""
    return next(one for one in site.frame.design.end_wall if site.step.end in one.at.each)


def _on_sill(site: StepContext) -> bool:
    """Whether the studs stand on a sill, and not in the ground."""
    return _wall(site).stud_foot is StudFoot.SILL


def _has_short_studs(site: StepContext) -> bool:
    """Whether studs stand over a door; a clamped one hangs a little past its header."""
    headers = [axis_ends(m)[0][2] for m in site.step.members if m.role is Role.DOOR_HEADER]
    feet = [axis_ends(m)[0][2] for m in site.step.members if m.role is Role.STUD]
    return any(foot > min(headers) / 2 for foot in feet) if headers else False


def doors(site: StepContext) -> Words:
    """What hangs in the door openings."""
    roles = {member.role for member in site.step.members}
    openings, do = _openings(site), []
    if Role.BRACKET in roles:
        do.append("Fix the brackets or bearings above the opening first, all level.")
    if Role.DOOR_TRACK in roles:
        do.append(
            "Set the track level in its brackets and fasten it. Rollers come from your "
            "supplier and are not drawn: follow the supplier's instructions."
        )
    if Role.DOOR_LEAF in roles:
        do.append(
            "Assemble each leaf flat: stiles, ledges and braces. Make its diagonals equal "
            "before the last screws go in."
        )
    if any(door.kind is DoorKind.HINGED for door in openings):
        do.append(
            "Wedge the leaf in place with an even gap. Mark and fasten its hinges, take "
            "the wedges out, and swing it all the way."
        )
    if Role.ROLL_TUBE in roles:
        do.append(
            "Hang the roll tube level. Its curtain, bar and crank come when all else is covered."
            if site.frame.design.curtain is not None
            else "Hang the roll tube level. Curtain and crank come from your supplier and are not "
            "drawn."
        )
    if Role.CURTAIN_GUIDE in roles:
        do.append(
            "Fix the guides plumb in front of the curtain's edges, so that it runs between "
            "them and the wall."
        )
    if Role.FLOOR_GUIDE in roles:
        do.append(
            "Fix the floor guides at the foot of the jambs, and slide each leaf all the "
            "way: it must run freely."
        )
    cautions = []
    if Role.DOOR_LEAF in roles:
        cautions.append("Two people hold a leaf until its hinges or rollers carry it.")
        do.append(
            "Fasten the doors shut, or take the leaves off, until the end wall is covered: "
            "a loose leaf swings in the wind."
        )
    if Role.ROLL_TUBE in roles:
        cautions.append("Two people hold the roll tube until its brackets carry it.")
    return Words(
        title=f"Hang the doors of the {given(site.step.end).value} end",
        aim="; ".join(
            f"{_KINDS[door.kind]} door, opening {site.say(door.width_mm)} by "
            f"{site.say(door.height_mm)}" for door in openings
        ).capitalize() + ".",
        cautions=tuple(cautions),
        do=(*do, *(told for door in openings for told in _at_the_ground(site, door))),
        checks=(
            *(
                Check(what=f"Clear opening of the {_KINDS[door.kind]} door, open, width by height",
                      figure=f"{site.say(clear_width_mm(door))} by {site.say(door.height_mm)}")
                for door in openings
            ),
            *(check for door in openings for check in _leaf_checks(site, door)),
            *bolts_check(site),
        ),
    )  # fmt: skip


def _at_the_ground(site: StepContext, door: DoorOpening) -> Iterator[str]:
    """The step at a door and what is done about it, where the ground was measured."""
    ground = site_of(site.frame)
    if site.frame.ground is not None:
        yield from step_sentences(ground, door)
        yield from door_answers(ground, ground.under(door))


def _leaf_checks(site: StepContext, door: DoorOpening) -> tuple[Check, ...]:
    """What is clear under a leaf on its whole way, on ground that was measured or is level."""
    under = site_of(site.frame).under(door)
    if under.struck is None:
        return ()
    at = struck_at(site.frame, under)
    return (
        Check(what=f"Under a leaf of the {_KINDS[door.kind]} door over the highest ground on its "
              f"way,{at}" if at else
              f"Under a leaf of the {_KINDS[door.kind]} door, over level ground",
              figure=clearance_of(site.frame, under)),
    )  # fmt: skip


def hips(site: StepContext) -> Words:
    """What bounds the side openings at the top, and the boards at their ends."""
    opening, vent = given(site.frame.design.side_opening), site.frame.vents[0]
    board = opening.hip is Hip.BOARD
    role = Role.HIP_BOARD if board else Role.HIP_RAIL
    name = "hip board" if board else "hip rail"
    lines = {
        side: in_order(m for m in site.step.members if m.role is role and m.spot.side is side)
        for side in (Side.LEFT, Side.RIGHT)
    }
    do = [
        f"Left side from the front: {lines[Side.LEFT]}. Right side: {lines[Side.RIGHT]}.",
        f"The middle of the {name} is {site.say(opening.height)} above level ground. "
        f"Stretch a string along the hoops there, and fix the {name} to the outside of "
        "every hoop.",
    ]
    if any(member.role is Role.JOINT_BLOCK for member in site.step.members):
        do.append("Put a joint block on the inside behind each joint, as at the sill boards.")
    if any(member.role is Role.END_STOP for member in site.step.members):
        do.append("Fit the end stops upright, from sill to hip: the curtain closes against them.")
    if site.frame.design.curtain is None:
        do.append(
            "The roll-up pipe, its clips and the crank come from your supplier; they are not drawn "
            "and not in the lists."
        )
    return Words(
        title=f"Fit the {name}s",
        aim="A straight line to fix the film to. Below it the film hangs free to the sill board "
            "and rolls up to open the side.",
        do=tuple(do),
        checks=(
            Check(what=f"Middle of the {name} above level ground",
                  figure=site.say(opening.height)),
            Check(what="Side opening, from its lower to its upper edge along the hoops",
                  figure=site.say(vent.girth_mm)),
            *bolts_check(site),
        ),
    )  # fmt: skip


def inspect(site: StepContext) -> Words:
    """Everything looked at once more before wind can get hold of it."""
    frame = site.frame
    parts = [member.part for member in frame.members if member.role not in SKIN]
    later = any(isinstance(member.part, Screw) for member in frame.of(*SKIN))
    screws = "Screws in the frame, without those of the cover" if later else _WHOLE.format("Screws")
    counts = [
        (what, sum(isinstance(part, kind) for part in parts))
        for what, kind in (
            (_WHOLE.format("Bolts"), Bolt),
            (_WHOLE.format("Nuts"), Nut),
            (screws, Screw),
        )
    ]
    cautions = [
        "One gust can take a covered frame that is not braced and bolted; bracing and "
        "bolts alone do not make it fit for your wind and snow."
    ]
    if site.number_of(Phase.BRACES) is None:
        cautions.append(
            "This design has no braces along its sides. Leave the temporary braces in, and "
            "ask a licensed professional what braces the frame along its length before you "
            "cover it."
        )
    own = bool(site.step.fixings)
    return Words(
        title="Inspect everything before covering",
        aim="Every bolt in and tight, nothing sharp where the film will touch.",
        cautions=tuple(cautions),
        do=(
            "Go along each side and each end and put a hand on every bolt and screw.",
            "File off burrs, turn bolt ends away from the film, and tape anything still sharp.",
            "Check diagonals, spacing and plumb again; if the frame has moved, correct it now.",
            "Have the frame inspected, where your local code asks for it.",
        ),
        checks=(
            *(Check(what=what, figure=str(n)) for what, n in counts if n),
            Check(what="Temporary nails and loose bolts left in the frame", figure="none"),
            Check(what="Wind forecast for covering day", figure="calm"),
        ),
        why_bare="" if own else "It inspects what earlier steps put up.",
    )


def _openings(site: StepContext) -> list[DoorOpening]:
    return [door for door in site.frame.doors if door.end is site.step.end]


def _opening_checks(site: StepContext, door: DoorOpening) -> tuple[Check, ...]:
    diagonal = math.hypot(door.width_mm, door.height_mm)
    return (
        Check(what=f"Opening of the {_KINDS[door.kind]} door between its jambs, width by height",
              figure=f"{site.say(door.width_mm)} by {site.say(door.height_mm)}"),
        Check(what="Both diagonals of that opening", figure=f"{site.say(diagonal)}, equal"),
    )  # fmt: skip
