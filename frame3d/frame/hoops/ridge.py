"""The ridge joint of gothic hoops: a bent sleeve, or a pair of plates.

The ridge height of a gothic profile is that of the point where the centrelines
of the two halves would meet. A sleeve rounds that point off; plates leave it.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.catalog import clearance_mm
from frame3d.catalog.sections import TubeSection
from frame3d.design.tables.whole_design import RidgeJoint
from frame3d.design.values.field_info import limits_of
from frame3d.errors import ArchError, DesignError
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.model.joints import RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Plate, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, PlanePath
from frame3d.geometry.placement import Placement, Vector, add, vector

PLATE_MM = 5.0
"""Thickness of a ridge plate (common practice, no source)."""
GAP_MM = 2.0
"""Gap left between the two halves under ridge plates (common practice, no source)."""
_SHARES = (0.3, 0.75)


class RidgeEnd(Struct, frozen=True, kw_only=True):
    """How the halves of a gothic hoop end.

    Parameters
    ----------
    end_mm : float
        Length of a half from its leg end.
    clear_from_mm : float
        Distance from the leg end beyond which nothing else may be.
    half_holes : tuple of Hole
        In each half, for the bolts of the joint.
    joint : Tube or Plate
        A sleeve, or a plate. Own axes of a plate: x across the tunnel, y up, origin at the
        ridge point.
    crown_z_mm : float
        Height of the centreline of the sleeve, or of the ridge point with plates.
    """

    end_mm: float
    clear_from_mm: float
    half_holes: tuple[Hole, ...]
    joint: Tube | Plate
    crown_z_mm: float


def ridge_end(plan: LayoutContext, rail_hole_mm: float | None) -> RidgeEnd:
    """How the halves end, with a hole for a ridge rail of ``rail_hole_mm`` if that is given.

    Raises
    ------
    DesignError
        If the joint does not fit on the rafters, or its tube not on the hoop tube.
    """
    if plan.design.hoop.ridge_joint is RidgeJoint.SLEEVE:
        return _sleeve_end(plan, rail_hole_mm)
    if rail_hole_mm is not None:
        raise DesignError(
            "a ridge rail cannot be bolted between ridge plates; set the rail's "
            'fixing = "clamped" or ridge_joint = "sleeve"',
            "hoop.ridge_joint",
        )
    return _plate_end(plan)


def _sleeve_end(plan: LayoutContext, rail_hole_mm: float | None) -> RidgeEnd:
    hoop, arch, half = plan.design.hoop, plan.arch, plan.line.half
    tube = _sleeve_tube(plan)
    if not arch.ridge_slope_rad > 0:
        raise DesignError(
            "with these sizes the crown is round, so there is no ridge to join; change "
            'ridge_height, or set style = "quonset"',
            "profile.ridge_height",
        )
    _check_bend(plan, tube)
    try:
        fillet = arch.ridge_fillet(hoop.ridge_bend_radius, say=plan.say, say_most=plan.say.most)
    except ArchError as error:
        raise DesignError(str(error), "hoop.ridge_bend_radius") from None
    end_mm = fillet.distance_mm + plan.line.below_mm
    start_mm = end_mm - hoop.ridge_overlap
    _check_room(plan, start_mm)
    leg = half.cut(start_mm, end_mm)
    bend = Arc(hoop.ridge_bend_radius, 2 * fillet.half_angle_rad)
    axis = PlanePath((*leg.segments, bend, *leg.reversed().segments))
    hole_mm = plan.fasteners.hex.hole_mm
    # The tube of a half must show at each bolt what the sleeve shows.
    on_half = [end_mm - share * hoop.ridge_overlap for share in _SHARES]
    in_sleeve = [at - start_mm for at in on_half]
    in_sleeve += [axis.length_mm - at for at in in_sleeve]
    holes = [Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=hole_mm) for at in in_sleeve]
    if rail_hole_mm is not None:
        holes.append(Hole(at_mm=axis.length_mm / 2, diameter_mm=rail_hole_mm))
    top = plan.line.at(Side.LEFT, end_mm)
    crown = top.point[2] + hoop.ridge_bend_radius * (1 - math.cos(fillet.half_angle_rad))
    return RidgeEnd(
        end_mm=end_mm,
        clear_from_mm=start_mm,
        half_holes=tuple(Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=hole_mm) for at in on_half),
        joint=Tube(section=tube, axis=axis, holes=tuple(holes)),
        crown_z_mm=crown,
    )


def _sleeve_tube(plan: LayoutContext) -> TubeSection:
    """The tube of the sleeve; DesignError where there is none, or the hoop's does not enter it."""
    hoop, say = plan.design.hoop, plan.say
    if hoop.ridge_tube is None:
        raise DesignError(
            f"a ridge sleeve needs a ridge_tube that fits over {hoop.tube.name}, at least "
            f"{say.tube_least(hoop.tube.od_mm + 0.5)} inside diameter",
            "hoop.ridge_tube",
        )
    if clearance_mm(outer=hoop.ridge_tube, inner=hoop.tube) < 0.2:
        raise DesignError(
            f"{hoop.tube.name} ({say.tube(hoop.tube.od_mm)} outside) does not slide into "
            f"{hoop.ridge_tube.name} ({say.tube(hoop.ridge_tube.inside_mm)} inside); choose "
            f"one with at least {say.tube_least(hoop.tube.od_mm + 0.5)} inside",
            "hoop.ridge_tube",
        )
    return hoop.ridge_tube


