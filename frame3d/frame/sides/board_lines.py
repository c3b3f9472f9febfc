"""Lines of boards along a side: the boards, the blocks behind their joints, their bolts.

Sill boards and hip boards are such lines.

Glossary
--------
board line : boards end to end along one side, bolted to every hoop or socket.
joint block : a short length of the same board on the inside of a joint; outside it
    would hold the roll-up side away from the board.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.errors import DesignError
from frame3d.frame.hoops.repeating import at_hoop, at_spot
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Board, BoardHole
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.sides.board_joints import Stretches, joints_of_sides
from frame3d.geometry.placement import Placement, Vector, add

_TINY = 1e-6
_BLOCK_ROOM_MM = 30.0
"""Left free between a block and the tubes beside it (common practice, no source)."""
_BESIDE_MM = 10.0
"""Left free between a block and another board behind the line (common practice, no source)."""


class BoardLine(Struct, frozen=True, kw_only=True):
    """One line of boards, the same on both sides but mirrored.

    Parameters
    ----------
    where : str
        The section of the design that it comes from.
    role : Role
    timber : TimberSection
    stock_mm, overhang_mm, block_mm : float
        Length of board that can be bought, run past the end hoops, length of the blocks.
    heights_mm : tuple of float
        Of the bolts, above the lower edge of the board.
    bolted_mm : tuple of float
        Of the same, along the hoop from its leg end.
    bolted_to : TubeSection
        The tube behind the board that the bolts go through.
    foot : callable
        Side -> the point where the board's lower inner edge lies at y = 0, the direction up
        the board, and the direction inward; (3,) float each.
    behind_mm : tuple of (float, float)
        Stretches along Y in which something else stands behind the boards, such as an end stop.
    rises_mm : dict of Side to tuple of float
        How much higher each board of a side stands than the line; empty for none.
    bored_mm : dict of Side to tuple of (float, float)
        Y and height above the lower edge of holes for what else is bolted to the boards.
    """

    where: str
    role: Role
    timber: TimberSection
    stock_mm: float
    overhang_mm: float
    block_mm: float
    heights_mm: tuple[float, ...]
    bolted_mm: tuple[float, ...]
    bolted_to: TubeSection
    foot: Callable[[Side], tuple[Vector, Vector]]
    behind_mm: Stretches = ()
    rises_mm: dict[Side, tuple[float, ...]] = {}
    bored_mm: dict[Side, Stretches] = {}

    def joints(self, plan: LayoutContext, side: Side) -> tuple[float, ...]:
        """Where the boards of a side are joined, along Y, mm."""
        grid = plan.grid.even
        run = (-self.overhang_mm, grid.length_mm + self.overhang_mm)
        clear = self.block_mm / 2 + self.bolted_to.od_mm / 2 + _BLOCK_ROOM_MM
        reach = self.block_mm / 2 + _BESIDE_MM
        at = plan.grid.designed_at
        barred = tuple((at(low - reach), at(high + reach)) for low, high in self.behind_mm)
        sides = joints_of_sides(run, grid.hoop_y_mm, self.stock_mm, clear, barred)
        if longest_mm(plan, run, sides) > self.stock_mm + _TINY:
            # As driven a board would be longer than those that can be bought.
            stock = self.stock_mm - plan.grid.most_growth_mm
            sides = joints_of_sides(run, grid.hoop_y_mm, stock, clear, barred)
        joints = sides[SIDES.index(side)] if sides else ()
        return tuple(map(plan.grid.driven_at, joints))

    def rise(self, side: Side, number: int) -> float:
        """How much higher than the line the board of that number, from 0, stands, mm."""
        rises = self.rises_mm.get(side, ())
        return rises[number] if rises else 0.0

    def bed(self, side: Side, low_mm: float, high_mm: float, rise_mm: float = 0.0) -> Placement:
        """Own axes of a board from ``low_mm`` to ``high_mm`` along Y, its back on the tubes."""
        origin, up = self.foot(side)
        origin = add(origin, up, rise_mm)
        # The thickness (z) points outward, the depth (y) up.
        along = (0.0, -1.0, 0.0) if side is Side.LEFT else (0.0, 1.0, 0.0)
        start = high_mm if side is Side.LEFT else low_mm
        return Placement.of(origin=(origin[0], start, origin[2]), x=along, y=up)


def longest_mm(
    plan: LayoutContext, run_mm: tuple[float, float], sides: Sequence[Sequence[float]]
) -> float:
    """The longest board of all sides, joined at these places of the design, as driven, mm."""
    stops = ([*map(plan.grid.driven_at, (run_mm[0], *side, run_mm[1]))] for side in sides)
    return max((b - a for side in stops for a, b in itertools.pairwise(side)), default=0.0)


def on_boards(role: Role, side: Side, y_mm: float) -> Place:
    """A place on the boards of a side, by what they are for."""
    return Place(RunName(role, None, side), y_mm)


def check_line(plan: LayoutContext, line: BoardLine) -> None:
    """Refuse boards whose stock or blocks do not fit the bays.

    Raises
    ------
    DesignError
        Naming the field to change.
    """
    spacing, say = min(plan.grid.bays_mm), plan.say
    run = plan.grid.length_mm + 2 * line.overhang_mm
    joints = [joint for side in SIDES for joint in line.joints(plan, side)]
    if run > line.stock_mm + _TINY and not joints:
        raise DesignError(
            f"{say(line.stock_mm)} boards do not reach from mid-bay to mid-bay; use stock "
            f"of at least {say.least(max(spacing, spacing / 2 + line.overhang_mm))}",
            f"{line.where}.stock_length",
        )
    room = spacing - line.bolted_to.od_mm - 2 * _BLOCK_ROOM_MM
    if joints and line.block_mm > room + _TINY:
        raise DesignError(
            f"a {say(line.block_mm)} block does not fit between two hoops; make it at most "
            f"{say.most(room)}",
            f"{line.where}.block_length",
        )


def line_members(plan: LayoutContext, line: BoardLine) -> list[UnmarkedMember]:
    """Boards, blocks and bolts of both sides."""
    check_line(plan, line)
    drafts = []
    for side in SIDES:
        drafts += _boards(plan, line, side)
        drafts += _blocks(plan, line, side)
        drafts += _tube_bolts(plan, line, side)
    return drafts


def _block_holes(line: BoardLine, joint_mm: float, rise_mm: float) -> list[tuple[float, float]]:
    """Y and height above the line of the four bolts of a joint, mm."""
    quarter, depth = line.block_mm / 4, line.timber.depth_mm
    return [
        (joint_mm + s * quarter, rise_mm + share * depth) for s in (-1, 1) for share in (0.25, 0.75)
    ]


def _block_rise(line: BoardLine, side: Side, joint: int) -> float:
    """How much higher the block of a joint, from 0, stands: half-way between its boards, mm."""
    return (line.rise(side, joint) + line.rise(side, joint + 1)) / 2


def _board(
    plan: LayoutContext,
    line: BoardLine,
    side: Side,
    low: float,
    high: float,
    points: Iterable[tuple[float, float]],
) -> Board:
    size = plan.fasteners.carriage.hole_mm
    holes = tuple(
        BoardHole(along_mm=high - y if side is Side.LEFT else y - low, up_mm=up, diameter_mm=size)
        for y, up in points
        if low < y < high
    )
    return Board(section=line.timber, length_mm=high - low, holes=holes)


def _boards(plan: LayoutContext, line: BoardLine, side: Side) -> list[UnmarkedMember]:
    joints = line.joints(plan, side)
    stops = [-line.overhang_mm, *joints, plan.grid.length_mm + line.overhang_mm]
    points = [(y, up) for y in plan.grid.hoop_y_mm for up in line.heights_mm]
    points += [
        point
        for number, joint in enumerate(joints)
        if _has_block(plan, line, joint)
        for point in _block_holes(line, joint, _block_rise(line, side, number))
    ]
    points += line.bored_mm.get(side, ())
    drafts = []
    for order, (low, high) in enumerate(zip(stops, stops[1:], strict=False), start=1):
        hoops = [n for n, y in enumerate(plan.grid.hoop_y_mm, start=1) if low < y < high]
        spot = Spot(side=side, hoop=hoops[0], to_hoop=hoops[-1], order=order)
        rise = line.rise(side, order - 1)
        drafts.append(
            UnmarkedMember(
                role=line.role,
                part=_board(plan, line, side, low, high, [(y, up - rise) for y, up in points]),
                placement=line.bed(side, low, high, rise),
                spot=spot,
                stretches=(Stretch(on_boards(line.role, side, low).run, low, high),),
            )
        )
    return drafts


def _has_block(plan: LayoutContext, line: BoardLine, joint: float) -> bool:
    """False where a hoop stands in the block's place; a check tells of such a joint."""
    clear = line.block_mm / 2 + line.bolted_to.od_mm / 2
    return min(abs(joint - y) for y in plan.grid.hoop_y_mm) >= clear


