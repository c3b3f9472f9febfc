"""The plot: its boundary with setbacks, and the services that cross it."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import numbers
from frame3d.checks.rules.site_rules import LINE, line_finding
from frame3d.design.tables.whole_design import Bearing, Laid
from frame3d.frame.model.members import Frame
from frame3d.site.plot.overhead import gap_while_raised
from frame3d.site.plot.plot import BoundaryLine, Run, has_plot, is_line, plot_of

BOUNDARY = Rule(
    name="boundary",
    severity=Severity.ERROR,
    meaning="The boundary is none that a plot can have, or the frame does not stand within it.",
    source="the places in the design",
)
UNFINISHED = Rule(
    name="boundary-unfinished",
    severity=Severity.WARNING,
    meaning="The boundary has too few corners to be one.",
    source="geometry",
)
SETBACK = Rule(
    name="setback",
    severity=Severity.ERROR,
    meaning="The frame stands nearer to the boundary than the setback.",
    source="the setback in the design",
)
BURIED = Rule(
    name="buried-service",
    severity=Severity.ERROR,
    meaning="A socket or post comes too near to a buried service.",
    source="the design's service_distance",
)
UNDER = Rule(
    name="service-under",
    severity=Severity.WARNING,
    meaning="A buried service runs under the frame.",
    source=COMMON_PRACTICE,
)
NORTH = Rule(
    name="north",
    severity=Severity.WARNING,
    meaning="The bearing and the direction that the front faces do not agree.",
    source="the design itself",
)
RULES = (BOUNDARY, UNFINISHED, SETBACK, BURIED, UNDER, NORTH)
_NORTH_DEG = 30.0
"""Half of an eighth of the compass, and what grid north and true north may be apart."""
_CALL = "Have its owner locate and mark it before anything is driven or dug"

__all__ = ["LINE", "RULES", "check_plot"]


def check_plot(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`, and those of overhead services."""
    found = list(_north(frame))
    if not has_plot(frame):
        return found
    plot = plot_of(frame)
    found += [
        Finding(rule=UNFINISHED if fault.unfinished else BOUNDARY, where=fault.field,
                field=fault.field, against=fault.against,
                message=fault.message, advice=fault.advice)
        for fault in plot.faults
    ]  # fmt: skip
    for line in plot.lines:
        found += _setback(frame, line)
    for run in plot.runs:
        found += _overhead(frame, run) if run.service.laid is Laid.OVERHEAD else _buried(frame, run)
    return found


def _north(frame: Frame) -> Iterable[Finding]:
    bearing, faces = frame.design.staking.bearing, frame.design.surroundings.front_faces
    if bearing is None or faces is None:
        return
    off = abs((bearing + 180.0 - faces.degrees + 180.0) % 360.0 - 180.0)
    if off > _NORTH_DEG:
        said = numbers(frame, _NORTH_DEG, off, unit="deg", is_most=True)
        yield Finding(
            rule=NORTH,
            where="staking.bearing",
            field="staking.bearing",
            against="surroundings.front_faces",
            required=_NORTH_DEG,
            provided=off,
            is_most=True,
            unit="deg",
            message=f"By the bearing along the tunnel the front faces {said.provided} off "
            f"{faces.value}.",
            advice="The bearing is that from the first hoop toward the last; correct it or "
            "front_faces.",
        )


def _setback(frame: Frame, line: BoundaryLine) -> Iterable[Finding]:
    where, field = f"boundary[{line.number}], {line.name}", f"boundary[{line.number}]"
    if line.distance_mm <= 0.0:
        yield Finding(
            rule=BOUNDARY,
            where=where,
            field=field,
            against=_ends_at(frame, line),
            message="This line of the boundary crosses the frame.",
            advice="Check the places, or move the tunnel.",
        )
    elif line.setback_mm is not None and line.distance_mm < line.setback_mm - 0.01:
        said = numbers(frame, line.setback_mm, line.distance_mm)
        yield Finding(
            rule=SETBACK,
            where=where,
            field=field,
            against="surroundings.setback",
            required=line.setback_mm,
            provided=line.distance_mm,
            unit="mm",
            message=f"The outside of the frame is {said.provided} from the line; the setback is "
            f"{said.required}.",
            advice="Move or turn the tunnel, or ask the permit desk for less.",
        )


def _ends_at(frame: Frame, line: BoundaryLine) -> str:
    """The other value that a line hangs on: its second corner, or the frame's size that way."""
    given = frame.design.boundary
    one = given[line.number - 1]
    if not is_line(one):
        return f"boundary[{line.number % len(given) + 1}]"
    return "bays" if one.side in (Bearing.FRONT, Bearing.BACK) else "profile.width"


def _buried(frame: Frame, run: Run) -> Iterable[Finding]:
    where, field = f"service[{run.number}], {run.service.name}", f"service[{run.number}]"
    required = frame.design.surroundings.service_distance
    if run.distance_mm < required - 0.01:
        said = numbers(frame, required, run.distance_mm)
        place = "under" if run.distance_mm <= 0.0 else f"{said.provided} from"
        yield Finding(
            rule=BURIED,
            where=where,
            field=field,
            against="surroundings.service_distance",
            members=(run.near.member,),
            required=required,
            provided=run.distance_mm,
            unit="mm",
            message=f"It is drawn {place} {run.near.name}; the least is {said.required}.",
            advice=f"{_CALL}; then move the tunnel or the service.",
        )
    elif run.under:
        yield Finding(
            rule=UNDER,
            where=where,
            field=field,
            message="It runs under the frame.",
            advice=f"{_CALL}, ask whether it may be built over, and keep stakes, anchors and posts "
            "off it.",
        )


def _overhead(frame: Frame, run: Run) -> Iterable[Finding]:
    gap = gap_while_raised(frame, run.points, run.service.height)
    field = f"service[{run.number}]"
    yield from line_finding(frame, gap, f"{field}, {run.service.name}", field)
