"""Words of what ties the hoops together: rails, braces, sill boards, ties."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frame3d.frame.describe.as_built import bay_text
from frame3d.frame.describe.places import numbers_text
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Bolt
from frame3d.frame.model.roles import Role, Side
from frame3d.guide.steps.figures import axis_ends, axis_points
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.guide.steps.steps import given, legs_bolted
from frame3d.guide.words.words_slopes import boards_bottom, boards_on_slopes

_LADDER = (
    "Work from a step ladder or platform on firm ground with somebody at its foot; never "
    "lean a ladder on a hoop, braced or not."
)
_WIND = "That says nothing about how much wind the frame can take."
_MOST_PIECES = 14


def ridge(site: StepContext) -> Words:
    """The rail under the ridge."""
    height = float(axis_points(site.step.members[0], 2)[0][2])
    return Words(
        title="Put on the ridge rail",
        aim="The hoops tied at the top, at their spacing.",
        cautions=(_LADDER, "Keep everybody else out from underneath."),
        do=(
            f"Put the pieces on one after another from the front: {in_order(site.step.members)}.",
            _joint(site),
            f"Hold each hoop at {bay_text(site.frame)} from the last while "
            f"its {_fastener(site)} goes in; keep everything hand tight until the last piece "
            "is on, then tighten all.",
            *_missing_holes(site),
        ),
        checks=(
            Check(what="Centre of the ridge rail above level ground",
                  figure=site.say(height)),
            *_spacing(site),
        ),
    )  # fmt: skip


def rails(site: StepContext) -> Words:
    """The rails along the sides."""
    lines = _lines(site.step.members)
    do = [
        "Do the lines in this order, both sides together, each from the front: "
        + "; ".join(
            f"line {index}, centre {site.say(height)} above level ground: {pieces}"
            for index, (height, pieces) in enumerate(lines, start=1)
        )
        + ".",
        _joint(site),
        f"Hold the hoops at {bay_text(site.frame)} while each "
        f"{_fastener(site)} goes in; tighten when the line is complete.",
        *_missing_holes(site),
    ]
    return Words(
        title="Put on the side rails",
        aim=f"{len(lines)} line{'s' if len(lines) > 1 else ''} of rail on each side.",
        cautions=(_LADDER,),
        do=tuple(do),
        checks=(
            *(
                Check(what=f"Centre of line {index} above level ground",
                      figure=site.say(height))
                for index, (height, _) in enumerate(lines, start=1)
            ),
            *_spacing(site),
        ),
    )  # fmt: skip


def braces(site: StepContext) -> Words:
    """Corner braces, before anything that catches wind."""
    bolted = _legs_later(site)
    return Words(
        title="Brace the frame",
        aim="Braces along the sides, in before anything goes on that catches wind. Whether they "
            "are enough is for your engineer.",
        cautions=(f"Keep the temporary braces until the last bolt of this step is tight{bolted}.",),
        do=(
            "Plumb the first and last hoops and hold them with ropes.",
            *_brace_places(site),
            "Slide the clamps on, set both ends at their heights, then tighten the bolts of the "
            "clamps evenly.",
            "Leave the temporary braces on. They come off, one by one, only when these braces "
            f"are tight{bolted}. {_WIND}",
        ),
        checks=(
            Check(what="First and last hoops plumb, by plumb line from the top",
                  figure=f"within {site.say(site.frame.design.tolerances.socket_spacing)}"),
            Check(what="Braces in", figure=str(len(site.step.members))),
            *bolts_check(site),
            Check(what="Temporary braces", figure=f"in place until these braces are tight{bolted}"),
        ),
    )  # fmt: skip


def _legs_later(site: StepContext) -> str:
    """What else temporary braces wait for where legs are bolted after this step."""
    last = max(legs_bolted(site.steps), default=0)
    if last <= site.step.number:
        return ""
    return f" and every leg is bolted to its socket (step {last})"


def _brace_places(site: StepContext) -> list[str]:
    """Where each brace begins and ends, those that differ only in side together."""
    found: dict[tuple[str, str], list[str]] = {}
    for member in site.step.members:
        low, high = axis_ends(member)
        rise = math.atan2(high[2] - low[2], math.hypot(high[0] - low[0], high[1] - low[1]))
        first, last = member.spot.hoop, member.spot.to_hoop or member.spot.hoop
        # Where the coupler sits, and not where the tube ends.
        heights = [
            site.say(_height_at(member, site.frame.grid.hoop_y_mm[hoop - 1]))
            for hoop in (first, last)
        ]
        text = (
            f"from hoop {first}, its centre {heights[0]} above ground, up to hoop {last} at "
            f"{heights[1]}; it rises at {site.form.angle(rise)}."
        )
        found.setdefault((member.mark, text), []).append(member.spot.side.value)
    return [
        f"{mark}, {' and '.join(sorted(sides))}: {text}" for (mark, text), sides in found.items()
    ]


def _height_at(member: Member, y_mm: float) -> float:
    """Height of a straight member's axis where it passes a place along the tunnel, mm."""
    low, high = axis_ends(member)
    share = (y_mm - low[1]) / (high[1] - low[1])
    return float(low[2] + share * (high[2] - low[2]))


