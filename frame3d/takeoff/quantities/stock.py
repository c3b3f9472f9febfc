"""Stock: lengths that can be bought, and what lies in the yard.

The user's stock list has the columns ``section`` (as the catalogue or the design calls it),
``length``, ``count`` (empty: any number can be bought), ``owned`` (yes: it lies in the yard
and is used first; no or empty: it can be bought), ``price`` (of one; empty: that of the price
list), ``note``.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.catalog import (
    timber_section,
    timber_stock_lengths_mm,
    tube_section,
    tube_stock_lengths_mm,
)
from frame3d.catalog.sections import ChannelSection, FlatBarSection, TimberSection, TubeSection
from frame3d.design.reading.user_lists import ListSource, UserList, name_key, read_user_list
from frame3d.design.tables.whole_design import Design
from frame3d.errors import CatalogError
from frame3d.frame.describe.cut_lengths import Section
from frame3d.frame.describe.flat_bars import FLAT_BAR
from frame3d.takeoff.cutting.pieces_and_bars import Stock
from frame3d.takeoff.quantities.prices import Prices
from frame3d.units import MM_PER_INCH, LengthFormat, UnitSystem

COLUMNS = ("section", "length", "count", "owned", "price", "note")
_WHERE = "order.stock_file"
_SAME_MM = 1.0
_BY_SIZE = ("film channel ", f"{FLAT_BAR} ")
"""Sections that are named by their sizes: offcuts of them may be none of the next design's."""


class StockRow(Struct, frozen=True, kw_only=True):
    """One row of the user's stock list.

    Parameters
    ----------
    name : str
        The section as the list has it.
    sections : tuple of str
        Keys of the names that the section goes by.
    length_mm : float
    count : int or None
        None for any number.
    owned : bool
    price : float or None
        Of one.
    """

    name: str
    sections: tuple[str, ...]
    length_mm: float
    count: int | None
    owned: bool
    price: float | None


def kg_per_m(section: Section) -> float:
    """Mass of one metre of a tube, a channel, a flat bar or a board, kg/m."""
    if not isinstance(section, TimberSection):
        return section.mass_kg_per_m
    return section.area_mm2 * section.density_kg_per_m3 * 1e-6


def read_stock(path: ListSource, known: frozenset[str]) -> tuple[StockRow, ...]:
    """The stock list in a file.

    Parameters
    ----------
    path : Path or GivenList
    known : frozenset of str
        Names of the sections of the frame, which need not be in the catalogue.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows.
    """
    found = read_user_list(path, columns=COLUMNS, needed=("section", "length"), where=_WHERE)
    keys = {name_key(name) for name in known}
    rows = []
    for row in found.rows:
        owned = found.choice(row, "owned", ("yes", "no")) == "yes"
        count = found.whole(row, "count", low=0)
        length = found.length_mm(row, "length")
        if not row.cells["length"]:
            found.fault(row.number, "length", 'is empty; give a length such as "24 ft" or "6 m"')
        if owned and not row.cells.get("count"):
            found.fault(row.number, "count", "is empty; say how many you have on hand")
        rows.append(
            StockRow(
                name=row.cells["section"],
                sections=_names(found, row.number, row.cells["section"], keys),
                length_mm=length or 0.0,
                count=count,
                owned=owned,
                price=found.number(row, "price"),
            )
        )
    found.done()
    return tuple(rows)


def stocks_for(
    section: Section,
    longest_mm: float,
    design: Design,
    listed: tuple[StockRow, ...],
    prices: Prices,
    form: LengthFormat,
) -> tuple[Stock, ...]:
    """What bars of ``section`` there are: owned ones first, then rising lengths.

    What can be bought is what the user's stock list says; else, for tube, the lengths that
    ``order.bar_lengths`` gives; else the stock lengths that the design gives for this section;
    else, or where none of those is long enough for a piece of ``longest_mm``, those of the
    catalogue.
    """
    key = name_key(section.name)
    mine = [row for row in listed if key in row.sections and row.count != 0]
    stocks = [
        Stock(
            name=f"{form.text(row.length_mm, unit=True)} on hand",
            length_mm=row.length_mm,
            price=None,
            available=row.count,
            owned=True,
        )
        for row in mine
        if row.owned
    ]
    stocks.sort(key=lambda stock: stock.length_mm)
    bought = [(r.length_mm, r.count, r.price) for r in mine if not r.owned]
    own = design.order.bar_lengths if isinstance(section, TubeSection) else ()
    if not bought and own:
        bought = [(length, None, None) for length in dict.fromkeys(own)]
    elif not bought:
        lengths = set(lengths_of_design(section, design))
        if not lengths or max(lengths) < longest_mm:
            lengths |= set(_lengths_of_catalogue(section, design.output.units))
        bought = [(length, None, None) for length in lengths]
    for length, count, price in sorted(bought, key=lambda entry: entry[0]):
        if price is None:
            price = prices.of_bar(section.name, length, kg_per_m(section))
        name = form.text(length, unit=True)
        stocks.append(Stock(name=name, length_mm=length, price=price, available=count))
    return tuple(stocks)


