"""Splices between the pieces of one hoop: swage or sleeve, bolts or screws.

The upper tube goes over the lower one, so that water runs off the joint and not
into it: a swage is at the upper end of the lower piece.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable

from msgspec import Struct

from frame3d.catalog import clearance_mm, screw
from frame3d.catalog.sections import TubeSection
from frame3d.design.tables.whole_design import Design, FastenerSystem, Splice, SpliceFastener
from frame3d.errors import DesignError, present
from frame3d.frame.joining.bolts import bolt_up, facing
from frame3d.frame.model.joints import JointKind, Place, RunName, Stretch, UnmarkedJoint
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Screw, Swage, Tube
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.geometry.paths import PlanePath
from frame3d.geometry.placement import Placement, Vector, add
from frame3d.units import LengthText

TAPER_MM = 12.0
"""Length of the taper of a swage (common practice, no source)."""
SWAGE_CLEARANCE_MM = 0.8
"""Diameter of the bore less that of the swage in it (common practice, no source)."""
QUARTER = math.pi / 2
_SCREWS = {FastenerSystem.INCH: "#12-14", FastenerSystem.METRIC: "ST5.5"}


class SplicePlace(Struct, frozen=True, kw_only=True):
    """Where two pieces meet: distance along the run, and whether the way there leads up."""

    at_mm: float
    up: bool


def swage_into(tube: TubeSection, overlap_mm: float, where: str, say: LengthText) -> Swage:
    """The swage with which ``tube`` slides into its like.

    Raises
    ------
    DesignError
        If the wall is too thick to leave a bore.
    """
    od_mm = tube.inside_mm - SWAGE_CLEARANCE_MM
    if od_mm - 2 * tube.wall_mm < 4:
        raise DesignError(
            f"{tube.name} cannot be swaged to slide into itself: a {say.tube(tube.wall_mm)} "
            "wall leaves no bore; choose a thinner wall",
            where,
        )
    return Swage(od_mm=od_mm, length_mm=overlap_mm, taper_mm=TAPER_MM)


def has_splices(design: Design) -> bool:
    """Whether a hoop, or each half of a gothic one, is made of more than one piece."""
    gothic = design.profile.style is ArchStyle.GOTHIC
    return design.hoop.pieces > (2 if gothic else 1)


def check_splices(design: Design, say: LengthText) -> None:
    """Refuse splices whose tubes do not fit into each other.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    hoop = design.hoop
    if hoop.splice is Splice.SWAGE:
        if hoop.splice_tube is not None:
            raise DesignError(
                'a swaged splice takes no splice_tube; remove it or set splice = "sleeve"',
                "hoop.splice_tube",
            )
        if has_splices(design):
            swage_into(hoop.tube, hoop.overlap, "hoop.tube", say)
        return
    if not has_splices(design):
        return
    if hoop.splice_tube is None:
        raise DesignError(
            f"a sleeve splice needs a splice_tube that fits over {hoop.tube.name} (at least "
            f"{say.tube_least(hoop.tube.od_mm + 0.5)} inside) or into it (at most "
            f"{say.tube_most(hoop.tube.inside_mm - 0.5)} outside)",
            "hoop.splice_tube",
        )
    check_sleeve(hoop.splice_tube, hoop.tube, "hoop.splice_tube", say)


def check_sleeve(sleeve: TubeSection, tube: TubeSection, where: str, say: LengthText) -> None:
    """Refuse a sleeve that neither goes over the tube nor into it.

    Raises
    ------
    DesignError
        Naming ``where``.
    """
    over, into = clearance_mm(outer=sleeve, inner=tube), clearance_mm(outer=tube, inner=sleeve)
    if max(over, into) < 0.2:
        raise DesignError(
            f"{sleeve.name} ({say.tube(sleeve.od_mm)} outside, {say.tube(sleeve.inside_mm)} "
            f"inside) fits neither over {tube.name} ({say.tube(tube.od_mm)}) nor into it "
            f"({say.tube(tube.inside_mm)}); choose one with at least "
            f"{say.tube_least(tube.od_mm + 0.5)} inside or at most "
            f"{say.tube_most(tube.inside_mm - 0.5)} outside",
            where,
        )


def _holes(plan: LayoutContext, joint: SplicePlace) -> list[Hole]:
    """Holes of a splice, by distance along the run; screws drill their own."""
    hoop = plan.design.hoop
    if hoop.splice_fastener is SpliceFastener.SCREWS:
        return []
    return [
        Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
        for at in _fastener_places(plan, joint)
    ]


def _fastener_places(plan: LayoutContext, joint: SplicePlace) -> list[float]:
    hoop = plan.design.hoop
    overlap, at = hoop.overlap, joint.at_mm
    screws = hoop.splice_fastener is SpliceFastener.SCREWS
    shares = (0.3, 0.7) if screws else (0.5,)
    if hoop.splice is Splice.SLEEVE:
        return [at + sign * share * overlap for sign in (-1, 1) for share in shares]
    sign = 1 if joint.up else -1
    return [at + sign * share * overlap for share in shares]


