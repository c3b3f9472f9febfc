"""Bodies, their shadows and the headroom under them; solids judge that no body is too small."""

from __future__ import annotations

import math

import numpy as np
import pytest
from sample_frames import CLAMP, HOOP_PIECE, RIDGE_PLATE, SILL_BOARD
from sound_design import frame_of

from frame3d.catalog.sections import TubeSection
from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.frame.space.crown import crown_of
from frame3d.frame.space.envelopes import Block, Rod, part_bodies
from frame3d.frame.space.headroom import headroom_of, widest
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.shadows import Shadow, support
from frame3d.geometry.convex import hull
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.solids.meshes.meshes import Tolerance, kernel_mesh
from frame3d.solids.parts.make_solids import make_solid

FLAT_TUBE = Tube(
    section=TubeSection(name="pressed", od_mm=33.7, wall_mm=2.0),
    axis=PlanePath((Line(1000.0),)),
    end=Flat(length_mm=50.0, transition_mm=40.0, clock_rad=0.4),
)
TOO_LARGE_MM = {"bent tube": 12.0, "board": 0.1, "plate": 0.1, "clamp": 8.0, "pressed tube": 20.0}
"""How much a body may be too large: a swage is drawn full, a flat's corners are square."""
PARTS = {"bent tube": HOOP_PIECE, "board": SILL_BOARD, "plate": RIDGE_PLATE, "clamp": CLAMP,
         "pressed tube": FLAT_TUBE}  # fmt: skip


@pytest.mark.parametrize("x, wanted", [(0.0, 980.0), (12.0, 1000 - 16.0), (20.0, 1000.0)])
def test_underside_of_a_round_bar(x, wanted):
    """A circle of 20 mm about (0, 1000): its underside is 1000 - sqrt(400 - x²)."""
    shadow = Shadow.of(None, Rod((0.0, 0.0, 1000.0), (0.0, 800.0, 1000.0), 20.0))
    height = shadow.lowest(x, x)
    # Never too high, and at most 0.13 % of the radius too low, where it is not steep.
    assert wanted - (0.03 if x < 15 else 1.0) <= height <= wanted + 1e-9
    assert shadow.lowest(20.1, 20.1) is None


def test_underside_of_a_rising_brace():
    """A bar of 30 mm radius from (0, 1000) to (1000, 2000): 30 √2 below its middle line."""
    shadow = Shadow.of(None, Rod((0.0, 0.0, 1000.0), (1000.0, 0.0, 2000.0), 30.0))
    assert shadow.lowest(500.0, 500.0) == pytest.approx(1500 - 30 * math.sqrt(2), abs=1e-6)
    assert shadow.lowest(400.0, 600.0) == pytest.approx(1400 - 30 * math.sqrt(2), abs=1e-3)
    assert shadow.lowest(-500.0, -400.0) is None
    low, high = shadow.span(1500.0)
    assert (low, high) == pytest.approx((500 - 30 * math.sqrt(2), 500 + 30 * math.sqrt(2)))


def test_support_of_a_slanting_cylinder_is_exact():
    """End discs seen aslant are ellipses: reach = end · u + r sqrt(1 - (axis · u)²)."""
    rod = Rod((0.0, 0.0, 0.0), (300.0, 400.0, 0.0), 50.0)
    assert support(rod, (1.0, 0.0)) == pytest.approx(300 + 50 * 0.8)
    assert support(rod, (0.0, 1.0)) == pytest.approx(50)


def test_a_board_leans_over():
    block = Block(((0.0, 0.0, 2000.0), (100.0, 0.0, 2100.0), (0.0, 50.0, 2000.0),
                   (100.0, 50.0, 2100.0), (0.0, 0.0, 2200.0), (100.0, 0.0, 2300.0)))  # fmt: skip
    shadow = Shadow.of(None, block)
    assert shadow.lowest(50.0, 50.0) == pytest.approx(2050.0)
    assert shadow.bottom_mm == 2000.0 and shadow.top_mm == 2300.0


@pytest.mark.parametrize("name", PARTS)
def test_bodies_hold_the_whole_solid(name):
    """Every corner of the solid's triangles reaches no further than the bodies, any way."""
    part = PARTS[name]
    points = solid_points(part)
    assert len(points) > 7
    rng = np.random.default_rng(7)
    for _ in range(40):
        x, y = rng.normal(size=(2, 3))
        place = Placement.of(origin=(0.0, 0.0, 0.0), x=tuple(x), y=tuple(y))
        reach = max(support(body.placed(place), (1.0, 0.0)) for body in part_bodies(part))
        solid = (points @ np.array([place.x, place.y, place.z]))[:, 0].max()
        assert solid <= reach + 0.02
        assert reach <= solid + TOO_LARGE_MM[name]


