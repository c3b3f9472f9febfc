"""What meets is found whole, and one pair of each kind stands for all of them."""

from __future__ import annotations

import functools

import numpy as np
import pytest
from bare_examples import bare

from frame3d.checks.measured.contacts import Fittings
from frame3d.checks.measured.measuring import TOUCH_MM, PairToMeasure, gaps
from frame3d.checks.measured.near_pairs import Survey, survey
from frame3d.checks.measured.neighbours import _boxes, near_pairs, scene_of
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.starter_values import start_values
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

REACH_MM = 3.0
KINDS = [(style, units) for style in ArchStyle for units in UnitSystem]


@functools.cache
def started(style: ArchStyle, units: UnitSystem) -> Frame:
    """A new design as it comes, with end walls and a door, and with ties and side openings."""
    several = ("rail", "brace", "end_wall", "door")
    values = start_values(style, units)
    mapping = {k: v if k in several else v[0] for k, v in values.items()}
    mapping["tie"] = [{"height": "2400 mm", "joint": "plates", "webs": 2, "web_foot": 0.35}]
    mapping["side_opening"] = {"hip": "rail" if style is ArchStyle.GOTHIC else "board"}
    return lay_out(design_from_mapping(mapping))


@functools.cache
def surveyed(style: ArchStyle, units: UnitSystem) -> Survey:
    return survey(started(style, units), REACH_MM)


@pytest.mark.parametrize(("style", "units"), KINDS)
def test_one_pair_stands_for_all_of_its_kind(style: ArchStyle, units: UnitSystem) -> None:
    seen = surveyed(style, units)
    random, jobs, expected = np.random.default_rng(4), [], []
    fittings = Fittings()
    for meeting in seen.meetings:
        for k in random.permutation(len(meeting.pairs.first))[:2]:
            first, second = int(meeting.pairs.first[k]), int(meeting.pairs.second[k])
            own = fittings.contacts(seen.scene.members[first], seen.scene.members[second])
            assert [c.kind for c in own] == [c.kind for c in meeting.contacts]
            assert [c.bore for c in own] == [c.bore for c in meeting.contacts]
            for one, other in zip(own, meeting.contacts, strict=True):
                assert one.offset_mm == pytest.approx(other.offset_mm, abs=2e-3)
                assert one.from_mm == pytest.approx(other.from_mm, abs=2e-3)
            if not own:
                jobs.append(PairToMeasure(first=first, second=second,
                                primitives=tuple(sorted(meeting.pairs.primitives))))  # fmt: skip
                expected.append(meeting.gap_mm)
    assert len(jobs) > 100
    found = gaps(seen.scene, jobs, REACH_MM)
    # Distances have a tolerance of 0.02 mm, and flags at ends one of touching.
    assert found == pytest.approx(np.array(expected), abs=0.05)


@pytest.mark.parametrize("slope", ["24 deg", "23.5 deg", "22 deg"])
def test_pieces_of_a_flat_arc_meet_end_to_end(slope: str) -> None:
    """Of rafters with radii of 187 m and less, in butt joints: the pieces touch, no more."""
    frame = lay_out(
        design_from_mapping(
            {
                "output": {"units": "imperial"},
                "profile": {"style": "gothic", "measured": "outside", "width": "5705 mm",
                            "ridge_height": "2126 mm", "ridge_slope": slope},
                "bays": {"count": 1, "spacing": "1031 mm"},
                "hoop": {"tube": "2 in x 13 ga BWG", "pieces": 4, "splice": "sleeve",
                         "splice_fastener": "screws", "splice_tube": "NPS 2 STD",
                         "ridge_joint": "plates", "smallest_bend": 9.2},
                "socket": {"tube": "2.375 in x 10 ga BWG", "length": "713 mm",
                           "exposed": "513 mm", "upper_hole": "151 mm", "lower_hole": "272 mm",
                           "insertion": "364 mm"},
                "rail": [{"tube": "NPS 1 STD", "at": "sides", "fraction": 0.55}],
            }
        )
    )  # fmt: skip
    seen = survey(frame, REACH_MM)
    butts = [
        meeting.gap_mm
        for meeting in seen.meetings
        if all(
            seen.scene.members[ends[0]].role is Role.HOOP
            for ends in (meeting.pairs.first, meeting.pairs.second)
        )
    ]
    assert butts and min(butts) > -TOUCH_MM


def brute_pairs(frame: Frame) -> set[tuple[int, int]]:
    """Pairs of members with points of theirs in each other's boxes, all against all.

    Points every few degrees and along every tube and edge; no index, no classes.
    """
    scene = scene_of(frame)
    lows, highs = [], []
    for number in range(len(frame.members)):
        shape = scene.shape(number)
        points = [hull.vertices for hull in shape.hulls]
        for k, radius in enumerate(shape.radius_mm):
            one = shape.rods.take(np.full(101, k))
            middle = one.at(np.linspace(0, 1, 101) * one.length)
            side = np.cross(one.tangent_at(np.linspace(0, 1, 101) * one.length), [0.3, 0.5, 0.8])
            points += [middle + radius * side / np.linalg.norm(side, axis=1)[:, None] * s
                       for s in (-1, 0, 1)]  # fmt: skip
        placed = np.vstack(points) @ scene.rotation[number].T + scene.shift[number]
        lows.append(placed.min(axis=0))
        highs.append(placed.max(axis=0))
    low, high = np.array(lows), np.array(highs)
    found = set()
    for k in range(len(low)):
        meets = (low <= high[k]).all(axis=1) & (low[k] <= high).all(axis=1)
        found |= {(k, int(j)) for j in np.flatnonzero(meets) if j > k}
    return found