def sills(site: StepContext) -> Words:
    """Sill boards with their joint blocks."""
    sill = given(site.frame.design.sill_board)
    left, right = (_boards(site, side) for side in (Side.LEFT, Side.RIGHT))
    blocks = sum(
        1 for member in site.step.members
        if member.role is Role.JOINT_BLOCK
        and not site.frame.joints_with(member, Role.SKIRT_BOARD)
    )  # fmt: skip
    bottom = boards_bottom(site)
    do = [
        f"Left side from the front: {left}.",
        f"Right side from the front: {right}.",
        f"{bottom.sentence} Boards stand on edge on the outside of the sockets.",
        "Take the nail out of each leg as its bolts go in: two bolts through board, socket "
        "and leg, heads outside, nuts hand tight only.",
    ]
    if blocks:
        do.append(
            "Board ends meet between hoops, not at a hoop. Put a "
            f"{site.say(sill.block_length)} joint block on the inside behind each joint, "
            f"with four bolts; there are {blocks}."
        )
    do += boards_on_slopes(site)
    do.append("When all boards are on and in line, tighten all bolts, from the middle outward.")
    braced = site.number_of(Phase.BRACES)
    if braced is not None and site.step.number == max(legs_bolted(site.steps), default=0):
        do.append(
            "Take the temporary braces off, one by one, only when every leg is bolted to its "
            f"socket and the braces of step {braced} are tight. {_WIND}"
        )
    return Words(
        title="Bolt on the sill boards",
        aim="Hoop feet tied together along both sides, and legs bolted to their sockets.",
        cautions=("Wear gloves with treated lumber, and do not burn the offcuts.",),
        do=tuple(do),
        checks=(
            Check(what=bottom.what, figure=bottom.figure),
            Check(what="Each leg bolted, nails out", figure="two bolts at every socket"),
            *bolts_check(site),
        ),
    )  # fmt: skip


def ties(site: StepContext) -> Words:
    """Ties with their posts and webs."""
    members = site.step.members
    found = [member for member in members if member.role is Role.TIE]
    heights = sorted({round(float(axis_points(m, 2)[0][2]), 3) for m in found})
    hoops_with = sorted({member.spot.hoop for member in found})
    do = [
        f"Ties stand on hoops {numbers_text(hoops_with)}, "
        f"{' and '.join(site.say(h) for h in heights)} above ground to their centre. Two "
        "people lift each one, one at each end; hold it level while it is fastened.",
    ]
    if any(member.role is Role.GUSSET for member in members):
        do.append(
            "Bolt the gusset plates to the hoops first, nuts hand tight, then the tubes to "
            "the plates."
        )
    if any(member.role is Role.KING_POST for member in members):
        do.append("Then the king posts, from the middle of the tie to the ridge, plumb.")
    if any(member.role is Role.WEB for member in members):
        do.append("Then the webs, one on each side, from the tie up to the hoop.")
    do.append("Tighten everything on one hoop before going to the next.")
    clear = [f"{site.say(tie.height - tie.tube.od_mm / 2)}" for tie in site.frame.design.tie]
    return Words(
        title="Fit the ties",
        aim="The two sides of a hoop tied together across the tunnel.",
        cautions=(_LADDER,
                  "Ties can also be fitted to a hoop on the ground, but then the hoop is heavier "
                  "to raise than this guide counts."),
        do=tuple(do),
        checks=(
            Check(what="Centre of a tie above level ground, at both ends",
                  figure=" and ".join(site.say(h) for h in heights)),
            Check(what="Height under a tie tube", figure=" and ".join(clear)),
            Check(what="Ties in", figure=str(len({(m.spot.hoop, round(m.placement.origin[2]))
                                                  for m in found}))),
            *bolts_check(site),
        ),
    )  # fmt: skip


