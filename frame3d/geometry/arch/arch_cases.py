"""One arch from exactly as many dimensions as fix it: no choices, no messages.

Glossary
--------
case : the dimensions known so far, with the limits that the result must keep.
one arc : no eave arc; the half circle and the two-centred arch. Two equations, so two
    dimensions are found at once: D = R (n(phi0) - n(sigma)).
"""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct, structs

from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.arch.arch_equations import (
    ArcTurns,
    Vector,
    arc_chord,
    bend_along,
    bend_between,
    chord_terms,
    displacement,
    eave_radius,
    settled,
    slope_between,
    top_radius,
)
from frame3d.geometry.arch.arch_given import (
    LARGEST_BEND_MM,
    LARGEST_SIZE_MM,
    LARGEST_SLOPE_RAD,
    SMALLEST_SIZE_MM,
    Dimension,
    MisfitError,
    Reason,
)

W, H, LEG = Dimension.WIDTH, Dimension.RIDGE_HEIGHT, Dimension.LEG_HEIGHT
EAVE, TOP, SLOPE = Dimension.EAVE_RADIUS, Dimension.TOP_RADIUS, Dimension.RIDGE_SLOPE
FIELDS = (W, H, LEG, EAVE, TOP, SLOPE)
# A default slope for guesses; any start between 0 and 75° will do for most arches.
_START_SLOPES = tuple(math.radians(degrees) for degrees in (15, 0, 30, 45, 60, 75))


class Case(Struct, frozen=True, kw_only=True):
    """What is known so far.

    Parameters
    ----------
    style : ArchStyle
    lean : float
        rad.
    face : float
        Height of the given ridge above the axis, times cos(slope), mm; see ``Measured``.
    tube_od, min_radius, min_leg, default_leg : float
        mm.
    known : dict
        Width between centres; ridge height as given; radii; slope.
    chosen : tuple of Dimension
        Those that a rule supplied.
    """

    style: ArchStyle
    lean: float
    face: float
    tube_od: float
    min_radius: float
    min_leg: float
    default_leg: float
    known: dict[Dimension, float]
    chosen: tuple[Dimension, ...] = ()

    @property
    def phi0(self) -> float:
        """Heading of the leg, rad."""
        return math.pi / 2 - self.lean

    def missing(self, *fields: Dimension) -> list[Dimension]:
        """Those of ``fields`` that are not known."""
        return [field for field in fields if field not in self.known]

    def choosing(self, **values: float) -> Case:
        """The case with a dimension more, by the name of its enum member, as chosen."""
        extra = {Dimension[name]: value for name, value in values.items()}
        return structs.replace(self, known=self.known | extra, chosen=self.chosen + tuple(extra))

    def without(self, field: Dimension) -> Case:
        """The case with one dimension less."""
        return structs.replace(
            self, known={d: value for d, value in self.known.items() if d is not field}
        )

    def ridge(self, slope: float) -> float:
        """Height of the axes' meeting point for a ridge slope, mm."""
        return self.known[H] - self.face / math.cos(slope)

    def springing_to(self, ridge: float) -> Vector:
        """D for a known width and leg, mm."""
        leg = self.known[LEG]
        return (self.known[W] / 2 - leg * math.tan(self.lean), ridge - leg)

    def across_leg(self, ridge: float) -> float:
        """Distance of the ridge from the line of the leg, mm."""
        return self.known[W] / 2 * math.cos(self.lean) - ridge * math.sin(self.lean)


class Result(Struct, frozen=True, kw_only=True):
    """All dimensions between centres, and the bends; ``eave`` None for one arc. mm, rad."""

    width: float
    ridge: float
    leg: float
    eave: float | None
    top: float
    slope: float
    bend: ArcTurns

    def value(self, field: Dimension) -> float | None:
        """The value of a dimension."""
        return {
            W: self.width,
            H: self.ridge,
            LEG: self.leg,
            EAVE: self.eave,
            TOP: self.top,
            SLOPE: self.slope,
        }[field]


