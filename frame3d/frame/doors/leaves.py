"""Leaves of hinged and sliding doors: a timber frame with ledges and braces.

Leaves lie on the face of the wall and overlap the jambs, so that the clear opening stays
what it is when they stand open.

Glossary
--------
stile : an upright side of a leaf.
ledge : a level board of a leaf.
band : the strap of a hinge on the leaf.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable

from msgspec import Struct

from frame3d.design.tables.whole_design import DoorKind, End, Hand, StudFoot, Swing
from frame3d.errors import DesignError
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of
from frame3d.frame.end_walls.wall_places import DoorPlace
from frame3d.frame.joining.clamps import BAND_MM, BOSS_MM, EAR_MM, WIDTH_MM
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.joining.timber_screws import lag_for, lag_into
from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.openings import Leaf
from frame3d.frame.model.parts import Board, BoardHole
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Placement

GROUND_GAP_MM = 25.0
"""Between a leaf and the ground, so that it swings over grass (common practice, no source)."""
_SILL_GAP_MM = 10.0
_MIDDLE_GAP_MM = 12.0
"""Between two leaves: the heads of the screws in their edges (common practice, no source)."""
_SLIDE_GAP_MM = 12.0
_LIP_ROOM_MM = 8.0
"""Between a track and the wall: the lips of the hangers pass there."""
_HEADS_MM = 14.0
"""Between a leaf and the sill on edge that it slides past: heads of bolts and screws."""
_OVERLAP_MM = 15.0
_CLAMP_GAP_MM = 1.0
_BAND_LENGTH_MM = 300.0
PIN_BESIDE_MM, PIN_BEFORE_MM = 15.0, 20.0
"""Axis of a hinge's pin: beside the edge of the leaf, and before the face of the wall, so that
an eye has 1.5 holes of metal round it on every side."""
STILES = ("left stile", "right stile")
_FLATTEST_RAD, _STEEPEST_RAD = math.radians(20), math.radians(75)


def swings_in(door: DoorPlace) -> bool:
    """True for a door whose leaf lies on the inner face of the wall."""
    return door.door.kind is DoorKind.HINGED and door.door.swing is Swing.IN


def face_mm(wall: Wall, door: DoorPlace) -> float:
    """Depth of the face of the wall that the leaf lies on, mm."""
    if wall.is_timber:
        return wall.back_mm if swings_in(door) else wall.front_mm
    # Clear of the clamps that hold header and girts, and of the bosses of those for hinges.
    half = wall.spec.tube.od_mm / 2 + BAND_MM + BOSS_MM + _CLAMP_GAP_MM
    if swings_in(door):
        return max(wall.axis_mm, wall.girt_axis_mm) + half
    return min(wall.axis_mm, wall.girt_axis_mm) - half


def overlap_mm(wall: Wall, door: DoorPlace) -> float:
    """How far a leaf reaches over a jamb, mm: less where its hinges need the room."""
    return min(_OVERLAP_MM, wall.upright_mm / 2) - beside_heads(wall, door)


def leaf_faces_mm(wall: Wall, door: DoorPlace) -> tuple[float, float]:
    """Depths of the outer and the inner face of the leaf, mm."""
    thick, face = door.door.leaf.thickness_mm, face_mm(wall, door)
    if swings_in(door):
        return face, face + thick
    gap = 0.0
    if door.door.kind is DoorKind.SLIDING:
        # The track hangs flush with the outer face of the leaf, and clear of the wall.
        gap = max(_SLIDE_GAP_MM, wall.spec.tube.od_mm - thick + _LIP_ROOM_MM)
        if wall.spec.stud_foot is not StudFoot.SILL:
            # It slides past the sill, which stands on edge before the studs.
            proud = face - wall.front_mm + wall.spec.sill.thickness_mm
            gap = max(gap, proud + _HEADS_MM)
    return face - gap - thick, face - gap


def hinge_side(wall: Wall, door: DoorPlace) -> float:
    """-1 or +1: the side in X on which one leaf hangs, or to which it slides."""
    left = door.door.hand is Hand.LEFT
    if wall.end is End.BACK:
        left = not left
    return -1.0 if left else 1.0


def leaves_of(wall: Wall, door: DoorPlace) -> tuple[Leaf, ...]:
    """The leaves of a hinged or sliding door, shut; none for a roll-up door.

    Raises
    ------
    DesignError
        If they would be too small for their own frame.
    """
    if door.door.kind is DoorKind.ROLL_UP:
        return ()
    lap = overlap_mm(wall, door)
    low, high = door.left_mm - lap, door.right_mm + lap
    bottom = _bottom_mm(wall, door)
    top = door.top_mm + lap
    spans = [(low, high, hinge_side(wall, door))]
    if door.door.leaves == 2:
        middle, gap = (low + high) / 2, _middle_gap(wall, door) / 2
        spans = [(low, middle - gap, -1.0), (middle + gap, high, 1.0)]
    depth = door.door.leaf.depth_mm
    for start, end, _ in spans:
        if end - start < 2 * depth + 60 or top - bottom < 3 * depth + 120:
            raise DesignError(
                f"a leaf of {wall.plan.say(end - start)} by {wall.plan.say(top - bottom)} "
                f"is too small for a frame of boards {wall.plan.say(depth)} wide; choose a "
                "narrower leaf section, fewer leaves, or a larger door",
                f"{door.where}.leaf",
            )
    faces = sorted(wall.y(depth_mm) for depth_mm in leaf_faces_mm(wall, door))
    slides = door.door.kind is DoorKind.SLIDING
    pin_y = wall.y(face_mm(wall, door) + (1.0 if swings_in(door) else -1.0) * PIN_BEFORE_MM)
    return tuple(
        Leaf(
            low_x_mm=start, high_x_mm=end, bottom_mm=bottom, top_mm=top,
            near_y_mm=faces[0], far_y_mm=faces[1],
            pin_x_mm=None if slides else (start if sign < 0 else end),
            axis_mm=None if slides else (
                (start if sign < 0 else end) + sign * PIN_BESIDE_MM, pin_y),
            slide_mm=sign * (end - start - lap) if slides else 0.0,
        )
        for start, end, sign in spans
    )  # fmt: skip


def _middle_gap(wall: Wall, door: DoorPlace) -> float:
    """Between two leaves: where the screws in their edges are thick, their heads need more."""
    return max(_MIDDLE_GAP_MM, 2 * _edge_head(wall, door)[0] + 1.0)


def beside_heads(wall: Wall, door: DoorPlace) -> float:
    """Room beside the edge of a thin leaf, whose screws meet the plates of hinges there, mm."""
    high, half = _edge_head(wall, door)
    thin = door.door.leaf.thickness_mm / 2 - half < wall.plan.plate_mm
    return high if thin and wall.is_timber and door.door.kind is DoorKind.HINGED else 0.0


def _edge_head(wall: Wall, door: DoorPlace) -> tuple[float, float]:
    """How far the screws in the edges of a leaf stand out, and half their heads' width, mm."""
    screw = lag_for(wall.plan, door.door.leaf.depth_mm, door.door.width / 4)
    if screw is None:
        return 0.0, 0.0
    return screw.head_height_mm, screw.flats_mm / math.sqrt(3)


