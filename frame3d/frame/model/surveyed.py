"""What was measured on the site, as plain values: a frame that has them is a surveyed frame.

They are read from the user's lists and checked in :mod:`frame3d.site`, which works out what they
mean; here they lie because the frame carries them, so that whoever has it has them too.
"""

from __future__ import annotations

import bisect

from msgspec import Struct

from frame3d.frame.model.roles import Side

GroundLine = tuple[tuple[float, float], ...]
"""Places along a line, rising, and heights there, mm; straight between them."""


class Level(Struct, frozen=True, kw_only=True):
    """A point of the ground.

    Parameters
    ----------
    row : int
        In the file.
    name : str
        As the file has it; may be empty.
    x_mm, y_mm : float
        In the axes of the site.
    z_mm : float
    rock_mm : float or None
        Depth of rock under the ground, where it is known.
    """

    row: int
    name: str
    x_mm: float
    y_mm: float
    z_mm: float
    rock_mm: float | None = None


class Distance(Struct, frozen=True, kw_only=True):
    """A measured distance between two corners, by their numbers."""

    first: int
    second: int
    length_mm: float


class Top(Struct, frozen=True, kw_only=True):
    """The measured top of a socket, mm.

    Parameters
    ----------
    row : int
        In the file.
    name : str
    x_mm, y_mm : float
        In the axes of whoever measured.
    z_mm : float or None
    taped : bool
        True when ``y_mm`` runs along the string, and not level.
    """

    row: int
    name: str
    x_mm: float
    y_mm: float
    z_mm: float | None
    taped: bool = False


class Survey(Struct, frozen=True, kw_only=True):
    """All that was measured; nothing of it means a frame on level ground.

    Parameters
    ----------
    levels : tuple of Level
    distances : tuple of Distance
        Between corners.
    tops : tuple of Top
        Of sockets as driven.
    names : tuple of (str, str)
        What each list is of (``levels``, ``measured``, ``built``), and what it is called.
    """

    levels: tuple[Level, ...] = ()
    distances: tuple[Distance, ...] = ()
    tops: tuple[Top, ...] = ()
    names: tuple[tuple[str, str], ...] = ()

    def name_of(self, what: str) -> str:
        """What the list of ``what`` is called; empty where there was none."""
        return dict(self.names).get(what, "")


class BoardRise(Struct, frozen=True, kw_only=True):
    """How far a sill board that follows the ground goes up (less than 0: down).

    Parameters
    ----------
    side : Side
    end_mm : float
        Where along the tunnel the board ends; it begins where the one before it ends.
    rise_mm : float
        Up the board, from where it would be on level ground.
    """

    side: Side
    end_mm: float
    rise_mm: float


class GroundUnder(Struct, frozen=True, kw_only=True):
    """Heights of the ground along the sides and the ends, as the layout takes them.

    Heights are above the ground that the frame is drawn on (z = 0), which follows the string over
    the sockets' tops; places are in the axes of the frame, along the string.

    Parameters
    ----------
    left, right : GroundLine
        Along the sockets of a side, from before the first hoop to past the last.
    front, back : GroundLine
        Across, at the first and the last hoop, from the left.
    boards : tuple of BoardRise
        Sill boards that follow the ground, those of a side from the front; empty for none.
    """

    left: GroundLine
    right: GroundLine
    front: GroundLine
    back: GroundLine
    boards: tuple[BoardRise, ...] = ()

    def along(self, side: Side) -> GroundLine:
        """The line of a side."""
        return self.left if side is Side.LEFT else self.right


def rises_of(ground: GroundUnder | None) -> tuple[float, float]:
    """How far the lowest and the highest sill board go up, mm; nothing on level ground."""
    rises = [board.rise_mm for board in ground.boards] if ground is not None else []
    return (min(rises, default=0.0), max(rises, default=0.0))


def rise_at(ground: GroundUnder | None, side: Side, y_mm: float) -> float:
    """How far the sill board that passes a place along a side goes up, mm."""
    boards = [board for board in ground.boards if board.side is side] if ground else []
    passing = (board.rise_mm for board in boards if y_mm <= board.end_mm)
    return next(passing, boards[-1].rise_mm if boards else 0.0)


def height_on(line: GroundLine, at_mm: float) -> float:
    """Height at a place; beyond the ends that of the end, mm.

    Examples
    --------
    >>> height_on(((0.0, 10.0), (100.0, 30.0)), 50.0)
    20.0
    """
    if at_mm <= line[0][0]:
        return line[0][1]
    if at_mm >= line[-1][0]:
        return line[-1][1]
    after = bisect.bisect_right(line, (at_mm, float("inf")))
    (a, low), (b, high) = line[after - 1], line[after]
    return low + (at_mm - a) / (b - a) * (high - low)


def stretch_of(line: GroundLine, low_mm: float, high_mm: float) -> GroundLine:
    """The part of a line between two places, with both."""
    inside = tuple(point for point in line if low_mm < point[0] < high_mm)
    return ((low_mm, height_on(line, low_mm)), *inside, (high_mm, height_on(line, high_mm)))
