"""Rails: lines of tube that tie the hoops at their spacing, and what holds them.

Glossary
--------
rail line : one rail from end to end; it is made of numbered pieces.
face : the side of the hoops, inside or outside, that the rail lies on.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from frame3d.design.tables.whole_design import Face, Fixing, Rail, RailPlace
from frame3d.errors import ArchError, DesignError, present
from frame3d.frame.hoops.repeating import at_hoop
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.clamps import WIDTH_MM, axis_distance_mm, coupler
from frame3d.frame.joining.splices import TAPER_MM, screw_at, swage_into
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Swage, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.sides.rail_joints import RailRun, rail_pieces
from frame3d.geometry.paths import NEGLIGIBLE_MM, Line, PlanePath
from frame3d.geometry.placement import ALONG, Placement, Vector, add

ROOM_MM = 10.0
_BESIDE_MM = 30.0
"""Left free between a joint and the next hoop, besides the rail's diameter (common practice, no
source)."""
_PAST_HOLE = 2.0
"""A joint's swage stays this many diameters clear of another bolt's hole (common practice)."""


class RailLine(Struct, frozen=True, kw_only=True):
    """A rail line in its place.

    Parameters
    ----------
    rail : Rail
    where : str
        The field of the design that it comes from, for example ``rail[2]``.
    side : Side
    number : int
        Counts all rail lines, from 0; neighbours have their joints in different bays.
    at_mm : float
        Distance along the hoop from the leg end.
    hoop : HoopPoint
        There, on the first hoop; ``inward`` points from the hoop toward the rail
        for a rail inside.
    hoop_od_mm : float
        Of the tube that it lies on: the hoop's, or the ridge sleeve's.
    role : Role
    also_bored : tuple of (float, float)
        Holes besides those at hoops: where along the tunnel, mm, and their clock angle, rad.
    """

    rail: Rail
    where: str
    side: Side
    number: int
    at_mm: float
    hoop: HoopPoint
    hoop_od_mm: float
    role: Role = Role.RAIL
    also_bored: tuple[tuple[float, float], ...] = ()

    @property
    def run(self) -> RunName:
        """The name of the line."""
        return RunName(self.role, None, (self.where, self.side))

    @property
    def toward(self) -> Vector:
        """Unit vector from the hoop's centreline to the rail's."""
        if self.rail.face is Face.INSIDE:
            return self.hoop.inward
        x, y, z = self.hoop.inward
        return (-x, -y, -z)

    @property
    def centre(self) -> Vector:
        """A point of its centreline, in the plane of the first hoop."""
        return add(self.hoop.point, self.toward, self.distance_mm)

    @property
    def distance_mm(self) -> float:
        """Between the two centrelines."""
        if self.rail.fixing is Fixing.CLAMPED:
            return axis_distance_mm(self.hoop_od_mm, self.rail.tube.od_mm)
        return (self.hoop_od_mm + self.rail.tube.od_mm) / 2


def is_ridge_bolted(plan: LayoutContext) -> bool:
    """True when a ridge rail is bolted through the ridge."""
    return any(r.at is RailPlace.RIDGE and r.fixing is Fixing.BOLTED for r in plan.design.rail)


def rail_lines(plan: LayoutContext, end: RidgeEnd | None) -> tuple[RailLine, ...]:
    """Every rail line in its place.

    Raises
    ------
    DesignError
        If a rail lies above the ridge, or a second one under it.
    """
    lines: list[RailLine] = []
    for index, rail in enumerate(plan.design.rail, start=1):
        where = f"rail[{index}]"
        if rail.at is RailPlace.RIDGE:
            if any(line.rail.at is RailPlace.RIDGE for line in lines):
                raise DesignError("there is already a ridge rail; remove one", where)
            lines.append(_ridge_line(plan, rail, where, len(lines), end))
            continue
        at_mm = _side_distance(plan, rail, where)
        for side in (Side.LEFT, Side.RIGHT):
            lines.append(
                RailLine(
                    rail=rail,
                    where=where,
                    side=side,
                    number=len(lines),
                    at_mm=at_mm,
                    hoop=plan.line.at(side, at_mm),
                    hoop_od_mm=plan.design.hoop.tube.od_mm,
                )
            )
    return tuple(lines)


def _side_distance(plan: LayoutContext, rail: Rail, where: str) -> float:
    if rail.fraction is not None:
        return plan.arch.distance_at_fraction(rail.fraction) + plan.line.below_mm
    height = present(rail.height, "height of a rail")
    try:
        return plan.height_to_distance(height)
    except ArchError:
        raise DesignError(
            f"{plan.say(height)} is above the ridge at "
            f"{plan.say(plan.arch.ridge_height_mm)}; make it lower",
            f"{where}.height",
        ) from None


def _ridge_line(
    plan: LayoutContext, rail: Rail, where: str, number: int, end: RidgeEnd | None
) -> RailLine:
    half, od_mm = plan.line.half.length_mm, plan.design.hoop.tube.od_mm
    at_mm, side = half, Side.MIDDLE
    hoop = plan.line.at(Side.LEFT, half)
    if end is not None and rail.fixing is Fixing.CLAMPED:
        # Beside the joint, on the left half: a clamp cannot sit on the joint itself.
        at_mm, side = end.clear_from_mm - WIDTH_MM / 2 - ROOM_MM, Side.LEFT
        hoop = plan.line.at(Side.LEFT, at_mm)
    elif end is not None:
        if isinstance(end.joint, Tube):
            od_mm = end.joint.section.od_mm
        hoop = HoopPoint(
            point=(0.0, 0.0, end.crown_z_mm), along=(1.0, 0.0, 0.0), inward=(0.0, 0.0, -1.0)
        )
    return RailLine(
        rail=rail, where=where, side=side, number=number, at_mm=at_mm, hoop=hoop, hoop_od_mm=od_mm
    )


def taken_mm(line: RailLine) -> float:
    """Half the stretch of hoop that a rail line takes up, mm."""
    if line.rail.fixing is Fixing.CLAMPED:
        return max(WIDTH_MM, line.rail.tube.od_mm) / 2 + ROOM_MM
    return line.rail.tube.od_mm / 2 + ROOM_MM


def check_rails(plan: LayoutContext, lines: tuple[RailLine, ...], end: RidgeEnd | None) -> None:
    """Refuse rail lines that lie off the free part of the hoop, or on each other.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    low = plan.design.socket.insertion
    half = plan.line.half.length_mm
    high = end.clear_from_mm if end is not None else half
    kept: list[RailLine] = []
    for line in lines:
        if line.side is Side.RIGHT:
            continue
        reach = taken_mm(line)
        field = f"{line.where}.{'height' if line.rail.height is not None else 'fraction'}"
        if line.rail.at is RailPlace.RIDGE:
            field = line.where
        elif line.at_mm - reach < low:
            raise DesignError(
                "the rail is at or below the socket top, "
                f"{plan.say(plan.design.socket.exposed)} up; move it higher",
                field,
            )
        elif line.at_mm + reach > high:
            raise DesignError("the rail hits the ridge joint; move it lower", field)
        for other in kept:
            if abs(other.at_mm - line.at_mm) < reach + taken_mm(other) - NEGLIGIBLE_MM:
                raise DesignError(
                    f"it is {plan.say(abs(other.at_mm - line.at_mm))} along the hoop from "
                    f"{other.where}; keep them at least "
                    f"{plan.say.least(reach + taken_mm(other))} apart",
                    field,
                )
        kept.append(line)


