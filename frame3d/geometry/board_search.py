"""The search behind :mod:`frame3d.geometry.board_layout`: dynamic programming over the sides.

Glossary
--------
place : where a joint may lie, or an end of the run.
state : how far all sides have been laid, and which offcuts are left. Sides are laid one
    after the other, so the state of a place is reached from earlier ones only.
offcut : what is left of a board already bought, with one kerf more (as in
    :mod:`frame3d.takeoff.cutting.problem`): it holds pieces of a length and a kerf each. It is
    taken as the most that the pieces still to come can use of it, so states meet more often.

All states are kept, so the answer is exact, unless there are too many, or too many offcuts in
one: then the most promising are kept, and the answer is not called proven.
"""

from __future__ import annotations

import bisect
from collections.abc import Sequence

from msgspec import Struct

_FIRST_WIDTH = 20
_WORK = 80_000
"""About how many pieces are tried: the more there are to try, the fewer states are kept."""

_NO_WAY = 1 << 60
"""More pieces than any run has: from here no pieces lead to its end."""
_MOST_OFFCUTS = 10
_MOST_SIZES = 24
_MOST_SUMS = 2_000

# What layouts are compared by, packed into one whole number: the first weighs most.
_BITS = (48, 16, 16, 16, 16, 48, 48, 64, 48)


def _weights() -> list[int]:
    weights, shift = [], 0
    for bits in reversed(_BITS):
        weights.append(1 << shift)
        shift += bits
    return weights[::-1]


(_SHORT, _BREACH, _BOARD, _JOINT, _CUT, _BOUGHT, _OFF, _UNEVEN, _LATE) = _weights()


class JointPlace(Struct, frozen=True, kw_only=True):
    """A place for a joint, its distance from the nearest hoop and from mid-bay, steps."""

    at: int
    clear: int
    off_middle: int


class BoardPiece(Struct, frozen=True, kw_only=True):
    """One piece of board.

    Parameters
    ----------
    end : int
        Where it ends, steps.
    near : int or None
        How far the joint at its end is from a hoop where that is too near.
    loose : bool
        It crosses no hoop.
    """

    end: int
    near: int | None
    loose: bool


class Search(Struct, frozen=True, kw_only=True):
    """What was found: pieces of each side; boards as (length, [(side, piece), ...])."""

    cost: int
    sides: list[list[BoardPiece]]
    boards: list[tuple[int, list[tuple[int, int]]]]
    cuts: int
    proven: bool


class _NextJoint(Struct, frozen=True, kw_only=True):
    """A piece between two places: where to, what it needs of a board, and what it costs."""

    to: int
    size: int
    cost: int
    piece: BoardPiece


_Offcuts = tuple[int, ...]
_Step = tuple[int, _Offcuts, _NextJoint, int | None, int | None]
"""From which place and offcuts, which piece, and the offcut used or the board bought."""
_States = dict[_Offcuts, tuple[int, _Step | None]]
"""What it costs to come to a place with these offcuts, and the last step on the way."""
_Found = tuple[int, list[_Step], bool]


def search(
    places: Sequence[JointPlace],
    hoops: Sequence[int],
    stock: Sequence[int],
    clear: int,
    *,
    kerf: int,
    sides: int,
    strict: bool,
) -> Search | None:
    """Return the best layout with joints at these places; None if there is none.

    Parameters
    ----------
    places : sequence of JointPlace
        Both ends of the run, and all places between them, rising.
    hoops, stock : sequences of int
        Steps; lengths of board, longest first.
    clear : int
        The least distance of a joint from a hoop; places nearer than that break the rule.
    kerf, sides : int
    strict : bool
        The rule is kept; otherwise it may be broken, at a cost above all others.
    """
    arcs = _arcs(places, hoops, stock[0], clear, kerf=kerf, strict=strict)
    walk = _Walk(places, arcs, [length + kerf for length in stock], kerf, sides)
    if walk.fewest[0] >= _NO_WAY:
        return None
    rough = walk.run(0, None)
    best = rough
    if rough is None or not rough[2]:
        best = walk.run(_WORK, rough and rough[0]) or rough
    if best is None:
        return None
    return _told(best, walk, kerf)


