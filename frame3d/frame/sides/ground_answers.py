"""What can be done about sill boards on ground that is not level, with the figures of each.

A pure function of the heights along the boards. Four answers:

level
    Boards as on level ground; ground that stands higher is dug away under them.
follow
    Each board goes up or down with its ground, so neighbours step at their joint. The holes of
    the sockets stay, so a board moves only as far as they stay in its wood; the block behind a
    joint must reach both of its boards.
skirt
    Boards as on level ground, and under those that hang a second board, bay by bay, its lower
    edge ripped to the ground.
fill
    Boards as on level ground, and earth up to the height that they were drawn for.

Glossary
--------
gap : between the lower edge of a board and the ground.
skirt board : a board under the sill board that closes its gap.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable

from msgspec import Struct

from frame3d.design.tables.staking import GroundBoards
from frame3d.frame.model.roles import Side
from frame3d.frame.model.surveyed import GroundLine, stretch_of

CLOSED_MM = 25.0
"""A gap by so much wider than on level ground needs no answer (common practice, no source)."""
MOST_FILL_MM = 304.8
"""Earth higher than this beside a board is a pad (common practice, no source)."""
LEAST_DEPTH_MM = 38.0
"""The narrowest strip that is ripped (common practice, no source)."""
_BANK = 2.0
"""Run for each rise of the bank on both sides of what is filled (common practice, no source)."""
_SPADE_MM = 100.0
"""Wider than the board that is dug under it (common practice, no source)."""
_NOTHING_MM = 0.05
_MOST_SHARE = 0.25
"""Of its depth by which a board may move, so that end stops behind it still hold to it."""

Span = tuple[float, float]


class Footing(Struct, frozen=True, kw_only=True):
    """The boards of both sides as on level ground, mm.

    Parameters
    ----------
    hoops_mm : tuple of float
    overhang_mm : float
    joints_mm : dict of Side to tuple of float
    bottom_mm, depth_mm, thick_mm : float
        Height of the lower edge; depth and thickness of the boards.
    holes_mm : tuple of float
        Heights of the sockets' holes above the lower edge.
    edge_mm : float
        Wood that must be left round a hole, to its middle.
    step_mm : float
        Depths of skirts are whole steps of this.
    no_room : frozenset of (Side, int)
        Bays in which nothing can hold a skirt board.
    """

    hoops_mm: tuple[float, ...]
    overhang_mm: float
    joints_mm: dict[Side, tuple[float, ...]]
    bottom_mm: float
    depth_mm: float
    thick_mm: float
    holes_mm: tuple[float, ...]
    edge_mm: float
    step_mm: float
    no_room: frozenset[tuple[Side, int]] = frozenset()

    def bays(self) -> list[Span]:
        """From where to where each bay's boards go, the ends with their overhang."""
        spans = list(itertools.pairwise(self.hoops_mm))
        spans[0] = (spans[0][0] - self.overhang_mm, spans[0][1])
        spans[-1] = (spans[-1][0], spans[-1][1] + self.overhang_mm)
        return spans

    def boards(self, side: Side) -> list[Span]:
        """From where to where each board of a side goes."""
        ends = (self.hoops_mm[0] - self.overhang_mm, self.hoops_mm[-1] + self.overhang_mm)
        return list(itertools.pairwise((ends[0], *self.joints_mm[side], ends[1])))

    @property
    def closed_mm(self) -> float:
        """The widest gap that needs no answer."""
        return self.bottom_mm + CLOSED_MM

    @property
    def rises_mm(self) -> Span:
        """How far a board may go down (less than 0) and up."""
        low = max(self.holes_mm) - (self.depth_mm - self.edge_mm)
        high = min(self.holes_mm) - self.edge_mm
        most = _MOST_SHARE * self.depth_mm
        return max(-most, min(0.0, low)), min(most, max(0.0, high))

    @property
    def most_step_mm(self) -> float:
        """How far neighbours may differ for the block behind their joint to reach both."""
        return max(0.0, 2 * (self.depth_mm / 4 - self.edge_mm))


class BayGap(Struct, frozen=True, kw_only=True):
    """The widest gap under the boards of a bay, and the deepest digging, mm."""

    side: Side
    bay: int
    gap_mm: float
    dig_mm: float


class Skirt(Struct, frozen=True, kw_only=True):
    """A skirt board: its bay, its ends along the tunnel, its depth at them, mm."""

    side: Side
    bay: int
    low_mm: float
    high_mm: float
    depths_mm: Span


