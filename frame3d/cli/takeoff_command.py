"""``frame3d takeoff``: what to order and how to cut it."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import end_with, faults_told, frames_of, out_folder
from frame3d.cli.show import say, show_cautions, show_grid, show_order, show_table, size_text

if TYPE_CHECKING:
    from frame3d.frame.model.members import Frame
    from frame3d.takeoff.quotes.mix import Bill, Mix
    from frame3d.takeoff.quotes.price_lists import PriceList
    from frame3d.takeoff.take_off import Takeoff
    from frame3d.takeoff.write.alternatives import SideBySide
    from frame3d.units.data_tables import DataTable, Value

_MOST_NAMED = 8


@app.command()
def takeoff(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON only.")] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for the workbook, JSON, CSV, the cutting picture, and the requests for "
            "quotation. Without it, nothing is written.",
            show_default=False,
        ),
    ] = None,
    quote: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="FILE",
            help="A supplier's price list, a CSV file such as a request that was filled in. Give "
            "it once for each supplier: their costs and the cheapest mix are shown.",
            show_default=False,
        ),
    ] = None,
    tried: Annotated[
        list[str] | None,
        typer.Option(
            "--try",
            metavar="FIELD=VALUE",
            help="Show the order with another value beside this one, such as "
            '"order.bar_lengths=20 ft", "order.bolt_pack=25" or "hoop.splice=sleeve". May be '
            "repeated; put a semicolon between values that belong to one order, and "
            "FIELD= takes the default.",
            show_default=False,
        ),
    ] = None,
    against: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="OTHER",
            help="Show the order of another design file beside this one. May be repeated.",
            show_default=False,
        ),
    ] = None,
    since: Annotated[
        Path | None,
        typer.Option(
            metavar="BUILD",
            help="Folder of an older build, or its summary.json, whose marks are kept: give here "
            "what you give to build.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """List what to order and how to cut it: tube, boards, hardware, weights, cost."""
    with faults_told():
        from frame3d.building import frame_set_of, lists_of
        from frame3d.ordering.work_tables import work_tables
        from frame3d.single_builds import build_order
        from frame3d.takeoff.quotes.mix import mixes_of
        from frame3d.takeoff.quotes.order_lines import order_lines
        from frame3d.takeoff.quotes.price_lists import read_price_lists
        from frame3d.takeoff.take_off import halves_told
        from frame3d.takeoff.write.alternatives import SideBySide, alternatives_table
        from frame3d.takeoff.write.quote_tables import quote_tables
        from frame3d.takeoff.write.takeoff_files import takeoff_text

        frame, *others = frames_of([design, *(against or ())], since=since)
        lists = read_price_lists(quote or ())
        whole = frame_set_of(frame, lists_of(frame))
        found = whole.takeoff
        quotes = mixes_of(order_lines(found), lists)
        more = quote_tables(found, quotes)
        if tried or against:
            beside = [SideBySide(name=design.name, takeoff=found, quotes=quotes)]
            beside += _beside(design, against or (), others, tried or (), lists)
            more = (*more, alternatives_table(beside))
        files = build_order(found, out, more) if out is not None else ()
        if as_json:
            sys.stdout.write(takeoff_text(found, (*work_tables(frame), *more)))
            end_with(whole.status, uncut=found.uncut)
            return
        show_order(found)
        for one in lists:
            for told in halves_told(one.prices, found.hardware, one.name):
                say(f"{told}.")
        _show_quotes(found, quotes)
        if tried or against:
            _show_alternatives(found, more[-1])
        if files:
            show_table(
                [(path.name, size_text(path)) for path in files],
                title=f"Files in {out}",
                right=True,
            )
        show_cautions()
        end_with(whole.status, uncut=found.uncut)


def _beside(
    design: Path,
    paths: Sequence[Path],
    frames: Sequence[Frame],
    tried: Sequence[str],
    lists: tuple[PriceList, ...],
) -> Iterator[SideBySide]:
    """The orders of other designs, and of this one with other values."""
    from frame3d.building import laid_out, taken_off
    from frame3d.cli.tried_designs import tried_design
    from frame3d.takeoff.quotes.mix import mixes_of
    from frame3d.takeoff.quotes.order_lines import order_lines
    from frame3d.takeoff.write.alternatives import SideBySide

    named = [(path.name, frame) for path, frame in zip(paths, frames, strict=True)]
    named += [(text, laid_out(tried_design(design, text))) for text in tried]
    for name, frame in named:
        order = taken_off(frame)
        yield SideBySide(name=name, takeoff=order, quotes=mixes_of(order_lines(order), lists))


def _show_alternatives(found: Takeoff, table: DataTable) -> None:
    from frame3d.units.data_tables import Quantity, Units

    units = Units(system=found.frame.design.output.units, currency=found.currency)
    rows = [
        [_shown(value, is_name=not place, is_money=column.quantity is Quantity.MONEY)
         for place, (column, value) in enumerate(zip(table.columns, values, strict=True))]
        for values in table.values(units)
    ]  # fmt: skip
    header = [table.header(column, units) for column in table.columns]
    # A row of figures for each name: there are more columns than a terminal is wide.
    names = [row[0] for row in rows]
    turned = [[head, *(row[place] for row in rows)] for place, head in enumerate(header) if place]
    show_grid([header[0], *names], turned, title=table.title)
    say(table.note)


def _shown(value: Value, *, is_name: bool, is_money: bool) -> str:
    if isinstance(value, str) or value is None:
        return value or "-"
    if isinstance(value, int) and not is_money:
        return f"{value}"
    return f"{value:.2f}" if is_money or is_name else f"{value:.1f}"


def _show_quotes(found: Takeoff, quotes: Sequence[Mix]) -> None:
    """What each supplier asks, and the mix that costs least; each currency by itself."""
    from frame3d.frame.describe.wording import lengths_of
    from frame3d.takeoff.write.quote_tables import line_name

    form = lengths_of(found.frame)
    header = ("Supplier", "Lines", "Goods", "To minimum order", "Freight", "Tax", "To pay")
    for mix in quotes:
        named = f", {mix.currency}" if mix.currency else ""
        rows = [(*_bill(one.bill), f"{len(one.missing)}") for one in mix.alone]
        show_grid((*header, "Lines missing"), rows, title=f"Each supplier alone{named}")
        for one in mix.alone:
            if one.missing:
                told = "; ".join(line_name(line, form) for line in one.missing[:_MOST_NAMED])
                more = len(one.missing) - _MOST_NAMED
                say(f"Not in {one.bill.supplier}: {told}{f'; and {more} more' if more > 0 else ''}")
        rows = [_bill(bill) for bill in mix.bills]
        rows.append(("together", "", "", "", "", "", f"{mix.total:.2f}"))
        show_grid(header, rows, title=f"Cheapest mix{named}")
        if not mix.is_proven:
            say(f"Not proven best: no mix costs less than {mix.least:.2f}{named}.")
        if mix.missing:
            say(
                f"{len(mix.missing)} lines have no price in any of these lists: "
                + "; ".join(line_name(line, form) for line in mix.missing[:_MOST_NAMED])
            )
    if len(quotes) > 1:
        say("Currencies are compared apart and never added.")


def _bill(bill: Bill) -> tuple[str, ...]:
    amounts = (bill.goods, bill.to_minimum, bill.freight, bill.tax, bill.total)
    return (bill.supplier, f"{bill.lines}", *(f"{amount:.2f}" for amount in amounts))
