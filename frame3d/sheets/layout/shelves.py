"""Several views on one sheet, in rows, each with its title and words below it.

Glossary
--------
cell : the ground of one view with its title and caption.
shelf : a row of cells, their titles level with each other.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.compose import VIEW_TITLE_MM, DrawingArea
from frame3d.sheets.layout.sheet import SheetView
from frame3d.sheets.primitives.lettering import LINE_STEP, TEXT_MM, TITLE_MM, text_width_mm, wrapped
from frame3d.sheets.primitives.paper import scale_text
from frame3d.sheets.primitives.primitives import Label
from frame3d.units import LengthFormat

GAP_MM = 7.0
"""Least free ground between cells side by side."""
_BETWEEN_MM = 4.0
"""The same between shelves, where there are several."""
_NARROWEST_MM = 90.0
"""A caption is not broken narrower than this, unless the sheet is."""
_LINE_MM = LINE_STEP * TEXT_MM
_SHARES = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
"""How much of a sheet's height is tried, to fill several sheets about equally."""
NEARLY_EMPTY = 1 / 3
"""A sheet of which less is used is put on another where there is room."""
_BELOW_TABLE_MM = 3.0
"""Below a view without a title."""

Row = Sequence[PlacedView]


def title_of(view: PlacedView, lengths: LengthFormat) -> str:
    """What stands below a view: its title and its scale."""
    scale = scale_text(view.scale, lengths.system) if view.to_scale else ""
    return f"{view.title}   {scale}".rstrip()


def _title_height(view: PlacedView) -> float:
    """Height of the letters: those of notes where a caption goes with the title."""
    return TEXT_MM if view.caption else TITLE_MM


def _caption(view: PlacedView) -> list[str]:
    width = max(view.paper_size[0], _NARROWEST_MM)
    return [line for text in view.caption for line in wrapped(text, width, TEXT_MM)]


class Cell(Struct, frozen=True):
    """What a view takes: its width with that of its words, its own height, that of the words."""

    width: float
    drawn: float
    words: float


def cell_of(view: PlacedView, lengths: LengthFormat) -> Cell:
    """The ground that ``view`` takes with its words, paper mm."""
    lines = _caption(view)
    widths = [text_width_mm(line, TEXT_MM) for line in lines]
    widths.append(text_width_mm(title_of(view, lengths), _title_height(view)))
    width, height = view.paper_size
    title = VIEW_TITLE_MM if view.title else _BELOW_TABLE_MM
    return Cell(max(width, *widths), height, title + len(lines) * _LINE_MM)


def row_size(row: Row, lengths: LengthFormat) -> tuple[float, float]:
    """Width and height that views take side by side with their words, paper mm."""
    cells = [cell_of(view, lengths) for view in row]
    return sum(cell.width for cell in cells) + GAP_MM * (len(row) - 1), _shelf_height(cells)


def _shelf_height(cells: Sequence[Cell]) -> float:
    return max(cell.drawn for cell in cells) + max(cell.words for cell in cells)


def shelved(
    views: Sequence[PlacedView], ground: DrawingArea, lengths: LengthFormat
) -> list[list[list[PlacedView]]]:
    """``views`` on as few sheets as can be had by putting each where it first fits.

    Several sheets are filled about equally, so that the last does not hold a single small view.

    Returns
    -------
    list of list of list of PlacedView
        Sheets of rows of views, nearly in the order of ``views``.
    """
    left, bottom, right, top = ground.views
    wide, high = right - left, top - bottom
    cells = [cell_of(view, lengths) for view in views]

    def filled(order: Sequence[int], share: float = 1.0) -> list[list[list[int]]]:
        return _filled(order, cells, wide, share * high)

    order = list(range(len(views)))
    sheets = filled(order)
    if len(sheets) > 1:
        # The highest first packs closer, at the price of the order.
        by_height = sorted(order, key=lambda i: -round(cells[i].drawn + cells[i].words, 3))
        closer = filled(by_height)
        if len(closer) < len(sheets):
            order, sheets = by_height, closer
    for share in _SHARES if len(sheets) > 1 else ():
        tried = filled(order, share)
        if len(tried) == len(sheets):
            sheets = tried
            break
    return [[[views[i] for i in row] for row in sorted(map(sorted, rows))] for rows in sheets]


def on_one_sheet(
    views: Sequence[PlacedView], ground: DrawingArea, lengths: LengthFormat
) -> list[list[PlacedView]] | None:
    """``views`` in rows on one sheet, below each other if they can be; None without room."""
    below = [[view] for view in views]
    if in_rows(below, ground, lengths):
        return below
    sheets = shelved(views, ground, lengths)
    fits = len(sheets) == 1 and in_rows(sheets[0], ground, lengths)
    return sheets[0] if fits else None


