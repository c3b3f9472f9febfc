"""Studs, webs and covers held against closed forms that are derived here.

The arches: a half circle on legs, and a two-centred gothic arch whose centres lie on the
springing line (half arc of radius R about (R - s/2, springing), s the span). The face of a
tube of diameter d runs concentric, at R - d/2 inside and R + d/2 outside.
"""

from __future__ import annotations

import math

import cadquery as cq
import pytest
from scipy.integrate import quad

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.joining.clamps import axis_distance_mm
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.space.crown import crown_of
from frame3d.geometry.placement import cross, dot, unit

D = 42.4
"""Outside diameter of EN 10255 DN32, mm (see test_tube_tables.py)."""
LEG, SPAN = 900.0, 6000.0
GOTHIC_RADIUS = 4000.0
LENGTH = 6000.0


def design(style: str, **more) -> dict:
    """The half circle, or the pointed arch of checks: span 6, radius 4."""
    profile = {"style": style, "width": f"{SPAN} mm", "leg_height": f"{LEG} mm"}
    if style == "quonset":
        profile["ridge_height"] = f"{LEG + SPAN / 2} mm"
    else:
        profile |= {"rafter_radius": f"{GOTHIC_RADIUS} mm"}
    hoop = {"tube": "EN 10255 DN32 medium", "ridge_tube": "50 x 3 mm"}
    return {
        "output": {"units": "metric", "decimals": 2},
        "profile": profile,
        "bays": {"count": 4, "spacing": "1500 mm"},
        "hoop": hoop,
        **more,
    }


def made(style: str, **more) -> Frame:
    return lay_out(design_from_mapping(design(style, **more)))


def face_height(style: str, x: float, off: float) -> float:
    """Height of the face ``off`` inside (or, negative, outside) of the axis, at ``x``."""
    x = abs(x)
    if style == "quonset":
        return LEG + math.sqrt((SPAN / 2 - off) ** 2 - x**2)
    # The right half's centre lies left of the middle, by R - s/2.
    across = x + GOTHIC_RADIUS - SPAN / 2
    return LEG + math.sqrt((GOTHIC_RADIUS - off) ** 2 - across**2)


def box_z(member: Member) -> tuple[float, float]:
    ends = [member.placement.point((x, 0.0, 0.0))[2] for x in (0.0, member.part.length_mm)]
    return min(ends), max(ends)


@pytest.mark.parametrize("style", ["quonset", "gothic"])
@pytest.mark.parametrize("x", [-1900.0, -700.0, 350.0, 1500.0])
@pytest.mark.parametrize("top", ["notched", "bolted"])
def test_length_and_top_angle_of_a_timber_stud(style: str, x: float, top: str) -> None:
    thick, sill = 47.0, 47.0
    frame = made(
        style,
        end_wall=[
            {
                "at": "front",
                "timber": "47x100",
                "sill": "47x150",
                "top": top,
                "braces": "none",
                "positions": [f"{x} mm"],
            }
        ],
    )
    (stud,) = frame.of(Role.STUD)
    near, far = (face_height(style, abs(x) + side * thick / 2, D / 2) for side in (-1, 1))
    if top == "bolted":
        near, far = (face_height(style, abs(x) + side * thick / 2, -D / 2) for side in (-1, 1))
    end = stud.part.end or stud.part.start
    # The cut follows the chord over the stud's own thickness.
    assert abs(end.bevel_rad) == pytest.approx(math.atan2(near - far, thick), abs=1e-9)
    low, high = box_z(stud)
    assert low == pytest.approx(sill, abs=1e-9)
    assert high - end.lap_mm == pytest.approx(near, abs=1e-5)
    assert stud.part.length_mm == pytest.approx(near + end.lap_mm - sill, abs=1e-5)
    if top == "notched":
        assert end.lap_depth_mm == pytest.approx(D, abs=1e-9)
        # Up to the outer face, so about D / cos(angle) high.
        assert end.lap_mm == pytest.approx(D / math.cos(end.bevel_rad), rel=0.02)


