"""Machines: through the doors, along the tunnel, and near enough to the walls."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from frame3d.checks.findings.causes import field_of
from frame3d.checks.findings.finding import Finding, Rule, Severity
from frame3d.checks.findings.sentences import lengths, name_of, numbers
from frame3d.design.tables.whole_design import Passes
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.passage import Way, own_ways

_SOURCE = "the machine's own sizes and margin in the design"
INSIDE = Rule(
    name="machine-inside",
    severity=Severity.ERROR,
    meaning="A machine with its margin does not fit along the tunnel.",
    source=_SOURCE,
)
DOOR = Rule(
    name="machine-door",
    severity=Severity.ERROR,
    meaning="A machine with its margin does not fit through the doors it must pass.",
    source=_SOURCE,
)
WAY = Rule(
    name="machine-way",
    severity=Severity.ERROR,
    meaning="A machine fits through a door, but something behind it is in the way.",
    source=_SOURCE,
)
WALL = Rule(
    name="machine-wall",
    severity=Severity.WARNING,
    meaning="A machine cannot get as close to the side walls as the design asks.",
    source=_SOURCE,
)
RULES = (INSIDE, DOOR, WAY, WALL)


def check_machines(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    found: list[Finding] = []
    for number, way in enumerate(own_ways(frame), start=1):
        where = f"machine[{number}], {way.machine.name}"
        if not way.inside:
            own = [_inside(frame, way, where)]
        else:
            own = [*_doors(frame, way, where), *_walls(frame, way, where)]
        found += [replace(finding, field=f"machine[{number}]") for finding in own]
    return found


def _inside(frame: Frame, way: Way, where: str) -> Finding:
    say, machine = lengths(frame), way.machine
    what = f"{way.blocking} is in the way" if way.blocking else "the hoops are in the way"
    outline = machine.outline
    width = max(x for x, _ in outline) - min(x for x, _ in outline)
    height = max(z for _, z in outline)
    return Finding(
        rule=INSIDE,
        where=where,
        members=tuple(m for m in frame.members if m.mark == way.blocking)
        or tuple(frame.of(Role.HOOP)),
        against=_field_of_mark(frame, way.blocking),
        message=f"The machine, {say(width)} wide and {say(height)} high plus {say(machine.margin)} "
        f"margin, does not fit along the tunnel: {what}.",
        advice="Make the tunnel higher or wider, move what is in the way, or use a smaller "
        "machine.",
    )


def _field_of_mark(frame: Frame, mark: str) -> str:
    """The field of what has a mark, or that of the hoops."""
    there = next((member for member in frame.members if member.mark == mark), None)
    return (field_of(frame, there) if there is not None else "") or "profile"


def _doors(frame: Frame, way: Way, where: str) -> Iterable[Finding]:
    passes = way.machine.passes
    if passes is Passes.NONE:
        return
    passed = [way.passes(index) for index in range(len(frame.doors))]
    if passes is Passes.ONE and (any(passed) or way.has_open_end):
        return
    if not frame.doors and not way.has_open_end:
        yield Finding(
            rule=DOOR,
            where=where,
            against="end_wall",
            message="Both ends have walls and neither has a door.",
            advice='Add a door, or set passes = "none".',
        )
    for door, free, is_passed in zip(frame.doors, way.doors, passed, strict=True):
        if not is_passed:
            yield _blocked(frame, way, door, where, is_open=bool(free))


def _blocked(frame: Frame, way: Way, door: DoorOpening, where: str, *, is_open: bool) -> Finding:
    say, machine = lengths(frame), way.machine
    outline = machine.outline
    wide = max(x for x, _ in outline) - min(x for x, _ in outline) + 2 * machine.margin
    high = max(z for _, z in outline) + machine.margin
    place = f"{where}, {name_of(frame, door)}"
    if wide > door.width_mm:
        required, provided, what = wide, door.width_mm, "width"
    elif high > door.height_mm:
        required, provided, what = high, door.height_mm, "height"
    else:
        behind = "no way through inside" if is_open else "something behind the door"
        return Finding(
            rule=WAY,
            where=place,
            against=door.where,
            message=f"It fits the opening, {say(door.width_mm)} by {say(door.height_mm)}, but "
            f"there is {behind}.",
            advice="Move the door, or what stands in the first bay behind it.",
        )
    said = numbers(frame, required, provided)
    return Finding(
        rule=DOOR,
        where=place,
        against=door.where,
        required=required,
        provided=provided,
        unit="mm",
        message=f"With its margin it needs a clear {what} of {said.required}; the door has "
        f"{said.provided}.",
        advice='Make the door larger, or set passes to "one" or "none" for this machine.',
    )


def _walls(frame: Frame, way: Way, where: str) -> Iterable[Finding]:
    wanted = way.machine.wall_distance
    near = way.wall_distance_mm(Inside(frame.arch).wall_x_mm())
    if wanted is None or near is None:
        return
    for side, distance in zip(("left", "right"), near, strict=True):
        if distance > wanted + 0.01:
            said = numbers(frame, wanted, distance, is_most=True)
            yield Finding(
                rule=WALL,
                where=f"{where}, {side} wall",
                required=wanted,
                provided=distance,
                is_most=True,
                unit="mm",
                message=f"It gets within {said.provided} of the wall; the design asks for "
                f"{said.required}.",
                advice="Make the legs higher or plumb, move what hangs there, or change the "
                "bed width.",
            )
