"""The units a user may write, and exactly how much each of them is.

References
----------
International yard and pound agreement, 1959 (NIST SP 811, 2008, appendix B.6): the
inch is exactly 25.4 mm, the avoirdupois pound exactly 0.453 592 37 kg.
"""

from __future__ import annotations

import enum
from fractions import Fraction

MM_PER_INCH = 25.4
"""Millimetres in an inch, exact by definition."""

MM_PER_FOOT = 304.8
"""Millimetres in a foot, exact by definition."""

MM_PER_YARD = 914.4
"""Millimetres in a yard, exact by definition."""

KG_PER_LB = 0.45359237
"""Kilograms in an avoirdupois pound, exact by definition."""


class UnitSystem(enum.Enum):
    """The units that outputs are written in; what is read may mix them freely."""

    IMPERIAL = "imperial"
    METRIC = "metric"

    @property
    def mm_per_drawing_unit(self) -> float:
        """Millimetres in one unit of a drawing: an inch or a millimetre."""
        return MM_PER_INCH if self is UnitSystem.IMPERIAL else 1.0


def _spread(
    names: str, worth: Fraction, system: UnitSystem
) -> dict[str, tuple[Fraction, UnitSystem]]:
    return {name: (worth, system) for name in names.split()}


_INCH = Fraction(254, 10)
_POUND = Fraction(45359237, 100000000)

LENGTH_UNITS: dict[str, tuple[Fraction, UnitSystem]] = {
    **_spread("yd yard yards", 36 * _INCH, UnitSystem.IMPERIAL),
    **_spread("' ft foot feet", 12 * _INCH, UnitSystem.IMPERIAL),
    **_spread('" in inch inches', _INCH, UnitSystem.IMPERIAL),
    **_spread("m metre metres meter meters", Fraction(1000), UnitSystem.METRIC),
    **_spread("cm centimetre centimetres centimeter centimeters", Fraction(10), UnitSystem.METRIC),
    **_spread("mm millimetre millimetres millimeter millimeters", Fraction(1), UnitSystem.METRIC),
}
"""Unit as written, in lower case: millimetres in one of it, and its system."""

MASS_UNITS: dict[str, tuple[Fraction, UnitSystem]] = {
    **_spread("t tonne tonnes", Fraction(1000), UnitSystem.METRIC),
    **_spread("kg kilogram kilograms", Fraction(1), UnitSystem.METRIC),
    **_spread("g gram grams", Fraction(1, 1000), UnitSystem.METRIC),
    **_spread("lb lbs pound pounds", _POUND, UnitSystem.IMPERIAL),
    **_spread("oz ounce ounces", _POUND / 16, UnitSystem.IMPERIAL),
}
"""Unit as written, in lower case: kilograms in one of it, and its system."""
