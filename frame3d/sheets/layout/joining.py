"""Sheets of one kind that have room on one, put together.

A sheet that is nearly empty costs its reader a turn of the page and its owner paper.
"""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Callable, Iterable, Sequence

from msgspec.structs import replace

from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.sheet_set_builder import (
    ASSEMBLY,
    GENERAL,
    PART,
    SheetSetBuilder,
    UnnumberedSheet,
)
from frame3d.sheets.layout.shelves import NEARLY_EMPTY, in_rows, on_one_sheet, share_used

_KINDS = (PART, ASSEMBLY)
_LONGEST = 48
"""Letters that the title of a title block has room for."""
_COUNTED = re.compile(r"(?P<stem>[^,]+), \d+ of \d+")


def fewest_sheets(builder: SheetSetBuilder, ways: Iterable[Callable[[], None]]) -> None:
    """Put that of several ways on the builder which finds least fault, on fewest sheets."""
    drafts, findings = builder.drafts, builder.findings
    made = []
    for way in ways:
        builder.drafts, builder.findings = list(drafts), list(findings)
        way()
        made.append((builder.drafts, builder.findings))
    builder.drafts, builder.findings = min(made, key=lambda one: (len(one[1]), len(one[0])))


def join_sheets(builder: SheetSetBuilder) -> None:
    """Put sheets of one kind together where one has room for both.

    Neighbours are; one that is nearly empty goes to the nearest sheet of its kind with room.
    Findings and the place of the sheets of details follow.
    """
    made = list(builder.drafts)
    place = list(range(len(made)))
    """Where each of the drafts stands, from 0."""
    anew: set[str] = set()
    """What is counted, and not in the order of the sheets or with too high a number now."""

    def join(low: int, high: int) -> bool:
        both = _both(builder, made[low], made[high])
        if both:
            counted = (_COUNTED.fullmatch(made[at].title) for at in (low, high))
            anew.update(one["stem"] for one in counted if one)
            made[low] = both
            del made[high]
            place[:] = [low if at == high else at - (at > high) for at in place]
        return bool(both)

    number = 1
    while number < len(made):
        number += not join(number - 1, number)
    number = 0
    while number < len(made):
        others = sorted(set(range(len(made))) - {number}, key=lambda at: abs(at - number))
        spare = _is_nearly_empty(builder, made[number])
        # What is joined is looked at again from the first sheet on.
        number = 0 if spare and any(join(*sorted((number, at))) for at in others) else number + 1
    if len(made) == len(builder.drafts):
        return
    builder.findings = [
        # One past the last is what stood on no sheet.
        replace(one, sheet=place[one.sheet - 1] + 1 if one.sheet <= len(place) else len(made) + 1)
        for one in builder.findings
    ]
    builder.details_from = len(set(place[: builder.details_from]))
    builder.drafts = functools.reduce(_counted_anew, sorted(anew), made)


def _is_nearly_empty(builder: SheetSetBuilder, draft: UnnumberedSheet) -> bool:
    used = share_used(draft.rows, builder.ground(draft.notes), builder.lengths)
    return _may_be_joined(draft) and used < NEARLY_EMPTY


def _may_be_joined(draft: UnnumberedSheet) -> bool:
    return draft.kind in _KINDS or (draft.kind == GENERAL and draft.group != "")


def _both(
    builder: SheetSetBuilder, first: UnnumberedSheet, second: UnnumberedSheet
) -> UnnumberedSheet | None:
    """The two on one sheet; None where they are not to be, or have no room."""
    if not _may_be_joined(first) or _sort_of(first) != _sort_of(second):
        return None
    if not first.group and _has_tables(first) and _has_tables(second):
        return None
    if first.kind == GENERAL and len({view.scale for view in (*first.views, *second.views)}) > 1:
        return None
    title = joined_title(first.title, second.title)
    if len(title) > _LONGEST:
        return None
    notes = joined_notes(first.notes, second.notes)
    rows = _rows(builder, first, second, notes)
    return replace(first, title=title, rows=rows, notes=notes) if rows else None


def _sort_of(draft: UnnumberedSheet) -> tuple[str, str, str]:
    return draft.kind, draft.family, draft.group


def joined_notes(first: Sequence[str], second: Sequence[str]) -> tuple[str, ...]:
    """The notes of both, each once; one that another goes on from is told by that."""
    every = tuple(dict.fromkeys((*first, *second)))
    return tuple(
        one for one in every if not any(one != other and other.startswith(one) for other in every)
    )


def _rows(
    builder: SheetSetBuilder,
    first: UnnumberedSheet,
    second: UnnumberedSheet,
    notes: tuple[str, ...],
) -> tuple[tuple[PlacedView, ...], ...] | None:
    """The rows of both below each other, else all their views packed closer."""
    ground = builder.ground(notes)
    rows = (*first.rows, *second.rows)
    if in_rows(rows, ground, builder.lengths):
        return rows
    packed = on_one_sheet((*first.views, *second.views), ground, builder.lengths)
    return tuple(map(tuple, packed)) if packed else None


def _has_tables(draft: UnnumberedSheet) -> bool:
    """Whether there are tables, whose letters stand for what is on this sheet alone.

    Those of a group name what they are of.
    """
    return any(not view.to_scale for view in draft.views)


def joined_title(first: str, second: str) -> str:
    """``Hoop pieces H1 and H2``, ``Rails, sockets and straight tubes``."""
    one, other = _COUNTED.fullmatch(first), _COUNTED.fullmatch(second)
    if one and other and one["stem"] == other["stem"]:
        return first
    if other:
        return f"{first.replace(' and ', ', ')}, {second[0].lower()}{second[1:]}"
    head, comma, rest = second.partition(", ")
    if comma and first.startswith(head + comma):
        told = first.split(", ")
        return f"{first} and {', '.join(part for part in rest.split(', ') if part not in told)}"
    *stem, last = first.split(" ")
    *others, two = second.split(" ")
    if stem and stem == others and any(map(str.isdigit, last)):
        return f"{' '.join(stem)}s {last} and {two}"
    joint = ", " if " and " in second else ", and " if "," in first else " and "
    return f"{first}{joint}{second[0].lower()}{second[1:]}"


def _counted_anew(drafts: list[UnnumberedSheet], stem: str) -> list[UnnumberedSheet]:
    """``drafts`` with those of ``stem`` counted in the order in which they stand."""
    places = re.compile(rf"({re.escape(stem)}), \d+ of \d+", re.IGNORECASE)
    found = [draft.kind in _KINDS and bool(places.search(draft.title)) for draft in drafts]
    made = list(drafts)
    for at in itertools.compress(range(len(drafts)), found):
        number, count = sum(found[: at + 1]), sum(found)
        part = rf"\1, {number} of {count}" if count > 1 else r"\1"
        made[at] = replace(made[at], title=places.sub(part, made[at].title))
    return made