def _bottom_mm(wall: Wall, door: DoorPlace) -> float:
    """Height of the lower edge of a leaf: clear of threshold, ground and sill."""
    bottom = door.bottom_mm + (_SILL_GAP_MM if door.bottom_mm else GROUND_GAP_MM)
    proud = wall.is_timber and wall.spec.sill.depth_mm > wall.spec.timber.depth_mm
    if swings_in(door) and proud and wall.spec.stud_foot is StudFoot.SILL:
        # The sill stands out behind the studs, beside the opening.
        bottom = max(bottom, wall.spec.sill.thickness_mm + _SILL_GAP_MM)
    return bottom


def in_leaf(wall: Wall, door: DoorPlace, leaf: Leaf, name: Hashable) -> Place:
    """A board of a leaf: one of ``STILES``, or a ledge by the height of its middle."""
    return Place(RunName(Role.DOOR_LEAF, wall.hoop, (door.where, leaf.low_x_mm, name)))


def on_jambs(wall: Wall) -> tuple[float, ...]:
    """Heights at which girts and braces are held to jambs, mm."""
    return (*wall.spec.girts, wall.spec.brace_height)


class LeafBracketPlace(Struct, frozen=True, kw_only=True):
    """A leaf on its wall, where it is made."""

    wall: Wall
    door: DoorPlace
    leaf: Leaf
    spot: Spot

    @property
    def ledges_mm(self) -> tuple[float, float, float]:
        """Heights of the lower edges of the three ledges."""
        depth = self.door.door.leaf.depth_mm
        low, high = self.leaf.bottom_mm, self.leaf.top_mm - depth
        middle = (low + high) / 2
        if self.leaf.pin_x_mm is None or self.wall.is_timber:
            return (low, middle, high)
        # The coupler of the middle hinge goes beside those of girts and braces on the jamb.
        half = (WIDTH_MM + self.wall.spec.tube.od_mm) / 2 + BAND_MM + EAR_MM
        taken = [KeptClear.around(z, half) for z in on_jambs(self.wall)]
        between = KeptClear(low + 1.5 * depth, high - depth / 2)
        found = nearest_free(middle + depth / 2, 0.0, 0.0, taken, between)
        return (low, middle if found is None else found - depth / 2, high)


