"""Properties of end walls, doors, ties and side openings over whole designs."""

from __future__ import annotations

import copy
import itertools
import math
from collections import Counter

from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import End
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.canonical import shape_key
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, BoardEnd, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.geometry.arch.arch_curve import height_at_x

MOST_BAYS = 10
"""Braces and ties reach over six hoops at most; more bays would only take longer."""
furnished = settings(
    max_examples=examples(125),
    deadline=None,
    derandomize=True,
    # Finding the least of the designs that fail takes minutes; any of them tells enough.
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
WALL = (Role.STUD, Role.GIRT, Role.WALL_SILL, Role.DOOR_JAMB, Role.DOOR_HEADER)


def laid_out(mapping: dict) -> Frame:
    try:
        return lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
        raise


def box(member: Member) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Least and greatest corner of a board or a straight tube, mm."""
    part, place = member.part, member.placement
    if isinstance(part, Board):
        size = (part.length_mm, part.section.depth_mm, part.section.thickness_mm)
        corners = [
            place.point(tuple(s * k for s, k in zip(size, at, strict=True)))
            for at in itertools.product((0, 1), repeat=3)
        ]
        return tuple(map(min, *corners)), tuple(map(max, *corners))
    assert isinstance(part, Tube) and part.axis.is_straight
    ends = [place.origin, place.point((part.length_mm, 0.0, 0.0))]
    wide = [part.section.od_mm / 2 * math.sqrt(max(0.0, 1 - d * d)) for d in place.x]
    return (
        tuple(min(a, b) - w for a, b, w in zip(*ends, wide, strict=True)),
        tuple(max(a, b) + w for a, b, w in zip(*ends, wide, strict=True)),
    )


def nothing_of_the_wall_stands_in_a_clear_opening(frame: Frame) -> None:
    members = [(m, *box(m)) for m in frame.of(*WALL)]
    hoops = len(frame.grid.hoop_y_mm)
    for door in frame.doors:
        assert door.width_mm > 0 and door.height_mm > 0
        touching = set()
        for member, low, high in members:
            if member.spot.hoop != (1 if door.end is End.FRONT else hoops):
                continue
            inside = (
                min(high[0], door.right_x_mm) - max(low[0], door.left_x_mm),
                min(high[2], door.top_mm) - max(low[2], door.bottom_mm),
            )
            assert min(inside) < 1e-6, (member.mark, inside)
            for name, gap in (
                ("left", abs(high[0] - door.left_x_mm)),
                ("right", abs(low[0] - door.right_x_mm)),
                ("top", abs(low[2] - door.top_mm)),
            ):
                if gap < 1e-6 and member.role in (Role.DOOR_JAMB, Role.DOOR_HEADER):
                    touching.add(name)
        # The opening is as large as the finished faces let it be.
        assert touching == {"left", "right", "top"}


def timber_uprights_bear_on_the_hoop_at_both_edges(frame: Frame) -> None:
    radius = frame.arch.tube_od_mm / 2
    under, over = frame.arch.half_offset(radius), frame.arch.half_offset(-radius)
    for member in frame.of(Role.STUD, Role.DOOR_JAMB):
        board = member.part
        if not isinstance(board, Board):
            continue
        # One of the two ends is cut to the hoop; turned end for end it may be either.
        # On the centreline it can be cut square.
        end = board.end or board.start or BoardEnd()
        # A board of square section may be turned so that its bevel is a mitre.
        thick, slope = board.section.thickness_mm, abs(math.tan(end.bevel_rad or end.mitre_rad))
        low, high = box(member)
        middle = (low[0] + high[0]) / 2
        tops = (high[2], high[2] - thick * slope)
        outer = sorted((middle - thick / 2, middle + thick / 2), key=abs)
        for x, top in zip(outer, tops, strict=True):
            if end.lap_mm:
                assert abs(top - end.lap_mm - height_at_x(under, x)) < 1e-4
                assert top < height_at_x(over, x) + 1e-4
            else:
                assert abs(top - height_at_x(over, x)) < 1e-4


@furnished
@given(designs(most_bays=MOST_BAYS, furnished=True))
def test_end_walls_doors_ties_and_openings_keep_their_rules_mirrored_too(mapping: dict) -> None:
    frame = laid_out(mapping)
    nothing_of_the_wall_stands_in_a_clear_opening(frame)
    timber_uprights_bear_on_the_hoop_at_both_edges(frame)
    ties_posts_and_webs_are_alike_on_every_hoop(frame)
    side_openings_lie_between_sill_and_hip(frame)
    a_mirrored_design_has_the_same_parts(frame, laid_out(mirrored(mapping)))


def a_mirrored_design_has_the_same_parts(frame: Frame, other: Frame) -> None:
    assert Counter(m.role for m in frame.members) == Counter(m.role for m in other.members)
    ours, theirs = (math.fsum(mass_kg(p.part) * p.count for p in f.parts()) for f in (frame, other))
    assert math.isclose(ours, theirs, rel_tol=1e-9)
    doors = [(-d.right_x_mm, -d.left_x_mm) for d in frame.doors]
    assert sorted(doors) == sorted((d.left_x_mm, d.right_x_mm) for d in other.doors)
    cover, turned = cover_lines(frame), cover_lines(other)
    assert math.isclose(cover.film_mm2, turned.film_mm2)
    assert cover.channel_pieces == turned.channel_pieces


def mirrored(mapping: dict) -> dict:
    result = copy.deepcopy(mapping)
    swap = {"left": "right", "right": "left"}

    def other(length: str) -> str:
        return length[1:] if length.startswith("-") else f"-{length}"

    for door in result.get("door", []):
        door["position"] = other(door["position"])
        door["hand"] = swap[door["hand"]]
    for wall in result.get("end_wall", []):
        wall["positions"] = [other(p) for p in wall.get("positions", [])]
    for brace in result["brace"]:
        brace["corners"] = [
            " ".join(swap.get(word, word) for word in corner.split()) for corner in brace["corners"]
        ]
    return result


def ties_posts_and_webs_are_alike_on_every_hoop(frame: Frame) -> None:
    by_hoop: dict[int, Counter] = {}
    for member in frame.of(Role.TIE, Role.KING_POST, Role.WEB, Role.GUSSET):
        by_hoop.setdefault(member.spot.hoop, Counter())[member.mark] += 1
    assert len({tuple(sorted(c.items())) for c in by_hoop.values()}) <= 1
    for member in frame.of(Role.WEB):
        twin = [
            m
            for m in frame.of(Role.WEB)
            if m.spot.hoop == member.spot.hoop and m.spot.side is not member.spot.side
        ]
        assert [shape_key(m.part) for m in twin] == [shape_key(member.part)]
        assert member.spot.side in (Side.LEFT, Side.RIGHT)


def side_openings_lie_between_sill_and_hip(frame: Frame) -> None:
    cover = cover_lines(frame)
    assert len(frame.vents) in (0, 2)
    for vent in frame.vents:
        assert 0 <= vent.bottom_mm < vent.top_mm < frame.arch.ridge_height_mm
        assert 0 <= vent.start_y_mm < vent.end_y_mm <= frame.grid.length_mm
        # Along a curve it is no shorter than straight up.
        assert vent.girth_mm >= vent.top_mm - vent.bottom_mm - 1e-6
    assert math.isclose(cover.vent_mm2, sum(v.area_mm2 for v in frame.vents))
    assert 0 <= cover.vent_share < 3
