"""Findings as data and as text, and the room inside of a frame as a table.

The same frame gives the same report: no dates, no paths.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Sequence
from typing import NotRequired, TypedDict

from frame3d import __version__
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.checks.findings.sentences import lengths, name_of, numbers
from frame3d.checks.rules import unmade_parts as model
from frame3d.errors import DesignFaults
from frame3d.frame.describe.set_status import MissingList, SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.model.members import Frame
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.space.headroom import headroom_of
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.passage import Way, own_ways
from frame3d.schemas import Document
from frame3d.units import Numbers, UnitSystem

NO_VERDICT = (
    "These rules check fit and room, never strength: loads, foundations and permits are "
    "for local codes and a licensed professional."
)
_Table = tuple[str, tuple[str, ...], list[tuple[str, ...]]]
"""Title, header and rows."""
_STEPS_MM = {UnitSystem.METRIC: 250.0, UnitSystem.IMPERIAL: 304.8}


class FindingRow(TypedDict):
    """A finding in ``findings.json``; the page adds the numbers of its members."""

    rule: str
    severity: str
    where: str
    marks: list[str]
    field: str
    fields: list[str]
    required: float | None
    provided: float | None
    margin: float | None
    unit: str
    required_is: str
    text: dict[str, str]
    message: str
    advice: str
    source: str
    accepted: str | None
    members: NotRequired[list[int]]


class WayThroughDoor(TypedDict):
    """Whether a machine passes a door, and the places across at which it does, mm."""

    door: str
    passes: bool
    free_to_either_side_mm: list[list[float]]


class MachineRow(TypedDict):
    """How near to the walls a machine comes, mm, None where it does not fit; and its doors."""

    name: str
    margin_mm: float
    fits_along_the_tunnel: bool
    nearest_to_left_wall_mm: float | None
    nearest_to_right_wall_mm: float | None
    doors: list[WayThroughDoor]


class Room(TypedDict):
    """The room inside of a frame, as ``findings.json`` holds it."""

    height_at_distance_from_wall: list[dict[str, float]]
    width_at_height: list[dict[str, float]]
    machines: list[MachineRow]
    side_vents_share_of_floor: float


class Report(TypedDict):
    """What ``findings.json`` holds."""

    schema: str
    program: str
    project: str
    units: dict[str, str]
    counts: dict[str, int]
    findings: list[FindingRow]
    room: Room
    what_this_is: str


class FaultsReport(TypedDict):
    """What ``check --json`` prints of a design that is none."""

    schema: str
    program: str
    faults: list[dict[str, str | int | None]]


def numbers_of(frame: Frame, finding: Finding) -> Numbers | None:
    """The numbers of a finding as texts in the units of the design; None for none."""
    if finding.required is None or finding.provided is None:
        return None
    return numbers(
        frame,
        finding.required,
        finding.provided,
        unit=finding.unit,
        is_most=finding.is_most,
        fine=finding.fine,
    )


def count_of(findings: Sequence[Finding]) -> str:
    """How many there are of each severity: ``1 error, 2 warnings, no notes``."""
    counts = Counter(finding.severity for finding in findings)
    return ", ".join(
        f"{counts[s] or 'no'} {s.value}{'' if counts[s] == 1 else 's'}" for s in Severity
    )


def has_errors(findings: Sequence[Finding]) -> bool:
    """Whether one of them is an error that the design does not accept."""
    return any(finding.severity is Severity.ERROR for finding in findings)


def status_of(
    findings: Sequence[Finding],
    *,
    missing: Sequence[MissingList] = (),
    unmade: Sequence[Unmade] = (),
) -> SetStatus:
    """The status of a set.

    Parameters
    ----------
    findings : sequence of Finding
        All that the checks found; what the design accepts is no error.
    missing : sequence of MissingList
    unmade : sequence of Unmade
        What the model lacks; findings about that alone stop nobody from building.
    """
    errors = [
        finding
        for finding in findings
        if finding.severity is Severity.ERROR and finding.rule not in model.RULES
    ]
    places: dict[str, list[str]] = {}
    for finding in errors:
        places.setdefault(finding.message.rstrip("."), []).append(finding.where)
    return SetStatus(
        error_count=len(errors),
        errors=tuple(_sentence(message, where) for message, where in places.items()),
        missing=tuple(missing),
        unmade=tuple(unmade),
    )


def _sentence(message: str, where: Sequence[str]) -> str:
    """Errors in the same words as one sentence: the fact, the first place, how many more."""
    more = f", and {len(where) - 1} more like it" if len(where) > 1 else ""
    subject, *at = re.split(": |, ", where[0], maxsplit=1)
    if message.startswith("It ") and subject:
        # In a table the place stands before the words; here they begin with what it is.
        message, where = f"{subject[0].upper()}{subject[1:]}{message[2:]}", at or [""]
    place = ", ".join(filter(None, [where[0], more.removeprefix(", ")]))
    return f"{message} ({place})." if place else f"{message}."


def report_of(frame: Frame, findings: Sequence[Finding]) -> Report:
    """Everything that ``findings.json`` holds."""
    counts = Counter(finding.severity.value for finding in findings)
    return {
        "schema": Document.FINDINGS.value,
        "program": f"frame3d {__version__}",
        "project": frame.design.project.name,
        "units": {
            "text": frame.design.output.units.value,
            "numbers": "each finding names its unit; others as their names say",
        },
        "counts": {severity.value: counts[severity.value] for severity in Severity},
        "findings": [_row(frame, finding) for finding in findings],
        "room": room_of(frame),
        "what_this_is": NO_VERDICT,
    }


def finding_row(frame: Frame, finding: Finding) -> tuple[list[str], ...]:
    """A finding for a table on the screen, in lines: rule, where, and all that there is to say."""
    told = [finding.message]
    said = numbers_of(frame, finding)
    if said is not None:
        limit = "At most" if finding.is_most else "Required"
        told.append(f"{limit} {said.required}, provided {said.provided}, margin {said.margin}.")
    if len(finding.fields) > 1:
        told.append(f"Set by {' and '.join(finding.fields)}.")
    if finding.accepted is None:
        told += [finding.advice, f"Source: {finding.rule.source}."]
    else:
        told.append(f"Accepted: {finding.accepted}")
    return [finding.severity.value, finding.rule.name], [finding.where], told


def room_tables(frame: Frame) -> list[_Table]:
    """The room inside as tables for the screen: title, header and rows of each."""
    say, room = lengths(frame), room_of(frame)
    tables: list[_Table] = [
        (
            "Clear height inside, by distance from the inside of the wall",
            ("From the wall", "Under the hoops", "Under all, left", "Under all, right"),
            [
                tuple(say(row[name]) for name in
                      ("from_wall_mm", "under_hoops_mm", "left_mm", "right_mm"))
                for row in room["height_at_distance_from_wall"]
            ],
        ),
        (
            "Clear width inside, by height",
            ("Height", "Between the hoops", "Widest clear"),
            [
                tuple(say(row[name]) for name in
                      ("height_mm", "between_hoops_mm", "widest_free_mm"))
                for row in room["width_at_height"]
            ],
        ),
    ]  # fmt: skip
    if room["machines"]:
        tables.append(_machine_table(frame, room["machines"]))
    return tables


def _machine_table(frame: Frame, machines: list[MachineRow]) -> _Table:
    say = lengths(frame)

    def near(value: float | None) -> str:
        return "does not fit" if value is None else say(value)

    rows: list[tuple[str, ...]] = [
        (
            machine["name"],
            say(machine["margin_mm"]),
            near(machine["nearest_to_left_wall_mm"]),
            near(machine["nearest_to_right_wall_mm"]),
            ", ".join(door["door"] for door in machine["doors"] if door["passes"]) or "none",
        )
        for machine in machines
    ]
    header = ("Machine", "Margin", "Closest to left wall", "Closest to right wall", "Passes")
    return ("How close machines get to the walls, and which doors they fit through", header, rows)


def faults_report(error: DesignFaults) -> FaultsReport:
    """What ``check --json`` prints of a design that is none."""
    return {
        "schema": Document.FINDINGS.value,
        "program": f"frame3d {__version__}",
        "faults": [
            {"where": fault.where, "line": fault.line, "message": fault.message}
            for fault in error.faults
        ],
    }


def report_text(report: Report | FaultsReport) -> str:
    """The text of ``findings.json``."""
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _row(frame: Frame, finding: Finding) -> FindingRow:
    said = numbers_of(frame, finding)
    required, provided = (
        None if value is None else _round(value) for value in (finding.required, finding.provided)
    )
    margin = None
    if required is not None and provided is not None:  # so that the figures add up too
        over = provided - required
        margin = _round(-over if finding.is_most else over)
    return {
        "rule": finding.rule.name,
        "severity": finding.severity.value,
        "where": finding.where,
        "marks": list(finding.marks),
        "field": finding.field,
        "fields": list(finding.fields),
        "margin": margin,
        "required": required,
        "provided": provided,
        "unit": finding.unit,
        "required_is": "the most allowed" if finding.is_most else "the least allowed",
        "text": {name: getattr(said, name, "") for name in ("required", "provided", "margin")},
        "message": finding.message,
        "advice": finding.advice,
        "source": finding.rule.source,
        "accepted": finding.accepted,
    }


def room_of(frame: Frame) -> Room:
    """Heights by distance from the wall, widths by height, doors, and the ways of machines."""
    rooms, wall = headroom_of(frame), Inside(frame.arch).wall_x_mm()
    heights, widths = [], []
    step = _STEPS_MM[frame.design.output.units]
    for distance in [*_steps(step, wall)[1:], wall]:
        sides = [rooms.over(sign * (wall - distance)).height_mm for sign in (-1.0, 1.0)]
        heights.append(
            {
                "from_wall_mm": _round(distance),
                "under_hoops_mm": _round(rooms.under_hoops(wall - distance)),
                "left_mm": _round(sides[0]),
                "right_mm": _round(sides[1]),
            }
        )
    for height in _steps(2 * step, rooms.under_hoops(0.0)):
        widths.append(
            {
                "height_mm": _round(height),
                "between_hoops_mm": _round(rooms.width_between_hoops(height)),
                "widest_free_mm": _round(rooms.width_at(height)),
            }
        )
    return {
        "height_at_distance_from_wall": heights,
        "width_at_height": widths,
        "machines": [_machine(frame, way, wall) for way in own_ways(frame)],
        "side_vents_share_of_floor": _round(cover_lines(frame).vent_share),
    }


def _steps(step: float, end: float) -> list[float]:
    found, at = [], 0.0
    while at < end - 1.0:
        found.append(at)
        at += step
    return found


def _machine(frame: Frame, way: Way, wall_x_mm: float) -> MachineRow:
    near = way.wall_distance_mm(wall_x_mm)
    return {
        "name": way.machine.name,
        "margin_mm": _round(way.machine.margin),
        "fits_along_the_tunnel": bool(way.inside),
        "nearest_to_left_wall_mm": None if near is None else _round(near[0]),
        "nearest_to_right_wall_mm": None if near is None else _round(near[1]),
        "doors": [
            {
                "door": name_of(frame, door),
                "passes": way.passes(index),
                "free_to_either_side_mm": [
                    [_round(low), _round(high)] for low, high in way.doors[index]
                ],
            }
            for index, door in enumerate(frame.doors)
        ],
    }


def _round(value: float) -> float:
    """To 1e-3: finer than anything that is made, coarser than the noise of floating point."""
    return round(value, 3) + 0.0