def _names(found: UserList, row: int, text: str, known: set[str]) -> tuple[str, ...]:
    """Keys of the names that the section in a cell goes by; a fault where it is no section."""
    if not text:
        found.fault(row, "section", "is empty; name a tube or a board")
        return ()
    names, told = {name_key(text)}, []
    for find in (tube_section, timber_section):
        try:
            names.add(name_key(find(text).name))
        except CatalogError as error:
            told.append(str(error.args[0]))
    by_size = text.casefold().startswith(_BY_SIZE)
    if len(told) == 2 and not by_size and not names & known:
        found.fault(row, "section", f"as a tube, {told[0]}; as a board, {told[1]}")
    return tuple(sorted(names))


def lengths_of_design(section: Section, design: Design) -> dict[float, str]:
    """Stock lengths that the design gives for this section, mm, and the field of each."""
    if isinstance(section, ChannelSection):
        return {design.cover.channel_length: "cover.channel_length"}
    if isinstance(section, FlatBarSection):
        return dict.fromkeys(design.order.flat_bar_lengths, "order.flat_bar_lengths")
    named = [(f"rail[{n}]", rail) for n, rail in enumerate(design.rail, start=1)]
    tables = [*named, ("sill_board", design.sill_board), ("side_opening", design.side_opening)]
    found: dict[float, str] = {}
    if isinstance(section, TubeSection):
        found |= dict.fromkeys(design.order.bar_lengths, "order.bar_lengths")
    for name, table in tables:
        if table and table.stocked == section:
            found.setdefault(table.stock_length, f"{name}.stock_length")
    return found


def overruled(
    section: Section, design: Design, listed: tuple[StockRow, ...], form: LengthFormat
) -> str:
    """What the stock list sets aside of the lengths that the design gives; empty for nothing."""
    key = name_key(section.name)
    sold = [row.length_mm for row in listed if key in row.sections and not row.owned and row.count]
    sold += [row.length_mm for row in listed
             if key in row.sections and not row.owned and row.count is None]  # fmt: skip
    dropped = {
        length: field
        for length, field in lengths_of_design(section, design).items()
        if not any(abs(length - one) < _SAME_MM for one in sold)
    }
    if not sold or not dropped:
        return ""
    there = ", ".join(form.text(length, unit=True) for length in sorted(set(sold)))
    gone = ", ".join(
        f"{form.text(length, unit=True)} ({field})" for length, field in sorted(dropped.items())
    )
    return (
        f"{section.name}: cut from the lengths that {design.order.stock_file} offers, {there}; the "
        f"design's own drop out: {gone}"
    )


def _lengths_of_catalogue(section: Section, units: UnitSystem) -> tuple[float, ...]:
    """Stock lengths of the catalogue, by the sizes of a section that has a name of its own."""
    if isinstance(section, ChannelSection | FlatBarSection):
        return ()  # as long as its supplier has it, which the design says
    if isinstance(section, TubeSection):
        find, sizes = tube_stock_lengths_mm, (section.od_mm, section.wall_mm)
    else:
        find, sizes = timber_stock_lengths_mm, (section.thickness_mm, section.depth_mm)
    try:
        return find(section.name)
    except CatalogError:
        pass
    if units is UnitSystem.IMPERIAL:
        return find(" x ".join(f"{size / MM_PER_INCH:.4f} in" for size in sizes))
    return find(" x ".join(f"{size:.3f} mm" for size in sizes))