def _check_bend(plan: LayoutContext, tube: TubeSection) -> None:
    """Refuse a radius that the bender does not make, or that the rafters have no room for."""
    hoop, say = plan.design.hoop, plan.say
    least = hoop.smallest_bend * tube.od_mm
    most = min(plan.arch.largest_ridge_radius_mm, limits_of("hoop")["ridge_bend_radius"][1])
    if least > most:
        raise DesignError(
            f"{tube.name} cannot be bent tighter than {say.least(least)} "
            f"({hoop.smallest_bend:g} diameters), and the ridge has room for at most "
            f"{say.most(most)}; choose a smaller ridge_tube, a lower smallest_bend, or set "
            'ridge_joint = "plates"',
            "hoop.ridge_tube",
        )
    if hoop.ridge_bend_radius > most:
        raise DesignError(
            f"a ridge bend of radius {say(hoop.ridge_bend_radius)} does not fit on the "
            f"rafter; make it at most {say.most(most)}",
            "hoop.ridge_bend_radius",
        )
    if hoop.ridge_bend_radius < least - 1e-6:
        raise DesignError(
            f"{say(hoop.ridge_bend_radius)} is tighter than the bender's limit of "
            f"{say.least(least)} for {tube.name} ({hoop.smallest_bend:g} diameters); make "
            "it at least that, or change smallest_bend",
            "hoop.ridge_bend_radius",
        )


def _check_room(plan: LayoutContext, start_mm: float) -> None:
    top = plan.design.socket.insertion
    if start_mm < top + 50:
        raise DesignError(
            f"the ridge joint reaches {plan.say(plan.design.hoop.ridge_overlap)} down each "
            "half and into the socket; make ridge_overlap shorter",
            "hoop.ridge_overlap",
        )


def _plate_end(plan: LayoutContext) -> RidgeEnd:
    hoop, arch, half = plan.design.hoop, plan.arch, plan.line.half
    radius = hoop.tube.od_mm / 2
    length = half.length_mm
    # The lower edges of the square-cut ends stop short of the middle plane.
    cut = (radius * math.sin(arch.ridge_slope_rad) + GAP_MM / 2) / math.cos(arch.ridge_slope_rad)
    for _ in range(20):
        end = plan.line.at(Side.LEFT, length - cut)
        miss = end.point[0] + radius * end.inward[0] + GAP_MM / 2
        cut += miss / end.along[0]
    end_mm, start_mm = length - cut, length - hoop.ridge_overlap
    if start_mm > end_mm - 2 * radius:
        raise DesignError(
            f"ridge plates of {plan.say(hoop.ridge_overlap)} a side do not reach far enough onto "
            f"the tubes, which end {plan.say(cut)} from the ridge; make ridge_overlap longer",
            "hoop.ridge_overlap",
        )
    _check_room(plan, start_mm)
    reach = end_mm - start_mm
    on_half = [end_mm - share * reach for share in _SHARES]
    hole_mm = plan.fasteners.hex.hole_mm
    return RidgeEnd(
        end_mm=end_mm,
        clear_from_mm=start_mm,
        half_holes=tuple(Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=hole_mm) for at in on_half),
        joint=_plate(plan, start_mm, on_half, hole_mm),
        crown_z_mm=arch.ridge_height_mm,
    )


