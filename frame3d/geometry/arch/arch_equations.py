"""The equations of the arch, each solved for one of its dimensions.

Let the leg head at phi0 = 90° - lean, the eave arc (radius r) turn by ``a`` to
phi1 = phi0 - a, and the top arc (radius R) by ``b`` to sigma = phi1 - b. With the
unit vectors t(phi) = (cos phi, sin phi) along the curve and n(phi) = (sin phi,
-cos phi) to its right, an arc of radius r from phi0 to phi1 goes r (n(phi0) - n(phi1)),
so that from springing to ridge the curve goes

    D = r n(phi0) + (R - r) n(phi1) - R n(sigma).

Hence |D + R n(sigma) - r n(phi0)| = |R - r|: the two centres and the joint lie on one
line. Squared, with u = -D·n(sigma), v = D·n(phi0), c = 1 - cos(phi0 - sigma):

    |D|² - 2 R u - 2 r v + 2 R r c = 0.

It factors into (R - v/c) (r - u/c) = -K, K = (|D| sin((d0 - ds)/2) / c)², where d0
and ds are the angles from phi0 to the chord D and from there to sigma. So r ends
at u/c, where R is infinite (the straight rafter), and for d0 = ds there is the single
arc only. Everything below follows from these lines.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from frame3d.geometry.arch.arch_given import MisfitError, Reason
from frame3d.geometry.paths import NEGLIGIBLE_MM

# A radius this many times the chord is a straight line to 1e-10 of the chord (its
# sagitta is a quarter of chord / 2 / 1e9 = 1.25e-10).
STRAIGHT_RATIO = 1e9
Vector = tuple[float, float]


class ArcTurns(NamedTuple):
    """Turns of the two arcs, rad, and the length of a straight rafter, mm or None."""

    eave_angle: float
    top_angle: float
    rafter_length: float | None


class Chord(NamedTuple):
    """The terms of the closure equation for a known D, and which radius is larger."""

    squared: float
    u: float
    v: float
    c: float
    spread: float
    flat: bool


def along(heading: float) -> Vector:
    """Unit vector t of a heading."""
    return (math.cos(heading), math.sin(heading))


def across(heading: float) -> Vector:
    """Unit vector n to the right of a heading."""
    return (math.sin(heading), -math.cos(heading))


def arc_chord(radius: float, start: float, turn: float) -> Vector:
    """From start to end of an arc that heads at ``start`` and turns right by ``turn``."""
    size = 2 * radius * math.sin(turn / 2)
    return (size * math.cos(start - turn / 2), size * math.sin(start - turn / 2))


def chord_terms(d: Vector, phi0: float, sigma: float) -> Chord:
    """The closure's terms; ``MisfitError`` if D leaves the wedge between leg and ridge slope."""
    size, heading = math.hypot(*d), math.atan2(d[1], d[0])
    first, last = phi0 - heading, heading - sigma
    if not (first > 0 and last > 0):
        raise MisfitError(Reason.NO_CURVE)
    c = 2 * math.sin((first + last) / 2) ** 2
    spread = (size * math.sin((first - last) / 2) / c) ** 2
    return Chord(size**2, size * math.sin(last), size * math.sin(first), c, spread, first > last)


def top_radius(chord: Chord, eave: float) -> float:
    """R for a known r; ``inf`` where the rafter is straight."""
    gap = chord.u / chord.c - eave
    size = math.sqrt(chord.squared)
    if abs(gap) <= 1e-12 * size:
        return math.inf
    radius = chord.v / chord.c + chord.spread / gap
    if radius > STRAIGHT_RATIO * size:
        return math.inf
    return _positive(radius)


def eave_radius(chord: Chord, top: float) -> float:
    """The eave radius r for a known top radius R, which may be infinite."""
    if math.isinf(top):
        return _positive(chord.u / chord.c)
    gap = top - chord.v / chord.c
    if gap == 0:
        raise MisfitError(Reason.NO_CURVE)
    return _positive(chord.u / chord.c - chord.spread / gap)


