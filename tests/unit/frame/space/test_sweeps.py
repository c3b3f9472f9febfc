"""What leaves sweep, against shapely turning the leaf step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec import structs
from shapely.affinity import rotate
from shapely.geometry import Polygon, box
from sound_design import frame_of

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.space.sweeps import clear_width_mm, outward, sweeps_of
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement

DOORS = {
    "out, left": {},
    "out, right": {"hand": "right"},
    "in, left": {"swing": "in"},
    "in, right": {"swing": "in", "hand": "right"},
    "back, out": {"at": "back"},
    "back, in": {"at": "back", "swing": "in", "hand": "right"},
    "two leaves": {"leaves": 2, "width": "2 m"},
}


def door_of(**fields):
    """The one door of the sound design with other fields."""
    (door,) = frame_of(door=[fields], machine=None).doors
    return door


def turned(door, leaf, angle_deg):
    """The leaf opened by an angle: turned about its pin, off the wall."""
    way = outward(door)
    pin = leaf.axis_mm
    shut = box(leaf.low_x_mm, leaf.near_y_mm, leaf.high_x_mm, leaf.far_y_mm)
    middle = (leaf.low_x_mm + leaf.high_x_mm) / 2
    # Anticlockwise takes a leaf to the right of its pin toward +y.
    sign = way * (1.0 if middle > leaf.pin_x_mm else -1.0)
    return rotate(shut, sign * angle_deg, origin=pin)


@pytest.mark.parametrize("name", DOORS)
def test_a_sweep_holds_the_leaf_at_every_angle(name):
    door = door_of(**DOORS[name])
    sweeps = sweeps_of(door)
    assert len(sweeps) == len(door.leaves) > 0
    for sweep in sweeps:
        plan = Polygon(sweep.plan)
        union = turned(door, sweep.leaf, 0)
        for angle in np.linspace(0, 90, 46):
            leaf = turned(door, sweep.leaf, angle)
            assert leaf.difference(plan.buffer(1e-6)).area < 1e-3
            union = union.union(leaf)
        # Too large by little: a sliver behind the pin.
        assert plan.area < 1.06 * union.area


@pytest.mark.parametrize("name", DOORS)
def test_the_leaf_opens_away_from_the_tunnel_or_into_it(name):
    fields = DOORS[name]
    door = door_of(**fields)
    length = 12000.0
    for leaf in door.leaves:
        y = turned(door, leaf, 90).centroid.y
        outside = y < 0 if fields.get("at") != "back" else y > length
        assert outside == (fields.get("swing") != "in")


@pytest.mark.parametrize("name", DOORS)
def test_clear_width_is_what_the_open_leaves_leave(name):
    """Of the doorway, seen square, with the leaves at a right angle (ADA 404.2.3)."""
    door = door_of(**DOORS[name])
    free = box(door.left_x_mm, 0, door.right_x_mm, 1)
    for leaf in door.leaves:
        low, _, high, _ = turned(door, leaf, 90).bounds
        free = free.difference(box(low, 0, high, 1))
    assert clear_width_mm(door) == pytest.approx(free.area, abs=1e-6)


def test_a_leaf_inside_its_opening_takes_its_thickness():
    """32 in between jambs with a leaf of 38 mm that stands in the opening: not clear enough."""
    door = door_of(width="812.8 mm")
    (leaf,) = door.leaves
    thick = leaf.far_y_mm - leaf.near_y_mm
    inner = structs.replace(
        leaf, low_x_mm=door.left_x_mm, high_x_mm=door.right_x_mm,
        pin_x_mm=door.left_x_mm, axis_mm=(door.left_x_mm, leaf.near_y_mm),
    )  # fmt: skip
    door = structs.replace(door, leaves=(inner,))
    assert clear_width_mm(door) == pytest.approx(812.8 - thick)


def post(x, y, low=0.0, high=3000.0, od=40.0):
    """An upright tube."""
    tube = Tube(section=TubeSection(name="post", od_mm=od, wall_mm=2.0),
                axis=PlanePath((Line(high - low),)))  # fmt: skip
    place = Placement.of(origin=(x, y, low), x=(0, 0, 1), y=(1, 0, 0))
    return Member(mark="P1", role=Role.BRACE, part=tube, placement=place,
                  spot=Spot(side=Side.MIDDLE, hoop=1))  # fmt: skip


def test_gap_to_a_post_by_pythagoras():
    """A post out at the corner: distance from the pin, less the leaf's reach and the radius."""
    door = door_of()
    (sweep,) = sweeps_of(door)
    leaf = sweep.leaf
    pin = leaf.axis_mm
    # The corner farthest from the pin, on the outer face: the pin stands beside the edge.
    across = max(pin[1] - leaf.near_y_mm, leaf.far_y_mm - pin[1])
    reach = math.hypot(leaf.high_x_mm - pin[0], across)
    x, y = pin[0] + 1200.0, pin[1] - 1100.0
    wanted = math.hypot(1200.0, 1100.0) - reach - 20.0
    # The post and the arc are drawn around with a few sides.
    assert sweep.gap_mm(post(x, y)) == pytest.approx(wanted, abs=2.0)
    near = post(pin[0] + 800.0, pin[1] - 700.0)
    assert sweep.gap_mm(near) < 0


def test_what_is_over_or_under_the_leaf_is_not_struck():
    door = door_of()
    (sweep,) = sweeps_of(door)
    x, y = 0.0, sweep.leaf.near_y_mm - 300.0
    assert sweep.gap_mm(post(x, y, high=sweep.leaf.bottom_mm - 1.0)) is None
    assert sweep.gap_mm(post(x, y, low=sweep.leaf.top_mm + 1.0)) is None
    assert sweep.gap_mm(post(x, y, high=sweep.leaf.bottom_mm + 1.0)) < 0


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_sliding_leaf_sweeps_from_shut_to_open(hand):
    door = door_of(kind="sliding", hand=hand)
    (sweep,) = sweeps_of(door)
    xs = [x for x, _ in sweep.plan]
    assert max(xs) - min(xs) == pytest.approx(sweep.leaf.width_mm + abs(sweep.leaf.slide_mm))
    # Seen from outside the front, left is toward x < 0.
    assert (sweep.leaf.slide_mm < 0) == (hand == "left")
    assert clear_width_mm(door) == pytest.approx(door.width_mm)


def test_a_roll_up_door_sweeps_nothing():
    assert sweeps_of(door_of(kind="roll-up")) == ()