class Answer(Struct, frozen=True, kw_only=True):
    """An answer with its figures.

    Parameters
    ----------
    kind : GroundBoards
    gaps : tuple of BayGap
        What is left of each bay.
    unfit : tuple of BayGap
        The bays in which it does not do.
    rises_mm : dict of Side to tuple of float
        Of each board, where they follow.
    skirts : tuple of Skirt
    fill_mm3, dig_mm3 : float
    """

    kind: GroundBoards
    gaps: tuple[BayGap, ...]
    unfit: tuple[BayGap, ...] = ()
    rises_mm: dict[Side, tuple[float, ...]] = {}
    skirts: tuple[Skirt, ...] = ()
    fill_mm3: float = 0.0
    dig_mm3: float = 0.0

    @property
    def gap_mm(self) -> float:
        """The widest gap that is left."""
        return max(gap.gap_mm for gap in self.gaps)

    @property
    def dig_mm(self) -> float:
        """The deepest digging that is left."""
        return max(gap.dig_mm for gap in self.gaps)


class BoardsOnGround(Struct, frozen=True, kw_only=True):
    """Every answer, and the one that is taken.

    ``by_rule`` is False where the design says which.
    """

    answers: tuple[Answer, ...]
    kind: GroundBoards
    by_rule: bool

    @property
    def taken(self) -> Answer:
        """The answer that the frame has."""
        return self.of(self.kind)

    @property
    def level(self) -> Answer:
        """The boards as on level ground."""
        return self.of(GroundBoards.LEVEL)

    def of(self, kind: GroundBoards) -> Answer:
        """The answer of a kind."""
        return next(answer for answer in self.answers if answer.kind is kind)

    @property
    def fitting(self) -> tuple[Answer, ...]:
        """Those that do in every bay."""
        return tuple(answer for answer in self.answers if not answer.unfit)


def answers_for(
    lines: dict[Side, GroundLine], footing: Footing, asked: GroundBoards | None
) -> BoardsOnGround:
    """The answers for the ground along both sides, and which is taken.

    Without one that is asked for, the first that does in every bay, in the order of the work
    that it takes; boards stay level where none does.
    """
    answers = (
        _level(lines, footing), _follow(lines, footing), _skirt(lines, footing),
        _fill(lines, footing),
    )  # fmt: skip
    fit = (answer.kind for answer in answers if not answer.unfit)
    kind = asked or next(fit, GroundBoards.LEVEL)
    return BoardsOnGround(answers=answers, kind=kind, by_rule=asked is None)


def _level(lines: dict[Side, GroundLine], footing: Footing) -> Answer:
    gaps = _gaps(lines, footing, lambda side, at: 0.0)
    return Answer(
        kind=GroundBoards.LEVEL, gaps=gaps, unfit=_wide(gaps, footing),
        dig_mm3=_dug(lines, footing),
    )  # fmt: skip


def _fill(lines: dict[Side, GroundLine], footing: Footing) -> Answer:
    level = _gaps(lines, footing, lambda side, at: 0.0)
    most = footing.bottom_mm + MOST_FILL_MM
    gaps = tuple(
        BayGap(side=g.side, bay=g.bay, gap_mm=min(g.gap_mm, footing.bottom_mm), dig_mm=g.dig_mm)
        for g in level
    )
    ends = (footing.bays()[0][0], footing.bays()[-1][1])
    return Answer(
        kind=GroundBoards.FILL,
        gaps=gaps,
        unfit=tuple(gap for gap in level if gap.gap_mm > most),
        fill_mm3=sum(
            _integral(stretch_of(line, *ends), 0.0,
                      lambda low: footing.thick_mm * low + _BANK * low**2)
            for line in lines.values()
        ),
        dig_mm3=_dug(lines, footing),
    )  # fmt: skip


def _follow(lines: dict[Side, GroundLine], footing: Footing) -> Answer:
    rises = {side: _rises(line, footing, side) for side, line in lines.items()}

    def rise(side: Side, at: float) -> float:
        boards = footing.boards(side)
        return next(
            r for (_, high), r in zip(boards, rises[side], strict=True)
            if at <= high or high == boards[-1][1]
        )  # fmt: skip

    gaps = _gaps(lines, footing, rise)
    dug = sum(
        _integral(stretch_of(line, *span), footing.bottom_mm + up, lambda low: 0.0,
                  lambda high: (footing.thick_mm + _SPADE_MM) * high)
        for side, line in lines.items()
        for span, up in zip(footing.boards(side), rises[side], strict=True)
    )  # fmt: skip
    return Answer(
        kind=GroundBoards.FOLLOW, gaps=gaps, unfit=_wide(gaps, footing), rises_mm=rises,
        dig_mm3=dug,
    )  # fmt: skip


def _rises(line: GroundLine, footing: Footing, side: Side) -> tuple[float, ...]:
    """How far each board of a side goes up: its lower edge over the highest ground under it.

    Where neighbours would step too far the lower one is raised, so nothing has to be dug for it.
    """
    down, up = footing.rises_mm
    wanted = [max(z for _, z in stretch_of(line, *span)) for span in footing.boards(side)]
    held = [min(max(rise, down), up) for rise in wanted]
    return tuple(
        max(rise - footing.most_step_mm * abs(i - j) for j, rise in enumerate(held))
        for i in range(len(held))
    )


