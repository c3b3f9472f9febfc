"""The ways in which a board can be turned and still be described as a board.

Its own axes can be turned over each of them; with a square section they can be rolled
a quarter turn besides, as long as no end has a lap, which is always cut from the depth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.model.parts import Board, BoardEnd, BoardHole, EdgeHole, RippedBoard
from frame3d.geometry.placement import Placement, Vector, vector

_COARSE_MM = 1e-3
_COARSE_RAD = 1e-6
# Off the half, as in snapping: round sizes never lie on the border between two steps.
_BIAS = 0.637


def coarse_mm(value: float) -> int:
    """``value`` in steps much larger than what rounding can shift it by, for comparing."""
    return math.floor(value / _COARSE_MM + _BIAS)


def coarse_rad(value: float) -> int:
    """An angle in steps much larger than what rounding can shift it by."""
    return math.floor(value / _COARSE_RAD + _BIAS)


class _Turn(Struct, frozen=True, kw_only=True):
    """New axes of a board: for each, which old axis it runs along, and whether against it."""

    x: tuple[int, bool]
    y: tuple[int, bool]
    z: tuple[int, bool]

    @property
    def rolls_a_quarter(self) -> bool:
        return self.y[0] == 2

    def at(self, point: Vector, size: Vector) -> Vector:
        """``point``, given in the old axes of a board of ``size``, in the new ones.

        The new ones run from the corner of the board from which they all lead along it.
        """
        x, y, z = (
            size[old] - point[old] if against else point[old]
            for old, against in (self.x, self.y, self.z)
        )
        return x, y, z

    def placement(self, size: Vector) -> Placement:
        """Where the new axes stand in the old ones."""
        origin = [0.0, 0.0, 0.0]
        axes: list[Vector] = []
        for old, against in (self.x, self.y, self.z):
            axis = [0.0, 0.0, 0.0]
            axis[old] = -1.0 if against else 1.0
            origin[old] = size[old] if against else 0.0
            axes.append(vector(*axis))
        return Placement(origin=vector(*origin), x=axes[0], y=axes[1], z=axes[2])


# Right-handed: of the axes that stay in their places an even number is turned over, of
# those rolled by a quarter an odd one.
_OVER = tuple(
    _Turn(x=(0, along), y=(1, up), z=(2, along is not up))
    for along in (False, True)
    for up in (False, True)
)
_QUARTERS = tuple(
    _Turn(x=(0, along), y=(2, up), z=(1, along is up))
    for along in (False, True)
    for up in (False, True)
)


def board_forms(board: Board) -> Iterator[tuple[Board, Placement]]:
    """``board`` turned in every way, each with where its axes stand in those of ``board``."""
    size = (board.length_mm, board.section.depth_mm, board.section.thickness_mm)
    lapped = any(end and end.lap_mm for end in (board.start, board.end))
    ripped = isinstance(board, RippedBoard)
    square = coarse_mm(size[1]) == coarse_mm(size[2]) and not ripped
    for turn in (*_OVER, *_QUARTERS) if square and not lapped else _OVER:
        if ripped and turn.y[1]:
            continue  # a ripped edge is always the far one
        holes, edge_holes = _turned_holes(board, turn, size)
        ends = [_turned_end(end, turn) for end in (board.start, board.end)]
        if turn.x[1]:
            ends.reverse()
        form = Board(
            section=board.section,
            length_mm=board.length_mm,
            holes=holes,
            edge_holes=edge_holes,
            start=ends[0],
            end=ends[1],
        )
        if isinstance(board, RippedBoard):
            left = board.left_mm[::-1] if turn.x[1] else board.left_mm
            form = RippedBoard(
                section=form.section, length_mm=form.length_mm, holes=holes, left_mm=left
            )
        yield form, turn.placement(size)


_End = tuple[int, ...]
_Places = list[tuple[int, int, int]]


def board_key(
    form: tuple[Board, Placement],
) -> tuple[tuple[_End, _End], tuple[int, int], int, _Places, _Places, tuple[BoardHole, ...]]:
    """What the one form of a board is least in: plain end first, slants positive.

    Coarse numbers come first, so that a difference in rounding never decides before
    one that the shop can see.
    """
    board = form[0]
    holes = tuple(
        (coarse_mm(h.along_mm), coarse_mm(h.up_mm), coarse_mm(h.diameter_mm)) for h in board.holes
    )
    edge_holes = tuple(
        (coarse_mm(h.along_mm), coarse_mm(h.across_mm), coarse_mm(h.diameter_mm))
        for h in board.edge_holes
    )
    ends = (_end_key(board.start), _end_key(board.end))
    first, last = board.depths_mm
    depths = (coarse_mm(first), coarse_mm(last))
    return (ends, depths, len(edge_holes), sorted(holes), sorted(edge_holes), board.holes)


def _turned_holes(
    board: Board, turn: _Turn, size: Vector
) -> tuple[tuple[BoardHole, ...], tuple[EdgeHole, ...]]:
    """Its holes in the new axes.

    A quarter turn makes those through the depth go through the thickness, and the other way
    round.
    """
    through = [
        (turn.at((h.along_mm, h.up_mm, 0.0), size), h.diameter_mm, turn.rolls_a_quarter)
        for h in board.holes
    ] + [
        (turn.at((h.along_mm, 0.0, h.across_mm), size), h.diameter_mm, not turn.rolls_a_quarter)
        for h in board.edge_holes
    ]
    return (
        tuple(
            BoardHole(along_mm=x, up_mm=y, diameter_mm=wide)
            for (x, y, _), wide, on_edge in through
            if not on_edge
        ),
        tuple(
            EdgeHole(along_mm=x, across_mm=z, diameter_mm=wide)
            for (x, _, z), wide, on_edge in through
            if on_edge
        ),
    )


def _turned_end(end: BoardEnd | None, turn: _Turn) -> BoardEnd | None:
    """An end form in the new axes: what slants along an axis goes with that axis."""
    if end is None or not (end.mitre_rad or end.bevel_rad or end.lap_mm):
        return None
    slant = (0.0, end.mitre_rad, end.bevel_rad)
    mitre, bevel = (-slant[old] if against else slant[old] for old, against in (turn.y, turn.z))
    from_top = end.lap_from_top is not turn.y[1]
    return BoardEnd(
        mitre_rad=mitre,
        bevel_rad=bevel,
        lap_mm=end.lap_mm,
        lap_depth_mm=end.lap_depth_mm,
        lap_from_top=from_top if end.lap_mm else False,
    )


def _end_key(end: BoardEnd | None) -> _End:
    if end is None:
        return (0,)
    lap = (coarse_mm(end.lap_mm), coarse_mm(end.lap_depth_mm), end.lap_from_top)
    return (1, *lap, -coarse_rad(end.mitre_rad), -coarse_rad(end.bevel_rad))
