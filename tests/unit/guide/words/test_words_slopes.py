"""What the guide says of boards on ground that was measured."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import GroundUnder
from frame3d.guide.make_guide import guide_of

FLAT = ((-1000.0, 0.0), (9000.0, 0.0))


def on(boards: str, right_mm: float) -> Frame:
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "socket": {"upper_hole": "140 mm", "lower_hole": "240 mm"},
        "sill_board": {},
        "staking": {"boards": boards},
    }
    right = ((-1000.0, 0.0), (0.0, 0.0), (6000.0, right_mm), (9000.0, right_mm))
    ground = GroundUnder(left=FLAT, right=right, front=FLAT, back=FLAT)
    return lay_out(design_from_mapping(mapping), ground)


def told(frame: Frame) -> str:
    step = next(
        s for s in guide_of(frame, drawn=False).steps if s.words.title == "Bolt on the sill boards"
    )
    return " ".join(step.words.do)


@pytest.mark.parametrize(
    ("boards", "right_mm", "words"),
    [
        ("skirt", -120.0, "Skirt boards close the gap under the sill boards in bays 1 to 4 on the "
         "right: straight edge up"),
        ("follow", -60.0, "they step by up to"),
        ("fill", -120.0, "fill up under and beside them in bays 1 to 4 on the right"),
        ("level", 60.0, "Dig up to 40 mm away under the boards in bays 2 to 4 on the right"),
    ],
)  # fmt: skip
def test_each_answer_is_told_with_its_bays(boards: str, right_mm: float, words: str) -> None:
    """Heights run from 0 to ``right_mm`` over four bays; level boards are 20 mm up."""
    assert words in told(on(boards, right_mm))


def test_blocks_of_skirts_are_not_counted_as_those_of_joints() -> None:
    """Two sides of 6.1 m from stock of 4.8 m have one joint each."""
    assert "there are 2." in told(on("skirt", -120.0))
    assert "280 mm below the tops of the sockets" in told(on("skirt", -120.0))
