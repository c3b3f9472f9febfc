"""Curtains of roll-up doors: whether they open, clear the wall, and can be wound."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import name_of, numbers
from frame3d.checks.rules.curtains import (
    HAND_MM,
    HARDWARE,
    HIGHEST_MM,
    MOST_FORCE_N,
    is_within,
    swings_into,
)
from frame3d.design.tables.whole_design import CoverListed
from frame3d.errors import present
from frame3d.frame.model.fittings import CrankHandle
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.skin.door_curtains import DoorCurtain, door_curtains

_GEOMETRY = "geometry of the frame"
BAR = Rule(
    name="door-curtain-bar",
    severity=Severity.WARNING,
    meaning="The bar of an open roll-up door hangs into its clear opening.",
    source=_GEOMETRY,
)
ROLL = Rule(
    name="door-curtain-roll",
    severity=Severity.ERROR,
    meaning="The roll of an open roll-up door reaches the wall behind it.",
    source=_GEOMETRY,
)
CRANK = Rule(
    name="door-curtain-crank",
    severity=Severity.WARNING,
    meaning="The crank of a roll-up door hangs where it cannot be turned.",
    source=COMMON_PRACTICE,
)
FORCE = Rule(
    name="door-curtain-force",
    severity=Severity.WARNING,
    meaning="The crank of a roll-up door is hard to turn.",
    source=COMMON_PRACTICE,
)
NONE = Rule(
    name="door-curtain-none",
    severity=Severity.WARNING,
    meaning="A roll-up door has no curtain in the lists, though the cover is listed as parts.",
    source=COMMON_PRACTICE,
)
RULES = (BAR, ROLL, CRANK, FORCE, NONE)

_BEHIND_MM = 40.0
"""From the tube to the wall, as the door's frame is laid out."""
_OWN = frozenset({Role.CURTAIN_GUIDE, Role.BRACKET, Role.ROLL_TUBE})
"""Of the door itself: the crank hangs before them, and is held out from the wall to turn it."""
_LOWEST_MM = 500.0
"""Of a handle that people turn standing (common practice, no source)."""


def check_door_curtains(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`; none without a roll-up door."""
    found = [finding for one in door_curtains(frame) for finding in _of_door(frame, one)]
    is_listed = frame.design.cover.listed_as is CoverListed.PARTS
    if is_listed and frame.design.curtain is None:
        found += [
            Finding(
                rule=NONE, where=door.where, field="curtain",
                members=tuple(m for m in frame.of(Role.ROLL_TUBE)), required=1.0, provided=0.0,
                unit="", message=f"The {name_of(frame, door)} rolls up and has no curtain.",
                advice="Add [curtain], or order film, bar, clips and crank yourself.",
            )
            for door in frame.doors if door.roll is not None
        ]  # fmt: skip
    return found


def _finding(
    frame: Frame, one: DoorCurtain, rule: Rule, field: str, required: float, provided: float,
    message: str, advice: str, *, unit: str = "mm", is_most: bool = False,
    against: str = "",
) -> Finding:  # fmt: skip
    """``{0}`` and ``{1}`` in the message are what is provided and what is required."""
    said = numbers(frame, required, provided, unit=unit, is_most=is_most)
    about = Role.WINDER if rule in (CRANK, FORCE) else Role.CURTAIN_TUBE
    start, end = one.roll.start_x_mm - 100, one.roll.end_x_mm + 100
    members = tuple(
        m for m in frame.of(about)
        if m.spot.hoop == _hoop(frame, one) and start <= m.placement.origin[0] <= end
        and abs(m.placement.origin[1] - one.roll.y_mm) < 100
    )  # fmt: skip
    return Finding(
        rule=rule, where=one.door.where, field=field, against=against, members=members,
        required=required, provided=provided, unit=unit, is_most=is_most,
        message=message.format(said.provided, said.required, name_of(frame, one.door)),
        advice=advice,
    )  # fmt: skip


def _hoop(frame: Frame, one: DoorCurtain) -> int:
    return 1 if one.roll.out < 0 else len(frame.grid.hoop_y_mm)


def _of_door(frame: Frame, one: DoorCurtain) -> Iterable[Finding]:
    curtain = present(frame.design.curtain, "curtain")
    under = one.open_z_mm - curtain.tube.od_mm / 2
    if under < one.door.top_mm - 1e-6:
        yield _finding(
            frame, one, BAR, "curtain.tube", one.door.top_mm, under,
            "With the {2} open the underside of the bar is {0} above ground; the clear opening "
            "goes up to {1}.",
            "Use a thinner tube for the bar, or a deeper header.",
        )  # fmt: skip
    grown = (one.rolled_mm - one.roll.section.od_mm) / 2
    if grown > _BEHIND_MM - 1e-6:
        yield _finding(
            frame, one, ROLL, "curtain.film_thickness", _BEHIND_MM, grown,
            "The film on the tube of the {2} is {0} thick when it is open; there are {1} to the "
            "wall.",
            "Use thinner film.", is_most=True, against=f"{one.door.where}.height",
        )  # fmt: skip
    if one.force_n > MOST_FORCE_N:
        yield _finding(
            frame, one, FORCE, "curtain.crank_radius", MOST_FORCE_N, one.force_n,
            "The crank of the {2} takes {0} N, friction not counted; {1} N is the most for one "
            "hand.",
            "Use a longer crank, or a lighter bar.", unit="", is_most=True,
        )  # fmt: skip
    yield from _crank(frame, one)


def _crank(frame: Frame, one: DoorCurtain) -> Iterable[Finding]:
    """Whether the handle hangs at a height to turn, with nothing before it."""
    curtain = present(frame.design.curtain, "curtain")
    crank = next(
        m for m in frame.of_kind(CrankHandle, Role.WINDER)
        if m.placement.z[2] < -0.5 and m.spot.hoop == _hoop(frame, one)
        and abs(m.placement.origin[0] - one.crank_x_mm) < 100
    )  # fmt: skip
    x, y, z = crank.placement.origin
    handle = z - crank.part.arm_mm
    if handle > HIGHEST_MM + 1e-6:
        yield _finding(
            frame, one, CRANK, "curtain.shaft", HIGHEST_MM, handle,
            "The crank of the {2} hangs {0} above ground; {1} is as high as people turn well.",
            "Use a longer jointed shaft.", is_most=True,
        )  # fmt: skip
    elif handle < _LOWEST_MM - 1e-6:
        yield _finding(
            frame, one, CRANK, "curtain.shaft", _LOWEST_MM, handle,
            "The crank of the {2} hangs {0} above ground; people turn it well from {1}.",
            "Use a shorter jointed shaft.",
        )  # fmt: skip
    reach = curtain.crank_radius + HAND_MM
    along = sorted((y + one.roll.out * 10.0, y + one.roll.out * reach))
    struck = [
        m.role.value for m in frame.members
        if m.role not in SKIN | HARDWARE | _OWN
        and is_within(m, (x - reach, x + reach), (along[0], along[1]),
                      (handle - 2 * HAND_MM, handle + HAND_MM))
    ]  # fmt: skip
    doors = [
        f"open {name_of(frame, door)}" for door in frame.doors
        if swings_into(door, one.door.end, x, reach)
    ]  # fmt: skip
    if what := (struck or doors):
        yield Finding(
            rule=CRANK, where=one.door.where, field=f"{one.door.where}.hand", members=(crank,),
            required=reach, provided=0.0, unit="mm",
            message=f"The {what[0]} stands in the circle of the crank of the "
            f"{name_of(frame, one.door)}.",
            advice="Wind the door at its other side (hand), or use a shorter crank.",
        )  # fmt: skip