def leaf_drafts(wall: Wall, door: DoorPlace, order: int) -> list[UnmarkedMember]:
    """Every leaf of ``door`` with its frame and its screws."""
    return [
        draft
        for bracket_place in bracket_places(wall, door, order)
        for draft in _frame(bracket_place)
    ]


def bracket_places(wall: Wall, door: DoorPlace, order: int) -> list[LeafBracketPlace]:
    """Each leaf of ``door`` on its wall."""
    return [
        LeafBracketPlace(
            wall=wall, door=door, leaf=leaf,
            spot=Spot(side=side_of((leaf.low_x_mm + leaf.high_x_mm) / 2), hoop=wall.hoop,
                      order=2 * order - 1 + number),
        )
        for number, leaf in enumerate(leaves_of(wall, door))
    ]  # fmt: skip


def _board(
    bracket_place: LeafBracketPlace,
    origin: tuple[float, float],
    x: tuple[float, float],
    y: tuple[float, float],
    length: float,
    name: Hashable,
    holes: tuple[BoardHole, ...] = (),
    ends: tuple[BoardEnd | None, BoardEnd | None] = (None, None),
) -> UnmarkedMember:
    """A board of the leaf; ``origin`` is x and z of its own corner, ``x`` and ``y`` X-Z vectors.

    ``name`` is that of :func:`in_leaf`.
    """
    section = bracket_place.door.door.leaf
    # Own z = x cross y lies along +Y or -Y; start at the face that makes it fill the leaf.
    along, up = (x[0], 0.0, x[1]), (y[0], 0.0, y[1])
    rises = along[2] * up[0] - along[0] * up[2] > 0
    near = bracket_place.leaf.near_y_mm if rises else bracket_place.leaf.far_y_mm
    placement = Placement.of(origin=(origin[0], near, origin[1]), x=along, y=up)
    part = Board(section=section, length_mm=length, holes=holes, start=ends[0], end=ends[1])
    run = in_leaf(bracket_place.wall, bracket_place.door, bracket_place.leaf, name).run
    return UnmarkedMember(
        role=run.role,
        part=part,
        placement=placement,
        spot=bracket_place.spot,
        stretches=(Stretch(run),),
    )


def _frame(bracket_place: LeafBracketPlace) -> list[UnmarkedMember]:
    leaf, section = bracket_place.leaf, bracket_place.door.door.leaf
    depth, height = section.depth_mm, leaf.top_mm - leaf.bottom_mm
    inner = (leaf.low_x_mm + depth, leaf.high_x_mm - depth)
    drafts = [
        _board(
            bracket_place,
            (x, leaf.bottom_mm),
            (0.0, 1.0),
            (-1.0, 0.0),
            height,
            stile,
            holes=_stile_holes(bracket_place, low=stile is STILES[0]),
        )
        for x, stile in zip((leaf.low_x_mm + depth, leaf.high_x_mm), STILES, strict=True)
    ]
    for z in bracket_place.ledges_mm:
        banded = z + depth / 2 in band_heights(bracket_place)
        ledge = _board(
            bracket_place,
            (inner[0], z),
            (1.0, 0.0),
            (0.0, 1.0),
            inner[1] - inner[0],
            z + depth / 2,
            holes=_ledge_holes(bracket_place) if banded else (),
        )
        drafts.append(ledge)
        edges = ((leaf.low_x_mm, 1.0), (leaf.high_x_mm, -1.0))
        for (x, sign), stile in zip(edges, drafts[:2], strict=True):
            for share in (0.25, 0.75):
                seat = (x, (leaf.near_y_mm + leaf.far_y_mm) / 2, z + share * depth)
                drafts += lag_into(
                    bracket_place.wall.plan,
                    seat,
                    (sign, 0.0, 0.0),
                    depth,
                    (inner[1] - inner[0]) / 2,
                    bracket_place.spot,
                    f"{bracket_place.door.where}.leaf",
                    (stile.place, ledge.place),
                )
    for low, high in itertools.pairwise(bracket_place.ledges_mm):
        drafts += _brace(bracket_place, inner, (low + depth, high))
    return drafts


