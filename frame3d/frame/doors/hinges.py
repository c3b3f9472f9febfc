"""Hinges of door leaves: a band with its eye, what carries it on the jamb, and the pin.

The pin is a bolt that stands upright beside the edge of the leaf, through the eye of the
band and that of the jamb: on the axis that :mod:`frame3d.frame.space.sweeps` turns the leaf
about. It stands before the wall, so that the open leaf leaves the clear opening free.

Glossary
--------
band : the strap on the leaf, on the face that looks away from the wall.
hook plate : its counterpart on a timber jamb; on a tube jamb it is riveted to a coupler half.
eye : a level plate with the hole for the pin.
"""

from __future__ import annotations

import math

from frame3d.frame.doors.leaves import (
    PIN_BEFORE_MM,
    STILES,
    LeafBracketPlace,
    band_heights,
    band_length,
    band_places,
    beside_heads,
    bracket_places,
    face_mm,
    in_leaf,
    overlap_mm,
    swings_in,
)
from frame3d.frame.doors.plates import LAG_HOLE_MM, BracketPlace, strap_half_mm
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace
from frame3d.frame.end_walls.wall_runs import jamb_at
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.clamps import BAND_MM, BOSS_DIAMETER_MM, BOSS_MM, WIDTH_MM, coupler_half
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.joints import JointKind, UnmarkedJoint
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import DOWN

_EYE_HALF_MM = 13.5
_SIDES = 24
"""Of half an eye: round to within 0.03 mm, and drawn as the arc that it is."""
_HOOK_WIDTH_MM, _HOOK_HALF_MM = 24.0, 35.0
_LAG_MM = 20.0
_PLAY_MM = 1.0
_PAST_COUPLER_MM, _LIMB_MM = 1.5, 20.0
_NECK_MM = (15.0, 27.0)
"""Where an eye that goes round a coupler has its neck, behind the pin: the band turns past."""


def hinges(wall: Wall, door: DoorPlace, order: int) -> list[UnmarkedMember]:
    """All hinges of a hinged door."""
    return [
        draft
        for bracket_place in bracket_places(wall, door, order)
        for z in band_heights(bracket_place)
        for draft in _hinge(bracket_place, z)
    ]


def _hinge(leaf: LeafBracketPlace, z: float) -> list[UnmarkedMember]:
    wall = leaf.wall
    bracket_place = BracketPlace(wall=wall, spot=leaf.spot, role=Role.HINGE)
    out, face = _out(leaf), face_mm(wall, leaf.door)
    edge, (axis_x, axis_y) = leaf.leaf.hung_at
    away = 1.0 if axis_x > edge else -1.0
    axis = face + out * PIN_BEFORE_MM
    shown = face + out * leaf.door.door.leaf.thickness_mm
    size = wall.plan.fasteners.clamp.hole_mm
    pin = [(axis_x, axis, size)]
    thin = leaf.door.door.leaf.thickness_mm < PIN_BEFORE_MM + _EYE_HALF_MM
    end = edge if thin else axis_x + away * _EYE_HALF_MM
    band = sorted((end, edge - away * band_length(leaf)))
    places = [edge - away * at for at in band_places(leaf)]
    carriage = wall.plan.fasteners.carriage
    wide = strap_half_mm(wall, carriage)
    strap = bracket_place.upright(
        "hinge band",
        (band[0], band[1]),
        (z - wide, z + wide),
        _back(wall, shown, out),
        [(x, z, carriage.hole_mm) for x in places],
    )
    corners = (
        _side_eye_outline(wall, edge, axis_x, axis, shown, out)
        if thin
        else _eye_outline(leaf, away, axis, shown, -out)
    )
    eye = bracket_place.plan("hinge band, eye", corners, (z, z + wall.plan.plate_mm), pin)
    drafts = [strap, eye]
    for x, board in zip(places, (STILES[away > 0], z), strict=True):
        drafts += bolt_up(
            wall.plan.fasteners,
            carriage,
            seat=(x, wall.y(shown + out * wall.plan.plate_mm), z),
            direction=wall.across(-out),
            thickness_mm=wall.plan.plate_mm + leaf.door.door.leaf.thickness_mm,
            spot=leaf.spot,
            where="hardware.board_bolt",
            joins=(strap.place, in_leaf(wall, leaf.door, leaf.leaf, board)),
            plane_mm=wall.plan.plate_mm,
        )
    root, hook = _hook(bracket_place, leaf, z, away)
    drafts += hook
    outline = _hook_outline(leaf, away, root, axis)
    lower = bracket_place.plan("hinge hook, eye", outline, (z - wall.plan.plate_mm, z), pin)
    drafts.append(lower)
    seat, joins = (axis_x, axis_y, z + wall.plan.plate_mm), (eye.place, lower.place)
    return drafts + bracket_place.bolt(
        seat, DOWN, 2 * wall.plan.plate_mm, joins, plane_mm=wall.plan.plate_mm
    )


