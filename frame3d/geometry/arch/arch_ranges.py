"""Which values of a dimension would work, and messages that say so.

A range is found by trying: values spread about the given one and over all that is
allowed, then bisection at both ends of the run of values that work. So its ends are
honest by construction; a range narrower than about 2 % can be overlooked.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TypeGuard

from msgspec import Struct, structs

from frame3d.errors import UnitError
from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.arch.arch_given import (
    LARGEST_RADIUS_MM,
    ArchGiven,
    Dimension,
    MisfitError,
    Reason,
    bounds_of,
)
from frame3d.units import MM_PER_INCH, parse_angle, parse_length

Attempt = Callable[[ArchGiven], Arch]
Say = Callable[[float], str]
_STEPS = (1.0, 1.6, 3.2, 0.5, 0.25, 0.0)
"""By how many nudges a limit is moved inward, until it works as it is told."""
Works = Callable[[float], bool]

# The order in which a change is proposed: what is easiest to change comes first.
_ORDER = (
    Dimension.EAVE_RADIUS,
    Dimension.TOP_RADIUS,
    Dimension.RIDGE_SLOPE,
    Dimension.RIDGE_HEIGHT,
    Dimension.LEG_HEIGHT,
    Dimension.WIDTH,
    Dimension.LEG_LEAN,
)
_MOST_PROPOSALS = 3


def range_that_works(
    given: ArchGiven, dimension: Dimension, attempt: Attempt
) -> tuple[float, float] | None:
    """Smallest and largest value of a dimension that gives an arch with the others; mm or rad.

    Where it is now only says near which value to look first. None if no value works. The upper
    end of a rafter's radius is ``inf`` if a straight rafter works.
    """
    works = _works(given, dimension, attempt)
    values = _trial_values(given, dimension)
    here = getattr(given, dimension.attribute)
    near = here if _is_plain(here) else values[len(values) // 2]
    good = [k for k, value in enumerate(values) if works(value)]
    if not good:
        return _only_value(given, dimension, attempt, works)
    first = last = min(good, key=lambda k: _distance(values[k], near))
    passed = set(good)
    while first - 1 in passed:
        first -= 1
    while last + 1 in passed:
        last += 1
    low = values[first] if first == 0 else _edge(works, values[first], values[first - 1])
    if last == len(values) - 1:
        return (low, values[last])
    return (low, _edge(works, values[last], min(values[last + 1], LARGEST_RADIUS_MM)))


def _works(
    given: ArchGiven, dimension: Dimension, attempt: Attempt, *, pointed: bool = False
) -> Works:
    """Whether an arch comes of it with another value of one dimension.

    If `pointed`, one whose halves meet at an angle.
    """

    def works(value: float) -> bool:
        try:
            arch = attempt(_with(given, dimension, value))
        except MisfitError:
            return False
        return not pointed or arch.ridge_slope_rad > 0

    return works


def _with(given: ArchGiven, dimension: Dimension, value: float | None) -> ArchGiven:
    """``given`` with one value changed."""
    return structs.replace(given, **{dimension.attribute: value})


def _is_plain(value: float | None) -> TypeGuard[float]:
    """True for a positive finite number."""
    return isinstance(value, int | float) and math.isfinite(value) and value > 0


def _distance(value: float, near: float) -> float:
    """How far two values are apart, by their ratio."""
    if math.isinf(value):
        return math.inf
    return abs(math.log((value + 1e-9) / (near + 1e-9)))


def _trial_values(given: ArchGiven, dimension: Dimension) -> list[float]:
    """Values to try, in rising order."""
    low, high = bounds_of(dimension, given)
    if dimension.is_angle:
        steps = 180
        return [low + (high - low) * k / steps for k in range(steps + 1)]
    lengths = [v for d, v in given.known().items() if not d.is_angle and _is_plain(v)]
    here = getattr(given, dimension.attribute)
    size = max((v for v in lengths if v <= 1e6), default=1000.0)
    centre = here if _is_plain(here) and here <= LARGEST_RADIUS_MM else size
    values = {low, given.min_radius_mm, given.min_leg_height_mm, given.default_leg_height_mm}
    values |= {v * share for v in lengths for share in (0.5, 1.0, 2.0)}
    values |= {centre * math.exp(k * 0.023) for k in range(-60, 61)}
    values |= {size * 10 ** (k / 10) for k in range(-30, 31)}
    if dimension is Dimension.LEG_HEIGHT:
        values |= {size * k / 60 for k in range(60)}
    if dimension in (Dimension.EAVE_RADIUS, Dimension.TOP_RADIUS):
        values |= {size * 10.0**k for k in range(3, 7)}
    values.add(high)
    return sorted(v for v in values if low <= v <= high and (v > 0 or low == 0))


def _edge(works: Callable[[float], bool], good: float, bad: float) -> float:
    """The last value that works on the way from ``good`` to ``bad``."""
    for _ in range(60):
        middle = (good + bad) / 2
        if abs(good - bad) <= 1e-12 * abs(good):
            break
        good, bad = (middle, bad) if works(middle) else (good, middle)
    return good


def _only_value(
    given: ArchGiven, dimension: Dimension, attempt: Attempt, works: Callable[[float], bool]
) -> tuple[float, float] | None:
    """The one value that the other dimensions imply, twice; None if there is none."""
    value = implied_value(given, dimension, attempt)
    return (value, value) if value is not None and works(value) else None


def implied_value(given: ArchGiven, dimension: Dimension, attempt: Attempt) -> float | None:
    """What the other dimensions make of one, in the meaning of ``given``; None if nothing."""
    try:
        arch = attempt(_with(given, dimension, None))
    except MisfitError:
        return None
    if dimension.name_for(given.style) in arch.chosen:
        return None
    index = given.measured.faces  # 0, 1, -1: centres, outside, inside
    return {
        Dimension.WIDTH: arch.widths()[index],
        Dimension.RIDGE_HEIGHT: arch.heights()[index],
        Dimension.LEG_HEIGHT: arch.leg_height_mm,
        Dimension.LEG_LEAN: arch.leg_lean_rad,
        Dimension.EAVE_RADIUS: arch.eave_radius_mm,
        Dimension.TOP_RADIUS: arch.top_radius_mm,
        Dimension.RIDGE_SLOPE: arch.ridge_slope_rad,
    }[dimension]


def explain(
    given: ArchGiven,
    misfit: MisfitError,
    attempt: Attempt,
    say: Say,
    say_angle: Say,
    limits: Mapping[str, tuple[float, float]],
) -> tuple[str, str | None]:
    """The message for a misfit, and the name of the dimension to change.

    Nothing is offered outside of ``limits``, which are by the names of dimensions.
    """
    teller = _Teller(given, say, say_angle, limits)
    if misfit.reason is Reason.UNDETERMINED:
        names = [d.name_for(given.style) for d in misfit.missing]
        stated = ", ".join(teller.stated()) or "nothing"
        return (
            f"this {given.style.value} arch needs one more figure ({stated}); give one of "
            f"{', '.join(names)}",
            names[0] if names else None,
        )
    if misfit.reason is Reason.OUT_OF_BOUNDS and misfit.dimension is not None:
        return _out_of_bounds(given, misfit.dimension, misfit.value, teller)
    proposals = _proposals(given, misfit, attempt, teller)
    fault = _fault(given, misfit, teller)
    if not proposals:
        field = misfit.dimension or next((d for d in _ORDER if d in given.known()), None)
        name = field.name_for(given.style) if field else None
        return f"{fault}; changing one alone does not help; remove one", name
    change = ", or ".join(text for _, text in proposals)
    return f"{fault}; keep the rest and make {change}, or remove one", proposals[0][0]


class _Teller(Struct, frozen=True):
    """Puts values into words."""

    given: ArchGiven
    say: Say
    say_angle: Say
    limits: Mapping[str, tuple[float, float]]

    def value(self, dimension: Dimension, value: float | None) -> str:
        """One value."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            return repr(value)
        if not math.isfinite(value):
            straight = dimension is Dimension.TOP_RADIUS and value > 0
            return "straight" if straight else str(value)
        return self.say_angle(value) if dimension.is_angle else self.say(value)

    def stated(self) -> list[str]:
        """All that is given."""
        return [
            f"{d.name_for(self.given.style)} {self.value(d, v)}"
            for d, v in self.given.known().items()
        ]

    def typed(self, dimension: Dimension, value: float, works: Works, inward: float = 0.0) -> str:
        """``value`` so that it works when it is typed as it is told; empty where it does not.

        ``inward`` is a little on the side on which other values work; what cannot be rounded
        that way is told with more decimals.
        """
        read = parse_angle if dimension.is_angle else parse_length
        texts = [self.value(dimension, value + step * inward) for step in _STEPS]
        texts += [self.finer(dimension, value, decimals) for decimals in range(2, 10)]
        low, high = self.limits.get(dimension.name_for(self.given.style), (-math.inf, math.inf))
        for text in texts:
            try:
                typed = read(text)
            except UnitError:  # the caller writes lengths in a way of its own
                return text
            if low <= typed <= high and works(typed):
                return text
        return ""

    def finer(self, dimension: Dimension, value: float, decimals: int) -> str:
        """``value`` with so many decimals, in the unit that it is told in."""
        if dimension.is_angle:
            return f"{math.degrees(value):.{decimals}f}°"
        if self.say(value).endswith("m"):
            return f"{value:.{decimals}f} mm"
        return f"{value / MM_PER_INCH:.{decimals}f} in"

    def apart(self, dimension: Dimension, value: float, least: float) -> tuple[str, str]:
        """A length that is too small, and the least: told so finely that they differ."""
        told = self.value(dimension, value), self.value(dimension, least)
        for decimals in range(2, 10):
            if told[0] != told[1]:
                break
            told = self.finer(dimension, value, decimals), self.finer(dimension, least, decimals)
        return told

    def span(self, dimension: Dimension, low: float, high: float, works: Works) -> str:
        """A range whose ends work when they are typed; empty where none of it may be given."""
        least, most = self.limits.get(dimension.name_for(self.given.style), (low, high))
        low, high = max(low, least), min(high, most)
        if low > high:
            return ""
        if low == high or high - low <= 1e-9 * high < math.inf:
            return self.typed(dimension, low, works)
        nudge = math.radians(0.02) if dimension.is_angle else 1.0
        nudge = min(nudge, (high - low) / 8)
        start = self.typed(dimension, low, works, nudge)
        end = self.typed(dimension, high, works, -nudge) if math.isfinite(high) else ""
        if not start:
            return ""
        lengths = [v for d, v in self.given.known().items() if not d.is_angle and _is_plain(v)]
        far = 20 * max(lengths, default=high)
        if math.isfinite(high) and not dimension.is_angle and high > far:
            return f"{start} or more"
        if math.isinf(high):
            return f"{start} or more, or straight"
        return f"{start} to {end}" if end and end != start else start


