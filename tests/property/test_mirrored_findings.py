"""A design seen in a mirror has the same findings on the other side."""

from __future__ import annotations

import pytest
from campaign import examples
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from frame3d.checks.assembly.clashes import reach_of
from frame3d.checks.findings.equal_findings import place_of
from frame3d.checks.measured.measuring import TOUCH_MM
from frame3d.checks.measured.near_pairs import Survey, survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import Frame3dError
from frame3d.frame.lay_out import lay_out

MIRRORED = {"left": "right", "right": "left", "middle": "middle"}
CORNERS = ["front left", "front right", "back left", "back right"]


@st.composite
def lopsided(draw) -> dict:
    """A frame that is symmetric but for its braces, which run into what is in their way."""
    height = st.integers(450, 2400)
    braces = []
    for _ in range(draw(st.integers(1, 3))):
        low, first = draw(st.integers(450, 900)), draw(st.integers(1, 4))
        last = draw(st.integers(1, 5).filter(lambda n, first=first: n != first))
        braces.append({
            "from_hoop": first, "to_hoop": last, "from_height": f"{low} mm",
            "to_height": f"{low + draw(st.integers(300, 1500))} mm",
            "corners": draw(st.lists(st.sampled_from(CORNERS), min_size=1, max_size=3,
                                     unique=True)),
        })  # fmt: skip
    return {
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "width": "6 m", "ridge_height": "3.6 m",
                    "leg_height": "1.2 m", "eave_radius": "1.2 m", "ridge_slope": "20 deg"},
        "bays": {"count": 5, "spacing": "1.3 m"},
        "hoop": {"ridge_tube": "50 x 3 mm"},
        "socket": {},
        # In one piece: the joints of the two sides are not mirrored on purpose.
        "rail": [{"at": "sides", "height": f"{draw(height)} mm", "stock_length": "8 m",
                  "fixing": draw(st.sampled_from(["bolted", "clamped"]))}],
        "brace": braces,
        "sill_board": {},
    }  # fmt: skip


def mirrored(design: dict) -> dict:
    def turn(brace: dict) -> dict:
        corners = [f"{c.split()[0]} {MIRRORED[c.split()[1]]}" for c in brace["corners"]]
        return {**brace, "corners": corners}

    return {**design, "brace": [turn(brace) for brace in design["brace"]]}


def clashes(seen: Survey, swap: bool) -> list[tuple]:
    """Roles, place and gap of every pair of tubes or boards that clash or nearly do.

    Left and right are exchanged if ``swap``. Hardware is left out: a coupler's ears point
    along the tunnel one way on the left and the other way on the right.
    """
    found = []
    for meeting in seen.meetings:
        for one, two in zip(meeting.pairs.first, meeting.pairs.second, strict=True):
            pair = sorted((seen.scene.members[one], seen.scene.members[two]),
                          key=lambda m: m.role.value)  # fmt: skip
            if meeting.gap_mm >= seen.reach_mm or any(m.part.is_bought for m in pair):
                continue
            place, _, side = place_of(*pair).rpartition(", ")
            side = MIRRORED[side] if swap else side
            found.append((pair[0].role.value, pair[1].role.value, place, side, meeting.gap_mm))
    return sorted(found)


def looked_at(design: dict) -> Survey:
    frame = lay_out(design_from_mapping(design))
    return survey(frame, reach_of(frame))


@settings(max_examples=examples(20), deadline=None, derandomize=True, database=None,
          suppress_health_check=[HealthCheck.filter_too_much])  # fmt: skip
@given(lopsided())
def test_mirrored_designs_have_mirrored_findings(design: dict) -> None:
    try:
        seen = looked_at(design)
    except Frame3dError:
        assume(False)
    other = looked_at(mirrored(design))
    found, twin = clashes(seen, False), clashes(other, True)
    assert [row[:4] for row in found] == [row[:4] for row in twin]
    assert [row[4] for row in found] == pytest.approx([row[4] for row in twin], abs=0.05)


def test_the_designs_do_clash() -> None:
    """Or the property would say nothing: a brace of each side through the rails."""
    base = {
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "width": "6 m", "ridge_height": "3.6 m",
                    "leg_height": "1.2 m", "eave_radius": "1.2 m", "ridge_slope": "20 deg"},
        "bays": {"count": 5, "spacing": "1.3 m"}, "hoop": {"ridge_tube": "50 x 3 mm"},
        "socket": {}, "rail": [{"at": "sides", "height": "600 mm"}],
        "brace": [{"from_height": "450 mm", "to_height": "1500 mm", "corners": ["front left"]}],
    }  # fmt: skip
    found = [row for row in clashes(looked_at(base), False) if row[4] < -TOUCH_MM]
    assert {row[:2] + row[3:4] for row in found} == {("brace", "rail", "left")}
    other = [row for row in clashes(looked_at(mirrored(base)), False) if row[4] < -TOUCH_MM]
    assert {row[:2] + row[3:4] for row in other} == {("brace", "rail", "right")}
