"""What a user may say about an arch, and the reasons why none may come of it.

Glossary
--------
dimension : one of the seven that describe an arch of the family.
given : a dimension that the user states, in the user's own meaning of width and height.
"""

from __future__ import annotations

import enum
import math

from msgspec import Struct

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import ArchStyle, Measured

# Beyond these nobody builds; inside of them the equations keep their digits.
SMALLEST_SIZE_MM = 1.0
LARGEST_SIZE_MM = 1e6
LARGEST_RADIUS_MM = 1e13  # of a rafter; beyond it, straight
LARGEST_BEND_MM = 1e8  # of an eave or a quonset's crown
LARGEST_LEAN_RAD = math.radians(45)
LARGEST_SLOPE_RAD = math.radians(89)


class Dimension(enum.Enum):
    """The seven dimensions of the family; the value is the name in messages."""

    # It equals itself alone; enum's own hash is written in Python, and a search asks for millions.
    __hash__ = object.__hash__

    WIDTH = "width"
    RIDGE_HEIGHT = "ridge_height"
    LEG_HEIGHT = "leg_height"
    LEG_LEAN = "leg_lean"
    EAVE_RADIUS = "eave_radius"
    TOP_RADIUS = "top_radius"
    RIDGE_SLOPE = "ridge_slope"

    @property
    def is_angle(self) -> bool:
        """True for the lean and the slope."""
        return self in (Dimension.LEG_LEAN, Dimension.RIDGE_SLOPE)

    @property
    def attribute(self) -> str:
        """Name of the field of :class:`ArchGiven`."""
        return f"{self.value}_{'rad' if self.is_angle else 'mm'}"

    def name_for(self, style: ArchStyle) -> str:
        """Name that the user knows: the top radius is the crown's or the rafter's."""
        if self is Dimension.TOP_RADIUS:
            return "crown_radius" if style is ArchStyle.QUONSET else "rafter_radius"
        return str(self.value)


class ArchGiven(Struct, frozen=True, kw_only=True):
    """What is known of an arch before it is solved.

    Parameters
    ----------
    style : ArchStyle
    width_mm, ridge_height_mm : float or None
        In the meaning that ``measured`` says.
    leg_height_mm : float or None
        From ground to the springing, on the axis.
    leg_lean_rad : float or None
        Inward from plumb, 0 to 45°; plumb when not given, unless all the others are.
    eave_radius_mm, top_radius_mm : float or None
        Of the axis; ``inf`` for a straight rafter.
    ridge_slope_rad : float or None
        From horizontal, 0 to 89°; of a gothic arch only.
    measured : Measured
    tube_od_mm : float
    min_radius_mm : float
        The smallest radius that the tube can be bent to.
    min_leg_height_mm : float
        As far up as the leg must be straight.
    default_leg_height_mm : float
        Taken where the leg's height is not given and not implied.
    """

    style: ArchStyle
    width_mm: float | None = None
    ridge_height_mm: float | None = None
    leg_height_mm: float | None = None
    leg_lean_rad: float | None = None
    eave_radius_mm: float | None = None
    top_radius_mm: float | None = None
    ridge_slope_rad: float | None = None
    measured: Measured = Measured.CENTRES
    tube_od_mm: float = 0.0
    min_radius_mm: float = 0.0
    min_leg_height_mm: float = 0.0
    default_leg_height_mm: float = 0.0

    def known(self) -> dict[Dimension, float]:
        """The dimensions that are given."""
        values = {d: getattr(self, d.attribute) for d in Dimension}
        return {d: value for d, value in values.items() if value is not None}


class Reason(enum.Enum):
    """Why no arch comes of what is given."""

    UNDETERMINED = "too little is given"
    CONTRADICTION = "the values contradict each other"
    NO_CURVE = "no smooth curve fits"
    OUT_OF_BOUNDS = "a value is out of bounds"
    TIGHT_RADIUS = "a radius is too small to bend"
    SHORT_LEG = "the leg is too short"
    ALL_TUBE = "the width is no more than the tube itself"


class MisfitError(Exception):
    """Internal: no arch, and why; :func:`solve_arch` turns it into an ``ArchError``.

    Parameters
    ----------
    reason : Reason
    dimension : Dimension or None
        The one that broke a limit, or whose value is missing.
    value : float or None
        What it came to.
    missing : tuple of Dimension
        For an undetermined arch: those of which one more would help.
    """

    def __init__(
        self,
        reason: Reason,
        dimension: Dimension | None = None,
        value: float | None = None,
        missing: tuple[Dimension, ...] = (),
    ) -> None:
        # All of them: pickle and copy begin it anew with these.
        super().__init__(reason, dimension, value, missing)
        self.reason = reason
        self.dimension = dimension
        self.value = value
        self.missing = missing

    def __str__(self) -> str:
        """Why there is none."""
        return self.reason.value


def check_limits(given: ArchGiven) -> None:
    """Raise ``ArchError`` unless the tube's own numbers can be numbers of a tube."""
    for name in ("tube_od_mm", "min_radius_mm", "min_leg_height_mm", "default_leg_height_mm"):
        value = getattr(given, name)
        if not (_is_number(value) and 0 <= value <= LARGEST_SIZE_MM):
            raise ArchError(
                f"{name} is {value!r}: make it a number from 0 to {LARGEST_SIZE_MM:g} mm"
            )


def bounds_of(dimension: Dimension, given: ArchGiven) -> tuple[float, float]:
    """Smallest and largest value of a dimension that is accepted at all."""
    if dimension is Dimension.LEG_LEAN:
        return (0.0, LARGEST_LEAN_RAD)
    if dimension is Dimension.RIDGE_SLOPE:
        return (0.0, LARGEST_SLOPE_RAD)
    if dimension is Dimension.LEG_HEIGHT:
        return (given.min_leg_height_mm, LARGEST_SIZE_MM)
    if dimension is Dimension.TOP_RADIUS and given.style is ArchStyle.GOTHIC:
        return (given.min_radius_mm, math.inf)
    if dimension in (Dimension.EAVE_RADIUS, Dimension.TOP_RADIUS):
        return (given.min_radius_mm, LARGEST_BEND_MM)
    return (SMALLEST_SIZE_MM, LARGEST_SIZE_MM)


def check_bounds(given: ArchGiven, known: dict[Dimension, float]) -> None:
    """Raise ``MisfitError`` for a given value that no arch may have."""
    for dimension, value in known.items():
        low, high = bounds_of(dimension, given)
        if _is_number(value) and low * (1 - 1e-9) <= value <= high:
            if dimension not in (Dimension.EAVE_RADIUS, Dimension.TOP_RADIUS):
                continue
            if 0 < value <= LARGEST_RADIUS_MM or math.isinf(value):
                continue
        reason = Reason.OUT_OF_BOUNDS
        if _is_number(value) and 0 <= value < low:
            if dimension is Dimension.LEG_HEIGHT:
                reason = Reason.SHORT_LEG
            elif dimension in (Dimension.EAVE_RADIUS, Dimension.TOP_RADIUS):
                reason = Reason.TIGHT_RADIUS
        raise MisfitError(reason, dimension, value)
    if given.style is ArchStyle.QUONSET and known.get(Dimension.RIDGE_SLOPE, 0.0) != 0:
        raise MisfitError(Reason.OUT_OF_BOUNDS, Dimension.RIDGE_SLOPE, known[Dimension.RIDGE_SLOPE])


def _is_number(value: float | None) -> bool:
    """True for a float or int that is not nan."""
    return isinstance(value, int | float) and not isinstance(value, bool) and value == value
