"""Lengths in messages to the user, and limits that can be typed as they are told."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from frame3d.units.formatting import LengthFormat
from frame3d.units.system import MM_PER_INCH, UnitSystem

_TENTHS = 0.49
"""A size that is nearer to a whole tenth of a millimetre than 0.001 mm is made to it."""


class LengthText(Struct, frozen=True):
    """Puts lengths into the words of a message.

    Parameters
    ----------
    form : LengthFormat

    Examples
    --------
    >>> from frame3d.units import UnitSystem
    >>> say = LengthText(LengthFormat(system=UnitSystem.METRIC, decimals=1))
    >>> say(99.96), say.most(99.96), say.least(99.94)
    ('100 mm', '99.9 mm', '100 mm')
    """

    form: LengthFormat

    def __call__(self, length_mm: float) -> str:
        """A length, rounded to the nearest step."""
        return self.form.text(length_mm, unit=True)

    def most(self, length_mm: float) -> str:
        """The greatest length that may be given: what it says is never more."""
        return self.form.text(self.form.floor_mm(length_mm), unit=True)

    def least(self, length_mm: float) -> str:
        """The smallest length that may be given: what it says is never less."""
        return self.form.text(-self.form.floor_mm(-length_mm), unit=True)

    def tube(self, diameter_mm: float) -> str:
        """A diameter or wall of tube, as it is sold: to 0.001 in or 0.1 mm.

        Tube that is not made to tenths of a millimetre, as that made in inches, to 0.01 mm: a wall
        of 2.413 mm told as 2.4 would weigh 0.5 % less.
        """
        if self.form.system is UnitSystem.METRIC and abs(diameter_mm * 10 % 1 - 0.5) < _TENTHS:
            return f"{round(diameter_mm, 2):g} mm"
        return self._decimal(diameter_mm, round)

    def tube_least(self, diameter_mm: float) -> str:
        """The smallest diameter that may be chosen: what it says is never less."""
        return self._decimal(diameter_mm, math.ceil)

    def tube_most(self, diameter_mm: float) -> str:
        """The greatest diameter that may be chosen: what it says is never more."""
        return self._decimal(diameter_mm, math.floor)

    def _decimal(self, diameter_mm: float, to_whole: Callable[[float], int]) -> str:
        imperial = self.form.system is UnitSystem.IMPERIAL
        steps = 1000 / MM_PER_INCH if imperial else 10
        count = to_whole(round(diameter_mm * steps, 6))
        return f"{count / 1000:.3f} in" if imperial else f"{count / 10:g} mm"
