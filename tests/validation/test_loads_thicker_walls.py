"""Thicker walls never make a frame reach the comparison point sooner, whatever the load.

Of all its tubes, that is. Where only those of the hoops are thicker it can reach it sooner, and
that is true: stiffness draws load. A brace gives way at a push of its own, a socket or a rail
reaches the common stress at a force of its own, and stiffer hoops hand them more of the load. In
the frames at random the push in the brace that gives way stays the same to 0.5 % while the index
falls, halving the bars changes neither, and the index falls evenly with the wall. The closed form
is below.
``FRAME3D_EXAMPLES=200`` tries as many frames.
"""

from __future__ import annotations

import os

import numpy as np
import pytest
from bar_structures import no_load, structure
from load_frames import random_design, with_thicker_walls

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.loads.compare.measuring import measured
from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.limits import LimitSearch
from frame3d.loads.solver.structure import Load

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


AREAS, LENGTHS = (100.0, 400.0, 500.0), (500.0, 2000.0, 1500.0)
"""Of a socket, of the hoop in it, and of a brace that shares their load; mm², mm."""


def factor_of(areas: tuple[float, ...]) -> float:
    """Of a force of 1 kN between hoop and brace: at which the socket has the common stress."""
    places = np.cumsum([0.0, *LENGTHS])
    nodes = np.column_stack([places, np.zeros((4, 2))])
    only_along = (0, 1, 1, 1, 1, 1)
    made = structure(
        nodes, [(0, 1), (1, 2), (2, 3)], area=np.array(areas),
        fixed={0: (1,) * 6, 1: only_along, 2: only_along, 3: (1,) * 6},
    )  # fmt: skip
    at_nodes = np.zeros((4, 6))
    at_nodes[2, 0] = 1000.0
    load = Load(at_nodes=at_nodes, along_bars=np.zeros((3, 3)))
    return LimitSearch(Assembly(structure=made), no_load(made), load).limit(235.0).factor


def closed_form(areas: tuple[float, ...]) -> float:
    """Springs in line and side by side: the socket has the share k1 / (k1 + k2) of the force."""
    socket, hoop, brace = (area / length for area, length in zip(areas, LENGTHS, strict=True))
    chain = 1 / (1 / socket + 1 / hoop)
    return 235.0 * areas[0] / (1000.0 * chain / (chain + brace))


def test_a_thicker_hoop_alone_brings_its_socket_there_sooner() -> None:
    socket, hoop, brace = AREAS
    plain, hoop_alone = factor_of(AREAS), factor_of((socket, 1.25 * hoop, brace))
    assert plain == pytest.approx(closed_form(AREAS), rel=1e-6)
    assert hoop_alone == pytest.approx(closed_form((socket, 1.25 * hoop, brace)), rel=1e-6)
    assert hoop_alone < 0.95 * plain
    assert factor_of(tuple(1.25 * area for area in AREAS)) == pytest.approx(1.25 * plain, rel=1e-6)
