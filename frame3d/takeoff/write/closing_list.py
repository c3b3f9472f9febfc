"""The table of what closes the frame: film, wire and sheets."""

from __future__ import annotations

from frame3d.design.tables.whole_design import CoverListed
from frame3d.frame.describe.closing import needed_cover
from frame3d.frame.describe.wording import lengths_of
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.cut_lists import length_columns
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_NOTES = {
    CoverListed.PARTS: "Channel is with the bars, its screws with the hardware. Film under wind is "
    "for its supplier.",
    CoverListed.FIGURES: "The design has the cover as figures: this table is not in the cost, and "
    'channel is not in the cutting plans. With listed_as = "parts" in [cover] it is. Film under '
    "wind is for its supplier.",
}


def closing_table(takeoff: Takeoff) -> DataTable:
    """Film, wire and sheets as they are bought."""
    frame = takeoff.frame
    form = lengths_of(frame)

    def said(length_mm: float | None) -> str:
        return "" if length_mm is None else form.text(length_mm, unit=True)

    rows: list[dict[str, Value]] = []
    for one in needed_cover(frame):
        wide, long = one.width_mm, one.length_mm
        rows.append(
            {
                "item": one.item,
                "use": one.use,
                "width": wide,
                "width_text": said(wide),
                "length": long,
                "length_text": said(long),
                "count": one.count,
                "area": None if wide is None or long is None else wide * long * one.count / 1e6,
                "note": one.note,
            }
        )
    return DataTable(
        key="cover",
        title="Film, wire and sheets to buy",
        columns=(
            DataColumn(key="item", header="Item", width=40),
            DataColumn(key="use", header="Use", width=20),
            *length_columns(frame, "width", "Width"),
            *length_columns(frame, "length", "Length"),
            DataColumn(key="count", header="Count", quantity=Quantity.COUNT, width=8),
            DataColumn(key="area", header="Area", quantity=Quantity.AREA, width=10, total=True),
            DataColumn(key="note", header="Note", width=40),
        ),
        rows=tuple(rows),
        note=_NOTES[frame.design.cover.listed_as],
    )
