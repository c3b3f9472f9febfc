"""Sill boards along both sides, the blocks behind their joints, and their bolts.

Glossary
--------
joint block : a short length of the same board on the inside of a joint; outside it
    would hold the roll-up side away from the board.
"""

from __future__ import annotations

import math

from frame3d.errors import DesignError
from frame3d.frame.bolting import bolt_up
from frame3d.frame.members import Role, Side, Spot
from frame3d.frame.parts import Board, BoardHole
from frame3d.frame.plan import Draft, Plan
from frame3d.frame.sockets import SIDES
from frame3d.geometry.placement import Placement, add

_TINY = 1e-6


def board_joints(run_mm: tuple[float, float], spacing_mm: float, stock_mm: float) -> list[float]:
    """Where the boards of a side are joined: midway between hoops, with the fewest boards.

    Parameters
    ----------
    run_mm : (float, float)
        Ends of the side; hoops stand at whole multiples of the spacing.

    Returns
    -------
    list of float
        Rising; empty where one board is long enough, or where the stock is shorter
        than a bay, so that there is no such layout (see :func:`check_boards`).
    """
    low, high = run_mm
    if high - low <= stock_mm + _TINY:
        return []
    bays = round((high + low) / spacing_mm)
    whole = math.floor((stock_mm + _TINY) / spacing_mm)
    layouts = []
    for start in range(bays):
        first = (start + 0.5) * spacing_mm
        if whole < 1 or first - low > stock_mm + _TINY:
            break
        joints = [first]
        while high - joints[-1] > stock_mm + _TINY:
            joints.append(joints[-1] + whole * spacing_mm)
        if joints[-1] < bays * spacing_mm:
            layouts.append(joints)
    if not layouts:
        return []

    def worth(joints: list[float]) -> tuple:
        stops = [low, *joints, high]
        lengths = [b - a for a, b in zip(stops, stops[1:], strict=False)]
        return (
            boards_needed(lengths, stock_mm),
            len(lengths),
            round(abs(lengths[0] - lengths[-1]), 3),
            -lengths[0],
        )

    return min(layouts, key=worth)


def boards_needed(lengths_mm: list[float], stock_mm: float) -> int:
    """Boards to buy for pieces of these lengths, longest cut first, kerf not counted."""
    left: list[float] = []
    for length in sorted(lengths_mm, reverse=True):
        for index, rest in enumerate(left):
            if rest >= length - _TINY:
                left[index] -= length
                break
        else:
            left.append(stock_mm - length)
    return len(left)


def check_boards(plan: Plan) -> None:
    """Refuse boards that cannot be bolted where the sockets have their holes.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    sill, socket, say = plan.design.sill_board, plan.design.socket, plan.say
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
    spacing = plan.grid.spacing_mm
    run = spacing * (len(plan.grid.hoop_y_mm) - 1) + 2 * sill.overhang
    if run > sill.stock_length + _TINY and not _joints(plan):
        raise DesignError(
            f"boards of {say(sill.stock_length)} do not reach from mid-bay to mid-bay; use stock "
            f"of at least {say(max(spacing, spacing / 2 + sill.overhang))}",
            "sill_board.stock_length",
        )
    room = spacing - socket.tube.od_mm - 60
    if _joints(plan) and sill.block_length > room:
        raise DesignError(
            f"a block of {say(sill.block_length)} does not fit between two sockets; make it at "
            f"most {say(room)}",
            "sill_board.block_length",
        )


def _joints(plan: Plan) -> list[float]:
    sill = plan.design.sill_board
    run = (-sill.overhang, plan.grid.length_mm + sill.overhang)
    return board_joints(run, plan.grid.spacing_mm, sill.stock_length)


def sill_members(plan: Plan) -> list[Draft]:
    """Boards, blocks and bolts of both sides."""
    if plan.design.sill_board is None:
        return []
    check_boards(plan)
    drafts = []
    for side in SIDES:
        drafts += _boards(plan, side)
        drafts += _blocks(plan, side)
        drafts += _socket_bolts(plan, side)
    return drafts


def _bed(plan: Plan, side: Side, low_mm: float, high_mm: float) -> Placement:
    """Own axes of a board from ``low_mm`` to ``high_mm`` along Y, its back on the sockets."""
    sill, socket = plan.design.sill_board, plan.design.socket
    leg = plan.line.at(side, plan.line.below_mm + sill.bottom)
    origin = add(leg.point, leg.inward, -socket.tube.od_mm / 2)
    # The thickness (z) points outward, the depth (y) up the socket.
    along = (0.0, -1.0, 0.0) if side is Side.LEFT else (0.0, 1.0, 0.0)
    start = high_mm if side is Side.LEFT else low_mm
    return Placement.of(origin=(origin[0], start, origin[2]), x=along, y=leg.along)


def _block_holes(plan: Plan, joint_mm: float) -> list[tuple[float, float]]:
    """Y and height above the board's edge of the four bolts of a joint, mm."""
    sill = plan.design.sill_board
    quarter, depth = sill.block_length / 4, sill.timber.depth_mm
    return [(joint_mm + s * quarter, share * depth) for s in (-1, 1) for share in (0.25, 0.75)]