def _out_of_bounds(
    given: ArchGiven, dimension: Dimension, got: float | None, teller: _Teller
) -> tuple[str, str | None]:
    """The message for a value that no arch may have."""
    name, value = dimension.name_for(given.style), teller.value(dimension, got)
    if given.style is ArchStyle.QUONSET and dimension is Dimension.RIDGE_SLOPE:
        return f"{name} is {value}, but a quonset's crown is level; remove it", name
    if got == math.inf and dimension is Dimension.TOP_RADIUS:
        return f"{name} is {value}, but a quonset's crown is round; give a radius", name
    low, high = bounds_of(dimension, given)
    allowed = f"{teller.value(dimension, low)} to {teller.value(dimension, high)}"
    if dimension in given.known():
        return f"{name} is {value}: make it {allowed}", name
    return f"{name} comes out as {value}, outside {allowed}; change the others", name


def _fault(given: ArchGiven, misfit: MisfitError, teller: _Teller) -> str:
    """What is wrong."""
    stated = ", ".join(teller.stated())
    if misfit.reason is Reason.CONTRADICTION:
        return f"{stated} contradict each other"
    dimension = misfit.dimension
    if misfit.reason is Reason.NO_CURVE or dimension is None:
        return f"there is no smooth {given.style.value} arch with {stated}"
    name = dimension.name_for(given.style)
    value = math.nan if misfit.value is None else misfit.value
    verb = "is" if dimension in given.known() else f"comes out as ({stated})"
    if misfit.reason is Reason.ALL_TUBE:
        tube, told = teller.say(given.tube_od_mm), teller.value(dimension, value)
        return f"{name} is {told} outside, no more than the tube ({tube})"
    if misfit.reason is Reason.SHORT_LEG:
        told, least = teller.apart(dimension, value, given.min_leg_height_mm)
        return (
            f"{name} {verb} {told}, but the leg must be straight up to {least} for its socket "
            "(exposed in [socket])"
        )
    told, least = teller.apart(dimension, value, given.min_radius_mm)
    return f"{name} {verb} {told}, but the tightest radius that can be bent is {least}"


def _proposals(
    given: ArchGiven, misfit: MisfitError, attempt: Attempt, teller: _Teller
) -> list[tuple[str, str]]:
    """Single changes that would do, as (name, text), the broken dimension first."""
    known = given.known()
    order = sorted((d for d in _ORDER if d in known), key=lambda d: d is not misfit.dimension)
    found = []
    everything = misfit.reason is Reason.CONTRADICTION
    for dimension in order:
        name = dimension.name_for(given.style)
        works = _works(given, dimension, attempt, pointed=given.style is ArchStyle.GOTHIC)
        if everything:
            value = implied_value(given, dimension, attempt)
            text = "" if value is None else teller.typed(dimension, value, works)
            found += [(name, f"{name} {text}")] * bool(text)
            continue
        span = range_that_works(given, dimension, attempt)
        text = "" if span is None else teller.span(dimension, *span, works)
        found += [(name, f"{name} {text}")] * bool(text)
        if len(found) == _MOST_PROPOSALS:
            break
    return found
