"""How much of its paper a set of drawings uses, and which sheets another has room for.

It measures finished sheets by the boxes of their views and the lines of their words, not by how
they were laid out. A third is the least that a sheet uses which could stand on another: a choice.
"""

from __future__ import annotations

from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.primitives.lettering import text_width_mm

_LEAST, _GAP_MM, _TITLE_MM, _LINE_MM, _NOTE_MM = 1 / 3, 7.0, 9.0, 4.5, 4.5
_LONGEST = 44
"""Letters of a title; what is longer may stand alone."""
_MADE = ("Part drawing", "Assembly drawing")

Box = tuple[float, float, float, float]


def boxes(sheet: Sheet) -> list[Box]:
    """Left, bottom, right, top of each view with its title and caption, mm."""
    found = []
    for one in sheet.views:
        (x, y), (wide, high) = one.centre, one.view.paper_size
        words = [
            label for label in sheet.labels
            if abs(label.at[0] - x) < 1.0 and y - high / 2 - 30.0 < label.at[1] < y - high / 2
        ]  # fmt: skip
        below = _TITLE_MM + (len(words) - 1) * _LINE_MM if words else 3.0
        wide = max([wide, *(text_width_mm(label.text, label.height) for label in words)])
        found.append((x - wide / 2, y - high / 2 - below, x + wide / 2, y + high / 2))
    return found


def room(sheet: Sheet, more: int = 0) -> tuple[float, float]:
    """Width and height over the notes and the title block, with some more lines of notes."""
    left, bottom, right, top = sheet.paper.frame
    notes = max(label.at[1] for label in sheet.labels if label.text.startswith("Notes"))
    return right - left - 8.0, top - max(notes + 5.0 + more * _NOTE_MM, bottom + 43.0) - 4.0


def _notes(sheet: Sheet) -> set[str]:
    """The lines of a sheet's notes, without their numbers."""
    top = max(label.at[1] for label in sheet.labels if label.text.startswith("Notes"))
    return {la.text for la in sheet.labels if la.at[1] < top and not la.text.isdigit()}


def share(sheet: Sheet) -> float:
    """How much of its room the views of a sheet take, 0 to 1."""
    wide, high = room(sheet)
    return sum((r - le) * (t - b) for le, b, r, t in boxes(sheet)) / (wide * high)


def packed(found: list[Box], size: tuple[float, float]) -> int:
    """Sheets of that size for boxes in rows, the highest first, each where it first fits."""
    sheets: list[list[list[float]]] = []  # of each row its height and the width taken
    for left, bottom, right, top in sorted(found, key=lambda box: box[1] - box[3]):
        wide, high = right - left + _GAP_MM, top - bottom + _GAP_MM
        for rows in sheets:
            row = next((row for row in rows if row[1] + wide <= size[0] + _GAP_MM), None)
            if row:
                row[1] += wide
                break
            if sum(row[0] for row in rows) + high <= size[1] + _GAP_MM:
                rows.append([high, wide])
                break
        else:
            sheets.append([[high, wide]])
    return len(sheets)


def _words_meet(one: Sheet, other: Sheet) -> bool:
    """Whether both have tables, of which each names holes or points of its own sheet."""
    return all(any(not v.view.to_scale for v in sheet.views) for sheet in (one, other))


def spare_sheets(sheet_set: SheetSet) -> list[str]:
    """Sheets less than a third used whose views have room on others of their kind and name."""
    found = []
    sheets = [one for one in sheet_set.sheets if one.block.kind in _MADE and one.views]
    for one in sheets:
        if share(one) >= _LEAST:
            continue
        stem = one.title.partition(",")[0]
        alike = [s for s in sheets if s.title.startswith(f"{stem}, ") and " of " in s.title]
        size = room(one)
        if len(alike) > 1 and packed([b for s in alike for b in boxes(s)], size) < len(alike):
            found.append(f"{one.title} is not needed")
        for other in sheets:
            if other is one or other.block.kind != one.block.kind or _words_meet(one, other):
                continue
            if one.title.startswith("Hoop") is not other.title.startswith("Hoop"):
                continue  # a hoop put together has a sheet for its own kind
            more = len(_notes(one) - _notes(other))
            fit = packed([*boxes(one), *boxes(other)], room(other, more)) == 1
            if fit and len(one.title) + len(other.title) + 5 <= _LONGEST:
                found.append(f"{one.title} would stand on {other.title}")
    return found


__all__ = ["boxes", "packed", "room", "share", "spare_sheets"]
