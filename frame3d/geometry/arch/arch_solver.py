"""Solves an arch from any of its dimensions that fix it.

The rules, in the order in which they are applied:

1. The leg is plumb, unless its lean is given. Only where all other dimensions are
   given and do not agree with a plumb leg is the lean found from them.
2. With an eave radius there is one equation (see :mod:`arch_equations`): if one
   dimension is missing, it is found. If more are, the leg height is taken from the
   caller's default, then the ridge slope is chosen (rule 6).
3. Without an eave radius a single arc is tried first, where two dimensions are
   missing (or fewer, and they agree): the half circle, on legs or not, and the
   two-centred arch. A single arc that fits is taken, unless the leg's height would
   come out of it lower than the default, and width and ridge height are given.
4. If more than two are missing, the leg height is taken from the default, then the
   ridge slope is chosen.
5. Otherwise there are eave arcs: with one radius given, the other is found. With
   neither, the pair is taken with the least ratio of the larger to the smaller radius,
   subject to the smallest that can be bent: the smoothest three- or four-centred arch.
6. A ridge slope that has to be chosen is 15°, or, where 15° does not work, the
   middle of the range that does.

What a rule supplied is listed in ``Arch.chosen``. Dimensions that say more than is
needed are accepted if they agree to 1e-6 of their size, and refused otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from msgspec import structs

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import Arch, ArchStyle, say_degrees, say_millimetres
from frame3d.geometry.arch.arch_cases import (
    EAVE,
    FIELDS,
    LEG,
    SLOPE,
    TOP,
    Case,
    H,
    Result,
    W,
    finished,
    one_arc,
    two_arcs,
)
from frame3d.geometry.arch.arch_equations import (
    Vector,
    bend_between,
    chord_terms,
    closure,
    root_between,
    smoothest_radii,
)
from frame3d.geometry.arch.arch_given import (
    LARGEST_LEAN_RAD,
    ArchGiven,
    Dimension,
    MisfitError,
    Reason,
    check_bounds,
    check_limits,
)
from frame3d.geometry.arch.arch_ranges import explain

DEFAULT_SLOPE_RAD = math.radians(15)
AGREEMENT = 1e-6
SAME = 1e-9


def solve_arch(
    given: ArchGiven,
    say: Callable[[float], str] = say_millimetres,
    say_angle: Callable[[float], str] = say_degrees,
    limits: Mapping[str, tuple[float, float]] | None = None,
) -> Arch:
    """The arch that has the given dimensions.

    Parameters
    ----------
    given : ArchGiven
    say, say_angle : callable
        How a length in mm and an angle in rad stand in a message.
    limits : mapping
        By the name of a dimension the least and the greatest value that may be given, mm or
        rad; what lies outside is not offered.

    Returns
    -------
    Arch
        Its dimensions meet the closure of the curve to 1e-9 of their size.

    Raises
    ------
    ArchError
        If there is none, or too little is given. ``field`` names the dimension to
        change, and the message says what would work.

    Examples
    --------
    >>> arch = solve_arch(ArchGiven(
    ...     style=ArchStyle.QUONSET, width_mm=6000, ridge_height_mm=4000))
    >>> arch.form.value, arch.leg_height_mm
    ('half circle on legs', 1000.0)
    """
    check_limits(given)
    try:
        return attempt(given)
    except MisfitError as misfit:
        message, field = explain(given, misfit, attempt, say, say_angle, limits or {})
    raise ArchError(message, field)


def attempt(given: ArchGiven) -> Arch:
    """The arch, or ``MisfitError``: what :func:`solve_arch` does without the message."""
    known = given.known()
    check_bounds(given, known)
    known = {dimension: float(value) for dimension, value in known.items()}
    if given.style is ArchStyle.QUONSET:
        known[SLOPE] = 0.0
        if known.get(TOP) == math.inf:
            raise MisfitError(Reason.OUT_OF_BOUNDS, TOP, math.inf)
    lean = known.pop(Dimension.LEG_LEAN, None)
    case = _case(given, known, lean or 0.0)
    if all(field in known for field in FIELDS):
        return _all_given(given, case, known, lean)
    return _settle(case)


def _case(given: ArchGiven, known: dict[Dimension, float], lean: float) -> Case:
    """The case for one lean; its width is that between centres."""
    face, known = given.measured.faces * given.tube_od_mm / 2, dict(known)
    if W in known:
        known[W] -= 2 * face / math.cos(lean)
        if not known[W] > 0:
            raise MisfitError(Reason.ALL_TUBE, W, given.width_mm)
    return Case(
        style=given.style,
        lean=lean,
        face=face,
        tube_od=given.tube_od_mm,
        min_radius=given.min_radius_mm,
        min_leg=given.min_leg_height_mm,
        default_leg=given.default_leg_height_mm,
        known=known,
    )


def _all_given(
    given: ArchGiven, case: Case, known: dict[Dimension, float], lean: float | None
) -> Arch:
    """Checks dimensions that say too much; finds the lean if it is not among them."""
    if _equal_radii(case):
        return _settle(case)
    for field in (EAVE, TOP, LEG, H, W, SLOPE):
        if field is SLOPE and case.style is ArchStyle.QUONSET:
            continue
        if field is TOP and math.isinf(case.known[TOP]):
            continue
        try:
            result = two_arcs(case.without(field), field)
            if _agrees(case, field, result, AGREEMENT):
                return finished(case, result)
        except MisfitError as misfit:
            if misfit.reason is not Reason.NO_CURVE:
                continue
    if lean is None:
        for arch in _leaning(given, known):
            return arch
    raise MisfitError(Reason.CONTRADICTION)


def _agrees(case: Case, field: Dimension, result: Result, tolerance: float) -> bool:
    """True if the value found for ``field`` is the given one."""
    value, known = result.value(field), case.known[field]
    if value is None:  # an eave radius, of an arch without eave arcs
        return False
    if field is H:
        known = case.ridge(result.slope)
    if field is SLOPE:
        return abs(value - known) <= tolerance
    size = max(known, result.ridge) if field is LEG else known
    return abs(value - known) <= tolerance * size


def _leaning(given: ArchGiven, known: dict[Dimension, float]) -> Iterator[Arch]:
    """The arches with a leaning leg, least lean first."""
    r, top, slope = known[EAVE], known[TOP], known[SLOPE]

    def at(lean: float) -> tuple[Case, float, Vector]:
        case = _case(given, known, lean)
        ridge = case.ridge(slope)
        return case, ridge, case.springing_to(ridge)

    def miss(lean: float) -> float:
        return closure(at(lean)[2], math.pi / 2 - lean, slope, r, top)

    steps = 90
    leans = [LARGEST_LEAN_RAD * k / steps for k in range(steps + 1)]
    try:
        misses = [miss(lean) for lean in leans]
    except MisfitError:
        return
    for k in range(steps):
        if misses[k] * misses[k + 1] > 0:
            continue
        lean = root_between(miss, leans[k], leans[k + 1])
        try:
            case, ridge, d = at(lean)
            bend = bend_between(d, case.phi0, slope, r, top)
            yield finished(
                case,
                Result(
                    width=case.known[W],
                    ridge=ridge,
                    leg=case.known[LEG],
                    eave=r,
                    top=top,
                    slope=slope,
                    bend=bend,
                ),
            )
        except MisfitError:
            continue


def _settle(case: Case) -> Arch:
    """The arch of a case whose lean is known."""
    if _equal_radii(case):
        return _single_radius(case.without(EAVE), only=True)
    if EAVE not in case.known:
        return _single_radius(case, only=False)
    missing = case.missing(*FIELDS)
    if len(missing) <= 1:
        if not missing:
            raise MisfitError(Reason.CONTRADICTION)
        return finished(case, two_arcs(case, missing[0]))
    if LEG in missing:
        return _settle(case.choosing(LEG_HEIGHT=case.default_leg))
    if SLOPE in missing and len(missing) == 2:
        return _with_slope(case)
    raise MisfitError(Reason.UNDETERMINED, missing=tuple(missing))


def _equal_radii(case: Case) -> bool:
    """True if both radii are given, and are one."""
    r, top = case.known.get(EAVE), case.known.get(TOP)
    return r is not None and top is not None and abs(r - top) <= SAME * r


def _single_radius(case: Case, only: bool) -> Arch:
    """The arch where no eave radius is given; ``only`` where it must be a single arc."""
    fields = (W, H, LEG, TOP, SLOPE)
    missing = case.missing(*fields)
    if not any(field in case.known for field in (W, H, TOP)):
        raise MisfitError(Reason.UNDETERMINED, missing=tuple(missing))
    if len(missing) > 2:
        return _one_more(case, missing, only)
    straight = case.known.get(TOP) == math.inf
    if len(missing) <= 1 and not straight:
        result = _agreeing_arc(case, missing)
        if result is not None:
            return finished(case, result)
    elif not straight:
        if set(missing) == {H, LEG} and case.lean < 1e-3:
            return _single_radius(case.choosing(LEG_HEIGHT=case.default_leg), only)
        arch = _arc_of_pair(case, missing, only)
        if arch is not None:
            return arch
    if only:
        raise MisfitError(Reason.CONTRADICTION)
    return _free_eave(case)


def _one_more(case: Case, missing: list[Dimension], only: bool) -> Arch:
    """The arch where so much is missing that a rule supplies one dimension."""
    if LEG in missing:
        return _single_radius(case.choosing(LEG_HEIGHT=case.default_leg), only)
    if SLOPE in missing:
        return _with_slope(case)
    raise MisfitError(Reason.UNDETERMINED, missing=(*missing, EAVE))


def _arc_of_pair(case: Case, missing: list[Dimension], only: bool) -> Arch | None:
    """The single arc by two missing dimensions; None where eave arcs are to be tried (rule 3)."""
    choice = not only and W in case.known and H in case.known
    try:
        arch = finished(case, one_arc(case, set(missing)))
    except MisfitError:
        if choice:
            return None
        raise
    lowest = case.default_leg * (1 - SAME)
    return None if choice and LEG in missing and arch.leg_height_mm < lowest else arch


def _free_eave(case: Case) -> Arch:
    """The arch with eave arcs whose radius is not given."""
    missing = case.missing(W, H)
    if missing:
        raise MisfitError(Reason.UNDETERMINED, missing=(*missing, EAVE))
    if LEG not in case.known:
        return _settle(case.choosing(LEG_HEIGHT=case.default_leg))
    if SLOPE not in case.known:
        return _with_slope(case)
    if TOP in case.known:
        return finished(case, two_arcs(case, EAVE))
    slope = case.known[SLOPE]
    ridge = case.ridge(slope)
    d = case.springing_to(ridge)
    r, top = smoothest_radii(chord_terms(d, case.phi0, slope), case.min_radius)
    chosen = structs.replace(case, chosen=(*case.chosen, EAVE, TOP))
    width, leg, bend = case.known[W], case.known[LEG], bend_between(d, case.phi0, slope, r, top)
    result = Result(width=width, ridge=ridge, leg=leg, eave=r, top=top, slope=slope, bend=bend)
    return finished(chosen, result)


def _agreeing_arc(case: Case, missing: list[Dimension]) -> Result | None:
    """The single arc of a case that says more than it needs, if that agrees.

    Where a radius is given it is taken to 1e-6 of its size; where none is, 1e-9
    tells a half circle from a three-centred arch.
    """
    tolerance = AGREEMENT if TOP in case.known else SAME
    pair = {TOP, *missing} if missing and missing[0] is not TOP else {TOP, H}
    try:
        result = one_arc(case, pair)
    except MisfitError:
        return None
    checked = [field for field in pair if field in case.known]
    return result if all(_agrees(case, field, result, tolerance) for field in checked) else None


def _with_slope(case: Case) -> Arch:
    """The arch with the ridge slope chosen."""

    def at(slope: float) -> Arch:
        return _settle(case.choosing(RIDGE_SLOPE=slope))

    def works(slope: float) -> bool:
        try:
            at(slope)
        except MisfitError:
            return False
        return True

    try:
        return at(DEFAULT_SLOPE_RAD)
    except MisfitError as misfit:
        failure = misfit
    steps = 24
    steepest = case.phi0
    if not case.missing(W, H, LEG):
        # The ridge is never steeper than the chord from springing to ridge.
        d = case.springing_to(case.known[H])
        steepest = max(0.1, min(steepest, math.atan2(d[1], d[0]) + 0.1))
    slopes = [steepest * k / steps for k in range(1, steps)]
    slopes.sort(key=lambda slope: abs(slope - DEFAULT_SLOPE_RAD))
    inside = next((slope for slope in slopes if works(slope)), None)
    if inside is None:
        raise failure
    step = steepest / steps
    ends = []
    for outward in (-step, step):
        good = inside
        while 0 < good + outward < steepest and works(good + outward):
            good += outward
        bad = max(0.0, min(steepest, good + outward))
        for _ in range(40):
            middle = (good + bad) / 2
            good, bad = (middle, bad) if works(middle) else (good, middle)
        ends.append(good)
    return at(sum(ends) / 2)
