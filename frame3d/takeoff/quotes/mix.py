"""What an order costs from each supplier, and the mix of suppliers that costs least.

An order of a supplier costs its goods, or its minimum where that is more, then freight, then tax
on both. Nothing is bought twice, and no sum holds two currencies: lists in different ones are
compared apart.

References
----------
The choice of packs and suppliers is a set of whole numbers, found by HiGHS by way of scipy; the
same lists give the same mix, as it is bounded by nodes and not by a clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

from frame3d.takeoff.quotes.order_lines import OrderLine
from frame3d.takeoff.quotes.price_lists import PackPrice, PriceList, money, pack_prices

if TYPE_CHECKING:
    from scipy.sparse import csr_array

_NODES = 20_000
"""Of the solver's tree, at most; a mix that is not proven best by then is told as one."""
_CLOSE = Decimal("0.005")
"""Half a cent, or whatever the coin is: what is closer to the bound is proven."""
_ZERO = Decimal(0)
_Packs = dict[tuple[int, int], tuple[PackPrice, ...]]
"""By the places of a line and of a list what that list offers for the line."""


class Bill(Struct, frozen=True, kw_only=True):
    """What one supplier is paid.

    Parameters
    ----------
    supplier : str
    lines : int
        How many lines of the order come from there.
    goods : Decimal
    to_minimum : Decimal
        What is missing from the minimum order, and paid all the same.
    freight, tax, total : Decimal
    """

    supplier: str
    lines: int
    goods: Decimal
    to_minimum: Decimal
    freight: Decimal
    tax: Decimal
    total: Decimal


class Bought(Struct, frozen=True, kw_only=True):
    """Packs of one size of one line from one supplier."""

    line: OrderLine
    supplier: str
    pack: int
    packs: int
    price: Decimal

    @property
    def amount(self) -> Decimal:
        """What they cost."""
        return self.packs * self.price


class Alone(Struct, frozen=True, kw_only=True):
    """What one supplier has of the order, and what it would be paid for that."""

    bill: Bill
    missing: tuple[OrderLine, ...]


class Mix(Struct, frozen=True, kw_only=True):
    """What is bought where, of lists in one currency.

    Parameters
    ----------
    currency : str
        Empty where the lists name none.
    alone : tuple of Alone
        Each supplier by itself.
    bought : tuple of Bought
        The mix that costs least, in the order of the lines.
    bills : tuple of Bill
        Of the suppliers in it.
    missing : tuple of OrderLine
        Lines without a price in any of the lists.
    least : Decimal
        What no mix costs less than; the total of this one where it is proven best.
    """

    currency: str
    alone: tuple[Alone, ...]
    bought: tuple[Bought, ...]
    bills: tuple[Bill, ...]
    missing: tuple[OrderLine, ...]
    least: Decimal

    @property
    def total(self) -> Decimal:
        """What all suppliers in the mix are paid."""
        return sum((bill.total for bill in self.bills), _ZERO)

    @property
    def is_proven(self) -> bool:
        """Whether no mix costs less."""
        return self.total - self.least < _CLOSE


def bill_of(one: PriceList, lines: int, goods: Decimal) -> Bill:
    """What a supplier is paid for goods of ``lines`` lines; nothing where there are none."""
    charges = one.prices.charges
    if not lines:
        zero = dict.fromkeys(("goods", "to_minimum", "freight", "tax", "total"), _ZERO)
        return Bill(supplier=one.name, lines=0, **zero)
    minimum, freight = (money(value or 0.0) for value in (charges.minimum, charges.freight))
    extra = max(_ZERO, minimum - goods)
    before = goods + extra + freight
    tax = before * money(charges.tax_percent or 0.0) / 100
    return Bill(
        supplier=one.name, lines=lines, goods=goods, to_minimum=extra, freight=freight, tax=tax,
        total=before + tax,
    )  # fmt: skip


def mixes_of(lines: Sequence[OrderLine], lists: Sequence[PriceList]) -> tuple[Mix, ...]:
    """The cheapest mix of the lists of each currency, in the order of the lists."""
    by_currency: dict[str, list[PriceList]] = {}
    for one in lists:
        by_currency.setdefault(one.prices.currency, []).append(one)
    return tuple(_mix(currency, lines, own) for currency, own in by_currency.items())


def _mix(currency: str, lines: Sequence[OrderLine], lists: Sequence[PriceList]) -> Mix:
    packs: _Packs = {
        (row, place): pack_prices(line, one.prices)
        for row, line in enumerate(lines)
        for place, one in enumerate(lists)
    }
    alone = []
    for place, one in enumerate(lists):
        bought, _ = _cheapest(lines, [one], {(r, 0): packs[r, place] for r in range(len(lines))})
        missing = tuple(line for row, line in enumerate(lines) if not packs[row, place])
        alone.append(Alone(bill=_bills([one], bought)[0], missing=missing))
    bought, least = _cheapest(lines, lists, packs)
    there = {line.number for row, line in enumerate(lines)
             if any(packs[row, place] for place in range(len(lists)))}  # fmt: skip
    return Mix(
        currency=currency,
        alone=tuple(alone),
        bought=bought,
        bills=tuple(bill for bill in _bills(lists, bought) if bill.lines),
        missing=tuple(line for line in lines if line.number not in there),
        least=least,
    )


