"""Curtains: whether they shut, roll up out of the way, and can be wound."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import name_of, numbers
from frame3d.design.tables.curtain import Curtain, Hangs
from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.errors import present
from frame3d.frame.model.fittings import CrankHandle
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.skin.curtain_figures import Curtains, curtains_of
from frame3d.frame.space.envelopes import reach_of

_GEOMETRY = "geometry of the frame"
LAP = Rule(
    name="curtain-lap",
    severity=Severity.WARNING,
    meaning="A shut curtain reaches less far below the top edge of the sill boards than is usual.",
    source=COMMON_PRACTICE,
)
LOW = Rule(
    name="curtain-low",
    severity=Severity.ERROR,
    meaning="A shut curtain's tube lies on the ground or hangs below the sill boards.",
    source=_GEOMETRY,
)
ROLL = Rule(
    name="curtain-roll",
    severity=Severity.ERROR,
    meaning="A rolled curtain leaves no opening under the hip.",
    source=_GEOMETRY,
)
POCKET = Rule(
    name="curtain-pocket",
    severity=Severity.WARNING,
    meaning="The pockets at the ends of a curtain have no closed side to lie on.",
    source=COMMON_PRACTICE,
)
FILM = Rule(
    name="curtain-film",
    severity=Severity.ERROR,
    meaning="Film in one sheet with the curtains is too narrow to go round their tubes.",
    source=_GEOMETRY,
)
CRANK = Rule(
    name="curtain-crank",
    severity=Severity.WARNING,
    meaning="There is no room to turn a curtain's crank.",
    source=COMMON_PRACTICE,
)
REACH = Rule(
    name="curtain-reach",
    severity=Severity.WARNING,
    meaning="A curtain's crank is higher than people can well turn it.",
    source=COMMON_PRACTICE,
)
FORCE = Rule(
    name="curtain-force",
    severity=Severity.WARNING,
    meaning="A curtain's crank is hard to turn.",
    source=COMMON_PRACTICE,
)
RULES = (LAP, LOW, ROLL, POCKET, FILM, CRANK, REACH, FORCE)

_LAP_MM, _GROUND_MM, _OPENING_MM = 100.0, 20.0, 200.0
HAND_MM = 75.0
"""Round a hand on the grip of a crank (common practice, no source)."""
_SLANT = math.radians(45)
"""How steep a jointed shaft is held (common practice, no source)."""
HIGHEST_MM = 1900.0
MOST_FORCE_N = 150.0
HARDWARE = frozenset({Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW, Role.CLAMP})


def check_curtains(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`; none without curtains."""
    curtains = curtains_of(frame)
    if curtains is None:
        return []
    design = present(frame.design.curtain, "curtain")
    return [
        *_shut(frame, design, curtains),
        *_open(frame, design, curtains),
        *_film(frame, design),
        *_turning(frame, design, curtains),
    ]


def _finding(
    frame: Frame, rule: Rule, field: str, required: float, provided: float,
    message: str, advice: str, *, unit: str = "mm", is_most: bool = False,
    against: str = "",
) -> Finding:  # fmt: skip
    """``{0}`` and ``{1}`` in the message are what is provided and what is required."""
    said = numbers(frame, required, provided, unit=unit, is_most=is_most)
    about = Role.WINDER if rule in (CRANK, REACH, FORCE) else Role.CURTAIN_TUBE
    return Finding(
        rule=rule, where="curtain", field=field, against=against, members=tuple(frame.of(about)),
        required=required, provided=provided, unit=unit, is_most=is_most,
        message=message.format(said.provided, said.required), advice=advice,
    )  # fmt: skip


def _shut(frame: Frame, design: Curtain, curtains: Curtains) -> Iterable[Finding]:
    if design.overlap < _LAP_MM - 1e-6:
        yield _finding(
            frame, LAP, "curtain.overlap", _LAP_MM, design.overlap,
            "The shut curtain reaches {0} below the top edge of the sill boards; {1} is usual.",
            "Make overlap larger.",
        )  # fmt: skip
    radius, sill = design.tube.od_mm / 2, present(frame.design.sill_board, "sill board")
    over = curtains.section.shut[1] - radius
    below = sill.timber.depth_mm - design.overlap
    room = min(over - _GROUND_MM, below - radius)
    if room < -1e-6:
        yield _finding(
            frame, LOW, "curtain.overlap", design.overlap, design.overlap + room,
            "The tube of the shut curtain would lie on the ground or below the sill boards; there "
            "is room for an overlap of {0}, and {1} are asked for.",
            "Make overlap smaller, or use deeper sill boards.", against="sill_board.timber",
        )  # fmt: skip
    half = frame.arch.tube_od_mm / 2
    closed = frame.vents[0].start_y_mm + half
    if design.pocket > closed + 1e-6:
        yield _finding(
            frame, POCKET, "side_opening.end_stop", design.pocket, closed,
            "The side is closed for {0} at each end of its opening; the pocket is {1} wide.",
            "Make end_stop of the side opening longer, or pocket of the curtain narrower.",
        )  # fmt: skip


