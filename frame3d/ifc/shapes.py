"""Bodies of parts as solids of IFC."""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.frame.measure.board_measures import end_x_mm, outline_at, shoulder_x_mm, tongue_mm
from frame3d.frame.measure.bores import bores_in
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.geometry.placement import Placement, add
from frame3d.ifc.solids import Item, Solids
from frame3d.ifc.tubes import tube_items

_BEYOND_MM = 1.0
_EDGEWAYS = Placement(x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0))
"""For outlines along a board and through its thickness, drawn out against its depth."""


def items_of(solids: Solids, body: Body) -> Iterator[Item]:
    """The solids that ``body`` is, in its part's own axes."""
    match body:
        case SweptRing():
            yield from tube_items(solids, body)
        case SawnTimber():
            yield _board(solids, body)
        case ExtrudedOutline():
            corners = [(x, y, 0.0) for x, y in body.outline]
            area = solids.outline(corners, body.holes)
            yield solids.raised(area, _at_height(body.low_mm), body.high_mm - body.low_mm)
        case TurnedProfile():
            yield _turned(solids, body)
        case SplitRing():
            yield _split_ring(solids, body)


def _at_height(low_mm: float) -> Placement:
    return Placement(origin=(0.0, 0.0, low_mm))


def _turned(solids: Solids, body: TurnedProfile) -> Item:
    inside = body.bore_mm / 2
    (radius, _, bulge), *others = body.profile
    if len(body.profile) == 2 and not bulge and others[0][0] == radius:
        area = solids.disc(radius, inside)
        return solids.raised(area, _at_height(body.low_mm), body.high_mm - body.low_mm)
    corners = [*body.profile[:-1], (*body.profile[-1][:2], 0.0)]
    back = [(inside, body.high_mm, 0.0), (inside, body.low_mm, 0.0)]
    # An outline that meets the axis, or its bore, has a corner there already.
    if corners[-1][:2] == back[0][:2]:
        back = back[1:]
    if corners[0][:2] == back[-1][:2]:
        back = back[:-1]
    upright = Placement(x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0))
    return solids.turned(solids.outline([*corners, *back]), upright)


def _board(solids: Solids, board: SawnTimber) -> Item:
    thick = board.section.thickness_mm
    bevelled = any(end and end.bevel_rad for end in (board.start, board.end))
    if bevelled:
        item = _bevelled(solids, board)
    else:
        corners = [(x, y, 0.0) for x, y in outline_at(board, 0.0)]
        holes = [(hole.along_mm, hole.up_mm, hole.diameter_mm) for hole in board.holes]
        item = solids.raised(solids.outline(corners, holes), Placement(), thick)
    gone = []
    for bore in bores_in(board):
        if bevelled or not bore.way[2]:
            reach = bore.depth_mm / 2 + _BEYOND_MM
            start = add(bore.middle, bore.way, -reach)
            gone.append(solids.bar(start, bore.way, bore.diameter_mm, 2 * reach))
    return solids.less(item, *gone)


def _bevelled(solids: Solids, board: SawnTimber) -> Item:
    """The outline along and through the board, as deep as it is; then a mitre and laps off."""
    depth, thick = board.section.depth_mm, board.section.thickness_mm
    starts, ends = (
        [end_x_mm(board, 0.0, z, at_start=at_start) for z in (0.0, thick)]
        for at_start in (True, False)
    )
    mitres = []
    for at_start, end, xs in ((True, board.start, starts), (False, board.end, ends)):
        if end and end.mitre_rad:
            other = end_x_mm(board, depth, 0.0, at_start=at_start)
            mitres.append((at_start, xs[0], end.mitre_rad))
            xs[:] = [(min if at_start else max)(xs[0], other)] * 2
    area = solids.outline(((starts[0], 0.0, 0.0), (ends[0], 0.0, 0.0),
                           (ends[1], thick, 0.0), (starts[1], thick, 0.0)))  # fmt: skip
    item = solids.raised(area, _edgeways(depth), depth)
    for at_start, x, angle in mitres:
        way = -1.0 if at_start else 1.0
        beyond = (way * math.cos(angle), math.sin(angle), 0.0)
        item = solids.cut_off(item, (x, 0.0, 0.0), beyond)
    laps = [
        _lap(solids, board, at_start)
        for at_start, end in ((True, board.start), (False, board.end))
        if end and end.lap_mm
    ]
    return solids.less(item, *laps)


def _edgeways(up_mm: float) -> Placement:
    return Placement(origin=(0.0, up_mm, 0.0), x=_EDGEWAYS.x, y=_EDGEWAYS.y, z=_EDGEWAYS.z)


def _lap(solids: Solids, board: SawnTimber, at_start: bool) -> Item:
    """What a lap takes away, and a little more on the sides that are open."""
    depth, thick = board.section.depth_mm, board.section.thickness_mm
    low, high = tongue_mm(board, board.start if at_start else board.end)
    bottom, top = (high, depth + _BEYOND_MM) if high < depth else (-_BEYOND_MM, low)
    outward = -_BEYOND_MM if at_start else _BEYOND_MM
    across = (-_BEYOND_MM, thick + _BEYOND_MM)
    cuts = [(end_x_mm(board, 0.0, z, at_start=at_start) + outward, z, 0.0) for z in across]
    shoulders = [(shoulder_x_mm(board, z, at_start=at_start), z, 0.0) for z in across]
    left, right = (cuts, shoulders) if at_start else (shoulders, cuts)
    area = solids.outline((left[0], right[0], right[1], left[1]))
    return solids.raised(area, _edgeways(top), top - bottom)


def _split_ring(solids: Solids, half: SplitRing) -> Item:
    """Ring, ears and boss in one, without the tube, the split and the hole for the bolt."""
    inside, wide, outside, tip = half.tube_od_mm / 2, half.width_mm / 2, half.ring_mm, half.tip_mm
    slit, back, ends = half.gap_mm / 2, half.back_mm, (half.boss_diameter_mm / 2 + 1)
    reach = max(wide, ends) + _BEYOND_MM
    along, up = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)
    ring = solids.bar((-wide, 0.0, 0.0), along, 2 * outside, half.width_mm)
    ears = _box(solids, (-wide, 0.0, -back), (wide, tip, back))
    boss = solids.bar((0.0, 0.0, 0.0), up, half.boss_diameter_mm, half.face_mm)
    bore = solids.bar((-reach, 0.0, 0.0), along, 2 * inside, 2 * reach)
    split = _box(solids, (-reach, 0.0, -slit), (reach, tip + _BEYOND_MM, slit))
    low = -back - _BEYOND_MM
    hole = solids.bar((0.0, half.ear_bolt_mm, low), up, half.bolt.hole_mm, -2 * low)
    return solids.less(solids.with_added(ring, ears, boss), bore, split, hole)


def _box(solids: Solids, low: tuple[float, float, float], high: tuple[float, float, float]) -> Item:
    (x0, y0, z0), (x1, y1, z1) = low, high
    area = solids.outline(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)))
    return solids.raised(area, _at_height(z0), z1 - z0)