def _skirt(lines: dict[Side, GroundLine], footing: Footing) -> Answer:
    level = _gaps(lines, footing, lambda side, at: 0.0)
    skirts, gaps, unfit = [], [], []
    for gap in level:
        low, high = footing.bays()[gap.bay - 1]
        if gap.gap_mm <= footing.closed_mm:
            gaps.append(gap)
            continue
        ground = stretch_of(lines[gap.side], low, high)
        skirt = Skirt(
            side=gap.side, bay=gap.bay, low_mm=low, high_mm=high,
            depths_mm=ripped_depths(ground, footing.step_mm),
        )  # fmt: skip
        skirts.append(skirt)
        if max(skirt.depths_mm) > footing.depth_mm or (gap.side, gap.bay) in footing.no_room:
            unfit.append(gap)
        under = [
            z - (footing.bottom_mm - _between(skirt.depths_mm, (at - low) / (high - low)))
            for at, z in ground
        ]
        gaps.append(
            BayGap(side=gap.side, bay=gap.bay, gap_mm=max(0.0, -min(under)),
                   dig_mm=max(gap.dig_mm, _some(max(under))))
        )  # fmt: skip
    return Answer(
        kind=GroundBoards.SKIRT, gaps=tuple(gaps), unfit=tuple(unfit), skirts=tuple(skirts),
        dig_mm3=_dug(lines, footing),
    )  # fmt: skip


def ripped_depths(ground: GroundLine, step_mm: float) -> Span:
    """Depth at both ends so that the lower edge is as far above the ground as the board was.

    The line between the ends of the ground, raised over what rises between them.
    """
    (low, first), (high, last) = ground[0], ground[-1]
    over = max(z - _between((first, last), (at - low) / (high - low)) for at, z in ground)

    def depth(height: float) -> float:
        return max(LEAST_DEPTH_MM, int((-height - over) / step_mm + 1e-9) * step_mm)

    return depth(first), depth(last)


def _between(ends: Span, share: float) -> float:
    return ends[0] + share * (ends[1] - ends[0])


def _gaps(
    lines: dict[Side, GroundLine], footing: Footing, rise: Callable[[Side, float], float]
) -> tuple[BayGap, ...]:
    """Each bay with its widest gap and deepest digging, boards raised by ``rise``."""
    found = []
    for side, line in lines.items():
        for number, (low, high) in enumerate(footing.bays(), start=1):
            stops = [low, *(j for j in footing.joints_mm[side] if low < j < high), high]
            under: list[float] = []
            for a, b in itertools.pairwise(stops):
                up = rise(side, (a + b) / 2)
                under += [footing.bottom_mm + up - z for _, z in stretch_of(line, a, b)]
            found.append(
                BayGap(side=side, bay=number, gap_mm=max(0.0, max(under)),
                       dig_mm=_some(-min(under)))
            )  # fmt: skip
    return tuple(found)


def _some(length_mm: float) -> float:
    return length_mm if length_mm > _NOTHING_MM else 0.0


def _wide(gaps: Iterable[BayGap], footing: Footing) -> tuple[BayGap, ...]:
    return tuple(gap for gap in gaps if gap.gap_mm > footing.closed_mm + _NOTHING_MM)


def _dug(lines: dict[Side, GroundLine], footing: Footing) -> float:
    """Earth that is dug for level boards, mm³."""
    ends = (footing.bays()[0][0], footing.bays()[-1][1])
    return sum(
        _integral(stretch_of(line, *ends), footing.bottom_mm, lambda low: 0.0,
                  lambda high: (footing.thick_mm + _SPADE_MM) * high)
        for line in lines.values()
    )  # fmt: skip


def _integral(
    line: GroundLine,
    level_mm: float,
    below: Callable[[float], float],
    above: Callable[[float], float] = lambda high: 0.0,
) -> float:
    """The integral along a line of areas that follow from how far it is below or above a level.

    Areas are of the second degree at most, so Simpson's rule is exact for each straight piece
    that does not cross the level.
    """
    total = 0.0
    for (a, low), (b, high) in itertools.pairwise(line):
        first, last = low - level_mm, high - level_mm
        stops = [(a, first), (b, last)]
        if first * last < 0:
            stops.insert(1, (a + (b - a) * first / (first - last), 0.0))
        for (start, one), (end, two) in itertools.pairwise(stops):
            middle = (one + two) / 2
            heights = (one, middle, two)
            area = [above(h) if middle > 0 else below(-h) for h in heights]
            total += (end - start) / 6 * (area[0] + 4 * area[1] + area[2])
    return total
