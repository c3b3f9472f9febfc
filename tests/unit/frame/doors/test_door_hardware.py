"""What doors hang on, turn in, slide in and are held by, in each kind of wall.

Spacings are common practice, no source; the rest is what must be so by geometry.
"""

from __future__ import annotations

import functools
import math

import pytest
from msgspec import structs
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box

from frame3d.checks.assembly.assembly import find_assembly_faults
from frame3d.checks.measured.measuring import TOUCH_MM
from frame3d.checks.measured.near_pairs import survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.doors.track_brackets import PITCH_MM
from frame3d.frame.doors.track_studs import FREE_MM
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, Plate, Screw, ScrewKind
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import bodies_of
from frame3d.frame.space.sweeps import clear_width_mm, outward
from frame3d.geometry.placement import add, dot
from frame3d.solids.parts.make_solids import make_solid
from frame3d.takeoff.quantities.bolted_joints import bolted_joints

WALLS = {
    "notched": {},
    "bolted": {"top": "bolted"},
    "in the ground": {"foot": "ground"},
    "clamped": {"studs": "tube"},
    "flattened": {"studs": "tube", "top": "flattened"},
}
DOORS = {
    "hinged": {},
    "hinged, in, right": {"swing": "in", "hand": "right", "at": "back"},
    "two leaves": {"leaves": 2, "width": "2 m"},
    "sliding": {"kind": "sliding", "hand": "right"},
    "sliding, two leaves": {"kind": "sliding", "leaves": 2, "width": "2.4 m", "at": "back"},
    "roll-up": {"kind": "roll-up", "width": "2 m"},
}
EVERY = [(wall, door) for wall in WALLS for door in DOORS]
HINGED = [(wall, door) for wall, door in EVERY if "kind" not in DOORS[door]]
SLIDING = [(wall, door) for wall, door in EVERY if "sliding" in door]
THRESHOLDS = [(wall, "hinged") for wall in WALLS] + [("notched", "roll-up")]


@functools.cache
def made(wall: str, door: str, threshold: str = "board") -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "9 m", "ridge_height": "4.4 m",
                    "leg_height": "1.5 m"},
        "bays": {"count": 2, "spacing": "1500 mm"},
        "hoop": {"pieces": 4, "tube": "48 x 2 mm"}, "socket": {"tube": "55 x 3 mm"},
        "end_wall": [{"girts": ["1 m"], **WALLS[wall]}],
        "door": [{"threshold": threshold, **DOORS[door]}],
    }))  # fmt: skip


def reach(member: Member) -> list[tuple[float, float]]:
    """Lowest and highest X, Y and Z of a member."""
    return [
        (-max(b.reach(tuple(-c for c in axis)) for b in bodies_of(member)),
         max(b.reach(axis) for b in bodies_of(member)))
        for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    ]  # fmt: skip


def footprint(member: Member) -> Polygon:
    """What a member covers on the ground plan."""
    if isinstance(member.part, Plate) and abs(member.placement.z[2]) > 0.5:
        return Polygon([member.placement.point((*c, 0.0))[:2] for c in member.part.outline])
    x, y, _ = reach(member)
    return box(x[0], y[0], x[1], y[1])


def named(frame: Frame, name: str) -> list[Member]:
    return [m for m in frame.members if isinstance(m.part, Plate) and m.part.name == name]


@pytest.mark.parametrize(("wall", "door"), EVERY)
@pytest.mark.parametrize("threshold", ["board", "none"])
def test_all_goes_together(wall: str, door: str, threshold: str) -> None:
    found = find_assembly_faults(made(wall, door, threshold))
    assert [f"{f.rule.name}: {f.where}: {f.message}" for f in found] == []


def own(member: Member, point: tuple) -> tuple[float, float, float]:
    """A point of the frame in a member's own axes."""
    away = add(point, member.placement.origin, -1.0)
    return tuple(dot(away, way) for way in (member.placement.x, member.placement.y,
                                            member.placement.z))  # fmt: skip


def passes(fastener: Member, plate: Member) -> tuple[float, float] | None:
    """Where the shank goes through a plate, in the plate's own axes; None where it does not."""
    heads = (0.0, fastener.part.length_mm)
    ends = [own(plate, fastener.placement.point((0.0, 0.0, z))) for z in heads]
    (x0, y0, z0), (x1, y1, z1) = ends
    middle = plate.part.thickness_mm / 2
    if not min(z0, z1) < middle < max(z0, z1):
        return None
    share = (middle - z0) / (z1 - z0)
    place = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
    return place if Polygon(plate.part.outline).contains(Point(place)) else None


