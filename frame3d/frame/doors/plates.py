"""Flat plates of brackets: laid along the frame's axes, and held to what is behind them.

A bracket that is an angle is drawn as its two flat legs, which touch: it is bent from one
plate, or two are welded to each other.

Glossary
--------
upright plate : lies on the face of a wall, seen whole from outside.
cross plate : stands square to the wall, along the tunnel.
level plate : lies level.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.catalog.flat_bars import flat_bar_widths_mm
from frame3d.catalog.sections import BoltSize
from frame3d.design.tables.whole_design import FastenerSystem
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.splices import screw_at
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.board_turns import coarse_mm
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role, Spot
from frame3d.frame.model.snapping import snap_mm
from frame3d.geometry.placement import Placement, Vector, vector

Corner = tuple[float, float]
Bore = tuple[float, float, float]

LAG_HOLE_MM = 7.0
"""For a lag screw of 1/4 in or 6 mm."""
SCREW_HOLE_MM = 6.5
_EDGE = 1.5
_WAYS = (1.0, -1.0)
_OTHERS = ((1, 2), (0, 2), (0, 1))
_AXES: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class BracketPlace(Struct, frozen=True, kw_only=True):
    """A place on an end wall where brackets are made: depths are into the tunnel, mm."""

    wall: Wall
    spot: Spot
    role: Role = Role.BRACKET

    def upright(
        self, name: str, x: Corner, z: Corner, back_mm: float, holes: Sequence[Bore] = ()
    ) -> UnmarkedMember:
        """A plate whose back lies at a depth; holes by X, height, diameter."""
        ys = self._ys(back_mm - self.wall.plan.plate_mm, back_mm)
        return slab(self.role, name, 1, _rectangle(x, z), ys, self.spot, holes)

    def level(
        self, name: str, x: Corner, depth: Corner, z: Corner, holes: Sequence[Bore] = ()
    ) -> UnmarkedMember:
        """A level plate between two heights; holes by X, depth, diameter."""
        return self.plan(name, _rectangle(x, depth), z, holes)

    def plan(
        self, name: str, corners: Sequence[Corner], z: Corner, holes: Sequence[Bore] = ()
    ) -> UnmarkedMember:
        """As :meth:`level`, with its corners by X and depth."""
        holes = [(u, self.wall.y(v), d) for u, v, d in holes]
        outline = [(x, self.wall.y(depth)) for x, depth in corners]
        return slab(self.role, name, 2, outline, z, self.spot, holes)

    def cross(
        self, name: str, x: Corner, corners: Sequence[Corner], holes: Sequence[Bore] = ()
    ) -> UnmarkedMember:
        """A plate square to the wall, its corners and holes by depth and height."""
        outline = [(self.wall.y(depth), z) for depth, z in corners]
        holes = [(self.wall.y(u), v, d) for u, v, d in holes]
        return slab(self.role, name, 0, outline, x, self.spot, holes)

    def bolt(
        self,
        seat: Vector,
        direction: Vector,
        thickness_mm: float,
        joins: tuple[Place, ...],
        *,
        plane_mm: float | None = None,
    ) -> list[UnmarkedMember]:
        """A bolt of the size of the clamps' through ``joins``, with washers and nut."""
        fasteners = self.wall.plan.fasteners
        return bolt_up(
            fasteners,
            fasteners.clamp,
            seat=seat,
            direction=direction,
            thickness_mm=thickness_mm,
            spot=self.spot,
            where="hardware.system",
            joins=joins,
            plane_mm=plane_mm,
        )

    def screw(self, seat: Vector, direction: Vector, joins: tuple[Place, ...]) -> UnmarkedMember:
        """A self-drilling screw through a bored plate into a tube: ``joins``."""
        return screw_at(self.wall.plan, seat, direction, self.spot, joins)

    def held(
        self,
        x_mm: float,
        z_mm: float,
        back_mm: float,
        into_mm: float,
        joins: tuple[Place, Place],
    ) -> list[UnmarkedMember]:
        """What holds an upright plate: a lag screw into timber, or a bolt through a tube.

        ``joins`` are the plate and what is behind it.
        """
        wall = self.wall
        seat = (x_mm, wall.y(back_mm - wall.plan.plate_mm), z_mm)
        if wall.is_timber:
            return lag_into(
                wall.plan,
                seat,
                wall.across(1.0),
                wall.plan.plate_mm,
                into_mm,
                self.spot,
                f"{wall.where}.timber",
                joins,
            )
        thick = wall.plan.plate_mm + wall.spec.tube.od_mm
        return self.bolt(seat, wall.across(1.0), thick, joins, plane_mm=wall.plan.plate_mm)

    @property
    def hole_mm(self) -> float:
        """Diameter of the holes for what :meth:`held` gives."""
        return LAG_HOLE_MM if self.wall.is_timber else self.wall.plan.fasteners.clamp.hole_mm

    def _ys(self, low_mm: float, high_mm: float) -> Corner:
        low, high = sorted((self.wall.y(low_mm), self.wall.y(high_mm)))
        return low, high


