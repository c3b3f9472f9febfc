"""What carries the track of a sliding door: brackets under it, and what they are held to.

The track lies on the shelves of brackets, so that hangers can hook over it and pass. In
timber each back plate is screwed to the header, or to a nailer that goes on from it
between the studs; in tube walls the header itself is as long as the track and goes on
past the studs, to which it is clamped.

Glossary
--------
nailer : a board on edge between two studs, flush with their front.
shelf : the level leg of a bracket; back : its upright leg.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from frame3d.frame.doors.plates import SCREW_HOLE_MM, BracketPlace
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.end_walls.wall_runs import behind_track, header_at, upright_at
from frame3d.frame.joining.clamps import WIDTH_MM
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.joints import Place, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Spot
from frame3d.geometry.placement import ACROSS, UP, Placement

PITCH_MM = 600.0
"""Largest distance between brackets on one board or tube (common practice, no source)."""
_FROM_END_MM = 90.0
_FROM_CLAMP_MM = WIDTH_MM / 2 + 15.0
"""From a bracket's edge to the middle of a clamp."""
_LAGS_MM = (20.0, 45.0)
_BACK_MM = 57.0
_SCREW_APART_MM = 10.0
_EDGE = 1.5
"""Diameters of a hole from its middle to an edge, at least: as the checks ask."""
_LEDGE_MM = 15.0
_TOES_MM = (30.0, 45.0)
"""From the end of a nailer to its screws on a slant: their heads lie beside each other."""
_TOE_RAD = math.radians(29)
_GAP_MM = 5.0
_PAST_MM = 50.0
_LEAST_MM = 60.0


def header_ends(
    wall: Wall, door: DoorPlace, doors: Sequence[DoorPlace], reach: tuple[float, float] | None
) -> tuple[float, float]:
    """X of the ends of a tube header: past its jambs, and as far as a track reaches.

    Parameters
    ----------
    reach : (float, float) or None, mm
        Ends of the track; None for a door without one.
    """
    half = wall.spec.tube.od_mm / 2
    start, end = door.left_mm - half - _PAST_MM, door.right_mm + half + _PAST_MM
    if reach is None:
        return start, end
    free = wall.half_width_under(door.top_mm + 2 * half) - _GAP_MM
    low, high = max(reach[0], -free), min(reach[1], free)
    # Another door has a header of its own.
    past = 2 * half + _PAST_MM + 2 * _GAP_MM
    for other in doors:
        if other.right_mm < door.left_mm:
            low = max(low, other.right_mm + past)
        elif other.left_mm > door.right_mm:
            high = min(high, other.left_mm - past)
    return min(start, low), max(end, high)


def passed(
    wall: Wall, uprights: Sequence[Upright], ends: tuple[float, float], z_mm: float
) -> tuple[float, ...]:
    """X of the uprights that a tube header between ``ends`` is clamped to."""
    room = WIDTH_MM / 2 + 2.0
    return tuple(
        u.x_mm
        for u in uprights
        if u.kind is not UprightKind.CRIPPLE
        and ends[0] + room <= u.x_mm <= ends[1] - room
        and wall.whole_to(u.x_mm) >= z_mm + room
    )


def nailer_spans(
    wall: Wall,
    door: DoorPlace,
    doors: Sequence[DoorPlace],
    uprights: Sequence[Upright],
    reach: tuple[float, float],
) -> list[tuple[Upright, Upright]]:
    """Neighbouring uprights that get a nailer between them, from left to right."""
    top = door.top_mm + wall.spec.timber.depth_mm
    standing = [u for u in uprights if u.kind is not UprightKind.CRIPPLE]
    found = []
    for first, second in itertools.pairwise(standing):
        inside = any(first.x_mm < d.left_mm and d.right_mm < second.x_mm for d in doors)
        beside = second.x_mm <= reach[0] + _LEAST_MM or first.x_mm >= reach[1] - _LEAST_MM
        low = min(wall.whole_to(u.x_mm) for u in (first, second)) < top
        if not (inside or beside or low):
            found.append((first, second))
    return found


