"""Tables: one form from which JSON, CSV and the workbook are all written.

Values are kept in millimetres, kilograms, square and cubic metres; JSON has them so, with the unit
in the key. CSV and the workbook have them in the units of the design.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Mapping, Sequence

from msgspec import Struct

from frame3d.units import KG_PER_LB, MM_PER_FOOT, MM_PER_INCH, MM_PER_YARD, UnitSystem

Value = str | int | float | None
Json = Value | bool | Sequence["Json"] | Mapping[str, "Json"]
"""What a JSON file can hold."""


class Quantity(enum.Enum):
    """What the values of a column are; the value is the suffix of its key in JSON."""

    TEXT = ""
    COUNT = " count"
    NUMBER = " number"
    LENGTH = "_mm"
    MASS = "_kg"
    AREA = "_m2"
    VOLUME = "_m3"
    MONEY = " money"

    @property
    def suffix(self) -> str:
        """What JSON adds to the key."""
        return self.value if self.value.startswith("_") else ""


_DIGITS = {Quantity.LENGTH: 4, Quantity.MASS: 6, Quantity.AREA: 6, Quantity.VOLUME: 6,
           Quantity.MONEY: 4, Quantity.NUMBER: 4}  # fmt: skip


class Units(Struct, frozen=True, kw_only=True):
    """The units in which values are written.

    Parameters
    ----------
    system : UnitSystem or None
        None for those that values are kept in.
    currency : str
        Empty where there is none to name.
    """

    system: UnitSystem | None
    currency: str = ""

    def name(self, quantity: Quantity) -> str:
        """What stands in the head of a column; empty for none."""
        imperial = self.system is UnitSystem.IMPERIAL
        return {
            Quantity.LENGTH: "in" if imperial else "mm",
            Quantity.MASS: "lb" if imperial else "kg",
            Quantity.AREA: "ft²" if imperial else "m²",
            Quantity.VOLUME: "yd³" if imperial else "m³",
            Quantity.MONEY: self.currency,
        }.get(quantity, "")

    def of(self, value: Value, quantity: Quantity) -> Value:
        """``value`` in these units, without the noise of floating point."""
        if not isinstance(value, int | float) or quantity in (Quantity.TEXT, Quantity.COUNT):
            return value
        per = {
            Quantity.LENGTH: MM_PER_INCH,
            Quantity.MASS: KG_PER_LB,
            Quantity.AREA: MM_PER_FOOT**2 / 1e6,
            Quantity.VOLUME: MM_PER_YARD**3 / 1e9,
        }.get(quantity, 1.0)
        divisor = per if self.system is UnitSystem.IMPERIAL else 1.0
        return round(value / divisor, _DIGITS[quantity]) + 0.0


SI = Units(system=None)
"""The units that values are kept in."""


class DataColumn(Struct, frozen=True, kw_only=True):
    """One column.

    Parameters
    ----------
    key : str
        Of the values in the rows.
    header : str
        Without the unit.
    quantity : Quantity
    width : float
        In characters.
    total : bool
        Whether its sum is shown.
    product : tuple of str
        Keys of the columns that it is the product of; its values are not in the rows then.
    formula : str
        How a spreadsheet works its value out: ``{key}`` is a cell of the same row,
        ``{table:key}`` a whole column of another table.
    """

    key: str
    header: str
    quantity: Quantity = Quantity.TEXT
    width: float = 12.0
    total: bool = False
    product: tuple[str, ...] = ()
    formula: str = ""


class DataTable(Struct, frozen=True, kw_only=True):
    """A table with its title, columns, rows, and what must be known to read it."""

    key: str
    title: str
    columns: tuple[DataColumn, ...]
    rows: tuple[dict[str, Value], ...]
    note: str = ""

    def value(self, row: dict[str, Value], column: DataColumn, units: Units) -> Value:
        """What stands in a cell."""
        if not column.product:
            return units.of(row[column.key], column.quantity)
        found = [self.value(row, self.column(key), units) for key in column.product]
        numbers = [value for value in found if isinstance(value, int | float)]
        return round(math.prod(numbers), 6) if len(numbers) == len(found) else None

    def whole(self, row: dict[str, Value], key: str) -> int:
        """A whole number in a row; TypeError where there is none."""
        value = row[key]
        if not isinstance(value, int):
            raise TypeError(f"{self.key}: {key} is {value!r}, no whole number")
        return value

    def values(self, units: Units) -> list[list[Value]]:
        """Every row as a list, in the order of the columns."""
        return [[self.value(row, column, units) for column in self.columns] for row in self.rows]

    def total(self, column: DataColumn, units: Units) -> float:
        """The sum of a column."""
        values = (self.value(row, column, units) for row in self.rows)
        return round(math.fsum(value for value in values if isinstance(value, int | float)), 6)

    def column(self, key: str) -> DataColumn:
        """The column of a key."""
        return next(column for column in self.columns if column.key == key)

    def header(self, column: DataColumn, units: Units) -> str:
        """The head of a column, with its unit."""
        unit, header = units.name(column.quantity), column.header
        if units.system is UnitSystem.IMPERIAL and column.quantity is Quantity.MASS:
            header = header.replace("Mass", "Weight")
        return f"{header}, {unit}" if unit else header

    def as_json(self) -> list[dict[str, Value]]:
        """The rows with units in their keys."""
        keys = [column.key + column.quantity.suffix for column in self.columns]
        return [dict(zip(keys, values, strict=True)) for values in self.values(SI)]
