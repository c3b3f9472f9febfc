"""The text of a design file as values, or a plain word about what is wrong with it.

Everything that can be wrong before the meaning of a field matters: the file itself,
its encoding, the TOML grammar, and values that no design has (dates as times,
infinite numbers, tables in tables in tables).
"""

from __future__ import annotations

import datetime
import json
import math
import re
import tomllib
from pathlib import Path

from frame3d.design.tables.fields import Table, Written, shown
from frame3d.errors import DesignFaults, Fault
from frame3d.opening import NoFileError, TooLargeError, read_file

LARGEST_BYTES = 1_000_000
"""A design file is a few kilobytes; more than this is some other file."""
_TOO_LARGE = "the file is larger than 1 MB, too large for a design; give a design file"
_DEEPEST = 6
_MOST_VALUES = 50_000
_LONGEST_LINE = 60
_LONGEST_PATH = 300
_MOST_DOTS = 200
_TOO_DEEP = "lists or tables are nested too deep; a design has 3 levels at most"
_POSITION = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_QUOTES = (
    'lengths, angles and names need quotes, as in width = "22 ft"; for an inch mark inside '
    "quotes write in, as in \"6 ft 3 1/2 in\", or use single quotes: '6 in'"
)
_EXPLAINED = (
    ("Expected '=' after a key", "a field must be written as name = value, with a plain name"),
    ("Expected newline or end of document", f"there is text after the value; {_QUOTES}"),
    ("Invalid value", f"the value cannot be read; {_QUOTES}"),
    ("Cannot overwrite a value", "the same field is given twice; delete one of the two"),
    (
        "Cannot declare",
        "the same section is given twice; combine the two, or, for rail, brace, tie, "
        "end_wall, door, machine, boundary, nearby, service, accept and revision, of which there "
        "may be several, use "
        "double brackets each time, as in [[rail]]",
    ),
    ("Cannot mutate immutable", "the section ends with its braces { }; put the field inside them"),
    (
        "Cannot redefine",
        "the same name is used as a field and as a section; write either name = { ... } or [name]",
    ),
    ("Duplicate inline table key", "the same field is given twice in the braces; delete one"),
    ("Unterminated string", "a text has no closing quote; add it"),
    ('Expected "\'"', "a text has no closing quote; add it"),
    ("Illegal character '\\n'", "a text has no closing quote on its line; add it"),
    ("Illegal character '\\r'", "a text has no closing quote on its line; add it"),
    (
        "Unescaped '\\'",
        "a backslash in double quotes must be doubled; write it twice, or put the text in "
        "single quotes",
    ),
    ("Unclosed array", "a list has no closing bracket ], or a comma is missing between its items"),
    ("Unclosed inline table", "a brace { has no closing }, or a comma is missing between fields"),
    ("Expected ']", "a section name must end with a bracket: [profile] or [[rail]]"),
    ("Invalid initial character for a key", "a name is expected here"),
    (
        "Invalid statement",
        "a line must be a section such as [profile], a field such as "
        'width = "22 ft", or a comment after #',
    ),
    (
        "Invalid date or datetime",
        'there is no such date; write dates in quotes: date = "2024-03-31"',
    ),
    ("Illegal character", "there is a character that a text file cannot have; delete it"),
    ("Found invalid character", "there is a character that a comment cannot have; delete it"),
)


def read_text(path: str | Path) -> str:
    """The text of a design file.

    Raises
    ------
    DesignFaults
        If it is not a readable text file in UTF-8 of at most 1 MB.
    """
    name = str(path)
    source = Path(name).name or name
    quoted = json.dumps(name[:_LONGEST_PATH], ensure_ascii=False)
    try:
        data = read_file(Path(name), LARGEST_BYTES)
    except IsADirectoryError:
        message = f"{quoted} is a folder; name the design file in it"
    except FileNotFoundError:
        message = f"there is no file {quoted}; check the name and folder"
    except TooLargeError:
        message = _TOO_LARGE
    except NoFileError as error:
        message = f"{quoted} cannot be read: {error}; give a design file"
    except OSError as error:
        message = f"{quoted} cannot be read: {error.strerror or error}"
    except ValueError:  # a name with a NUL, which no file can have
        message = f"{quoted} cannot be a file name"
    else:
        return decoded(data, source)
    raise _fault(source, message)


def decoded(data: bytes, source: str) -> str:
    """Bytes of a design file as text, without a byte order mark; faults as :func:`read_text`."""
    if len(data) > LARGEST_BYTES:
        raise _fault(source, _TOO_LARGE)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _fault(source, "the file is saved as UTF-16; save it as UTF-8")
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _fault(
            source,
            f"byte {data[error.start]:#04x} is not UTF-8; save the file as UTF-8, or "
            "replace the character, for example deg for a degree sign",
            line,
        ) from None


