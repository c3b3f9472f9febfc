"""The sheet of the plot plan: at the largest scale that shows it, with its lists and notes."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from frame3d.design.tables.whole_design import Laid
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import Cell, LengthCell, Table, View, ViewEdge
from frame3d.sheets.layout.compose import best_scale
from frame3d.sheets.layout.sheet_set_builder import (
    SETTING_OUT,
    SheetSetBuilder,
    tables_alone,
)
from frame3d.sheets.layout.shelves import in_rows
from frame3d.sheets.plot.plan import Spot, plot_plan
from frame3d.sheets.primitives.paper import scales
from frame3d.site.plot.plot import Plot, has_plot, north_of, plot_of
from frame3d.site.staking.socket_names import axes_of

_TITLE = "Plot plan"
_LISTS = "Plot plan, lists"
_ENOUGH = 4
"""Scales that are tried where something has no place at any of them."""


def add_plot_plan(builder: SheetSetBuilder, spots: Sequence[Spot] = ()) -> None:
    """The sheet, where the design has a boundary or services."""
    if not has_plot(builder.frame):
        return
    told, lists = notes(builder.frame, spots), tables(builder.frame)
    words = _listed(builder, lists) if lists else None
    plan, rows = _best(builder, told, words, spots)
    if plan is None:
        builder.missing("The plot plan")
        return
    builder.add_rows(_TITLE, rows, told, SETTING_OUT)
    if not lists or any(words in row for row in rows):
        return
    alone = words or tables_alone(builder, _TITLE, lists)
    if alone:
        builder.add(_LISTS, [alone], (), SETTING_OUT)
    else:
        builder.missing("The lists of the plot plan")


Rows = list[list[PlacedView]]


def _best(
    builder: SheetSetBuilder, told: Sequence[str], words: PlacedView | None, spots: Sequence[Spot]
) -> tuple[PlacedView | None, Rows]:
    """The plan at the largest scale at which all has its place, and the rows of its sheet.

    Where it has its place at none, the one with the fewest troubles. Its lists stand beside or
    below it, or are left for a sheet of their own.
    """
    ground = builder.ground(told)
    found: list[PlacedView] = []
    for scale in scales(builder.lengths.system):
        view = plot_plan(builder.frame, scale, spots)
        plan = best_scale(view, ground.view_size, builder.lengths, smallest=scale, largest=scale)
        found += [plan] if plan else []
        if plan and not plan.problems or len(found) == _ENOUGH:
            break  # smaller still, it only gets more crowded
    if not found:
        return None, []
    plan = min(found, key=lambda one: (len(one.problems), one.scale))
    options: list[Rows] = [[[plan, words]], [[plan], [words]]] if words else []
    for rows in options:
        if in_rows(rows, ground, builder.lengths):
            return plan, rows
    return plan, [[plan]]


def _listed(builder: SheetSetBuilder, lists: Sequence[Table]) -> PlacedView | None:
    """All lists one below the other; None where they are longer than a sheet."""
    view = View(
        title=_LISTS, primitives=(), bounds=(0.0, 0.0, 0.0, 0.0), to_scale=False,
        annotations=tuple(replace(one, edge=ViewEdge.BOTTOM, blocks=1) for one in lists),
    )  # fmt: skip
    return best_scale(view, builder.ground(()).view_size, builder.lengths)


def notes(frame: Frame, spots: Sequence[Spot] = ()) -> tuple[str, ...]:
    """What is to be known of the plan."""
    plot, say = plot_of(frame), lengths_of(frame).text
    told = [
        "A drawn service is no proof of where it lies. Have every buried one located and marked "
        "by its owner before driving, digging or crossing it with machines; least distance of a "
        f"socket: {say(frame.design.surroundings.service_distance, unit=True)}.",
        "Distances to the boundary are level, from the outside of the frame with boards and end "
        "walls, doors shut. The boundary is as the owner measured it; this is no survey of it.",
        f"The frame is {_size(frame)} over all. {_setback_note(plot)}",
        _north_note(frame),
    ]
    told += [f"The boundary is not drawn as a whole: {fault.message}" for fault in plot.faults
             if not plot.corners]  # fmt: skip
    if frame.design.machine:
        told.append("Paths are as wide as the machine with its margin; turning takes more room.")
    if spots:
        told.append(f"Levels at the crosses, in {_unit(frame)}, are above the benchmark's zero.")
    return tuple(told)


def _size(frame: Frame) -> str:
    form, ((left, front), _, (right, back), _) = lengths_of(frame), plot_of(frame).outline
    return " by ".join(form.text(one, unit=True) for one in (right - left, back - front))


def _unit(frame: Frame) -> str:
    return "feet and inches" if lengths_of(frame).text(304.8, unit=True).startswith("1'") else "mm"


def _setback_note(plot: Plot) -> str:
    if all(line.setback_mm is None for line in plot.lines):
        return "No setback is given; ask the permit desk."
    if plot.corners and not plot.setbacks:
        return "The setbacks leave no room between them, so no setback lines are drawn."
    return "Setback lines run parallel to the boundary, as far inside as the setback given."


def _north_note(frame: Frame) -> str:
    if north_of(frame) is None:
        return "North was not given; set front_faces, or bearing."
    if frame.design.staking.bearing is None:
        return "North is known to an eighth of the compass only."
    return "North is grid north."


def tables(frame: Frame) -> tuple[Table, ...]:
    """The lines of the boundary, its corners, services, and what stands nearby."""
    plot = plot_of(frame)
    made = [_lines(plot), _corners(frame, plot), _services(plot), _things(plot)]
    return tuple(table for table in made if table.rows)


def _lines(plot: Plot) -> Table:
    return Table(
        title="Boundary: distance of the frame",
        head=("Line", "Name", "Setback", "Distance"),
        rows=tuple(
            (f"B{line.number}", line.name, _length(line.setback_mm), LengthCell(line.distance_mm))
            for line in sorted(plot.lines, key=lambda line: line.number)
        ),
        words=(1,),
    )


def _corners(frame: Frame, plot: Plot) -> Table:
    axes = axes_of(frame)
    shown = plot.corners if any(b.corner or b.tapes for b in frame.design.boundary) else ()
    return Table(
        title=f"Corners of the boundary, from socket {axes.name}",
        head=("Corner", "Across", "Along"),
        rows=tuple(
            (f"B{number}", LengthCell(x - axes.x_mm), LengthCell(y - axes.y_mm))
            for number, (x, y) in enumerate(shown, start=1)
        ),
    )


def _services(plot: Plot) -> Table:
    return Table(
        title="Services",
        head=("No.", "Name", "Carries", "Known from", "Height or depth", "Nearest", "Distance"),
        rows=tuple(
            (
                f"S{run.number}", run.service.name, run.service.kind.value,
                run.service.known_from.value,
                _length(run.service.height if run.service.laid is Laid.OVERHEAD
                        else run.service.depth),
                run.near.name, LengthCell(run.distance_mm),
            )
            for run in plot.runs
        ),
        words=(1, 2, 3, 5),
    )  # fmt: skip


def _things(plot: Plot) -> Table:
    return Table(
        title="Nearby, from the outside of the hoops",
        head=("No.", "Name", "Kind", "Side", "Distance", "Height"),
        rows=tuple(
            (
                f"N{one.number}", one.thing.name, one.thing.kind.value, one.thing.side.value,
                LengthCell(one.thing.distance), LengthCell(one.thing.height),
            )
            for one in plot.neighbours
        ),
        words=(1, 2, 3),
    )  # fmt: skip


def _length(value: float | None) -> Cell:
    return "none given" if value is None else LengthCell(value)
