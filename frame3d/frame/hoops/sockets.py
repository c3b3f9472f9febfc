"""Sockets: the ground posts along both sides, and the bolts where no board is."""

from __future__ import annotations

import math

from frame3d.catalog import clearance_mm
from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignError
from frame3d.frame.describe.wording import gap_text
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import NEGLIGIBLE_MM, Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add
from frame3d.units import LengthText, compared

LEAST_CLEARANCE_MM = 0.2
"""Below this a tube does not slide into another at all (common practice)."""

SIDES = (Side.LEFT, Side.RIGHT)


def check_sockets(design: Design, hole_mm: float, say: LengthText) -> None:
    """Refuse sockets that could not be made or used.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    socket, hoop = design.socket, design.hoop
    gap = clearance_mm(outer=socket.tube, inner=hoop.tube)
    if gap < LEAST_CLEARANCE_MM:
        raise DesignError(
            f"{hoop.tube.name} ({say.tube(hoop.tube.od_mm)} outside) does not slide into "
            f"{socket.tube.name} ({say.tube(socket.tube.inside_mm)} inside): "
            f"{_lacking(gap, say)}; choose a socket tube with at least "
            f"{say.tube_least(hoop.tube.od_mm + 0.5)} inside",
            "socket.tube",
        )
    if socket.exposed >= socket.length - 100:
        raise DesignError(
            f"{say(socket.exposed)} of a {say(socket.length)} socket is above ground; "
            "increase length or reduce exposed",
            "socket.exposed",
        )
    edge = 1.5 * hole_mm
    if socket.lower_hole - socket.upper_hole < 2.5 * hole_mm - NEGLIGIBLE_MM:
        raise DesignError(
            f"the lower hole at {say(socket.lower_hole)} from the top is too near the upper one "
            f"at {say(socket.upper_hole)}; make it at least "
            f"{say.least(socket.upper_hole + 2.5 * hole_mm)}",
            "socket.lower_hole",
        )
    if socket.lower_hole > socket.exposed - edge + NEGLIGIBLE_MM:
        raise DesignError(
            f"the lower hole at {say(socket.lower_hole)} from the top is in or at the "
            f"ground, with {say(socket.exposed)} exposed; make it at most "
            f"{say.most(socket.exposed - edge)} or increase exposed",
            "socket.lower_hole",
        )
    if socket.upper_hole < edge - NEGLIGIBLE_MM:
        raise DesignError(
            f"the upper hole at {say(socket.upper_hole)} is too near the top; make it at "
            f"least {say.least(edge)}",
            "socket.upper_hole",
        )
    if not socket.lower_hole + edge - NEGLIGIBLE_MM <= socket.insertion <= socket.length:
        raise DesignError(
            f"the leg goes {say(socket.insertion)} into the socket; make it at least "
            f"{say.least(socket.lower_hole + edge)}, to reach past the lower hole, and at "
            f"most the socket's length, {say.most(socket.length)}",
            "socket.insertion",
        )


def _lacking(play_mm: float, say: LengthText) -> str:
    """What is wrong with the play, where there is too little or none."""
    if play_mm <= 0:
        return f"it is {gap_text(say.form, -play_mm)} too thick" if play_mm else "there is no play"
    said = compared(LEAST_CLEARANCE_MM, play_mm, form=say.form, fine=True)
    return f"the play is {said.provided} and must be at least {said.required}"


def socket_members(plan: LayoutContext) -> list[UnmarkedMember]:
    """Every socket of both sides, with its bolts where the sides have no boards."""
    socket = plan.design.socket
    hole_mm = plan.fasteners.hex.hole_mm
    if plan.design.sill_board:
        hole_mm = max(hole_mm, plan.fasteners.carriage.hole_mm)
    part = Tube(
        section=socket.tube,
        axis=PlanePath((Line(socket.length),)),
        holes=tuple(
            Hole(at_mm=at, diameter_mm=hole_mm) for at in (socket.upper_hole, socket.lower_hole)
        ),
    )
    drafts = []
    for number, y_mm in enumerate(plan.grid.hoop_y_mm, start=1):
        for side in SIDES:
            top = plan.line.at(side, socket.insertion).at_y(y_mm)
            down = (-top.along[0], 0.0, -top.along[2])
            spot = Spot(side=side, hoop=number)
            placement = Placement.of(origin=top.point, x=down, y=top.inward)
            low, high = socket.insertion - socket.length, socket.insertion
            drafts.append(
                UnmarkedMember(
                    role=Role.SOCKET,
                    part=part,
                    placement=placement,
                    spot=spot,
                    stretches=(plan.hoop_stretch(number, side, low, high),),
                )
            )
            if not plan.design.sill_board:
                drafts += _bolts(plan, placement, top.inward, spot)
    return drafts


def _bolts(
    plan: LayoutContext, socket: Placement, inward: Vector, spot: Spot
) -> list[UnmarkedMember]:
    radius = plan.design.socket.tube.od_mm / 2
    drafts = []
    for at in (plan.design.socket.upper_hole, plan.design.socket.lower_hole):
        seat = add(socket.point((at, 0.0, 0.0)), inward, -radius)
        drafts += bolt_up(
            plan.fasteners,
            plan.fasteners.hex,
            seat=seat,
            direction=inward,
            thickness_mm=2 * radius,
            spot=spot,
            where="hardware.frame_bolt",
            joins=(plan.on_hoop(spot.hoop, spot.side, plan.design.socket.insertion - at),),
            plane_mm=2 * radius - plan.design.socket.tube.wall_mm,
        )
    return drafts


def socket_top_mm(plan: LayoutContext) -> float:
    """Height of the top of a socket above the ground, mm."""
    return plan.design.socket.exposed * math.cos(plan.line.lean_rad)
