"""What holds the sill of an end wall to the ground: stakes, posts or ground anchors beside it.

They stand against the sill's inner edge, their tops level with its top, so that nobody trips
over them, and a screw goes through each into the sill. Each is as deep in its own ground as the
design asks for at least, its length a whole inch or 25 mm; ground anchors of a wall are alike, as
long as the longest has to be. What they hold, nothing here knows.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.ends import StudFoot, WallAnchors
from frame3d.errors import DesignError, present
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of, sill_spans
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind, ground_over
from frame3d.frame.end_walls.wall_runs import sill_at
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.joining.timber_screws import lag_for, lag_into
from frame3d.frame.model.fittings import LUG_MM, LUG_WIDE_MM, GroundAnchor
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Board, Hole, Part, Tube
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import UP, Placement
from frame3d.units import UnitSystem

_STEP_MM = {UnitSystem.IMPERIAL: 25.4, UnitSystem.METRIC: 25.0}
_IN_MM = 200.0
"""From the end of a piece of sill to its first anchor (common practice, no source)."""
_BESIDE_MM = 30.0
"""From a stud, for its slanting screws (common practice, no source)."""
_PLAY_MM = 1.0
_TINY = 1e-6


class Anchored(Struct, frozen=True, kw_only=True):
    """An anchor: its place across the tunnel, and its length below the sill's top, mm."""

    x_mm: float
    length_mm: float