@pytest.mark.parametrize("style", ["quonset", "gothic"])
def test_a_clamped_tube_stud_reaches_the_axis_of_the_hoop(style: str) -> None:
    frame = made(
        style,
        end_wall=[
            {
                "at": "front",
                "studs": "tube",
                "braces": "none",
                "positions": ["-1200 mm", "800 mm"],
                "embedment": "600 mm",
            }
        ],
    )
    for stud in frame.of(Role.STUD):
        x = stud.placement.origin[0]
        low, high = box_z(stud)
        assert low == pytest.approx(-600.0)
        axis = face_height(style, x, 0.0)
        # Past the hoop's axis, and no higher than the cover, whose face is at D / 2.
        assert axis < high < min(face_height(style, x + side * D / 2, -D / 2) for side in (-1, 1))
        assert stud.placement.point((0.0, 0.0, 0.0))[1] == pytest.approx(axis_distance_mm(D, D))


def hoop_point(share: float, height: float) -> tuple[float, float]:
    """On the half circle: from the height of the tie, a share of the way to the crown."""
    radius = SPAN / 2
    low = math.asin((height - LEG) / radius)
    angle = low + share * (math.pi / 2 - low)
    return radius * math.cos(angle), LEG + radius * math.sin(angle)


def axis_of(member: Member) -> tuple[tuple, tuple]:
    return member.placement.origin, member.placement.x


def off_line(point, start, along) -> float:
    return math.hypot(*cross(tuple(p - s for p, s in zip(point, start, strict=True)), along))


def test_webs_on_plates_run_from_node_to_node_by_pythagoras() -> None:
    height, foot, share = 2400.0, 0.4, 0.5
    frame = made(
        "quonset",
        tie=[
            {
                "height": f"{height} mm",
                "joint": "plates",
                "webs": 2,
                "web_foot": foot,
                "web_top": share,
            }
        ],
    )
    half = math.sqrt((SPAN / 2) ** 2 - (height - LEG) ** 2)
    x, z = hoop_point(share, height)
    between = math.hypot(x - foot * half, z - height)
    for web in frame.of(Role.WEB):
        sign = -1 if web.spot.side is Side.LEFT else 1
        start, along = axis_of(web)
        for node in ((sign * foot * half, start[1], height), (sign * x, start[1], z)):
            assert off_line(node, start, along) < 1e-5
        angle = math.atan2(z - height, x - foot * half)
        assert abs(math.asin(along[2])) == pytest.approx(angle, abs=1e-9)
        # What is missing at the ends is the setback from tie and hoop, on the same line.
        setbacks = [
            math.dist(p, q)
            for p, q in (
                ((sign * foot * half, start[1], height), web.placement.point((0.0, 0.0, 0.0))),
                ((sign * x, start[1], z), web.placement.point((web.part.length_mm, 0.0, 0.0))),
            )
        ]
        if setbacks[0] > between / 2:
            setbacks = [
                math.dist(p, q)
                for p, q in (
                    (
                        (sign * foot * half, start[1], height),
                        web.placement.point((web.part.length_mm, 0.0, 0.0)),
                    ),
                    ((sign * x, start[1], z), web.placement.point((0.0, 0.0, 0.0))),
                )
            ]
        assert web.part.length_mm + sum(setbacks) == pytest.approx(between, abs=1e-5)
        assert min(setbacks) > D / 2


def test_ties_on_plates_span_the_half_circle() -> None:
    height = 2400.0
    frame = made("quonset", tie=[{"height": f"{height} mm", "joint": "plates"}])
    half = math.sqrt((SPAN / 2) ** 2 - (height - LEG) ** 2)
    for tie in frame.of(Role.TIE):
        ends = [tie.placement.point((x, 0.0, 0.0)) for x in (0.0, tie.part.length_mm)]
        assert all(abs(end[2] - height) < 1e-9 for end in ends)
        assert max(abs(end[0]) for end in ends) < half - D / 2


def test_clamped_webs_are_square_to_what_they_are_clamped_to() -> None:
    """The held tube's axis lies a coupler's distance from both holders, by vector algebra."""
    height = 2400.0
    frame = made(
        "quonset",
        tie=[
            {
                "height": f"{height} mm",
                "webs": 2,
                "web_foot": 0.4,
                "web_top": 0.5,
            }
        ],
    )
    tube = 33.7  # EN 10255 DN25, the default
    x, z = hoop_point(0.5, height)
    for web in frame.of(Role.WEB):
        start, along = axis_of(web)
        tie = next(t for t in frame.of(Role.TIE) if t.spot.hoop == web.spot.hoop)
        sign = -1 if web.spot.side is Side.LEFT else 1
        y = frame.grid.hoop_y_mm[web.spot.hoop - 1]
        tangent = unit((-(z - LEG), 0.0, sign * x))
        for point, direction, wanted in (
            (tie.placement.origin, tie.placement.x, axis_distance_mm(tube, tube)),
            ((sign * x, y, z), tangent, axis_distance_mm(D, tube)),
        ):
            square = unit(cross(along, direction))
            gap = tuple(p - s for p, s in zip(point, start, strict=True))
            assert abs(dot(gap, square)) == pytest.approx(wanted, abs=1e-6)