def smoothest_radii(chord: Chord, smallest: float) -> tuple[float, float]:
    """The pair (r, R) with the least ratio of the larger to the smaller radius.

    With p and q = the limits of the smaller and the larger radius, and the smaller one
    p - x, the larger is q + K/x, and d(larger/smaller)/dx = 0 gives
    q x² + 2 K x - K p = 0. The ratio falls, then rises, so a smaller radius below
    ``smallest`` is put to ``smallest``.
    """
    p, q = chord.u / chord.c, chord.v / chord.c
    if not chord.flat:
        p, q = q, p
    k = chord.spread
    x = k * p / (k + math.sqrt(k * k + k * p * q))  # the root, without cancellation
    small = max(p - x, smallest)
    if not small < p:
        raise MisfitError(Reason.NO_CURVE)
    large = q + k / (p - small)
    return (small, large) if chord.flat else (large, small)


def bend_between(d: Vector, phi0: float, sigma: float, r: float, top: float) -> ArcTurns:
    """The turns of eave and top arc for which the curve runs from springing to ridge.

    In the triangle of the eave arc's centre, the top arc's centre and the ridge all
    three sides are known: |R - r|, R and q. The half-angle formula gives the angle
    at the first without loss of digits, for an infinite R too. Raises ``MisfitError``
    where an arc would have to turn backwards.
    """
    phi1, rest = _eave_end(d, phi0, r, top)
    return _checked(_bend(phi0 - phi1, rest, top), d, phi0, sigma, r, top)


def slope_between(d: Vector, phi0: float, r: float, top: float) -> float:
    """The ridge slope for known D and radii, from the same triangle."""
    phi1, rest = _eave_end(d, phi0, r, top)
    return phi1 - _bend(phi0 - phi1, rest, top).top_angle


def _eave_end(d: Vector, phi0: float, r: float, top: float) -> tuple[float, float]:
    """phi1, and the chord from the end of the eave arc to the ridge."""
    n0 = across(phi0)
    to_ridge = (d[0] - r * n0[0], d[1] - r * n0[1])
    q = math.hypot(*to_ridge)
    ratio = (q - r) / (q + r)
    if not math.isinf(top):
        below = 2 * top - r - q
        if below == 0:
            raise MisfitError(Reason.NO_CURVE)
        ratio *= (2 * top - r + q) / below
    if not 0 < ratio < math.inf:
        raise MisfitError(Reason.NO_CURVE)
    phi1 = math.atan2(to_ridge[1], to_ridge[0]) - math.pi / 2 + 2 * math.atan(math.sqrt(ratio))
    eave = arc_chord(r, phi0, phi0 - phi1)
    return phi1, math.hypot(d[0] - eave[0], d[1] - eave[1])


def _bend(eave_angle: float, rest: float, top: float) -> ArcTurns:
    """The bend whose top piece has the chord ``rest``."""
    if math.isinf(top):
        return ArcTurns(eave_angle, 0.0, rest)
    if rest > 2 * top:
        raise MisfitError(Reason.NO_CURVE)
    return ArcTurns(eave_angle, 2 * math.asin(rest / (2 * top)), None)


def displacement(phi0: float, r: float, top: float, bend: ArcTurns) -> Vector:
    """D, from springing to ridge."""
    phi1 = phi0 - bend.eave_angle
    first = arc_chord(r, phi0, bend.eave_angle)
    if bend.rafter_length is None:
        second = arc_chord(top, phi1, bend.top_angle)
    else:
        direction = along(phi1)
        second = (bend.rafter_length * direction[0], bend.rafter_length * direction[1])
    return (first[0] + second[0], first[1] + second[1])


def _checked(
    bend: ArcTurns, d: Vector, phi0: float, sigma: float, r: float, top: float
) -> ArcTurns:
    """``bend`` if both pieces go forward, and end at the ridge at its slope."""
    last = bend.rafter_length if bend.rafter_length is not None else bend.top_angle * top
    if not (r * bend.eave_angle > 2 * NEGLIGIBLE_MM and last > 2 * NEGLIGIBLE_MM):
        raise MisfitError(Reason.NO_CURVE)
    reached, size = displacement(phi0, r, top, bend), math.hypot(*d)
    miss = math.hypot(reached[0] - d[0], reached[1] - d[1])
    twist = abs(phi0 - bend.eave_angle - bend.top_angle - sigma)
    if not (miss <= 1e-9 * size and twist * last <= 1e-9 * size):
        raise MisfitError(Reason.NO_CURVE)
    return bend


