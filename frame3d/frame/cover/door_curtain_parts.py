"""Curtains of roll-up doors as members: the bar in the hem, clips, and the crank.

They are laid out shut; the tube is a member of its door. The crank hangs from the tube's end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.design.tables.whole_design import End
from frame3d.errors import present
from frame3d.frame.cover.clips import clips
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.fittings import CrankHandle
from frame3d.frame.model.joints import RunName
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.skin.door_curtains import CRANK_OUT_MM, DoorCurtain, door_curtain
from frame3d.geometry.placement import ACROSS, Placement


def door_curtain_members(
    plan: LayoutContext, doors: Sequence[DoorOpening]
) -> Iterator[UnmarkedMember]:
    """The parts of the curtains of all roll-up doors; none where the design has no curtains."""
    for door in doors:
        if one := door_curtain(plan.design, door):
            hoop = 1 if door.end is End.FRONT else len(plan.grid.hoop_y_mm)
            yield from _parts(plan, one, Spot(side=Side.MIDDLE, hoop=hoop))


def _parts(plan: LayoutContext, one: DoorCurtain, spot: Spot) -> Iterator[UnmarkedMember]:
    curtain, roll = present(plan.design.curtain, "curtain"), one.roll
    middle = (one.door.left_x_mm + one.door.right_x_mm) / 2
    bars = jointed_tube(
        plan,
        curtain.tube,
        start=(middle - one.bar_mm / 2, one.film_y_mm, one.shut_z_mm),
        along=ACROSS,
        length_mm=one.bar_mm,
        run=RunName(Role.CURTAIN_TUBE, spot.hoop, one.door.where),
        spot=spot,
        where="curtain.tube",
        screwed=(0.0, -roll.out, 0.0),
    )
    for draft in bars:
        screw = draft.role is Role.SCREW
        yield replace(draft, role=Role.CURTAIN_SCREW) if screw else draft
    places = (
        (roll.section.od_mm, one.width_mm, roll.y_mm, roll.z_mm),
        (curtain.tube.od_mm, one.bar_mm, one.film_y_mm, one.shut_z_mm),
    )
    for od_mm, long, y, z in places:
        span = (middle - long / 2, middle + long / 2)
        yield from clips(od_mm, span, curtain.clip_spacing, (span[0], y, z), ACROSS, spot)
    away = -1.0 if one.crank_x_mm == roll.start_x_mm else 1.0
    crank = CrankHandle(
        tube_od_mm=roll.section.od_mm, radius_mm=curtain.crank_radius, shaft_mm=curtain.shaft
    )
    yield UnmarkedMember(
        role=Role.WINDER, part=crank, spot=spot,
        placement=Placement.of(
            origin=(one.crank_x_mm + away * CRANK_OUT_MM, roll.y_mm, roll.z_mm),
            x=(0.0, roll.out, 0.0), y=(roll.out, 0.0, 0.0),
        ),
    )  # fmt: skip
