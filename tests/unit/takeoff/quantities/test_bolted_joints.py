"""Grip, bolt length and thread of every kind of bolted joint, each worked out by hand.

ASME B18: 3/8-16 has a nut of 21/64 in, a wide washer of 0.083 in, 1 in of thread up to 6 in;
two threads past the nut are 2/16 in. Bolts are stocked by quarter inches here (common
practice, no source).
"""

from __future__ import annotations

import pytest
from walled_designs import DESIGNS

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.joining.crossings import passages
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.takeoff.quantities.bolted_joints import BoltedJoint, bolted_joints
from frame3d.takeoff.take_off import take_off

INCH = 25.4
HOOP, SLEEVE, RAIL, BOARD = (
    "1.66 in x 14 ga BWG tube", "2 in x 11 ga BWG tube", "NPS 1 STD tube", "2x8 board",
)  # fmt: skip


def gothic(**changes: dict) -> Frame:
    """A small gothic frame: hoops of 1.66 x 0.083 in, sockets and sleeves of 2 x 0.120 in."""
    design = {
        "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "15 ft",
                    "leg_height": "4 ft"},
        "bays": {"count": 4, "spacing": "4 ft"},
        "hoop": {"tube": "1.66 in x 14 ga BWG", "ridge_tube": "2 in x 11 ga BWG"},
        "socket": {"tube": "2 in x 11 ga BWG"},
    }  # fmt: skip
    for section, fields in changes.items():
        if isinstance(fields, dict):
            design[section] = {**design.get(section, {}), **fields}
        else:
            design[section] = fields
    return lay_out(design_from_mapping(design))


def joint(frame: Frame, *held: str) -> BoltedJoint:
    """The one joint that holds these, from the head of its bolt on."""
    found = [one for one in bolted_joints(frame) if one.held == held]
    assert len(found) == 1, [one.held for one in bolted_joints(frame)]
    return found[0]


@pytest.mark.parametrize(
    ("changes", "held", "grip", "last_plane", "length"),
    [
        # 2.166 + 0.328 + 0.125 = 2.619: 2-3/4 would do, but its thread begins at 1.75 in, before
        # the socket's far wall at 0.083 + 2 - 0.120 = 1.963 in; that of 3 in at 2 in.
        ({}, (SLEEVE, HOOP), 2.166, 1.963, 3.0),
        # Swage: 1.826 + 0.453 = 2.279: 2-1/2 has thread from 1.5 in, the wall is at 1.66 in.
        ({"hoop": {"pieces": 4}}, (HOOP, HOOP), 1.826, 1.66, 2.75),
        # Under the hoop a rail of 1.315 in: 3.141 + 0.453 = 3.594.
        ({"rail": [{"at": "sides", "height": "8 ft"}]}, (HOOP, RAIL), 3.141, 1.743, 3.75),
        # The same rail on top of it: the same length, the plane at 0.083 + 1.315 in.
        (
            {"rail": [{"at": "sides", "height": "8 ft", "face": "outside"}]},
            (RAIL, HOOP), 3.141, 1.398, 3.75,
        ),
        # A rail under the ridge sleeve: 2 + 1.315 + 0.166 = 3.481, + 0.453 = 3.934.
        ({"rail": [{"at": "ridge"}]}, (SLEEVE, RAIL), 3.481, 2.083, 4.0),
        # Two boards of 1.5 in, no washer under the round head: 3.083 + 0.453 = 3.536.
        ({"sill_board": {"stock_length": "8 ft"}}, (BOARD, BOARD), 3.083, 1.5, 3.75),
        # Board, socket and leg: 3.583 + 0.453 = 4.036; 4-1/4 has thread from 3.25 in, the far
        # wall is at 1.5 + 2 - 0.120 = 3.38 in.
        ({"sill_board": {"stock_length": "8 ft"}}, (BOARD, SLEEVE, HOOP), 3.583, 3.38, 4.5),
    ],
)  # fmt: skip
def test_bolts_of_inch_joints(changes, held, grip, last_plane, length) -> None:
    found = [one for one in bolted_joints(gothic(**changes)) if one.held == held]
    assert found
    for one in found:
        assert one.grip_mm == pytest.approx(grip * INCH, abs=0.01)
        assert max(one.planes_mm) / INCH == pytest.approx(last_plane, abs=1e-3)
        assert one.bolt.length_mm == pytest.approx(length * INCH)
        assert one.drills_mm == (pytest.approx(13 / 32 * INCH),)
        assert not one.is_thread_sheared
        assert one.can_tighten


