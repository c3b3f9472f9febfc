"""Tube studs with flat tops: how far out they can stand, and how their tops are cut."""

from __future__ import annotations

import math

import pytest
from flat_tops import (
    is_round_where_it_is_clamped,
    is_under_the_cover,
    keeps_its_bolt,
    pairs_are_one_part,
    tops,
)
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch_curve import distance_at_height, height_at_x
from frame3d.summary import summary_of

STEEPEST_DEG = 62.0
FLATTENED = {"studs": "tube", "top": "flattened", "braces": "none"}


def mapping(style: str = "quonset", **wall: object) -> dict:
    """A half circle of 6 m on legs, or a gothic of that width."""
    rise = {"quonset": "4.2 m", "gothic": "4.5 m"}[style]
    return {
        "output": {"units": "metric"},
        "profile": {"style": style, "width": "6 m", "ridge_height": rise, "leg_height": "1.2 m"},
        "bays": {"count": 4, "spacing": "1.2 m"},
        "hoop": {"tube": "EN 10255 DN32 medium", "ridge_tube": "50 x 3 mm"},
        "rail": [],
        "end_wall": [{"at": "both", **FLATTENED, **wall}],
    }


def made(design: dict) -> Frame:
    return lay_out(design_from_mapping(design))


def farthest_mm(design: dict) -> float:
    """The most that a stud's place may be, by bisecting what is refused."""
    low, high = 0.0, 3000.0
    for _ in range(30):
        middle = (low + high) / 2
        design["end_wall"][0]["positions"] = [f"{middle:.6f} mm"]
        try:
            made(design)
        except DesignError as error:
            assert "too steep or too low; at most" in str(error)
            high = middle
        else:
            low = middle
    return low


@pytest.mark.parametrize("style", ["quonset", "gothic"])
def test_flat_tops_follow_the_hoop_as_far_out_as_studs_stand(style: str) -> None:
    frame = made(mapping(style, largest_spacing="600 mm", girts=["1.5 m", "2.4 m"]))
    found = list(tops(frame))
    slopes = []
    for top in found:
        is_under_the_cover(frame, top)
        keeps_its_bolt(frame, top)
        is_round_where_it_is_clamped(frame, top)
        (x0, z0), (x1, z1) = top.corners
        slopes.append(math.degrees(abs(math.atan2(z1 - z0, abs(x1 - x0)))))
        # it falls outward, on either side of the tunnel
        if abs(top.axis[0]) > 100:
            outer = max(top.corners, key=lambda corner: abs(corner[0]))
            assert outer[1] < top.axis[1]
    assert max(slopes) > 40
    assert pairs_are_one_part(frame) > 2
    # front and back, left and right: a mark stands four times
    marks = {top.member.mark for top in found if abs(top.axis[0]) > 1}
    assert len([t for t in found if abs(t.axis[0]) > 1]) == 4 * len(marks)


@pytest.mark.parametrize("slant", [0.0, -1.0])
def test_a_flat_cut_another_way_is_caught(slant: float) -> None:
    """The judge of these tests, on a stud cut square and on one cut the wrong way."""
    frame = made(mapping(positions=["2200 mm"]))
    (good, _) = tops(frame)
    part = good.member.part
    ends = {
        name: end and replace(end, slant_rad=slant * end.slant_rad)
        for name, end in (("start", part.start), ("end", part.end))
    }
    spoilt = replace(frame, members=(replace(good.member, part=replace(part, **ends)),))
    (top,) = tops(spoilt)
    is_under_the_cover(frame, good)
    with pytest.raises(AssertionError):
        is_under_the_cover(spoilt, top)


