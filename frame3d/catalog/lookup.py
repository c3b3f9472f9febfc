"""Sizes by name, forgiving in the spelling and clear about what is not there."""

from __future__ import annotations

import functools

from frame3d.catalog.by_numbers import timber_by_numbers, tube_by_numbers
from frame3d.catalog.csv_tables import (
    CatalogKind,
    CatalogRow,
    K,
    aliases,
    names,
    row_at,
    rows,
    table_lines,
    with_size,
)
from frame3d.catalog.sections import (
    BoltSize,
    Head,
    LagScrewSize,
    NutSize,
    ScrewSize,
    TimberSection,
    TubeSection,
    WasherSize,
)
from frame3d.catalog.spellings import key, nearest
from frame3d.errors import CatalogError
from frame3d.units import UnitSystem, parse_length, system_of
from frame3d.units.data_tables import Json

_NAMES = 500
"""So many names are remembered: a design asks for the same few again and again."""
_BY_NUMBERS = {
    CatalogKind.TUBE: 'give the outside diameter and wall instead, for example "42.4 mm x 3.2 '
    'mm", "1.66 in x 0.111 in" or "1.66 in x 14 ga BWG"',
    CatalogKind.TIMBER: 'give the actual thickness and depth instead, for example "45 x 145 mm" '
    'or "1.5 in x 7.25 in"',
}
_UNLISTED_TUBE_STOCK_MM = {
    # Common practice, no source.
    UnitSystem.IMPERIAL: (parse_length("20 ft"), parse_length("24 ft")),
    UnitSystem.METRIC: (6000.0,),
}
_UNLISTED_TIMBER_STOCK_MM = {
    # Common practice, no source; inch boards come in steps of 2 ft (PS 20).
    UnitSystem.IMPERIAL: tuple(parse_length(f"{feet} ft") for feet in (8, 10, 12, 14, 16)),
    UnitSystem.METRIC: (2400.0, 3000.0, 3600.0, 4200.0, 4800.0, 5400.0, 6000.0),
}


def tube_section(name: str) -> TubeSection:
    """Return the tube of a name, or of an outside diameter and a wall.

    Parameters
    ----------
    name : str
        For example ``NPS 1-1/2 STD``, ``EN 10255 DN40 medium``, ``48 x 2 mm``,
        ``1.66 in x 14 ga BWG``. ``Sch 40`` is ``STD`` and ``XS`` is ``Sch 80`` for the
        sizes here, and the tube that comes back has the one name.

    Raises
    ------
    CatalogError
        If there is no such tube, or a gauge is given without its system.
    """
    return _tube(name)[0]


def timber_section(name: str) -> TimberSection:
    """Return the board of a nominal name (``2x8``, ``47x150``) or of its actual sizes.

    Raises
    ------
    CatalogError
        If there is no such board, or inches are given that look nominal.
    """
    return _timber(name)[0]


def tube_stock_lengths_mm(name: str) -> tuple[float, ...]:
    """Return the lengths that a tube is stocked in, rising, mm; errors as :func:`tube_section`."""
    return _tube(name)[1]


def timber_stock_lengths_mm(name: str) -> tuple[float, ...]:
    """Return the lengths that a board is stocked in, rising, mm; errors as its section."""
    return _timber(name)[1]


def bolt_size(name: str, head: Head | str = Head.HEX) -> BoltSize:
    """Return the bolt of a thread and a head; ``3/8``, ``3/8-16`` and ``M10`` are names."""
    return _known(CatalogKind.BOLT, BoltSize, name, _head(head))


def nut_size(name: str) -> NutSize:
    """Return the hexagon nut of a thread."""
    return _known(CatalogKind.NUT, NutSize, name)


def washer_size(name: str) -> WasherSize:
    """Return the plain washer for a thread; ``1/2`` is wide, ``M10`` normal.

    A thread with its pitch will do as well: ``washer_size(bolt.name)``.
    """
    return _known(CatalogKind.WASHER, WasherSize, name)


def screw(name: str) -> ScrewSize:
    """Return the self-drilling screw of a thread, ``ST5.5`` or ``#12-14``."""
    return _known(CatalogKind.SCREW, ScrewSize, name)


def lag_screw(name: str) -> LagScrewSize:
    """Return the lag screw of a nominal diameter, ``1/4`` or ``6 mm``."""
    return _known(CatalogKind.LAG_SCREW, LagScrewSize, name)


def tube_rows() -> tuple[CatalogRow[TubeSection], ...]:
    """Return all tubes with their sources, in the table's order."""
    return tuple(with_size(row, TubeSection) for row in rows(CatalogKind.TUBE))


def timber_rows() -> tuple[CatalogRow[TimberSection], ...]:
    """Return all boards with their sources, in the table's order."""
    return tuple(with_size(row, TimberSection) for row in rows(CatalogKind.TIMBER))


