"""Straight tubes: a small drawing of each that is drilled or has made ends, tables of all.

Glossary
--------
plain : without holes, both ends cut square; a row in a table says all of it.
kind of hole : holes of one diameter and clock angle, for the same thing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.through import Uses
from frame3d.frame.describe.wording import sold_text
from frame3d.frame.model.end_forms import Flat, Swage
from frame3d.frame.model.members import PartCount
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.pressed import hole_clock_rad
from frame3d.sheets.annotation.annotations import AngleCell, Cell, LengthCell, Table, View
from frame3d.sheets.primitives.lettering import TEXT_MM, wrapped
from frame3d.sheets.shop.bend_tables import letters
from frame3d.sheets.shop.tube_lengths import shows_cut, straight_view
from frame3d.sheets.shop.tube_views import FROM_ZERO
from frame3d.units import LengthFormat, LengthText

_TINY_RAD = 1e-6
_WHERE_MM = 75.0
"""Words on where parts go are broken at this width, paper mm."""
PLAIN_PIECES = "Plain pieces: no holes, both ends cut square"
"""Title of the table of what needs no drawing: that sheet is where such a piece is made from."""


class HoleKind(Struct, frozen=True, kw_only=True):
    """What a letter on the drawings of straight tubes stands for."""

    drill_mm: float
    clock_rad: float
    use: str


def is_plain(tube: Tube) -> bool:
    """Whether a row in a table says all of ``tube``."""
    return not tube.holes and tube.start is None and tube.end is None


def hole_kinds(groups: Sequence[PartCount[Tube]], uses: Uses) -> dict[HoleKind, str]:
    """The letter of every kind of hole in the tubes of ``groups``."""
    kinds = dict.fromkeys(kind for group in groups for kind in _kinds(group, uses))
    return dict(zip(kinds, letters(len(kinds)), strict=True))


def _kinds(group: PartCount[Tube], uses: Uses) -> list[HoleKind]:
    tube = group.part
    return [
        _kind(tube, hole, use)
        for hole, use in zip(tube.holes, uses.get(group.mark, ()), strict=True)
    ]


def _kind(tube: Tube, hole: Hole, use: str) -> HoleKind:
    clock = round(hole_clock_rad(tube, hole), 4)
    return HoleKind(drill_mm=round(hole.diameter_mm, 3), clock_rad=clock, use=use)


def true_size(tube: Tube, lengths: LengthFormat) -> str:
    """Outside diameter and wall."""
    say, section = LengthText(lengths), tube.section
    return f"{say.tube(section.od_mm)} × {say.tube(section.wall_mm)}"


def piece_view(
    group: PartCount[Tube], uses: Uses, kinds: dict[HoleKind, str], lengths: LengthFormat
) -> View:
    """The drawing of one straight tube; its title has the tube's true size."""
    names = [kinds[kind] for kind in _kinds(group, uses)]
    return straight_view(
        group.part,
        f"{group.mark}, {group.count} needed, {true_size(group.part, lengths)}",
        FROM_ZERO,
        mark=group.mark,
        letters=names,
    )


def kind_table(kinds: dict[HoleKind, str]) -> Table:
    """Diameter, clock angle and use of every kind of hole."""
    rows = tuple(
        (
            letter,
            LengthCell(kind.drill_mm, fine=True),
            AngleCell(kind.clock_rad),
            kind.use or "-",
        )
        for kind, letter in kinds.items()
    )
    return Table(
        title="Holes, through both walls",
        head=("Hole", "Drill", "Rotation", "For"),
        rows=rows,
        words=(3,),
    )


def drawn_table(groups: Sequence[PartCount[Tube]], lengths: LengthFormat) -> Table:
    """Tube, ends and places of the pieces that are drawn; ``lengths`` writes angles."""
    rows: list[tuple[Cell, ...]] = []
    for group in groups:
        tube = group.part
        first = (group.mark, tube.section.name, _end(tube.start, lengths), _end(tube.end, lengths))
        rows += _with_words(first, grid_text(group.members))
    return Table(
        title="Pieces drawn on these sheets",
        head=("Mark", "Tube", "Start", "End", "Where"),
        rows=tuple(rows),
        words=(1, 2, 3, 4),
    )


def section_table(groups: Sequence[PartCount[Tube]], lengths: LengthFormat) -> Table:
    """The sections of the pieces as they are ordered, with their true size."""
    say = LengthText(lengths)
    sections = dict.fromkeys(group.part.section for group in groups)
    return Table(
        title="Tube on these sheets",
        head=("Tube", "Outside", "Wall"),
        rows=tuple((s.name, say.tube(s.od_mm), say.tube(s.wall_mm)) for s in sections),
    )


def plain_table(groups: Sequence[PartCount[Tube]]) -> Table:
    """Number, tube, length and places of the pieces that need no drawing."""
    rows: list[tuple[Cell, ...]] = []
    for group in groups:
        tube = group.part
        first = (
            group.mark,
            f"{group.count}",
            tube.section.name,
            LengthCell(tube.over_all_mm),
            group.role.value,
        )
        rows += _with_words(first, grid_text(group.members))
    return Table(
        title=PLAIN_PIECES,
        head=("Mark", "Qty", "Tube", "Length", "Use", "Location"),
        rows=tuple(rows),
        words=(2, 4, 5),
    )


def _with_words(first: tuple[Cell, ...], words: str) -> list[tuple[Cell, ...]]:
    """A row with its last cell broken into lines; the lines after the first stand alone."""
    lines = wrapped(words, _WHERE_MM, TEXT_MM) or [""]
    empty = ("",) * len(first)
    return [(*first, lines[0]), *((*empty, line) for line in lines[1:])]


def _end(end: Swage | Flat | None, lengths: LengthFormat) -> Cell:
    """How an end is made; a flat with its direction where that is not 0, and its cut."""
    if isinstance(end, Swage):
        return f"swaged to {sold_text(lengths, end.od_mm)}"
    if end is None:
        return "square"
    across = "" if abs(end.clock_rad) < _TINY_RAD else f", facing {lengths.angle(end.clock_rad)}"
    if abs(end.slant_rad) < _TINY_RAD:
        return f"flat{across}"
    quarter = math.copysign(math.pi / 2, end.slant_rad)
    longest = (end.clock_rad + quarter) % (2 * math.pi)
    cut = "at an angle" if shows_cut(end) else f"{lengths.angle(abs(end.slant_rad))} off square"
    return f"flat{across}, cut {cut}, longest at {lengths.angle(longest)}"