def solid_points(part):
    """Corners of the triangles of the part's own solid, which is made by the kernel."""
    solid = make_solid(part, mark="X1", role=Role.HOOP)
    return kernel_mesh(solid, Tolerance(linear_mm=0.05, angle_rad=0.1)).corners


def test_points_of_a_rod_hold_it():
    rod = Rod((0.0, 0.0, 0.0), (0.0, 0.0, 100.0), 10.0)
    corners = hull((x, y) for x, y, _ in rod.points())
    # The hull's edges touch the circle from outside.
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        assert math.hypot((ax + bx) / 2, (ay + by) / 2) == pytest.approx(10.0)


def test_widest_free_stretch():
    assert widest(-100.0, 100.0, [(-10.0, 10.0), (50.0, 120.0)]) == 90.0
    assert widest(-100.0, 100.0, []) == 200.0
    assert widest(-100.0, 100.0, [(-200.0, 300.0)]) == 0.0


def test_under_a_tie_is_its_height_less_its_radius():
    """2.4 m to the middle of a tube of 33.7 mm (EN 10255 DN 25)."""
    rooms = headroom_of(frame_of())
    over = rooms.over(1000.0)
    assert over.member.role is Role.TIE
    assert over.height_mm == pytest.approx(2400 - 33.7 / 2, abs=1e-6)
    assert {shadow.member.role for shadow in rooms.ties} == {Role.TIE, Role.CLAMP}
    assert rooms.over(1000.0, with_ties=False).height_mm > 2700


def test_a_wide_strip_has_the_headroom_of_its_worst_place():
    rooms = headroom_of(frame_of(tie=None))
    assert rooms.over(1000.0, width_mm=600.0).height_mm == min(
        rooms.over(700.0).height_mm, rooms.over(1300.0).height_mm
    )


def test_width_between_the_hoops_and_between_all():
    rooms = headroom_of(frame_of(brace=[], rail=[], tie=None, sill_board=None, side_opening=None))
    # Plumb legs of 1.2 m, 6 m between axes, tube 42.4 mm: 5957.6 mm; sockets are 50 mm thick.
    assert rooms.width_between_hoops(600.0) == pytest.approx(5957.6, abs=1e-6)
    assert rooms.width_at(600.0) == pytest.approx(5957.6, abs=1e-6)
    assert rooms.width_at(150.0) == pytest.approx(5950.0, abs=1e-6)


def test_clamps_of_end_walls_are_not_in_the_way_along_the_tunnel():
    """Under what is left, only hoops and the brace: the stud clamps stand in the wall."""
    frame = lay_out(read_design(example_paths()["long_meadow_quonset"]))
    rooms = headroom_of(frame)
    # The door's jambs stand at 900 mm from the middle, with clamps 52 mm above the ground.
    for x_mm in range(-2400, 2401, 25):
        over = rooms.over(float(x_mm))
        assert over.height_mm > 1900, over.member
    # Those that hold the rails stay: of rails at 2.6 m none hangs lower than 2.4 m.
    held = [s for s in rooms.shadows if s.member.role is Role.CLAMP]
    assert held and any(2400 < s.bottom_mm < 2600 for s in held)


@pytest.mark.parametrize("joint", ["sleeve", "plates"])
def test_the_clear_height_of_a_curved_gothic_is_one_figure(joint: str) -> None:
    """Beside arcs the centreline is met some micrometres under half a tube by the cosine."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {
            "style": "gothic", "width": "5964 mm", "leg_height": "717 mm",
            "ridge_height": "3075 mm", "eave_radius": "653 mm", "ridge_slope": "18 deg",
        },
        "bays": {"count": 4, "spacing": "1293 mm"},
        "hoop": {
            "tube": "1.66 in x 14 ga BWG", "pieces": 2, "ridge_joint": joint, "smallest_bend": 3.0,
            "ridge_tube": "NPS 2 STD",
        },
        "rail": [],
    }))  # fmt: skip
    clear = crown_of(frame).clear_mm
    assert headroom_of(frame).under_hoops(0.0) == clear
    profile = Inside(frame.arch).height_at(0.0, frame.arch.tube_od_mm / 2)
    assert clear <= profile
    if joint == "plates":
        assert clear == pytest.approx(profile, abs=1e-9)  # nothing hangs lower than the tubes