@pytest.mark.parametrize(("wall", "door"), EVERY)
def test_whatever_goes_through_a_plate_has_its_hole_there_and_no_hole_is_empty(
    wall: str, door: str
) -> None:
    """By vector algebra: middle of the shank in the middle of a hole wide enough for it."""
    frame = made(wall, door)
    plates = [m for m in frame.members if isinstance(m.part, Plate)]
    fasteners = [m for m in frame.members if isinstance(m.part, Bolt | Screw)]
    assert plates
    for plate in plates:
        middle = plate.placement.point((*plate.part.outline[0], 0.0))
        free = list(plate.part.holes)
        for fastener in fasteners:
            if math.dist(middle, fastener.placement.origin) > 3000.0:
                continue
            place = passes(fastener, plate)
            if place is None:
                continue
            part = fastener.part
            size = part.diameter_mm if isinstance(part, Screw) else part.size.diameter_mm
            holes = [h for h in free if math.dist(h[:2], place) < 0.01 and h[2] >= size]
            assert holes or _drills_its_own(fastener), (plate.part.name, fastener.mark, place)
            free = [h for h in free if h not in holes]
        assert free == [], plate.part.name


def _drills_its_own(fastener: Member) -> bool:
    return isinstance(fastener.part, Screw) and fastener.part.kind is ScrewKind.DRILLING


@pytest.mark.parametrize(("wall", "door"), HINGED)
def test_the_pins_stand_on_the_axis_that_the_leaf_turns_about(wall: str, door: str) -> None:
    frame = made(wall, door)
    for leaf in frame.doors[0].leaves:
        pins = [
            m
            for m in frame.members
            if isinstance(m.part, Bolt)
            and abs(m.placement.z[2]) > 0.999
            and math.dist(m.placement.origin[:2], leaf.axis_mm) < 1e-6
        ]
        eyes = [
            m
            for name in ("hinge band, eye", "hinge hook, eye")
            for m in named(frame, name)
            if math.dist(m.placement.point((*m.part.holes[0][:2], 0.0))[:2], leaf.axis_mm) < 1e-6
        ]
        assert len(pins) in (2, 3) and len(eyes) == 2 * len(pins)
        assert all(leaf.bottom_mm < pin.placement.origin[2] < leaf.top_mm for pin in pins)
    joints = [j for j in bolted_joints(frame) if j.held == ("hinge band, eye", "hinge hook, eye")]
    assert sum(len(j.members) for j in joints) == len(named(frame, "hinge band"))


@pytest.mark.parametrize(("wall", "door"), HINGED)
def test_a_leaf_turns_past_what_holds_it_and_leaves_the_opening_free(wall: str, door: str) -> None:
    frame = made(wall, door)
    opening = frame.doors[0]
    assert clear_width_mm(opening) == pytest.approx(opening.width_mm)
    hoop = 1 if opening.wall_y_mm < 750 else 3
    fixed = [m for m in frame.of(Role.HINGE) if "hook" in m.part.name]
    fixed += [m for m in frame.of(Role.DOOR_JAMB) if m.spot.hoop == hoop]
    for leaf in opening.leaves:
        sense = outward(opening) * (1.0 if leaf.axis_mm[0] < leaf.low_x_mm else -1.0)
        own = [
            m
            for m in frame.of(Role.HINGE)
            if "band" in m.part.name and footprint(m).distance(Point(leaf.axis_mm)) < 60.0
        ]
        moving = [(footprint(m), reach(m)[2]) for m in own]
        shut = box(leaf.low_x_mm, leaf.near_y_mm, leaf.high_x_mm, leaf.far_y_mm)
        moving.append((shut, (leaf.bottom_mm, leaf.top_mm)))
        assert len(moving) >= 5
        for angle in range(0, 91, 3):
            for shape, (low, high) in moving:
                turned = rotate(shape, sense * angle, origin=leaf.axis_mm)
                for member in fixed:
                    under, over = reach(member)[2]
                    if min(high, over) - max(low, under) > 1e-6:
                        common = turned.intersection(footprint(member)).area
                        assert common < 0.1, (angle, member.mark)


