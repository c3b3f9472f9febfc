"""The true shape of boards with cut ends: where the ends lie, volume, centre, corners.

Glossary
--------
recess : how far behind the longest point of an end a point of its cut lies.
shoulder : the face across the board at which a lap begins.
tongue : what a lap leaves of the depth.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator

import numpy as np

from frame3d.frame.model.bodies import EdgeHole, SawnTimber
from frame3d.frame.model.end_forms import BoardEnd

_SQUARE = BoardEnd()
_NEGLIGIBLE_MM = 1e-6
_Place = Callable[..., float]
"""Where a face across a board lies along it: of a board, up, across and which end."""


def end_x_mm(board: SawnTimber, up_mm: float, across_mm: float, *, at_start: bool) -> float:
    """Where the cut of one end lies along ``board``, at a height and across the thickness.

    Parameters
    ----------
    board : Board
    up_mm, across_mm : float
        Distances from the edge y = 0 and from the face z = 0, mm; beyond the board the
        plane of the cut goes on.
    at_start : bool

    Examples
    --------
    >>> from frame3d.catalog.sections import TimberSection
    >>> section = TimberSection(name="2x4", thickness_mm=38.0, depth_mm=89.0)
    >>> stud = SawnTimber(section=section, length_mm=1000.0, end=BoardEnd(mitre_rad=math.pi / 4))
    >>> round(end_x_mm(stud, 89.0, 0.0, at_start=False), 6)
    911.0
    """
    end = (board.start if at_start else board.end) or _SQUARE
    recess = 0.0
    for angle, from_low, size in (
        (end.mitre_rad, up_mm, board.section.depth_mm),
        (end.bevel_rad, across_mm, board.section.thickness_mm),
    ):
        if angle:
            recess += math.tan(abs(angle)) * (from_low if angle > 0 else size - from_low)
    return recess if at_start else board.length_mm - recess


def shoulder_x_mm(board: SawnTimber, across_mm: float, *, at_start: bool) -> float:
    """Where the shoulder of one end's lap lies along ``board``; at its cut without a lap."""
    end = (board.start if at_start else board.end) or _SQUARE
    cut = end_x_mm(board, 0.0, across_mm, at_start=at_start)
    return cut + end.lap_mm if at_start else cut - end.lap_mm


def tongue_mm(board: SawnTimber, end: BoardEnd | None) -> tuple[float, float]:
    """Between which distances from the edge y = 0 there is wood at an end, mm."""
    depth = board.section.depth_mm
    if end is None or not end.lap_mm:
        return 0.0, depth
    return (0.0, depth - end.lap_depth_mm) if end.lap_from_top else (end.lap_depth_mm, depth)


def short_edges(board: SawnTimber) -> Iterator[tuple[float, float, float, bool]]:
    """Of bevelled ends, the edges of the face that is shorter there.

    Yields
    ------
    along, low, high, near : float, float, float, bool
        The end's cut over the tongue, and with a lap its shoulder over what is cut away, mm;
        whether they lie on the face z = thickness.
    """
    for end, at_start in ((board.start, True), (board.end, False)):
        if end is None or not end.bevel_rad:
            continue
        near = end.bevel_rad > 0
        across = board.section.thickness_mm if near else 0.0
        low, high = tongue_mm(board, end)
        yield end_x_mm(board, 0.0, across, at_start=at_start), low, high, near
        if end.lap_mm:
            shoulder = shoulder_x_mm(board, across, at_start=at_start)
            cut = (0.0, low) if low > _NEGLIGIBLE_MM else (high, board.section.depth_mm)
            yield shoulder, *cut, near


def passed_mm(board: SawnTimber, hole: EdgeHole) -> tuple[float, float]:
    """Between which distances from the edge y = 0 an edge hole passes wood, mm.

    A hole that is wholly in a lap passes the tongue alone, any other the whole depth.
    """
    reach = hole.diameter_mm / 2 - _NEGLIGIBLE_MM
    for at_start, end in ((True, board.start), (False, board.end)):
        if end is None or not end.lap_mm:
            continue
        shoulder = shoulder_x_mm(board, hole.across_mm, at_start=at_start)
        beyond = (shoulder - hole.along_mm) if at_start else (hole.along_mm - shoulder)
        if beyond * math.cos(end.bevel_rad) >= reach:
            return tongue_mm(board, end)
    return 0.0, board.section.depth_mm


def outline_at(board: SawnTimber, across_mm: float) -> list[tuple[float, float]]:
    """The outline across the thickness there, mm, anticlockwise, its cuts and shoulders in it."""
    start, end = (_profile(board, across_mm, at_start=at_start) for at_start in (True, False))
    return [*end, *reversed(start)]


def _profile(board: SawnTimber, across_mm: float, *, at_start: bool) -> list[tuple[float, float]]:
    """The corners of one end, from the edge y = 0 up: its cut, and its shoulder with a lap."""
    depth = board.section.depth_mm
    end = board.start if at_start else board.end
    low, high = tongue_mm(board, end)
    if end is None:
        high = depth = board.depths_mm[0 if at_start else 1]
    found = [(end_x_mm(board, y, across_mm, at_start=at_start), y) for y in (low, high)]
    shoulder = shoulder_x_mm(board, across_mm, at_start=at_start)
    if low > 0:
        found = [(shoulder, 0.0), (shoulder, low), *found]
    if high < depth:
        found += [(shoulder, high), (shoulder, depth)]
    return found


