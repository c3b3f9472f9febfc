"""From a frame to its set of sheets."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from frame3d.frame.describe.cut_lengths import SawnBars
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.skin.door_curtains import door_curtains
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.detail_places import Home, called_out
from frame3d.sheets.details.detail_sheets import detail_pages, detail_sheets
from frame3d.sheets.layout.compose import best_scale, broken, note_height_mm
from frame3d.sheets.layout.joining import join_sheets
from frame3d.sheets.layout.part_layout import add_piece
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.layout.sheet_set_builder import (
    GENERAL,
    SheetSetBuilder,
    add_with_tables,
    run_of,
)
from frame3d.sheets.layout.shelves import on_one_sheet, pages_of_rows
from frame3d.sheets.projection.projection import FRONT
from frame3d.sheets.projection.silhouettes import ABOVE
from frame3d.sheets.projection.stretch import stretches, whole
from frame3d.sheets.sets.cover_sheet import COVER, cover_pages
from frame3d.sheets.sets.end_wall_sheets import end_walls
from frame3d.sheets.sets.front_and_back import front_and_back
from frame3d.sheets.sets.ground_sheets import add_plot, add_survey
from frame3d.sheets.sets.numbered import builder_for, sheet_set_of
from frame3d.sheets.shop.door_sheets import door_sheets
from frame3d.sheets.shop.part_sheets import add_part_sheets
from frame3d.sheets.shop.plate_pieces import plate_sheets
from frame3d.sheets.shop.timber_sheets import side_boards, wall_timber
from frame3d.sheets.views import clearance_views as clearance
from frame3d.sheets.views import cover_plan, curtain_view, wall_cover
from frame3d.sheets.views import cross_section as sections
from frame3d.sheets.views import end_elevation as end
from frame3d.sheets.views import side_elevation as sides
from frame3d.sheets.views import socket_plan as plan
from frame3d.site.survey import site_of


def draw_sheets(
    frame: Frame,
    sawn: Sequence[SawnBars] = (),
    status: SetStatus = UNCHECKED,
    tell: Callable[[str, int, int], None] | None = None,
) -> SheetSet:
    """The sheets of ``frame``: a cover, the drawings, and the schedules.

    Nothing is written. What could not be shown as wanted is in ``findings``.

    Parameters
    ----------
    frame : Frame
    sawn : sequence of SawnBars
        The cutting plan, for the schedule of cuts; without one it lists the pieces.
    status : SetStatus
        What cover and title blocks say of the set.
    tell : callable or None
        Told how far it is: what is done, and how much of how much.
    """
    builder = builder_for(frame, status)
    builder.details = detail_pages(builder)
    for done, family in enumerate(_SET):
        if tell:
            tell("drawing the sheets", done, len(_SET))
        _add_family(builder, family)
    join_sheets(builder)
    front, back = front_and_back(builder, sawn)
    return sheet_set_of(builder, front, back)


def draw_one(frame: Frame, status: SetStatus, family: str, place: int) -> SheetSet | None:
    """One sheet of the set, by what draws it, long before all of them are there.

    It is the one that the set will hold, but for what only the whole set tells: numbers of
    sheets, for which there is ``?``, and on the cover their list.

    Parameters
    ----------
    frame : Frame
    status : SetStatus
    family : str
        As a sheet has it.
    place : int
        Which of that family, from 0; the last one if there are fewer.

    Returns
    -------
    SheetSet or None
        With this sheet alone; None where there is none that can be drawn alone.
    """
    builder = builder_for(frame, status)
    if family == COVER:
        cover = cover_pages(frame, builder.paper, note_height_mm(builder.paper), (), status)
        return sheet_set_of(builder, cover, whole=False)
    if family not in _SET:
        return None
    if family in _CALLING_OUT:
        builder.details = detail_pages(builder)
    _add_family(builder, family)
    join_sheets(builder)
    if not builder.drafts:
        return None
    builder.drafts, builder.findings = [builder.drafts[: place + 1][-1]], []
    return sheet_set_of(builder, whole=False)


def _add_family(builder: SheetSetBuilder, family: str) -> None:
    builder.family = family
    for add_sheets in _SET[family]:
        add_sheets(builder)


def _socket_plan(builder: SheetSetBuilder) -> None:
    """With as much of how each socket is driven as there is room for beside it."""
    frame, grid = builder.frame, builder.frame.grid
    what, places = plan.seen(frame), builder.on_plan()
    for told in plan.ways_to_tell(frame):
        notes = plan.notes(frame, told)
        size = builder.ground(notes).view_size
        views = broken(
            lambda parts, told=told: (  # type: ignore[misc]  # each of them its own
                called_out(plan.socket_plan(frame, s, what, told), ABOVE, places, again=True)
                for s in stretches(grid, parts)
            ),
            run_of(grid),
            size,
            builder.lengths,
        )
        if not any(view.problems for view in views):
            break
    if len(views) > 1:
        over_all = best_scale(
            plan.socket_plan(frame, whole(grid), what, brief=True), size, builder.lengths
        )
        views = [over_all, *views] if over_all else views
    if not views:
        builder.missing("The socket plan")
    _add_run(builder, "Socket plan", views, notes)


def _add_run(
    builder: SheetSetBuilder, title: str, views: Sequence[PlacedView], notes: Sequence[str]
) -> None:
    """The stretches of a long view, one below the other, on as few sheets as have room."""
    sheets = pages_of_rows([[view] for view in views], builder.ground(notes), builder.lengths)
    for number, rows in enumerate(sheets, start=1):
        alone = rows[0][0].title if len(rows) == 1 else f"{title}, {number} of {len(sheets)}"
        builder.add_rows(title if len(sheets) == 1 and len(rows) > 1 else alone, rows, notes)


def _plot(builder: SheetSetBuilder) -> None:
    add_plot(builder, site_of(builder.frame, builder.status))


def _end_elevation(builder: SheetSetBuilder) -> None:
    notes = end.notes(builder.frame)
    size = builder.ground(notes).view_size
    wanted = end.end_elevation(builder.frame)
    if not sections.sections(builder.frame):  # of a frame without ties this is all there is
        wanted = called_out(wanted, FRONT, builder.details_in(Home.SECTION))
    view = best_scale(wanted, size, builder.lengths)
    if view is None:
        builder.missing("The end elevation")
    else:
        builder.add("End elevation", [view], notes)


def _cross_sections(builder: SheetSetBuilder) -> None:
    """One sheet for the first of the hoops with the same ties."""
    frame = builder.frame
    places = builder.details_in(Home.SECTION)
    for number, hoops in sections.sections(frame):
        view = called_out(sections.cross_section(frame, number), FRONT, places)
        places = []
        add_with_tables(
            builder,
            f"Cross section, hoop {number}",
            view,
            (sections.pieces(frame, number),),
            sections.notes(frame, hoops),
        )


def _side_elevations(builder: SheetSetBuilder) -> None:
    """Both sides on one sheet where there is room at the scale of one, else on sheets each."""
    notes = sides.notes(builder.frame)
    ground = builder.ground(notes)
    runs = [_elevation(builder, side, ground.view_size) for side in (Side.RIGHT, Side.LEFT)]
    if all(len(run) == 1 for run in runs):
        pair = [run[0] for run in runs]
        if rows := on_one_sheet(pair, ground, builder.lengths):
            builder.add_rows("Side elevations", rows, notes)
            return
    for side, run in zip((Side.RIGHT, Side.LEFT), runs, strict=True):
        if not run:
            builder.missing("A side elevation")
        _add_run(builder, f"Elevation of the {side.value} side", run, notes)


def _elevation(builder: SheetSetBuilder, side: Side, size: tuple[float, float]) -> list[PlacedView]:
    """The elevation of a side, in as many views as its length needs."""
    frame, grid = builder.frame, builder.frame.grid
    what, projection = sides.seen(frame, side), sides.projection_of(side)
    places = [
        place
        for place in builder.details_in(Home.SIDE)
        if (place.at[0] < 0.0) is (side is Side.LEFT)
    ]
    return broken(
        lambda parts: (
            called_out(sides.side_elevation(frame, side, s, what), projection, places)
            for s in stretches(grid, parts)
        ),
        run_of(grid),
        size,
        builder.lengths,
    )


def _cover(builder: SheetSetBuilder) -> None:
    """The film and its channel unfolded, where the cover is parts."""
    frame = builder.frame
    if cover_plan.is_listed(frame):
        view, lists = cover_plan.cover_plan(frame), cover_plan.tables(frame)
        add_with_tables(builder, "Cover plan", view, lists, cover_plan.NOTES)
        walls = wall_cover.wall_covers(frame)
        if len(walls) == 2 and not any(pieces for _, pieces in walls):
            views, title = [wall for wall, _ in walls], "End walls, film"
            add_piece(builder, title, views, (), wall_cover.NOTES, kind=GENERAL)
            return
        for wall, pieces in walls:
            add_with_tables(builder, wall.title, wall, pieces, wall_cover.NOTES)


def _curtains(builder: SheetSetBuilder) -> None:
    """A side opening and roll-up doors with their curtains, where there are some."""
    frame = builder.frame
    if curtains_of(frame) is not None:
        view, lists = curtain_view.curtain_view(frame), curtain_view.curtain_tables(frame)
        add_with_tables(builder, view.title, view, lists, curtain_view.NOTES)
    # Both ends can have the same door.
    for one in {one.door.where: one for one in reversed(door_curtains(frame))}.values():
        view, lists = (
            curtain_view.door_curtain_view(frame, one), curtain_view.door_curtain_tables(frame, one)
        )  # fmt: skip
        add_with_tables(builder, view.title, view, lists, curtain_view.DOOR_NOTES)


def _clearances(builder: SheetSetBuilder) -> None:
    """The cross section with people and machines, and the end walls: a sheet for each."""
    size = builder.ground(clearance.NOTES).view_size
    for wanted in clearance.clearance_views(builder.frame):
        view = best_scale(wanted, size, builder.lengths)
        if view is None:
            builder.missing(wanted.title)
        else:
            builder.add(view.title, [view], clearance.NOTES, group="clearances")


_SET: dict[str, tuple[Callable[[SheetSetBuilder], None], ...]] = {
    "plot": (_plot,),
    "sockets": (_socket_plan, add_survey),
    "end elevation": (_end_elevation,),
    "end walls": (end_walls,),
    "cross sections": (_cross_sections,),
    "sides": (_side_elevations,),
    # Sheets of parts may be joined with each other, and with no others.
    "parts": (add_part_sheets, side_boards, wall_timber, door_sheets, plate_sheets),
    "details": (detail_sheets,),
    "cover plan": (_cover,),
    "curtains": (_curtains,),
    "clearances": (_clearances,),
}
"""What makes the sheets of a set, by family, in their order."""
_CALLING_OUT = {"sockets", "end elevation", "end walls", "cross sections", "sides", "details"}
"""Families whose views call details out."""
