"""Where machines can drive: closed forms for a half circle and a pointed arch, rails by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec import structs
from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from sound_design import frame_of

from frame3d.design.tables.whole_design import DoorKind, End, Machine, Swing
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import Block, Rod, reach_of
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.passage import MOVING, free_stretches, hoop_limits, near_door, ways
from frame3d.frame.space.shadows import Shadow
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch

BOX = ((-600.0, 0.0), (600.0, 0.0), (600.0, 1500.0), (-600.0, 1500.0))
CAB = ((-600.0, 0.0), (600.0, 0.0), (600.0, 900.0), (350.0, 2000.0), (-350.0, 2000.0),
       (-600.0, 900.0))  # fmt: skip


def half_circle():
    return solve_arch(
        ArchGiven(style=ArchStyle.QUONSET, width_mm=6000.0, ridge_height_mm=3000.0,
                  leg_height_mm=0.0, tube_od_mm=60.0)
    )  # fmt: skip


def two_centred():
    return solve_arch(
        ArchGiven(style=ArchStyle.GOTHIC, width_mm=6000.0, ridge_height_mm=5000.0,
                  leg_height_mm=1000.0, tube_od_mm=60.0)
    )  # fmt: skip


@pytest.mark.parametrize("outline", [BOX, CAB], ids=["box", "cab"])
@pytest.mark.parametrize("margin", [0.0, 150.0])
def test_half_circle(outline, margin):
    """A corner (x, z) must stay within a circle of R - od/2 - margin about the middle."""
    radius = 3000 - 30 - margin
    wanted = min(math.sqrt(radius**2 - z * z) - x for x, z in outline)
    low, high = hoop_limits(Inside(half_circle()), outline, margin)
    assert high == pytest.approx(wanted, abs=1e-6)
    assert low == pytest.approx(-wanted, abs=1e-6)


@pytest.mark.parametrize("outline", [BOX, CAB], ids=["box", "cab"])
@pytest.mark.parametrize("margin", [0.0, 150.0])
def test_two_centred(outline, margin):
    """R = h²/s + s/4 = 4166.67; on legs of 1 m, centre R - s/2 beyond the middle."""
    radius, offset = 4000.0**2 / 6000 + 1500, 4000.0**2 / 6000 + 1500 - 3000
    inner = radius - 30 - margin
    wanted = min(math.sqrt(inner**2 - max(0.0, z - 1000) ** 2) - offset - x for x, z in outline)
    low, high = hoop_limits(Inside(two_centred()), outline, margin)
    assert high == pytest.approx(wanted, abs=1e-6)
    assert low == pytest.approx(-wanted, abs=1e-6)


def test_widest_machine_of_a_height():
    """Of height z the widest that fits is 2 sqrt((R - od/2 - margin)² - z²), by a hair."""
    widest = 2 * math.sqrt((3000 - 30 - 150) ** 2 - 2200.0**2)
    for width, fits in ((widest - 0.01, True), (widest + 0.01, False)):
        half = width / 2
        outline = ((-half, 0.0), (half, 0.0), (half, 2200.0), (-half, 2200.0))
        assert (hoop_limits(Inside(half_circle()), outline, 150.0) is not None) == fits
    tall = ((-1.0, 0.0), (1.0, 0.0), (0.0, 2971.0))
    assert hoop_limits(Inside(half_circle()), tall, 0.0) is None


def rail(x, z, radius=20.0):
    """The shadow of a tube along the tunnel."""
    return Shadow.of(None, Rod((x, 0.0, z), (x, 5000.0, z), radius))


def test_a_rail_over_a_box():
    """A box 1.5 m high under a rail whose underside is 1.6 m high: free with 100 mm, not more."""
    under = rail(0.0, 1620.0)
    assert free_stretches(BOX, 99.9, (-2000.0, 2000.0), [under]) == ((-2000.0, 2000.0),)
    (left, right) = free_stretches(BOX, 150.0, (-2000.0, 2000.0), [under])
    # The margin about the corner meets the rail: 170² = 120² + across².
    across = 600 + math.sqrt(170.0**2 - 120.0**2)
    assert left == pytest.approx((-2000.0, -across), abs=0.5)
    assert right == pytest.approx((across, 2000.0), abs=0.5)
    # Never too generous.
    assert left[1] <= -across + 1e-5 and right[0] >= across - 1e-5


def test_a_level_tie_bars_all_or_nothing():
    tie = Shadow.of(None, Rod((-2500.0, 0.0, 1700.0), (2500.0, 0.0, 1700.0), 20.0))
    assert free_stretches(BOX, 179.9, (-1000.0, 1000.0), [tie]) == ((-1000.0, 1000.0),)
    assert free_stretches(BOX, 180.1, (-1000.0, 1000.0), [tie]) == ()


def test_a_notch_lets_a_rail_in():
    """A machine with a notch in its side passes a low rail at the wall that a box would strike."""
    notched = ((-600.0, 0.0), (600.0, 0.0), (600.0, 300.0), (300.0, 300.0), (300.0, 700.0),
               (600.0, 700.0), (600.0, 1500.0), (-600.0, 1500.0))  # fmt: skip
    low = rail(1000.0, 500.0)
    limits = (-2000.0, 600.0)
    box = free_stretches(BOX, 50.0, limits, [low])
    assert box == ((-2000.0, pytest.approx(1000 - 70 - 600, abs=1e-3)),)
    notch = free_stretches(notched, 50.0, limits, [low])
    # Into the notch: its bottom at 300 mm across comes to 70 mm from the rail's middle.
    assert notch == ((-2000.0, 600.0),)
    deep = free_stretches(notched, 50.0, (-2000.0, 2000.0), [low])
    assert deep[0][1] == pytest.approx(1000 - 70 - 300, abs=1e-3)


def boards(count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        x, z = rng.uniform(-2500, 2500), rng.uniform(100, 2500)
        turn, size = rng.uniform(0, math.pi), rng.uniform(30, 400, 2)
        yield Polygon(
            [
                (x + a * size[0] * math.cos(turn) - b * size[1] * math.sin(turn),
                 z + a * size[0] * math.sin(turn) + b * size[1] * math.cos(turn))
                for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
        )  # fmt: skip


@pytest.mark.parametrize("outline", [BOX, CAB], ids=["box", "cab"])
def test_free_places_agree_with_shapely(outline):
    """Random boards and places: free exactly where shapely's distance is the margin or more."""
    seen = {True: 0, False: 0}
    rng = np.random.default_rng(5)
    for board in boards(60, 4):
        corners = tuple((x, y, z) for x, z in board.exterior.coords[:4] for y in (0.0, 100.0))
        shadow = Shadow.of(None, Block(corners))
        free = free_stretches(outline, 120.0, (-2500.0, 2500.0), [shadow])
        for place in rng.uniform(-2500, 2500, 8):
            distance = translate(Polygon(outline), place).distance(board)
            told = any(low <= place <= high for low, high in free)
            if abs(distance - 120.0) > 0.5:  # the margin's corners are drawn with 64 sides
                assert told == (distance > 120.0)
                seen[told] += 1
            elif distance < 120.0:
                assert not told
    assert min(seen.values()) > 50


