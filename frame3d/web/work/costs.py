"""What there is to buy and what it costs: the order by supplier, with the price lists at hand."""

from __future__ import annotations

import json
from collections.abc import Sequence

from frame3d.design.reading.user_lists import GivenList
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.describe.wording import fine_lengths, lengths_of
from frame3d.takeoff.quotes.mix import Bill, Mix, mixes_of
from frame3d.takeoff.quotes.order_lines import OrderLine, groups_of, order_lines
from frame3d.takeoff.quotes.price_lists import PriceList, read_price_lists
from frame3d.takeoff.write.quote_tables import line_name
from frame3d.units import LengthFormat
from frame3d.units.data_tables import Json
from frame3d.web.work.read_designs import set_of


def shopping_list(text: str, lists: str, quotes: str) -> dict[str, Json]:
    """The order of a design by who sells it, and what the price lists make of it.

    Parameters
    ----------
    text, lists : str
        The design, and the lists that came with it as :mod:`frame3d.web.requests.given` packs them.
    quotes : str
        Price lists, as :func:`frame3d.web.requests.given.packed_quotes` packs them.

    Returns
    -------
    dict
        ``groups``: title and lines of each, a line with what is bought of it where; ``mixes``:
        one for each currency, with what each supplier is paid; ``missing``: what has no price in
        any list; ``faults``: by the name of a list; ``told``: what must be known before ordering.
    """
    made = set_of(text, lists)
    lines = order_lines(made.takeoff)
    sound, faults = _read([GivenList(**one) for one in json.loads(quotes or "[]")])
    mixes = mixes_of(lines, sound)
    form = lengths_of(made.frame)
    priced = {buy.line.number for mix in mixes for buy in mix.bought}
    return {
        "groups": [
            {"title": group, "lines": [_line(line, mixes, form) for line in own]}
            for group, own in groups_of(lines).items()
        ],
        "mixes": [_mix(mix, form) for mix in mixes],
        "missing": [line_name(line, form) for line in lines if line.number not in priced],
        "faults": faults,
        "told": [*made.status.short_list(), *made.takeoff.findings],
        "stopped": made.status.headline,
    }


def _read(given: Sequence[GivenList]) -> tuple[list[PriceList], dict[str, list[str]]]:
    """The lists that can be read, and what is wrong with the others."""
    sound: list[PriceList] = []
    faults: dict[str, list[str]] = {}
    for one in given:
        try:
            (read,) = read_price_lists([one])
        except DesignFaults as error:
            faults[one.name] = [str(fault) for fault in error.faults]
        except DesignError as error:
            faults[one.name] = [error.message]
        else:
            if read.name in [other.name for other in sound]:
                faults[one.name] = [f"there is another list called {read.name}; rename one"]
            else:
                sound.append(read)
    return sound, faults


def _line(line: OrderLine, mixes: Sequence[Mix], form: LengthFormat) -> dict[str, Json]:
    long = line.length_mm
    return {
        "number": line.number,
        "item": line.item,
        "length": "" if long is None else form.text(long, unit=True),
        # As a price list is to have it, so that it is the same length when it is read.
        "exact": "" if long is None else fine_lengths(form).text(long, unit=True),
        "quantity": line.quantity,
        "asked": ", ".join(filter(None, (line.standard, line.grade, line.finish))),
        "bought": [
            {
                "supplier": buy.supplier, "currency": mix.currency, "price": f"{buy.price:.2f}",
                "packs": f"{buy.packs} of {buy.pack}" if buy.pack > 1 else f"{buy.packs}",
                "amount": f"{buy.amount:.2f}",
            }
            for mix in mixes
            for buy in mix.bought
            if buy.line.number == line.number
        ],
    }  # fmt: skip


def _mix(mix: Mix, form: LengthFormat) -> dict[str, Json]:
    return {
        "currency": mix.currency,
        "total": f"{mix.total:.2f}",
        "least": "" if mix.is_proven else f"{mix.least:.2f}",
        "bills": [_bill(bill) for bill in mix.bills],
        "alone": [
            {**_bill(one.bill), "missing": [line_name(line, form) for line in one.missing]}
            for one in mix.alone
        ],
        "missing": [line_name(line, form) for line in mix.missing],
    }


def _bill(bill: Bill) -> dict[str, Json]:
    return {
        "supplier": bill.supplier, "lines": bill.lines, "goods": f"{bill.goods:.2f}",
        "to_minimum": f"{bill.to_minimum:.2f}", "freight": f"{bill.freight:.2f}",
        "tax": f"{bill.tax:.2f}", "total": f"{bill.total:.2f}",
    }  # fmt: skip
