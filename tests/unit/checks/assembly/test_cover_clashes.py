"""What parts of the cover hit: nothing in plain designs, and told where something is put there."""

from __future__ import annotations

import math

import pytest
from curtain_designs import BASE, ROLL_UP
from msgspec.structs import replace

from frame3d.checks.assembly.cover_clashes import RULES, find_cover_clashes
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Bolt
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.channel_runs import door_edge_mm, jamb_face
from frame3d.geometry.placement import add

WALLED = BASE | {
    "cover": {"listed_as": "parts"},
    "bays": {"count": 2, "spacing": "1.5 m"},
    "end_wall": [{"at": "front", "timber": "47x100"}],
    "door": [{"kind": "hinged", "width": "1200 mm", "height": "1900 mm"}],
}


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping(WALLED))


def test_plain_designs_have_none(frame: Frame) -> None:
    assert find_cover_clashes(frame) == []
    assert find_cover_clashes(lay_out(design_from_mapping(ROLL_UP))) == []
    assert find_cover_clashes(lay_out(design_from_mapping(BASE | {"curtain": {}}))) == []


def test_what_is_put_into_channel_is_told(frame: Frame) -> None:
    """A tube through the middle of a piece of channel, as a brace; as a socket it may lie there."""
    channel = next(m for m in frame.of_kind(Channel, Role.CHANNEL) if m.part.axis.is_straight)
    tube = next(frame.of(Role.SOCKET))
    middle = channel.placement.point((channel.part.length_mm / 2, 0.0, 2.0))
    start = add(middle, tube.placement.x, -500.0)
    for role, found in ((Role.BRACE, 1), (Role.SOCKET, 0)):
        own = replace(tube, role=role, placement=replace(tube.placement, origin=start))
        findings = find_cover_clashes(replace(frame, members=(channel, own), joints=()))
        assert len(findings) == found
        for one in findings:
            assert one.rule.name == "cover-clash" and set(one.members) == {channel, own}
            assert f"into the {role.value}" in one.message


def test_screws_keep_clear_of_bolts_and_hinges(frame: Frame) -> None:
    """Axes of channel screws and bolts on the end hoops, by points along them."""
    screws = list(frame.of(Role.CHANNEL_SCREW))
    bolts = [m for m in frame.of(Role.BOLT) if isinstance(m.part, Bolt)]
    for screw in screws:
        tip = [screw.placement.point((0.0, 0.0, 2.5 * k)) for k in range(10)]
        for bolt in bolts:
            if math.dist(screw.placement.origin, bolt.placement.origin) > 250.0:
                continue
            shank = [bolt.placement.point((0.0, 0.0, 5.0 * k))
                     for k in range(int(bolt.part.length_mm / 5) + 1)]  # fmt: skip
            least = min(math.dist(a, b) for a in tip for b in shank)
            assert least > (bolt.part.size.diameter_mm + 5.0) / 2, (screw.mark, bolt.mark)


def test_screws_beside_a_door_go_into_its_jamb(frame: Frame) -> None:
    """The jamb reaches 47 mm from the opening (its lumber, 47x100); screws amid what is covered."""
    (door,) = frame.doors
    edge, wide = door_edge_mm(frame.design, door), frame.design.cover.channel_width
    assert jamb_face(frame.design, door) == (0.0, 47.0)
    beside = [
        m for m in frame.of(Role.CHANNEL_SCREW)
        if abs(m.placement.origin[1] - door.wall_y_mm) < 5 and m.placement.origin[2] < door.top_mm
    ]  # fmt: skip
    assert len(beside) >= 6
    for screw in beside:
        x = screw.placement.origin[0]
        away = min(abs(x - door.left_x_mm), abs(x - door.right_x_mm))
        assert math.isclose(away, (edge + min(47.0, edge + wide)) / 2, abs_tol=1e-6)


def test_a_jamb_that_is_too_narrow_is_told() -> None:
    narrow = WALLED | {
        "end_wall": [{"at": "front", "studs": "tube", "tube": "26.9 x 2.3 mm"}],
    }
    findings = find_cover_clashes(lay_out(design_from_mapping(narrow)))
    bearing = next(one for one in findings if one.rule.name == "channel-bearing")
    assert bearing.provided < bearing.required and "jamb" in bearing.message
    assert {one.rule for one in findings} <= set(RULES)
