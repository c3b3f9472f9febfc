"""The pieces that a view shows, as a table: mark, number, length, how the ends are made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import AngleCell, Cell, LengthCell, Table

END_CUT, NOTCH = "End cut", "Notch"
"""Columns that a table has only where there is something to say in them."""
_TINY_RAD = 1e-6


def piece_table(title: str, members: Iterable[Member], roles: Sequence[Role]) -> Table:
    """The tubes and boards among ``members``, each mark once, in the order of ``roles``."""
    found: dict[str, tuple[int, Tube | Board]] = {}
    counts = Counter[str]()
    for member in members:
        if member.role in roles and isinstance(member.part, Tube | Board):
            found.setdefault(member.mark, (list(roles).index(member.role), member.part))
            counts[member.mark] += 1
    marks = sorted(found, key=lambda mark: (found[mark][0], _key(mark)))
    rows = [_row(mark, counts[mark], found[mark][1]) for mark in marks]
    head = ("Mark", "Qty", "Length", END_CUT, NOTCH)
    kept = [i for i in range(len(head)) if i < 3 or any(row[i] != "" for row in rows)]
    return Table(
        title=title,
        head=tuple(head[i] for i in kept),
        rows=tuple(tuple(row[i] for i in kept) for row in rows),
    )


def _key(mark: str) -> tuple[str, int]:
    """Sorts ST2 before ST10."""
    letters = mark.rstrip("0123456789")
    return letters, int(mark[len(letters) :] or 0)


def _row(mark: str, count: int, part: Tube | Board) -> tuple[Cell, ...]:
    notch: Cell = ""
    if isinstance(part, Board):
        laps = [end.lap_mm for end in (part.start, part.end) if end is not None and end.lap_mm]
        notch = LengthCell(max(laps)) if laps else ""
    return (mark, str(count), LengthCell(part.over_all_mm), _cut(part), notch)


def _cut(part: Tube | Board) -> Cell:
    """How far the ends are cut off square; pressed flat; nothing to say of a square end."""
    if isinstance(part, Tube):
        flats = [end for end in (part.start, part.end) if isinstance(end, Flat)]
        slant = max((abs(flat.slant_rad) for flat in flats), default=0.0)
        if slant > _TINY_RAD:
            return AngleCell(slant, "flat")
        return "flat" if flats else ""
    angles = [
        abs(angle)
        for end in (part.start, part.end)
        if end is not None
        for angle in (end.bevel_rad, end.mitre_rad)
    ]
    return AngleCell(max(angles)) if max(angles, default=0.0) > _TINY_RAD else ""
