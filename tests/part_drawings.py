"""The sheets of parts of a frame, and what can be read on them."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.primitives.paper import paper_of
from frame3d.sheets.primitives.primitives import Label
from frame3d.sheets.shop.part_sheets import add_part_sheets

NEEDED = re.compile(r"(\w+), (\d+) needed")


def part_desk(frame: Frame) -> SheetSetBuilder:
    """The builder with the sheets of parts alone."""
    output = frame.design.output
    builder = SheetSetBuilder(
        frame=frame, paper=paper_of(output.sheets, output.sheet_size), lengths=lengths_of(frame)
    )
    add_part_sheets(builder)
    return builder


def views_of(builder: SheetSetBuilder) -> Iterator[tuple[int, PlacedView]]:
    """Every view with the number of its sheet."""
    for number, draft in enumerate(builder.drafts, start=1):
        for view in draft.views:
            yield number, view


def rows_of(view: PlacedView) -> list[list[str]]:
    """The texts of a view of words, line by line from the top, each from the left."""
    lines: dict[float, list[tuple[float, str]]] = defaultdict(list)
    for item in view.primitives:
        if isinstance(item, Label):
            lines[round(item.at[1], 3)].append((item.at[0], item.text))
    return [[text for _, text in sorted(lines[y])] for y in sorted(lines, reverse=True)]


def tables(builder: SheetSetBuilder, title: str) -> Iterator[list[list[str]]]:
    """The rows below the heads of every table whose title begins like this."""
    for _, view in views_of(builder):
        if not view.to_scale and not view.title:
            rows = rows_of(view)
            if rows[0][0].startswith(title):
                yield rows[2:]


def counts_told(builder: SheetSetBuilder) -> Counter[tuple[str, int]]:
    """Mark and number of every part that is drawn or stands in the table of plain pieces."""
    told: Counter[tuple[str, int]] = Counter()
    for _, view in views_of(builder):
        found = NEEDED.match(view.title)
        if found:
            told[found[1], int(found[2])] += 1
    for rows in tables(builder, "Plain pieces"):
        told.update((row[0], int(row[1])) for row in rows if len(row) > 2)
    return told
