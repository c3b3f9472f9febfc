"""Holes as they stand in a part, whatever the part is: where, which way, how deep.

Glossary
--------
bore : a hole, as a straight line through the part.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.frame.model.end_forms import Flat, Swage
from frame3d.frame.model.parts import Board, ClampHalf, Hole, Part, Plate, Tube
from frame3d.geometry.placement import Vector


class Bore(Struct, frozen=True, kw_only=True):
    """A hole in a part's own axes.

    Parameters
    ----------
    middle : (3,) float, mm
    way : (3,) float
        Unit vector along it.
    diameter_mm : float
    depth_mm : float
        Of the part along it, from face to face.
    end_mm : float
        From its centre to the nearest end of a tube, or edge of a board, plate.
    along_mm : float
        Distance along a tube or a board; 0 for others.
    """

    middle: Vector
    way: Vector
    diameter_mm: float
    depth_mm: float
    end_mm: float
    along_mm: float = 0.0


def bores_of(part: Part) -> tuple[Bore, ...]:
    """Every hole of ``part``; none for bolts, nuts, washers and screws."""
    if isinstance(part, Tube):
        return tuple(_in_tube(part, hole) for hole in part.holes)
    if isinstance(part, Board):
        return (*_in_board(part), *_in_edge(part))
    if isinstance(part, Plate):
        return tuple(_in_plate(part, hole) for hole in part.holes)
    if isinstance(part, ClampHalf):
        back = part.gap_mm / 2 + part.band_mm
        tip = part.tube_od_mm / 2 + part.band_mm + part.ear_mm
        return (
            Bore(
                middle=(0.0, part.ear_bolt_mm, 0.0),
                way=(0.0, 0.0, 1.0),
                diameter_mm=part.bolt.hole_mm,
                depth_mm=2 * back,
                end_mm=min(tip - part.ear_bolt_mm, part.width_mm / 2),
            ),
        )
    return ()


def od_at_mm(tube: Tube, along_mm: float) -> float:
    """Outside diameter of a tube there, mm: of a swage in it, of the tube in a taper or flat."""
    if isinstance(tube.start, Swage) and along_mm < tube.start.length_mm:
        return tube.start.od_mm
    if isinstance(tube.end, Swage) and along_mm > tube.length_mm - tube.end.length_mm:
        return tube.end.od_mm
    return tube.section.od_mm


def _in_tube(tube: Tube, hole: Hole) -> Bore:
    station = tube.axis.at(hole.at_mm)
    cos, sin = math.cos(hole.clock_rad), math.sin(hole.clock_rad)
    nx, ny = station.normal
    depth = od_at_mm(tube, hole.at_mm)
    for form, distance in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(form, Flat) and distance < form.length_mm:
            depth = 2 * tube.section.wall_mm
    return Bore(
        middle=(station.x_mm, station.y_mm, 0.0),
        way=(cos * nx, cos * ny, sin),
        diameter_mm=hole.diameter_mm,
        depth_mm=depth,
        end_mm=min(hole.at_mm, tube.length_mm - hole.at_mm),
        along_mm=hole.at_mm,
    )


def _in_board(board: Board) -> list[Bore]:
    deep, thick = board.section.depth_mm, board.section.thickness_mm
    return [
        Bore(
            middle=(hole.along_mm, hole.up_mm, thick / 2),
            way=(0.0, 0.0, 1.0),
            diameter_mm=hole.diameter_mm,
            depth_mm=thick,
            end_mm=min(
                hole.along_mm, board.length_mm - hole.along_mm, hole.up_mm, deep - hole.up_mm
            ),
            along_mm=hole.along_mm,
        )
        for hole in board.holes
    ]


def _in_edge(board: Board) -> list[Bore]:
    thick, found = board.section.thickness_mm, []
    for hole in board.edge_holes:
        low, high = 0.0, board.section.depth_mm
        for end, at in ((board.start, hole.along_mm), (board.end, board.length_mm - hole.along_mm)):
            if end and end.lap_mm and at < end.lap_mm:
                low, high = (
                    (0.0, high - end.lap_depth_mm) if end.lap_from_top else (end.lap_depth_mm, high)
                )
        across = min(hole.across_mm, thick - hole.across_mm)
        found.append(
            Bore(
                middle=(hole.along_mm, (low + high) / 2, hole.across_mm),
                way=(0.0, 1.0, 0.0),
                diameter_mm=hole.diameter_mm,
                depth_mm=high - low,
                end_mm=min(hole.along_mm, board.length_mm - hole.along_mm, across),
                along_mm=hole.along_mm,
            )
        )
    return found


def _in_plate(plate: Plate, hole: tuple[float, float, float]) -> Bore:
    x, y, diameter = hole
    corners = plate.outline
    edge = min(
        _from_edge(x, y, *corner, *after)
        for corner, after in zip(corners, (*corners[1:], corners[0]), strict=True)
    )
    return Bore(
        middle=(x, y, plate.thickness_mm / 2),
        way=(0.0, 0.0, 1.0),
        diameter_mm=diameter,
        depth_mm=plate.thickness_mm,
        end_mm=edge,
    )


def _from_edge(x: float, y: float, ax: float, ay: float, bx: float, by: float) -> float:
    """Distance of a point from a straight edge in a plane, mm."""
    wx, wy = bx - ax, by - ay
    share = ((x - ax) * wx + (y - ay) * wy) / (wx * wx + wy * wy)
    share = min(max(share, 0.0), 1.0)
    return math.hypot(x - ax - share * wx, y - ay - share * wy)


__all__ = ["Bore", "bores_of", "od_at_mm"]
