r"""Lengths, angles and masses: read as people write them, written as drawings need them.

Three modules, one way through: :mod:`.system` holds the units and what each is
worth, :mod:`.reading` turns text into numbers (``parse_length("6' 3 1/2\"")``),
:mod:`.writing` turns numbers into text (:class:`LengthFormat`). Inside the package
every length is in millimetres, every mass in kilograms, every angle in radians.

Why no units library: half a dozen exact factors are all that is needed, and the
grammar of feet, inches and fractions is not in such a library anyway. Loading pint
costs about 0.2 s, more than everything else that a check of a design loads.

Glossary
--------
dual form : a length in two units of one system, such as ``6'-3 1/2"`` or ``5 m 20 cm``.
mixed number : a whole number and a fraction, ``3 1/2`` or ``3-1/2``.
"""

from frame3d.units.comparing import Numbers, compared
from frame3d.units.formatting import LengthFormat
from frame3d.units.reading import (
    parse_angle,
    parse_length,
    parse_length_exact,
    parse_mass,
    system_of,
)
from frame3d.units.saying import LengthText
from frame3d.units.system import (
    KG_PER_LB,
    MM_PER_FOOT,
    MM_PER_INCH,
    MM_PER_YARD,
    UnitSystem,
)

__all__ = [
    "KG_PER_LB",
    "MM_PER_FOOT",
    "MM_PER_INCH",
    "MM_PER_YARD",
    "LengthFormat",
    "Numbers",
    "LengthText",
    "UnitSystem",
    "compared",
    "parse_angle",
    "parse_length",
    "parse_length_exact",
    "parse_mass",
    "system_of",
]