@functools.lru_cache(maxsize=512)
def blocks(board: SawnTimber) -> tuple[np.ndarray, ...]:
    """The convex blocks, overlapping, that ``board`` is made of without its holes.

    Returns
    -------
    tuple of (8, 3) float, mm
        The corners of each, not to be written to; the start before the end, then low
        before high along y, then along z.
    """
    depth = board.section.depth_mm
    lapped = [at for at, end in ((True, board.start), (False, board.end)) if end and end.lap_mm]
    if not lapped:
        return (_block(board, 0.0, board.depths_mm, end_x_mm, end_x_mm),)

    def shoulder(board: SawnTimber, up: float, across: float, *, at_start: bool) -> float:
        del up  # An end with a lap has no mitre.
        return shoulder_x_mm(board, across, at_start=at_start)

    whole = _block(
        board,
        0.0,
        (depth, depth),
        shoulder if True in lapped else end_x_mm,
        shoulder if False in lapped else end_x_mm,
    )
    found = [whole]
    for at_start in lapped:
        end = board.start if at_start else board.end
        # The tongue reaches back to the other end of the whole block, so they overlap.
        other = shoulder if (not at_start) in lapped else end_x_mm
        ends = (end_x_mm, other) if at_start else (other, end_x_mm)
        low, high = tongue_mm(board, end)
        found.append(_block(board, low, (high, high), *ends))
    return tuple(found)


@functools.lru_cache(maxsize=512)
def corners(board: SawnTimber) -> np.ndarray:
    """All true corners of ``board``, (n, 3) float, mm, some of them perhaps twice."""
    found = np.concatenate(blocks(board))
    found.setflags(write=False)
    return found


def board_volume_mm3(board: SawnTimber) -> float:
    """Volume of ``board``, mm³, its holes taken to be clear of each other and the cuts."""
    return math.fsum(volume for volume, _ in _pieces(board))


def board_centre_mm(board: SawnTimber) -> tuple[float, float, float]:
    """Centre of mass of ``board`` in its own axes, mm."""
    pieces = list(_pieces(board))
    total = math.fsum(volume for volume, _ in pieces)
    # From the middle of the whole board, so that what is even stays in the middle exactly.
    x, y, z = (
        middle + math.fsum(volume * (at[k] - middle) for volume, at in pieces) / total
        for k, middle in enumerate(pieces[0][1])
    )
    return (x, y, z)


def _block(
    board: SawnTimber, low: float, high: tuple[float, float], start: _Place, end: _Place
) -> np.ndarray:
    thick = board.section.thickness_mm
    found = np.array(
        [
            (place(board, y, z, at_start=at_start), y, z)
            for place, at_start, top in ((start, True, high[0]), (end, False, high[1]))
            for y in (low, top)
            for z in (0.0, thick)
        ]
    )
    found.setflags(write=False)
    return found


def _pieces(board: SawnTimber) -> Iterator[tuple[float, tuple[float, float, float]]]:
    """Signed volumes, mm³, with their centres, mm: the whole board, then what is cut away."""
    length, depth = board.length_mm, board.section.depth_mm
    thick = board.section.thickness_mm
    yield length * depth * thick, (length / 2, depth / 2, thick / 2)
    # What is ripped off is two triangles.
    first, last = board.depths_mm
    for gone, x, y in (
        (depth - first, length / 3, (first + last + depth) / 3),
        (depth - last, 2 * length / 3, (last + 2 * depth) / 3),
    ):
        if gone:
            yield -length * gone / 2 * thick, (x, y, thick / 2)
    for end, at_start in ((board.start, True), (board.end, False)):
        for volume, (recess, y, z) in _cut_away(end or _SQUARE, depth, thick):
            yield -volume, (recess if at_start else length - recess, y, z)
    for hole in board.holes:
        gone = math.pi / 4 * hole.diameter_mm**2 * thick
        yield -gone, (hole.along_mm, hole.up_mm, thick / 2)
    for edge_hole in board.edge_holes:
        low, high = passed_mm(board, edge_hole)
        gone = math.pi / 4 * edge_hole.diameter_mm**2 * (high - low)
        yield -gone, (edge_hole.along_mm, (low + high) / 2, edge_hole.across_mm)


def _cut_away(
    end: BoardEnd, depth: float, thick: float
) -> Iterator[tuple[float, tuple[float, float, float]]]:
    """Volumes cut away at an end, with their centres by recess, y and z.

    A slanting cut takes a wedge, whose centre lies a third of the way from its thick
    side; a lap then takes a prism with two slanting faces.
    """
    if end.mitre_rad:
        deepest = depth * math.tan(abs(end.mitre_rad))
        y = depth * (2 / 3 if end.mitre_rad > 0 else 1 / 3)
        yield depth * deepest / 2 * thick, (deepest / 3, y, thick / 2)
    deepest = thick * math.tan(abs(end.bevel_rad))
    if deepest:
        z = thick * (2 / 3 if end.bevel_rad > 0 else 1 / 3)
        yield thick * deepest / 2 * depth, (deepest / 3, depth / 2, z)
    if end.lap_mm:
        y = end.lap_depth_mm / 2
        y = depth - y if end.lap_from_top else y
        middle = deepest / 2 + end.lap_mm / 2
        yield end.lap_mm * end.lap_depth_mm * thick, (middle, y, thick / 2)
