"""A thicker wall of the hoops never makes a frame reach the mark sooner under snow or wind across.

Under wind along the tunnel it can, and rightly: where a socket, a rail or a brace reaches the mark
first, stiffer hoops leave more of the load to it. ``FRAME3D_EXAMPLES=200`` tries as many frames.
"""

from __future__ import annotations

import os

import pytest
from load_frames import random_design
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.loads.compare.measuring import measured
from frame3d.loads.model.assumed import USUAL

SEEDS = range(int(os.environ.get("FRAME3D_EXAMPLES", "3")))
NAMES = (
    "even snow", "snow on one half", "drifted snow", "wind across, air pressing outward inside",
    "wind across, air drawing inward inside",
)  # fmt: skip


@pytest.mark.parametrize("seed", SEEDS)
def test_a_thicker_wall_is_never_sooner(seed: int) -> None:
    design = design_from_mapping(random_design(seed))
    tube = design.hoop.tube
    wall = replace(tube, name="thicker", wall_mm=1.25 * tube.wall_mm)
    thicker = design.model_copy(update={"hoop": design.hoop.model_copy(update={"tube": wall})})
    plain, made = (
        measured(lay_out(one), design.loads, lambda *_: None, only=NAMES)
        for one in (design, thicker)
    )
    for name in NAMES:
        assert made.endings[name, USUAL].factor >= plain.endings[name, USUAL].factor * (1 - 5e-4)
