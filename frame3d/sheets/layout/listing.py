"""Ruled tables of words on the paper itself, wrapped, in blocks side by side, over many sheets.

Glossary
--------
listing : a table with a title, columns and rows of texts.
block : the columns of a listing with some of its rows; blocks stand side by side.
area : left, bottom, right, top on the paper, mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.sheets.primitives.lettering import LINE_STEP, TITLE_MM, text_width_mm, wrapped
from frame3d.sheets.primitives.primitives import Align, Label, Layer, Stroke

Area = tuple[float, float, float, float]
PaperInk = Stroke | Label
_PAD_MM = 1.2
"""Between the text of a cell and the columns beside it."""
BETWEEN_MM = 6.0
"""Between blocks."""
_LEAST_WRAPPED_MM = 18.0
_MOST_LINES = 12
_NOISE_MM = 1e-6
_ROW_MM = 1.0
"""Between the last line of a row and its rule, and the rule and the next row, together."""


class Column(Struct, frozen=True, kw_only=True):
    """A column: its head, on which side its texts begin, and whether long ones are wrapped."""

    head: str
    align: Align = Align.LEFT
    wraps: bool = False


class Listing(Struct, frozen=True, kw_only=True):
    """A table. Rows have as many texts as there are columns; ``note`` belongs to it.

    With ``once`` the text of the first column is written only where it changes; without
    ``ruled`` there are no lines between the rows, which stand closer then.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    once: bool = False
    ruled: bool = True


class Fitted(Struct, frozen=True, kw_only=True):
    """A listing with the widths of its columns and the lines of its rows, for one block.

    Parameters
    ----------
    listing : Listing
    height : float
        Of the letters, mm.
    widths : tuple of float
        Of the columns, padding included, mm.
    rows : tuple of rows of cells of lines
    """

    listing: Listing
    height: float
    widths: tuple[float, ...]
    rows: tuple[tuple[tuple[str, ...], ...], ...]

    @property
    def width_mm(self) -> float:
        """Width of one block, mm."""
        return sum(self.widths)

    @property
    def step_mm(self) -> float:
        """From one line of text to the next, mm."""
        return LINE_STEP * self.height

    @property
    def head_mm(self) -> float:
        """Height of the title and the heads of the columns, mm."""
        heads = self.step_mm if self.has_heads else 0.0
        return 2.0 * TITLE_MM + heads + 2 * _ROW_MM

    @property
    def has_heads(self) -> bool:
        """Whether there is anything to say over the columns."""
        return any(column.head for column in self.listing.columns)

    def row_mm(self, number: int) -> float:
        """Height of a row, mm."""
        lines = max(len(lines) for lines in self.rows[number])
        return lines * self.step_mm + (_ROW_MM if self.listing.ruled else 0.0)

    @property
    def height_mm(self) -> float:
        """Height of all rows in one block, title and heads included, mm."""
        return self.head_mm + sum(self.row_mm(i) for i in range(len(self.rows)))


def fitted(listing: Listing, width_mm: float, height: float) -> Fitted:
    """``listing`` with its wrapped columns narrowed until a block is ``width_mm`` wide.

    All columns are wrapped where the others alone are too wide. A row of very many lines
    becomes several rows, so that it can be broken.
    """
    natural = [
        max((text_width_mm(text, height) for text in (column.head, *texts)), default=0.0)
        + 2 * _PAD_MM
        for column, texts in zip(listing.columns, _columns(listing), strict=True)
    ]
    wraps = [column.wraps for column in listing.columns]
    fixed = sum(width for width, wrap in zip(natural, wraps, strict=True) if not wrap)
    if fixed + _LEAST_WRAPPED_MM * sum(wraps) > width_mm:
        fixed, wraps = 0.0, [True] * len(wraps)
    shares = iter(
        _shared([w for w, wrap in zip(natural, wraps, strict=True) if wrap], width_mm - fixed)
    )
    widths = [next(shares) if wrap else width for wrap, width in zip(wraps, natural, strict=True)]
    rows = [
        tuple(
            tuple(wrapped(text, width - 2 * _PAD_MM + _NOISE_MM, height)) if wrap else (text,)
            for text, width, wrap in zip(row, widths, wraps, strict=True)
        )
        for row in listing.rows
    ]
    return Fitted(
        listing=listing,
        height=height,
        widths=tuple(widths),
        rows=tuple(part for row in rows for part in _broken(row)),
    )


