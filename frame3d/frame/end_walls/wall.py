"""An end wall in its place: where its plane is, and where the hoop's curve passes over it.

Glossary
--------
depth into the tunnel : distance inward from the plane of the end hoop's centreline;
    negative outside.
under, over : the inner and the outer face of the hoop, seen along the tunnel.
upright : a stud, a jamb or a cripple.
cripple : a short stud above a door.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.ends import LEAST_IN_NOTCH_MM
from frame3d.design.tables.whole_design import (
    End,
    EndWall,
    Fixing,
    RailPlace,
    StudFoot,
    StudMaterial,
    StudTop,
)
from frame3d.errors import ArchError, DesignError
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.clamps import WIDTH_MM, axis_distance_mm, reach_across
from frame3d.frame.model.end_forms import flat_width_mm
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext
from frame3d.frame.model.roles import Side
from frame3d.frame.sides.bracing import clamp_places
from frame3d.frame.sides.rails import RailLine
from frame3d.frame.ties.truss import Truss
from frame3d.geometry.arch.arch_curve import (
    HalfCurve,
    distance_at_height,
    height_at_x,
    reach_at_heading,
)

STEEPEST_RAD = math.radians(62)
"""The steepest slope of the hoop under which an upright may end (common practice, no source)."""
SHORTEST_MM = 300.0
"""An upright shorter than this is left out (common practice, no source)."""
_ROOM_MM = 10.0
_UNDER_FILM_MM = 3.0
_UNDER_HOOP_MM = 5.0
_STEP_MM = 10.0
_HAIR_MM = 1e-9
"""A flat tube is round again only so far below the hoop, to clear its inner face."""
_LEAST_EDGE = 1.2
"""Least distance from the middle of a bolt's hole to an edge, in diameters of the hole
(EN 1993-1-8, table 3.3, from memory)."""


class Wall(Struct, frozen=True, kw_only=True):
    """An end wall with what all its members need.

    Parameters
    ----------
    plan : LayoutContext
    spec : EndWall
    where : str
        The section of the design that it comes from.
    end : End
    under, over : HalfCurve
        The hoop's inner and outer face.
    lines : tuple of RailLine
    ridge : RidgeEnd or None
    tied_mm : tuple of float
        Distances from the leg end at which ties and webs meet the next hoop.
    tie_heights_mm : tuple of float
        Heights of the ties on the next hoop.
    """

    plan: LayoutContext
    spec: EndWall
    where: str
    end: End
    under: HalfCurve
    over: HalfCurve
    lines: tuple[RailLine, ...]
    ridge: RidgeEnd | None
    tied_mm: tuple[float, ...] = ()
    tie_heights_mm: tuple[float, ...] = ()

    @property
    def hoop(self) -> int:
        """Number of the end hoop."""
        return 1 if self.end is End.FRONT else len(self.plan.grid.hoop_y_mm)

    @property
    def way(self) -> float:
        """+1 or -1: the direction along Y into the tunnel."""
        return 1.0 if self.end is End.FRONT else -1.0

    @property
    def hoop_od_mm(self) -> float:
        """Diameter of the hoop tube, mm."""
        return self.plan.design.hoop.tube.od_mm

    @property
    def is_timber(self) -> bool:
        """True when the uprights are boards."""
        return self.spec.studs is StudMaterial.TIMBER

    @property
    def upright_mm(self) -> float:
        """Width of an upright across the tunnel, mm."""
        return self.spec.timber.thickness_mm if self.is_timber else self.spec.tube.od_mm

    def y(self, depth_mm: float) -> float:
        """Y of a depth into the tunnel, mm."""
        return self.plan.grid.hoop_y_mm[self.hoop - 1] + self.way * depth_mm

    def across(self, depth_mm: float) -> tuple[float, float, float]:
        """A vector of ``depth_mm`` into the tunnel."""
        return (0.0, self.way * depth_mm, 0.0)

    @property
    def front_mm(self) -> float:
        """Depth of the outer face of the uprights, mm."""
        if self.is_timber:
            notched = self.spec.stud_top is StudTop.NOTCHED
            return (-1.0 if notched else 1.0) * self.hoop_od_mm / 2
        return self.axis_mm - self.spec.tube.od_mm / 2

    @property
    def back_mm(self) -> float:
        """Depth of the inner face of the uprights, mm."""
        if self.is_timber:
            return self.front_mm + self.spec.timber.depth_mm
        return self.axis_mm + self.spec.tube.od_mm / 2

    @property
    def axis_mm(self) -> float:
        """Depth of the axes of tube uprights, mm."""
        if self.is_flattened:
            return self.hoop_od_mm / 2 + self.spec.tube.wall_mm
        return axis_distance_mm(self.hoop_od_mm, self.spec.tube.od_mm)

    @property
    def girt_axis_mm(self) -> float:
        """Depth of the axes of tube girts and headers, mm: outside clamped studs, else inside."""
        distance = axis_distance_mm(self.spec.tube.od_mm, self.spec.tube.od_mm)
        outside = self.spec.stud_top is StudTop.CLAMPED
        return self.axis_mm + (-distance if outside else distance)

    def z_under(self, x_mm: float) -> float:
        """Height of the hoop's inner face at ``x_mm``, mm."""
        return height_at_x(self.under, x_mm)

    def z_over(self, x_mm: float) -> float:
        """Height of the hoop's outer face at ``x_mm``, mm."""
        return height_at_x(self.over, x_mm)

    def hoop_at(self, x_mm: float) -> tuple[Side, float, HoopPoint]:
        """The hoop above ``x_mm``: side, distance from that leg end, and the point itself."""
        side = Side.LEFT if x_mm < 0 else Side.RIGHT
        at_mm = self.plan.arch.distance_at_x(x_mm) + self.plan.line.below_mm
        point = self.plan.line.at(side, at_mm).at_y(self.y(0.0))
        return side, at_mm, point

    @property
    def is_flattened(self) -> bool:
        """True when the uprights are tubes whose tops are pressed flat."""
        return self.spec.stud_top is StudTop.FLATTENED

    @property
    def least_grip_mm(self) -> float:
        """The least that :meth:`tube_room` may be, mm."""
        return _LEAST_EDGE * self.plan.fasteners.hex.hole_mm if self.is_flattened else 7.0

    def flat_cut(self, x_mm: float) -> tuple[float, float]:
        """How the flat top of a tube upright at ``x_mm`` is cut, clear of the cover.

        Along the chord of the hoop's outer face over the width of the flat.

        Returns
        -------
        height : float
            Of the cut at the upright's axis, mm.
        slope : float
            Of the cut, rad: positive where it rises toward +X.
        """
        half = flat_width_mm(self.spec.tube) / 2
        left, right = self.z_over(x_mm - half), self.z_over(x_mm + half)
        slope = math.atan2(right - left, 2 * half)
        return (left + right) / 2 - _UNDER_FILM_MM / math.cos(slope), slope

    def flat_foot(self, x_mm: float) -> float:
        """Height at which the flat top of a tube upright begins, below the hoop, mm."""
        half = max(flat_width_mm(self.spec.tube), self.spec.tube.od_mm) / 2
        return min(self.z_under(x_mm - half), self.z_under(x_mm + half)) - _UNDER_HOOP_MM

    @property
    def transition_mm(self) -> float:
        """Length over which the tube of an upright becomes flat, mm."""
        return 1.5 * self.spec.tube.od_mm

    def whole_to(self, x_mm: float) -> float:
        """Height up to which an upright at ``x_mm`` is whole: below the hoop, and round, mm."""
        half = self.upright_mm / 2
        under = min(self.z_under(x_mm - half), self.z_under(x_mm + half))
        return self.flat_foot(x_mm) - self.transition_mm if self.is_flattened else under

    def tube_room(self, x_mm: float) -> float:
        """How far a tube upright can reach past the hoop's axis, clear of the cover, mm.

        Of one that is pressed flat: how far the middle of its hole can be from its end,
        measured square to the slanting cut.
        """
        height = self.hoop_at(x_mm)[2].point[2]
        if self.is_flattened:
            top, slope = self.flat_cut(x_mm)
            return (top - height) * math.cos(slope)
        half = self.spec.tube.od_mm / 2
        return min(self.z_over(x_mm - half), self.z_over(x_mm + half)) - _UNDER_FILM_MM - height

    def farthest_x(self, least_height_mm: float = 0.0) -> float:
        """Farthest place from the middle at which an upright may stand, mm.

        Parameters
        ----------
        least_height_mm : float
            The hoop's inner face must be as high over the whole width of it.
        """
        half = self.upright_mm / 2
        outer = min(
            reach_at_heading(self.under, STEEPEST_RAD), self.half_width_under(least_height_mm)
        )
        edge = -self.under.x_mm - max(half, self.spec.tube.od_mm)
        # Just inside of it, so that rounding does not decide what is asked of this place next.
        low, high = 0.0, min(edge, outer - half) - _HAIR_MM
        if high <= low:
            return low
        # Under the point of a gothic hoop a flat may find no hold, and beside it well enough.
        while not self._holds(low):
            low += _STEP_MM
            if low >= high:
                return 0.0
        if self._holds(high):
            return high
        while high - low > _HAIR_MM:
            middle = (low + high) / 2
            low, high = (middle, high) if self._holds(middle) else (low, middle)
        return low

    def _holds(self, x_mm: float) -> bool:
        """True where the hoop leaves a tube upright enough to be held by."""
        return self.is_timber or self.tube_room(x_mm) >= self.least_grip_mm

    def half_width_under(self, z_mm: float) -> float:
        """Half the clear width under the hoop at a height, mm; 0 above it."""
        if z_mm >= self.z_under(0.0):
            return 0.0
        if z_mm <= self.under.z_mm:
            return -self.under.x_mm
        distance = distance_at_height(self.under, z_mm)
        return min(max(0.0, -self.under.point_at(distance).x_mm), -self.under.x_mm)

    def barred(self) -> tuple[tuple[float, float], ...]:
        """Stretches across the tunnel where no upright can meet the hoop, mm, rising.

        There lie the ridge joint, and the rails with what holds them.
        """
        half = max(self.upright_mm, WIDTH_MM) / 2 + _ROOM_MM
        found = []
        if self.ridge is not None:
            x = -self.plan.line.at(Side.LEFT, self.ridge.clear_from_mm).point[0]
            found.append((-x - half, x + half))
        for line in self.lines:
            centre = line.hoop.point[0] + line.toward[0] * line.distance_mm
            reach = max(WIDTH_MM, line.rail.tube.od_mm) / 2 + half
            ends = (centre - reach, centre + reach)
            hoop = line.hoop.point[0]
            if line.rail.at is not RailPlace.RIDGE:
                ends = (min(ends[0], hoop - reach), max(ends[1], hoop + reach))
            found.append(ends)
        return tuple(sorted(found))

    def kept_clear(self) -> tuple[tuple[float, float], ...]:
        """:meth:`barred`, with all that couplers on the end hoop take up, mm, rising.

        What is placed here and not given in the design stands clear of them.
        """
        half = max(self.upright_mm, WIDTH_MM) / 2 + _ROOM_MM
        held = [
            (line.hoop, line.distance_mm, line.rail.tube.od_mm)
            for line in self.lines
            if line.rail.fixing is Fixing.CLAMPED
        ]
        held += [
            (place, axis_distance_mm(self.hoop_od_mm, od_mm), od_mm)
            for place, od_mm in clamp_places(self.plan, self.hoop)
        ]
        found = [reach_across(place, self.hoop_od_mm, off, od) for place, off, od in held]
        # Pressed flat, a stud's end is wider than its tube.
        flat = flat_width_mm(self.spec.tube) / 2 + _ROOM_MM if self.is_flattened else 0.0
        wider = max(0.0, flat - half)
        return tuple(sorted((
            *((low - wider, high + wider) for low, high in self.barred()),
            *((low - half - wider, high + half + wider) for low, high in found),
        )))  # fmt: skip


