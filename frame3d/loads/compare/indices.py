"""The index of a design against another: by shape of load, with the band of what nobody knows.

Glossary
--------
comparison point : one common stress, or the load at which no stable position is left, whichever
    comes first.
index : the factor of a unit load at which the design reaches the comparison point, by that
    of the other design. Above 1 it reaches it later than the other.
band : the least and the greatest index over all that is assumed, both designs assumed alike.
undecided : the order of the two designs is not the same all over the band.
"""

from __future__ import annotations

import enum

from msgspec import Struct

from frame3d.design.tables.loads import LoadShape
from frame3d.loads.compare.measuring import Ending, Measured
from frame3d.loads.model.assumed import USUAL

_ALIKE = 0.005
"""Nearer to 1 than this is no difference."""


class Order(enum.Enum):
    """How two designs stand to each other all over a band."""

    SOONER = "sooner"
    ALIKE = "alike"
    LATER = "later"
    UNDECIDED = "undecided"


def order_of(low: float, high: float) -> Order:
    """What a band from ``low`` to ``high`` tells."""
    if low > 1 + _ALIKE:
        return Order.LATER
    if high < 1 - _ALIKE:
        return Order.SOONER
    if low >= 1 - _ALIKE and high <= 1 + _ALIKE:
        return Order.ALIKE
    return Order.UNDECIDED


class Index(Struct, frozen=True, kw_only=True):
    """What is told of one shape of load.

    Parameters
    ----------
    shape : LoadShape
    value : float or None
        None where one of the two cannot be brought to its end so.
    low, high : float or None
        The band.
    by : dict
        The index as each assumption makes it.
    reason : str
        Why there is no index; empty else.
    """

    shape: LoadShape
    value: float | None
    low: float | None
    high: float | None
    by: dict[str, float]
    reason: str = ""

    @property
    def verdict(self) -> str:
        """Which of the two comes to its end later, in words; never more than that."""
        if self.value is None or self.low is None or self.high is None:
            return "not compared"
        return {
            Order.LATER: "later than the other", Order.SOONER: "sooner than the other",
            Order.ALIKE: "as the other", Order.UNDECIDED: "undecided",
        }[order_of(self.low, self.high)]  # fmt: skip


def indices(own: Measured, other: Measured) -> tuple[Index, ...]:
    """The index of ``own`` against ``other`` for each shape that either has."""
    shapes = list(dict.fromkeys([*own.names, *other.names]))
    return tuple(_index(shape, own, other) for shape in shapes)


def _index(shape: LoadShape, own: Measured, other: Measured) -> Index:
    for one, words in ((own, "this design"), (other, "the other design")):
        if shape not in one.names:
            return Index(
                shape=shape, value=None, low=None, high=None, by={},
                reason=f"{words} has no ties for it to hang from",
            )  # fmt: skip
    by: dict[str, float] = {}
    assumed = [a for name, a in own.endings if name == own.worse[shape]]
    for words in dict.fromkeys(assumed):
        ends = [one.endings.get((one.worse[shape], words)) for one in (own, other)]
        ratio = _ratio(*ends)
        if ratio is not None:
            by[words] = ratio
    for name in own.names[shape] if len(own.names[shape]) > 1 else ():
        ratio = _ratio(own.endings.get((name, USUAL)), other.endings.get((name, USUAL)))
        if ratio is not None:
            by[name.partition(", ")[2]] = ratio
    if not by.get(USUAL):
        words = "this design" if by.get(USUAL) == 0 else "the other design"
        return Index(
            shape=shape, value=None, low=None, high=None, by=by,
            reason=f"under the first set of assumptions {words} has no stable position, or "
            "reaches the comparison point by its own weight, so there is nothing to compare",
        )  # fmt: skip
    return Index(shape=shape, value=by[USUAL], low=min(by.values()), high=max(by.values()), by=by)


def _ratio(own: Ending | None, other: Ending | None) -> float | None:
    if own is None or other is None or other.factor <= 0:
        return None
    return own.factor / other.factor