def share_used(rows: Sequence[Row], ground: DrawingArea, lengths: LengthFormat) -> float:
    """How much of the ground for views these take with their words, 0 to 1."""
    left, bottom, right, top = ground.views
    cells = [cell_of(view, lengths) for row in rows for view in row]
    taken = math.fsum(cell.width * (cell.drawn + cell.words) for cell in cells)
    return taken / ((right - left) * (top - bottom))


def has_one_spare(
    sheets: Sequence[Sequence[Row]], ground: DrawingArea, lengths: LengthFormat
) -> bool:
    """Whether one of several sheets is nearly empty."""
    used = [share_used(rows, ground, lengths) for rows in sheets]
    return len(used) > 1 and min(used) < NEARLY_EMPTY


def _filled(
    order: Sequence[int], cells: Sequence[Cell], wide: float, high: float
) -> list[list[list[int]]]:
    """Each cell where it first fits; one that is higher than ``high`` has a sheet alone."""
    sheets: list[list[list[int]]] = []
    for number in order:
        sizes = [[[cells[i] for i in row] for row in rows] for rows in sheets]
        sheet, row = _first_place(sizes, cells[number], wide, high)
        if sheet == len(sheets):
            sheets.append([])
        if row == len(sheets[sheet]):
            sheets[sheet].append([])
        sheets[sheet][row].append(number)
    return sheets


def _first_place(
    sizes: Sequence[Sequence[Sequence[Cell]]], cell: Cell, wide: float, high: float
) -> tuple[int, int]:
    """Sheet and row, from 0, where ``cell`` fits; past the last ones for a new one."""
    for number, rows in enumerate(sizes):
        for index, row in enumerate(rows):
            longer = [*row, cell]
            width = sum(one.width for one in longer) + GAP_MM * len(row)
            others = [*rows[:index], longer, *rows[index + 1 :]]
            if width <= wide and _stack_height(others) <= high:
                return number, index
        if _stack_height([*rows, [cell]]) <= high:
            return number, len(rows)
    return len(sizes), 0


def _stack_height(rows: Sequence[Sequence[Cell]]) -> float:
    return sum(map(_shelf_height, rows)) + _BETWEEN_MM * (len(rows) - 1)


def pages_of_rows(
    rows: Sequence[Row], ground: DrawingArea, lengths: LengthFormat
) -> list[list[Row]]:
    """``rows`` in order on as few sheets as they need, these filled about equally."""
    if not rows:
        return []
    _, bottom, _, top = ground.views
    heights, high = [row_size(row, lengths)[1] for row in rows], top - bottom
    count = len(_breaks(heights, high))
    sums = {math.fsum(heights[a:b]) for a, b in itertools.combinations(range(len(rows) + 1), 2)}
    enough = (
        each
        for each in sums
        if max(heights) <= each <= high and len(_breaks(heights, each)) == count
    )
    starts = _breaks(heights, min(enough, default=high))
    return [list(rows[a:b]) for a, b in zip(starts, [*starts[1:], len(rows)], strict=True)]


def _breaks(heights: Sequence[float], high: float) -> list[int]:
    """The first row of each sheet, where each holds rows up to ``high``."""
    first, total = [], math.inf
    for number, height in enumerate(heights):
        total += height
        if total > high + 1e-6:
            first.append(number)
            total = height
    return first


def in_rows(
    rows: Sequence[Row], ground: DrawingArea, lengths: LengthFormat
) -> tuple[list[SheetView], list[Label]] | None:
    """``rows`` of views spread evenly over the sheet, the titles of a row level.

    None if they don't fit.
    """
    left, bottom, right, top = ground.views
    cells = [[cell_of(view, lengths) for view in row] for row in rows]
    spare = (top - bottom) - sum(map(_shelf_height, cells))
    if spare < -1e-6:
        return None
    placed: list[SheetView] = []
    labels: list[Label] = []
    y = top
    for row, ones in zip(rows, cells, strict=True):
        free = (right - left) - sum(one.width for one in ones)
        if free < -1e-6:
            return None
        y -= spare / (len(rows) + 1)
        foot = y - max(one.drawn for one in ones)
        y -= _shelf_height(ones)
        x = left
        for view, one in zip(row, ones, strict=True):
            x += free / (len(row) + 1)
            middle = x + one.width / 2
            # A table has no title to be level with its neighbours': it hangs from the top.
            low = foot if view.title else foot + max(c.drawn for c in ones) - one.drawn
            placed.append(SheetView(view=view, centre=(middle, low + one.drawn / 2)))
            labels += _words(view, middle, foot, lengths)
            x += one.width
    return placed, labels


def _words(view: PlacedView, middle: float, foot: float, lengths: LengthFormat) -> list[Label]:
    """Title and caption below ``foot``."""
    y = foot - VIEW_TITLE_MM + TITLE_MM
    labels = []
    if view.title:
        at = (middle, y)
        labels.append(Label(text=title_of(view, lengths), at=at, height=_title_height(view)))
    for line in _caption(view):
        y -= _LINE_MM
        labels.append(Label(text=line, at=(middle, y), height=TEXT_MM))
    return labels
