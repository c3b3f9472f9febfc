"""The format of design files: what a later one has otherwise, and how an older one is read.

A short file leaves most to defaults, so a default that changes would change its steel. It is
entered in :data:`CHANGED`, and the format goes up by one: whoever reads an older file is told,
and can have the old value written into it. A field with a better name is entered in
:data:`RENAMED` and is still read under the old one.

A file without a format is read as of format 1: those from before there was one have that form.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from pydantic.config import JsonValue

from frame3d.design.tables.fields import Table, Written, shown
from frame3d.design.values.defaults import completed, units_of
from frame3d.design.values.following import left_out
from frame3d.errors import DesignFaults, Fault
from frame3d.units import UnitSystem

FORMAT = 2
"""The newest format that is read, and the one that is written."""
FORMAT_FIELD = "format"
Path = tuple[str | int, ...]


class ChangedDefault(Struct, frozen=True, kw_only=True):
    """A default that was another in older formats.

    Parameters
    ----------
    section, name : str
    format : int
        The first format with the default of today.
    was : callable
        From the table, the whole completed design and the units to the value as a file has it,
        like the rule of a default that follows others.
    """

    section: str
    name: str
    format: int
    was: Callable[[Table, Table, UnitSystem], JsonValue]


class Renamed(Struct, frozen=True, kw_only=True):
    """A field that had another name in older formats; ``format`` is the first with the new one."""

    section: str
    old: str
    new: str
    format: int


def _printer_size(output: Table, design: Table, units: UnitSystem) -> JsonValue:
    """One sheet for frames of any length: that of an office printer."""
    sheets = output["sheets"]
    return "A3" if getattr(sheets, "value", sheets) == "iso" else "B"


CHANGED: tuple[ChangedDefault, ...] = (
    ChangedDefault(section="output", name="sheet_size", format=2, was=_printer_size),
)
RENAMED: tuple[Renamed, ...] = ()


class Note(Struct, frozen=True, kw_only=True):
    """What a reader of an older file is to know; nothing is wrong with the file.

    Parameters
    ----------
    where : str
        The field, for example ``rail[2].overlap``.
    message : str
        One or two sentences.
    section, name : str
        The field by its name of today.
    number : int or None
        Which of several tables, from 0.
    was : str, int, float, list or None
        What a default was before; None where the note is about a name.
    """

    where: str
    message: str
    section: str
    name: str
    number: int | None = None
    was: JsonValue = None

    def __str__(self) -> str:
        """Field and message."""
        return f"{self.where}: {self.message}"


class Opened(Struct, frozen=True, kw_only=True):
    """A design as today's models name its fields.

    Parameters
    ----------
    mapping : dict
        Without its format.
    format : int
    moved : dict
        Path of each renamed field to the path that it has in the file.
    notes : tuple of Note
    """

    mapping: Table
    format: int
    moved: dict[Path, Path]
    notes: tuple[Note, ...]


def opened(mapping: Table, source: str, line: int | None = None) -> Opened:
    """The design in ``mapping`` with its fields under the names of today.

    Raises
    ------
    DesignFaults
        If its format is none, or newer than this program knows, or if it has a field under both
        names. ``line`` is that of the format.
    """
    number = _format_of(mapping.get(FORMAT_FIELD, 1), source, line)
    result = {name: value for name, value in mapping.items() if name != FORMAT_FIELD}
    moved: dict[Path, Path] = {}
    notes: list[Note] = []
    for renamed in RENAMED:
        given = result.get(renamed.section)
        several = isinstance(given, (list, tuple))
        tables = list(given) if isinstance(given, (list, tuple)) else [given]
        for index, table in enumerate(tables):
            if not isinstance(table, dict) or renamed.old not in table:
                continue
            start: Path = (renamed.section, index) if several else (renamed.section,)
            where = f"{renamed.section}[{index + 1}]" if several else renamed.section
            tables[index] = _with_new_name(table, renamed, where, source)
            moved[*start, renamed.new] = (*start, renamed.old)
            message = f"is called {renamed.new} since format {renamed.format}, and is read as that"
            old = f"{where}.{renamed.old}"
            notes.append(Note(where=old, message=message, section=renamed.section,
                              name=renamed.new, number=index if several else None))  # fmt: skip
        if given is not None:
            result[renamed.section] = tables if several else tables[0]
    return Opened(mapping=result, format=number, moved=moved, notes=tuple(notes))


def _format_of(value: Written, source: str, line: int | None) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        message = f"got {shown(value)}; it must be a whole number without quotes: format = {FORMAT}"
    elif value > FORMAT:
        message = (
            f"this file has format {value}, and this program reads formats up to {FORMAT}; use "
            "the newer program that wrote it"
        )
    else:
        return value
    raise DesignFaults([Fault(where=FORMAT_FIELD, message=message, line=line)], source)


def _with_new_name(table: Table, renamed: Renamed, where: str, source: str) -> Table:
    """The table with the field under its new name, in its old place."""
    if renamed.new in table:
        message = f"is the old name of {renamed.new}, which is given too; leave one of them out"
        raise DesignFaults([Fault(where=f"{where}.{renamed.old}", message=message)], source)
    return {renamed.new if key == renamed.old else key: value for key, value in table.items()}


def notes_on_defaults(older: Opened) -> tuple[Note, ...]:
    """The defaults that the design leaves out and that were others in its format."""
    since = {(c.section, c.name): c for c in CHANGED if c.format > older.format}
    if not since:
        return ()
    units, result = units_of(older.mapping), completed(older.mapping)
    found = []
    for place, _, table, key in left_out(older.mapping, result, since):
        try:
            was = since[key].was(table, result, units)
        except (ValueError, TypeError, KeyError, AttributeError):
            continue  # what it hangs on cannot be read: that fault is told by itself
        now = table.get(key[1])
        if was is None or was == now:
            continue
        message = (
            f"is not given, and its default is {shown(now)} since format "
            f"{since[key].format}; it was {shown(was)}. To keep that, write {key[1]} = "
            f"{shown(was)}; for the new one, format = {FORMAT} at the top of the file"
        )
        index = place.partition("[")[2].partition("]")[0]
        found.append(
            Note(
                where=place, message=message, section=key[0], name=key[1],
                number=int(index) - 1 if index else None, was=was,
            )
        )  # fmt: skip
    return tuple(found)


def brought_up(older: Opened) -> Table:
    """The design in the newest format, which means what it meant in its own."""
    result: Table = {FORMAT_FIELD: FORMAT}
    for name, value in older.mapping.items():
        tables = isinstance(value, (list, tuple))
        result[name] = [dict(t) for t in value] if tables else dict(value)
    for note in notes_on_defaults(older):
        table = result.setdefault(note.section, {})
        if note.number is not None:
            table = table[note.number]
        table[note.name] = note.was
    return result
