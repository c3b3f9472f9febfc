"""Nodes and bars from axes and what connects them."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct

from frame3d.frame.model.roles import Role
from frame3d.loads.model.axis import TubeAxis
from frame3d.loads.model.boards import BoardEnd, Boards
from frame3d.loads.model.connections import (
    HUB_MM,
    TURNING_N_MM,
    Connections,
    Overlap,
    Spot,
    hub_point,
)
from frame3d.loads.solver.structure import Array

ARC_MM = 200.0
"""The longest bar in a bend."""
STRAIGHT_MM = 650.0
"""The longest bar of a straight tube."""
GROUND_MM = 200.0
"""The longest bar of a socket in the ground, which springs hold at its nodes."""
_ONE_MM = 3.0
"""Places on a tube that are nearer than this are one."""
_COVERED = (Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)


class Piece(Struct, frozen=True, kw_only=True):
    """A bar of a tube: between two nodes, of one section.

    ``bears_cover`` tells that the cover lies on it: parts of hoops above ground, each stretch once.
    """

    axis: int
    start: int
    end: int
    from_mm: float
    to_mm: float
    od_mm: float
    wall_mm: float
    bears_cover: bool


class MeshLink(Struct, frozen=True):
    """A short bar: its nodes, the diameter of the round bar that it is, mm, and what turns it.

    ``turning_n_mm`` holds it against turning about itself, N·mm/rad; None as stiff as it is round.
    """

    start: int
    end: int
    diameter_mm: float
    turning_n_mm: float | None


class Mesh(Struct, frozen=True, kw_only=True):
    """The nodes and bars of a frame, before they are arrays.

    Parameters
    ----------
    nodes : (n, 3) float, mm
    pieces : tuple of Piece
    links : tuple of MeshLink
    timbers : tuple of (int, int, int)
        Nodes of each bar of a board, and the number of the board.
    node_at : callable
        The node at a spot.
    """

    nodes: Array
    pieces: tuple[Piece, ...]
    links: tuple[MeshLink, ...]
    timbers: tuple[tuple[int, int, int], ...]
    node_at: Callable[[Spot], int]


class _Stations:
    """The places along one axis where something is, those very near each other as one."""

    def __init__(self, axis: TubeAxis, wanted: list[float]) -> None:
        self.at: list[float] = [0.0]
        for at in sorted([*wanted, axis.length_mm]):
            if at - self.at[-1] > _ONE_MM:
                self.at.append(at)
        if axis.length_mm - self.at[-1] > 1e-9:
            self.at[-1] = axis.length_mm  # the end itself stays where it is

    def place(self, at_mm: float) -> int:
        """The number of the place that is nearest."""
        after = bisect.bisect_left(self.at, at_mm)
        near = [k for k in (after - 1, after) if 0 <= k < len(self.at)]
        return min(near, key=lambda k: abs(self.at[k] - at_mm))


class _Nodes:
    """Points that are made one by one, some of which turn out to be the same."""

    def __init__(self) -> None:
        self.points: list[Array] = []
        self._same: list[int] = []

    def new(self, point: Array) -> int:
        self.points.append(point)
        self._same.append(len(self._same))
        return len(self._same) - 1

    def of(self, number: int) -> int:
        while self._same[number] != number:
            number = self._same[number] = self._same[self._same[number]]
        return number

    def join(self, first: int, second: int) -> None:
        """Two nodes are one, in the place of the second."""
        first, second = self.of(first), self.of(second)
        if first != second:
            self._same[first] = second


def mesh_of(found: Connections, boards: Boards, *, finer: int = 1) -> Mesh:
    """The bars of all axes, ``finer`` times as many as are needed, and of ``boards``."""
    wanted = _wanted(found)
    for held in boards.links:
        if not isinstance(held.second, BoardEnd):
            wanted[held.second[0]].append(held.second[1])
    shared = [*found.shared, *(pair for lap in found.overlaps for pair in _within(lap, wanted))]
    for first, second in shared:
        for number, at in (first, second):
            wanted[number].append(at)
    nodes = _Nodes()
    stations = [_Stations(axis, wanted[k]) for k, axis in enumerate(found.axes)]
    numbers = [
        [nodes.new(axis.point(at)) for at in stations[k].at] for k, axis in enumerate(found.axes)
    ]

    def raw(spot: Spot) -> int:
        return numbers[spot[0]][stations[spot[0]].place(spot[1])]

    for first, second in shared:
        nodes.join(raw(first), raw(second))
    links: list[MeshLink] = []
    for link in found.links:
        ends = raw(link.first), raw(link.second)
        if np.linalg.norm(nodes.points[nodes.of(ends[0])] - nodes.points[nodes.of(ends[1])]) < 1.0:
            nodes.join(*ends)
        else:
            turning = TURNING_N_MM if link.turns else None
            links.append(MeshLink(*ends, link.diameter_mm, turning))
    for hub in found.hubs:
        middle = nodes.new(hub_point(hub))
        links += [MeshLink(raw(spot), middle, HUB_MM, None) for spot in dict.fromkeys(hub.spots)]
    timbers = _timbers(boards, nodes, raw, links)
    pieces = list(_pieces(found, stations, numbers, nodes, finer))
    return _numbered(nodes, pieces, links, timbers, raw)


def _timbers(
    boards: Boards, nodes: _Nodes, raw: Callable[[Spot], int], links: list[MeshLink]
) -> list[tuple[int, int, int]]:
    """The bars of boards, between the places where they are held; their links go to ``links``."""
    made: dict[BoardEnd, int] = {}
    bars = []
    for number in range(len(boards.members)):
        ends = [BoardEnd(number, at) for at in boards.places(number)]
        made |= {end: nodes.new(boards.point(end)) for end in ends}
        bars += [(made[a], made[b], number) for a, b in itertools.pairwise(ends)]
    for held in boards.links:
        other = made[held.second] if isinstance(held.second, BoardEnd) else raw(held.second)
        links.append(MeshLink(other, made[held.first], held.diameter_mm, held.turning_n_mm))
    return bars


def _wanted(found: Connections) -> list[list[float]]:
    """Where along each axis a node has to be: joints, ends of overlaps and bends, the ground."""
    wanted: list[list[float]] = [[] for _ in found.axes]
    for link in found.links:
        for number, at in (link.first, link.second):
            wanted[number].append(at)
    for number, at in itertools.chain.from_iterable(hub.spots for hub in found.hubs):
        wanted[number].append(at)
    for number, axis in enumerate(found.axes):
        wanted[number] += [at for _, at, _ in axis.bends[:-1]]
        if axis.member.role is Role.SOCKET:
            top, bottom = axis.point(0.0)[2], axis.point(axis.length_mm)[2]
            if top * bottom < 0:
                wanted[number].append(axis.length_mm * top / (top - bottom))
    return wanted


def _within(lap: Overlap, wanted: list[list[float]]) -> list[tuple[Spot, Spot]]:
    """Where a tube in a tube is held to it between the ends of the two, as pairs of spots.

    At every place where either has a node, and so near each other that no other is needed: two
    nodes in one place that are not one would be a trap for other programs.
    """
    (outer_0, inner_0), (outer_1, inner_1) = lap.pairs[0], lap.pairs[-1]
    steps = math.ceil(abs(outer_1 - outer_0) / ARC_MM)
    shares = {k / steps for k in range(1, steps)}
    for number, low, high in ((lap.outer, outer_0, outer_1), (lap.inner, inner_0, inner_1)):
        shares |= {(at - low) / (high - low) for at in wanted[number]}
    return [
        ((lap.outer, outer_0 + share * (outer_1 - outer_0)),
         (lap.inner, inner_0 + share * (inner_1 - inner_0)))
        for share in sorted(shares) if 1e-9 < share < 1 - 1e-9
    ]  # fmt: skip


def _pieces(
    found: Connections,
    stations: list[_Stations],
    numbers: list[list[int]],
    nodes: _Nodes,
    finer: int,
) -> Iterator[Piece]:
    covered: dict[int, list[tuple[float, float]]] = {}
    for lap in found.overlaps:
        covered.setdefault(lap.inner, []).append(lap.inner_mm)
    for k, axis in enumerate(found.axes):
        for (low, first), (high, second) in itertools.pairwise(
            zip(stations[k].at, numbers[k], strict=True)
        ):
            if nodes.of(first) == nodes.of(second):
                continue
            middle = (low + high) / 2
            count = finer * _count(axis, middle, high - low)
            inside = [low + (high - low) * n / count for n in range(1, count)]
            chain = [first, *(nodes.new(axis.point(at)) for at in inside), second]
            ends = [low, *inside, high]
            hidden = any(a - 1 < middle < b + 1 for a, b in covered.get(k, ()))
            for at, (start, end) in enumerate(itertools.pairwise(chain)):
                here = (ends[at] + ends[at + 1]) / 2
                od_mm, wall_mm = axis.size_at(here)
                yield Piece(
                    axis=k, start=start, end=end, from_mm=ends[at], to_mm=ends[at + 1],
                    od_mm=od_mm, wall_mm=wall_mm,
                    bears_cover=axis.member.role in _COVERED and not hidden
                    and axis.point(here)[2] > 0,
                )  # fmt: skip


def _count(axis: TubeAxis, at_mm: float, length_mm: float) -> int:
    """How many bars a stretch takes; in the ground an even number, for springs over two each."""
    if any(bent and low <= at_mm <= high for low, high, bent in axis.bends):
        return math.ceil(length_mm / ARC_MM - 1e-9)
    if axis.member.role is Role.SOCKET and axis.point(at_mm)[2] < 0:
        return 2 * math.ceil(length_mm / (2 * GROUND_MM) - 1e-9)
    return math.ceil(length_mm / STRAIGHT_MM - 1e-9)


def _numbered(
    nodes: _Nodes,
    pieces: list[Piece],
    links: list[MeshLink],
    timbers: list[tuple[int, int, int]],
    raw: Callable[[Spot], int],
) -> Mesh:
    """The mesh with its nodes numbered as bars use them."""
    number: dict[int, int] = {}

    def at(node: int) -> int:
        return number.setdefault(nodes.of(node), len(number))

    made = tuple(
        Piece(
            axis=p.axis, start=at(p.start), end=at(p.end), from_mm=p.from_mm, to_mm=p.to_mm,
            od_mm=p.od_mm, wall_mm=p.wall_mm, bears_cover=p.bears_cover,
        )
        for p in pieces
    )  # fmt: skip
    joined = tuple(
        MeshLink(at(one.start), at(one.end), one.diameter_mm, one.turning_n_mm) for one in links
    )
    boards = tuple((at(a), at(b), board) for a, b, board in timbers)
    points = np.array([nodes.points[node] for node in number])
    return Mesh(
        nodes=points, pieces=made, links=joined, timbers=boards,
        node_at=lambda spot: number[nodes.of(raw(spot))],
    )  # fmt: skip
