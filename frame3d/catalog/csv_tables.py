"""The catalogue's rows, read once from the tables beside this module.

Every row says where its figures come from (``source``) and how sure that is
(``status``). Sizes stand in the table as they are ordered, ``1.315 in`` or
``42.4 mm``, so inch sizes are exact here and not rounded to metric first.
"""

from __future__ import annotations

import csv
import enum
import functools
from collections.abc import Callable
from pathlib import Path
from typing import Generic

from msgspec import Struct
from typing_extensions import TypeVar

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
from frame3d.units import parse_length


class CatalogKind(enum.Enum):
    """What the catalogue holds; the value is the name of the table."""

    TUBE = "tube"
    TIMBER = "timber"
    BOLT = "bolt"
    NUT = "nut"
    WASHER = "washer"
    SCREW = "screw"
    LAG_SCREW = "lag screw"


class Status(enum.Enum):
    """How far the figures of a row can be trusted."""

    PUBLISHED = "published"
    """Read in a published table, or printed by a general-purpose reference library."""
    MEMORY = "from memory"
    """Written from memory of the source named, not confirmed: check before ordering."""
    PRACTICE = "common practice, no source"
    """Usual in the trade; no published source."""


Size = TubeSection | TimberSection | BoltSize | NutSize | WasherSize | ScrewSize | LagScrewSize
S = TypeVar("S", bound=Size, covariant=True, default=Size)
K = TypeVar("K", bound=Size)


class CatalogRow(Struct, Generic[S], frozen=True, kw_only=True):
    """One size of the catalogue.

    Parameters
    ----------
    name : str
        As it is ordered.
    value : Size
    source : str
        Standard and table, in words.
    status : Status
    aliases : tuple of str
        Other names for the same size.
    stock_lengths_mm : tuple of float
        Lengths that tube and timber are stocked in, rising, mm; else empty.
    """

    name: str
    value: S
    source: str
    status: Status
    aliases: tuple[str, ...] = ()
    stock_lengths_mm: tuple[float, ...] = ()


def rows(kind: CatalogKind | str) -> tuple[CatalogRow, ...]:
    """Return all sizes of a kind, in the table's order."""
    kind = CatalogKind(kind)
    return tuple(row_at(kind, number) for number in range(len(table_lines(kind))))


def names(kind: CatalogKind | str) -> tuple[str, ...]:
    """Return the names of all sizes of a kind, each once, in the table's order."""
    return tuple(dict.fromkeys(line["name"] for line in table_lines(CatalogKind(kind))))


def read_table(stem: str) -> list[dict[str, str]]:
    """Return the lines of a table of this package, each by the names of its columns."""
    text = (Path(__file__).parent / f"{stem}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines(), strict=True))


@functools.cache
def table_lines(kind: CatalogKind) -> tuple[dict[str, str], ...]:
    """Return the lines of the table of a kind as they are written."""
    return tuple(read_table(kind.value.replace(" ", "_")))


@functools.cache
def row_at(kind: CatalogKind, number: int) -> CatalogRow:
    """Return one size of a kind, by the number of its line from 0.

    A design asks for a dozen of some hundreds of sizes, so each is read when it is asked for.
    """
    line = table_lines(kind)[number]
    return CatalogRow(
        name=line["name"],
        value=_MAKERS[kind](line),
        source=line["source"],
        status=Status(line["status"]),
        aliases=aliases(line),
        stock_lengths_mm=_lengths(line.get("stock_lengths", "")),
    )


def with_size(row: CatalogRow, kind: type[K]) -> CatalogRow[K]:
    """Return ``row``, whose size is known to be of ``kind``.

    Raises
    ------
    TypeError
        If it is of another.
    """
    if not isinstance(row.value, kind):
        raise TypeError(f"{row.name}: {type(row.value).__name__}, not {kind.__name__}")
    return row  # type: ignore[return-value]  # the size has just been looked at


def aliases(line: dict[str, str]) -> tuple[str, ...]:
    """Return the other names that a line of a table gives."""
    return _list(line["aliases"])


@functools.cache
def _bolt_lengths(series: str) -> tuple[float, ...]:
    return next(_lengths(line["lengths"]) for line in _series() if line["name"] == series)


@functools.cache
def _series() -> tuple[dict[str, str], ...]:
    return tuple(read_table("length"))


def _list(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())


def _lengths(cell: str) -> tuple[float, ...]:
    return tuple(parse_length(part) for part in _list(cell))


def _sizes(line: dict[str, str], **columns: str) -> dict[str, float]:
    """Return the named lengths of a line, mm: argument name from column name."""
    return {name: parse_length(line[column]) for name, column in columns.items()}


def _tube(line: dict[str, str]) -> TubeSection:
    return TubeSection(name=line["name"], **_sizes(line, od_mm="outside", wall_mm="wall"))


def _timber(line: dict[str, str]) -> TimberSection:
    return TimberSection(
        name=line["name"],
        density_kg_per_m3=float(line["density_kg_per_m3"]),
        **_sizes(line, thickness_mm="thickness", depth_mm="depth"),
    )


def _bolt(line: dict[str, str]) -> BoltSize:
    shortest, longest = parse_length(line["shortest"]), parse_length(line["longest"])
    series = _bolt_lengths(line["lengths"])
    return BoltSize(
        name=line["name"],
        head=Head(line["head"]),
        lengths_mm=tuple(length for length in series if shortest <= length <= longest),
        **_sizes(
            line,
            diameter_mm="diameter",
            pitch_mm="pitch",
            flats_mm="flats",
            head_height_mm="head_height",
            thread_mm="thread",
            hole_mm="hole",
        ),
    )


def _nut(line: dict[str, str]) -> NutSize:
    sizes = _sizes(line, diameter_mm="diameter", flats_mm="flats", height_mm="height")
    return NutSize(name=line["name"], **sizes)


def _washer(line: dict[str, str]) -> WasherSize:
    sizes = _sizes(line, inside_mm="inside", outside_mm="outside", thickness_mm="thickness")
    return WasherSize(name=line["name"], **sizes)


def _screw(line: dict[str, str]) -> ScrewSize:
    return ScrewSize(
        name=line["name"],
        lengths_mm=_lengths(line["lengths"]),
        **_sizes(
            line,
            diameter_mm="diameter",
            flats_mm="flats",
            flange_mm="flange",
            head_height_mm="head_height",
            thinnest_mm="thinnest",
            thickest_mm="thickest",
        ),
    )


def _lag_screw(line: dict[str, str]) -> LagScrewSize:
    sizes = _sizes(line, diameter_mm="diameter", flats_mm="flats", head_height_mm="head_height")
    return LagScrewSize(name=line["name"], lengths_mm=_lengths(line["lengths"]), **sizes)


_MAKERS: dict[CatalogKind, Callable[[dict[str, str]], Size]] = {
    CatalogKind.TUBE: _tube,
    CatalogKind.TIMBER: _timber,
    CatalogKind.BOLT: _bolt,
    CatalogKind.NUT: _nut,
    CatalogKind.WASHER: _washer,
    CatalogKind.SCREW: _screw,
    CatalogKind.LAG_SCREW: _lag_screw,
}
