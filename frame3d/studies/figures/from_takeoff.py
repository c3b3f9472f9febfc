"""Figures of the take-off: cost, waste, bars, people."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frame3d.studies.figures.figure import Figure, FigureValue, Sources
from frame3d.studies.figures.records import value_in
from frame3d.takeoff.cutting.plan_cuts import CuttingPlan
from frame3d.takeoff.quantities.cost import missing_items

_DIGITS = 4


def _plans(sources: Sources) -> Iterable[CuttingPlan]:
    return (one.plan for one in sources.takeoff.sections if one.plan is not None)


def _cost(sources: Sources) -> FigureValue:
    return value_in(sources.order, "cost.total")


def _unpriced(sources: Sources) -> int:
    return len(missing_items(sources.takeoff.cost))


def _bars(sources: Sources) -> int:
    return sum(count for plan in _plans(sources) for _, count in plan.bought)


def _bought(sources: Sources) -> float:
    return _round(
        stock.length_mm * count for plan in _plans(sources) for stock, count in plan.bought
    )


def _waste(sources: Sources) -> float:
    return _round(plan.waste_mm for plan in _plans(sources))


def _waste_share(sources: Sources) -> float | None:
    used = math.fsum(bar.stock.length_mm for plan in _plans(sources) for bar in plan.bars)
    return round(_waste(sources) / used, _DIGITS) if used else None


def _unplanned(sources: Sources) -> int:
    return sources.takeoff.uncut


def _hands_to_raise(sources: Sources) -> int | None:
    return max((hoop.hands for hoop in sources.takeoff.hoops), default=None)


def _hoop_mass(sources: Sources) -> float | None:
    return _largest(hoop.mass_kg for hoop in sources.takeoff.hoops)


def _hands_to_carry(sources: Sources) -> int | None:
    return max((one.hands for one in sources.takeoff.carried), default=None)


def _heaviest(sources: Sources) -> float | None:
    return _largest(one.mass_kg for one in sources.takeoff.carried)


def _longest(sources: Sources) -> float | None:
    return _largest(one.longest_mm for one in sources.takeoff.carried)


def _hardware(sources: Sources) -> int:
    return sum(row.buy for row in sources.takeoff.hardware)


def _zinc(sources: Sources) -> FigureValue:
    return value_in(sources.order, "zinc_kg")


def _largest(values: Iterable[float]) -> float | None:
    found = max(values, default=None)
    return None if found is None else round(found, _DIGITS)


def _round(values: Iterable[float]) -> float:
    return round(math.fsum(values), _DIGITS)


FIGURES = tuple(
    Figure(name=name, words=words, unit=unit, of=of)
    for name, words, unit, of in (
        ("cost", "Cost by the price list of the design, without what has no price", "money", _cost),
        ("unpriced", "Number of items of the order without a price", "", _unpriced),
        ("bars", "Number of bars and boards to buy", "", _bars),
        ("bought_length_mm", "Length of the bars and boards to buy", "mm", _bought),
        ("waste_mm", "Waste of all bars and boards: saw cuts, trims, short rests", "mm", _waste),
        ("waste_share", "Waste as a share of the bars and boards that are cut", "share",
         _waste_share),
        ("unplanned", "Number of pieces longer than any stock", "", _unplanned),
        ("hands_to_raise", "Most people that raise a hoop", "", _hands_to_raise),
        ("hoop_mass_kg", "Mass of the heaviest hoop as raised", "kg", _hoop_mass),
        ("hands_to_carry", "Most people that carry a part", "", _hands_to_carry),
        ("heaviest_part_kg", "Mass of the heaviest part", "kg", _heaviest),
        ("longest_part_mm", "How far the longest part reaches in one direction", "mm", _longest),
        ("hardware", "Pieces of hardware to buy, spares included", "", _hardware),
        ("zinc_kg", "Mass of the zinc that the design asks to be counted", "kg", _zinc),
    )
)  # fmt: skip
"""Those of plans are sums over the cutting plans of all sections."""