def piece_tube(
    plan: LayoutContext,
    axis: PlanePath,
    holes: tuple[Hole, ...],
    joints: tuple[SplicePlace, ...],
    index: int,
) -> tuple[float, Tube]:
    """Where piece ``index`` of a run starts, mm along it, and the piece itself."""
    hoop = plan.design.hoop
    start_mm = joints[index - 1].at_mm if index else 0.0
    end_mm = joints[index].at_mm if index < len(joints) else axis.length_mm
    start = end = None
    if hoop.splice is Splice.SWAGE:
        swage = swage_into(hoop.tube, hoop.overlap, "hoop.tube", plan.say)
        if index and not joints[index - 1].up:
            start, start_mm = swage, start_mm - hoop.overlap
        if index < len(joints) and joints[index].up:
            end, end_mm = swage, end_mm + hoop.overlap
    wanted = [*holes]
    for joint in joints[max(0, index - 1) : index + 1]:
        wanted += _holes(plan, joint)
    inside = tuple(
        Hole(at_mm=h.at_mm - start_mm, clock_rad=h.clock_rad, diameter_mm=h.diameter_mm)
        for h in wanted
        if start_mm < h.at_mm < end_mm
    )
    tube = Tube(
        section=hoop.tube,
        axis=axis.cut(start_mm, end_mm),
        holes=inside,
        start=start,
        end=end,
    )
    return start_mm, tube


def splice_members(
    plan: LayoutContext,
    axis: PlanePath,
    joint: SplicePlace,
    place: Callable[[float], Placement],
    spot: Spot,
    run: RunName,
) -> list[UnmarkedMember]:
    """The sleeve, if there is one, and the bolts or screws of one splice.

    Parameters
    ----------
    place : callable
        From a distance along the run, mm, to the placement of a tube that starts there.
    run : RunName
        Its name.
    """
    hoop = plan.design.hoop
    drafts, outer = [], hoop.tube
    if hoop.splice is Splice.SLEEVE:
        inner = present(hoop.splice_tube, "tube of the splices")
        start_mm = joint.at_mm - hoop.overlap
        holes = tuple(
            Hole(at_mm=h.at_mm - start_mm, clock_rad=h.clock_rad, diameter_mm=h.diameter_mm)
            for h in _holes(plan, joint)
        )
        sleeve = Tube(
            section=inner,
            axis=axis.cut(start_mm, joint.at_mm + hoop.overlap),
            holes=holes,
        )
        outer = max(outer, inner, key=lambda tube: tube.od_mm)
        drafts.append(
            UnmarkedMember(
                role=Role.SPLICE,
                part=sleeve,
                placement=place(start_mm),
                spot=spot,
                stretches=(Stretch(run, start_mm, joint.at_mm + hoop.overlap),),
            )
        )
    for at in _fastener_places(plan, joint):
        drafts += _fasten(plan, place(at), outer, spot, Place(run, at))
    return drafts


def _fasten(
    plan: LayoutContext, at: Placement, outer: TubeSection, spot: Spot, joins: Place
) -> list[UnmarkedMember]:
    """A bolt through a splice along the binormal (z) of ``at``, or a screw into it."""
    seat = add(at.origin, at.z, -outer.od_mm / 2)
    if plan.design.hoop.splice_fastener is SpliceFastener.SCREWS:
        return [screw_at(plan, seat, at.z, spot, (joins,))]
    return bolt_up(
        plan.fasteners,
        plan.fasteners.hex,
        seat=seat,
        direction=at.z,
        thickness_mm=outer.od_mm,
        spot=spot,
        where="hoop.splice_fastener",
        joins=(joins,),
        plane_mm=outer.od_mm - outer.wall_mm,
    )


def screw_at(
    plan: LayoutContext, seat: Vector, direction: Vector, spot: Spot, joins: tuple[Place, ...]
) -> UnmarkedMember:
    """A self-drilling screw into ``joins``, its head on ``seat``, driven along ``direction``."""
    return UnmarkedMember(
        role=Role.SCREW,
        part=_screw(plan.design.hardware.system),
        placement=facing(seat, direction),
        spot=spot,
        joint=UnmarkedJoint(JointKind.SCREWED, joins),
    )


@functools.cache  # one for each system
def _screw(system: FastenerSystem) -> Screw:
    size = screw(_SCREWS[system])
    return Screw(
        name=size.name,
        diameter_mm=size.diameter_mm,
        length_mm=next(length for length in size.lengths_mm if length >= 19.0),
        flats_mm=size.flats_mm,
        head_height_mm=size.head_height_mm,
    )
