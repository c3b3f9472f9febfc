"""Braces: straight tubes on a rising line along the side wall, held by couplers."""

from __future__ import annotations

from msgspec.structs import replace

from frame3d.design.tables.whole_design import Brace, Corner
from frame3d.errors import ArchError, DesignError
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.hoops.sockets import socket_top_mm
from frame3d.frame.joining.clamps import WIDTH_MM
from frame3d.frame.joining.spanning import Held, clamped_tube
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.joints import RunName
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import NEGLIGIBLE_MM

_REACH_MM = WIDTH_MM / 2 + 10
"""Half of what a clamp takes up of a hoop, with some room."""
_LEFT = (Corner.FRONT_LEFT, Corner.BACK_LEFT)
_FRONT = (Corner.FRONT_LEFT, Corner.FRONT_RIGHT)


def brace_stretches(plan: LayoutContext, end: RidgeEnd | None) -> tuple[KeptClear, ...]:
    """What the clamps of the braces take up of a half hoop; the same for every hoop.

    Raises
    ------
    DesignError
        If a brace names a hoop or a height that the frame does not have.
    """
    taken = []
    for index, brace in enumerate(plan.design.brace, start=1):
        where = f"brace[{index}]"
        _check_hoops(plan, brace, where)
        places = [_distance(plan, brace, name, where) for name in ("from_height", "to_height")]
        _check_free(plan, end, brace, where, places)
        taken += [KeptClear.around(at, _REACH_MM) for at in places]
    return tuple(taken)


def _check_free(
    plan: LayoutContext, end: RidgeEnd | None, brace: Brace, where: str, places: list[float]
) -> None:
    """Refuse clamps that lie on the socket, on the ridge joint, or both at one height."""
    say, high = plan.say, plan.line.half.length_mm if end is None else end.clear_from_mm
    for name, at in zip(("from_height", "to_height"), places, strict=True):
        height = say(getattr(brace, name))
        if at < plan.design.socket.insertion:
            raise DesignError(
                f"a clamp at {height} is on the socket; make it at least "
                f"{say.least(socket_top_mm(plan))}, or reduce exposed in [socket]",
                f"{where}.{name}",
            )
        if at > high - _REACH_MM:
            most = plan.line.at(Side.LEFT, high - _REACH_MM).point[2]
            raise DesignError(
                f"a clamp at {height} is on the ridge joint; make it at most {say.most(most)}",
                f"{where}.{name}",
            )
    if places[1] <= places[0]:
        raise DesignError(
            f"a clamp at {say(brace.to_height)} is where the from_height clamp is; raise it",
            f"{where}.to_height",
        )


def _check_hoops(plan: LayoutContext, brace: Brace, where: str) -> None:
    hoops = len(plan.grid.hoop_y_mm)
    for name in ("from_hoop", "to_hoop"):
        if getattr(brace, name) > hoops:
            raise DesignError(
                f"hoop {getattr(brace, name)} does not exist; the frame has {hoops} hoops",
                f"{where}.{name}",
            )
    if brace.to_height <= brace.from_height:
        raise DesignError(
            f"a brace must rise: {plan.say(brace.to_height)} must be above from_height, "
            f"{plan.say(brace.from_height)}",
            f"{where}.to_height",
        )


def _distance(plan: LayoutContext, brace: Brace, name: str, where: str) -> float:
    """Where along the hoop the clamp of ``from_height`` or ``to_height`` sits.

    One that would lie partly on the socket's end sits beside it: it gives way by no more than
    its own width.
    """
    height_mm, top = getattr(brace, name), plan.design.socket.insertion
    try:
        at_mm = plan.height_to_distance(height_mm)
    except ArchError:
        raise DesignError(
            f"{plan.say(height_mm)} is above the ridge at "
            f"{plan.say(plan.arch.ridge_height_mm)}; make it lower",
            f"{where}.{name}",
        ) from None
    return top + _REACH_MM if top - NEGLIGIBLE_MM <= at_mm < top + _REACH_MM else at_mm


def clamp_places(plan: LayoutContext, hoop: int) -> tuple[tuple[HoopPoint, float], ...]:
    """Where braces are clamped to a hoop, each with the brace's outside diameter, mm."""
    hoops, found = len(plan.grid.hoop_y_mm), []
    for index, brace in enumerate(plan.design.brace, start=1):
        for corner in brace.corners:
            side = Side.LEFT if corner in _LEFT else Side.RIGHT
            for number, name in ((brace.from_hoop, "from_height"), (brace.to_hoop, "to_height")):
                if hoop != (number if corner in _FRONT else hoops + 1 - number):
                    continue
                at_mm = _distance(plan, brace, name, f"brace[{index}]")
                found.append((plan.line.at(side, at_mm), brace.tube.od_mm))
    return tuple(found)


def clamp_distances(plan: LayoutContext) -> tuple[float, ...]:
    """Where along a hoop braces are clamped to one, mm from the leg end."""
    return tuple(
        _distance(plan, brace, name, f"brace[{index}]")
        for index, brace in enumerate(plan.design.brace, start=1)
        for name in ("from_height", "to_height")
    )


def brace_members(plan: LayoutContext) -> list[UnmarkedMember]:
    """All braces with their couplers."""
    drafts = []
    for index, brace in enumerate(plan.design.brace, start=1):
        for order, corner in enumerate(brace.corners, start=1):
            where = f"brace[{index}]"
            made = _one(plan, brace, corner, where, order)
            drafts += [replace(draft, source=where) for draft in made]
    return drafts


def _one(
    plan: LayoutContext, brace: Brace, corner: Corner, where: str, order: int
) -> list[UnmarkedMember]:
    side = Side.LEFT if corner in _LEFT else Side.RIGHT
    hoops = len(plan.grid.hoop_y_mm)
    numbers = [brace.from_hoop, brace.to_hoop]
    if corner not in _FRONT:
        numbers = [hoops + 1 - n for n in numbers]
    places = [_distance(plan, brace, name, where) for name in ("from_height", "to_height")]
    tubes = [
        Held(
            point=plan.line.at(side, at_mm).at_y(plan.grid.hoop_y_mm[number - 1]),
            od_mm=plan.design.hoop.tube.od_mm,
            spot=Spot(side=side, hoop=number, order=order),
            place=plan.on_hoop(number, side, at_mm),
        )
        for number, at_mm in zip(numbers, places, strict=True)
    ]
    spot = Spot(side=side, hoop=numbers[0], to_hoop=numbers[1], order=order)
    return clamped_tube(
        plan.fasteners,
        tubes[0],
        tubes[1],
        section=brace.tube,
        overhang_mm=brace.overhang,
        run=RunName(Role.BRACE, None, (where, corner)),
        spot=spot,
        where=where,
    )