@pytest.mark.parametrize(("wall", "door"), SLIDING)
def test_a_track_lies_on_brackets_from_end_to_end(wall: str, door: str) -> None:
    frame = made(wall, door)
    (track,) = frame.of(Role.DOOR_TRACK)
    (start, end), _, (under, _) = reach(track)
    shelves = [reach(m) for m in named(frame, "track bracket, shelf")]
    middles = sorted(sum(x) / 2 for x, _, _ in shelves)
    assert all(z[1] == pytest.approx(under) for _, _, z in shelves)
    assert max(b - a for a, b in zip(middles, middles[1:], strict=False)) <= PITCH_MM + 60
    assert middles[0] - start <= FREE_MM and end - middles[-1] <= FREE_MM
    # Each held by two drilling screws from below.
    drilled = [
        m
        for m in frame.members
        if isinstance(m.part, Screw)
        and m.placement.z[2] > 0.999
        and abs(m.placement.origin[2] - under + 5.0) < 1e-6
    ]
    assert len(drilled) == 2 * len(shelves)


def slid(frame: Frame, share: float, more: float = 0.0) -> list[tuple[Member, Member]]:
    """What the leaves and their hangers lie in when they are slid by a share of their way."""
    moving, fixed = [], []
    opening = frame.doors[0]
    for member in frame.members:
        if member.role in (Role.DOOR_LEAF, Role.HINGE) or _is_of_a_leaf(frame, member):
            middle = member.placement.origin[0]
            leaf = min(
                opening.leaves, key=lambda one: abs((one.low_x_mm + one.high_x_mm) / 2 - middle)
            )
            x, y, z = member.placement.origin
            x += share * leaf.slide_mm + math.copysign(more, leaf.slide_mm)
            place = structs.replace(member.placement, origin=(x, y, z))
            moving.append(structs.replace(member, placement=place))
        else:
            fixed.append(member)
    seen = survey(structs.replace(frame, members=(*moving, *fixed)))
    pairs = [
        [seen.scene.members[int(side[0])] for side in (m.pairs.first, m.pairs.second)]
        for m in seen.meetings
        if m.gap_mm < -TOUCH_MM
    ]
    moved = {id(member) for member in moving}
    return [(a, b) for a, b in pairs if (id(a) in moved) != (id(b) in moved)]


def _is_of_a_leaf(frame: Frame, member: Member) -> bool:
    """Whether a bolt, nut, washer or screw sits in a leaf: at its face, or outside it."""
    if bodies_of(member):
        return False
    wall, leaves = frame.doors[0].wall_y_mm, frame.doors[0].leaves
    out = math.copysign(1.0, leaves[0].near_y_mm - wall)
    near, far = sorted(out * (y - wall) for y in (leaves[0].near_y_mm, leaves[0].far_y_mm))
    x, y, z = member.placement.origin
    return near - 0.1 <= out * (y - wall) <= far + 25.0 and any(
        leaf.low_x_mm - 1 <= x <= leaf.high_x_mm + 1 and leaf.bottom_mm < z < leaf.top_mm
        for leaf in leaves
    )


@pytest.mark.parametrize(
    ("wall", "door"),
    [(wall, door) for wall, door in SLIDING if wall in ("notched", "bolted", "clamped")],
)
def test_a_leaf_slides_open_and_strikes_its_stop_there(wall: str, door: str) -> None:
    frame = made(wall, door)
    for share in (0.0, 0.2, 0.5, 0.83, 1.0):
        assert [(a.mark, b.mark) for a, b in slid(frame, share)] == []
    # Three more than the play of 3 mm: the hook of a hanger is at the bolt in the track.
    struck = slid(frame, 1.0, 6.0)
    assert struck and {b.role for _, b in struck} | {a.role for a, _ in struck} <= {
        Role.HINGE,
        Role.BOLT,
        Role.WASHER,
    }


@pytest.mark.parametrize(("wall", "door"), SLIDING)
def test_a_floor_guide_holds_the_foot_of_the_leaf_shut_and_open(wall: str, door: str) -> None:
    frame = made(wall, door)
    opening = frame.doors[0]
    lips = [reach(m) for m in named(frame, "floor guide, lip")]
    assert len(lips) == len(opening.leaves)
    for leaf in opening.leaves:
        for shift in (0.0, leaf.slide_mm):
            low, high = leaf.low_x_mm + shift, leaf.high_x_mm + shift
            assert any(
                min(high, x[1]) - max(low, x[0]) > 10 and z[1] > leaf.bottom_mm > z[0]
                for x, _, z in lips
            )
    for x, _, _ in lips:
        assert x[1] <= opening.left_x_mm + 1e-6 or x[0] >= opening.right_x_mm - 1e-6