def _hook_outline(
    leaf: LeafBracketPlace, away: float, root: float, axis: float
) -> list[tuple[float, float]]:
    """The eye on the jamb, from its root out to past the pin; corners by X and depth.

    Where a girt or the header lies between jamb and leaf it goes round the coupler there.
    """
    out, (_, (pin_x, _)) = _out(leaf), leaf.leaf.hung_at
    if not _reaches_round(leaf):
        return _eye_outline(leaf, away, axis, root, out)
    low, high = _limb(leaf, away)
    neck = (axis - out * _NECK_MM[1], axis - out * _NECK_MM[0])
    return [
        (pin_x - away * _EYE_HALF_MM, neck[0]), (low, neck[0]), (low, root), (high, root),
        (high, neck[1]), (pin_x + away * _EYE_HALF_MM, neck[1]), *_round(leaf, away, axis, out),
    ]  # fmt: skip


def _eye_outline(
    leaf: LeafBracketPlace, away: float, axis: float, root: float, way: float
) -> list[tuple[float, float]]:
    """A tongue from a root to the pin, round where it ends, ``way`` in depth beyond the pin."""
    _, (pin_x, _) = leaf.leaf.hung_at
    return [
        (pin_x - away * _EYE_HALF_MM, root),
        (pin_x + away * _EYE_HALF_MM, root),
        *_round(leaf, away, axis, way),
    ]


def _side_eye_outline(
    wall: Wall, edge: float, pin_x: float, axis: float, shown: float, out: float
) -> list[tuple[float, float]]:
    """A tongue from the end of the band, at the edge of a thin leaf, round the pin beside it."""
    step, away = math.pi / _SIDES, math.copysign(1.0, pin_x - edge)
    reach = _EYE_HALF_MM / math.cos(step / 2)
    angles = [(k + 0.5) * step - math.pi / 2 for k in range(_SIDES)]
    outer = max(_EYE_HALF_MM, out * (shown - axis) + wall.plan.plate_mm)
    return [
        (edge, axis + out * outer), (edge, axis - out * _EYE_HALF_MM),
        (pin_x, axis - out * _EYE_HALF_MM),
        *[(pin_x + away * reach * math.cos(a), axis + out * reach * math.sin(a)) for a in angles],
        (pin_x, axis + out * outer),
    ]  # fmt: skip


def _round(
    leaf: LeafBracketPlace, away: float, axis: float, way: float
) -> list[tuple[float, float]]:
    """Half a polygon round the pin, from the side away from the leaf to that of the leaf.

    The edge of the leaf and the hook plate pass nearer to the pin than the corners of a
    square eye would reach.
    """
    step = math.pi / _SIDES
    reach = _EYE_HALF_MM / math.cos(step / 2)
    angles = [(k + 0.5) * step for k in range(_SIDES)]
    _, (pin_x, _) = leaf.leaf.hung_at
    return [
        (pin_x + away * reach * math.cos(angle), axis + way * reach * math.sin(angle))
        for angle in angles
    ]


