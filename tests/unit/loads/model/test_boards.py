"""Boards as bars: what holds them, and what they do to a frame."""

from __future__ import annotations

import math

import numpy as np
import pytest
from bar_structures import all_forces, reactions
from load_frames import small_frame
from msgspec.structs import replace

from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.loads.compare.measuring import loose_words
from frame3d.loads.model.assumed import Assumed
from frame3d.loads.model.boards import (
    TIMBER_E,
    BoardEnd,
    boards_of,
    round_bar_mm,
    slip_n_per_mm,
    timber_bars,
)
from frame3d.loads.model.connections import TURNING_N_MM
from frame3d.loads.model.space_frame import SpaceFrame, space_frame
from frame3d.loads.model.weights import weights_of
from frame3d.loads.shapes.unit_loads import unit_loads
from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.static import linear
from frame3d.loads.solver.structure import STEEL_E


@pytest.fixture(scope="module")
def frame() -> Frame:
    """Hoops on boards along both sides, spliced by a block, with hip boards above."""
    return small_frame(
        bays={"count": 4, "spacing": "1.5 m"}, sill_board={},
        profile={"style": "quonset", "width": "5 m", "ridge_height": "3 m", "leg_height": "1.2 m"},
        side_opening={"hip": "board"},
    )  # fmt: skip


@pytest.fixture(scope="module")
def space(frame: Frame) -> SpaceFrame:
    return space_frame(frame, with_boards=True)


def test_a_bolt_gives_way_as_published() -> None:
    """EN 1995-1-1, table 7.1: rho^1.5 d / 23, by hand for C24 (420 kg/m³) and 10 mm."""
    assert slip_n_per_mm(10.0, against_steel=False) == pytest.approx(8607.4 * 10 / 23, rel=1e-4)
    assert slip_n_per_mm(10.0, against_steel=True) == 2 * slip_n_per_mm(10.0, against_steel=False)


def test_a_link_is_the_round_bar_that_gives_way_so() -> None:
    """12 E I / L³ of a bar whose ends do not turn, closed form."""
    size = round_bar_mm(7000.0, 40.0)
    assert 12 * STEEL_E * (math.pi * size**4 / 64) / 40.0**3 == pytest.approx(7000.0, rel=1e-12)


def test_two_bolts_turn_as_a_couple(frame: Frame) -> None:
    """Two equal springs h apart: 2 k (h / 2)², besides the friction of a bolt."""
    boards = boards_of(frame, space_frame(frame).found.axes)
    at_hoops = [link for link in boards.links if not isinstance(link.second, BoardEnd)]
    link = next(one for one in at_hoops if one.turning_n_mm > 2 * TURNING_N_MM)
    board = boards.members[link.first.board]
    assert board.role is Role.SILL_BOARD
    ups = sorted({h.up_mm for h in board.part.holes if abs(h.along_mm - link.first.at_mm) < 1})
    diameter = next(h.diameter_mm for h in board.part.holes)
    assert len(ups) == 2
    bolt = round(diameter) - 1  # a hole is drilled a little larger than its bolt
    spring = 2 * 420**1.5 * bolt / 23
    couple = 2 * spring * ((ups[1] - ups[0]) / 2) ** 2
    assert link.turning_n_mm == pytest.approx(couple + TURNING_N_MM, rel=1e-6)


def test_every_board_hangs_on_what_holds_it(frame: Frame, space: SpaceFrame) -> None:
    structure = space.structure(Assumed())
    assert loose_words(space, Assembly(structure=structure)) is None
    roles = {member.role for member in space.boards.members}
    assert roles == {Role.SILL_BOARD, Role.HIP_BOARD, Role.JOINT_BLOCK}
    assert all(space.boards.places(k) for k in range(len(space.boards.members)))
    hoops = len(frame.grid.hoop_y_mm)
    to_hoops = [one for one in space.boards.links if not isinstance(one.second, BoardEnd)]
    assert len(to_hoops) >= 4 * hoops  # each hoop, both sides, sill and hip
    # Their bars lie as the boards do: bending upright is the stiff way of a board on edge.
    bars = structure.bars
    timber = slice(space.bars - len(space.mesh.timbers), None)
    assert np.all(bars.modulus[timber] == TIMBER_E)
    assert np.all(structure.axes[timber, 2, 2] > 0.99)
    assert np.all(bars.inertia_y[timber] > bars.inertia_z[timber])
    assert np.all(bars.edge[timber] == 0)  # the common stress is looked for in steel


def test_the_section_of_a_board() -> None:
    """b h³ / 12, closed form; torsion of a thin rectangle within 1 % of h b³ / 3 (1 - 0.63 b/h)."""
    frame = small_frame(sill_board={})
    board = next(frame.of(Role.SILL_BOARD))
    size = board.part.section  # type: ignore[attr-defined]
    ((area, stiff, weak, torsion),) = timber_bars((board,))  # type: ignore[arg-type]
    assert area == pytest.approx(size.thickness_mm * size.depth_mm)
    assert stiff == pytest.approx(size.thickness_mm * size.depth_mm**3 / 12)
    assert weak == pytest.approx(size.depth_mm * size.thickness_mm**3 / 12)
    assert torsion == pytest.approx(
        size.depth_mm * size.thickness_mm**3 / 3 * (1 - 0.63 * size.thickness_mm / size.depth_mm)
    )


def test_boards_hold_but_weigh_as_before(frame: Frame, space: SpaceFrame) -> None:
    plain = space_frame(frame)
    assert weights_of(space).borne_kg == pytest.approx(weights_of(plain).borne_kg, rel=1e-12)
    along = []
    for one in (plain, space):
        structure = one.structure(Assumed())
        assembly = Assembly(structure=structure)
        units = unit_loads(one, frame.design.loads)
        wind = next(unit for unit in units if unit.name.startswith("wind along"))
        response = linear(assembly, wind.load)
        total = all_forces(wind.load, structure)
        given = reactions(structure, assembly, response, wind.load)[:, :3].sum(axis=0)
        assert np.abs(given + total).max() <= 1e-9 * np.abs(total).max()
        along.append(np.abs(response.at_nodes(structure)[:, 1]).max())
    assert 0.3 * along[0] < along[1] < 0.98 * along[0]


def test_a_board_whose_bolts_are_not_recorded_holds_nothing(frame: Frame) -> None:
    bare = Frame(
        design=frame.design, grid=frame.grid, arch=frame.arch, members=frame.members,
        joints=tuple(j for j in frame.joints if j.source != "side_opening"),
    )  # fmt: skip
    boards = boards_of(bare, space_frame(bare).found.axes)
    held = {boards.members[link.first.board].role for link in boards.links}
    assert Role.HIP_BOARD not in held
    assert Role.SILL_BOARD in held
    # What is held nowhere is no bar.
    loose = replace(boards, links=())
    assert all(loose.places(k) == [] for k in range(len(boards.members)))
