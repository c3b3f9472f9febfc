"""Lengths, areas, volumes, masses and angles as text for drawings and lists.

Feet and inches follow architectural dimension text with zero feet left out and zero
inches kept (``DIMLUNIT`` 4 and ``DIMZIN`` 3 of the DXF reference): ``22'-0"``,
``6 1/4"``, ``1/2"``, ``0"``. Millimetres stand without a unit, as ISO 129-1 has it
for drawings whose title block names the unit.

Rounding, everywhere here: half-way cases go away from zero. A value is first taken
to the nearest 1e-7 mm (1e-7 of the unit for the others), so that the noise of
floating point on a half-way case does not decide what a drawing says; half of 1/64
inch, 0.1984375 mm, is a whole number of those.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.errors import UnitError
from frame3d.units.system import KG_PER_LB, MM_PER_FOOT, MM_PER_YARD, UnitSystem

_DENOMINATORS = (2, 4, 8, 16, 32, 64)
_MOST_DECIMALS = 4
_GRAIN = 10**7
_OZ_PER_LB = 16
Ratio = tuple[int, int]
"""A positive number as one whole number over another."""


class LengthFormat(Struct, frozen=True, kw_only=True):
    r"""How an output writes its numbers.

    Parameters
    ----------
    system : UnitSystem
    denominator : int
        Smallest fraction of an inch, ``1 / denominator``: 2, 4, 8, 16, 32 or 64.
        Used when `system` is imperial.
    decimals : int
        Most decimals of a millimetre, 0 to 4; trailing zeros are dropped. Used when
        `system` is metric.

    Raises
    ------
    UnitError
        If `denominator` or `decimals` is out of range.

    Examples
    --------
    >>> LengthFormat(system=UnitSystem.IMPERIAL).text(1917.7)
    '6\'-3 1/2"'
    >>> LengthFormat(system=UnitSystem.METRIC, decimals=1).text(42.4, unit=True)
    '42.4 mm'
    """

    system: UnitSystem
    denominator: int = 16
    decimals: int = 0

    def __post_init__(self) -> None:
        """Refuse what no output is written in."""
        if not isinstance(self.system, UnitSystem):
            raise UnitError(
                f"got {self.system!r} for the system of units; "
                f"UnitSystem.IMPERIAL or UnitSystem.METRIC is allowed"
            )
        if self.denominator not in _DENOMINATORS:
            allowed = ", ".join(map(str, _DENOMINATORS))
            raise UnitError(
                f"got 1/{self.denominator} for the smallest fraction of an inch; "
                f"the denominator must be one of {allowed}"
            )
        if self.decimals not in range(_MOST_DECIMALS + 1):
            raise UnitError(
                f"got {self.decimals!r} decimals of a millimetre; 0 to {_MOST_DECIMALS} are allowed"
            )

    @property
    def step_mm(self) -> float:
        """The smallest difference that the text can show, mm."""
        top, under = self._step()
        return top / under

    def text(self, length_mm: float, *, unit: bool = False) -> str:
        """Return the text of a length.

        Parameters
        ----------
        length_mm : float
            Any finite length, mm.
        unit : bool
            Whether a metric length is followed by ``mm``. Feet and inches always
            carry their marks.
        """
        if self.system is UnitSystem.IMPERIAL:
            return _feet_inches(_steps(length_mm, self._step()), self.denominator)
        written = _decimal(length_mm, 1, self.decimals, keep_zeros=False)
        return f"{written} mm" if unit else written

    def rounded_mm(self, length_mm: float) -> float:
        """Return the length that :meth:`text` shows, mm."""
        top, under = self._step()
        return _steps(length_mm, (top, under)) * top / under

    def floor_mm(self, length_mm: float) -> float:
        """Return the greatest length that can be shown and is not more than this one, mm."""
        top, under = self._step()
        return _grains(length_mm) * under // (_GRAIN * top) * top / under

    def area(self, area_mm2: float) -> str:
        """Return an area in m² to two decimals or in ft² to one."""
        if self.system is UnitSystem.IMPERIAL:
            return f"{_decimal(area_mm2, MM_PER_FOOT**2, 1)} ft²"
        return f"{_decimal(area_mm2, 1e6, 2)} m²"

    def volume(self, volume_mm3: float) -> str:
        """Return a volume in m³ to two decimals or in cubic yards to one."""
        if self.system is UnitSystem.IMPERIAL:
            return f"{_decimal(volume_mm3, MM_PER_YARD**3, 1)} yd³"
        return f"{_decimal(volume_mm3, 1e9, 2)} m³"

    def mass(self, mass_kg: float) -> str:
        """Return a mass in kg or lb to one decimal; less than 0.1 of that in g, or oz to one."""
        if self.system is UnitSystem.IMPERIAL:
            if 0 < mass_kg < KG_PER_LB / 10:
                return f"{_decimal(_OZ_PER_LB * mass_kg, KG_PER_LB, 1)} oz"
            return f"{_decimal(mass_kg, KG_PER_LB, 1)} lb"
        if 0 < mass_kg < 0.1:
            return f"{_decimal(1000 * mass_kg, 1, 0)} g"
        return f"{_decimal(mass_kg, 1, 1)} kg"

    @property
    def mass_word(self) -> str:
        """What a mass is called: weight where it is told in pounds."""
        return "weight" if self.system is UnitSystem.IMPERIAL else "mass"

    def angle(self, angle_rad: float, *, decimals: int = 1) -> str:
        """Return an angle in degrees, trailing zeros dropped, as ``14.5°``."""
        return f"{_decimal(math.degrees(angle_rad), 1, decimals, keep_zeros=False)}°"

    def _step(self) -> Ratio:
        if self.system is UnitSystem.IMPERIAL:
            return 254, 10 * self.denominator
        return 1, 10**self.decimals


# Exact, in whole numbers: a page or a sheet has thousands of texts, and fractions that are kept in
# their lowest terms take several times as long.
def _half_up(top: int, under: int) -> int:
    """Return the whole number nearest to a ratio, half-way cases away from zero."""
    size = (2 * abs(top) + under) // (2 * under)
    return -size if top < 0 else size


def _grains(value: float) -> int:
    """Return the value in steps of 1e-7, rounded."""
    if not math.isfinite(value):
        raise UnitError(f"got {value!r}, which cannot be written; a finite number is needed")
    top, under = float(value).as_integer_ratio()
    return _half_up(top * _GRAIN, under)


def _steps(value: float, step: Ratio) -> int:
    """Return how many whole steps the value is, rounded."""
    top, under = step
    return _half_up(_grains(value) * under, _GRAIN * top)


def _decimal(value: float, per: float, decimals: int, *, keep_zeros: bool = True) -> str:
    """Return ``value / per`` to that many decimals; zero never has a minus sign."""
    count = _steps(value / per, (1, 10**decimals))
    whole, part = divmod(abs(count), 10**decimals)
    written = f"{whole}.{part:0{decimals}d}" if decimals else f"{whole}"
    if decimals and not keep_zeros:
        written = written.rstrip("0").rstrip(".")
    return f"-{written}" if count < 0 else written


def _feet_inches(steps: int, denominator: int) -> str:
    """Return feet and inches for a whole number of ``1 / denominator`` inches.

    Working in whole steps is what makes carries right: 11 16/16 cannot arise.
    """
    inches, over = divmod(abs(steps), denominator)
    feet, inches = divmod(inches, 12)
    shared = math.gcd(over, denominator)
    written = f" {over // shared}/{denominator // shared}" if over else ""
    if feet:
        body = f"{feet}'-{inches}{written}\""
    elif inches or not over:
        body = f'{inches}{written}"'
    else:
        body = f'{written.lstrip()}"'
    return f"-{body}" if steps < 0 else body