def bend_along(
    kappa: float, target: float, phi0: float, sigma: float, r: float, top: float
) -> ArcTurns:
    """The bend for which D·n(kappa) is ``target``, where both radii are known.

    n(pi) is up, n(pi/2) is inward, n(phi0) is square to the leg: these serve for an
    unknown width, ridge height and leg height. n(kappa)·n(phi1) = cos(kappa - phi1)
    gives phi1; Newton steps on the turn of the top arc then restore the digits that a
    very large R takes.
    """
    k, ns = across(kappa), across(sigma)

    def part(vector: Vector) -> float:
        return k[0] * vector[0] + k[1] * vector[1]

    if math.isinf(top):
        slope = part(along(sigma))
        if not slope > 1e-9:
            raise MisfitError(Reason.NO_CURVE)
        eave = arc_chord(r, phi0, phi0 - sigma)
        bend = ArcTurns(phi0 - sigma, 0.0, (target - part(eave)) / slope)
    else:
        cosine = (target - r * part(across(phi0)) + top * part(ns)) / (top - r)
        if not abs(cosine) <= 1 + 1e-9:
            raise MisfitError(Reason.NO_CURVE)
        turn = kappa - math.acos(max(-1.0, min(1.0, cosine))) - sigma
        for _ in range(3):
            bend = ArcTurns(phi0 - sigma - turn, turn, None)
            slope = (top - r) * math.sin(kappa - sigma - turn)
            if abs(slope) > 1e-9 * max(top, r):
                turn += (target - part(displacement(phi0, r, top, bend))) / slope
        bend = ArcTurns(phi0 - sigma - turn, turn, None)
    d = displacement(phi0, r, top, bend)
    if not abs(part(d) - target) <= 1e-9 * math.hypot(*d):
        raise MisfitError(Reason.NO_CURVE)
    return _checked(bend, d, phi0, sigma, r, top)


def closure(d: Vector, phi0: float, sigma: float, r: float, top: float) -> float:
    """Left side of the closure equation over 2 R, mm; finite for an infinite R too."""
    n0, ns = across(phi0), across(sigma)
    u = -(d[0] * ns[0] + d[1] * ns[1])
    v = d[0] * n0[0] + d[1] * n0[1]
    c = 2 * math.sin((phi0 - sigma) / 2) ** 2
    rest = 0.0 if math.isinf(top) else (d[0] ** 2 + d[1] ** 2 - 2 * r * v) / (2 * top)
    return rest - u + r * c


def _positive(radius: float) -> float:
    """``radius``, or ``MisfitError`` where it is none."""
    if not 0 < radius < math.inf:
        raise MisfitError(Reason.NO_CURVE)
    return radius


def root_between(function: Callable[[float], float], low: float, high: float) -> float:
    """The root of ``function`` in a bracket, by false position (Illinois) and bisection."""
    f_low, f_high = function(low), function(high)
    for step in range(200):
        if f_high == 0 or abs(high - low) <= 1e-16 + 1e-16 * abs(high):
            break
        middle = (low * f_high - high * f_low) / (f_high - f_low)
        if step % 4 == 3:
            middle = (low + high) / 2
        f_middle = function(middle)
        if f_middle * f_high < 0:
            low, f_low = high, f_high
        else:
            f_low /= 2
        high, f_high = middle, f_middle
    return high


def settled(function: Callable[[float], float], start: float) -> float:
    """The fixed point of ``function`` near ``start``, by the secant method."""
    x, y = start, function(start)
    for _ in range(40):
        image = function(y)
        first, second = y - x, image - y
        if abs(second) <= 1e-16 + 4e-16 * abs(y):
            return image
        if first == second:
            break
        x, y = y, y + second * first / (first - second)
    raise MisfitError(Reason.NO_CURVE)
