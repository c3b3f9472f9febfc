"""Thicker walls never make a frame reach the comparison point sooner, whatever the load.

Of all its tubes, that is. Where only those of the hoops are thicker, a rail, socket or brace that
reaches the comparison point first can get more of the load, and the frame reach it a few per cent
sooner: stiffness draws load. ``FRAME3D_EXAMPLES=200`` tries as many frames.
"""

from __future__ import annotations

import os

import pytest
from load_frames import random_design, with_thicker_walls

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.loads.compare.measuring import measured

SEEDS = range(int(os.environ.get("FRAME3D_EXAMPLES", "3")))
NAMES = (
    "even snow", "snow on one half", "drifted snow", "wind across, air pressing outward inside",
    "wind along, air pressing outward inside", "wind along, air drawing inward inside", "crop",
)  # fmt: skip


@pytest.mark.parametrize("seed", SEEDS)
def test_thicker_walls_are_never_sooner(seed: int) -> None:
    design = design_from_mapping(random_design(seed))
    plain, thicker = (
        measured(lay_out(one), design.loads, lambda *_: None, only=NAMES)
        for one in (design, with_thicker_walls(design, 1.25))
    )
    shared = set(plain.endings) & set(thicker.endings)
    assert len(shared) >= 6
    for key in shared:
        assert thicker.endings[key].factor >= plain.endings[key].factor
        assert thicker.endings[key].factor > 0
