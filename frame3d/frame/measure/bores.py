"""Holes as they stand in a part, whatever the part is: where, which way, through what.

Glossary
--------
bore : a hole, as a straight line through the part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.measure.board_measures import passed_mm
from frame3d.frame.measure.tube_measures import radii_at
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.parts import Part
from frame3d.frame.model.pressed import hole_clock_rad
from frame3d.geometry.placement import UP, Vector


class Bore(Struct, frozen=True, kw_only=True):
    """A hole in a part's own axes.

    Parameters
    ----------
    middle : (3,) float, mm
    way : (3,) float
        Unit vector along it.
    diameter_mm : float
    stretches : tuple of (low, high)
        Of material along it, from its middle, mm, rising.
    end_mm : float
        From its centre to the nearest end of a tube, or edge of anything else.
    along_mm : float
        Distance along a tube or a board; 0 for others.
    """

    middle: Vector
    way: Vector
    diameter_mm: float
    stretches: tuple[tuple[float, float], ...]
    end_mm: float
    along_mm: float = 0.0

    @property
    def depth_mm(self) -> float:
        """Of the part along it, from face to face."""
        return self.stretches[-1][1] - self.stretches[0][0]


def bores_of(part: Part) -> tuple[Bore, ...]:
    """Every hole of ``part``, body by body in the order of its holes."""
    return tuple(bore for body in part.bodies for bore in bores_in(body))


def od_at_mm(tube: SweptRing, along_mm: float) -> float:
    """Outside diameter of a tube there, mm: of a swage in it, of the tube in a taper or flat."""
    if isinstance(tube.start, Swage) and along_mm < tube.start.length_mm:
        return tube.start.od_mm
    if isinstance(tube.end, Swage) and along_mm > tube.length_mm - tube.end.length_mm:
        return tube.end.od_mm
    return tube.section.od_mm


def bores_in(body: Body) -> Iterator[Bore]:
    """Every hole of one body."""
    match body:
        case SweptRing():
            yield from _in_tube(body)
        case SawnTimber():
            yield from _in_board(body)
            yield from _in_edge(body)
        case ExtrudedOutline():
            yield from _in_outline(body)
        case TurnedProfile() if body.bore_mm:
            edge = min(radius for radius, _, _ in body.profile)
            yield _along_z(0.0, 0.0, body.bore_mm, (body.low_mm, body.high_mm), edge)
        case SplitRing():
            near, far = body.gap_mm / 2, body.back_mm
            yield Bore(
                middle=(0.0, body.ear_bolt_mm, 0.0), way=UP, diameter_mm=body.bolt.hole_mm,
                stretches=((-far, -near), (near, far)),
                end_mm=min(body.tip_mm - body.ear_bolt_mm, body.width_mm / 2),
            )  # fmt: skip


def _in_tube(tube: SweptRing) -> Iterator[Bore]:
    for hole in tube.holes:
        station, clock = tube.axis.at(hole.at_mm), hole_clock_rad(tube, hole)
        outside, inside = radii_at(tube, hole.at_mm)
        cos, sin = math.cos(clock), math.sin(clock)
        yield Bore(
            middle=(station.x_mm, station.y_mm, 0.0),
            way=(cos * station.normal[0], cos * station.normal[1], sin),
            diameter_mm=hole.diameter_mm,
            stretches=((-outside, -inside), (inside, outside)),
            end_mm=min(hole.at_mm, tube.length_mm - hole.at_mm),
            along_mm=hole.at_mm,
        )


def _in_board(board: SawnTimber) -> Iterator[Bore]:
    deep, thick, long = board.section.depth_mm, board.section.thickness_mm, board.length_mm
    for hole in board.holes:
        x, y = hole.along_mm, hole.up_mm
        edge = min(x, long - x, y, deep - y)
        yield _along_z(x, y, hole.diameter_mm, (0.0, thick), edge, along_mm=x)


def _in_edge(board: SawnTimber) -> Iterator[Bore]:
    thick, long = board.section.thickness_mm, board.length_mm
    for hole in board.edge_holes:
        low, high = passed_mm(board, hole)
        x, z, half = hole.along_mm, hole.across_mm, (high - low) / 2
        yield Bore(
            middle=(x, (low + high) / 2, z), way=(0.0, 1.0, 0.0), diameter_mm=hole.diameter_mm,
            stretches=((-half, half),), end_mm=min(x, long - x, z, thick - z), along_mm=x,
        )  # fmt: skip


def _in_outline(body: ExtrudedOutline) -> Iterator[Bore]:
    corners = body.outline
    sides = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    for x, y, diameter in body.holes:
        edge = min(_from_edge(x, y, *corner, *after) for corner, after in sides)
        yield _along_z(x, y, diameter, (body.low_mm, body.high_mm), edge)


def _along_z(
    x: float, y: float, diameter_mm: float, span: tuple[float, float], end_mm: float,
    along_mm: float = 0.0,
) -> Bore:  # fmt: skip
    middle, half = (span[0] + span[1]) / 2, (span[1] - span[0]) / 2
    return Bore(
        middle=(x, y, middle), way=UP, diameter_mm=diameter_mm, stretches=((-half, half),),
        end_mm=end_mm, along_mm=along_mm,
    )  # fmt: skip


def _from_edge(x: float, y: float, ax: float, ay: float, bx: float, by: float) -> float:
    """Distance of a point from a straight edge in a plane, mm."""
    wx, wy = bx - ax, by - ay
    share = ((x - ax) * wx + (y - ay) * wy) / (wx * wx + wy * wy)
    share = min(max(share, 0.0), 1.0)
    return math.hypot(x - ax - share * wx, y - ay - share * wy)