def parsed(text: str, source: str) -> Table:
    """The values of a TOML text.

    Raises
    ------
    DesignFaults
        If it is not TOML, with the line and a plain explanation, or has nothing in it.
    """
    text = text.removeprefix("\ufeff")
    if len(text) > LARGEST_BYTES:
        raise _fault(source, "the text is longer than 1 MB, too long for a design; give a design")
    if "\0" in text:
        place = text.count("\n", 0, text.index("\0")) + 1
        message = "there is a NUL character, so this is not a text file; delete it"
        raise _fault(source, message, place)
    for number, line in enumerate(text.split("\n"), start=1):
        # tomllib takes minutes over a name of a hundred thousand parts.
        if line.count(".") > _MOST_DOTS and not line.lstrip().startswith("#"):
            message = f"a line has more than {_MOST_DOTS} dots; a design needs only a few"
            raise _fault(source, message, number)
    try:
        mapping = tomllib.loads(text)
    except RecursionError:
        raise _fault(source, _TOO_DEEP) from None
    except ValueError as error:  # TOMLDecodeError is one; a number of 5000 digits is another
        raise _explained(str(error), text, source) from None
    if not mapping:
        raise _fault(source, "the file is empty; a design needs at least [profile] and [bays]")
    return mapping


def value_faults(mapping: Table) -> list[tuple[tuple[str | int, ...], str]]:
    """Values that no field of a design can have: path and message of each.

    Parameters
    ----------
    mapping : dict
        From a file or a caller; may hold anything, itself included. A list of faults
        that is not empty means that it is not fit to be looked at any closer.
    """
    faults: list[tuple[tuple[str | int, ...], str]] = []
    waiting: list[tuple[tuple[str | int, ...], Written]] = [((), mapping)]
    count = 0
    while waiting:
        path, value = waiting.pop()
        count += 1
        if count > _MOST_VALUES:
            return [
                *faults,
                ((), f"there are more than {_MOST_VALUES} values; a design needs far fewer"),
            ]
        message = _unfit(path, value)
        if message:
            faults.append((path, message))
        elif isinstance(value, dict):
            waiting += [((*path, key), item) for key, item in value.items()]
        elif isinstance(value, (list, tuple)):
            waiting += [((*path, index), item) for index, item in enumerate(value)]
    return faults


def _unfit(path: tuple[str | int, ...], value: Written) -> str | None:
    if isinstance(value, (dict, list, tuple)):
        if len(path) >= _DEEPEST:
            return _TOO_DEEP
        if isinstance(value, dict) and not all(_is_text(key) for key in value):
            return "has a name that is not text; field names must be text"
        return None
    if isinstance(value, int) and value.bit_length() > 63:
        return f"got {shown(value)}; no field may be that large"
    if isinstance(value, float) and not math.isfinite(value):
        return f'got {value}; it must be a finite number, or a length in quotes such as "22 ft"'
    if isinstance(value, (datetime.datetime, datetime.time)):
        return f"got {shown(value)}; no field takes a time"
    return None


def _is_text(key: Written) -> bool:
    """Whether a key is text that can be printed: a mapping may hold lone surrogates."""
    return isinstance(key, str) and not any("\ud800" <= letter <= "\udfff" for letter in key)


def _explained(message: str, text: str, source: str) -> DesignFaults:
    """The fault for a message of tomllib, with the line that it means."""
    position = _POSITION.search(message)
    plain = _POSITION.sub("", message)
    for start, explanation in _EXPLAINED:
        if plain.startswith(start):
            plain = explanation
            break
    else:
        if plain.startswith("Exceeds the limit"):
            plain = "a number has thousands of digits; no field may be that large"
        else:
            plain = f"this is not valid TOML: {plain}"
    if position is None:
        return _fault(source, plain)
    lines = text.split("\n")
    if position[1] and lines[int(position[1]) - 1].lstrip().startswith("[["):
        # tomllib says of [rail] before [[rail]] what it says of a field given twice.
        plain = (
            "the same section appears earlier with single brackets; use double brackets "
            "each time for rail, brace, tie, end_wall, door, machine, boundary, nearby, service, "
            "accept and revision, "
            "of which there may be several, and single brackets for the others"
        )
    if position[1]:
        number, column = int(position[1]), f", column {position[2]}"
    else:
        number, column = max(1, len(text.rstrip().split("\n"))), ", at the end of the file"
    line = "".join(c for c in lines[number - 1].strip() if c.isprintable())
    if len(line) > _LONGEST_LINE:
        line = line[: _LONGEST_LINE - 3] + "..."
    quoted = f" in: {line}" if line else ""
    return _fault(source, f"cannot be read{column}{quoted} -- {plain}", number)


def _fault(source: str, message: str, line: int | None = None) -> DesignFaults:
    return DesignFaults([Fault(where="", message=message, line=line)], source)
