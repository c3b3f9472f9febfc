"""The track of a sliding door, with the hangers that run on it and the stops at its ends.

Glossary
--------
hanger : a strap up the face of a leaf, with a hook over the track and a lip behind it.
"""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.errors import DesignError
from frame3d.frame.doors.floor_guides import floor_guides
from frame3d.frame.doors.leaves import STILES, in_leaf, leaf_faces_mm, leaves_of
from frame3d.frame.doors.plates import BracketPlace, strap_half_mm
from frame3d.frame.doors.track_brackets import (
    bracket,
    bracket_places,
    header_ends,
    nailer_spans,
    nailers,
)
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.openings import Leaf
from frame3d.frame.model.parts import Hole, Plate
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import ACROSS, DOWN, UP, Placement

_ABOVE_LEAF_MM = 45.0
_PAST_MM = 50.0
_PLAY_MM = 1.0
_STOP_MM = 3.0
"""Between a hanger and its stop when the leaf is just open, or shut."""


def track_reach(wall: Wall, door: DoorPlace) -> tuple[float, float]:
    """X of the ends of the track: it covers the leaves shut and open, mm."""
    ends = []
    for leaf in leaves_of(wall, door):
        ends += [leaf.low_x_mm, leaf.high_x_mm]
        ends += [leaf.low_x_mm + leaf.slide_mm, leaf.high_x_mm + leaf.slide_mm]
    return min(ends) - _PAST_MM, max(ends) + _PAST_MM


def _ways_out(leaves: Sequence[Leaf], free_mm: float) -> str:
    """What to do about a track that reaches too far: what would not help is not told."""
    ways = ["make it narrower", "hang it on hinges"]
    if len(leaves) == 1:
        leaf = leaves[0]
        ends = (leaf.low_x_mm, leaf.high_x_mm, leaf.low_x_mm - leaf.slide_mm,
                leaf.high_x_mm - leaf.slide_mm)  # fmt: skip
        ways.insert(1, "use two leaves")
        if max(max(ends), -min(ends)) + _PAST_MM <= free_mm:
            ways.insert(0, "slide it the other way")
    return f"{', '.join(ways[:-1])}, or {ways[-1]}"


def track(
    wall: Wall,
    door: DoorPlace,
    order: int,
    doors: Sequence[DoorPlace],
    uprights: Sequence[Upright],
) -> list[UnmarkedMember]:
    """The track of a sliding door: what carries it, its hangers, stops and floor guides.

    Raises
    ------
    DesignError
        If it reaches past the hoop.
    """
    leaves, tube = leaves_of(wall, door), wall.spec.tube
    start, end = track_reach(wall, door)
    z = leaves[0].top_mm + _ABOVE_LEAF_MM + tube.od_mm / 2
    free = wall.half_width_under(z + tube.od_mm / 2)
    if max(-start, end) > free:
        say = wall.plan.say
        raise DesignError(
            f"its track {say(z)} above the ground would reach {say(max(-start, end))} from "
            f"the centreline, but the end wall ends at {say(free)} there; "
            f"{_ways_out(leaves, free)}",
            f"{door.where}.kind",
        )
    axis = leaf_faces_mm(wall, door)[0] + tube.od_mm / 2
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    bracket_place, stops = BracketPlace(wall=wall, spot=spot), _stops(wall, door)
    places = track_places(wall, door, doors, uprights)
    drafts = []
    if wall.is_timber:
        drafts += nailers(wall, door, nailer_spans(wall, door, doors, uprights, (start, end)))
    size = wall.plan.fasteners.clamp.hole_mm
    run = RunName(Role.DOOR_TRACK, wall.hoop, door.where)
    drafts += jointed_tube(
        wall.plan,
        tube,
        start=(start, wall.y(axis), z),
        along=ACROSS,
        length_mm=end - start,
        run=run,
        spot=spot,
        where=f"{wall.where}.tube",
        holes=tuple(Hole(at_mm=x - start, diameter_mm=size) for x in stops),
        kept_clear=tuple(x - start for x in places),
        screwed=UP,
    )
    for x in stops:
        seat = (x, wall.y(axis), z + tube.od_mm / 2)
        drafts += bracket_place.bolt(seat, DOWN, tube.od_mm, (Place(run, x),))
    for x in places:
        drafts += bracket(bracket_place, door, Place(run, x), axis, z - tube.od_mm / 2)
    for leaf in leaves:
        drafts += _hangers(wall, door, leaf, z, spot)
    return drafts + floor_guides(wall, door, spot)