def bolts_check(site: StepContext) -> tuple[Check, ...]:
    """How many bolts must be in and tight at the end of the step."""
    count = sum(1 for fixing in site.step.fixings if isinstance(fixing.member.part, Bolt))
    if not count:
        return ()
    return (Check(what="Bolts in, each with its nut, all tight", figure=str(count)),)


def in_order(members: Iterable[Member]) -> str:
    """The marks of members along the tunnel, from the front."""
    marks = [m.mark for m in sorted(members, key=lambda m: min(p[1] for p in axis_ends(m)))]
    if len(marks) > _MOST_PIECES:
        return f"{', '.join(marks[:10])} and so on to {marks[-1]}, {len(marks)} pieces"
    return ", ".join(marks)


def _lines(members: Iterable[Member]) -> list[tuple[float, str]]:
    """Lines of rail on a side, the highest first: height of the centre, pieces in order."""
    found: dict[float, dict[Side, list[Member]]] = {}
    for member in members:
        height = round(float(axis_points(member, 2)[0][2]), 1)
        side = Side.LEFT if member.placement.origin[0] < 0 else Side.RIGHT
        found.setdefault(height, {}).setdefault(side, []).append(member)
    lines = []
    for height in sorted(found, reverse=True):
        said = {side: in_order(group) for side, group in found[height].items()}
        if len(set(said.values())) == 1:
            lines.append((height, next(iter(said.values()))))
        else:
            lines.append((height, "; ".join(f"{s.value} {t}" for s, t in said.items())))
    return lines


def _boards(site: StepContext, side: Side) -> str:
    return in_order(
        member
        for member in site.step.members
        if member.role is Role.SILL_BOARD and member.spot.side is side
    )


def _joint(site: StepContext) -> str:
    if len(site.step.members) < 2:
        return "It is one piece."
    return (
        "The swaged end of a piece points to the back; push the next piece fully over it "
        "and drive one screw to hold the joint."
    )


def _is_bolted(site: StepContext) -> bool:
    """Whether the rails are bolted through, and not held by couplers."""
    return any(
        isinstance(fixing.member.part, Bolt)
        and not fixing.in_clamp
        and any(member.role is Role.RAIL for member in fixing.held)
        for fixing in site.step.fixings
    )


def _fastener(site: StepContext) -> str:
    return "bolt" if _is_bolted(site) else "clamp"


def _missing_holes(site: StepContext) -> tuple[str, ...]:
    if not _is_bolted(site):
        return ()
    draw = site.frame.design.tolerances.persuasion
    return (
        "Line up a hole that misses with a drift pin; you may pull a hoop along by up to "
        f"{site.say(draw)}. If it misses by more, stop and find the socket that is out of "
        "place. Do not burn or ream holes.",
    )


def _spacing(site: StepContext) -> tuple[Check, ...]:
    grid = site.frame.grid
    return (
        Check(what="Between hoops at this rail, centre to centre",
              figure=bay_text(site.frame)),
        Check(what="Between the first and the last hoop at this rail",
              figure=f"{site.say(grid.length_mm)}, as at the ground"),
        *bolts_check(site),
    )  # fmt: skip
