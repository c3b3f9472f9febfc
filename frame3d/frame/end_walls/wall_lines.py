"""What runs along the foot of an end wall: sills, thresholds, what holds studs to them."""

from __future__ import annotations

import itertools
import math

from msgspec.structs import replace

from frame3d.catalog import timber_stock_lengths_mm
from frame3d.design.tables.whole_design import StudFoot, Threshold
from frame3d.errors import CatalogError, DesignError
from frame3d.frame.end_walls.studs import sill_bolt_heights
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.end_walls.wall_runs import jamb_at, sill_at, upright_at
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Board, BoardHole
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.placement import ACROSS, UP, Placement

GAP_MM = 5.0
_NUTS_MM = 45.0
"""What nuts and bolt ends on a socket take up beside it (common practice, no source)."""
_EARS_MM = 35.0
_TURN_MM = 32.0
"""Overlap of a leaf on its jamb, and room for its edge to turn."""
_SHORTEST_MM = 100.0
_STOCK_MM = 6000.0
_TOE_RAD = math.radians(29)
"""Of a screw on a slant to the board that it goes through (common practice, no source)."""


def side_of(x_mm: float) -> Side:
    """Where across the tunnel a place is."""
    if abs(x_mm) < 1.0:
        return Side.MIDDLE
    return Side.LEFT if x_mm < 0 else Side.RIGHT


def _longest_mm(wall: Wall) -> float:
    try:
        return max(timber_stock_lengths_mm(wall.spec.sill.name))
    except CatalogError:
        return _STOCK_MM


