"""Stretches of a tunnel: which hoops one sheet shows, and where it is cut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from frame3d.frame.model.members import Frame, K, Member
from frame3d.frame.model.roles import Grid
from frame3d.sheets.primitives.primitives import Layer, Primitive, Stroke
from frame3d.sheets.projection.hiding import inside
from frame3d.sheets.projection.silhouettes import Lines, Projection, reach_of

_FAR_MM = 1e7


class HoopRange(Struct, frozen=True, kw_only=True):
    """The hoops from ``first`` to ``last``, cut in the middle of the next bays.

    Parameters
    ----------
    first, last : int
        Numbers of hoops, from 1.
    part, parts : int
        Which stretch of how many this is, from 1.
    low_mm, high_mm : float
        Where along the tunnel it is cut; far outside where it is not.
    """

    first: int
    last: int
    part: int
    parts: int
    low_mm: float
    high_mm: float

    @property
    def title(self) -> str:
        """``, part 2 of 3``; empty when there is one only."""
        return f", part {self.part} of {self.parts}" if self.parts > 1 else ""

    @property
    def is_first(self) -> bool:
        """True when the first hoop is shown."""
        return self.part == 1

    @property
    def is_last(self) -> bool:
        """True when the last hoop is shown."""
        return self.part == self.parts

    def hoops(self, grid: Grid) -> list[tuple[int, float]]:
        """Number and position, mm, of every hoop that is shown."""
        return [(n, grid.hoop_y_mm[n - 1]) for n in range(self.first, self.last + 1)]

    def holds(self, y_mm: float) -> bool:
        """Whether a place along the tunnel is shown."""
        return self.low_mm <= y_mm <= self.high_mm


def stretches(grid: Grid, parts: int) -> list[HoopRange]:
    """The tunnel in ``parts`` stretches of as nearly as possible equal numbers of hoops."""
    ys = grid.hoop_y_mm
    ends = [round(len(ys) * part / parts) for part in range(parts + 1)]
    result = []
    for part, (start, stop) in enumerate(zip(ends, ends[1:], strict=False), start=1):
        low = (ys[start - 1] + ys[start]) / 2 if start > 0 else -_FAR_MM
        high = (ys[stop - 1] + ys[stop]) / 2 if stop < len(ys) else _FAR_MM
        result.append(
            HoopRange(first=start + 1, last=stop, part=part, parts=parts, low_mm=low, high_mm=high)
        )
    return result


def whole(grid: Grid) -> HoopRange:
    """The whole tunnel."""
    return stretches(grid, 1)[0]


def shown(members: Iterable[Member[K]], stretch: HoopRange) -> list[Member[K]]:
    """Those of ``members`` that reach into the stretch."""
    return [m for m in members if _overlaps(reach_of(m, (0.0, 1.0, 0.0)), stretch)]


def marked(frame: Frame, stretch: HoopRange, member: Member) -> bool:
    """Whether the mark of a long member stands in this stretch: its middle, or much of it, is."""
    if stretch.parts == 1:
        return True
    low, high = reach_of(member, (0.0, 1.0, 0.0))
    seen = min(high, stretch.high_mm) - max(low, stretch.low_mm)
    return stretch.holds((low + high) / 2) or seen > 1.5 * frame.grid.spacing_mm


def _overlaps(reach: tuple[float, float], stretch: HoopRange) -> bool:
    return reach[1] >= stretch.low_mm and reach[0] <= stretch.high_mm


def cut(lines: Sequence[Lines], stretch: HoopRange, projection: Projection) -> list[Lines]:
    """The part of ``lines`` within the stretch; the tunnel runs to the right or the left."""
    if stretch.parts == 1:
        return list(lines)
    ends = sorted(projection.flat((0.0, y, 0.0))[0] for y in (stretch.low_mm, stretch.high_mm))
    window = (ends[0], -_FAR_MM, ends[1], _FAR_MM)
    result: list[Lines] = []
    for line in lines:
        result += inside(line, window)
    return result


def match_lines(
    stretch: HoopRange, projection: Projection, low: float, high: float
) -> tuple[list[Primitive], list[tuple[str, tuple[float, float], int]]]:
    """The match lines from height ``low`` to ``high``, and what is to be written beside them.

    Each text comes with its place and 1 or -1 for the right or the left of the line.
    """
    primitives: list[Primitive] = []
    texts = []
    for y, other in ((stretch.low_mm, stretch.part - 1), (stretch.high_mm, stretch.part + 1)):
        if abs(y) >= _FAR_MM:
            continue
        u = projection.flat((0.0, y, 0.0))[0]
        primitives.append(Stroke(start=(u, low), end=(u, high), layer=Layer.MATCH))
        middle = projection.flat(
            (0.0, (max(stretch.low_mm, -1e5) + min(stretch.high_mm, 1e6)) / 2, 0.0)
        )
        way = 1 if u > middle[0] else -1
        texts.append((f"see part {other}", (u, (low + high) / 2), way))
    return primitives, texts