def _blocks(plan: LayoutContext, line: BoardLine, side: Side) -> list[UnmarkedMember]:
    drafts: list[UnmarkedMember] = []
    made: dict[float, list[UnmarkedMember]] = {}
    for order, joint in enumerate(line.joints(plan, side), start=1):
        if not _has_block(plan, line, joint):
            continue
        hoop = sum(1 for y in plan.grid.hoop_y_mm if y < joint)
        spot = Spot(side=side, hoop=hoop, to_hoop=hoop + 1, order=order)
        rise = _block_rise(line, side, order - 1)
        if rise not in made:
            made[rise] = _block(plan, line, side, spot, rise)
        drafts += at_spot(made[rise], spot, joint)
    return drafts


def _block(
    plan: LayoutContext, line: BoardLine, side: Side, spot: Spot, rise_mm: float
) -> list[UnmarkedMember]:
    """The block of a joint at y = 0, with its bolts."""
    thick, half = line.timber.thickness_mm, line.block_mm / 2
    bed = line.bed(side, -half, half, rise_mm)
    place = Placement(origin=add(bed.origin, bed.z, -thick), x=bed.x, y=bed.y, z=bed.z)
    points = _block_holes(line, 0.0, 0.0)
    block = _board(plan, line, side, -half, half, points)
    run = RunName(Role.JOINT_BLOCK, None, (line.role, side))
    covered = (Stretch(run, -half, half),)
    drafts = [
        UnmarkedMember(role=run.role, part=block, placement=place, spot=spot, stretches=covered)
    ]
    for y, up in points:
        along = half - y if side is Side.LEFT else y + half
        seat = bed.point((along, up, thick))
        joins = (on_boards(line.role, side, y), Place(run, y))
        drafts += carriage(plan, seat, bed, 2 * thick, spot, joins, plane_mm=thick)
    return drafts


