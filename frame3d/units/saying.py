"""Lengths in messages to the user, and limits that can be typed as they are told."""

from __future__ import annotations

from msgspec import Struct

from frame3d.units.formatting import LengthFormat

__all__ = ["LengthText"]


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