def test_bolts_of_a_ridge_sleeve_and_of_plates() -> None:
    """Sleeve: as through a socket, 3 in. Plates of 5 mm: 1.66 + 0.394 + 0.166 = 2.220 in, + 0.453
    = 2.673; 2-3/4 has thread from 1.75 in, the far plate begins at 0.083 + 0.197 + 1.66 = 1.940.
    """
    sleeve = gothic(sill_board={})
    assert joint(sleeve, SLEEVE, HOOP).bolt.length_mm == pytest.approx(3 * INCH)
    plates = joint(
        gothic(hoop={"ridge_joint": "plates", "ridge_tube": None}, sill_board={}),
        "ridge plate", HOOP, "ridge plate",
    )  # fmt: skip
    assert plates.grip_mm == pytest.approx((1.66 + 0.166) * INCH + 10, abs=0.01)
    assert plates.bolt.length_mm == pytest.approx(3 * INCH)
    assert len(plates.planes_mm) == 2
    assert max(plates.planes_mm) == pytest.approx((0.083 + 1.66) * INCH + 5, abs=0.01)


def test_bolt_of_a_sleeve_splice() -> None:
    """Through a sleeve of 2 x 0.120 in over the hoop: as through a socket, 3 in."""
    frame = gothic(
        hoop={"pieces": 4, "splice": "sleeve", "splice_tube": "2 in x 11 ga BWG",
              "ridge_joint": "plates", "ridge_tube": None},
        sill_board={},
    )  # fmt: skip
    found = joint(frame, SLEEVE, HOOP)
    assert found.bolt.length_mm == pytest.approx(3 * INCH)
    # Two at each of two splices of five hoops.
    assert len(found.members) == 20


def test_bolt_of_a_coupler() -> None:
    """Ears of 3 + 6 + 3 mm = 0.472 in, 5/16-18 nut 17/64, two threads 2/18: 0.849, so 1 in."""
    frame = gothic(rail=[{"at": "sides", "height": "8 ft", "fixing": "clamped"}])
    found = joint(frame, "ears of a clamp half")
    assert found.grip_mm == pytest.approx(12.0)
    assert found.bolt.length_mm == pytest.approx(INCH)
    assert (found.washers, found.planes_mm) == (0, ())
    assert found.drills_mm == (pytest.approx(11 / 32 * INCH),)


def test_bolts_of_metric_boards() -> None:
    """ISO 4014, 4032, 7089, M10: nut 8.4, washer 2, two threads 3, thread 26 mm.

    Board, socket, leg: 47 + 50 + 2 = 99, + 11.4 = 110.4, so 120, thread from 94, which is where
    the socket's far wall begins. Two boards: 96 + 11.4 = 107.4, so 110.
    """
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
        "sill_board": {"stock_length": "3 m"},
    }))  # fmt: skip
    legs = joint(frame, "47x200 board", "50 x 3 mm tube", "EN 10255 DN32 medium tube")
    assert (legs.grip_mm, legs.bolt.length_mm) == (pytest.approx(99.0), 120.0)
    assert legs.thread_from_mm == 94.0 and not legs.is_thread_sheared
    boards = joint(frame, "47x200 board", "47x200 board")
    assert (boards.grip_mm, boards.bolt.length_mm) == (pytest.approx(96.0), 110.0)