def make_walls(
    plan: LayoutContext,
    lines: tuple[RailLine, ...],
    ridge: RidgeEnd | None,
    made: tuple[Truss, ...],
) -> tuple[Wall, ...]:
    """The end walls of the design, front first.

    Raises
    ------
    DesignError
        If two are for the same end, or a notch leaves too little of the timber.
    """
    walls: dict[End, Wall] = {}
    for index, spec in enumerate(plan.design.end_wall, start=1):
        where = f"end_wall[{index}]"
        for end in spec.at.each:
            if end in walls:
                raise DesignError(
                    f"the {end.value} end already has a wall, {walls[end].where}; remove "
                    "one, or change at",
                    f"{where}.at",
                )
            walls[end] = Wall(
                plan=plan,
                spec=spec,
                where=where,
                end=end,
                lines=lines,
                ridge=ridge,
                tied_mm=_tied(plan, end, made),
                tie_heights_mm=_tie_heights(plan, end, made),
                **_faces(plan, where),
            )
        _check_timber(plan, spec, where)
    return tuple(walls[end] for end in End if end in walls)


def _next_trusses(plan: LayoutContext, end: End, made: tuple[Truss, ...]) -> list[Truss]:
    """The trusses of the hoop next to an end."""
    hoop = 2 if end is End.FRONT else len(plan.grid.hoop_y_mm) - 1
    return [truss for truss in made if hoop in truss.hoops]


