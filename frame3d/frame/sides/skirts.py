"""Sill boards on ground that was measured: the answer, and the skirt boards of one."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from msgspec.structs import replace

from frame3d.design.tables.staking import GroundBoards, StringLine
from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignError
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Board, BoardHole, RippedBoard
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.sides.board_lines import BoardLine, carriage, on_boards
from frame3d.frame.sides.ground_answers import (
    LEAST_DEPTH_MM,
    BayGap,
    BoardsOnGround,
    Footing,
    Skirt,
    answers_for,
)
from frame3d.geometry.placement import Placement, add
from frame3d.units import UnitSystem

_STEP_MM = {UnitSystem.IMPERIAL: 25.4 / 8, UnitSystem.METRIC: 2.0}
_SOCKET_ROOM_MM = 30.0
_BESIDE_MM = 10.0
"""Left free beside a block: of a socket, of another thing (common practice, no source)."""
_LEAST_BLOCK_MM = 150.0
_COARSE_MM = 25.0

Span = tuple[float, float]


def answer_of(plan: LayoutContext, line: BoardLine) -> BoardsOnGround | None:
    """What is done about the sill boards; None where the ground was not measured.

    Raises
    ------
    DesignError
        If the design asks for skirt boards, and one does not close the gap in every bay.
    """
    if plan.ground is None:
        return None
    # Heights and depths are measured up the boards, which lean as the legs do.
    plumb = line.foot(Side.LEFT)[1][2]
    lines = {side: tuple((y, z / plumb) for y, z in plan.ground.along(side)) for side in SIDES}
    sill = plan.design.sill_board
    bottom = 0.0 if sill is None else sill.bottom
    footing = Footing(
        hoops_mm=plan.grid.hoop_y_mm,
        overhang_mm=line.overhang_mm,
        joints_mm={side: line.joints(plan, side) for side in SIDES},
        bottom_mm=bottom,
        depth_mm=line.timber.depth_mm,
        thick_mm=line.timber.thickness_mm,
        holes_mm=line.heights_mm,
        edge_mm=_edge_mm(plan),
        step_mm=_STEP_MM[plan.say.form.system],
    )
    no_room = frozenset(
        (side, bay)
        for side in SIDES
        for bay in range(1, len(plan.grid.hoop_y_mm))
        if not _block_spans(plan, line, side, bay)
    )
    found = answers_for(lines, replace(footing, no_room=no_room), plan.design.staking.boards)
    if found.kind is GroundBoards.SKIRT and found.taken.unfit:
        raise DesignError(_refusal(plan, found), "staking.boards")
    return found


def _edge_mm(plan: LayoutContext) -> float:
    """Wood to be left from the middle of a hole to the edge (as :mod:`.sills` asks), mm."""
    return 1.5 * plan.fasteners.carriage.hole_mm


def _refusal(plan: LayoutContext, found: BoardsOnGround) -> str:
    """What one skirt board cannot do, where, and what would."""
    worst = max(gap.gap_mm for gap in found.taken.unfit)
    return (
        f"one skirt board cannot close a gap of up to {plan.say(worst)} in "
        f"{bays_text(found.taken.unfit)}; {what_would(found, plan.design)}"
    )


def what_would(found: BoardsOnGround, design: Design) -> str:
    """Which answers do in every bay; where none does, what else would."""
    others = [f'boards = "{answer.kind.value}"' for answer in found.fitting]
    if others:
        return f"use {' or '.join(others)}"
    if design.staking.string is StringLine.LEVEL:
        return 'run the string on a slope (string = "slope"), or make a pad'
    return "make a pad, whose earthwork frame3d site gives, or choose a place that is less steep"


def bays_text(gaps: Iterable[BayGap]) -> str:
    """Bays in words, side by side: ``bays 3 to 6 and 9 on the right``."""
    told = []
    for side, group in itertools.groupby(gaps, key=lambda gap: gap.side):
        bays = [gap.bay for gap in group]
        runs: list[list[int]] = []
        for bay in bays:
            if runs and bay == runs[-1][-1] + 1:
                runs[-1].append(bay)
            else:
                runs.append([bay])
        words = [f"{run[0]}" if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]
        names = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
        told.append(f"bay{'s' if len(bays) > 1 else ''} {names} on the {side.value}")
    return ", ".join(told)


def fitted_line(plan: LayoutContext, line: BoardLine) -> tuple[BoardLine, BoardsOnGround | None]:
    """The line of sill boards as it stands on this ground, and the answer that it is of."""
    found = answer_of(plan, line)
    if found is None:
        return line, None
    bored: dict[Side, list[Span]] = {}
    for skirt in found.taken.skirts:
        for span in _block_spans(plan, line, skirt.side, skirt.bay):
            lower = _lower_mm(line, skirt)
            up = (line.timber.depth_mm - lower) / 2
            bored.setdefault(skirt.side, []).extend((y, up) for y in _bolts_y(span))
    return (
        replace(
            line,
            rises_mm=found.taken.rises_mm,
            bored_mm={side: tuple(points) for side, points in bored.items()},
        ),
        found,
    )


def skirt_members(
    plan: LayoutContext, line: BoardLine, found: BoardsOnGround
) -> list[UnmarkedMember]:
    """Skirt boards, the blocks that hold them to the sill boards, and their bolts."""
    drafts: list[UnmarkedMember] = []
    orders = dict.fromkeys(SIDES, 0)
    for skirt in found.taken.skirts:
        orders[skirt.side] += 1
        spot = Spot(
            side=skirt.side, hoop=skirt.bay, to_hoop=skirt.bay + 1, order=orders[skirt.side]
        )
        spans = _block_spans(plan, line, skirt.side, skirt.bay)
        drafts.append(_board(plan, line, skirt, spans, spot))
        for order, span in enumerate(spans, start=1):
            drafts += _block(plan, line, skirt, span, replace(spot, order=order))
    return drafts


def _block_spans(plan: LayoutContext, line: BoardLine, side: Side, bay: int) -> tuple[Span, ...]:
    """Where the blocks of a skirt board lie along the tunnel: two, or one where no more fit.

    Clear of sockets, of the blocks behind joints, and of end stops.
    """
    low, high = plan.grid.hoop_y_mm[bay - 1], plan.grid.hoop_y_mm[bay]
    socket = line.bolted_to.od_mm / 2 + _SOCKET_ROOM_MM
    half = line.block_mm / 2 + _BESIDE_MM
    barred = [(at - half, at + half) for at in line.joints(plan, side)]
    barred += [(a - _BESIDE_MM, b + _BESIDE_MM) for a, b in line.behind_mm]
    free, start = [], low + socket
    for a, b in sorted(barred):
        if b > start and a < high - socket:
            free.append((start, min(a, high - socket)))
            start = max(start, b)
    free.append((start, high - socket))
    free = [(a, b) for a, b in free if b - a >= _LEAST_BLOCK_MM]
    if len(free) == 1 and free[0][1] - free[0][0] >= 2 * line.block_mm + 4 * _BESIDE_MM:
        middle = sum(free[0]) / 2
        free = [(free[0][0], middle), (middle, free[0][1])]
    longest = sorted(sorted(free, key=lambda span: span[0] - span[1])[:2])
    return tuple(_centred(span, line.block_mm) for span in longest)


def _centred(span: Span, block_mm: float) -> Span:
    middle, half = sum(span) / 2, min(block_mm, span[1] - span[0]) / 2
    return (middle - half, middle + half)


def _bolts_y(span: Span) -> Span:
    quarter = (span[1] - span[0]) / 4
    return (span[0] + quarter, span[1] - quarter)


def _lower_mm(line: BoardLine, skirt: Skirt) -> float:
    """How much of a block is behind the skirt board: no more than that is deep, or half of it.

    In coarse steps, so that blocks are alike.
    """
    deep = min(*skirt.depths_mm, line.timber.depth_mm / 2)
    return max(LEAST_DEPTH_MM, _COARSE_MM * (deep // _COARSE_MM))


def _board(
    plan: LayoutContext, line: BoardLine, skirt: Skirt, spans: tuple[Span, ...], spot: Spot
) -> UnmarkedMember:
    """A skirt board, its straight edge up against the sill board."""
    left, (origin, up) = skirt.side is Side.LEFT, line.foot(skirt.side)
    down = (-up[0], -up[1], -up[2])
    start = skirt.low_mm if left else skirt.high_mm
    bed = Placement.of(
        origin=(origin[0], start, origin[2]), x=(0.0, 1.0 if left else -1.0, 0.0), y=down
    )
    holes = tuple(
        BoardHole(
            along_mm=abs(y - start),
            up_mm=_lower_mm(line, skirt) / 2,
            diameter_mm=plan.fasteners.carriage.hole_mm,
        )
        for span in spans
        for y in _bolts_y(span)
    )
    part = RippedBoard(
        section=line.timber,
        length_mm=skirt.high_mm - skirt.low_mm,
        holes=holes,
        left_mm=skirt.depths_mm if left else skirt.depths_mm[::-1],
    )
    run = on_boards(Role.SKIRT_BOARD, skirt.side, 0.0).run
    return UnmarkedMember(
        role=Role.SKIRT_BOARD, part=part, placement=bed, spot=spot,
        stretches=(Stretch(run, skirt.low_mm, skirt.high_mm),),
    )  # fmt: skip


def _block(
    plan: LayoutContext, line: BoardLine, skirt: Skirt, span: Span, spot: Spot
) -> list[UnmarkedMember]:
    """A block behind both boards, with two bolts through each of them."""
    side, thick, depth = skirt.side, line.timber.thickness_mm, line.timber.depth_mm
    lower = _lower_mm(line, skirt)
    bed = line.bed(side, *span, -lower)
    place = Placement(origin=add(bed.origin, bed.z, -thick), x=bed.x, y=bed.y, z=bed.z)
    run = RunName(Role.JOINT_BLOCK, None, (Role.SKIRT_BOARD, side))

    def along(y: float) -> float:
        return span[1] - y if side is Side.LEFT else y - span[0]

    ups = ((lower / 2, Role.SKIRT_BOARD), ((depth + lower) / 2, Role.SILL_BOARD))
    size = plan.fasteners.carriage.hole_mm
    holes = tuple(
        BoardHole(along_mm=along(y), up_mm=up, diameter_mm=size)
        for y in _bolts_y(span)
        for up, _ in ups
    )
    block = Board(section=line.timber, length_mm=span[1] - span[0], holes=holes)
    drafts = [
        UnmarkedMember(
            role=Role.JOINT_BLOCK, part=block, placement=place, spot=spot,
            stretches=(Stretch(run, *span),),
        )
    ]  # fmt: skip
    for y in _bolts_y(span):
        for up, role in ups:
            seat = bed.point((along(y), up, thick))
            joins = (on_boards(role, side, y), Place(run, y))
            drafts += carriage(plan, seat, bed, 2 * thick, spot, joins, plane_mm=thick)
    return drafts
