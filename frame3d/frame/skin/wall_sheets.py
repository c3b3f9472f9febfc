"""Stiff sheets on the end walls: upright strips, what is cut for each, how many sheets it takes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.design.tables.whole_design import End
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.skin.channel_runs import outer_half
from frame3d.geometry.arch.arch_curve import HalfCurve, height_at_x

_TINY_MM = 1e-3


class SheetPiece(Struct, frozen=True, kw_only=True):
    """A rectangle of sheet on a wall, before it is trimmed to the hoop, mm.

    ``sheet`` is the number of the sheet that it is cut from, from 1.
    """

    left_mm: float
    right_mm: float
    bottom_mm: float
    top_mm: float
    sheet: int = 0

    @property
    def height_mm(self) -> float:
        """Its height."""
        return self.top_mm - self.bottom_mm


class WallSheets(Struct, frozen=True, kw_only=True):
    """The sheets of one end wall."""

    end: End
    pieces: tuple[SheetPiece, ...]

    @property
    def count(self) -> int:
        """Sheets to buy."""
        return max((piece.sheet for piece in self.pieces), default=0)


def wall_sheets(frame: Frame) -> tuple[WallSheets, ...]:
    """The sheets of every end wall; none where the walls are closed by something else.

    Strips as wide as a sheet stand side by side, even about the middle; a strip taller than a
    sheet is long has a level joint. Pieces are sawn across a sheet and share one where their
    heights add up to no more than its length: the longest first, each in the first that has room.
    """
    cover = frame.design.cover
    if not cover.wall_cover.is_sheet:
        return ()
    curve = outer_half(frame.arch)
    ends = [end for wall in frame.design.end_wall for end in wall.at.each]
    found = []
    for end in End:
        if end in ends:
            doors = [door for door in frame.doors if door.end is end]
            pieces = list(_pieces(curve, cover.sheet_width, cover.sheet_length, doors))
            found.append(WallSheets(end=end, pieces=_shared(pieces, cover.sheet_length)))
    return tuple(found)


def _pieces(
    curve: HalfCurve, wide: float, long: float, doors: Sequence[DoorOpening]
) -> Iterator[SheetPiece]:
    reach = -curve.x_mm
    count = math.ceil(2 * reach / wide - 1e-9)
    for number in range(count):
        low = max(-reach, (number - count / 2) * wide)
        high = min(reach, (number + 1 - count / 2) * wide)
        nearest = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
        top = height_at_x(curve, nearest)
        # Where a strip stands in the middle of a doorway it begins over the door.
        bottom = max(
            (
                door.top_mm
                for door in doors
                if door.left_x_mm <= low + _TINY_MM and high - _TINY_MM <= door.right_x_mm
            ),
            default=0.0,
        )
        while top - bottom > _TINY_MM:
            upper = min(top, bottom + long)
            yield SheetPiece(left_mm=low, right_mm=high, bottom_mm=bottom, top_mm=upper)
            bottom = upper


def _shared(pieces: list[SheetPiece], long: float) -> tuple[SheetPiece, ...]:
    """The pieces with the sheets that they are cut from."""
    left: list[float] = []
    numbers: dict[int, int] = {}
    for index in sorted(range(len(pieces)), key=lambda k: (-pieces[k].height_mm, k)):
        height = pieces[index].height_mm
        there = next((k for k, rest in enumerate(left) if rest >= height - _TINY_MM), None)
        if there is None:
            there = len(left)
            left.append(long)
        left[there] -= height
        numbers[index] = there + 1
    return tuple(
        SheetPiece(left_mm=one.left_mm, right_mm=one.right_mm, bottom_mm=one.bottom_mm,
                   top_mm=one.top_mm, sheet=numbers[index])
        for index, one in enumerate(pieces)
    )  # fmt: skip
