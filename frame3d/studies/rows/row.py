"""A row: one design with its figures, or the reason why it has none; and what it is known by.

The key of a row follows from everything that its figures follow from: the design as written, the
texts of the lists that it names, and the program itself. So a row that is kept is never out of
date, and a changed plan takes over those that still hold.
"""

from __future__ import annotations

import enum
import functools
import hashlib
import json
from collections.abc import Iterable

import msgspec
from msgspec import Struct

from frame3d import __version__
from frame3d.design.reading.user_lists import GivenLists
from frame3d.design.tables.fields import Table
from frame3d.processes import FOLDER
from frame3d.studies.figures.figure import FigureValue
from frame3d.units.data_tables import Json

_PARTS = ("*.py", "*.csv")
_NO_MATTER = frozenset({"cli", "guide", "sheets", "solids", "view", "web"})
"""Rooms from which no figure comes; a test looks that a row loads none of them."""
_KEY_LETTERS = 32  # 128 bits


class State(enum.Enum):
    """What came of a design."""

    MADE = "made"
    REFUSED = "refused"
    FAILED = "failed"


class Row(Struct, frozen=True, kw_only=True):
    """What came of one design.

    Parameters
    ----------
    key : str
        As :func:`row_key` gives it.
    state : State
        Made; refused, as the design contradicts itself or cannot be made; failed, as the program
        ended twice over it.
    figures : dict
        By name; empty where it is not made.
    reason : str
        Why it is not made, or why figures of it are empty.
    """

    key: str
    state: State
    figures: dict[str, FigureValue] = {}
    reason: str = ""

    def has(self, figures: Iterable[str]) -> bool:
        """Whether it answers what is asked: all figures, or why there are none."""
        return self.state is not State.MADE or all(name in self.figures for name in figures)


def row_key(mapping: Table, lists: GivenLists, program: str, base: str | None = None) -> str:
    """What the row of a design is known by: hexadecimal, of everything it follows from.

    ``base`` is the design with which it is compared, as JSON; None where it is with none.
    """
    given: Json = [[what, one.text] for what, one in sorted(lists.items())]
    parts: Json = [program, given, mapping, *([] if base is None else [json.loads(base)])]
    text = json.dumps(parts, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:_KEY_LETTERS]


@functools.cache  # the program does not change while it runs
def program_key() -> str:
    """The version of the program with a hash of the code and tables that rows follow from."""
    folder = FOLDER.parent
    digest = hashlib.sha256()
    for path in sorted(path for part in _PARTS for path in folder.rglob(part)):
        place = path.relative_to(folder)
        if place.parts[0] not in _NO_MATTER and place.parts[:2] != ("studies", "page"):
            digest.update(place.as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return f"{__version__}-{digest.hexdigest()[:16]}"


def row_line(row: Row) -> bytes:
    """A row as one line of JSON."""
    return msgspec.json.encode(row) + b"\n"


def row_from(line: bytes) -> Row | None:
    """The row in a line; None where it holds none, as a line that was not finished."""
    try:
        return msgspec.json.decode(line, type=Row)
    except msgspec.DecodeError:
        return None