def pointed_area(radius: float, half_span: float) -> float:
    """Under a pointed arch: twice a sector less a triangle, both about the centre.

    Derived; span 6, radius 4 give 17.2168738.
    """
    centre = radius - half_span
    rise = math.sqrt(radius**2 - centre**2)
    return radius**2 * math.acos(centre / radius) - centre * rise


def test_the_area_formula_of_the_pointed_arch() -> None:
    """Against the integral of the arch's height over the span, by quadrature (scipy)."""
    height = quad(lambda x: math.sqrt(16 - (abs(x) + 1) ** 2), -3, 3, points=[0])[0]
    assert pointed_area(4.0, 3.0) == pytest.approx(height, rel=1e-9)
    assert pointed_area(4.0, 3.0) == pytest.approx(17.2168738, abs=1e-7)


@pytest.mark.parametrize("style", ["quonset", "gothic"])
def test_film_floor_and_volume(style: str) -> None:
    frame = made(
        style,
        cover={
            "side_allowance": "250 mm",
            "end_allowance": "500 mm",
            "channel_length": "4 m",
        },
    )
    found = cover_lines(frame)
    out = SPAN / 2 + D / 2
    if style == "quonset":
        curve, area = math.pi * out, math.pi * out**2 / 2
    else:
        radius = GOTHIC_RADIUS + D / 2
        centre = radius - out
        curve, area = 2 * radius * math.acos(centre / radius), pointed_area(radius, out)
    girth = curve + 2 * LEG
    assert found.girth_mm == pytest.approx(girth, abs=1e-5)
    assert found.film_width_mm == pytest.approx(girth + 500.0, abs=1e-5)
    assert found.film_length_mm == pytest.approx(LENGTH + D + 1000.0)
    assert found.floor_mm2 == pytest.approx(SPAN * LENGTH)
    volume = (area + 2 * out * LEG) * (LENGTH + D)
    assert found.volume_mm3 == pytest.approx(volume, rel=1e-10)
    # Two runs of girth over the end hoops and nothing else, in pieces of 4 m.
    assert found.channel_pieces == 2 * math.ceil(girth / 4000)


@pytest.mark.parametrize("style", ["quonset", "gothic"])
def test_volume_and_skin_against_a_solid(style: str) -> None:
    """The space under the outer face as a solid of the CAD kernel, by three points each arc."""
    frame = made(style)
    found = cover_lines(frame)
    out = SPAN / 2 + D / 2
    top = face_height(style, 0.0, -D / 2)
    quarter = (out * 0.6, face_height(style, out * 0.6, -D / 2))
    outline = (
        cq.Workplane("XZ")
        .moveTo(-out, 0)
        .lineTo(-out, LEG)
        .threePointArc((-quarter[0], quarter[1]), (0, top))
        .threePointArc(quarter, (out, LEG))
        .lineTo(out, 0)
        .close()
    )
    solid = outline.extrude(LENGTH + D).val()
    assert found.volume_mm3 == pytest.approx(solid.Volume(), rel=1e-9)
    skin = sum(f.Area() for f in solid.Faces() if abs(f.normalAt().y) < 1e-6)
    floor = 2 * out * (LENGTH + D)
    assert found.girth_mm * (LENGTH + D) == pytest.approx(skin - floor, rel=1e-9)
    assert found.covered_mm2 == pytest.approx(floor, rel=1e-12)


def test_twenty_by_ninety_six_feet_with_four_feet_open_is_forty_percent() -> None:
    """Derived: 2 x 4 ft x 96 ft open over 20 ft x 96 ft of floor is 768/1920."""
    mapping = {
        "profile": {
            "style": "quonset",
            "width": "20 ft",
            "ridge_height": "15 ft 6 in",
            "leg_height": "5 ft 6 in",
        },
        "bays": {"count": 24, "spacing": "4 ft"},
        "hoop": {"pieces": 3},
        # 2x6 is 5 1/2 in deep, so its lower edge is 4 ft up.
        "side_opening": {"height": "4 ft 2 3/4 in", "timber": "2x6", "end_stop": "0 in"},
    }
    frame = lay_out(design_from_mapping(mapping))
    found = cover_lines(frame)
    assert found.vent_share == pytest.approx(0.40, abs=1e-9)
    assert found.vent_mm2 / 304.8**2 == pytest.approx(2 * 4 * 96)