def test_no_clash_is_missed_by_the_index() -> None:
    """All pairs of a small frame with overlapping boxes, measured without index or classes."""
    values = start_values(ArchStyle.GOTHIC, UnitSystem.METRIC)
    mapping = {k: v if k in ("rail", "brace") else v[0] for k, v in values.items()
               if k not in ("end_wall", "door", "cover")}  # fmt: skip
    mapping["bays"] = {"count": 4, "spacing": "1.2 m"}
    mapping["rail"] = [{"at": "sides", "height": "560 mm"}, *mapping["rail"]]
    corners = ["front left", "front right"]
    mapping["brace"] = [
        {"from_height": "450 mm", "to_height": "2250 mm", "corners": corners},
        {
            "from_hoop": 4,
            "to_hoop": 2,
            "from_height": "450 mm",
            "to_height": "2250 mm",
            "corners": corners,
        },
    ]
    frame = lay_out(design_from_mapping(mapping))
    seen = survey(frame, REACH_MM)
    pairs, fittings = sorted(brute_pairs(frame)), Fittings()
    jobs = []
    for first, second in pairs:
        a, b = frame.members[first], frame.members[second]
        if not fittings.contacts(a, b):
            counts = seen.scene.shape(first).count, seen.scene.shape(second).count
            every = tuple((i, j) for i in range(counts[0]) for j in range(counts[1]))
            jobs.append(PairToMeasure(first=first, second=second, primitives=every))
    bare = gaps(seen.scene, jobs, REACH_MM)
    expected = {frozenset((job.first, job.second))
                for job, gap in zip(jobs, bare, strict=True) if gap < -TOUCH_MM}  # fmt: skip
    found = {
        frozenset(pair)
        for meeting in seen.meetings
        if meeting.gap_mm < -TOUCH_MM and not meeting.contacts
        for pair in zip(meeting.pairs.first.tolist(), meeting.pairs.second.tolist(), strict=True)
    }
    assert len(expected) >= 2
    assert found == expected


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_meant_contacts_of_the_examples_are_all_there(name: str) -> None:
    """Counted from the design alone: two sockets a hoop, two bolts a socket, and so on."""
    frame = bare(name)
    seen, counts = survey(frame, REACH_MM), {}
    for meeting in seen.meetings:
        roles = frozenset(
            seen.scene.members[int(side[0])].role
            for side in (meeting.pairs.first, meeting.pairs.second)
        )
        for contact in meeting.contacts:
            assert contact.fits
            key = (contact.kind.value, roles)
            counts[key] = counts.get(key, 0) + len(meeting.pairs.first)
    hoops = len(frame.grid.hoop_y_mm)
    assert counts["nested", frozenset({Role.SOCKET, Role.HOOP})] == 2 * hoops
    assert counts["through", frozenset({Role.SOCKET, Role.BOLT})] == 4 * hoops
    bolts = sum(1 for _ in frame.of(Role.BOLT))
    assert counts["stacked", frozenset({Role.BOLT, Role.NUT})] == bolts
    clamps = sum(1 for _ in frame.of(Role.CLAMP))
    gripped = sum(n for (kind, _), n in counts.items() if kind == "gripped")
    assert gripped == clamps > 0


def test_ways_of_standing_that_differ_by_a_sign_are_not_one() -> None:
    """Bolts 10 mm to the left and to the right of the middle of a plate use different holes."""
    seen = surveyed(ArchStyle.GOTHIC, UnitSystem.IMPERIAL)
    plates = [n for n, m in enumerate(seen.scene.members) if m.role is Role.GUSSET]
    assert plates
    for number in plates:
        bores = {
            seen.meetings[meeting].contacts[order].bore
            for meeting, order, _ in seen.links.of(number)
        }
        assert bores == set(range(len(seen.scene.members[number].part.holes)))


@pytest.mark.parametrize("name", list(example_paths()))
def test_boxes_hold_what_they_are_round_and_no_more(name: str) -> None:
    """Against points along every rod: an arc's leave it by the sagitta between two at most."""
    scene = scene_of(bare(name))
    member, number, low, high = _boxes(scene, 0.0)
    assert len(member) == sum(scene.shape(m).count for m in range(len(scene.members)))
    shares = np.linspace(0.0, 1.0, 401)
    # A box for each primitive of each shape, not of each of the thousands of members.
    of_kind = {(int(scene.part[m]), int(k)): n
               for n, (m, k) in enumerate(zip(member, number, strict=True))}  # fmt: skip
    for (_, k), n in of_kind.items():
        shape, m = scene.shape(member[n]), member[n]
        bars = len(shape.radius_mm)
        if k < bars:
            rod = shape.rods.take(np.full(401, k))
            points, radius = rod.at(shares * rod.length), shape.radius_mm[k]
            slack = rod.curvature[0] * (rod.length[0] / 400) ** 2 / 8
        else:
            points, radius, slack = shape.hulls[k - bars].vertices, 0.0, 0.0
        placed = points @ scene.rotation[m].T + scene.shift[m]
        for bound, reached in ((low[n], placed.min(axis=0) - radius),
                               (-high[n], -placed.max(axis=0) - radius)):  # fmt: skip
            assert (bound <= reached + 1e-6).all()
            assert (bound >= reached - slack - 1e-6).all()


def test_an_empty_frame_has_no_pairs() -> None:
    frame = started(ArchStyle.GOTHIC, UnitSystem.METRIC)
    bare = type(frame)(design=frame.design, grid=frame.grid, arch=frame.arch, members=())
    assert near_pairs(scene_of(bare), 1.0) == []
    assert survey(bare).meetings == ()
