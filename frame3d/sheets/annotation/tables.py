"""Small tables beside a view: words and figures in columns, on free ground by construction."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.describe.wording import fine_lengths
from frame3d.sheets.annotation.annotations import AngleCell, Cell, LengthCell, Table, ViewEdge
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.occupancy import extent
from frame3d.sheets.primitives.primitives import Align, Label, Layer, Primitive, Stroke, in_brackets
from frame3d.units import LengthFormat

_STEP_MM = 4.5
_GUTTER_MM, _BETWEEN_MM, _AWAY_MM = 4.0, 8.0, 8.0
"""Between columns, between blocks of rows, and from the view to the table, paper mm."""
_FEWEST_ROWS = 6


class _Sheet(Struct, frozen=True):
    """The table's texts with the widths of its columns, paper mm."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    words: tuple[int, ...]

    @property
    def block_mm(self) -> float:
        """Width of one block of columns."""
        return sum(self.widths) + _GUTTER_MM * (len(self.widths) - 1)


def place_table(
    table: Table, scale: int, primitives: Sequence[Primitive], lengths: LengthFormat
) -> list[Primitive]:
    """The table beside or below all ``primitives``, in as many blocks of rows as fit there."""
    sheet = _written(table, lengths)
    start, blocks = _start(table, sheet, scale, primitives)
    most = math.ceil(len(sheet.rows) / blocks)
    blocks = math.ceil(len(sheet.rows) / most)  # none of them empty
    made: list[Primitive] = [_text(sheet.title, start, Align.LEFT, scale)]
    for index in range(blocks):
        rows = sheet.rows[index * most : (index + 1) * most]
        x = start[0] + index * (sheet.block_mm + _BETWEEN_MM)
        made += _block(sheet, rows, (x, start[1] - _STEP_MM), scale)
    return made


def _start(
    table: Table, sheet: _Sheet, scale: int, primitives: Sequence[Primitive]
) -> tuple[tuple[float, float], int]:
    """Where the table begins, paper mm, and in how many blocks its rows stand."""
    if not primitives:
        return (0.0, 0.0), table.blocks or 1
    left, bottom, right, top = (value / scale for value in extent(primitives, scale))
    if table.edge is ViewEdge.BOTTOM:
        wide = max(1, int((right - left + _BETWEEN_MM) / (sheet.block_mm + _BETWEEN_MM)))
        return (left, bottom - _AWAY_MM), table.blocks or min(wide, len(sheet.rows))
    most = max(_FEWEST_ROWS, int((top - bottom) / _STEP_MM) - 3)
    return (right + _AWAY_MM, top - TEXT_MM), table.blocks or math.ceil(len(sheet.rows) / most)


def _block(
    sheet: _Sheet, rows: Sequence[Sequence[str]], start: tuple[float, float], scale: int
) -> list[Primitive]:
    """Heads with a line under them, if there are any, and rows."""
    made: list[Primitive] = []
    y = start[1]
    shown = (sheet.head, *rows) if any(sheet.head) else rows
    ruled = sheet.head if any(sheet.head) else None
    for row in shown:
        x = start[0]
        for column, (text, width) in enumerate(zip(row, sheet.widths, strict=True)):
            align = Align.LEFT if column in sheet.words else Align.RIGHT
            place = x if align is Align.LEFT else x + width
            if text:
                made.append(_text(text, (place, y), align, scale))
            x += width + _GUTTER_MM
        if row is ruled:
            line = y - _STEP_MM / 2
            made.append(
                Stroke(
                    start=(start[0] * scale, line * scale),
                    end=((start[0] + sheet.block_mm) * scale, line * scale),
                    layer=Layer.FINE,
                )
            )
        y -= _STEP_MM
    return made


def _text(text: str, at: tuple[float, float], align: Align, scale: int) -> Label:
    return Label(text=text, at=(at[0] * scale, at[1] * scale), height=TEXT_MM, align=align)


def _written(table: Table, lengths: LengthFormat) -> _Sheet:
    rows = tuple(tuple(_cell(cell, lengths) for cell in row) for row in table.rows)
    widths = tuple(
        max(text_width_mm(text, TEXT_MM) for text in column)
        for column in zip(table.head, *rows, strict=True)
    )
    return _Sheet(table.title, table.head, rows, widths, (0, *table.words))


def _cell(cell: Cell, lengths: LengthFormat) -> str:
    if isinstance(cell, LengthCell):
        form = fine_lengths(lengths) if cell.fine else lengths
        return f"{cell.word} {in_brackets(form.text(cell.mm), cell.reference)}".lstrip()
    if isinstance(cell, AngleCell):
        angle = lengths.angle(cell.rad, decimals=cell.decimals)
        return f"{cell.word} {in_brackets(angle, cell.reference)}".lstrip()
    return cell