def clearance_mm(outer: TubeSection, inner: TubeSection) -> float:
    """Return the play of a tube inside another, on the diameter, mm; below 0 it can't enter.

    Nominal sizes: mill tolerances come on top, and a weld bead inside takes some away.
    """
    return outer.inside_mm - inner.od_mm


def _tube(name: Json) -> tuple[TubeSection, tuple[float, ...]]:
    """Return the section by name or by numbers, and the lengths that it is stocked in."""
    if not isinstance(name, str):
        raise CatalogError(_unknown(CatalogKind.TUBE, name))
    return _tube_called(name)


@functools.lru_cache(_NAMES)
def _tube_called(name: str) -> tuple[TubeSection, tuple[float, ...]]:
    row = _found(CatalogKind.TUBE, name)
    section = None if row else tube_by_numbers(name)
    if section and not (row := _found(CatalogKind.TUBE, section.name)):
        return section, _UNLISTED_TUBE_STOCK_MM[_written_in(section.name)]
    return _listed(CatalogKind.TUBE, TubeSection, name, row)


def _timber(name: Json) -> tuple[TimberSection, tuple[float, ...]]:
    """Return the section by name or by numbers, and the lengths that it is stocked in."""
    if not isinstance(name, str):
        raise CatalogError(_unknown(CatalogKind.TIMBER, name))
    return _timber_called(name)


@functools.lru_cache(_NAMES)
def _timber_called(name: str) -> tuple[TimberSection, tuple[float, ...]]:
    row = _found(CatalogKind.TIMBER, name)
    section = None if row else timber_by_numbers(name)
    if section and not (row := _found(CatalogKind.TIMBER, section.name)):
        return section, _UNLISTED_TIMBER_STOCK_MM[_written_in(section.name)]
    return _listed(CatalogKind.TIMBER, TimberSection, name, row)


def _listed(
    kind: CatalogKind, size: type[K], name: str, row: CatalogRow | None
) -> tuple[K, tuple[float, ...]]:
    """Return the size of a row and the lengths that it is stocked in."""
    if row is None:
        raise CatalogError(_unknown(kind, name))
    return with_size(row, size).value, row.stock_lengths_mm


def _known(kind: CatalogKind, size: type[K], name: str, head: Head | None = None) -> K:
    return _listed(kind, size, name, _found(kind, name, head))[0]


def _found(kind: CatalogKind, name: Json, head: Head | None = None) -> CatalogRow | None:
    if not isinstance(name, str):
        raise CatalogError(_unknown(kind, name))
    number = _as_written(kind).get((name, head))
    if number is None:
        number = _index(kind).get((_key(kind, name), head))
    return None if number is None else row_at(kind, number)


def _key(kind: CatalogKind, name: str) -> str:
    """Return the key; boards are called the same with and without ``mm``."""
    return key(name).replace("mm", "") if kind is CatalogKind.TIMBER else key(name)


@functools.cache
def _as_written(kind: CatalogKind) -> dict[tuple[str, Head | None], int]:
    """Return the numbers of the lines by name and, for bolts, head.

    Most designs write names as the table does, and the keys of a whole table take longer to
    make than all else that is read. No two sizes of a kind share a key, so both agree.
    """
    return {
        (name, Head(line["head"]) if kind is CatalogKind.BOLT else None): number
        for number, line in enumerate(table_lines(kind))
        for name in (line["name"], *aliases(line))
    }


@functools.cache
def _index(kind: CatalogKind) -> dict[tuple[str, Head | None], int]:
    """Return the numbers of the lines by key and, for bolts, head."""
    return {
        (_key(kind, name), Head(line["head"]) if kind is CatalogKind.BOLT else None): number
        for number, line in enumerate(table_lines(kind))
        for name in (line["name"], *aliases(line))
    }


def _head(head: Head | str) -> Head:
    try:
        return Head(head)
    except ValueError:
        allowed = ", ".join(one.value for one in Head)
        raise CatalogError(f"got {head!r} for the head of a bolt; {allowed} are allowed") from None


def _unknown(kind: CatalogKind, name: Json) -> str:
    known = names(kind)
    near = nearest(name, known) if isinstance(name, str) else []
    lead = "the nearest are" if near else "some of them are"
    shown = ", ".join(f'"{one}"' for one in near or known[:3])
    numbers = f"; or {_BY_NUMBERS[kind]}" if kind in _BY_NUMBERS else ""
    return (
        f"got {name!r} for a {kind.value}; the catalogue has {len(known)} sizes, {lead} "
        f"{shown}{numbers}"
    )


def _written_in(section_name: str) -> UnitSystem:
    """Return the system of the first size in a name made by numbers."""
    first = section_name.split("x")[0].strip()
    return system_of(first) if first.endswith("in") else UnitSystem.METRIC