def test_clear_opening_is_between_the_finished_faces() -> None:
    frame = made(
        "quonset",
        end_wall=[{"at": "front", "timber": "47x100"}],
        door=[{"width": "1100 mm", "height": "2000 mm", "threshold": "board"}],
    )
    (door,) = frame.doors
    assert (door.width_mm, door.height_mm) == (1100.0, 2000.0)
    assert door.bottom_mm == 47.0  # the threshold is as thick as the sill
    left, right = sorted((m.placement.origin[0] for m in frame.of(Role.DOOR_JAMB)), key=float)
    # Jambs 47 mm thick: between their middles it would be 1147.
    assert abs(right - left) == pytest.approx(1147.0)


def test_each_leaf_of_a_double_door_overlaps_its_jamb_and_not_the_other() -> None:
    frame = made(
        "quonset",
        end_wall=[{"at": "back", "timber": "47x100"}],
        door=[{"at": "back", "width": "1800 mm", "leaves": 2}],
    )
    (door,) = frame.doors
    one, other = door.leaves
    assert one.low_x_mm < door.left_x_mm and other.high_x_mm > door.right_x_mm
    assert 0 < other.low_x_mm - one.high_x_mm < 20
    assert (one.pin_x_mm, other.pin_x_mm) == (one.low_x_mm, other.high_x_mm)


@pytest.mark.parametrize(("stop", "past"), [("400 mm", 400.0), ("0 mm", 0.0)])
def test_channel_follows_the_hips_and_the_sills_only_past_the_openings(stop, past) -> None:
    """Under a curtain no channel lies along the sill, but past its ends (common practice).

    Past an end stop: its distance from the end hoop's centre, and half the hoop tube.
    """
    frame = made(
        "quonset",
        sill_board={},
        side_opening={"height": "1200 mm", "timber": "22x100", "end_stop": stop},
    )
    runs = {run.along: (run.length_mm, run.count) for run in cover_lines(frame).channel}
    closed = runs.pop("sill boards, past the side openings", (0.0, 0))
    assert "sill boards" not in runs
    assert runs["hips"] == (pytest.approx(LENGTH + D), 2)
    wanted = frame.vents[0].start_y_mm + D / 2 if past else 0.0
    assert closed == (pytest.approx(wanted), 4 if past else 0)
    assert frame.vents[0].start_y_mm >= past
    shut = cover_lines(made("quonset", sill_board={}))
    assert ("sill boards", 2) in [(run.along, run.count) for run in shut.channel]


def test_heights_at_a_ridge_sleeve_are_those_of_the_sleeve() -> None:
    """By the circle: the sleeve follows the rafters and bends at 450 mm, tangent to both.

    So the bend's centre lies on the centreline, as far from a rafter's centre as their radii
    differ: sqrt(3550² - 1000²) above the springing.
    """
    frame = made(
        "gothic",
        hoop={
            "tube": "EN 10255 DN32 medium",
            "ridge_tube": "50 x 3 mm",
            "ridge_bend_radius": "450 mm",
        },
    )
    crown, inward = crown_of(frame), GOTHIC_RADIUS - SPAN / 2
    axis = LEG + math.sqrt(GOTHIC_RADIUS**2 - inward**2)
    assert crown.axis_mm == pytest.approx(axis, abs=1e-6)
    middle = LEG + math.sqrt((GOTHIC_RADIUS - 450.0) ** 2 - inward**2) + 450.0
    assert crown.clear_mm == pytest.approx(middle - 25.0, abs=1e-4)
    assert crown.over_all_mm == pytest.approx(middle + 25.0, abs=1e-4)


def test_heights_of_a_round_hoop_are_those_of_its_tube() -> None:
    crown = crown_of(made("quonset"))
    assert crown.axis_mm == pytest.approx(LEG + SPAN / 2)
    assert crown.clear_mm == pytest.approx(LEG + SPAN / 2 - D / 2, abs=1e-5)
    assert crown.over_all_mm == pytest.approx(LEG + SPAN / 2 + D / 2, abs=1e-5)
