"""Braces: straight tubes on a rising line along the side wall, held by couplers."""

from __future__ import annotations

from msgspec.structs import replace

from frame3d.design.tables.whole_design import Brace, Corner
from frame3d.errors import ArchError, DesignError
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.clamps import WIDTH_MM
from frame3d.frame.joining.spanning import Held, clamped_tube
from frame3d.frame.joining.stops import TubeStretch
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Role, Side, Spot

_LEFT = (Corner.FRONT_LEFT, Corner.BACK_LEFT)
_FRONT = (Corner.FRONT_LEFT, Corner.FRONT_RIGHT)


def brace_stretches(plan: LayoutContext, end: RidgeEnd | None) -> tuple[TubeStretch, ...]:
    """What the clamps of the braces take up of a half hoop; the same for every hoop.

    Raises
    ------
    DesignError
        If a brace names a hoop or a height that the frame does not have.
    """
    high = end.clear_from_mm if end is not None else plan.line.half.length_mm
    taken = []
    for index, brace in enumerate(plan.design.brace, start=1):
        _check_hoops(plan, brace, f"brace[{index}]")
        for name in ("from_height", "to_height"):
            at = _distance(plan, getattr(brace, name), f"brace[{index}].{name}")
            reach = WIDTH_MM / 2 + 10
            if not plan.design.socket.insertion + reach <= at <= high - reach:
                raise DesignError(
                    f"a clamp at {plan.say(getattr(brace, name))} lies on the socket or on the "
                    f"ridge joint; place it above {plan.say(plan.design.socket.exposed + reach)} "
                    "and clear of the ridge",
                    f"brace[{index}].{name}",
                )
            taken.append(TubeStretch.around(at, reach))
    return tuple(taken)


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
            f"a brace rises: {plan.say(brace.to_height)} must be above from_height, "
            f"{plan.say(brace.from_height)}",
            f"{where}.to_height",
        )


def _distance(plan: LayoutContext, height_mm: float, where: str) -> float:
    try:
        return plan.height_to_distance(height_mm)
    except ArchError:
        raise DesignError(
            f"{plan.say(height_mm)} is above the ridge at "
            f"{plan.say(plan.arch.ridge_height_mm)}; make it lower",
            where,
        ) from None


def clamp_places(plan: LayoutContext, hoop: int) -> tuple[tuple[HoopPoint, float], ...]:
    """Where braces are clamped to a hoop, each with the brace's outside diameter, mm."""
    hoops, found = len(plan.grid.hoop_y_mm), []
    for index, brace in enumerate(plan.design.brace, start=1):
        for corner in brace.corners:
            side = Side.LEFT if corner in _LEFT else Side.RIGHT
            for number, name in ((brace.from_hoop, "from_height"), (brace.to_hoop, "to_height")):
                if hoop != (number if corner in _FRONT else hoops + 1 - number):
                    continue
                at_mm = _distance(plan, getattr(brace, name), f"brace[{index}].{name}")
                found.append((plan.line.at(side, at_mm), brace.tube.od_mm))
    return tuple(found)


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
    heights = (brace.from_height, brace.to_height)
    places = [
        plan.line.at(side, _distance(plan, height, where)).at_y(plan.grid.hoop_y_mm[n - 1])
        for n, height in zip(numbers, heights, strict=True)
    ]
    tubes = [
        Held(
            point=place,
            od_mm=plan.design.hoop.tube.od_mm,
            spot=Spot(side=side, hoop=number, order=order),
        )
        for number, place in zip(numbers, places, strict=True)
    ]
    spot = Spot(side=side, hoop=numbers[0], to_hoop=numbers[1], order=order)
    return clamped_tube(
        plan.fasteners,
        tubes[0],
        tubes[1],
        section=brace.tube,
        overhang_mm=brace.overhang,
        role=Role.BRACE,
        spot=spot,
        where=where,
    )
