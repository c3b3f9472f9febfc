"""The sheets of a site: staking plan, and with levels the ground in plan and both profiles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from frame3d.frame.members import Side
from frame3d.sheets import contours, profile, staking_plan
from frame3d.sheets.annotation import PlacedView
from frame3d.sheets.compose import best_scale
from frame3d.sheets.desk import Desk, add_with_table
from frame3d.sheets.draw import desk_for, sheet_set_of
from frame3d.sheets.sheet import SheetSet
from frame3d.sheets.wishes import Edge, Table, View
from frame3d.site.survey import Site


def draw_site(site: Site) -> SheetSet:
    """The sheets of ``site``; nothing is written."""
    desk = desk_for(site.frame)
    _staking(desk, site)
    if site.driving is not None:
        notes = contours.notes(site)
        _alone(desk, "Ground in plan", contours.contour_plan(site), notes)
        times = profile.exaggeration(site)
        notes = profile.notes(site, times)
        for side in (Side.LEFT, Side.RIGHT):
            view = profile.profile(site, side, times)
            table = profile.driving_table(site, side)
            add_with_table(desk, f"Driving, {side.value} side", view, table, notes)
    return sheet_set_of(desk)


def _staking(desk: Desk, site: Site) -> None:
    """With running figures for every hoop where there is room for them, else for the ends."""
    notes, table = staking_plan.notes(site), staking_plan.skew_table(site)
    size = desk.ground(notes).view_size
    tried: list[PlacedView] = []
    for running in (True, False):
        for edge in (Edge.BOTTOM, Edge.RIGHT):
            view = _tabled(staking_plan.staking_plan(site, running=running), table, edge)
            placed = best_scale(view, size, desk.lengths)
            if placed and not placed.troubles and not placed.strained:
                desk.add("Staking plan", [placed], notes)
                return
            tried += [placed] if placed else []
    if tried:
        best = min(tried, key=lambda view: (len(view.troubles), view.strained, view.scale))
        desk.add("Staking plan", [best], notes)
    else:
        desk.missing("The staking plan")


def _tabled(view: View, table: Table, edge: Edge) -> View:
    return replace(view, wishes=(*view.wishes, replace(table, edge=edge)))


def _alone(desk: Desk, title: str, view: View, notes: Sequence[str]) -> None:
    placed = best_scale(view, desk.ground(notes).view_size, desk.lengths)
    if placed:
        desk.add(title, [placed], notes)
    else:
        desk.missing(title)


__all__ = ["draw_site"]
