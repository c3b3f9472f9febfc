"""Tube, timber and fastener sizes, each with its source, and how to find them.

``tube_section("NPS 1-1/2 STD")``, ``timber_section("2x8")``, ``bolt_size("3/8")`` and
their like find a size by name; ``rows(Kind.TUBE)`` lists all of them with where each
figure comes from. The tables are the ``.csv`` files beside the modules.
"""

from frame3d.catalog.bolting import choose_bolt_length, grip_to_length, thread_length_mm
from frame3d.catalog.csv_tables import CatalogKind, CatalogRow, Status, names, rows
from frame3d.catalog.gauges import GaugeSystem, wall_from_gauge
from frame3d.catalog.lookup import (
    bolt_size,
    clearance_mm,
    lag_screw,
    nut_size,
    screw,
    timber_rows,
    timber_section,
    timber_stock_lengths_mm,
    tube_rows,
    tube_section,
    tube_stock_lengths_mm,
    washer_size,
)

__all__ = [
    "CatalogRow",
    "GaugeSystem",
    "CatalogKind",
    "Status",
    "bolt_size",
    "choose_bolt_length",
    "clearance_mm",
    "grip_to_length",
    "lag_screw",
    "names",
    "nut_size",
    "rows",
    "screw",
    "thread_length_mm",
    "timber_rows",
    "timber_section",
    "timber_stock_lengths_mm",
    "tube_rows",
    "tube_section",
    "tube_stock_lengths_mm",
    "wall_from_gauge",
    "washer_size",
]
