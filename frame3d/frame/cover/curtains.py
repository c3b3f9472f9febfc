"""Curtains as members: roll tubes, clips, eyes for the cords, and what turns the tubes.

They are laid out shut. The film itself is bought by size and is no member.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.design.tables.curtain import Curtain, Winder
from frame3d.design.tables.whole_design import End, FastenerSystem, Hip
from frame3d.errors import present
from frame3d.frame.cover.clips import clips
from frame3d.frame.cover.door_curtain_parts import door_curtain_members
from frame3d.frame.joining.bolts import facing
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.fittings import BOX_MM, CrankHandle, Ring
from frame3d.frame.model.joints import RunName
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.openings import DoorOpening, SideVent
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.skin.curtain_figures import (
    cord_points,
    film_span,
    rolled_diameter_mm,
    tube_span,
)
from frame3d.frame.skin.curtain_section import CurtainSection, curtain_section
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ALONG, UP, Placement, Vector

_EYE_MM, _EYE_LONG_MM = 22.0, 5.0
_EYE_BORE_MM = {FastenerSystem.INCH: 12.7, FastenerSystem.METRIC: 12.0}
_BESIDE_POST_MM = 5.0
_LOW = math.radians(75)
"""How far round a hip rail, down from its outer side, an eye is."""
_OVER_ROLL_MM = 300.0


def curtain_members(
    plan: LayoutContext, vents: Sequence[SideVent], doors: Sequence[DoorOpening]
) -> list[UnmarkedMember]:
    """Curtains of both sides and of roll-up doors, shut; none where the design has none.

    Raises
    ------
    DesignError
        If there is nothing to close, or the roll tube cannot be joined.
    """
    design = plan.design
    if design.curtain is None:
        return []
    drafts = list(door_curtain_members(plan, doors))
    if drafts and design.side_opening is None:
        return drafts
    section = curtain_section(design, plan.arch, plan.ground)
    for vent in vents:
        drafts += _tube(plan, section, vent)
        drafts += _clips(plan, section, vent)
        drafts += _eyes(plan, section, vent)
        drafts += _winder(plan, design.curtain, section, vent)
    return drafts


def _placed(side: Side, point: tuple[float, float], y: float) -> Vector:
    """A point of the section on its side of the tunnel."""
    return (point[0] if side is Side.LEFT else -point[0], y, point[1])


def _spot(plan: LayoutContext, side: Side, y: float, order: int = 1) -> Spot:
    hoops = plan.grid.hoop_y_mm
    hoop = min(max(1, sum(1 for at in hoops if at <= y)), len(hoops))
    return Spot(side=side, hoop=hoop, order=order)


def _tube(plan: LayoutContext, section: CurtainSection, vent: SideVent) -> list[UnmarkedMember]:
    """The roll tube in its pieces, with screws in their joints so that nothing stands out."""
    low, high = tube_span(plan.design, plan.arch, plan.grid, vent)
    out = section.sill_out[0] if vent.side is Side.LEFT else -section.sill_out[0]
    drafts = jointed_tube(
        plan,
        present(plan.design.curtain, "curtain").tube,
        start=_placed(vent.side, section.shut, low),
        along=ALONG,
        length_mm=high - low,
        run=RunName(Role.CURTAIN_TUBE, None, vent.side),
        spot=Spot(side=vent.side, hoop=1, to_hoop=len(plan.grid.hoop_y_mm)),
        where="curtain.tube",
        screwed=(-math.copysign(1.0, out), 0.0, 0.0),
    )
    return [
        replace(draft, role=Role.CURTAIN_SCREW) if draft.role is Role.SCREW else draft
        for draft in drafts
    ]


def _clips(
    plan: LayoutContext, section: CurtainSection, vent: SideVent
) -> Iterator[UnmarkedMember]:
    curtain = present(plan.design.curtain, "curtain")
    span = film_span(plan.design, plan.arch, plan.grid, vent)
    start = _placed(vent.side, section.shut, span[0])
    spot = Spot(side=vent.side, hoop=1)
    hoops = plan.grid.hoop_y_mm
    return clips(curtain.tube.od_mm, span, curtain.clip_spacing, start, ALONG, spot, hoops)


def _eyes(plan: LayoutContext, section: CurtainSection, vent: SideVent) -> Iterator[UnmarkedMember]:
    """The eyes of the cord, on the faces of hip and sill board."""
    part = Ring(
        name="eye for cord",
        outside_mm=_EYE_MM,
        bore_mm=_EYE_BORE_MM[plan.design.hardware.system],
        length_mm=_EYE_LONG_MM,
    )
    for order, (y, at_hip) in enumerate(cord_points(plan.design, plan.grid, vent), start=1):
        if at_hip:
            x, z = section.hip_edge
            point = (x - _EYE_MM / 2, z + _EYE_MM / 2)
            opening = present(plan.design.side_opening, "side opening")
            if opening.hip is Hip.RAIL:
                # Low on the tube, under its channel.
                half = opening.tube.od_mm / 2
                away = half + _EYE_MM / 2
                point = (x + half - away * math.cos(_LOW), z + half - away * math.sin(_LOW))
        else:
            (x, z), up = section.sill_top, section.sill_up
            low = _EYE_MM / 2
            point = (x - low * up[0] + low * section.sill_out[0], z - low * up[1])
        # Beside the hoop's bolts.
        place = _placed(vent.side, point, y + 2 * _EYE_MM)
        yield UnmarkedMember(
            role=Role.CORD_EYE, part=part, placement=facing(place, ALONG),
            spot=_spot(plan, vent.side, y, order),
        )  # fmt: skip


def _winder(
    plan: LayoutContext, curtain: Curtain, section: CurtainSection, vent: SideVent
) -> Iterator[UnmarkedMember]:
    """The crank on the tube's end, and the post that a gear box slides on."""
    front = curtain.winder_end is End.FRONT
    low, high = tube_span(plan.design, plan.arch, plan.grid, vent)
    y, away = (low, -1.0) if front else (high, 1.0)
    spot = _spot(plan, vent.side, y)
    geared = curtain.winder is Winder.GEAR
    crank = CrankHandle(
        tube_od_mm=curtain.tube.od_mm,
        radius_mm=curtain.crank_radius,
        shaft_mm=curtain.shaft,
        box=geared,
    )
    axis = _placed(vent.side, section.shut, y)
    # Its arm up.
    yield UnmarkedMember(
        role=Role.WINDER, part=crank, spot=spot,
        placement=Placement.of(origin=axis, x=UP, y=(away, 0.0, 0.0)),
    )  # fmt: skip
    if not geared:
        return
    hangs = section.drop_mm + curtain.overlap
    rolled = rolled_diameter_mm(curtain.tube.od_mm, hangs, curtain.film_thickness)
    top = section.opened(rolled)[1] + _OVER_ROLL_MM
    out = BOX_MM / 2 + curtain.post_tube.od_mm / 2 + _BESIDE_POST_MM
    x = axis[0] + math.copysign(out, axis[0])
    long = top + curtain.post_depth
    yield UnmarkedMember(
        role=Role.GUIDE_POST, spot=spot,
        part=Tube(section=curtain.post_tube, axis=PlanePath((Line(long),))),
        placement=Placement.of(
            origin=(x, y + away * (BOX_MM / 2), -curtain.post_depth), x=UP, y=ALONG
        ),
    )  # fmt: skip
