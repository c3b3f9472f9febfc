"""Sheets of details, in rows."""

from __future__ import annotations

import itertools
from dataclasses import replace

from frame3d.frame.members import Role
from frame3d.sheets.annotation import PlacedView
from frame3d.sheets.desk import DETAIL, Desk
from frame3d.sheets.detail_foot import joint_detail, socket_detail
from frame3d.sheets.detail_hoops import rail_joint_detail, ridge_detail, splice_detail
from frame3d.sheets.detail_rails import brace_detail, rail_details
from frame3d.sheets.detail_walls import stud_detail, tie_detail
from frame3d.sheets.details import Detail, Site
from frame3d.sheets.section_view import shows_something
from frame3d.sheets.timber_sheets import PieceSize, fitted, pages

NOTES = (
    "What is cut is hatched; fasteners that lie in the plane of a section are not cut. Threads "
    "and cover are not drawn. Marks are those of the lists.",
    "Heights are above the ground at the hoop that is shown. Sizes from tube to tube are between "
    "their centres.",
)
_DEEPEST_MM, _WIDEST_MM = 135.0, 130.0
_NUMBER = "00"
"""Stands for the number of a detail until it has its place."""


def details_of(site: Site) -> list[Detail]:
    """Every detail of something that the design has, in their order."""
    wanted = (
        socket_detail(site),
        joint_detail(site, Role.SILL_BOARD),
        joint_detail(site, Role.HIP_BOARD),
        splice_detail(site),
        ridge_detail(site),
        *rail_details(site),
        rail_joint_detail(site),
        brace_detail(site),
        tie_detail(site),
        stud_detail(site),
    )
    return [
        one for one in wanted if one is not None and shows_something(one.shown, one.window)
    ]


def detail_sheets(desk: Desk) -> None:
    """All details, the higher ones first, numbered from 1 in the order in which they stand."""
    site = Site(frame=desk.frame, lengths=desk.lengths)
    size = desk.ground(NOTES).view_size
    placed = []
    for one in details_of(site):
        most = PieceSize(
            largest=one.largest, deepest_mm=_DEEPEST_MM, widest_mm=_WIDEST_MM
        )
        named = replace(one.view(), title=f"Detail {_NUMBER}: {one.name}")
        view = fitted(desk, named, size, most, "Details")
        if view:
            placed.append(view)
    placed.sort(key=lambda view: -round(view.paper_size[1], 3))
    for title, rows in pages(desk, "Details", placed, NOTES):
        desk.add_rows(title, _numbered(desk, rows), NOTES, DETAIL)


def _numbered(desk: Desk, rows: list[list[PlacedView]]) -> list[list[PlacedView]]:
    """The details of a sheet with their numbers, which go on from the sheets before."""
    before = sum(
        len(draft.views) for draft in desk.drafts if draft.title.startswith("Details")
    )
    count = itertools.count(before + 1)
    return [
        [replace(view, title=view.title.replace(_NUMBER, str(next(count)), 1)) for view in row]
        for row in rows
    ]


__all__ = ["detail_sheets", "details_of"]