def _brace(
    bracket_place: LeafBracketPlace, inner: tuple[float, float], heights: tuple[float, float]
) -> list[UnmarkedMember]:
    """From the hinge side's foot up to the other side, cut level at both ledges."""
    depth = bracket_place.door.door.leaf.depth_mm
    wide, high = inner[1] - inner[0], heights[1] - heights[0]
    if wide <= depth:
        return []
    angle = math.asin(min(1.0, depth / math.hypot(wide, high))) + math.atan2(high, wide)
    if not _FLATTEST_RAD <= angle <= _STEEPEST_RAD:
        return []
    cut = math.pi / 2 - angle
    back = depth * math.tan(cut)
    length = high / math.sin(angle) + back
    # Own y points up and back, so the lower end is longest at y = depth, the upper at y = 0.
    ends = BoardEnd(mitre_rad=-cut), BoardEnd(mitre_rad=cut)
    pin = bracket_place.leaf.pin_x_mm
    hangs_right = pin is not None and pin > (inner[0] + inner[1]) / 2
    sign = -1.0 if hangs_right else 1.0
    foot = inner[1] if hangs_right else inner[0]
    cos, sin = math.cos(angle), math.sin(angle)
    # Where the lower edge meets the ledge, and from there back to the longest point.
    corner = (foot + sign * (depth / sin - back * cos), heights[0] - back * sin)
    return [
        _board(
            bracket_place, corner, (sign * cos, sin), (-sign * sin, cos), length, heights, ends=ends
        )
    ]


def band_heights(bracket_place: LeafBracketPlace) -> tuple[float, ...]:
    """Heights of the middles of the hinges."""
    depth = bracket_place.door.door.leaf.depth_mm
    low, middle, high = (z + depth / 2 for z in bracket_place.ledges_mm)
    return (low, middle, high) if high - low > 1500 else (low, high)


def band_length(bracket_place: LeafBracketPlace) -> float:
    """Length of a hinge's band along the leaf, mm."""
    return min(_BAND_LENGTH_MM, bracket_place.leaf.width_mm - 20.0)


def band_places(bracket_place: LeafBracketPlace) -> tuple[float, float]:
    """Distances of a band's two bolts from the edge of the leaf: in stile, and in ledge."""
    depth = bracket_place.door.door.leaf.depth_mm
    return depth / 2, min(band_length(bracket_place) - 25.0, depth + 120.0)


def _stile_holes(bracket_place: LeafBracketPlace, *, low: bool) -> tuple[BoardHole, ...]:
    """In a stile: for the bands on the hinge side, or for the strap that it hangs by."""
    pin, leaf = bracket_place.leaf.pin_x_mm, bracket_place.leaf
    size = bracket_place.wall.plan.fasteners.carriage.hole_mm
    if pin is None:
        depth = bracket_place.door.door.leaf.depth_mm
        height = leaf.top_mm - leaf.bottom_mm
        return (BoardHole(along_mm=height - depth / 2, up_mm=depth / 2, diameter_mm=size),)
    if (abs(pin - leaf.low_x_mm) < 1e-6) is not low:
        return ()
    depth = bracket_place.door.door.leaf.depth_mm
    return tuple(
        BoardHole(along_mm=z - leaf.bottom_mm, up_mm=depth / 2, diameter_mm=size)
        for z in band_heights(bracket_place)
    )


def _ledge_holes(bracket_place: LeafBracketPlace) -> tuple[BoardHole, ...]:
    pin, leaf = bracket_place.leaf.pin_x_mm, bracket_place.leaf
    if pin is None:
        return ()
    depth = bracket_place.door.door.leaf.depth_mm
    along = band_places(bracket_place)[1] - depth
    if pin > (leaf.low_x_mm + leaf.high_x_mm) / 2:
        along = leaf.width_mm - 2 * depth - along
    size = bracket_place.wall.plan.fasteners.carriage.hole_mm
    return (BoardHole(along_mm=along, up_mm=depth / 2, diameter_mm=size),)