def strap_half_mm(wall: Wall, bolt: BoltSize) -> float:
    """Half the width of a strap with a hole for ``bolt`` in its middle, mm: that of the flat bar.

    Where the middle of the hole would lie nearer to an edge than 1.5 holes, as the checks ask, it
    is half the next width that is stocked, or as much as it takes.
    """
    least, usual = 2 * _EDGE * bolt.hole_mm, 2 * wall.plan.bar_half_mm
    is_inch = wall.plan.design.hardware.system is FastenerSystem.INCH
    fit = [wide for wide in flat_bar_widths_mm(is_inch=is_inch) if wide >= least]
    return (usual if usual >= least else min(fit, default=math.ceil(least))) / 2


def slab(
    role: Role,
    name: str,
    axis: int,
    outline: Sequence[Corner],
    ends: Corner,
    spot: Spot,
    holes: Sequence[Bore] = (),
) -> UnmarkedMember:
    """A plate square to one of the frame's axes.

    A plate that is turned over or end for end is the same plate: of the four ways to lay it,
    the one whose numbers come first is taken.

    Parameters
    ----------
    axis : int
        0, 1 or 2: the plate is square to X, Y or Z; its corners are given in the other two,
        in the order of the alphabet.
    outline : sequence of (float, float), mm
    ends : (float, float), mm
        Where it begins and ends along that axis.
    holes : sequence of (float, float, float), mm
        In the same two, with the diameter.
    """
    first, second = _OTHERS[axis]
    low, high = min(ends), max(ends)
    u0, v0 = min(u for u, _ in outline), min(v for _, v in outline)
    part, one, two = _plate(
        name,
        tuple([(snap_mm(u - u0), snap_mm(v - v0)) for u, v in outline]),
        tuple([(snap_mm(u - u0), snap_mm(v - v0), d) for u, v, d in holes]),
        snap_mm(high - low),
    )
    origin = [0.0, 0.0, 0.0]
    origin[first] = u0 if one > 0 else max(u for u, _ in outline)
    origin[second] = v0 if two > 0 else max(v for _, v in outline)
    # x cross y is along the axis, but for X and Z, whose product looks along -Y.
    sense = one * two * (-1.0 if axis == 1 else 1.0)
    origin[axis] = low if sense > 0 else high
    placement = Placement.of(
        origin=vector(*origin),
        x=vector(*(one * c for c in _AXES[first])),
        y=vector(*(two * c for c in _AXES[second])),
    )
    run = RunName(role, spot.hoop, (name, *origin))
    return UnmarkedMember(
        role=role, part=part, placement=placement, spot=spot, stretches=(Stretch(run),)
    )


# Kept, since the brackets of a door are made alike, and alike in the next frame.
@functools.lru_cache(maxsize=512)
def _plate(
    name: str, outline: tuple[Corner, ...], holes: tuple[Bore, ...], thick_mm: float
) -> tuple[Plate, float, float]:
    """The plate, and whether its own x and y run with (1) or against (-1) those it is given in.

    Corners and holes are measured from the lowest of both.
    """
    size = max(u for u, _ in outline), max(v for _, v in outline)
    laid = [(_laid(outline, holes, size, one, two), one, two) for one in _WAYS for two in _WAYS]
    (corners, bores), one, two = min(laid, key=lambda way: _order(*way[0]))
    return Plate(name=name, thickness_mm=thick_mm, outline=corners, holes=bores), one, two


def _laid(
    outline: tuple[Corner, ...], holes: tuple[Bore, ...], size: Corner, one: float, two: float
) -> tuple[tuple[Corner, ...], tuple[Bore, ...]]:
    """Corners and holes in the plate's own axes, which run with or against the frame's."""
    from_u, from_v = 0.0 if one > 0 else size[0], 0.0 if two > 0 else size[1]
    corners = [(one * (u - from_u), two * (v - from_v)) for u, v in outline]
    if _area(corners) < 0:
        corners.reverse()
    coarse = [(coarse_mm(u), coarse_mm(v)) for u, v in corners]
    start = coarse.index(min(coarse))
    bores = tuple((one * (u - from_u), two * (v - from_v), d) for u, v, d in holes)
    return (*corners[start:], *corners[:start]), bores


def _order(
    corners: Sequence[Corner], bores: Sequence[Bore]
) -> tuple[list[tuple[int, int]], list[tuple[int, int, int]]]:
    """What comes first, by numbers so coarse that rounding does not decide."""
    return (
        [(coarse_mm(u), coarse_mm(v)) for u, v in corners],
        sorted((coarse_mm(u), coarse_mm(v), coarse_mm(d)) for u, v, d in bores),
    )


def _area(corners: Sequence[Corner]) -> float:
    after = (*corners[1:], corners[0])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, after, strict=True)) / 2


def _rectangle(u: Corner, v: Corner) -> tuple[Corner, ...]:
    return ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1]))