def _arcs(
    places: Sequence[JointPlace],
    hoops: Sequence[int],
    longest: int,
    clear: int,
    *,
    kerf: int,
    strict: bool,
) -> list[list[_NextJoint]]:
    """From each place every piece that a board is long enough for and the rule allows."""
    last = len(places) - 1
    found = []
    for start, place in enumerate(places):
        row = []
        for to in range(start + 1, last + 1):
            end = places[to]
            length = end.at - place.at
            if length > longest:
                break
            loose = bisect.bisect_left(hoops, place.at) >= bisect.bisect_right(hoops, end.at)
            near = end.clear if end.clear < clear else None
            if strict and loose:
                continue
            cost = _UNEVEN * (length // 160) ** 2 + _BREACH * (loose + (near is not None))
            # A board that crosses no hoop is as bad as two joints on hoops.
            cost += _SHORT * (2 * clear * loose + (0 if near is None else clear - near))
            if to < last:
                cost += _JOINT + _OFF * end.off_middle + _LATE * (places[last].at - end.at)
            row.append(
                _NextJoint(
                    to=to, size=length + kerf, cost=cost,
                    piece=BoardPiece(end=end.at, near=near, loose=loose),
                )
            )  # fmt: skip
        found.append(row)
    return found


class _Walk:
    """States of all places, from the start of the first side to the end of the last."""

    def __init__(
        self,
        places: Sequence[JointPlace],
        arcs: list[list[_NextJoint]],
        rooms: list[int],
        kerf: int,
        sides: int,
    ) -> None:
        self.places, self.arcs, self.rooms, self.kerf = places, arcs, rooms, kerf
        self.sides, self.last = sides, len(places) - 1
        self.fewest = self._fewest_pieces()
        self.exact = True
        between = [a.size for row in arcs[1:] for a in row if a.to < self.last]
        self.least_between = min(between, default=rooms[0] + 1)
        self._sums: dict[frozenset[int], list[int] | None] = {}
        whole = frozenset(arc.size for row in arcs for arc in row)
        later: set[int] = set()
        self._sizes = [whole] * (len(places) * sides)
        for place in reversed(range(self.last)):
            later.update(arc.size for arc in arcs[place])
            self._sizes[(sides - 1) * self.last + place] = frozenset(later)
        self._usable: list[dict[int, int]] = [{} for _ in self._sizes]

    def _fewest_pieces(self) -> list[int]:
        fewest = [_NO_WAY] * self.last + [0]
        for place in reversed(range(self.last)):
            onward = (1 + fewest[arc.to] for arc in self.arcs[place])
            fewest[place] = min(onward, default=_NO_WAY)
        return fewest

    def usable(self, offcut: int, at: int) -> int:
        """The most of an offcut that pieces from a state on can use; 0 for none.

        One step more stands for any rest: the last piece then needs a cut.
        """
        known = self._usable[at]
        most = known.get(offcut)
        if most is None:
            most = known[offcut] = self._most_used(offcut, self._sizes[at])
        return most

    def _most_used(self, offcut: int, sizes: frozenset[int]) -> int:
        if sizes not in self._sums:
            self._sums[sizes] = _sums(sizes, self.rooms[0])
        sums = self._sums[sizes]
        if sums is None:
            return offcut if offcut >= min(sizes) else 0
        most = sums[bisect.bisect_right(sums, offcut) - 1]
        return most if most == offcut or not most else most + 1

    def _useful(self, offcuts: list[int], at: int) -> list[int]:
        """The offcuts that pieces from a state on can use, rising.

        Some are too short for any but the first and the last piece of a side; of those no
        more are kept than there are such pieces still to come.
        """
        usable = sorted(filter(None, (self.usable(offcut, at) for offcut in offcuts)))
        short = bisect.bisect_left(usable, self.least_between)
        side, place = divmod(at, self.last)
        ends = 2 * (self.sides - side) - (place > 0)
        return usable[max(0, short - ends) :]

    def _rest(self, at: int, offcuts: tuple[int, ...]) -> int:
        """What the rest of the way costs at least."""
        side, place = divmod(at, self.last)
        if side == self.sides:
            return 0
        whole = self.places[-1].at - self.places[0].at
        more = self.sides - side - 1
        length = self.places[-1].at - self.places[place].at + more * whole
        boards = max(0, -(-(length - sum(offcuts)) // (self.rooms[0] - self.kerf)))
        joints = self.fewest[place] - 1 + more * (self.fewest[0] - 1)
        return _BOARD * boards + _JOINT * joints + _BOUGHT * boards * (self.rooms[-1] - self.kerf)

    def run(self, work: int, ceiling: int | None) -> _Found | None:
        """Cost, steps, and whether exact; None where nothing costs so little.

        Parameters
        ----------
        work : int
            How many pieces may be tried, beyond those of a few states at each place.
        ceiling : int or None
            No dearer layout is looked for.
        """
        end = self.last * self.sides
        table: list[_States] = [{} for _ in range(end + 1)]
        table[0][()] = (0, None)
        self.exact = True
        for at in range(end):
            onward = 2 * len(self.arcs[at % self.last]) + 1
            width = max(_FIRST_WIDTH, work // ((end - at) * onward))
            states = self._promising(table[at], at, width, ceiling)
            for offcuts, cost in states:
                work -= self._spread(table, at, offcuts, cost)
        if not table[end]:
            return None
        (offcuts, (cost, _)) = min(table[end].items(), key=lambda entry: entry[1][0])
        return cost, _steps(table, end, offcuts), self.exact

    def _promising(
        self, states: _States, at: int, width: int, ceiling: int | None
    ) -> list[tuple[_Offcuts, int]]:
        """So many states that cost least, with what the rest of the way costs at least."""
        ranked = sorted((cost + self._rest(at, off), off) for off, (cost, _) in states.items())
        if ceiling is not None:
            ranked = [entry for entry in ranked if entry[0] <= ceiling]
        if len(ranked) > width:
            self.exact = False
        return [(offcuts, states[offcuts][0]) for _, offcuts in ranked[:width]]

    def _spread(self, table: list[_States], at: int, offcuts: _Offcuts, cost: int) -> int:
        """Lay every piece that can come next; how many that were."""
        side, place = divmod(at, self.last)
        tried = 0
        for arc in self.arcs[place]:
            if self.fewest[arc.to] >= _NO_WAY:
                continue
            to = side * self.last + arc.to
            for number, room in enumerate(offcuts):
                if room >= arc.size and (not number or offcuts[number - 1] != room):
                    left = offcuts[:number] + offcuts[number + 1 :]
                    used: _Step = (at, offcuts, arc, room, None)
                    self._reach(table, to, left, room - arc.size, cost + arc.cost, used)
                    tried += 1
            for room in self.rooms:
                if room >= arc.size:
                    bought: _Step = (at, offcuts, arc, None, room)
                    dearer = cost + arc.cost + _BOARD + _BOUGHT * (room - self.kerf)
                    self._reach(table, to, offcuts, room - arc.size, dearer, bought)
                    tried += 1
        return tried

    def _reach(
        self, table: list[_States], to: int, offcuts: _Offcuts, rest: int, cost: int, step: _Step
    ) -> None:
        if rest:
            cost += _CUT
        kept = [*offcuts, rest]
        kept = self._useful(kept, to) if to < len(table) - 1 else []
        if len(kept) > _MOST_OFFCUTS:
            self.exact = False
            kept = kept[-_MOST_OFFCUTS:]
        state = tuple(kept)
        known = table[to].get(state)
        if known is None or cost < known[0]:
            table[to][state] = (cost, step)


def _sums(sizes: frozenset[int], room: int) -> list[int] | None:
    """Everything that some of the sizes can add up to, rising; None if that is too much."""
    if len(sizes) > _MOST_SIZES:
        return None
    sums, frontier = {0}, {0}
    while frontier:
        frontier = {a + b for a in frontier for b in sizes if a + b <= room} - sums
        sums |= frontier
        if len(sums) > _MOST_SUMS:
            return None
    return sorted(sums)


def _steps(table: list[_States], at: int, offcuts: _Offcuts) -> list[_Step]:
    steps: list[_Step] = []
    while (step := table[at][offcuts][1]) is not None:
        steps.append(step)
        at, offcuts = step[0], step[1]
    return steps[::-1]


def _told(best: _Found, walk: _Walk, kerf: int) -> Search:
    """The layout that the steps make, with the boards themselves in place of what is usable."""
    cost, steps, exact = best
    sides: list[list[BoardPiece]] = [[] for _ in range(walk.sides)]
    boards: list[tuple[int, list[tuple[int, int]]]] = []
    rooms: list[int] = []
    cuts = 0
    for at, _, arc, used, bought in steps:
        side = at // walk.last
        if bought is not None:
            boards.append((bought - kerf, []))
            rooms.append(bought)
            number = len(boards) - 1
        else:
            number = next(n for n, room in enumerate(rooms) if walk.usable(room, at) == used)
        rooms[number] -= arc.size
        cuts += bool(rooms[number])
        boards[number][1].append((side, len(sides[side])))
        sides[side].append(arc.piece)
    return Search(cost=cost, sides=sides, boards=boards, cuts=cuts, proven=exact)
