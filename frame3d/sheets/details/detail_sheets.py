"""Sheets of details, in rows."""

from __future__ import annotations

import itertools

from msgspec.structs import replace

from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import View
from frame3d.sheets.annotation.detail_places import CIRCLE_SHARE, DetailPages, DetailPlace, Home
from frame3d.sheets.details.detail_channel import (
    channel_corner_detail,
    channel_hoop_detail,
    channel_side_details,
)
from frame3d.sheets.details.detail_foot import joint_detail, socket_detail
from frame3d.sheets.details.detail_hoops import rail_joint_detail, ridge_detail, splice_detail
from frame3d.sheets.details.detail_rails import brace_detail, rail_details
from frame3d.sheets.details.detail_walls import stud_detail, tie_detail
from frame3d.sheets.details.details import Detail, DetailContext
from frame3d.sheets.layout.sheet_set_builder import DETAIL, SheetSetBuilder
from frame3d.sheets.projection.section_view import shows_something
from frame3d.sheets.shop.timber_sheets import PieceSize, fewest, fitted, named

NOTES = (
    "Cut parts are hatched; fasteners in the plane of a section are not cut. Threads and "
    "film are not drawn. Marks match the lists.",
    "Heights are above ground at the hoop shown. Sizes from tube to tube are between centres.",
)
_DEEPEST_MM, _WIDEST_MM = 135.0, 130.0
_NUMBER = "00"
"""Stands for the number of a detail until it has its place."""


def details_of(site: DetailContext) -> list[Detail]:
    """Every detail of something that the design has, in their order."""
    socket = socket_detail(site)
    across = (socket, splice_detail(site), ridge_detail(site), *rail_details(site))
    sill, hip = (joint_detail(site, role) for role in (Role.SILL_BOARD, Role.HIP_BOARD))
    on_hoop = channel_hoop_detail(site)
    homes = {
        Home.SECTION: (*across, tie_detail(site), *channel_side_details(site)),
        Home.SIDE: (sill, hip, rail_joint_detail(site), brace_detail(site), on_hoop),
        Home.WALL: (stud_detail(site), channel_corner_detail(site)),
    }
    return [
        replace(one, home=home, on_plan=one in (socket, sill))
        for home, wanted in homes.items()
        for one in wanted
        if one is not None and shows_something(one.shown, one.window)
    ]


def detail_pages(builder: SheetSetBuilder) -> DetailPages:
    """All details, the higher ones first, numbered from 1 in the order in which they stand.

    They are settled before any other sheet is made, so that views can call them out.
    """
    site = DetailContext(frame=builder.frame, lengths=builder.lengths)
    size = builder.ground(NOTES).view_size
    drawn: list[tuple[PlacedView, View]] = []
    found, missing = {}, []
    for one in details_of(site):
        most = PieceSize(largest=one.largest, deepest_mm=_DEEPEST_MM, widest_mm=_WIDEST_MM)
        wanted = replace(one.view(), title=f"Detail {_NUMBER}: {one.name}")
        view = fitted(builder, wanted, size, most)
        if view:
            drawn.append((view, wanted))
            found[wanted.title] = one
        else:
            missing.append(f"Details: {one.name}")
    drawn.sort(key=lambda one: -round(one[0].paper_size[1], 3))
    made: list[tuple[str, list[list[PlacedView]]]] = []
    places: list[DetailPlace] = []
    count = itertools.count(1)
    placed, views = [one for one, _ in drawn], [view for _, view in drawn]
    sheets = fewest(builder, views, placed, builder.ground(NOTES))
    for page, (title, rows) in enumerate(named("Details", sheets)):
        made.append((title, []))
        for row in rows:
            made[-1][1].append([])
            for view in row:
                number = next(count)
                told = replace(view, title=view.title.replace(_NUMBER, str(number), 1))
                made[-1][1][-1].append(told)
                places.append(_place(found[view.title], number, page))
    return DetailPages(pages=tuple(made), places=tuple(places), missing=tuple(missing))


def _place(one: Detail, number: int, page: int) -> DetailPlace:
    return DetailPlace(
        number=number,
        at=one.middle,
        radius_mm=one.diagonal_mm * CIRCLE_SHARE,
        home=one.home,
        page=page,
        on_plan=one.on_plan,
    )


def detail_sheets(builder: SheetSetBuilder) -> None:
    """The sheets of details, at the place in the set where they belong."""
    builder.details = builder.details or detail_pages(builder)
    builder.details_from = len(builder.drafts)
    for title in builder.details.missing:
        builder.missing(title)
    for title, rows in builder.details.pages:
        builder.add_rows(title, rows, NOTES, DETAIL)
