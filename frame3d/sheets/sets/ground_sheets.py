"""Sheets of the ground: staking plan, contours, and both sides with the marks to drive by."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec.structs import replace

from frame3d.frame.model.roles import Side
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import Table, View, ViewEdge
from frame3d.sheets.layout.compose import best_scale
from frame3d.sheets.layout.sheet_set_builder import SETTING_OUT, SheetSetBuilder
from frame3d.sheets.plot.plan import Spot
from frame3d.sheets.plot.plot_sheet import add_plot_plan
from frame3d.sheets.projection.stretch import stretches
from frame3d.sheets.views import contours, earth_plan, profile, staking_plan
from frame3d.site.survey import Site, site_of

_MOST_HOOPS = 26
"""Sockets of a side that a sheet has room to tell."""


def add_plot(builder: SheetSetBuilder, site: Site) -> None:
    """The plot plan, with the levels that were taken; nothing without boundary or services."""
    add_plot_plan(builder, _spots(site))


def _spots(site: Site) -> list[Spot]:
    """The levels that were taken, in the axes of the frame."""
    if site.driving is None:
        return []
    axes = site.setting_out.axes
    return [
        (level.x_mm + axes.x_mm, level.y_mm + axes.y_mm, level.z_mm)
        for level in site.driving.ground.levels
    ]


def add_survey(builder: SheetSetBuilder) -> None:
    """Where levels were taken: what is staked, and how each socket is driven."""
    site = site_of(builder.frame, builder.status)
    if site.driving is not None:
        add_staking(builder, site)
        add_ground(builder, site)


def add_ground(builder: SheetSetBuilder, site: Site) -> None:
    """The ground in plan and along both sides; nothing without levels."""
    if site.driving is not None:
        _alone(builder, "Ground plan", contours.contour_plan(site), contours.notes(site))
        _earth(builder, site)
        _profiles(builder, site)


def _earth(builder: SheetSetBuilder, site: Site) -> None:
    """With both tables, beside the plan or below it."""
    notes, plan = earth_plan.notes(site), earth_plan.earth_plan(site)
    size = builder.ground(notes).view_size
    options = []
    for edges in ((ViewEdge.BOTTOM, ViewEdge.BOTTOM), (ViewEdge.RIGHT, ViewEdge.RIGHT)):
        tables = (
            earth_plan.earthwork_rows(site, edges[0]), earth_plan.water_rows(site, edges[1])
        )  # fmt: skip
        view = replace(plan, annotations=(*plan.annotations, *tables))
        placed = best_scale(view, size, builder.lengths)
        options += [placed] if placed else []
    if options:
        best = min(options, key=lambda view: (len(view.problems), view.crowded, view.scale))
        builder.add("Earthwork and water", [best], notes, SETTING_OUT)
    else:
        builder.missing("The plan of earthwork and water")


def _profiles(builder: SheetSetBuilder, site: Site) -> None:
    """Both sides, each in as few stretches as its table has room beside."""
    hoops = len(site.frame.grid.hoop_y_mm)
    parts = math.ceil(hoops / _MOST_HOOPS)
    while True:
        times = profile.exaggeration(site, parts)
        notes = profile.notes(site, times)
        placed = _stretched(builder, site, parts, times, notes)
        done = placed and not any(view.problems or view.crowded for _, view in placed)
        if done or parts >= hoops // 2:
            break
        parts += 1
    for number, (side, view) in enumerate(placed):
        part = f", {number % parts + 1} of {parts}" if parts > 1 else ""
        builder.add(f"Driving, {side.value} side{part}", [view], notes, SETTING_OUT)
    if not placed:
        builder.missing("The profiles of the sides")


def _stretched(
    builder: SheetSetBuilder, site: Site, parts: int, times: int, notes: Sequence[str]
) -> list[tuple[Side, PlacedView]]:
    """Every stretch of both sides with its table; empty if one of them does not fit."""
    made = []
    size = builder.ground(notes).view_size
    for side in (Side.LEFT, Side.RIGHT):
        for stretch in stretches(site.frame.grid, parts):
            view = profile.profile(site, side, times, stretch)
            table = profile.driving_table(site, side, stretch)
            options = [
                best_scale(_tabled(view, table, edge), size, builder.lengths)
                for edge in (ViewEdge.BOTTOM, ViewEdge.RIGHT)
            ]
            placed = [option for option in options if option]
            if not placed:
                return []
            made.append((side, min(placed, key=lambda v: (len(v.problems), v.crowded, v.scale))))
    return made


def add_staking(builder: SheetSetBuilder, site: Site) -> None:
    """With running figures for every hoop where there is room for them, else for the ends."""
    notes, table = staking_plan.notes(site), staking_plan.skew_table(site)
    size = builder.ground(notes).view_size
    tried: list[PlacedView] = []
    for running in (True, False):
        for edge in (ViewEdge.BOTTOM, ViewEdge.RIGHT):
            view = _tabled(staking_plan.staking_plan(site, running=running), table, edge)
            placed = best_scale(view, size, builder.lengths)
            if placed and not placed.problems and not placed.crowded:
                builder.add("Staking plan", [placed], notes, SETTING_OUT)
                return
            tried += [placed] if placed else []
    if tried:
        best = min(tried, key=lambda view: (len(view.problems), view.crowded, view.scale))
        builder.add("Staking plan", [best], notes, SETTING_OUT)
    else:
        builder.missing("The staking plan")


def _tabled(view: View, table: Table, edge: ViewEdge) -> View:
    return replace(view, annotations=(*view.annotations, replace(table, edge=edge)))


def _alone(builder: SheetSetBuilder, title: str, view: View, notes: Sequence[str]) -> None:
    placed = best_scale(view, builder.ground(notes).view_size, builder.lengths)
    if placed:
        builder.add(title, [placed], notes, SETTING_OUT)
    else:
        builder.missing(title)
