"""Thickness by gauge. A gauge number means nothing without its system.

Glossary
--------
gauge : a number for a thickness; a larger number is thinner. 14 gauge is 0.083 in as
    tube, 0.0747 in as steel sheet and 0.0785 in as galvanized sheet.
"""

from __future__ import annotations

import enum
import functools
import re

from frame3d.catalog.csv_tables import read_table
from frame3d.errors import CatalogError
from frame3d.units import parse_length


class GaugeSystem(enum.Enum):
    """The systems that the catalogue knows; the value says what each is used for."""

    BWG = "Birmingham wire gauge, for tube"
    MSG = "Manufacturers' Standard Gauge, for steel sheet"
    GSG = "Galvanized Sheet Gauge, for galvanized sheet with its zinc"
    SWG = "Standard Wire Gauge, British"


def wall_from_gauge(gauge: int, system: GaugeSystem | str) -> float:
    """Return the thickness of a gauge number, mm.

    Parameters
    ----------
    gauge : int
    system : GaugeSystem or str
        The member or its name, for example ``"BWG"``.

    Raises
    ------
    CatalogError
        If the system or the number is not in the table.

    Examples
    --------
    >>> wall_from_gauge(14, GaugeSystem.BWG)
    2.1082
    """
    if not isinstance(system, GaugeSystem):
        if system.upper() not in GaugeSystem.__members__:
            raise CatalogError(f"got {system!r} for a gauge system; {_systems()} are allowed")
        system = GaugeSystem[system.upper()]
    table = _table()[system]
    if gauge not in table:
        raise CatalogError(
            f"got {gauge} gauge in {system.name}; {min(table)} to {max(table)} are in the table, "
            f'or give the wall as a length, for example "0.083 in"'
        )
    return parse_length(table[gauge])


def read_gauge(text: str) -> tuple[int, GaugeSystem] | None:
    """Return gauge and system of text like ``14 ga BWG``, or None if it is no gauge.

    Raises
    ------
    CatalogError
        If it is a gauge without a system, or with one that is not known.
    """
    words = re.findall(r"[a-z]+|[0-9.]+", text.casefold())
    numbers = [word for word in words if word.isdigit()]
    systems = [word.upper() for word in words if word.upper() in GaugeSystem.__members__]
    says_gauge = any(word in ("ga", "gauge", "gage") for word in words)
    if not (says_gauge or systems):
        return None
    gauge = int(numbers[0]) if len(numbers) == 1 else None
    if gauge is None or len(systems) != 1 or len(words) > 2 + says_gauge:
        raise CatalogError(_missing_system(text, gauge))
    return gauge, GaugeSystem[systems[0]]


def _missing_system(text: str, gauge: int | None) -> str:
    choices = "; ".join(
        f"{gauge or 14} ga {system.name} = {_table()[system][gauge or 14]} ({system.value})"
        for system in GaugeSystem
        if (gauge or 14) in _table()[system]
    )
    found = f", which could be: {choices}" if choices else f"; {_systems()} are allowed"
    return (
        f"got {text.strip()!r}: a gauge needs exactly one number and the name of its "
        f"system{found}. Ask your supplier, or measure the wall and give it as a length"
    )


def _systems() -> str:
    return ", ".join(f"{system.name} ({system.value})" for system in GaugeSystem)


@functools.cache
def _table() -> dict[GaugeSystem, dict[int, str]]:
    table: dict[GaugeSystem, dict[int, str]] = {system: {} for system in GaugeSystem}
    for line in read_table("gauge"):
        table[GaugeSystem[line["system"]]][int(line["gauge"])] = line["thickness"]
    return table
