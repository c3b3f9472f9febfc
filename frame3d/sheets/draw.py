"""From a frame to its set of sheets."""

from __future__ import annotations

from frame3d.frame.members import Frame, Side
from frame3d.sheets import clearance, plan
from frame3d.sheets import cross_section as sections
from frame3d.sheets import end_elevation as end
from frame3d.sheets import end_wall as walls
from frame3d.sheets import side_elevation as sides
from frame3d.sheets.compose import (
    best_scale,
    border,
    broken,
    note_height_mm,
    note_labels,
    stacked,
)
from frame3d.sheets.desk import Desk, Draft, add_with_table, run_of
from frame3d.sheets.paper import paper_of, scale_text
from frame3d.sheets.sheet import Sheet, SheetSet, TitleBlock
from frame3d.sheets.stretch import stretches, whole
from frame3d.spec.design import SheetStandard
from frame3d.units import LengthFormat, UnitSystem


def draw_sheets(frame: Frame) -> SheetSet:
    """The sheets of ``frame``: socket plan, end elevation, end walls, cross sections, sides.

    Nothing is written. What could not be shown as wanted is in ``findings``.
    """
    desk = desk_for(frame)
    for add_sheets in _SET:
        add_sheets(desk)
    return sheet_set_of(desk)


def desk_for(frame: Frame) -> Desk:
    """An empty desk with the paper and the units that the design asks for."""
    output = frame.design.output
    lengths = LengthFormat(
        system=output.units, denominator=output.fraction, decimals=output.decimals
    )
    return Desk(frame=frame, paper=paper_of(output.sheets, output.sheet_size), lengths=lengths)


def sheet_set_of(desk: Desk) -> SheetSet:
    """The drafts on the desk as numbered sheets."""
    return SheetSet(
        sheets=tuple(_sheet(desk, i, draft) for i, draft in enumerate(desk.drafts, start=1)),
        lengths=desk.lengths,
        findings=tuple(desk.findings),
    )


def _socket_plan(desk: Desk) -> None:
    frame, grid = desk.frame, desk.frame.grid
    size = desk.ground(plan.NOTES).view_size
    what = plan.seen(frame)
    views = broken(
        lambda parts: (plan.socket_plan(frame, s, what) for s in stretches(grid, parts)),
        run_of(grid), size, desk.lengths,
    )
    if len(views) > 1:
        over_all = best_scale(
            plan.socket_plan(frame, whole(grid), what, brief=True), size, desk.lengths
        )
        views = [over_all, *views] if over_all else views
    if not views:
        desk.missing("The socket plan")
    for view in views:
        desk.add(view.title, [view], plan.NOTES)


def _end_elevation(desk: Desk) -> None:
    notes = end.notes(desk.frame)
    size = desk.ground(notes).view_size
    view = best_scale(end.end_elevation(desk.frame), size, desk.lengths)
    if view is None:
        desk.missing("The end elevation")
    else:
        desk.add("End elevation", [view], notes)


def _end_walls(desk: Desk) -> None:
    """Every end wall on a sheet of its own; front and back on one where they are alike."""
    seen = [walls.wall_seen(desk.frame, at) for at in walls.walled_ends(desk.frame)]
    if len(seen) == 2 and walls.are_alike(*seen):
        named = [(seen[0], "End walls, front and back")]
    else:
        named = [(one, f"{one.end.value.capitalize()} end wall") for one in seen]
    for one, title in named:
        view = walls.end_wall(one, f"{title}, from outside")
        add_with_table(desk, title, view, walls.pieces(one), walls.notes(one))


def _cross_sections(desk: Desk) -> None:
    """One sheet for the first of the hoops with the same ties."""
    frame = desk.frame
    for number, hoops in sections.sections(frame):
        add_with_table(
            desk, f"Cross section, hoop {number}", sections.cross_section(frame, number),
            sections.pieces(frame, number), sections.notes(frame, hoops),
        )


def _side_elevations(desk: Desk) -> None:
    """Both sides on one sheet where there is room at the scale of one, else on sheets each."""
    frame, grid = desk.frame, desk.frame.grid
    notes = sides.notes(frame)
    ground = desk.ground(notes)
    runs = []
    for side in (Side.RIGHT, Side.LEFT):
        what = sides.seen(frame, side)
        runs.append(
            broken(
                lambda parts, side=side, what=what: (
                    sides.side_elevation(frame, side, s, what) for s in stretches(grid, parts)
                ),
                run_of(grid), ground.view_size, desk.lengths,
            )
        )
    if all(len(run) == 1 for run in runs):
        pair = [run[0] for run in runs]
        if stacked(pair, ground, desk.lengths):
            desk.add("Side elevations", pair, notes)
            return
    for run in runs:
        if not run:
            desk.missing("A side elevation")
        for view in run:
            desk.add(view.title, [view], notes)


def _clearances(desk: Desk) -> None:
    """The cross section with people and machines, and the end walls: a sheet for each."""
    size = desk.ground(clearance.NOTES).view_size
    for wanted in clearance.clearance_views(desk.frame):
        view = best_scale(wanted, size, desk.lengths)
        if view is None:
            desk.missing(wanted.title)
        else:
            desk.add(view.title, [view], clearance.NOTES)


_SET = (
    _socket_plan, _end_elevation, _end_walls, _cross_sections, _side_elevations, _clearances,
)
"""What makes the sheets of a set, in their order."""


def _sheet(desk: Desk, number: int, draft: Draft) -> Sheet:
    ground = desk.ground(draft.notes)
    views, labels = stacked(draft.views, ground, desk.lengths)
    return Sheet(
        number=number,
        title=draft.title,
        paper=desk.paper,
        views=tuple(views),
        strokes=tuple(border(desk.paper)),
        labels=(*note_labels(ground, draft.notes, note_height_mm(desk.paper)), *labels),
        block=_title_block(desk, number, draft),
    )


def _title_block(desk: Desk, number: int, draft: Draft) -> TitleBlock:
    project = desk.frame.design.project
    used = sorted({view.scale for view in draft.views if view.to_scale})
    said = scale_text(used[0], desk.lengths.system) if used else "none"
    imperial = desk.lengths.system is UnitSystem.IMPERIAL
    return TitleBlock(
        owner=_one_line(project.owner),
        project=_one_line(project.name),
        title=draft.title,
        drawn_by=_one_line(project.drawn_by),
        approved_by=_one_line(project.approved_by),
        date=project.date,
        kind="Assembly drawing",
        scale=said if len(used) < 2 else "as shown",
        number=_one_line(project.number),
        sheet=f"{number} / {len(desk.drafts)}",
        paper=desk.paper.name,
        dimensions="feet and inches" if imperial else "millimetres",
        first_angle=desk.frame.design.output.sheets is SheetStandard.ISO,
    )


def _one_line(text: str) -> str:
    """``text`` without line breaks or the codes that a drawing file would take for commands."""
    return " ".join(text.split()).replace("%%", "% %")