def test_round_shadows_agree_with_shapely():
    for x, z, radius in ((0.0, 2000.0, 17.0), (-700.0, 900.0, 30.0), (300.0, 1700.0, 60.0)):
        free = free_stretches(CAB, 100.0, (-2500.0, 2500.0), [rail(x, z, radius)])
        for place in np.linspace(-2400, 2400, 97):
            distance = translate(Polygon(CAB), place).distance(Point(x, z)) - radius
            told = any(low <= place <= high for low, high in free)
            if abs(distance - 100.0) > 0.5:
                assert told == (distance > 100.0)


def machine(**sizes):
    fields = {"name": "M", "width": "1 m", "height": "1.5 m", "margin": "100 mm",
              "passes": "one", "corners": [], "shoulder_height": None, "top_width": None,
              "wall_distance": None}  # fmt: skip
    return Machine.model_validate({**fields, **sizes})


def opening(left, right, top, bottom=0.0):
    return DoorOpening(
        end=End.FRONT, where="door[1]", kind=DoorKind.ROLL_UP, swing=Swing.OUT, left_x_mm=left,
        right_x_mm=right, bottom_mm=bottom, top_mm=top, wall_y_mm=-20.0,
    )  # fmt: skip


@pytest.mark.parametrize("width, height, passes", [
    ("1 m", "1.5 m", True),
    ("1.0001 m", "1.5 m", False),
    ("1 m", "1.5001 m", False),
])  # fmt: skip
def test_a_door_that_is_just_large_enough(width, height, passes):
    """1.2 m by 1.6 m: 1 m and 1.5 m with 100 mm to either side and over it."""
    frame = frame_of(end_wall=None, door=None, machine=None)
    frame = structs.replace(frame, doors=(opening(-600.0, 600.0, 1600.0),))
    (way,) = ways(frame, [machine(width=width, height=height)])
    assert way.passes(0) == passes