@pytest.mark.parametrize("wall", WALLS)
def test_a_roll_tube_lies_in_two_bearings_between_stops(wall: str) -> None:
    frame = made(wall, "roll-up")
    (tube,) = frame.of(Role.ROLL_TUBE)
    (start, end), (near, far), (under, over) = reach(tube)
    half = tube.part.section.od_mm / 2
    arms = named(frame, "roll tube bearing, arm")
    assert len(arms) == 2
    for arm in arms:
        corners = [arm.placement.point((*corner, 0.0)) for corner in arm.part.outline]
        outline = Polygon([(y, z) for _, y, z in corners])
        # The tube's round lies in the slot, on its bottom, with 1 mm to either side.
        middle, level = (near + far) / 2, (under + over) / 2
        assert (
            outline.distance(
                Polygon([(middle, level), (middle, level + 1), (middle + 1, level)]).centroid
            )
            > half - 1
        )
        ring = Polygon(
            [
                (
                    middle + half * math.cos(k / 60 * math.tau),
                    level + half * math.sin(k / 60 * math.tau),
                )
                for k in range(60)
            ]
        )
        assert outline.intersection(ring).area < 1e-6
        assert outline.distance(ring) < 0.01
        solid = make_solid(arm.part, mark=arm.mark, role=arm.role)
        bored = sum(d**2 for _, _, d in arm.part.holes) * math.pi / 4
        assert solid.volume_mm3 == pytest.approx((outline.area - bored) * 5.0, rel=1e-9)
    keepers = [reach(m) for m in named(frame, "roll tube keeper")]
    assert [z[0] > over for _, _, z in keepers] == [True, True]
    stops = sorted(
        m.placement.origin[0]
        for m in frame.members
        if isinstance(m.part, Bolt)
        and abs(m.placement.z[2]) > 0.999
        and m.placement.origin[2] > under
    )
    inner = sorted(x for arm in arms for x in reach(arm)[0])
    assert start < stops[0] < inner[0] - 5 and inner[-1] + 5 < stops[-1] < end


@pytest.mark.parametrize("wall", WALLS)
def test_curtain_guides_stand_beside_the_opening_before_the_curtain(wall: str) -> None:
    frame = made(wall, "roll-up")
    opening = frame.doors[0]
    (tube,) = frame.of(Role.ROLL_TUBE)
    guides = [reach(m) for m in frame.of(Role.CURTAIN_GUIDE)]
    assert len(guides) == 2
    for x, y, z in guides:
        assert x[1] < opening.left_x_mm or x[0] > opening.right_x_mm
        # Farther from the wall than the back of the roll tube, where the curtain comes down.
        back = min(abs(v - opening.wall_y_mm) for v in reach(tube)[1])
        assert min(abs(v - opening.wall_y_mm) for v in y) > back
        assert z[0] > opening.bottom_mm and z[1] < opening.top_mm
    arms = named(frame, "curtain guide, arm")
    heights = sorted(
        {round(sum(reach(m)[2]) / 2, 3) for m in arms}
        | {round(reach(m)[2][0] + 35.0, 3) for m in named(frame, "roll tube bearing, foot")}
    )
    assert max(b - a for a, b in zip(heights, heights[1:], strict=False)) <= 900


@pytest.mark.parametrize(("wall", "door"), THRESHOLDS)
def test_a_threshold_is_screwed_to_what_it_meets(wall: str, door: str) -> None:
    with_board, without = made(wall, door), made(wall, door, "none")

    def lags(frame: Frame) -> list[Member]:
        return [m for m in frame.of(Role.SCREW) if m.placement.origin[2] < 80.0]

    opening = with_board.doors[0]
    near = [
        m
        for m in lags(with_board)
        if min(abs(m.placement.origin[0] - x) for x in (opening.left_x_mm, opening.right_x_mm))
        < 60.0
        and abs(m.placement.z[0]) > 0.5
    ]
    tube = "studs" in WALLS[wall]
    assert len(near) >= (2 if tube else 4)
    through = []
    for screw in near:
        tip = screw.placement.point((0.0, 0.0, screw.part.length_mm))
        for reveal in (opening.left_x_mm, opening.right_x_mm):
            sides = (screw.placement.origin[0] - reveal, tip[0] - reveal)
            if sides[0] * sides[1] < 0:
                through.append((screw, abs(sides[1])))
    # At least 25 mm past the reveal, into the board or what is beside it (common practice).
    crossing = [depth for screw, depth in through if depth >= 20.0]
    assert len(crossing) >= (2 if tube else 4)
    assert len(lags(with_board)) > len(lags(without)) - 1


