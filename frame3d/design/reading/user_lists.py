"""Lists that the user keeps as CSV files, read cell by cell, with every fault told.

Commas or semicolons part the cells, whichever the first line has: spreadsheets write the
one or the other, depending on where they are used. Rows are counted as a spreadsheet
counts them, so the names of the columns stand in row 1. The apostrophe that our own files have
before a text which a spreadsheet would take for a formula is no part of the text.
"""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from msgspec import Struct, field

from frame3d.errors import DesignError, Fault, ListFaults, UnitError
from frame3d.opening import TooLargeError, read_file
from frame3d.units import parse_length
from frame3d.units.cells import from_cell
from frame3d.units.system import LENGTH_UNITS

_MOST_BYTES = 1_000_000
_MOST_FAULTS = 50
_LONGEST_SHOWN = 40
_FARTHEST_MM = 1e7
_BARE = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)")
"""A number without a unit."""
_COMMENT = ("#", '"#')
"""Begins lines above the names of the columns that are for people alone; as a spreadsheet saves
them, perhaps in quotation marks."""
_NAMED_UNIT = re.compile(r"(?P<name>[a-z_ ]+?)(, ?| ?\(| in | )(?P<unit>[a-z'\"]+)\)?")


class GivenList(Struct, frozen=True, kw_only=True):
    """A list that was handed over as text; nothing is opened for it.

    Parameters
    ----------
    name : str
        What it is called, for messages.
    text : str
    """

    name: str
    text: str

    def __str__(self) -> str:
        """Its name, as that of a file."""
        return self.name


ListSource = Path | GivenList
"""Where a list is read from: a file, or what was handed over."""
GivenLists = Mapping[str, GivenList]
"""Lists that were handed over, by what they are of: ``prices``, ``stock``; ``levels``,
``measured``, ``built``.
"""


def name_key(name: str) -> str:
    """``name`` without what people write differently: capitals and runs of spaces."""
    return " ".join(name.split()).casefold()


class Row(Struct, frozen=True, kw_only=True):
    """One row: its number, from 1 for the names of the columns, and its cells by column."""

    number: int
    cells: dict[str, str]


class UserList(Struct, kw_only=True):
    """The rows of a file, and the faults found while they are being read.

    Parameters
    ----------
    source : str
        Name of the file.
    rows : list of Row
        Those that are not empty.
    columns : set of str
        Those that the file has.
    units : dict of str
        The unit that the name of a column gives, for numbers without one.
    faults : list of Fault
    """

    source: str
    rows: list[Row] = field(default_factory=list)
    columns: set[str] = field(default_factory=set)
    units: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, row: int, column: str, message: str) -> None:
        """Note a fault."""
        where = f"row {row}, column {column}" if column else f"row {row}"
        self.faults.append(Fault(where=where, message=message))

    @property
    def last_row(self) -> int:
        """Number of the last row that is not empty."""
        return self.rows[-1].number if self.rows else 1

    def done(self) -> None:
        """Raise ListFaults with every fault noted, if there are any."""
        if not self.faults:
            return
        told = self.faults[:_MOST_FAULTS]
        if len(self.faults) > _MOST_FAULTS:
            more = f"{len(self.faults) - _MOST_FAULTS} more faults are not listed"
            told.append(Fault(where="", message=more))
        raise ListFaults(told, self.source)

    def length_mm(self, row: Row, column: str) -> float | None:
        """The length in a cell, mm; None for an empty one or, with a fault noted, a bad one."""
        length = self.place_mm(row, column, signed=False)
        if length is None:
            return None
        text = row.cells[column]
        if not 1.0 <= length <= 100_000.0:
            self.fault(
                row.number,
                column,
                f"got {_shown(text)}; it must be between 1 mm and 100 m (0.04 in and 328 ft)",
            )
            return None
        return length

    def place_mm(self, row: Row, column: str, *, signed: bool = True) -> float | None:
        """As :meth:`length_mm`, of any size and, where ``signed``, to either side of nought.

        A number without a unit has that of its column's name.
        """
        text = row.cells.get(column, "")
        if not text:
            return None
        unit = self.units.get(column, "")
        if re.fullmatch(r"[+-]?0+(\.0*)?", text):
            return 0.0  # nought needs no unit
        written = f"{text} {unit}" if unit and _BARE.fullmatch(text) else text
        try:
            length = parse_length(written, allow_negative=signed)
        except UnitError as error:
            hint = ""
            if _BARE.fullmatch(text):
                hint = f'; or name the column "{column}, m" if all of it is in metres'
            self.fault(row.number, column, f"{error}{hint}")
            return None
        if abs(length) > _FARTHEST_MM:
            self.fault(row.number, column, f"got {_shown(text)}; it must be within 10 km")
            return None
        return length

    def number(self, row: Row, column: str, *, low: float = 0.0) -> float | None:
        """The number in a cell; None for an empty one or, with a fault noted, a bad one."""
        text = row.cells.get(column, "")
        if not text:
            return None
        try:
            # float() alone would take "1_0", "nan" and "1e400".
            value = float(text) if set(text) <= set("0123456789.+-") else math.nan
        except ValueError:
            value = math.nan
        if not low <= value < 1e12:
            self.fault(
                row.number, column,
                f"got {_shown(text)}; it must be a number of at least {low:g} such as "
                "12.50, with a decimal point and no currency sign or thousands separator",
            )  # fmt: skip
            return None
        return value

    def whole(self, row: Row, column: str, *, low: int) -> int | None:
        """The whole number in a cell; None for an empty one or, with a fault noted, a bad one."""
        text = row.cells.get(column, "")
        if not text:
            return None
        if not (text.isascii() and text.isdigit() and len(text) < 8 and int(text) >= low):
            self.fault(
                row.number, column,
                f"got {_shown(text)}; it must be a whole number of at least {low}",
            )  # fmt: skip
            return None
        return int(text)

    def choice(self, row: Row, column: str, allowed: Sequence[str]) -> str | None:
        """One of ``allowed`` in a cell, capitals or not; else as :meth:`whole`."""
        text = row.cells.get(column, "").casefold()
        if text and text not in allowed:
            self.fault(
                row.number, column,
                f"got {_shown(text)}; it must be one of {', '.join(allowed)}, or empty",
            )  # fmt: skip
            return None
        return text or None


