"""Reads a finished cutting plan and says what is wrong with it; knows nothing of the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock
from frame3d.takeoff.cutting.plan_cuts import CuttingPlan

NOISE_MM = Fraction(1, 1000)
"""A hundred pieces on a bar, each 0.00001 mm longer than a whole step."""


def faults(
    plan: CuttingPlan, pieces: Iterable[Piece], stocks: Iterable[Stock], rules: CuttingRules
) -> list[str]:
    """Every fault of a plan, in words; empty where it can be sawn as it stands."""
    stocks = tuple(stocks)
    told = _counts(plan, pieces)
    for number, bar in enumerate(plan.bars):
        told += [f"bar {number}: {fault}" for fault in _bar(bar, rules)]
    used = Counter(bar.stock for bar in plan.bars)
    for stock in used:
        if stock not in stocks:
            told.append(f"no such stock: {stock.name}")
    for stock in set(stocks):
        there = [other.available for other in stocks if other == stock]
        if None not in there and used[stock] > sum(there):
            told.append(f"{used[stock]} of {stock.name} used, {sum(there)} there")
    bought = {stock: number for stock, number in used.items() if not stock.owned}
    if dict(plan.bought) != bought:
        told.append("bought is not what the bars are")
    if None not in (prices := [stock.price for stock in bought]):
        if abs(sum(p * n for p, n in zip(prices, bought.values(), strict=True)) - plan.cost) > 1e-6:
            told.append("cost is not the sum of the prices")
    elif plan.cost is not None:
        told.append("cost without a price")
    return told + _balance(plan, rules)


def _counts(plan: CuttingPlan, pieces: Iterable[Piece]) -> list[str]:
    wanted: Counter = Counter()
    for piece in pieces:
        wanted[piece.mark, piece.length_mm] += piece.count
    cut = Counter((cut.mark, cut.length_mm) for bar in plan.bars for cut in bar.cuts)
    return [
        f"{cut[key]} of {key} cut, {wanted[key]} wanted"
        for key in sorted(wanted | cut) if cut[key] != wanted[key]
    ]  # fmt: skip


def _bar(bar, rules: CuttingRules) -> list[str]:
    told = []
    lengths = [Fraction(cut.length_mm) for cut in bar.cuts]
    if not lengths:
        return ["nothing is cut from it"]
    if lengths != sorted(lengths, reverse=True):
        told.append("not longest first")
    kerf = Fraction(rules.kerf_mm)
    usable = Fraction(bar.stock.length_mm) - Fraction(rules.end_trim_mm)
    left = usable - sum(lengths) - (len(lengths) - 1) * kerf
    if left < -NOISE_MM:
        told.append(f"{float(-left)} mm too short")
    if abs(max(0, left - kerf) - Fraction(bar.rest_mm)) > NOISE_MM:
        told.append(f"{float(left)} mm are left, not {bar.rest_mm}")
    return told


def _balance(plan: CuttingPlan, rules: CuttingRules) -> list[str]:
    told = []
    kept = sum(bar.rest_mm for bar in plan.bars if bar.rest_mm >= rules.shortest_kept_mm)
    if abs(kept - plan.kept_mm) > 1e-3:
        told.append(f"{kept} mm are kept, not {plan.kept_mm}")
    cut = sum(cut.length_mm for bar in plan.bars for cut in bar.cuts)
    if abs(sum(b.stock.length_mm for b in plan.bars) - cut - plan.kept_mm - plan.waste_mm) > 1e-3:
        told.append("pieces, kept and waste are not what the bars are")
    for reached in plan.aims:
        short = reached.proven and reached.bound < reached.value
        if reached.bound > reached.value + 1e-6 or short:
            told.append(f"{reached.aim.value}: bound {reached.bound} of {reached.value}")
    return told
