"""The files of a take-off, all written from the same tables."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.bar_picture import bar_picture
from frame3d.takeoff.write.part_lists import tables_of
from frame3d.takeoff.write.records import record_of, record_text, write_csv, write_prices
from frame3d.takeoff.write.workbook import write_workbook
from frame3d.takeoff.write.yard_list import yard_text
from frame3d.units.data_tables import DataTable, Units

TABLES = (
    "parts", "materials", "sums", "stock", "cuts", "plans", "hardware", "cover", "joints",
    "handling", "hoops", "cost", "order",
)  # fmt: skip
"""The tables, each of which is a sheet of the workbook and a CSV file."""
WORK_TABLES = ("bundles", "hours", "phases", "rates")
"""Those that who knows the guide adds to them."""
CREW_FILES = ("takeoff-days.csv", "takeoff-deliveries.csv")
"""Tables that there are only where a crew is named."""
PICTURE, PRICES, YARD = "takeoff-cuts.svg", "takeoff-prices.csv", "takeoff-yard.csv"
TAKEOFF_FILES = (
    "takeoff.xlsx", "takeoff.json", *(f"takeoff-{key}.csv" for key in (*TABLES, *WORK_TABLES)),
    PICTURE, PRICES,
    YARD,
)  # fmt: skip
"""What a take-off writes; of tables that were asked for besides, a CSV file each."""


def takeoff_text(takeoff: Takeoff, more: Sequence[DataTable] = ()) -> str:
    """The text of ``takeoff.json``, with ``more`` tables."""
    return record_text(record_of(takeoff, (*tables_of(takeoff), *more)))


def write_takeoff(takeoff: Takeoff, folder: Path, more: Sequence[DataTable] = ()) -> None:
    """Write every file of the take-off into ``folder``, which is there and may be spoilt.

    ``more`` tables stand in JSON and workbook, and have a CSV file each.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    tables = (*tables_of(takeoff), *more)
    units = Units(system=takeoff.frame.design.output.units, currency=takeoff.currency)
    write_workbook(folder / "takeoff.xlsx", takeoff, tables, units)
    text = record_text(record_of(takeoff, tables))
    (folder / "takeoff.json").write_text(text, encoding="utf-8", newline="\n")
    for table in tables:
        write_csv(folder / f"takeoff-{table.key}.csv", table, units)
    (folder / PICTURE).write_text(bar_picture(takeoff), encoding="utf-8", newline="\n")
    write_prices(folder / PRICES, takeoff)
    (folder / YARD).write_text(yard_text(takeoff), encoding="utf-8", newline="\n")