def read_user_list(
    path: ListSource,
    *,
    columns: Sequence[str],
    needed: Sequence[str],
    where: str,
    with_units: bool = False,
    check: Callable[[UserList], None] | None = None,
) -> UserList:
    """The rows of a CSV file, its columns checked, its cells as they are.

    Parameters
    ----------
    path : Path or GivenList
        Where it lies, or the list itself.
    columns : sequence of str
        Every column that it may have.
    needed : sequence of str
        Those that it must have.
    where : str
        The field of the design, or the option, that names the file.
    with_units : bool
        Whether the name of a column may give a unit: ``x, m`` or ``x (ft)``.
    check : callable or None
        What else is to be found wrong with the columns.

    Raises
    ------
    DesignError
        If there is no such file, or it cannot be read.
    ListFaults
        If the columns are not as they must be.
    """
    text = path.text if isinstance(path, GivenList) else list_text(path, where)
    text = text.removeprefix("\ufeff")
    found = UserList(source=path.name)
    below = text.split("\n")
    above = list(itertools.takewhile(lambda line: line.startswith(_COMMENT), below))
    first = (below[len(above) :] or [""])[0]
    parted = max((",", ";", "\t"), key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted, strict=True)
    try:
        lines = [[from_cell(cell.strip()).strip() for cell in line] for line in reader]
    except csv.Error as error:
        found.fault(reader.line_num, "", f"{error}; check the quotation marks in this row")
        found.done()
    lines = lines[len(above) :]
    names = [name.casefold() for name in lines[0]] if lines else []
    if with_units:
        names = [_without_unit(found, name, columns) for name in names]
    found.columns.update(names)
    if not any(names):
        found.fault(1, "", f"is empty; the first row must name the columns: {', '.join(columns)}")
        found.done()
    _check_names(found, names, columns, needed)
    if check is not None:
        check(found)
    found.done()
    for number, line in enumerate(lines[1:], start=2 + len(above)):
        if not any(line):
            continue
        if any(line[len(names) :]):
            found.fault(
                number, "",
                f"has {len(line)} cells for {len(names)} columns; put text that holds "
                f"{'a comma' if parted == ',' else 'a semicolon'} in quotation marks",
            )  # fmt: skip
            continue
        cells = dict(zip(names, [*line, *[""] * len(names)], strict=False))
        found.rows.append(Row(number=number, cells=cells))
    return found


def _without_unit(found: UserList, name: str, columns: Sequence[str]) -> str:
    """The name of a column; a unit that follows it is noted."""
    match = _NAMED_UNIT.fullmatch(name)
    if name in columns or not match or match["unit"] not in LENGTH_UNITS:
        return name
    if match["name"] in columns:
        found.units[match["name"]] = match["unit"]
        return match["name"]
    return name


def _check_names(
    found: UserList, names: list[str], columns: Sequence[str], needed: Sequence[str]
) -> None:
    for name in needed:
        if name not in names:
            found.fault(
                1, name,
                f"is missing; the first row must name the columns {', '.join(needed)}, and may "
                f"name {', '.join(c for c in columns if c not in needed)}",
            )  # fmt: skip
    for place, name in enumerate(names):
        if name and name not in columns:
            found.fault(
                1,
                _shown(name),
                f"is not a column of this list; the columns are {', '.join(columns)}",
            )
        elif name and name in names[:place]:
            found.fault(1, name, "appears twice; remove one of them")


def list_text(path: Path, where: str) -> str:
    """The text of a list that the field, or the option, ``where`` names.

    Raises
    ------
    DesignError
        If there is no such file, or it cannot be read.
    """
    try:
        return read_file(path, _MOST_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DesignError(
            f"{path} is not text in UTF-8 (byte {error.start + 1}); save it as CSV UTF-8", where
        ) from None
    except TooLargeError:
        raise DesignError(
            f"{path} is larger than 1 MB, too large for a list; name the right file", where
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise DesignError(
            f"{path} cannot be read: {reason}; name a CSV file"
            + ("" if where.startswith("--") else " in the design's folder, or remove the field"),
            where,
        ) from None


def _shown(text: str) -> str:
    text = "".join(c if c.isprintable() else "?" for c in text)
    return f'"{text}"' if len(text) <= _LONGEST_SHOWN else f'"{text[:_LONGEST_SHOWN]}..."'
