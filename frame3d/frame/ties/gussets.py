"""Gusset plates: flat plates on the side of a hoop that tubes beside it are bolted to.

All in one plane square to the tunnel: plates lie on the faces of the hoops, tubes on
the plates. Seen along the tunnel, x counts from the middle inward-out and z is height.

Glossary
--------
node : where the axes of the tubes on a plate meet.
row : the bolts of one tube on a plate, in line along its axis.
setback : distance from the node to the end of a tube that stops short of it.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.placement import Placement, Vector

PLATE_MM = 5.0
"""Thickness of a gusset plate (common practice, no source)."""
_NAME = "gusset plate"

Flat = tuple[float, float]


class BoltRow(Struct, frozen=True, kw_only=True):
    """The bolts of one tube on a plate.

    Parameters
    ----------
    direction : (x, z)
        Unit vector along the tube, x toward the middle of the tunnel.
    at_mm : tuple of float
        Distances of the bolts from the node.
    od_mm : float
        Of the tube.
    is_hoop : bool
        True for the hoop, or whatever else lies on the other face of the plate.
    """

    direction: Flat
    at_mm: tuple[float, ...]
    od_mm: float
    is_hoop: bool = False

    def points(self) -> list[Flat]:
        """The bolts, from the node."""
        return [(s * self.direction[0], s * self.direction[1]) for s in self.at_mm]


def edge_mm(plan: LayoutContext) -> float:
    """From the centre of a hole to the edge of a plate or the end of a tube, mm: two holes."""
    return 2.0 * plan.fasteners.hex.hole_mm


def pitch_mm(plan: LayoutContext) -> float:
    """Between the centres of two bolts of a row, mm: three holes."""
    return 3.0 * plan.fasteners.hex.hole_mm


def gusset_plate(plan: LayoutContext, rows: tuple[BoltRow, ...]) -> Plate:
    """The plate for ``rows``: the smallest convex shape with enough steel round each hole.

    Own axes: the node at the origin, x toward the middle of the tunnel, y up.
    """
    edge, corners = edge_mm(plan), []
    for row in rows:
        ux, uz = row.direction
        wide = max(edge, row.od_mm / 2)
        for s in (min(row.at_mm) - edge, max(row.at_mm) + edge):
            corners += [(s * ux - w * uz, s * uz + w * ux) for w in (-wide, wide)]
    holes = tuple((x, y, plan.fasteners.hex.hole_mm) for row in rows for x, y in row.points())
    return Plate(name=_NAME, outline=_hull(corners), thickness_mm=PLATE_MM, holes=holes)


def _hull(points: list[Flat]) -> tuple[Flat, ...]:
    """The convex hull, anticlockwise (Andrew's monotone chain)."""
    ordered = sorted(set(points))

    def chain(row: list[Flat]) -> list[Flat]:
        kept: list[Flat] = []
        for x, y in row:
            while len(kept) > 1:
                (ax, ay), (bx, by) = kept[-2:]
                # Corners less than a hundredth of a millimetre off a line are none.
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.01 * math.dist((ax, ay), (x, y)):
                    break
                kept.pop()
            kept.append((x, y))
        return kept[:-1]

    return tuple(chain(ordered) + chain(ordered[::-1]))


def gusset(
    plan: LayoutContext,
    plate: Plate,
    rows: tuple[BoltRow, ...],
    held: tuple[Place, ...],
    *,
    node: Flat,
    side: Side,
    number: int,
    way: float,
    where: str,
    order: int = 1,
    behind: tuple[float, float] | None = None,
) -> list[UnmarkedMember]:
    """The plate in its place on hoop ``number``, with all its bolts.

    Parameters
    ----------
    held : tuple of Place
        At the node, on what each of ``rows`` goes through besides the plate.
    node : (x, z)
        In the frame's axes, mm.
    side : Side
        The right side has the plate turned over.
    way : float
        +1 or -1: the face of the hoop it lies on, along Y.
    behind : (y, od), mm, or None
        Axis and diameter of the tube whose face it lies on; None for the hoop.
    """
    mirror = -1.0 if side is Side.RIGHT else 1.0
    y_hoop, hoop_od = behind or (plan.grid.hoop_y_mm[number - 1], plan.design.hoop.tube.od_mm)
    face = y_hoop + way * hoop_od / 2
    # The plate's thickness runs along -Y on the left and +Y on the right.
    thick_way = -mirror
    start = face if thick_way == way else face + way * PLATE_MM
    spot = Spot(side=side, hoop=number, order=order)
    placement = Placement.of(
        origin=(node[0], start, node[1]), x=(mirror, 0.0, 0.0), y=(0.0, 0.0, 1.0)
    )
    run = RunName(Role.GUSSET, number, (where, side, order))
    drafts = [
        UnmarkedMember(
            role=run.role, part=plate, placement=placement, spot=spot, stretches=(Stretch(run),)
        )
    ]
    for row, tube in zip(rows, held, strict=True):
        for x, z in row.points():
            seat_y, direction = _seat(row, y_hoop, face, way)
            seat: Vector = (node[0] + mirror * x, seat_y, node[1] + z)
            drafts += bolt_up(
                plan.fasteners,
                plan.fasteners.hex,
                seat=seat,
                direction=direction,
                thickness_mm=row.od_mm + PLATE_MM,
                spot=spot,
                where=where,
                joins=(tube, Place(run)),
                plane_mm=row.od_mm,
            )
    return drafts


def _seat(row: BoltRow, y_hoop: float, face: float, way: float) -> tuple[float, Vector]:
    """Where a bolt of ``row`` enters along Y, and the way that it goes."""
    if row.is_hoop:
        return y_hoop - way * row.od_mm / 2, (0.0, way, 0.0)
    return face + way * (PLATE_MM + row.od_mm), (0.0, -way, 0.0)