def _open(frame: Frame, design: Curtain, curtains: Curtains) -> Iterable[Finding]:
    section = curtains.section
    left = section.opened(curtains.rolled_mm)[1] - curtains.rolled_mm / 2 - section.sill_top[1]
    if left < _OPENING_MM - 1e-6:
        yield _finding(
            frame, ROLL, "curtain.tube", _OPENING_MM, left,
            "With the curtain rolled up {0} is open; {1} is the least that is worth a curtain.",
            "Raise the hip, or use a thinner tube.", against="side_opening.height",
        )  # fmt: skip
    top = section.opened(curtains.rolled_mm)[1] + design.crank_radius
    if top > HIGHEST_MM + 1e-6:
        yield _finding(
            frame, REACH, "curtain.crank_radius", HIGHEST_MM, top,
            "The crank's handle goes up to {0} above ground; {1} is as high as people turn well.",
            "Use a shorter crank, or lower the hip.", is_most=True,
        )  # fmt: skip


def _film(frame: Frame, design: Curtain) -> Iterable[Finding]:
    if design.hangs is not Hangs.ONE_SHEET:
        return
    need = design.overlap + math.pi * design.tube.od_mm
    given = frame.design.cover.side_allowance
    if given < need - 1e-6:
        yield _finding(
            frame, FILM, "cover.side_allowance", need, given,
            "The film has {0} below the top edge of the sill boards; overlap and one turn round "
            "the tube take {1}.",
            "Make side_allowance of the cover larger.", against="curtain.overlap",
        )  # fmt: skip


def _turning(frame: Frame, design: Curtain, curtains: Curtains) -> Iterable[Finding]:
    radius = design.crank_radius + HAND_MM
    low = curtains.section.shut[1] + design.shaft * math.sin(_SLANT)
    if low < radius - 1e-6:
        yield _finding(
            frame, CRANK, "curtain.shaft", radius, low,
            "With the curtain shut the crank is {0} above ground; crank and hand need {1}.",
            "Use a longer jointed shaft or a shorter crank.",
        )  # fmt: skip
    if curtains.crank_force_n > MOST_FORCE_N:
        yield _finding(
            frame, FORCE, "curtain.winder", MOST_FORCE_N, curtains.crank_force_n,
            "The crank takes {0} N, friction not counted; {1} N is the most for one hand.",
            "Use a gear box, a longer crank or a lighter tube.", unit="", is_most=True,
        )  # fmt: skip
    yield from _in_the_way(frame, design, curtains)


def _in_the_way(frame: Frame, design: Curtain, curtains: Curtains) -> Iterable[Finding]:
    """Members and doors that stand in the circle of a crank, at any height that it has."""
    cranks = [m for m in frame.of_kind(CrankHandle, Role.WINDER) if abs(m.placement.z[1]) > 0.5]
    section, reach = curtains.section, design.crank_radius + HAND_MM
    heights = (section.shut[1] - reach, section.opened(curtains.rolled_mm)[1] + reach)
    for crank in cranks:
        x, y, _ = crank.placement.origin
        ends = sorted(
            y + crank.placement.z[1] * along
            for along in (crank.part.arm_mm, crank.part.arm_mm + 128.0)
        )
        struck = [
            member
            for member in frame.members
            if member.role not in SKIN | HARDWARE
            and is_within(member, (x - reach, x + reach), (ends[0], ends[1]), heights)
        ]
        doors = [door for door in frame.doors if swings_into(door, design.winder_end, x, reach)]
        if struck or doors:
            what = (f"{struck[0].role.value} {struck[0].mark}" if struck
                    else f"open {name_of(frame, doors[0])}")  # fmt: skip
            yield Finding(
                rule=CRANK, where="curtain", field="curtain.winder_end",
                members=(crank, *struck), required=reach, provided=0.0, unit="mm",
                message=f"The {what} stands in the circle of the crank.",
                advice="Wind the curtains at the other end, use a shorter crank, or move what is "
                "in the way.",
            )  # fmt: skip
            return


def is_within(
    member: Member, across: tuple[float, float], along: tuple[float, float],
    up: tuple[float, float],
) -> bool:  # fmt: skip
    """Whether a member reaches into a box, by what it takes up along each axis."""
    for axis, (low, high) in enumerate((across, along, up)):
        way = [0.0, 0.0, 0.0]
        way[axis] = 1.0
        top = reach_of(member, (way[0], way[1], way[2]))
        bottom = reach_of(member, (-way[0], -way[1], -way[2]))
        if top is None or bottom is None or top <= low or -bottom >= high:
            return False
    return True


def swings_into(door: DoorOpening, end: End, x: float, reach: float) -> bool:
    """Whether an open leaf of a door in that end may stand in the circle of the crank at ``x``."""
    if door.end is not end:
        return False
    for leaf in door.leaves:
        low, high = leaf.low_x_mm, leaf.high_x_mm
        if door.kind is DoorKind.HINGED and leaf.pin_x_mm is not None:
            low, high = leaf.pin_x_mm - leaf.width_mm, leaf.pin_x_mm + leaf.width_mm
        elif door.kind is DoorKind.SLIDING:
            low, high = min(low, low + leaf.slide_mm), max(high, high + leaf.slide_mm)
        if low < x + reach and high > x - reach:
            return True
    return False
