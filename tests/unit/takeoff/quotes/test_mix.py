"""The cheapest mix of suppliers, against every choice that there is, and by hand in Decimal."""

from __future__ import annotations

import itertools
import random
from decimal import Decimal

import pytest

from frame3d.takeoff.quantities.prices import Charges, Per, Price, Prices
from frame3d.takeoff.quantities.supply import Supply
from frame3d.takeoff.quotes.mix import Mix, bill_of, mixes_of
from frame3d.takeoff.quotes.order_lines import OrderLine
from frame3d.takeoff.quotes.price_lists import PackPrice, PriceList, pack_prices

Row = tuple[int, int | None, Per, float | None]
"""Of a list: number of the line, pack, what the price is for, price."""


def line(number: int, pieces: int) -> OrderLine:
    return OrderLine(
        number=number, item=f"thing {number}", length_mm=None, pieces=pieces, pack=1,
        supply=Supply.FASTENERS, group="fasteners", standard="", grade="", finish="", kg_per_m=0.0,
    )  # fmt: skip


def price_list(name: str, rows: list[Row], charges: Charges, currency: str = "X") -> PriceList:
    by_item: dict[str, list[Price]] = {}
    for number, pack, per, price in rows:
        item = f"thing {number}"
        row = Price(item=item, length_mm=None, price=price, per=per, pack=pack)
        by_item.setdefault(item, []).append(row)
    found = {item: tuple(own) for item, own in by_item.items()}
    return PriceList(name=name, prices=Prices(currency=currency, by_item=found, charges=charges))


