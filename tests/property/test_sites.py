"""Properties of sites: whatever frame there is can be staked, driven and judged on any ground."""

from __future__ import annotations

import math

import numpy as np
import pytest
from campaign import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from site_frames import on_drawn_ground
from whole_designs import designs, grounds, stakings

from frame3d.checks.all_checks import check_frame
from frame3d.checks.rules.doors import check_doors
from frame3d.checks.rules.survey_rules import check_survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.frame.model.surveyed import Level, Top
from frame3d.frame.on_ground import boards_on_ground
from frame3d.guide.make_guide import guide_of
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.site.built.as_built import HoopState, judge
from frame3d.site.driving.driving_plan import DrivingPlan, exposure_of, plan_driving
from frame3d.site.driving.under import ground_under
from frame3d.site.ground.surface import ground_through
from frame3d.site.staking.setting_out import PlaceKind, set_out
from frame3d.site.staking.socket_names import socket_places
from frame3d.site.survey import site_of
from frame3d.site.write.site_report import assumptions, figures, findings
from frame3d.site.write.site_tables import site_tables


def built_on(mapping: dict, ground: dict, *, whole: bool = False) -> bool:
    """Whatever is accepted builds on that ground: False where it is refused with a reason.

    ``whole`` with all checks, the guide and the sheets, which takes long.
    """
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        return False
    try:
        frame = on_drawn_ground(frame, ground)
    except (DesignError, DesignFaults) as error:
        places = [error.where] if isinstance(error, DesignError) else [
            fault.where for fault in error.faults
        ]  # fmt: skip
        assert all(place and "staking" in place for place in places), error
        return False
    site = site_of(frame)
    found = check_frame(frame) if whole else [*check_doors(frame), *check_survey(frame)]
    said = {finding.rule.name for finding in found}
    tables = {table.key: table for table in site_tables(site)}
    assert figures(site) and assumptions(site)
    told = " ".join(findings(site))
    walls = {wall.end: wall for wall in site.walls}
    for wall in walls.values():
        for piece in wall.pieces:
            if piece.member.role is Role.WALL_ANCHOR:
                spec = next(one for one in frame.design.end_wall if wall.end in one.at.each)
                assert piece.embedded_mm >= spec.anchor_depth - 0.01
        for one in wall.doors:
            strikes = one.clear_mm is not None and one.clear_mm < 0
            assert ("strikes by" in told or "door-ground" in said) if strikes else True
    if walls:
        assert len(tables["walls"].rows) == sum(len(wall.pieces) for wall in walls.values())
    if not whole:
        return True
    guide = guide_of(frame, drawn=False)
    shown = {m.mark for step in guide.steps for m in step.step.members}
    assert {m.mark for m in frame.of(Role.WALL_ANCHOR, Role.WALL_SKIRT)} <= shown
    draw_sheets(frame)
    return True


@settings(
    max_examples=examples(6), deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
@given(
    mapping=designs(most_bays=5, furnished=True), staking=stakings(), ground=grounds(),
)  # fmt: skip
def test_whatever_is_accepted_builds_on_any_ground(
    mapping: dict, staking: dict, ground: dict
) -> None:
    built_on({**mapping, "staking": staking}, ground)


STAKING = st.fixed_dictionaries(
    {
        "corner": st.sampled_from(["front left", "front right", "back left", "back right"]),
        "string": st.sampled_from(["level", "slope"]),
        "most_slope": st.floats(0.0, 8.0),
        "boards": st.sampled_from(["level", "follow", "skirt", "fill"]),
        "pad_margin": st.sampled_from(["0 mm", "600 mm"]),
    }
)


def _laid_out_on(frame: Frame, plan: DrivingPlan) -> None:
    """The frame on this ground: as it was but for boards and feet, or refused for its boards."""
    try:
        laid = lay_out(frame.design, ground_under(frame, plan))
    except DesignError as error:
        assert error.where == "staking.boards"
        return
    kept = (Role.HOOP, Role.SOCKET, Role.RAIL, Role.TIE, Role.BRACE)
    assert list(laid.of(*kept)) == list(frame.of(*kept))
    found = boards_on_ground(laid)
    boards = list(laid.of(Role.SKIRT_BOARD))
    assert len(boards) == (len(found.taken.skirts) if found else 0)


@settings(
    max_examples=examples(25), deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
@given(mapping=designs(most_bays=12), staking=STAKING, seed=st.integers(0, 10**6))
def test_every_frame_can_be_driven_on_any_ground(mapping: dict, staking: dict, seed: int) -> None:
    try:
        frame = lay_out(design_from_mapping({**mapping, "staking": staking}))
    except (DesignError, DesignFaults):
        return
    out, random = set_out(frame), np.random.default_rng(seed)
    sockets = out.of(PlaceKind.SOCKET)
    assert len(sockets) == 2 * len(frame.grid.hoop_y_mm)
    assert math.dist(
        (sockets[0].x_mm, sockets[0].y_mm), (sockets[-1].x_mm, sockets[-1].y_mm)
    ) == pytest.approx(out.diagonal_mm)
    xs, ys = zip(*((point.x_mm, point.y_mm) for point in sockets), strict=True)
    points = [(x, y) for x in (min(xs) - 300, sum(xs) / len(xs), max(xs) + 300)
              for y in np.linspace(min(ys) - 300, max(ys) + 300, 5)]  # fmt: skip
    ground = ground_through(
        [
            Level(row=i, name="", x_mm=x, y_mm=float(y), z_mm=float(random.normal(0, 200)))
            for i, (x, y) in enumerate(points)
        ]
    )
    plan, (exposure, embedment) = plan_driving(frame, out, ground), exposure_of(frame)
    _laid_out_on(frame, plan)
    length = frame.design.socket.length
    for driven in plan.sockets:
        share = driven.place.plumb_share
        assert driven.mark_mm >= exposure.least_mm / share - 0.1
        assert driven.embedded_mm + driven.fill_mm / share >= embedment - 0.1
        assert driven.mark_mm + driven.embedded_mm == pytest.approx(length)
        assert driven.outside_mm == 0.0
    for left, right in zip(plan.sockets[0::2], plan.sockets[1::2], strict=True):
        assert left.top_mm == pytest.approx(right.top_mm, abs=1e-6)
    assert abs(plan.slope_percent) <= staking["most_slope"] + 1e-6
    # What was planned is driven so, and then found to be so.
    tops = {p.name: p for p in plan.setting_out.of(PlaceKind.SOCKET)}
    level = math.sqrt(1 - plan.string.rise**2)
    built = judge(
        frame,
        [
            Top(row=i, name=place.name, x_mm=place.top_x_mm, y_mm=place.y_mm * level,
                z_mm=tops[place.name].top_z_mm)
            for i, place in enumerate(socket_places(frame))
        ],
    )  # fmt: skip
    assert {hoop.state for hoop in built.hoops} == {HoopState.GOES}
    assert not any(top.is_off for top in built.tops)