def test_thread_that_cannot_be_kept_out_is_told() -> None:
    """M8 through 42 and 50 x 3 mm: nut 6.8, washer 1.6, thread 22 mm, two threads 2.5.

    Grip 53.2, needed 62.5; 65 mm has thread from 43, 70 from 48; the wall is at 48.6, the nut at
    53.2: 75 mm would do, but is not stocked (ISO 888: 70, then 80, whose thread begins at 58).
    """
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m"},
        "bays": {"count": 2, "spacing": "1.5 m"},
        "hardware": {"frame_bolt": "M8"},
    }))  # fmt: skip
    found = joint(frame, "50 x 3 mm tube", "EN 10255 DN32 medium tube")
    assert found.bolt.length_mm == 65.0
    assert found.is_thread_sheared
    assert found.better_mm is None


@pytest.mark.parametrize("splice", ["swage", "sleeve"])
def test_every_bolt_has_its_nut_and_goes_through_something(splice: str) -> None:
    hoop = {"pieces": 4, "splice": splice}
    if splice == "sleeve":
        hoop["splice_tube"] = "2 in x 11 ga BWG"
    frame = gothic(
        hoop=hoop, sill_board={"stock_length": "8 ft"},
        rail=[{"at": "ridge"}, {"at": "sides", "height": "8 ft", "fixing": "clamped"}],
    )  # fmt: skip
    seen = list(passages(frame))
    assert len(seen) == sum(1 for _ in frame.of(Role.BOLT))
    fittings = [id(member) for passage in seen for member in passage.fittings]
    # Every nut and washer of the frame sits on one bolt and on no other.
    assert sorted(fittings) == sorted(id(member) for member in frame.of(Role.NUT, Role.WASHER))
    for passage in seen:
        assert passage.crossings and passage.nut_mm is not None
        # What is held fills the grip, but for washers and the bore of tubes.
        assert passage.crossings[-1].high_mm <= passage.nut_mm + 1e-6
        assert passage.crossings[0].low_mm >= -1e-6


def test_couplers_in_one_place_are_told() -> None:
    """The same brace twice."""
    brace = {"from_hoop": 2, "to_hoop": 3, "from_height": "2 ft", "to_height": "5 ft",
             "corners": ["front left"]}  # fmt: skip
    found = take_off(gothic(brace=[brace, brace])).findings
    assert len(found) == 1
    assert "at left: hoops 2 to 3, 4 at each: clamps overlap" in found[0]
    assert not take_off(gothic(brace=[brace])).findings


def test_no_longer_bolt_is_advised_that_was_left_out() -> None:
    """Board, socket and leg of 1.660 in with play: M12 x 130 has thread from 130 - 36 = 94 mm,
    before the far wall at 38.1 + 60.325 - 3.912 = 94.5 mm, so that it is no better than 120.
    """
    frame = gothic(
        hoop={"tube": "NPS 1-1/4 STD", "ridge_tube": "NPS 2 STD"},
        socket={"tube": "NPS 2 STD"},
        sill_board={},
        hardware={"system": "metric", "frame_bolt": "M8", "board_bolt": "M12"},
    )
    found = [one for one in bolted_joints(frame) if len(one.held) == 3]
    assert found
    for one in found:
        assert max(one.planes_mm) == pytest.approx(38.1 + 60.325 - 3.9116, abs=0.01)
        assert one.bolt.length_mm == pytest.approx(120.0)
        assert one.is_thread_sheared
        assert one.better_mm is None


def test_a_bolt_at_the_crown_goes_through_hoop_and_plate() -> None:
    """The plate's holes lie on the tangent and the hoop's on its arc: half a pitch a from the
    crown they are a²/2R apart, and one bolt goes through both.
    """
    frame = lay_out(design_from_mapping(DESIGNS["quonset example"]))
    through = [found.held for found in bolted_joints(frame) if "gusset plate" in found.held]
    assert through and all(len(held) == 2 for held in through)
    hoop = frame.design.hoop.tube.name
    drilled = 3.0 * 11.0 / 2  # half a pitch of three holes of 11 mm
    radius = frame.arch.top_radius_mm
    assert radius is not None and 0.0 < drilled**2 / 2 / radius < 0.5
    assert any(held == (f"{hoop} tube", "gusset plate") for held in through)