def hoop_holes(
    plan: LayoutContext, lines: tuple[RailLine, ...]
) -> tuple[tuple[Hole, ...], tuple[Hole, ...]]:
    """Holes that the rails need: in each half, and at the crown of a quonset hoop."""
    size = plan.fasteners.hex.hole_mm
    sides = tuple(
        Hole(at_mm=line.at_mm, diameter_mm=size)
        for line in lines
        if line.side is Side.LEFT and line.rail.fixing is Fixing.BOLTED
    )
    crown = tuple(
        Hole(at_mm=line.at_mm, diameter_mm=size)
        for line in lines
        if line.side is Side.MIDDLE and line.rail.fixing is Fixing.BOLTED and not plan.is_gothic
    )
    return sides, crown


def stretches(lines: tuple[RailLine, ...]) -> tuple[KeptClear, ...]:
    """What each rail line takes up of a half, by distance from its leg end."""
    return tuple(
        KeptClear.around(line.at_mm, taken_mm(line))
        for line in lines
        if line.side is not Side.RIGHT
    )


def rail_members(
    plan: LayoutContext, line: RailLine, ties: dict[int, Vector]
) -> list[UnmarkedMember]:
    """A rail line with its joints, bolts and couplers.

    Parameters
    ----------
    ties : dict of int to (3,) float
        For each hoop with a tie near the rail, the way to it from there.
    """
    return [*_pieces(plan, line), *_holds(plan, line, ties)]