def _tube_bolts(plan: LayoutContext, line: BoardLine, side: Side) -> list[UnmarkedMember]:
    first, thick = Spot(side=side, hoop=1), line.timber.thickness_mm
    bed, depth = line.bed(side, 0.0, 0.0), thick + line.bolted_to.od_mm
    one = [
        draft
        for up, at_mm in zip(line.heights_mm, line.bolted_mm, strict=True)
        for draft in carriage(
            plan,
            bed.point((0.0, up, thick)),
            bed,
            depth,
            first,
            (on_boards(line.role, side, 0.0), plan.on_hoop(1, side, at_mm)),
            plane_mm=depth - line.bolted_to.wall_mm,
        )
    ]
    return [
        draft
        for number, y in enumerate(plan.grid.hoop_y_mm, start=1)
        for draft in at_hoop(one, number, y)
    ]


def carriage(
    plan: LayoutContext,
    seat: Vector,
    bed: Placement,
    thickness_mm: float,
    spot: Spot,
    joins: tuple[Place, ...],
    plane_mm: float,
) -> list[UnmarkedMember]:
    """A carriage bolt from the outer face of a board, its nut on the inside."""
    return bolt_up(
        plan.fasteners,
        plan.fasteners.carriage,
        seat=seat,
        direction=(-bed.z[0], -bed.z[1], -bed.z[2]),
        thickness_mm=thickness_mm,
        spot=spot,
        where="hardware.board_bolt",
        joins=joins,
        plane_mm=plane_mm,
    )