def nailers(
    wall: Wall, door: DoorPlace, spans: Sequence[tuple[Upright, Upright]]
) -> list[UnmarkedMember]:
    """The nailers with their screws, two on a slant at each end."""
    section, half = wall.spec.timber, wall.upright_mm / 2
    drafts = []
    for order, (first, second) in enumerate(spans, start=1):
        start, end = first.x_mm + half, second.x_mm - half
        spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
        near = wall.front_mm
        face = wall.y(near + section.thickness_mm) if wall.way > 0 else wall.y(near)
        placement = Placement.of(origin=(start, face, door.top_mm), x=ACROSS, y=UP)
        board = Board(section=section, length_mm=end - start)
        run = behind_track(wall, door, start).run
        drafts.append(
            UnmarkedMember(
                role=run.role,
                part=board,
                placement=placement,
                spot=spot,
                stretches=(Stretch(run, start, end),),
            )
        )
        if end - start < 2 * _TOES_MM[1] + 20:
            continue
        for x, sign, upright in ((start, -1.0, first), (end, 1.0, second)):
            # Those from either side of a stud pass each other, and the screws of a header.
            outer = upright.kind is UprightKind.JAMB or sign > 0
            for share, back in zip((0.2, 0.8) if outer else (0.4, 0.6), _TOES_MM, strict=True):
                seat = (
                    x - sign * back,
                    wall.y(near + share * section.thickness_mm),
                    door.top_mm + section.depth_mm,
                )
                way = (sign * math.cos(_TOE_RAD), 0.0, -math.sin(_TOE_RAD))
                drafts += lag_into(
                    wall.plan,
                    seat,
                    way,
                    back / math.cos(_TOE_RAD),
                    wall.upright_mm / math.cos(_TOE_RAD),
                    spot,
                    f"{wall.where}.timber",
                    (Place(run, (start + end) / 2), upright_at(wall, upright.x_mm)),
                )
    return drafts


def bracket_places(
    wall: Wall,
    door: DoorPlace,
    uprights: Sequence[Upright],
    reach: tuple[float, float],
    held: Sequence[tuple[float, float]],
    stops: Sequence[float],
) -> tuple[float, ...]:
    """X of the brackets of a track, rising.

    Parameters
    ----------
    held : sequence of (float, float), mm
        X of the ends of what brackets can be held to: header and nailers, or the tube.
    stops : sequence of float, mm
        X of the bolts that stop the leaves.
    """
    taken, half = [KeptClear.around(x, 15.0) for x in stops], wall.plan.bar_half_mm
    margin = _FROM_END_MM
    if wall.is_timber:
        taken += [
            KeptClear.around(u.x_mm, wall.upright_mm / 2)
            for u in uprights
            if u.kind is UprightKind.CRIPPLE and u.door is door
        ]
    else:
        margin = half + 5.0
        taken += [KeptClear.around(u.x_mm, _FROM_CLAMP_MM) for u in uprights]
    found: list[float] = []
    for low, high in held:
        low, high = max(low, reach[0] + 5.0), min(high, reach[1] - 5.0)
        room = margin if high - low >= 2 * margin else (high - low) / 2 - 1.0
        if high - low < _LEAST_MM:
            continue
        count = math.ceil((high - low - 2 * room) / PITCH_MM - 1e-6) + 1
        step = (high - low - 2 * room) / max(1, count - 1)
        for k in range(count):
            at = nearest_free(low + room + k * step, half, half, taken, KeptClear(low, high))
            if at is not None:
                found.append(at)
                taken.append(KeptClear.around(at, half + 5.0))
    return tuple(sorted(found))


def bracket(
    bracket_place: BracketPlace, door: DoorPlace, track: Place, axis_mm: float, under_mm: float
) -> list[UnmarkedMember]:
    """A bracket at a place of a track whose lower side is ``under_mm`` above the ground.

    Parameters
    ----------
    axis_mm : float
        Depth of the axis of the track.
    """
    wall, x_mm = bracket_place.wall, track.at_mm
    tube = wall.spec.tube
    behind = behind_track if wall.is_timber else header_at
    if wall.is_timber:
        back, low = wall.front_mm, under_mm - _BACK_MM
        heights = [under_mm - drop for drop in _LAGS_MM]
        header = (door.door.header or wall.spec.timber).thickness_mm
        into = min(header, wall.spec.timber.thickness_mm)
    else:
        back, into = wall.girt_axis_mm - tube.od_mm / 2, 0.0
        heights = [door.top_mm + tube.od_mm / 2]
        low = heights[0] - _LEDGE_MM
    half = wall.plan.bar_half_mm
    x = (x_mm - half, x_mm + half)
    apart = min(_SCREW_APART_MM, half - _EDGE * SCREW_HOLE_MM)
    edge = axis_mm - min(_LEDGE_MM, tube.od_mm / 2 - 2.0)
    bores = [(x_mm + sign * apart, axis_mm, SCREW_HOLE_MM) for sign in (-1, 1)]
    plate = bracket_place.upright(
        "track bracket, back",
        x,
        (low, under_mm),
        back,
        [(x_mm, z, bracket_place.hole_mm) for z in heights],
    )
    shelf = bracket_place.level(
        "track bracket, shelf",
        x,
        (edge, back - wall.plan.plate_mm),
        (under_mm - wall.plan.plate_mm, under_mm),
        bores,
    )
    drafts = [plate, shelf]
    for z in heights:
        drafts += bracket_place.held(x_mm, z, back, into, (plate.place, behind(wall, door, x_mm)))
    for bore in bores:
        seat = (bore[0], wall.y(axis_mm), under_mm - wall.plan.plate_mm)
        drafts.append(bracket_place.screw(seat, UP, (shelf.place, Place(track.run, bore[0]))))
    return drafts