def _broken(row: tuple[tuple[str, ...], ...]) -> list[tuple[tuple[str, ...], ...]]:
    """A row in parts of at most so many lines."""
    most = max(1, *(len(lines) for lines in row))
    return [
        tuple(lines[start : start + _MOST_LINES] for lines in row)
        for start in range(0, most, _MOST_LINES)
    ]


def _columns(listing: Listing) -> list[tuple[str, ...]]:
    return list(zip(*listing.rows, strict=True)) or [()] * len(listing.columns)


def _shared(wanted: Sequence[float], free: float) -> list[float]:
    """Widths of at most ``wanted`` that together take ``free``, the widest cut first."""
    if sum(wanted) <= free:
        return list(wanted)
    left, result = free, [0.0] * len(wanted)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    for done, i in enumerate(order):
        result[i] = min(wanted[i], left / (len(wanted) - done))
        left -= result[i]
    return result


def filled(table: Fitted, area: Area, first: int = 0) -> tuple[list[PaperInk], int, float]:
    """Rows of ``table`` from number ``first`` on in ``area``, block beside block.

    Parameters
    ----------
    table : Fitted
    area : Area
    first : int

    Returns
    -------
    primitives, next, bottom : list of primitives, int, float
        ``next`` is the number of the first row that found no room; ``bottom`` the lowest
        place taken, mm.
    """
    left, bottom, right, top = area
    primitives: list[PaperInk] = []
    x, low, number = left, top, first
    while number < len(table.rows) and x + table.width_mm <= right + 1e-6:
        rows, y = [], top - table.head_mm
        while number < len(table.rows) and y - table.row_mm(number) >= bottom:
            y -= table.row_mm(number)
            rows.append(number)
            number += 1
        if not rows:
            break
        primitives += _block(table, rows, x, top, later=first > 0 or x > left)
        low = min(low, y)
        x += table.width_mm + BETWEEN_MM
    return primitives, number, low


def _block(
    table: Fitted, rows: Sequence[int], x: float, top: float, *, later: bool
) -> Iterator[PaperInk]:
    """Title, heads and rows of one block; a later one says that it goes on."""
    title = table.listing.title
    if later:
        # Over a narrow block as much of it as there is room for.
        titles = (f"{title} (continued)", "(continued)")
        title = next((t for t in titles if text_width_mm(t, TITLE_MM) <= table.width_mm), "")
    yield Label(text=title, at=(x, top - TITLE_MM), height=TITLE_MM, align=Align.LEFT)
    y = top - 2.0 * TITLE_MM
    if table.has_heads:
        heads = tuple((column.head,) for column in table.listing.columns)
        yield from _texts(table, heads, x, y - _ROW_MM / 2)
        y -= table.step_mm
    y -= _ROW_MM
    yield _rule(x, y, table, Layer.TITLE)
    y -= _ROW_MM
    said = None
    for number in rows:
        row = table.rows[number]
        shown = ((), *row[1:]) if table.listing.once and row[0] == said else row
        said = row[0]
        yield from _texts(table, shown, x, y - _ROW_MM / 2)
        y -= table.row_mm(number)
        if table.listing.ruled:
            yield _rule(x, y, table, Layer.FINE)


def _rule(x: float, y: float, table: Fitted, layer: Layer) -> Stroke:
    return Stroke(start=(x, y), end=(x + table.width_mm, y), layer=layer)


def _texts(table: Fitted, cells: Sequence[Sequence[str]], x: float, top: float) -> Iterator[Label]:
    for lines, width, column in zip(cells, table.widths, table.listing.columns, strict=True):
        place = x + (width - _PAD_MM if column.align is Align.RIGHT else _PAD_MM)
        for i, line in enumerate(lines):
            if line:
                yield Label(
                    text=line,
                    at=(place, top - (i + 0.5) * table.step_mm),
                    height=table.height,
                    align=column.align,
                )
        x += width


def paragraph(
    text: str, left: float, right: float, top: float, height: float, number: str = ""
) -> tuple[list[Label], float]:
    """``text`` in lines from ``left`` to ``right`` down from ``top``, and where it ends, mm.

    With a ``number`` before it, the text is moved in.
    """
    indent = 5.0 if number else 0.0
    step = LINE_STEP * height
    labels, y = [], top
    for i, line in enumerate(wrapped(text, right - left - indent, height)):
        y -= step
        if i == 0 and number:
            labels.append(
                Label(text=number, at=(left, y + step / 2), height=height, align=Align.LEFT)
            )
        labels.append(
            Label(text=line, at=(left + indent, y + step / 2), height=height, align=Align.LEFT)
        )
    return labels, y - 0.8