def covers(
    one: OrderLine, lists: list[PriceList]
) -> list[tuple[tuple[Decimal, ...], tuple[bool, ...]]]:
    """Every way to have enough of a line: goods of each list, and whether it is used at all.

    Ways that cost no list less than another, and use no other list, are left out.
    """
    offers: list[tuple[int, PackPrice]] = [
        (place, offer) for place, own in enumerate(lists) for offer in pack_prices(one, own.prices)
    ]
    ways = set()
    for counts in itertools.product(*(range(-(-one.pieces // o.pack) + 1) for _, o in offers)):
        if sum(n * o.pack for n, (_, o) in zip(counts, offers, strict=True)) < one.pieces:
            continue
        goods, used = [Decimal(0)] * len(lists), [False] * len(lists)
        for count, (place, offer) in zip(counts, offers, strict=True):
            goods[place] += count * offer.price
            used[place] = used[place] or count > 0
        ways.add((tuple(goods), tuple(used)))

    def is_less(a: tuple, b: tuple) -> bool:
        return a != b and all(
            x <= y for one, two in zip(a, b, strict=True) for x, y in zip(one, two, strict=True)
        )

    return [way for way in ways if not any(is_less(other, way) for other in ways)]


def least_of_all(lines: list[OrderLine], lists: list[PriceList]) -> Decimal:
    """By trying everything."""
    totals = []
    ways = [own for own in (covers(one, lists) for one in lines) if own]
    for choice in itertools.product(*ways):
        total = Decimal(0)
        for place, own in enumerate(lists):
            goods = sum((way[0][place] for way in choice), Decimal(0))
            total += bill_of(own, sum(way[1][place] for way in choice), goods).total
        totals.append(total)
    return min(totals)


def drawn(seed: int) -> tuple[list[OrderLine], list[PriceList]]:
    chance = random.Random(seed)
    lines = [line(n, chance.randint(1, 9)) for n in range(1, 4)]
    lists = []
    for number in range(chance.randint(2, 3)):
        rows: list[Row] = [
            (one.number, pack, chance.choice([Per.EACH, Per.PACK]), chance.randint(1, 4000) / 1000)
            for one in lines
            for pack in chance.sample([1, 4, 10], chance.randint(0, 2))
        ]
        charges = Charges(
            freight=chance.choice([None, 2.5, 8.0]), minimum=chance.choice([None, 5.0, 30.0]),
            tax_percent=chance.choice([None, 8.25, 19.0]),
        )  # fmt: skip
        lists.append(price_list(f"yard {number}", rows, charges))
    return lines, lists


def enough(mix: Mix, lines: list[OrderLine]) -> bool:
    held = {one.number: 0 for one in lines}
    for buy in mix.bought:
        held[buy.line.number] += buy.pack * buy.packs
    missing = {one.number for one in mix.missing}
    return all(held[one.number] >= one.pieces for one in lines if one.number not in missing)


@pytest.mark.parametrize("seed", range(30))
def test_no_choice_costs_less(seed: int) -> None:
    lines, lists = drawn(seed)
    if not any(pack_prices(one, own.prices) for one in lines for own in lists):
        lists.append(price_list("last", [(1, 1, Per.EACH, 1.0)], Charges()))
    (mix,) = mixes_of(lines, lists)
    assert mix.is_proven and enough(mix, lines)
    assert mix.total == least_of_all(lines, lists)
    for alone, own in zip(mix.alone, lists, strict=True):
        known = [one for one in lines if one not in alone.missing]
        assert alone.bill.total == (least_of_all(known, [own]) if known else 0)


def test_by_hand() -> None:
    """110 bolts: yard A has 100 at 18.00 and 25 at 6.00, freight 10, tax 8 %; yard B each 0.21.

    A: 100 + 25 for 24, (24 + 10) × 1.08 = 36.72. B: 110 × 0.21 = 23.10. So B. With a minimum order
    of 40 at B it costs 40, and A is cheaper.
    """
    lines = [line(1, 110)]
    a = price_list(
        "A", [(1, 100, Per.PACK, 18.0), (1, 25, Per.PACK, 6.0)],
        Charges(freight=10.0, tax_percent=8.0),
    )  # fmt: skip
    b = price_list("B", [(1, None, Per.EACH, 0.21)], Charges())
    dear = price_list("B", [(1, None, Per.EACH, 0.21)], Charges(minimum=40.0))
    (mix,) = mixes_of(lines, [a, b])
    assert [(buy.supplier, buy.packs, buy.pack) for buy in mix.bought] == [("B", 110, 1)]
    assert mix.total == Decimal("23.10")
    (mix,) = mixes_of(lines, [a, dear])
    assert [(buy.supplier, buy.packs, buy.pack) for buy in mix.bought] == [
        ("A", 1, 25), ("A", 1, 100),
    ]  # fmt: skip
    assert mix.total == Decimal("36.72")
    assert (mix.alone[1].bill.to_minimum, mix.alone[1].bill.total) == (Decimal("16.90"), 40)


def test_currencies_are_never_mixed() -> None:
    lines = [line(1, 10), line(2, 10)]
    lists = [
        price_list("A", [(1, None, Per.EACH, 1.0), (2, None, Per.EACH, 1.0)], Charges(), "EUR"),
        price_list("B", [(1, None, Per.EACH, 0.1)], Charges(), "USD"),
    ]
    euro, dollar = mixes_of(lines, lists)
    assert (euro.currency, euro.total, euro.missing) == ("EUR", 20, ())
    assert (dollar.currency, dollar.total) == ("USD", 1)
    assert [one.number for one in dollar.missing] == [2]


def test_free_packs_are_not_bought_in_surplus() -> None:
    """A pack that costs nothing, or a minimum that is paid in any case, asks for no more pieces."""
    one = price_list("A", [(1, 5, Per.PACK, 0.0)], Charges(minimum=9.0))
    (mix,) = mixes_of([line(1, 12)], [one])
    assert [(buy.packs, buy.pack) for buy in mix.bought] == [(3, 5)]
    assert mix.total == 9


def test_a_real_order_is_proven_in_time() -> None:
    """Sixty lines of up to 900 pieces, four lists, three packs each."""
    chance = random.Random(7)
    lines = [line(n, chance.randint(1, 900)) for n in range(1, 61)]
    lists = []
    for number in range(4):
        rows: list[Row] = []
        for one in lines:
            if chance.random() < 0.8:
                rows += [(one.number, pack, Per.EACH, round(chance.uniform(0.05, 2), 3))
                         for pack in (1, 25, 100)]  # fmt: skip
        charges = Charges(freight=60.0, minimum=400.0, tax_percent=8.25)
        lists.append(price_list(f"yard {number}", rows, charges))
    (mix,) = mixes_of(lines, lists)
    assert mix.is_proven and enough(mix, lines)
    assert all(mix.total <= alone.bill.total for alone in mix.alone if not alone.missing)