def anchors_of(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> tuple[Anchored, ...]:
    """The anchors of a wall, from the left; none where the design has none."""
    if wall.spec.anchors is WallAnchors.NONE or wall.spec.stud_foot is not StudFoot.SILL:
        return ()
    half = _wide_mm(wall) / 2
    taken = [
        KeptClear.around(u.x_mm, wall.upright_mm / 2 + _BESIDE_MM)
        for u in uprights
        if u.kind is not UprightKind.CRIPPLE
    ]
    found: list[float] = []
    for start, end in sill_spans(wall, doors, uprights):
        within = KeptClear(start + _BESIDE_MM, end - _BESIDE_MM)
        for wish in _wished(start, end, wall.spec.anchor_spacing):
            at = nearest_free(wish, half, half, taken, within)
            if at is not None:
                found.append(at)
                taken.append(KeptClear.around(at, half + _BESIDE_MM))
    lengths = {x: _length_mm(wall, x, half) for x in sorted(found)}
    if wall.spec.anchors is WallAnchors.GROUND_ANCHORS:  # bought in one length
        lengths = dict.fromkeys(lengths, max(lengths.values(), default=0.0))
    return tuple(Anchored(x_mm=x, length_mm=length) for x, length in lengths.items())


def _wished(start: float, end: float, spacing: float) -> list[float]:
    """Even places from near one end of a piece to near the other; one in the middle of a short."""
    low, high = start + _IN_MM, end - _IN_MM
    if high - low < _IN_MM:
        return [(start + end) / 2]
    gaps = max(1, math.ceil((high - low) / spacing - _TINY))
    return [low + k * (high - low) / gaps for k in range(gaps + 1)]


def _wide_mm(wall: Wall) -> float:
    """How wide an anchor is along the sill."""
    spec = wall.spec
    match spec.anchors:
        case WallAnchors.STAKES:
            return spec.anchor_tube.od_mm
        case WallAnchors.POSTS:
            return spec.anchor_timber.depth_mm
        case _:
            return max(LUG_WIDE_MM, spec.anchor_plate)


def _length_mm(wall: Wall, x_mm: float, half_mm: float) -> float:
    """From the sill's top to as deep as is asked for in the lowest ground there, in whole steps."""
    low = min(z for _, z in ground_over(wall, x_mm, half_mm))
    least = max(0.0, wall.spec.sill.thickness_mm - low) + wall.spec.anchor_depth
    step = _STEP_MM[wall.plan.say.form.system]
    return math.ceil(least / step - _TINY) * step


def anchor_members(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[UnmarkedMember]:
    """The anchors with the screws that hold the sill to them.

    Raises
    ------
    DesignError
        If no stocked screw holds them.
    """
    make = {WallAnchors.STAKES: _stake, WallAnchors.POSTS: _post}.get(wall.spec.anchors, _rod)
    drafts: list[UnmarkedMember] = []
    for order, anchor in enumerate(anchors_of(wall, doors, uprights), start=1):
        spot = Spot(side=side_of(anchor.x_mm), hoop=wall.hoop, order=order)
        drafts += make(wall, anchor, spot)
    return drafts


def _run(wall: Wall, x_mm: float) -> RunName:
    return RunName(Role.WALL_ANCHOR, wall.hoop, round(x_mm, 3))


def _member(
    wall: Wall, anchor: Anchored, part: Part, placement: Placement, spot: Spot
) -> UnmarkedMember:
    return UnmarkedMember(
        role=Role.WALL_ANCHOR, part=part, placement=placement, spot=spot,
        stretches=(Stretch(_run(wall, anchor.x_mm)),),
    )  # fmt: skip


def _edge_mm(wall: Wall) -> float:
    """Depth of the sill's inner edge, mm."""
    return wall.front_mm + wall.spec.sill.depth_mm


def _screwed(
    wall: Wall, anchor: Anchored, x_mm: float, thick_mm: float, spot: Spot, field: str
) -> list[UnmarkedMember]:
    """A screw from inside, through what stands beside the sill, into the sill's edge."""
    sill = wall.spec.sill
    return lag_into(
        wall.plan,
        (x_mm, wall.y(_edge_mm(wall) + thick_mm), sill.thickness_mm / 2),
        wall.across(-1.0), thick_mm, sill.depth_mm, spot, f"{wall.where}.{field}",
        (Place(_run(wall, anchor.x_mm)), sill_at(wall, x_mm)),
    )  # fmt: skip


def _stake(wall: Wall, anchor: Anchored, spot: Spot) -> list[UnmarkedMember]:
    tube, sill, x = wall.spec.anchor_tube, wall.spec.sill, anchor.x_mm
    screws = _screwed(wall, anchor, x, tube.od_mm, spot, "anchor_tube")
    size = present(lag_for(wall.plan, tube.od_mm, sill.depth_mm), "screw of a stake")
    hole = Hole(
        at_mm=anchor.length_mm - sill.thickness_mm / 2, diameter_mm=size.diameter_mm + _PLAY_MM
    )
    part = Tube(section=tube, axis=PlanePath((Line(anchor.length_mm),)), holes=(hole,))
    foot = (x, wall.y(_edge_mm(wall) + tube.od_mm / 2), sill.thickness_mm - anchor.length_mm)
    place = Placement.of(origin=foot, x=UP, y=wall.across(1.0))
    return [_member(wall, anchor, part, place, spot), *screws]


def _post(wall: Wall, anchor: Anchored, spot: Spot) -> list[UnmarkedMember]:
    timber, sill, x = wall.spec.anchor_timber, wall.spec.sill, anchor.x_mm
    part = Board(section=timber, length_mm=anchor.length_mm)
    corner = (
        x - wall.way * timber.depth_mm / 2,
        wall.y(_edge_mm(wall)),
        sill.thickness_mm - anchor.length_mm,
    )
    # Its thickness lies along the tunnel, away from the sill.
    place = Placement.of(origin=corner, x=UP, y=(wall.way, 0.0, 0.0))
    quarter = timber.depth_mm / 4
    screws = [
        draft
        for sign in (-1.0, 1.0)
        for draft in _screwed(
            wall, anchor, x + sign * quarter, timber.thickness_mm, spot, "anchor_timber"
        )
    ]
    return [_member(wall, anchor, part, place, spot), *screws]


def _rod(wall: Wall, anchor: Anchored, spot: Spot) -> list[UnmarkedMember]:
    spec, x, top = wall.spec, anchor.x_mm, wall.spec.sill.thickness_mm
    size = lag_for(wall.plan, LUG_MM, top)
    if size is None:
        raise DesignError(
            f"no stocked lag screw holds a ground anchor's lug in {wall.plan.say(top)} of wood; "
            "choose a thicker sill, or stakes or posts",
            f"{wall.where}.sill",
        )
    part = GroundAnchor(
        rod_mm=spec.anchor_rod, plate_mm=spec.anchor_plate, length_mm=anchor.length_mm,
        hole_mm=size.diameter_mm + _PLAY_MM,
    )  # fmt: skip
    axis = _edge_mm(wall) + spec.anchor_rod / 2 + _PLAY_MM
    if axis - part.holes_x_mm[1] < wall.front_mm + part.hole_mm:
        raise DesignError(
            f"a ground anchor's lug is longer than a sill of {wall.plan.say(spec.sill.depth_mm)} "
            "is wide; choose a wider sill, or stakes or posts",
            f"{wall.where}.sill",
        )
    place = Placement.of(
        origin=(x, wall.y(axis), top), x=wall.across(-1.0), y=(-wall.way, 0.0, 0.0)
    )
    drafts = [_member(wall, anchor, part, place, spot)]
    for away in part.holes_x_mm:
        drafts += lag_into(
            wall.plan, (x, wall.y(axis - away), top + LUG_MM), (0.0, 0.0, -1.0), LUG_MM, top,
            spot, f"{wall.where}.sill", (Place(_run(wall, x)), sill_at(wall, x)),
        )  # fmt: skip
    return drafts