def _pieces(plan: LayoutContext, line: RailLine) -> list[UnmarkedMember]:
    rail, spacing = line.rail, min(plan.grid.bays_mm)
    spans = _spans(plan, line)
    if spans is None:
        raise DesignError(
            f"{plan.say(rail.stock_length)} tube does not reach from mid-bay to mid-bay "
            f"with a {plan.say(rail.overlap)} swage; use stock of at least "
            f"{plan.say.least(1.5 * spacing + rail.overhang + rail.overlap)}",
            f"{line.where}.stock_length",
        )
    most = spacing / 2 - rail.tube.od_mm - _BESIDE_MM
    if len(spans) > 1 and rail.overlap > most + NEGLIGIBLE_MM:
        raise DesignError(
            f"a {plan.say(rail.overlap)} swage from mid-bay reaches the next hoop; make it "
            f"at most {plan.say.most(most)}",
            f"{line.where}.overlap",
        )
    drafts = []
    centre = line.centre
    for order, (start, end) in enumerate(spans, start=1):
        last = order == len(spans)
        tube = _tube(plan, line, start, end, last)
        placement = Placement.of(origin=(centre[0], start, centre[2]), x=ALONG, y=line.toward)
        inside = [n for n, y in enumerate(plan.grid.hoop_y_mm, start=1) if start < y < end]
        low, high = (inside[0], inside[-1]) if inside else (order, order)
        spot = Spot(side=line.side, hoop=low, to_hoop=high, order=order)
        covered = (Stretch(line.run, start, start + tube.length_mm),)
        drafts.append(
            UnmarkedMember(
                role=line.role, part=tube, placement=placement, spot=spot, stretches=covered
            )
        )
        if not last:
            middle = add(
                (centre[0], end + rail.overlap / 2, centre[2]), line.toward, rail.tube.od_mm / 2
            )
            x, y, z = line.toward
            joined = (Place(line.run, end + rail.overlap / 2),)
            drafts.append(screw_at(plan, middle, (-x, -y, -z), spot, joined))
    return drafts


