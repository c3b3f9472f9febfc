"""The sheets of a site: staking plan, and with levels the ground in plan and both profiles."""

from __future__ import annotations

from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.sets.ground_sheets import add_ground, add_plot, add_staking
from frame3d.sheets.sets.numbered import builder_for, sheet_set_of
from frame3d.site.survey import Site

SERIES = "SITE"
"""Sheets of a site are counted from 1, so they must not go by the number of the frame's set."""


def draw_site(site: Site) -> SheetSet:
    """The sheets of ``site``; nothing is written."""
    builder = builder_for(site.frame, site.status)
    builder.series = SERIES
    add_staking(builder, site)
    add_plot(builder, site)
    add_ground(builder, site)
    return sheet_set_of(builder)
