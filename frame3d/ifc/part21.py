"""The text of a STEP file: entities, numbered as they are added, and their values.

References
----------
ISO 10303-21:2016, Industrial automation systems and integration - Product data representation
and exchange - Part 21, clauses 6.4 (strings, numbers, lists) and 8 (headers and data).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

_BASIC = range(0x20, 0x7F)
"""Letters that stand in a string as they are."""


class Ref(Struct, frozen=True, gc=False):
    """Another entity, by its number."""

    number: int


class Enum(Struct, frozen=True, gc=False):
    """One of the words that an attribute can be: ``.ADDED.``."""

    name: str


class Measure(Struct, frozen=True, gc=False):
    """A value with its type, where an attribute may be of several: ``IFCLABEL('H1')``."""

    kind: str
    value: str | float | bool | tuple[int, ...]


class _Derived(Struct, frozen=True):
    """An attribute that follows from others, written as a star."""


DERIVED = _Derived()
Value = None | str | float | bool | Ref | Enum | Measure | _Derived | Sequence["Value"]


def real(value: float) -> str:
    """A number as a file has it, to a billionth, which is finer than whatever is compared.

    Examples
    --------
    >>> real(25.4), real(3), real(-1e-12), real(1.5e-9)
    ('25.4', '3.', '0.', '0.000000002')
    """
    digits = f"{value:.9f}".rstrip("0")
    return "0." if digits == "-0." else digits


def text(value: str) -> str:
    r"""A string as a file has it: in letters from space to tilde, all others by their numbers.

    Examples
    --------
    >>> print(text("Grower's 3\\4 tunnel"), text("温室"), text("Zür🌱"))
    'Grower''s 3\\4 tunnel' '\X2\6E295BA4\X0\' 'Z\X2\00FC\X0\r\X4\0001F331\X0\'
    """
    found: list[str] = []
    width = 0
    for letter in value:
        code = ord(letter)
        wanted = 0 if code in _BASIC else 4 if code < 0x10000 else 8
        if wanted != width:
            found.append("\\X0\\" if width else "")
            found.append({0: "", 4: "\\X2\\", 8: "\\X4\\"}[wanted])
            width = wanted
        found.append(f"{code:0{width}X}" if width else letter * (2 if letter in "'\\" else 1))
    if width:
        found.append("\\X0\\")
    return f"'{''.join(found)}'"


def written(value: Value) -> str:
    """A value of any kind as a file has it."""
    match value:
        case None:
            return "$"
        case Ref():
            return f"#{value.number}"
        case bool():
            return ".T." if value else ".F."
        case int():
            return str(value)
        case float():
            return real(value)
        case str():
            return text(value)
        case Enum():
            return f".{value.name}."
        case Measure():
            return f"{value.kind}({written(value.value)})"
        case _Derived():
            return "*"
    return f"({','.join(map(written, value))})"


class Lines:
    """The entities of a file, one a line, those they name before them."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._known: dict[str, Ref] = {}

    def add(self, kind: str, *values: Value) -> Ref:
        """Add an entity, whatever there is."""
        return self._append(f"{kind}({','.join(map(written, values))})")

    def once(self, kind: str, *values: Value) -> Ref:
        """An entity that is the same for whoever says the same, as a point or a direction."""
        line = f"{kind}({','.join(map(written, values))})"
        if line not in self._known:
            self._known[line] = self._append(line)
        return self._known[line]

    def _append(self, line: str) -> Ref:
        self._lines.append(line)
        return Ref(len(self._lines))

    def __iter__(self) -> Iterator[str]:
        """The lines of the data section."""
        return (f"#{number}={line};" for number, line in enumerate(self._lines, start=1))