def _spans(plan: LayoutContext, line: RailLine) -> list[tuple[float, float]] | None:
    """Where the pieces begin and end: joined as in the design, between hoops as they stand."""
    rail, grid = line.rail, plan.grid.even
    # A swage begins with its taper; a hole stays clear of both ends of it.
    clear, at = _PAST_HOLE * plan.fasteners.hex.hole_mm, plan.grid.designed_at
    run = RailRun(
        ends_mm=(-rail.overhang, grid.length_mm + rail.overhang), spacing_mm=grid.spacing_mm,
        stock_mm=rail.stock_length, overlap_mm=rail.overlap,
        turn=line.number, beside_mm=rail.tube.od_mm + _BESIDE_MM,
        barred_mm=tuple(
            (at(y - rail.overlap - clear), at(y + TAPER_MM + clear)) for y, _ in line.also_bored
        ),
    )  # fmt: skip
    spans = _as_driven(plan, rail_pieces(run))
    swages = [rail.overlap] * (len(spans or ()) - 1) + [0.0]
    needed = [b - a + more for (a, b), more in zip(spans or (), swages, strict=False)]
    if max(needed, default=0.0) > rail.stock_length + NEGLIGIBLE_MM:
        # As driven a piece would be longer than the tube that can be bought.
        shorter = replace(run, stock_mm=run.stock_mm - plan.grid.most_growth_mm)
        spans = _as_driven(plan, rail_pieces(shorter))
    return spans


def _as_driven(
    plan: LayoutContext, spans: list[tuple[float, float]] | None
) -> list[tuple[float, float]] | None:
    at = plan.grid.driven_at
    return spans and [(at(start), at(end)) for start, end in spans]


def _tube(plan: LayoutContext, line: RailLine, start: float, end: float, last: bool) -> Tube:
    rail = line.rail
    swage: Swage | None = None
    length = end - start
    if not last:
        swage = swage_into(rail.tube, rail.overlap, f"{line.where}.tube", plan.say)
        length += rail.overlap
    if length < TAPER_MM + rail.overlap + 20 and not last:
        raise DesignError(
            "a piece of the rail is shorter than its swage; make overlap shorter",
            f"{line.where}.overlap",
        )
    at_hoops = plan.grid.hoop_y_mm if rail.fixing is Fixing.BOLTED else ()
    places = [*((y, 0.0) for y in at_hoops), *line.also_bored]
    holes = tuple(
        Hole(at_mm=y - start, clock_rad=clock, diameter_mm=plan.fasteners.hex.hole_mm)
        for y, clock in places
        if start < y < end
    )
    return Tube(section=rail.tube, axis=PlanePath((Line(length),)), holes=holes, end=swage)


def _holds(plan: LayoutContext, line: RailLine, ties: dict[int, Vector]) -> list[UnmarkedMember]:
    """What holds the rail to every hoop."""
    alike = {away: _hold(plan, line, away) for away in (None, *dict.fromkeys(ties.values()))}
    return [
        draft
        for number, y_mm in enumerate(plan.grid.hoop_y_mm, start=1)
        for draft in at_hoop(alike[ties.get(number)], number, y_mm)
    ]


def _hold(plan: LayoutContext, line: RailLine, away: Vector | None) -> list[UnmarkedMember]:
    """The coupler, its ears pointing away from a tie, or the bolt on the first hoop."""
    rail, here = line.rail, line.hoop
    spot = Spot(side=line.side, hoop=1)
    hoop, own = plan.on_hoop(1, line.side, line.at_mm), Place(line.run)
    if rail.fixing is Fixing.CLAMPED:
        return coupler(
            plan.fasteners,
            on=here.point,
            boss=line.toward,
            first=(here.along, line.hoop_od_mm),
            second=(ALONG, rail.tube.od_mm),
            spot=spot,
            joins=(hoop, own),
            away=away,
        )
    # The head on the outside, where the cover lies; the nut inside.
    inward, centre = here.inward, here.point
    outer = line.hoop_od_mm if rail.face is Face.INSIDE else rail.tube.od_mm
    if rail.face is Face.OUTSIDE:
        centre = add(here.point, line.toward, line.distance_mm)
    return bolt_up(
        plan.fasteners,
        plan.fasteners.hex,
        seat=add(centre, inward, -outer / 2),
        direction=inward,
        thickness_mm=line.hoop_od_mm + rail.tube.od_mm,
        spot=spot,
        where="hardware.frame_bolt",
        joins=(hoop, own) if rail.face is Face.INSIDE else (own, hoop),
        plane_mm=outer,
    )