def settle_ridge(case: Case, slope_for: Callable[[float], float]) -> tuple[float, float]:
    """Ridge height at the axis and slope, where the slope follows from that height.

    A height to a face of the tube depends on the slope, which depends on the height.
    """
    if case.face == 0:
        return case.known[H], slope_for(case.known[H])

    def again(slope: float) -> float:
        if not abs(slope) < 1.55:
            raise MisfitError(Reason.NO_CURVE)
        return slope_for(case.ridge(slope))

    for start in _START_SLOPES:
        try:
            slope = settled(again, start)
        except MisfitError as misfit:
            failure = misfit
            continue
        return case.ridge(slope), slope
    raise failure


def two_arcs(case: Case, unknown: Dimension) -> Result:
    """The one unknown dimension of an arch with eave arcs."""
    known, phi0 = case.known, case.phi0
    if unknown is SLOPE:
        r, top = known[EAVE], known[TOP]
        ridge, slope = settle_ridge(
            case, lambda ridge: slope_between(case.springing_to(ridge), phi0, r, top)
        )
        d = case.springing_to(ridge)
        return _result(case, ridge, known[LEG], r, top, slope, bend_between(d, phi0, slope, r, top))
    slope = known[SLOPE]
    if unknown in (EAVE, TOP):
        ridge = case.ridge(slope)
        d = case.springing_to(ridge)
        chord = chord_terms(d, phi0, slope)
        if unknown is EAVE:
            top = known[TOP]
            r = eave_radius(chord, top)
        else:
            r = known[EAVE]
            top = top_radius(chord, r)
        return _result(case, ridge, known[LEG], r, top, slope, bend_between(d, phi0, slope, r, top))
    r, top = known[EAVE], known[TOP]
    if unknown is W:
        target, kappa = case.ridge(slope) - known[LEG], math.pi
    elif unknown is H:
        target, kappa = known[W] / 2 - known[LEG] * math.tan(case.lean), math.pi / 2
    else:
        target, kappa = case.across_leg(case.ridge(slope)), phi0
    bend = bend_along(kappa, target, phi0, slope, r, top)
    d = displacement(phi0, r, top, bend)
    ridge = known[LEG] + d[1] if unknown is H else case.ridge(slope)
    leg = ridge - d[1] if unknown is LEG else known[LEG]
    return _result(case, ridge, leg, r, top, slope, bend, d)


def _result(
    case: Case,
    ridge: float,
    leg: float,
    eave: float | None,
    top: float,
    slope: float,
    bend: ArcTurns,
    d: Vector | None = None,
) -> Result:
    """A result; the width from ``d`` where it is not known."""
    width = case.known.get(W)
    if width is None:
        assert d is not None
        width = 2 * (d[0] + leg * math.tan(case.lean))
    return Result(width=width, ridge=ridge, leg=leg, eave=eave, top=top, slope=slope, bend=bend)


def one_arc(case: Case, pair: set[Dimension]) -> Result:
    """The two unknown dimensions of an arch without eave arcs."""
    slope = _one_arc_slope(case, pair) if SLOPE in pair else case.known[SLOPE]
    phi0, known = case.phi0, case.known
    turn = phi0 - slope
    if not 1e-6 < turn <= math.pi:
        raise MisfitError(Reason.NO_CURVE)
    step, tan = arc_chord(1.0, phi0, turn), math.tan(case.lean)
    if TOP not in pair:
        top = known[TOP]
    elif LEG in pair:
        top = case.across_leg(case.ridge(slope)) / (2 * math.sin(turn / 2) ** 2)
    elif W in known:
        top = (known[W] / 2 - known[LEG] * tan) / step[0]
    else:
        top = (case.ridge(slope) - known[LEG]) / step[1]
    if not 0 < top < math.inf:
        raise MisfitError(Reason.NO_CURVE)
    d = (top * step[0], top * step[1])
    ridge = None if H in pair else case.ridge(slope)
    leg = known.get(LEG)
    if leg is None:
        leg = ridge - d[1] if ridge is not None else (known[W] / 2 - d[0]) / tan
    if ridge is None:
        ridge = leg + d[1]
    result = _result(case, ridge, leg, None, top, slope, ArcTurns(0.0, turn, None), d)
    miss = (result.width / 2 - leg * tan - d[0], ridge - leg - d[1])
    if not math.hypot(*miss) <= 1e-9 * top:
        raise MisfitError(Reason.NO_CURVE)
    return result