def test_flat_tops_reach_the_steepness_that_timber_does() -> None:
    """62 degrees at the outer side of the upright (common practice, no source).

    A half circle of 3 m: its inner face, 2978.8 mm from the middle, has that slope
    2630 mm out.
    """
    design = mapping()
    frame = made(design)
    radius = frame.arch.tube_od_mm / 2
    inner = frame.arch.half_offset(radius)
    at = (3000.0 - radius) * math.sin(math.radians(STEEPEST_DEG))
    there = inner.point_at(distance_at_height(inner, height_at_x(inner, at)))
    assert math.degrees(there.heading_rad) == pytest.approx(STEEPEST_DEG)
    design["end_wall"][0]["tube"] = "42 x 2 mm"
    assert farthest_mm(design) == pytest.approx(at - 21.0, abs=1e-3)
    timber = mapping()
    timber["end_wall"] = [
        {"studs": "timber", "timber": "47x100", "top": "bolted", "braces": "none"}
    ]
    assert farthest_mm(timber) == pytest.approx(at - 23.5, abs=1e-3)


def test_top_at_the_steepest_is_cut_at_the_chord_of_a_circle() -> None:
    """On a circle of 3000 + 21.2 mm, the hoop's outer face: closed form."""
    frame = made(mapping(positions=["2600 mm", "-2600 mm"]))
    outer = 3000.0 + frame.arch.tube_od_mm / 2
    section = frame.design.end_wall[0].tube
    half = math.pi * (section.od_mm / 2 - section.wall_mm) / 2 + section.wall_mm
    heights = [1200.0 + math.sqrt(outer**2 - (2600.0 + way * half) ** 2) for way in (-1, 1)]
    slope = math.atan2(heights[0] - heights[1], 2 * half)
    assert math.degrees(slope) > 58
    found = list(tops(frame))
    assert len(found) == 4
    for top in found:
        assert top.axis[1] == pytest.approx(sum(heights) / 2 - 3.0 / math.cos(slope), abs=1e-4)
        part = top.member.part
        flat = part.start or part.end
        assert abs(flat.slant_rad) == pytest.approx(slope, abs=1e-9)
        # what is cut off at its short edge stays within the flat
        assert half * math.tan(slope) < flat.length_mm
    # a tube so long goes into each, the list says
    length = found[0].member.part.length_mm + half * math.tan(slope)
    assert found[0].member.part.over_all_mm == pytest.approx(length)
    (row,) = [p for p in summary_of(frame)["parts"] if p["role"] == Role.STUD.value]
    assert row["length_mm"] == pytest.approx(length, abs=1e-3)
    assert row["count"] == 4
    assert "one end flat, cut at an angle" in row["description"]


def test_too_thick_a_bolt_for_a_thin_hoop_is_told() -> None:
    """1.2 x 13.5 mm (M12, ISO 273) = 16.2 mm; a hoop of 33.7 mm has 16.85 - 3 mm at most."""
    design = mapping(positions=["0 mm"])
    design["hoop"]["tube"] = "EN 10255 DN25 medium"
    design["socket"] = {"tube": "42 x 2 mm"}
    design["hardware"] = {"frame_bolt": "M12"}
    with pytest.raises(DesignError, match="and needs 16.2 mm, 1.2 times the hole") as caught:
        made(design)
    assert caught.value.where == "hardware.frame_bolt"


def test_a_girt_does_not_grip_a_stud_where_it_is_flat() -> None:
    """Just below the hoop at the outer studs: it is held by those that are round there."""
    frame = made(mapping(largest_spacing="600 mm"))
    outer = min(tops(frame), key=lambda top: top.axis[0])
    for height, ends_at_it in ((outer.round_to_mm - 25, True), (outer.round_to_mm + 5, False)):
        walled = made(mapping(largest_spacing="600 mm", girts=[f"{height} mm"]))
        lows = [m.placement.origin[0] for m in walled.of(Role.GIRT)]
        highs = [m.placement.point((m.part.length_mm, 0, 0))[0] for m in walled.of(Role.GIRT)]
        assert bool(min(*lows, *highs) < outer.axis[0]) is ends_at_it
