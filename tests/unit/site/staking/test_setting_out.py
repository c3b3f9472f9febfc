"""Points to stake, diagonals and the square corner, against Pythagoras and worked figures."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from site_frames import small_frame

from frame3d.frame.model.roles import Side
from frame3d.site.staking.setting_out import (
    PlaceKind,
    difference_of,
    set_out,
    skew_of,
    square_corner,
)
from frame3d.site.staking.socket_names import named_socket, socket_name
from frame3d.units import UnitSystem

CORNERS = ("front left", "front right", "back left", "back right")


def test_diagonals_of_two_tunnels_worked_by_hand() -> None:
    """Pythagoras: √(20² + 96²) = 98.0612 ft, √(30² + 96²) = 100.5783 ft."""
    for width, diagonal in ((20, 98.0612), (30, 100.5783)):
        frame = small_frame(width=f"{width} ft", count=24, spacing="4 ft")
        out = set_out(frame)
        assert out.diagonal_mm / 304.8 == pytest.approx(diagonal, abs=5e-5)
        assert out.length_mm == pytest.approx(96 * 304.8)


def test_a_skew_of_an_inch_worked_by_hand() -> None:
    """√(1152² + 241²) - √(1152² + 239²) = 0.408 in: 20 ft by 96 ft, 1 in sideways."""
    assert difference_of(240.0, 1152.0, 1.0) == pytest.approx(0.408, abs=5e-4)
    assert math.sqrt(1152**2 + 241**2) - math.sqrt(1152**2 + 239**2) == pytest.approx(
        difference_of(240.0, 1152.0, 1.0), abs=1e-12
    )


def test_36_ft_at_4_ft_have_10_hoops_and_20_sockets() -> None:
    """Derived: 36 ft are nine bays of 4 ft, so ten hoops, each on two sockets."""
    out = set_out(small_frame(count=9, spacing="4 ft"))
    assert len(out.of(PlaceKind.SOCKET)) == 20


sizes = st.floats(1500, 15000)
lengths = st.floats(2000, 120000)


@given(width=sizes, length=lengths, share=st.floats(0.0001, 0.4))
def test_skew_and_difference_are_each_others_inverse(
    width: float, length: float, share: float
) -> None:
    skew = share * width
    difference = difference_of(width, length, skew)
    assert skew_of(width, length, difference) == pytest.approx(skew, rel=1e-6)
    assert skew_of(width, length, -difference) == pytest.approx(-skew, rel=1e-6)
    # From the law of cosines of the parallelogram: D1² - D2² = 4 W d.
    far, near = math.hypot(length, width + skew), math.hypot(length, width - skew)
    assert far**2 - near**2 == pytest.approx(4 * width * skew, rel=1e-6)


def test_no_skew_makes_diagonals_differ_by_twice_the_width() -> None:
    with pytest.raises(ValueError, match="twice the width"):
        skew_of(1000.0, 2000.0, 2000.0)


@given(width=sizes, length=lengths, system=st.sampled_from(UnitSystem))
def test_the_square_corner_has_a_right_angle_and_lies_on_the_plot(
    width: float, length: float, system: UnitSystem
) -> None:
    square = square_corner(width, length, system)
    # 3² + 4² = 5² (Euclid, Elements, I.48).
    assert square.along_mm**2 + square.across_mm**2 == pytest.approx(square.slant_mm**2)
    assert sorted((square.along_mm, square.across_mm)) == pytest.approx(
        [3 * square.unit_mm, 4 * square.unit_mm]
    )
    assert 0 < square.along_mm <= length + 1e-6
    assert 0 < square.across_mm <= width + 1e-6
    assert square.slant_mm <= 30480 + 1e-6


@pytest.mark.parametrize("corner", CORNERS)
def test_points_are_the_same_tunnel_from_every_corner(corner: str) -> None:
    frame = small_frame(corner=corner)
    out = set_out(frame)
    points = {point.name: point for point in out.points}
    start = points[out.axes.name]
    assert (start.x_mm, start.y_mm, start.along_mm) == (0.0, 0.0, 0.0)
    assert out.axes.name == named_socket(frame, corner)
    reference = {point.name: point for point in set_out(small_frame()).points}
    for a, b in itertools.combinations(("1L", "4L", "7R", "1R-A", "7L-E"), 2):
        apart = [
            math.dist((p[a].x_mm, p[a].y_mm), (p[b].x_mm, p[b].y_mm)) for p in (points, reference)
        ]
        assert apart[0] == pytest.approx(apart[1])
    for point in out.of(PlaceKind.SOCKET):
        assert point.along_mm == pytest.approx(abs(point.y_mm))
        assert point.offset_mm == pytest.approx(abs(point.x_mm) + 1000.0)
    # The axes are right-handed, and never turned: x to the right, y along, from the first hoop.
    assert points["1R"].x_mm > points["1L"].x_mm
    assert points["7L"].y_mm > points["1L"].y_mm


@pytest.mark.parametrize("corner", CORNERS)
def test_strings_run_over_the_corners_and_the_baseline_outside(corner: str) -> None:
    out = set_out(small_frame(corner=corner, stake_distance="2 m", baseline="1.5 m"))
    points = {point.name: point for point in out.points}
    for name in ("1L", "1R", "7L", "7R"):
        on_side, on_end, at = points[f"{name}-A"], points[f"{name}-E"], points[name]
        assert on_side.x_mm == pytest.approx(at.x_mm)
        assert abs(on_side.y_mm - at.y_mm) == pytest.approx(2000)
        assert on_end.y_mm == pytest.approx(at.y_mm)
        assert abs(on_end.x_mm - at.x_mm) == pytest.approx(2000)
        # Beyond the corner, and not on the plot.
        assert abs(on_end.x_mm - points["7R"].x_mm / 2 - points["1L"].x_mm / 2) > 2500
    for name in ("BL1", "BL2"):
        assert points[name].offset_mm == pytest.approx(0.0)
        assert abs(points[name].x_mm) == pytest.approx(1500)
    square = out.square
    assert (points["SQ-A"].along_mm, points["SQ-E"].along_mm) == (square.along_mm, 0.0)
    apart = math.dist(
        (points["SQ-A"].x_mm, points["SQ-A"].y_mm), (points["SQ-E"].x_mm, points["SQ-E"].y_mm)
    )
    assert apart == pytest.approx(square.slant_mm)
    assert points["SQ-E"].offset_mm == pytest.approx(1500 + square.across_mm)


def test_tops_of_leaning_legs_stand_off_the_places_in_the_ground() -> None:
    """A leg that leans by 3°: the top of 300 mm of socket stands 300 sin 3° = 15.7 mm inward."""
    from frame3d.design.reading.reader import design_from_mapping
    from frame3d.frame.lay_out import lay_out

    frame = lay_out(
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {
                    "style": "gothic",
                    "width": "6 m",
                    "ridge_height": "3.6 m",
                    "leg_height": "1.2 m",
                    "leg_lean": "3 deg",
                    "eave_radius": "1.2 m",
                },
                "hoop": {"ridge_tube": "50 x 3 mm"},
                "bays": {"count": 3, "spacing": "1.5 m"},
            }
        )
    )
    points = {point.name: point for point in set_out(frame).points}
    lean = 300 * math.sin(math.radians(3))
    assert points["1L"].x_mm == pytest.approx(0.0, abs=1e-6)
    assert abs(points["1L"].top_x_mm) == pytest.approx(lean, abs=0.01)
    assert points["1R"].x_mm - points["1L"].x_mm == pytest.approx(2 * frame.grid.socket_x_mm)
    assert points["1L"].top_z_mm == pytest.approx(300 * math.cos(math.radians(3)), abs=0.01)


@pytest.mark.parametrize(
    ("text", "name"),
    [("1L", "1L"), ("07r", "7R"), ("3 left", "3L"), ("hoop 2 right", "2R"), ("5-L", "5L"),
     ("Back-Right", "7R"), ("8L", None), ("0L", None), ("L", None), ("", None), ("1X", None)],
)  # fmt: skip
def test_sockets_are_known_by_what_people_write(text: str, name: str | None) -> None:
    assert named_socket(small_frame(), text) == name


def test_a_socket_is_called_by_hoop_and_side() -> None:
    assert socket_name(3, Side.LEFT) == "3L"