def _one_arc_slope(case: Case, pair: set[Dimension]) -> float:
    """The ridge slope of an arch without eave arcs."""
    known, phi0 = case.known, case.phi0
    if H in pair:
        sine = math.sin(phi0) - (known[W] / 2 - known[LEG] * math.tan(case.lean)) / known[TOP]
        return math.asin(_within_one(sine))

    def slope_for(ridge: float) -> float:
        if TOP in pair:
            d = case.springing_to(ridge)
            return 2 * math.atan2(d[1], d[0]) - phi0
        if LEG in pair:
            share = case.across_leg(ridge) / (2 * known[TOP])
            if not 0 < share <= 1:
                raise MisfitError(Reason.NO_CURVE)
            return phi0 - 2 * math.asin(math.sqrt(share))
        return math.acos(_within_one(math.cos(phi0) + (ridge - known[LEG]) / known[TOP]))

    slope = settle_ridge(case, slope_for)[1]
    return 0.0 if abs(slope) < 1e-12 else slope


def _within_one(value: float) -> float:
    """``value`` as a sine or cosine, or ``MisfitError``."""
    if not abs(value) <= 1 + 1e-12:
        raise MisfitError(Reason.NO_CURVE)
    return max(-1.0, min(1.0, value))


def _check_radius(case: Case, field: Dimension, radius: float) -> None:
    """Raise ``MisfitError`` for a radius too small to bend, or so large that nobody bends it."""
    if not radius >= case.min_radius * (1 - 1e-9):
        raise MisfitError(Reason.TIGHT_RADIUS, field, radius)
    bent = field is EAVE or case.style is ArchStyle.QUONSET
    if bent and not radius <= LARGEST_BEND_MM:
        raise MisfitError(Reason.OUT_OF_BOUNDS, field, radius)


def finished(case: Case, result: Result) -> Arch:
    """The arch, if it keeps to the limits; else ``MisfitError`` with the one it breaks."""
    eave, bend, leg = result.eave, result.bend, result.leg
    if abs(leg) <= 1e-9 * result.ridge:
        leg = 0.0
    if not result.slope >= 0:
        raise MisfitError(Reason.NO_CURVE)
    if not leg >= case.min_leg * (1 - 1e-9):
        raise MisfitError(Reason.SHORT_LEG, LEG, leg)
    if eave is not None and abs(eave - result.top) <= 1e-9 * eave:
        eave, bend = None, ArcTurns(0.0, bend.eave_angle + bend.top_angle, None)
    if eave is not None:
        _check_radius(case, EAVE, eave)
    _check_radius(case, TOP, result.top)
    if case.style is ArchStyle.QUONSET and bend.rafter_length is not None:
        raise MisfitError(Reason.NO_CURVE)
    for field, size in ((W, result.width), (H, result.ridge)):
        if not SMALLEST_SIZE_MM / 2 <= size <= LARGEST_SIZE_MM * 1.1:
            raise MisfitError(Reason.OUT_OF_BOUNDS, field, size)
    if not result.slope <= LARGEST_SLOPE_RAD:
        raise MisfitError(Reason.OUT_OF_BOUNDS, SLOPE, result.slope)
    return Arch(
        style=case.style,
        width_mm=result.width,
        ridge_height_mm=result.ridge,
        leg_height_mm=leg,
        leg_lean_rad=case.lean,
        eave_radius_mm=eave,
        eave_angle_rad=bend.eave_angle,
        top_radius_mm=math.inf if bend.rafter_length is not None else result.top,
        top_angle_rad=bend.top_angle,
        rafter_length_mm=bend.rafter_length,
        ridge_slope_rad=result.slope,
        tube_od_mm=case.tube_od,
        chosen=tuple(d.name_for(case.style) for d in case.chosen),
    )