def test_a_threshold_lifts_the_machine():
    frame = frame_of(end_wall=None, door=None, machine=None)
    for top, passes in ((1638.0, True), (1637.0, False)):
        door = opening(-600.0, 600.0, top, bottom=38.0)
        (way,) = ways(structs.replace(frame, doors=(door,)), [machine()])
        assert way.passes(0) == passes


def test_how_near_to_the_wall():
    """Under plumb legs and low: the margin to the brace that hangs inside, or to the wall."""
    frame = frame_of(end_wall=None, door=None, machine=None, brace=[], sill_board=None,
                     side_opening=None, rail=[])  # fmt: skip
    (way,) = ways(frame, [machine(height="1 m")])
    # Sockets are 50 mm, hoops 42.4 mm outside, and their axes 6 m apart.
    socket = 25.0 - 42.4 / 2
    near = way.wall_distance_mm(Inside(frame.arch).wall_x_mm())
    assert near == pytest.approx((100 + socket, 100 + socket), abs=0.01)


def test_without_a_door_a_walled_tunnel_is_reached_from_nowhere():
    (way,) = ways(frame_of(door=None, machine=None), [machine()])
    assert way.inside and way.reached() == ()
    assert way.wall_distance_mm(3000.0) is None
    (open_way,) = ways(frame_of(door=None, end_wall=None, machine=None), [machine()])
    assert open_way.reached() == open_way.inside


@pytest.mark.parametrize("end", ["front", "back"])
def test_what_is_near_a_door_stands_between_it_and_the_second_hoop(end):
    """Every member by its own reach along the tunnel, whatever hoop it is counted to.

    Short of the second hoop by a tube's diameter, since what stands at that hoop is met inside
    the tunnel too; hoops and what turns with the door are left out.
    """
    frame = frame_of(end_wall=[{"at": "both"}], door=[{"at": end}])
    (door,) = frame.doors
    od, ys = frame.arch.tube_od_mm, frame.grid.hoop_y_mm
    low, high = (
        (door.wall_y_mm - od, ys[1] - od) if end == "front" else (ys[-2] + od, door.wall_y_mm + od)
    )
    hardware = {Role.HOOP, Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW} | MOVING
    wanted = set()
    for number, member in enumerate(frame.members):
        back, ahead = (reach_of(member, (0.0, way, 0.0)) for way in (-1.0, 1.0))
        if member.role not in hardware and back is not None and -back < high and ahead > low:
            wanted.add(number)
    found = {id(member) for member in near_door(frame, door)}
    assert {frame.members[number].role for number in wanted} >= {
        Role.SOCKET,
        Role.RAIL,
        Role.STUD,
        Role.DOOR_JAMB,
        Role.SILL_BOARD,
        Role.WALL_BRACE,
    }
    assert {n for n, member in enumerate(frame.members) if id(member) in found} == wanted
