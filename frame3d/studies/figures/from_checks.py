"""Figures of the checks and of the room inside."""

from __future__ import annotations

import functools

from frame3d.checks.all_checks import rules
from frame3d.checks.rules import machines
from frame3d.frame.space.headroom import headroom_of
from frame3d.studies.figures.figure import Figure, FigureValue, Sources
from frame3d.studies.figures.records import value_in

_DIGITS = 3

RULE = "rule:"
"""Before the name of a rule: how often it finds something."""


def rule_names() -> tuple[str, ...]:
    """The names of all rules."""
    return tuple(rule.name for rule in rules())


def rule_figure(name: str) -> Figure:
    """How many findings the rule of that name has, accepted ones too."""
    words = f"Number of findings of the rule {name}, accepted ones too"
    return Figure(name=f"{RULE}{name}", words=words, unit="", of=functools.partial(_found, name))


def _found(name: str, sources: Sources) -> int:
    return sum(finding.rule.name == name for finding in sources.checks)


def _count(severity: str, sources: Sources) -> FigureValue:
    return value_in(sources.findings, f"counts.{severity}")


def _machines_fit(sources: Sources) -> bool:
    barred = {rule.name for rule in (machines.INSIDE, machines.DOOR, machines.WAY)}
    return not any(finding.rule.name in barred for finding in sources.checks)


def _machine_to_wall(sources: Sources) -> float | None:
    """The distance that the machine which stays farthest off keeps; None where one does not fit."""
    found = []
    for number, _ in enumerate(sources.frame.design.machine, start=1):
        for side in ("left", "right"):
            path = f"room.machines[{number}].nearest_to_{side}_wall_mm"
            found.append(value_in(sources.findings, path))
    sizes = [value for value in found if isinstance(value, float)]
    return max(sizes) if sizes and len(sizes) == len(found) else None


def _headroom(sources: Sources) -> float | None:
    """As the rules on headroom look, ties included."""
    rooms, clearance = headroom_of(sources.frame), sources.frame.design.clearance
    heights = [
        rooms.over(x, width_mm=clearance.walking_width).height_mm for x in clearance.walking_lines
    ]
    return round(min(heights), _DIGITS) if heights else None


def _bed_headroom(sources: Sources) -> float | None:
    """As the rule on beds looks."""
    rooms, clearance = headroom_of(sources.frame), sources.frame.design.clearance
    wall = rooms.inside.wall_x_mm()
    heights = [
        rooms.over(sign * (wall - distance)).height_mm
        for distance in clearance.bed_edges if distance < wall
        for sign in (-1.0, 1.0)
    ]  # fmt: skip
    return round(min(heights), _DIGITS) if heights else None


def _reach(sources: Sources) -> float:
    """From the inside of the wall at the ground to where hoops are at head height."""
    rooms, needed = headroom_of(sources.frame), sources.frame.design.clearance.head_height
    upright = rooms.width_between_hoops(needed) / 2
    return round(rooms.inside.wall_x_mm() - upright, _DIGITS)


def _vent_share(sources: Sources) -> FigureValue:
    return value_in(sources.findings, "room.side_vents_share_of_floor")


FIGURES = (
    *(Figure(name=f"{severity}s", words=f"Number of {severity}s that the checks find", unit="",
             of=functools.partial(_count, severity))
      for severity in ("error", "warning", "note")),
    Figure(name="machines_fit", unit="yes or no", of=_machines_fit,
           words="Whether all machines get in and along the tunnel with their margins"),
    Figure(name="machine_to_wall_mm", unit="mm", of=_machine_to_wall,
           words="How close to the wall every machine can get"),
    Figure(name="headroom_mm", unit="mm", of=_headroom,
           words="Least height over the walking lines, under everything"),
    Figure(name="bed_headroom_mm", unit="mm", of=_bed_headroom,
           words="Least height over the edges of the beds"),
    Figure(name="bed_reach_mm", unit="mm", of=_reach,
           words="From the wall to where hoops are at head height: what is reached over a bed"),
    Figure(name="vent_share", unit="share", of=_vent_share,
           words="Side openings as a share of the floor"),
)  # fmt: skip
"""Beside these, ``rule:NAME`` counts what one rule finds."""
