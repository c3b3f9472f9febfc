"""Stretches of a tube that a splice must keep clear of, and the free place nearest to a wanted."""

from __future__ import annotations

from msgspec import Struct


class KeptClear(Struct, frozen=True, order=True):
    """A stretch of a tube, as two distances from its start, mm."""

    start_mm: float
    end_mm: float

    @classmethod
    def around(cls, middle_mm: float, half_mm: float) -> KeptClear:
        """The stretch that reaches ``half_mm`` to each side of ``middle_mm``."""
        return cls(middle_mm - half_mm, middle_mm + half_mm)

    def mirrored(self, length_mm: float) -> KeptClear:
        """The stretch seen from the other end of a tube ``length_mm`` long."""
        return KeptClear(length_mm - self.end_mm, length_mm - self.start_mm)

    def overlaps(self, other: KeptClear) -> bool:
        """True when the two have more than a point in common."""
        return self.start_mm < other.end_mm and other.start_mm < self.end_mm


def nearest_free(
    wish_mm: float, before_mm: float, after_mm: float, taken: list[KeptClear], within: KeptClear
) -> float | None:
    """The place nearest to ``wish_mm`` where a splice touches nothing.

    Parameters
    ----------
    wish_mm : float
        Where it would be best.
    before_mm, after_mm : float
        How far the splice reaches back and forward from its place.
    taken : list of KeptClear
        What it must keep clear of.
    within : KeptClear
        Where the whole splice must lie.

    Returns
    -------
    float or None
        The nearest free place, the lower one of two that are equally near; None
        if there is none.
    """
    low, high = within.start_mm + before_mm, within.end_mm - after_mm
    blocked = sorted(KeptClear(t.start_mm - after_mm, t.end_mm + before_mm) for t in taken)
    candidates = [wish_mm, low, high]
    candidates += [t.start_mm for t in blocked] + [t.end_mm for t in blocked]
    free = [
        place
        for place in candidates
        if low <= place <= high and not any(t.start_mm < place < t.end_mm for t in blocked)
    ]
    return min(free, key=lambda place: (abs(place - wish_mm), place), default=None)