def test_a_stud_is_put_under_the_end_of_a_track_but_not_among_given_ones() -> None:
    """A track of 2.2 m whose wall has no stud on that side: one stands near its end."""
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.9 m",
                    "leg_height": "1.5 m"},
        "bays": {"count": 2, "spacing": "1500 mm"}, "hoop": {"pieces": 3},
        "end_wall": [{"largest_spacing": "3 m", "braces": "none"}],
        "door": [{"kind": "sliding", "width": "1 m", "height": "2.05 m", "hand": "right"}],
    }  # fmt: skip
    frame = lay_out(design_from_mapping(mapping))
    (track,) = frame.of(Role.DOOR_TRACK)
    end = reach(track)[0][1]
    assert any(0 <= end - sum(reach(m)[0]) / 2 <= FREE_MM for m in frame.of(Role.STUD))
    mapping["end_wall"][0]["positions"] = ["-1.6 m"]
    given = lay_out(design_from_mapping(mapping))
    assert [m for m in given.of(Role.STUD) if m.placement.origin[0] > 100] == []


@pytest.mark.parametrize(
    ("wall", "door"), [("notched", "sliding"), ("clamped", "roll-up"), ("flattened", "hinged")]
)
def test_every_plate_and_tube_of_it_is_a_sound_solid(wall: str, door: str) -> None:
    roles = (
        Role.BRACKET,
        Role.HINGE,
        Role.FLOOR_GUIDE,
        Role.CURTAIN_GUIDE,
        Role.TRACK_NAILER,
        Role.DOOR_TRACK,
        Role.ROLL_TUBE,
        Role.DOOR_HEADER,
        Role.DOOR_JAMB,
    )
    counts = [p for p in made(wall, door).parts() if p.role in roles]
    assert len(counts) > 5
    for count in counts:
        # Raises where the solid is not valid or its volume not what arithmetic says.
        make_solid(count.part, mark=count.mark, role=count.role)


@pytest.mark.parametrize("door", DOORS)
@pytest.mark.parametrize("wall", ["notched", "clamped"])
def test_plates_are_of_flat_bar_in_stocked_sizes(wall: str, door: str) -> None:
    """With inch bolts 3/16 by 1 1/2 in, with metric ones 5 by 40 mm; or as the design says."""
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "9 m", "ridge_height": "4.4 m",
                    "leg_height": "1.5 m"},
        "bays": {"count": 2, "spacing": "1500 mm"},
        "hoop": {"pieces": 4, "tube": "48 x 2 mm"}, "socket": {"tube": "55 x 3 mm"},
        "end_wall": [{"girts": ["1 m"], **WALLS[wall]}],
        "door": [DOORS[door]],
    }  # fmt: skip
    for hardware, thick, wide in (
        ({"system": "inch"}, 4.7625, 38.1), ({"system": "metric"}, 5.0, 40.0),
        ({"door_bar_thickness": "6 mm", "door_bar_width": "50 mm"}, 6.0, 50.0),
    ):  # fmt: skip
        frame = lay_out(design_from_mapping({**mapping, "hardware": hardware}))
        plates = {m.part for m in frame.members if isinstance(m.part, Plate)}
        plates = {part for part in plates if part.name not in ("ridge plate", "gusset plate")}
        assert plates and {part.thickness_mm for part in plates} == {thick}
        for name in ("hinge band", "hanger strap", "track bracket, shelf"):
            for part in (part for part in plates if part.name == name):
                sizes = [max(c[axis] for c in part.outline) - min(c[axis] for c in part.outline)
                         for axis in (0, 1)]  # fmt: skip
                assert any(abs(size - wide) < 1e-3 for size in sizes), (name, sizes)
        found = find_assembly_faults(frame)
        assert [f"{f.rule.name}: {f.where}: {f.message}" for f in found] == []
