"""Sheets of parts: views at one scale and tables, set in rows as large as they fit."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from msgspec.structs import replace

from frame3d.sheets.annotation.annotated_view import PlacedView, place
from frame3d.sheets.annotation.annotations import Table, View
from frame3d.sheets.layout.compose import DrawingArea, best_scale, stacks_fit
from frame3d.sheets.layout.sheet_set_builder import PART, SheetSetBuilder
from frame3d.sheets.layout.shelves import (
    Row,
    has_one_spare,
    in_rows,
    pages_of_rows,
    row_size,
    shelved,
)
from frame3d.sheets.primitives.paper import scales
from frame3d.units import LengthFormat

Rows = Sequence[Row]

_READABLE = 50
"""At smaller scales than 1 to this, tables leave the sheet for any gain in scale."""
_WORTH = 2.5
"""Tables leave the sheet of their views where those could be this much larger without."""


def add_piece(
    builder: SheetSetBuilder,
    title: str,
    views: Sequence[View],
    tables: Sequence[Words],
    notes: Sequence[str],
    *,
    kind: str = PART,
    group: str = "",
) -> None:
    """A sheet of ``views`` with ``tables``; on more sheets where they don't fit on one."""
    ground = builder.ground(notes)
    words = [words_of(builder, item) for item in tables if not _is_empty(item)]
    drawn: dict[int, list[PlacedView]] = {}
    best = _together(builder, views, words, ground, drawn)
    alone = _together(builder, views, [], ground, drawn) if words else None
    if best and (alone is None or not _is_better(alone, best)):
        builder.add_rows(title, best, notes, kind, group)
        return
    left: Sequence[Words] = tables
    if alone:
        rows, left = _filled_up(builder, alone, tables, ground)
        builder.add_rows(title, rows, notes, kind)
    elif best:
        builder.add_rows(title, best, notes, kind)
        left = ()
    else:
        _on_sheets_of_their_own(builder, title, views, notes, kind)
    add_words(builder, f"{title}, tables", left, notes)


def _filled_up(
    builder: SheetSetBuilder, rows: Rows, tables: Sequence[Words], ground: DrawingArea
) -> tuple[Rows, list[Words]]:
    """The views with as many tables as find room beside and below them, and those left over."""
    left, _, right, _ = ground.views
    views = list(itertools.chain(*rows))
    kept: list[PlacedView] = []
    over: list[Words] = []
    for table in tables:
        if _is_empty(table):
            continue
        wanted = [*kept, words_of(builder, table)]
        tried = _packed(views, wanted, right - left, builder.lengths)
        if in_rows(tried, ground, builder.lengths):
            rows, kept = tried, wanted
        else:
            over.append(table)
    return rows, over


def _is_better(alone: Rows, best: Rows) -> bool:
    """Whether the views gain enough by a sheet without tables."""
    crowded, less = (
        sum(len(view.problems) for row in rows for view in row) for rows in (best, alone)
    )
    worth = 1.0 if _scale(best) > _READABLE else _WORTH
    return less < crowded or _scale(best) > worth * _scale(alone)


def _scale(rows: Rows) -> int:
    return max(view.scale for row in rows for view in row if view.to_scale)


def _on_sheets_of_their_own(
    builder: SheetSetBuilder, title: str, views: Sequence[View], notes: Sequence[str], kind: str
) -> None:
    size = builder.ground(notes).view_size
    for number, view in enumerate(views, start=1):
        placed = best_scale(view, size, builder.lengths)
        name = f"{title}, view {number}" if len(views) > 1 else title
        if placed:
            builder.add_rows(name, [[placed]], notes, kind)
        else:
            builder.missing(name)


Words = Table | View
"""A table, or a view that has no scale."""


def words_of(builder: SheetSetBuilder, item: Words) -> PlacedView:
    """``item`` as a view of words, which has no scale."""
    return place(item if isinstance(item, View) else _alone(item), 1, builder.lengths)


def _alone(table: Table) -> View:
    return View(
        title="",
        primitives=(),
        bounds=(0.0, 0.0, 0.0, 0.0),
        annotations=(replace(table, blocks=table.blocks or 1),),
        to_scale=False,
    )


def _together(
    builder: SheetSetBuilder,
    views: Sequence[View],
    words: Sequence[PlacedView],
    ground: DrawingArea,
    drawn: dict[int, list[PlacedView]],
) -> Rows | None:
    """All views at the largest common scale at which they and the tables fit on a sheet.

    ``drawn`` keeps the views by scale, to be asked for again.
    """
    left, bottom, right, top = ground.views
    width, height = right - left, top - bottom
    for scale in scales(builder.lengths.system):
        if any((v.bounds[2] - v.bounds[0]) / scale > width for v in views):
            continue
        if sum((v.bounds[3] - v.bounds[1]) / scale for v in views) > height * len(views):
            continue
        # Beside its edges alone: quickly said, where all the rest takes long to place.
        if not all(stacks_fit(v, scale, (width, height + 1e-6), builder.lengths) for v in views):
            continue
        if scale not in drawn:
            drawn[scale] = [place(view, scale, builder.lengths) for view in views]
        placed = drawn[scale]
        if any(view.paper_size[0] > width for view in placed):
            continue
        rows = _packed(placed, words, width, builder.lengths)
        if in_rows(rows, ground, builder.lengths):
            return rows
        sheets = shelved([*placed, *words], ground, builder.lengths)
        if len(sheets) == 1 and in_rows(sheets[0], ground, builder.lengths):
            return sheets[0]
    return None