def _plate(plan: LayoutContext, start_mm: float, bolts: list[float], hole_mm: float) -> Plate:
    """A chevron as deep as the tube, its corners on the edges of the tubes."""
    radius, ridge = plan.design.hoop.tube.od_mm / 2, plan.arch.ridge_height_mm
    foot = plan.line.at(Side.LEFT, start_mm)
    slope = math.cos(plan.arch.ridge_slope_rad)

    def flat(point: Vector) -> tuple[float, float]:
        return (point[0], point[2] - ridge)

    lower = flat(add(foot.point, foot.inward, radius))
    upper = flat(add(foot.point, foot.inward, -radius))
    outline = (
        lower,
        (0.0, -radius / slope),
        (-lower[0], lower[1]),
        (-upper[0], upper[1]),
        (0.0, radius / slope),
        upper,
    )
    places = [flat(plan.line.at(Side.LEFT, at).point) for at in bolts]
    holes = tuple((sign * x, y, hole_mm) for x, y in places for sign in (1.0, -1.0))
    return Plate(name="ridge plate", outline=outline, thickness_mm=PLATE_MM, holes=holes)


def ridge_members(
    plan: LayoutContext, end: RidgeEnd, number: int, y_mm: float
) -> list[UnmarkedMember]:
    """The ridge joint of one hoop with its bolts."""
    spot = Spot(side=Side.MIDDLE, hoop=number)
    radius = plan.design.hoop.tube.od_mm / 2
    if isinstance(end.joint, Tube):
        placement = plan.line.placement(Side.LEFT, end.clear_from_mm, y_mm)
        covered = tuple(
            plan.hoop_stretch(
                number, side, end.clear_from_mm, end.clear_from_mm + end.joint.length_mm
            )
            for side in SIDES
        )
        drafts = [
            UnmarkedMember(
                role=Role.RIDGE_JOINT,
                part=end.joint,
                placement=placement,
                spot=spot,
                stretches=covered,
            )
        ]
        outer, skin = end.joint.section.od_mm / 2, end.joint.section.wall_mm
    else:
        drafts = [
            UnmarkedMember(
                role=Role.RIDGE_JOINT,
                part=end.joint,
                placement=placement,
                spot=spot,
                stretches=(Stretch(RunName(Role.RIDGE_JOINT, number, face)),),
            )
            for face, placement in enumerate(_plate_places(plan, end.joint, y_mm, radius))
        ]
        outer, skin = radius + end.joint.thickness_mm, end.joint.thickness_mm
    plates = [draft.place for draft in drafts] if isinstance(end.joint, Plate) else []
    for side in SIDES:
        for hole in end.half_holes:
            x, _, z = plan.line.at(side, hole.at_mm).point
            drafts += bolt_up(
                plan.fasteners,
                plan.fasteners.hex,
                seat=vector(x, y_mm - outer, z),
                direction=(0.0, 1.0, 0.0),
                thickness_mm=2 * outer,
                spot=spot,
                where="hardware.frame_bolt",
                joins=(*plates[:1], plan.on_hoop(number, side, hole.at_mm), *plates[1:]),
                plane_mm=2 * outer - skin,
            )
    return drafts


def _plate_places(plan: LayoutContext, plate: Plate, y_mm: float, radius: float) -> list[Placement]:
    """One plate on each face of the tubes; the thickness (z) points along -Y."""
    ridge = plan.arch.ridge_height_mm
    return [
        Placement.of(origin=(0.0, y, ridge), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0))
        for y in (y_mm - radius, y_mm + radius + plate.thickness_mm)
    ]