def sill_spans(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> tuple[tuple[float, float], ...]:
    """Start and end of every piece of sill from corner to corner.

    Raises
    ------
    DesignError
        If a piece has no upright to be joined at.
    """
    socket = wall.plan.design.socket.tube.od_mm / 2
    lean = wall.plan.line.lean_rad
    high = wall.spec.sill.depth_mm
    corner = wall.plan.arch.width_mm / 2 - high * math.tan(lean) - socket / math.cos(lean)
    on_edge = wall.spec.stud_foot is not StudFoot.SILL
    corner -= _NUTS_MM if on_edge or _beside_nuts(wall) else GAP_MM
    stops = [-corner]
    for door in doors:
        back = 0.0
        if on_edge:
            # Nothing lies before a jamb, where the leaf shuts and turns and the hinges are.
            back = wall.upright_mm + (GAP_MM if wall.is_timber else _EARS_MM)
            back = max(back, door.door.leaf.thickness_mm + _TURN_MM)
        stops += [door.left_mm - back, door.right_mm + back]
    stops.append(corner)
    return tuple(
        piece
        for low, high in zip(stops[::2], stops[1::2], strict=True)
        if high - low >= _SHORTEST_MM and (not on_edge or _held(wall, low, high, uprights))
        for piece in _pieces(wall, low, high, uprights)
    )


def _beside_nuts(wall: Wall) -> bool:
    """Whether a sill on its flat is as high as the lower bolt of the socket at its end."""
    socket, sizes = wall.plan.design.socket, wall.plan.fasteners
    washer = max(sizes.washers[size.name].outside_mm / 2 for size in (sizes.hex, sizes.carriage))
    return socket.exposed - socket.lower_hole - washer < wall.spec.sill.thickness_mm


def held_by_sill(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> frozenset[Upright]:
    """The uprights in the ground that a sill on edge is held to."""
    if wall.spec.stud_foot is StudFoot.SILL:
        return frozenset()
    return frozenset(
        upright
        for start, end in sill_spans(wall, doors, uprights)
        for upright in _held(wall, start, end, uprights)
    )


def sill_members(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[UnmarkedMember]:
    """The sill and the thresholds."""
    drafts = []
    for order, (start, end) in enumerate(sill_spans(wall, doors, uprights), start=1):
        drafts += _sill_piece(wall, start, end, uprights, order)
    for door in doors:
        if door.door.threshold is Threshold.BOARD:
            drafts += [replace(draft, source=door.where) for draft in _threshold(wall, door)]
    return drafts


def _pieces(
    wall: Wall, low: float, high: float, uprights: tuple[Upright, ...]
) -> list[tuple[float, float]]:
    """A stretch of sill, broken under uprights where it is longer than stock."""
    longest = _longest_mm(wall)
    stops = [low]
    while high - stops[-1] > longest:
        under = [
            u.x_mm
            for u in uprights
            if u.kind is not UprightKind.CRIPPLE
            and stops[-1] + 300 < u.x_mm
            and u.x_mm - stops[-1] <= longest
            and high - u.x_mm > 100
        ]
        if not under:
            raise DesignError(
                f"a sill of {wall.plan.say(high - low)} needs a joint under a stud, because "
                f"the lumber is stocked in {wall.plan.say(longest)} lengths; add studs",
                f"{wall.where}.sill",
            )
        stops.append(max(under))
    stops.append(high)
    return list(itertools.pairwise(stops))


def _sill_piece(
    wall: Wall, start: float, end: float, uprights: tuple[Upright, ...], order: int
) -> list[UnmarkedMember]:
    section, way = wall.spec.sill, wall.way
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    if wall.spec.stud_foot is StudFoot.SILL:
        covered = Stretch(sill_at(wall, start).run, start, end)
        return [_flat_board(wall, covered, start, end, spot)]
    held = _held(wall, start, end, uprights)
    # On edge before the uprights: x along +X, depth up, so the thickness runs along -Y.
    front = wall.front_mm
    face = wall.y(front) if way > 0 else wall.y(front - section.thickness_mm)
    holes: tuple[BoardHole, ...] = ()
    if not wall.is_timber:
        holes = tuple(
            BoardHole(
                along_mm=u.x_mm - start, up_mm=z, diameter_mm=wall.plan.fasteners.carriage.hole_mm
            )
            for u in held
            for z in sill_bolt_heights(wall)
        )
    board = Board(section=section, length_mm=end - start, holes=holes)
    placement = Placement.of(origin=(start, face, 0.0), x=ACROSS, y=UP)
    drafts = [
        UnmarkedMember(
            role=Role.WALL_SILL,
            part=board,
            placement=placement,
            spot=spot,
            stretches=(Stretch(sill_at(wall, start).run, start, end),),
        )
    ]
    for upright in held:
        for z in sill_bolt_heights(wall):
            drafts += _held_to_sill(wall, upright, z, spot)
    return drafts


def _held(wall: Wall, start: float, end: float, uprights: tuple[Upright, ...]) -> list[Upright]:
    """The uprights from the ground that stand behind a piece of sill."""
    half = wall.upright_mm / 2
    return [
        u
        for u in uprights
        if u.kind is not UprightKind.CRIPPLE
        and start - 1e-6 <= u.x_mm - half
        and u.x_mm + half <= end + 1e-6
    ]


def _held_to_sill(wall: Wall, upright: Upright, z: float, spot: Spot) -> list[UnmarkedMember]:
    thick = wall.spec.sill.thickness_mm
    seat = (upright.x_mm, wall.y(wall.front_mm - thick), z)
    joins = (sill_at(wall, upright.x_mm), upright_at(wall, upright.x_mm))
    if wall.is_timber:
        return lag_into(
            wall.plan,
            seat,
            wall.across(1.0),
            thick,
            wall.spec.timber.depth_mm,
            spot,
            f"{wall.where}.sill",
            joins,
        )
    return bolt_up(
        wall.plan.fasteners,
        wall.plan.fasteners.carriage,
        seat=seat,
        direction=wall.across(1.0),
        thickness_mm=thick + wall.spec.tube.od_mm,
        spot=spot,
        where="hardware.board_bolt",
        joins=joins,
        plane_mm=thick,
    )


def _flat_board(
    wall: Wall, covered: Stretch, start: float, end: float, spot: Spot
) -> UnmarkedMember:
    """A board flat on the ground, its front edge in line with the uprights'."""
    section, way = wall.spec.sill, wall.way
    board = Board(section=section, length_mm=end - start)
    bottom = 0.0 if way > 0 else section.thickness_mm
    placement = Placement.of(
        origin=(start, wall.y(wall.front_mm), bottom), x=ACROSS, y=wall.across(1.0)
    )
    return UnmarkedMember(
        role=covered.run.role, part=board, placement=placement, spot=spot, stretches=(covered,)
    )


def _threshold(wall: Wall, door: DoorPlace) -> list[UnmarkedMember]:
    """A board between the jambs, screwed to what it meets at both ends.

    In timber by two screws on a slant, into the sill or the jamb; to tube jambs by a screw
    through each into the end of the board.
    """
    spot = Spot(side=side_of((door.left_mm + door.right_mm) / 2), hoop=wall.hoop)
    board = wall.spec.sill
    run = RunName(Role.THRESHOLD, wall.hoop, door.where)
    drafts = [_flat_board(wall, Stretch(run), door.left_mm, door.right_mm, spot)]
    for x, sign in ((door.left_mm, -1.0), (door.right_mm, 1.0)):
        if not wall.is_timber:
            od_mm = wall.spec.tube.od_mm
            seat = (x + sign * od_mm, wall.y(wall.axis_mm), board.thickness_mm / 2)
            drafts += lag_into(
                wall.plan,
                seat,
                (-sign, 0.0, 0.0),
                od_mm,
                (door.right_mm - door.left_mm) / 2,
                spot,
                f"{wall.where}.tube",
                (jamb_at(wall, door, sign), Place(run)),
            )
            continue
        on_sill = wall.spec.stud_foot is StudFoot.SILL
        beside = sill_at(wall, x + sign) if on_sill else jamb_at(wall, door, sign)
        back = 0.8 * board.thickness_mm
        down = board.thickness_mm - back * math.tan(_TOE_RAD)
        for share in (0.3, 0.7):
            seat = (
                x - sign * back,
                wall.y(wall.front_mm + share * min(wall.spec.timber.depth_mm, board.depth_mm)),
                board.thickness_mm,
            )
            way = (sign * math.cos(_TOE_RAD), 0.0, -math.sin(_TOE_RAD))
            drafts += lag_into(
                wall.plan,
                seat,
                way,
                back / math.cos(_TOE_RAD),
                down / math.sin(_TOE_RAD),
                spot,
                f"{wall.where}.sill",
                (Place(run), beside),
            )
    return drafts