def _packed(
    views: Sequence[PlacedView], words: Sequence[PlacedView], width: float, lengths: LengthFormat
) -> Rows:
    """The views in order, then each table in the row that grows least by it, the highest first."""
    rows = [list(row) for row in side_by_side(views, width, lengths)]
    for word in sorted(words, key=lambda view: -view.paper_size[1]):
        sizes = [row_size([*row, word], lengths) for row in rows]
        grown = [
            (high - row_size(row, lengths)[1], number)
            for number, (row, (wide, high)) in enumerate(zip(rows, sizes, strict=True))
            if wide <= width
        ]
        grown.append((row_size([word], lengths)[1], len(rows)))
        _, number = min(grown)
        if number == len(rows):
            rows.append([])
        rows[number].append(word)
    return rows


def side_by_side(views: Sequence[PlacedView], width: float, lengths: LengthFormat) -> Rows:
    """``views`` in order, as many side by side as there is room for."""
    rows: list[list[PlacedView]] = []
    for view in views:
        if rows and row_size([*rows[-1], view], lengths)[0] <= width:
            rows[-1].append(view)
        else:
            rows.append([view])
    return rows


def add_flow(
    builder: SheetSetBuilder,
    title: str,
    views: Sequence[View],
    notes: Sequence[str],
    *,
    words: Sequence[Words] = (),
    first: View | None = None,
) -> None:
    """Many small views at one scale and tables, in rows, on as many sheets as they need.

    Parameters
    ----------
    builder : SheetSetBuilder
    title : str
    views : sequence of View
    notes : sequence of str
    words : sequence of Table or View
        After the views.
    first : View or None
        At the head of all, at a scale of its own.
    """
    ground = builder.ground(notes)
    left, bottom, right, top = ground.views
    size = (right - left, top - bottom)
    before: list[PlacedView] = []
    if first is not None:
        key = best_scale(first, (size[0], size[1] - 12.0), builder.lengths)
        if key is None:
            builder.missing(first.title)
        else:
            before.append(key)
    after = [words_of(builder, piece) for table in words for piece in _cut(builder, table, size)]
    drawn = _at_one_scale(builder, views, size)
    pages = _pages(builder, [*before, *drawn, *after], ground)
    if drawn and has_one_spare(pages, ground, builder.lengths):
        smaller = [place(view, _next(drawn[0].scale, builder), builder.lengths) for view in views]
        fewer = _pages(builder, [*before, *smaller, *after], ground)
        if len(fewer) < len(pages) and not any(view.problems for view in smaller):
            pages = fewer
    for number, rows in enumerate(pages, start=1):
        name = f"{title}, {number} of {len(pages)}" if len(pages) > 1 else title
        builder.add_rows(name, rows, notes, PART)


def _next(scale: int, builder: SheetSetBuilder) -> int:
    """The next smaller scale; the smallest has none."""
    return next((one for one in scales(builder.lengths.system) if one > scale), scale)


def _at_one_scale(
    builder: SheetSetBuilder, views: Sequence[View], size: tuple[float, float]
) -> list[PlacedView]:
    """``views`` at the largest scale at which the widest and the highest of them fit."""
    if not views:
        return []
    for scale in scales(builder.lengths.system):
        if any((v.bounds[2] - v.bounds[0]) / scale > size[0] for v in views):
            continue
        placed = [place(view, scale, builder.lengths) for view in views]
        sizes = [row_size([view], builder.lengths) for view in placed]
        if all(wide <= size[0] and high <= size[1] for wide, high in sizes):
            return placed
    for view in views:
        builder.missing(view.title)
    return []


def _pages(
    builder: SheetSetBuilder, items: Sequence[PlacedView], ground: DrawingArea
) -> Sequence[Rows]:
    """``items`` in rows in their order; out of it where that saves a page."""
    left, _, right, _ = ground.views
    ordered = pages_of_rows(
        side_by_side(items, right - left, builder.lengths), ground, builder.lengths
    )
    if len(ordered) < 2:
        return ordered
    packed = shelved(items, ground, builder.lengths)
    fewer = len(packed) < len(ordered)
    fits = fewer and all(in_rows(rows, ground, builder.lengths) for rows in packed)
    return packed if fits else ordered


def add_words(
    builder: SheetSetBuilder, title: str, tables: Sequence[Words], notes: Sequence[str]
) -> None:
    """Tables alone, on as many sheets as they need, cut between rows where one is too long."""
    ground = builder.ground(notes)
    left, bottom, right, top = ground.views
    size = (right - left, top - bottom)
    pieces = [words_of(builder, piece) for table in tables for piece in _cut(builder, table, size)]
    for rows in shelved(pieces, ground, builder.lengths):
        builder.add_rows(title, rows, notes, PART)


def _is_empty(item: Words) -> bool:
    return isinstance(item, Table) and not item.rows


def _cut(builder: SheetSetBuilder, table: Words, size: tuple[float, float]) -> list[Words]:
    """A table in pieces that each fit into ``size``, paper mm; a view as it is."""
    if isinstance(table, View) or not table.rows:
        return [] if _is_empty(table) else [table]
    for pieces in range(1, len(table.rows) + 1):
        each = -(-len(table.rows) // pieces)
        cut: list[Words] = [
            replace(table, rows=table.rows[i : i + each]) for i in range(0, len(table.rows), each)
        ]
        if all(words_of(builder, piece).paper_size[1] <= size[1] for piece in cut):
            return cut
    return [table]