def track_places(
    wall: Wall, door: DoorPlace, doors: Sequence[DoorPlace], uprights: Sequence[Upright]
) -> tuple[float, ...]:
    """X of the brackets of a track: on header and nailers, or on the tube header, rising."""
    reach = track_reach(wall, door)
    held = [header_ends(wall, door, doors, reach)]
    if wall.is_timber:
        half = wall.upright_mm / 2
        held = [(door.left_mm, door.right_mm)]
        held += [
            (first.x_mm + half, second.x_mm - half)
            for first, second in nailer_spans(wall, door, doors, uprights, reach)
        ]
    return bracket_places(wall, door, uprights, reach, sorted(held), _stops(wall, door))


def _strap_half(wall: Wall) -> float:
    return strap_half_mm(wall, wall.plan.fasteners.carriage)


def _hanger_places(door: DoorPlace, leaf: Leaf) -> tuple[float, float]:
    """X of the middles of the two hangers of a leaf, shut."""
    depth = door.door.leaf.depth_mm
    return leaf.low_x_mm + depth / 2, leaf.high_x_mm - depth / 2


def _stops(wall: Wall, door: DoorPlace) -> tuple[float, float]:
    """X of the bolts in the track that a hanger meets when its leaf is open, or shut."""
    fasteners = wall.plan.fasteners
    washer = fasteners.washers[fasteners.clamp.name].outside_mm / 2
    places = [
        x + slide
        for leaf in leaves_of(wall, door)
        for x in _hanger_places(door, leaf)
        for slide in (0.0, leaf.slide_mm)
    ]
    room = _strap_half(wall) + _STOP_MM + washer
    return min(places) - room, max(places) + room


def _hangers(wall: Wall, door: DoorPlace, leaf: Leaf, z: float, spot: Spot) -> list[UnmarkedMember]:
    """Two hangers from the face of a leaf up over its track, each on one bolt."""
    depth, thick = door.door.leaf.depth_mm, door.door.leaf.thickness_mm
    fasteners, od_mm = wall.plan.fasteners, wall.spec.tube.od_mm
    bracket_place = BracketPlace(wall=wall, spot=spot, role=Role.HINGE)
    low, high = leaf.top_mm - depth, z + od_mm / 2
    half = _strap_half(wall)
    strap = Plate(
        name="hanger strap",
        thickness_mm=wall.plan.plate_mm,
        outline=(
            (-half, 0.0),
            (half, 0.0),
            (half, high + wall.plan.plate_mm - low),
            (-half, high + wall.plan.plate_mm - low),
        ),
        holes=((0.0, depth / 2, fasteners.carriage.hole_mm),),
    )
    outer, inner = leaf_faces_mm(wall, door)
    face = wall.y(outer)
    # Own z = X x Z = -Y: outward in front.
    start = face if wall.way > 0 else face + wall.plan.plate_mm
    lip = outer + od_mm + _PLAY_MM + wall.plan.plate_mm
    drafts = []
    for x, stile in zip(_hanger_places(door, leaf), STILES, strict=True):
        placement = Placement.of(origin=(x, start, low), x=ACROSS, y=UP)
        own = RunName(Role.HINGE, wall.hoop, (strap.name, door.where, x))
        drafts.append(
            UnmarkedMember(
                role=own.role, part=strap, placement=placement, spot=spot, stretches=(Stretch(own),)
            )
        )
        across = (x - half, x + half)
        drafts.append(
            bracket_place.level(
                "hanger hook", across, (outer, lip), (high, high + wall.plan.plate_mm)
            )
        )
        drafts.append(bracket_place.upright("hanger lip", across, (z, high), lip))
        drafts += bolt_up(
            fasteners,
            fasteners.carriage,
            # Heads inside: a nut would strike the uprights when the leaf slides.
            seat=(x, wall.y(inner), low + depth / 2),
            direction=wall.across(-1.0),
            thickness_mm=wall.plan.plate_mm + thick,
            spot=spot,
            where="hardware.board_bolt",
            joins=(in_leaf(wall, door, leaf, stile), Place(own)),
            plane_mm=thick,
        )
    return drafts