def _bills(lists: Sequence[PriceList], bought: Sequence[Bought]) -> list[Bill]:
    bills = []
    for one in lists:
        own = [buy for buy in bought if buy.supplier == one.name]
        goods = sum((buy.amount for buy in own), _ZERO)
        bills.append(bill_of(one, len({buy.line.number for buy in own}), goods))
    return bills


def _cheapest(
    lines: Sequence[OrderLine], lists: Sequence[PriceList], packs: _Packs
) -> tuple[tuple[Bought, ...], Decimal]:
    """What is bought where for the least money, and what no choice costs less than."""
    problem = _Problem(lines, lists, packs)
    if not problem.uses:
        return (), _ZERO
    counts, least = problem.solved()
    bought = [
        Bought(line=lines[row], supplier=lists[place].name, pack=one.pack, packs=count,
               price=one.price)
        for (row, place, number), count in sorted(counts.items())
        for one in [packs[row, place][number]]
    ]  # fmt: skip
    total = sum((bill.total for bill in _bills(lists, bought)), _ZERO)
    return tuple(bought), min(least, total)


class _Problem:
    """The choice as whole numbers: packs of each size of each line from each list.

    First come the numbers of packs, then for each list whether it has an order, then what it is
    paid before tax.
    """

    def __init__(
        self, lines: Sequence[OrderLine], lists: Sequence[PriceList], packs: _Packs
    ) -> None:
        self._lists = lists
        self.uses = [
            (row, place, number)
            for row in range(len(lines))
            for place in range(len(lists))
            for number in range(len(packs[row, place]))
        ]
        self._offers = [packs[row, place][number] for row, place, number in self.uses]
        self._most = [
            -(-lines[row].pieces // offer.pack)
            for (row, _, _), offer in zip(self.uses, self._offers, strict=True)
        ]
        self._needed = {row: lines[row].pieces for row, _, _ in self.uses}
        # Prices near to one, as the solver's tolerances are absolute.
        self._unit = max(
            (float(offer.price) for offer in self._offers if offer.price), default=1.0
        )  # fmt: skip

    def solved(self) -> tuple[dict[tuple[int, int, int], int], Decimal]:
        """How many packs of each, and what no choice costs less than."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp  # only here: long to load

        matrix, least = self._constraints()
        count, orders = len(self.uses), len(self._lists)
        costs = np.concatenate([np.zeros(count + orders), [self._rate(p) for p in self._lists]])
        highest = np.concatenate([self._most, np.ones(orders), np.full(orders, np.inf)])
        whole = np.concatenate([np.ones(count + orders), np.zeros(orders)])
        found = milp(
            costs,
            integrality=whole,
            bounds=Bounds(np.zeros(len(costs)), highest),
            constraints=LinearConstraint(matrix, lb=least),
            options={"mip_rel_gap": 0.0, "node_limit": _NODES},
        )
        if found.x is None:
            raise RuntimeError(f"no mix was found: {found.message}")
        counts = [round(value) for value in found.x[:count]]
        bound = found.fun if found.mip_dual_bound is None else found.mip_dual_bound
        return self._without_surplus(counts), money(float(bound) * self._unit)

    def _without_surplus(self, counts: list[int]) -> dict[tuple[int, int, int], int]:
        """The packs that are needed: one that is free, or counts to a minimum, may be idle."""
        kept: dict[tuple[int, int, int], int] = {}
        for row, needed in self._needed.items():
            own = [n for n, use in enumerate(self.uses) if use[0] == row]
            idle = sum(self._offers[n].pack * counts[n] for n in own) - needed
            for n in sorted(own, key=lambda n: -self._offers[n].pack):
                dropped = min(counts[n], idle // self._offers[n].pack)
                idle -= dropped * self._offers[n].pack
                if counts[n] > dropped:
                    kept[self.uses[n]] = counts[n] - dropped
        return kept

    def _constraints(self) -> tuple[csr_array, list[float]]:
        """Enough of each line; no packs without an order; goods and minimum are paid."""
        from scipy.sparse import csr_array

        count, orders = len(self.uses), len(self._lists)
        rows: list[dict[int, float]] = []
        least: list[float] = []
        for row, needed in self._needed.items():
            own = [n for n, use in enumerate(self.uses) if use[0] == row]
            rows.append({n: float(self._offers[n].pack) for n in own})
            least.append(float(needed))
        for n, (_, place, _) in enumerate(self.uses):
            rows.append({n: -1.0, count + place: float(self._most[n])})
            least.append(0.0)
        for place, one in enumerate(self._lists):
            charges = one.prices.charges
            minimum, freight = (
                (value or 0.0) / self._unit for value in (charges.minimum, charges.freight)
            )
            own = [n for n, use in enumerate(self.uses) if use[1] == place]
            paid = {count + orders + place: 1.0}
            goods = {n: -float(self._offers[n].price) / self._unit for n in own}
            rows.append({**goods, count + place: -freight, **paid})
            rows.append({count + place: -minimum - freight, **paid})
            least += [0.0, 0.0]
        places = [(r, c, v) for r, row in enumerate(rows) for c, v in row.items()]
        i, j, values = zip(*places, strict=True)
        return csr_array((values, (i, j)), shape=(len(rows), count + 2 * orders)), least

    @staticmethod
    def _rate(one: PriceList) -> float:
        """With tax."""
        return 1.0 + (one.prices.charges.tax_percent or 0.0) / 100