def _socket_heights(plan: Plan) -> list[float]:
    socket, sill = plan.design.socket, plan.design.sill_board
    return [socket.exposed - at - sill.bottom for at in (socket.upper_hole, socket.lower_hole)]


def _board(plan: Plan, side: Side, low: float, high: float, points) -> Board:
    size = plan.fasteners.carriage.hole_mm
    holes = tuple(
        BoardHole(
            along_mm=high - y if side is Side.LEFT else y - low, up_mm=up, diameter_mm=size
        )
        for y, up in points
        if low < y < high
    )
    return Board(section=plan.design.sill_board.timber, length_mm=high - low, holes=holes)


def _boards(plan: Plan, side: Side) -> list[Draft]:
    sill, joints = plan.design.sill_board, _joints(plan)
    stops = [-sill.overhang, *joints, plan.grid.length_mm + sill.overhang]
    points = [(y, up) for y in plan.grid.hoop_y_mm for up in _socket_heights(plan)]
    points += [point for joint in joints for point in _block_holes(plan, joint)]
    drafts = []
    for order, (low, high) in enumerate(zip(stops, stops[1:], strict=False), start=1):
        hoops = [n for n, y in enumerate(plan.grid.hoop_y_mm, start=1) if low < y < high]
        spot = Spot(side=side, hoop=hoops[0], to_hoop=hoops[-1], order=order)
        drafts.append(
            Draft(
                role=Role.SILL_BOARD,
                part=_board(plan, side, low, high, points),
                placement=_bed(plan, side, low, high),
                spot=spot,
            )
        )
    return drafts


def _blocks(plan: Plan, side: Side) -> list[Draft]:
    sill, drafts = plan.design.sill_board, []
    thick = sill.timber.thickness_mm
    for order, joint in enumerate(_joints(plan), start=1):
        low, high = joint - sill.block_length / 2, joint + sill.block_length / 2
        bed = _bed(plan, side, low, high)
        hoop = sum(1 for y in plan.grid.hoop_y_mm if y < joint)
        spot = Spot(side=side, hoop=hoop, to_hoop=hoop + 1, order=order)
        place = Placement(origin=add(bed.origin, bed.z, -thick), x=bed.x, y=bed.y, z=bed.z)
        points = _block_holes(plan, joint)
        block = _board(plan, side, low, high, points)
        drafts.append(Draft(role=Role.JOINT_BLOCK, part=block, placement=place, spot=spot))
        for y, up in points:
            along = high - y if side is Side.LEFT else y - low
            seat = bed.point((along, up, thick))
            drafts += _carriage(plan, seat, bed, 2 * thick, spot, plane_mm=thick)
    return drafts


def _socket_bolts(plan: Plan, side: Side) -> list[Draft]:
    sill, drafts = plan.design.sill_board, []
    thick = sill.timber.thickness_mm
    for number, y in enumerate(plan.grid.hoop_y_mm, start=1):
        bed = _bed(plan, side, y, y)
        spot = Spot(side=side, hoop=number)
        for up in _socket_heights(plan):
            tube = plan.design.socket.tube
            depth = thick + tube.od_mm
            seat = bed.point((0.0, up, thick))
            drafts += _carriage(plan, seat, bed, depth, spot, plane_mm=depth - tube.wall_mm)
    return drafts


def _carriage(
    plan: Plan, seat, bed: Placement, thickness_mm: float, spot: Spot, plane_mm: float
) -> list[Draft]:
    """A carriage bolt from the outer face of a board, its nut on the inside."""
    return bolt_up(
        plan.fasteners,
        plan.fasteners.carriage,
        seat=seat,
        direction=tuple(-c for c in bed.z),
        thickness_mm=thickness_mm,
        spot=spot,
        where="hardware.board_bolt",
        plane_mm=plane_mm,
    )
