"""Sill boards along both sides, on edge on the outside of the sockets."""

from __future__ import annotations

import math

from msgspec.structs import replace

from frame3d.design.tables.whole_design import SillBoard
from frame3d.errors import DesignError, present
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.model.surveyed import BoardRise
from frame3d.frame.sides.board_lines import BoardLine, check_line, line_members
from frame3d.frame.sides.side_openings import stop_stretches
from frame3d.frame.sides.skirts import answer_of, fitted_line, skirt_members
from frame3d.geometry.placement import Vector, add

_TINY = 1e-6


def check_holes(plan: LayoutContext) -> None:
    """Refuse boards that cannot be bolted where the sockets have their holes.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    sill, socket, say = _sill_of(plan), plan.design.socket, plan.say
    hole = plan.fasteners.carriage.hole_mm
    edge, depth = 1.5 * hole, sill.timber.depth_mm
    for name in ("lower_hole", "upper_hole"):
        up = socket.exposed - getattr(socket, name) - sill.bottom
        if not edge - _TINY <= up <= depth - edge + _TINY:
            height = socket.exposed - getattr(socket, name)
            raise DesignError(
                f"the socket's {name} is {say(height)} above the ground; the board covers "
                f"{say(sill.bottom)} to {say(sill.bottom + depth)} and needs {say(edge)} of wood "
                f"around it; change bottom, timber or socket.{name}",
                "sill_board.timber",
            )


def _sill_of(plan: LayoutContext) -> SillBoard:
    return present(plan.design.sill_board, "sill board")


def sill_members(plan: LayoutContext) -> list[UnmarkedMember]:
    """Boards, blocks and bolts of both sides, and skirt boards where the ground asks for them."""
    if plan.design.sill_board is None:
        return []
    check_holes(plan)
    line = sill_line(plan)
    check_line(plan, line)
    line, found = fitted_line(plan, line)
    drafts = line_members(plan, line)
    return drafts if found is None else [*drafts, *skirt_members(plan, line, found)]


def boards_fitted(plan: LayoutContext) -> LayoutContext:
    """``plan``, its ground with how far each sill board follows it: stops and film go by that."""
    if plan.ground is None or plan.design.sill_board is None:
        return plan
    check_holes(plan)
    line = sill_line(plan)
    found = answer_of(plan, line)
    if found is None:
        return plan
    boards = tuple(
        BoardRise(side=side, end_mm=end, rise_mm=rise)
        for side, rises in found.taken.rises_mm.items()
        for end, rise in zip((*line.joints(plan, side), math.inf), rises, strict=True)
    )
    return replace(plan, ground=replace(plan.ground, boards=boards))


def sill_line(plan: LayoutContext) -> BoardLine:
    """The sill boards as a line of boards."""
    sill, socket = _sill_of(plan), plan.design.socket

    def foot(side: Side) -> tuple[Vector, Vector]:
        leg = plan.line.at(side, plan.line.below_mm + sill.bottom)
        return add(leg.point, leg.inward, -socket.tube.od_mm / 2), leg.along

    return BoardLine(
        where="sill_board",
        role=Role.SILL_BOARD,
        timber=sill.timber,
        stock_mm=sill.stock_length,
        overhang_mm=sill.overhang,
        block_mm=sill.block_length,
        heights_mm=tuple(
            socket.exposed - at - sill.bottom for at in (socket.upper_hole, socket.lower_hole)
        ),
        bolted_mm=tuple(socket.insertion - at for at in (socket.upper_hole, socket.lower_hole)),
        bolted_to=socket.tube,
        foot=foot,
        behind_mm=stop_stretches(plan),
    )
