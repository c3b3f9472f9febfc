"""The site: which way the doors face, and what stands nearby."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import numbers
from frame3d.design.tables.whole_design import End, Nearby, Neighbour
from frame3d.frame.model.members import Frame
from frame3d.site.plot.outline import beside, hoops_outside
from frame3d.site.plot.overhead import gap_while_raised

FACING = Rule(
    name="door-facing",
    severity=Severity.WARNING,
    meaning="An end with a door or without a wall faces the strong winds.",
    source=COMMON_PRACTICE,
)
ROUND = Rule(
    name="way-round",
    severity=Severity.WARNING,
    meaning="Something is inside the clear width wanted all round.",
    source=COMMON_PRACTICE,
)
TREE = Rule(
    name="tree-distance",
    severity=Severity.WARNING,
    meaning="A tree is too close for its height.",
    source=COMMON_PRACTICE,
)
BUILDING = Rule(
    name="building-distance",
    severity=Severity.WARNING,
    meaning="A building is too close for its height.",
    source=COMMON_PRACTICE,
)
LINE = Rule(
    name="line-distance",
    severity=Severity.ERROR,
    meaning="A hoop comes too close to an overhead line while it is raised.",
    source="OSHA 29 CFR 1926.1408, table A: 10 ft for lines of up to 50 kV; the design's "
    "line_distance",
)
RULES = (FACING, ROUND, TREE, BUILDING, LINE)
_FACING_DEG = 90.0


def check_site(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    found = list(_facing(frame))
    for number, thing in enumerate(frame.design.nearby, start=1):
        found += [
            replace(finding, field=f"nearby[{number}]")
            for finding in _near(frame, thing, f"nearby[{number}], {thing.name}")
        ]
    return found


def _facing(frame: Frame) -> Iterable[Finding]:
    site = frame.design.surroundings
    if site.front_faces is None or site.wind_from is None:
        return
    walled = {end for wall in frame.design.end_wall for end in wall.at.each}
    opened = {door.end for door in frame.doors}
    for end in End:
        if end in walled and end not in opened:
            continue
        bearing = site.front_faces.degrees + (0.0 if end is End.FRONT else 180.0)
        turned = abs((bearing - site.wind_from.degrees + 180.0) % 360.0 - 180.0)
        if turned < _FACING_DEG:
            said = numbers(frame, _FACING_DEG, turned, unit="deg")
            yield Finding(
                rule=FACING,
                where=f"{end.value} end",
                field="surroundings.front_faces",
                required=_FACING_DEG,
                provided=turned,
                unit="deg",
                message=(
                    f"It faces straight into the {site.wind_from.value} wind."
                    if turned < 1
                    else f"It faces {said.provided} off the {site.wind_from.value} wind."
                ),
                advice="Put the door in the other end, or turn the tunnel.",
            )


def _near(frame: Frame, thing: Nearby, where: str) -> Iterable[Finding]:
    site = frame.design.surroundings
    if thing.kind is Neighbour.OVERHEAD_LINE:
        line = beside(hoops_outside(frame), thing.side, thing.distance)
        yield from line_finding(frame, gap_while_raised(frame, line, thing.height), where)
        return
    shares = {
        Neighbour.TREE: (TREE, site.tree_share),
        Neighbour.BUILDING: (BUILDING, site.building_share),
    }
    wanted = [(ROUND, site.clear_way)]
    if thing.kind in shares:
        rule, share = shares[thing.kind]
        wanted.append((rule, share * thing.height))
    # One distance, one finding: the farthest that is asked for.
    rule, required = max(wanted, key=lambda item: item[1])
    if thing.distance < required - 0.01:
        said = numbers(frame, required, thing.distance)
        yield Finding(
            rule=rule,
            where=where,
            required=required,
            provided=thing.distance,
            unit="mm",
            message=f"It is {said.provided} from the {thing.side.value} of the tunnel; "
            f"{said.required} is wanted.",
            advice="Move the tunnel, or say in [[accept]] why it may stay there.",
        )


def line_finding(frame: Frame, provided: float, where: str, field: str = "") -> Iterable[Finding]:
    """What there is to say of a line that a hoop comes within ``provided`` mm of."""
    required = frame.design.surroundings.line_distance
    if provided < required - 0.01:
        said = numbers(frame, required, provided)
        yield Finding(
            rule=LINE,
            where=where,
            field=field,
            against="surroundings.line_distance",
            required=required,
            provided=provided,
            unit="mm",
            message=f"While it is raised, a hoop comes within {said.provided} of the line; the "
            f"least is {said.required}.",
            advice="Choose another site; ask the owner of the line before lifting anything "
            "near it.",
        )
