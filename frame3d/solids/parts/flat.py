"""Boards, plates and hexagons as solids: an outline with its holes, raised.

A board with a bevelled end is no such prism: it is made from its corners, and laps and
holes are cut out of it. So are edge holes out of any board.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from msgspec.structs import replace
from OCP.TopoDS import TopoDS_Shape

from frame3d.errors import SolidError
from frame3d.frame.measure.board_measures import (
    blocks,
    end_x_mm,
    outline_at,
    passed_mm,
    shoulder_x_mm,
    tongue_mm,
)
from frame3d.frame.model.bodies import EdgeHole, ExtrudedOutline, SawnTimber
from frame3d.geometry.placement import Vector
from frame3d.solids.kernel import kernel
from frame3d.solids.kernel.shells import closed

_BEYOND_MM = 1.0
"""How far what is cut with reaches beyond a board."""

_FACES = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
"""The faces of a block by the numbers of its corners, as :func:`blocks` orders them."""


def board_shape(board: SawnTimber) -> TopoDS_Shape:
    """The shape of ``board`` in its own axes, unchecked.

    Raises
    ------
    SolidError
        If its ends leave nothing of it, or an edge hole does not lie on it.
    """
    _refuse(board)
    thick = board.section.thickness_mm
    holes = [(hole.along_mm, hole.up_mm, hole.diameter_mm) for hole in board.holes]
    tools = [_edge_bore(board, hole) for hole in board.edge_holes]
    if not any(end and end.bevel_rad for end in (board.start, board.end)):
        body = _prism(outline_at(board, 0.0), holes, 0.0, thick)
        return kernel.cut(body, tools) if tools else body
    body, laps = _bevelled(board)
    tools += laps
    _refuse_overlaps(holes)
    for x, y, diameter in holes:
        base, height = (x, y, -_BEYOND_MM), thick + 2 * _BEYOND_MM
        tools.append(kernel.cylinder(base, (0, 0, 1), diameter / 2, height))
    return kernel.cut(body, tools) if tools else body


def extruded_shape(body: ExtrudedOutline) -> TopoDS_Shape:
    """The shape of ``body`` in its part's own axes, unchecked."""
    return _prism(body.outline, body.holes, body.low_mm, body.high_mm)


def _refuse(board: SawnTimber) -> None:
    """Refuse ends that leave no wood, and edge holes beside the board."""
    depth, thick = board.section.depth_mm, board.section.thickness_mm
    laps = [0.0, 0.0]
    for number, end in enumerate((board.start, board.end)):
        if end is None:
            continue
        laps[number] = end.lap_mm
        if end.lap_mm and not 0 < end.lap_depth_mm < depth:
            raise SolidError(
                f"a lap of {end.lap_depth_mm} mm leaves nothing of a depth of {depth} mm; "
                "take less away"
            )
        if not max(abs(end.mitre_rad), abs(end.bevel_rad)) < math.pi / 2:
            raise SolidError("an end is cut along the board, not across it; cut it less steeply")
    for up, across in ((y, z) for y in (0.0, depth) for z in (0.0, thick)):
        low = end_x_mm(board, up, across, at_start=True) + laps[0]
        high = end_x_mm(board, up, across, at_start=False) - laps[1]
        if not low < high:
            raise SolidError(
                f"the two ends cut on a board of {board.length_mm} mm meet; make it longer or "
                "cut them less"
            )
    for hole in board.edge_holes:
        if not (0 < hole.along_mm < board.length_mm and 0 < hole.across_mm < thick):
            raise SolidError(
                f"an edge hole {hole.along_mm} mm along and {hole.across_mm} mm across is not on "
                f"a board of {board.length_mm} mm by {thick} mm"
            )


def _refuse_overlaps(holes: Sequence[tuple[float, float, float]]) -> None:
    """Refuse holes that run into each other."""
    for (x, y, diameter), (u, v, other) in itertools.combinations(holes, 2):
        if math.hypot(x - u, y - v) < (diameter + other) / 2:
            raise SolidError(
                f"the holes at {x}, {y} mm and {u}, {v} mm run into each other; drill them "
                "farther apart"
            )


def _bevelled(board: SawnTimber) -> tuple[TopoDS_Shape, list[TopoDS_Shape]]:
    """A board with its slanting ends, and the blocks that its laps take away."""
    ends = [end and replace(end, lap_mm=0.0, lap_depth_mm=0.0) for end in (board.start, board.end)]
    whole = replace(board, start=ends[0], end=ends[1], holes=(), edge_holes=())
    body = _block([(float(x), float(y), float(z)) for x, y, z in blocks(whole)[0]])
    laps = [
        _lap(board, at_start=at_start)
        for at_start, end in ((True, board.start), (False, board.end))
        if end and end.lap_mm
    ]
    return body, laps


def _lap(board: SawnTimber, *, at_start: bool) -> TopoDS_Shape:
    """What a lap takes away, and a little more on the three sides that are open."""
    depth, thick = board.section.depth_mm, board.section.thickness_mm
    low, high = tongue_mm(board, board.start if at_start else board.end)
    up = (high, depth + _BEYOND_MM) if high < depth else (-_BEYOND_MM, low)
    outward = -_BEYOND_MM if at_start else _BEYOND_MM
    across = (-_BEYOND_MM, thick + _BEYOND_MM)
    sides = [
        [end_x_mm(board, 0.0, z, at_start=at_start) + outward for z in across],
        [shoulder_x_mm(board, z, at_start=at_start) for z in across],
    ]
    if not at_start:
        sides.reverse()
    return _block([(side[k], y, z) for side in sides for y in up for k, z in enumerate(across)])


def _edge_bore(board: SawnTimber, hole: EdgeHole) -> TopoDS_Shape:
    """The bar that takes an edge hole out of what it passes."""
    low, high = passed_mm(board, hole)
    base = (hole.along_mm, low - _BEYOND_MM, hole.across_mm)
    return kernel.cylinder(base, (0, 1, 0), hole.diameter_mm / 2, high - low + 2 * _BEYOND_MM)


def _block(corners: Sequence[Vector]) -> TopoDS_Shape:
    """The solid between eight corners."""
    return closed([kernel.flat_face(kernel.polygon([corners[k] for k in face])) for face in _FACES])


def _prism(
    outline: Sequence[tuple[float, float]],
    holes: Iterable[tuple[float, float, float]],
    low_mm: float,
    high_mm: float,
) -> TopoDS_Shape:
    """The outline raised between two heights, with holes given as x, y and diameter, mm.

    The holes are openings of the face that is raised: that costs nothing, and a
    hole that overlaps another or the edge makes a solid that fails its check.
    """
    holes = list(holes)
    _refuse_overlaps(holes)
    edge = kernel.polygon([(x, y, low_mm) for x, y in outline])
    openings = [
        kernel.circle((x, y, low_mm), (0, 0, 1), (1, 0, 0), diameter / 2)
        for x, y, diameter in holes
    ]
    return kernel.raised(kernel.flat_face(edge, openings), high_mm - low_mm)