def _reaches_round(leaf: LeafBracketPlace) -> bool:
    """Whether girts and header lie between the jamb and the leaf."""
    wall = leaf.wall
    return not wall.is_timber and (wall.girt_axis_mm - wall.axis_mm) * _out(leaf) > 0


def _limb(leaf: LeafBracketPlace, away: float) -> tuple[float, float]:
    """X of the sides of the stretch that goes past a girt: beside the coupler on the jamb."""
    start = _jamb_x(leaf, away) + away * (WIDTH_MM / 2 + _PAST_COUPLER_MM)
    return start, start + away * _LIMB_MM


def _jamb_x(leaf: LeafBracketPlace, away: float) -> float:
    half = leaf.wall.upright_mm / 2
    return leaf.door.right_mm + half if away > 0 else leaf.door.left_mm - half


def _out(leaf: LeafBracketPlace) -> float:
    """-1 or +1: the way in depth in which the leaf looks away from the wall."""
    return 1.0 if swings_in(leaf.door) else -1.0


def _back(wall: Wall, face_mm: float, out: float) -> float:
    """The deeper side of a plate that lies on a face."""
    return face_mm if out < 0 else face_mm + wall.plan.plate_mm


def _hook(
    bracket_place: BracketPlace, leaf: LeafBracketPlace, z: float, away: float
) -> tuple[float, list[UnmarkedMember]]:
    """Depth of the face that the eye stands on, and what holds it on the jamb."""
    wall, out, (edge, (pin_x, _)) = leaf.wall, _out(leaf), leaf.leaf.hung_at
    if wall.is_timber:
        face = face_mm(wall, leaf.door)
        play = _PLAY_MM + beside_heads(wall, leaf.door)
        lap = overlap_mm(wall, leaf.door)
        wide = min(_HOOK_WIDTH_MM, wall.upright_mm - lap - _PLAY_MM - play)
        x = sorted((edge + away * play, edge + away * (play + wide)))
        middle = sum(x) / 2
        heights = (z - _LAG_MM, z + _LAG_MM)
        drafts = [
            bracket_place.upright(
                "hinge hook plate",
                (x[0], x[1]),
                (z - _HOOK_HALF_MM, z + _HOOK_HALF_MM),
                _back(wall, face, out),
                [(middle, height, LAG_HOLE_MM) for height in heights],
            )
        ]
        for height in heights:
            seat = (middle, wall.y(face + out * wall.plan.plate_mm), height)
            drafts += lag_into(
                wall.plan,
                seat,
                wall.across(-out),
                wall.plan.plate_mm,
                wall.spec.timber.depth_mm,
                leaf.spot,
                f"{wall.where}.timber",
                (drafts[0].place, jamb_at(wall, leaf.door, away, height)),
            )
        return face + out * wall.plan.plate_mm, drafts
    od_mm = wall.spec.tube.od_mm
    face = wall.axis_mm + out * (od_mm / 2 + BAND_MM + BOSS_MM)
    end = _limb(leaf, away)[1] if _reaches_round(leaf) else pin_x + away * _EYE_HALF_MM
    x = sorted((edge + away * _PLAY_MM, end))
    boss = wall.across(out)
    plate = bracket_place.upright(
        "hinge hook plate, riveted to its clamp",
        (x[0], x[1]),
        (z - BOSS_DIAMETER_MM / 2, z + BOSS_DIAMETER_MM / 2),
        _back(wall, face, out),
    )
    drafts = coupler_half(
        # Its ears look away from the opening.
        wall.plan.fasteners,
        on=(_jamb_x(leaf, away), wall.y(wall.axis_mm), z),
        direction=(0.0, 0.0, away * boss[1]),
        boss=boss,
        od_mm=od_mm,
        spot=leaf.spot,
        joint=UnmarkedJoint(JointKind.CLAMPED, (jamb_at(wall, leaf.door, away), plate.place)),
    )
    return face + out * wall.plan.plate_mm, [*drafts, plate]