def _tied(plan: LayoutContext, end: End, made: tuple[Truss, ...]) -> tuple[float, ...]:
    """Where ties and webs meet the hoop next to an end."""
    return tuple(
        at
        for truss in _next_trusses(plan, end, made)
        for at in (truss.node_mm, truss.web_at_mm)
        if at is not None
    )


def _tie_heights(plan: LayoutContext, end: End, made: tuple[Truss, ...]) -> tuple[float, ...]:
    return tuple(truss.tie.height for truss in _next_trusses(plan, end, made))


def _faces(plan: LayoutContext, where: str) -> dict[str, HalfCurve]:
    radius = plan.design.hoop.tube.od_mm / 2
    try:
        return {"under": plan.arch.half_offset(radius), "over": plan.arch.half_offset(-radius)}
    except ArchError:
        raise DesignError(
            "no stud can be cut to this hoop: its curve cannot be offset by "
            f"{plan.say(radius)} to both sides; use straight legs or a larger radius",
            where,
        ) from None


def _check_timber(plan: LayoutContext, spec: EndWall, where: str) -> None:
    say, od_mm = plan.say, plan.design.hoop.tube.od_mm
    if spec.studs is StudMaterial.TUBE:
        return
    left = spec.timber.depth_mm - od_mm
    if spec.stud_top is StudTop.NOTCHED and left < LEAST_IN_NOTCH_MM:
        raise DesignError(
            f"a notch round a hoop of {say(od_mm)} leaves {say(max(left, 0.0))} of a stud "
            f"{say(spec.timber.depth_mm)} deep and needs {say(LEAST_IN_NOTCH_MM)}; use "
            'deeper lumber, or set top = "bolted"',
            f"{where}.timber",
        )
    if spec.stud_foot is StudFoot.SILL and spec.sill.depth_mm < spec.timber.depth_mm:
        raise DesignError(
            f"a sill {say(spec.sill.depth_mm)} wide is narrower than the studs on it, "
            f"{say(spec.timber.depth_mm)} deep; use wider lumber",
            f"{where}.sill",
        )
