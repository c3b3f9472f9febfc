from __future__ import annotations

import math

import numpy as np
import pytest
from bar_structures import all_forces, reactions
from load_frames import short_example, small_frame
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from frame3d.design.tables.fields import Table
from frame3d.frame.describe.key_figures import total_mass_kg
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.loads.compare.measuring import loose_words
from frame3d.loads.model.assumed import HINGED, Assumed, Soil
from frame3d.loads.model.space_frame import SpaceFrame, space_frame
from frame3d.loads.model.weights import GRAVITY, weights_of
from frame3d.loads.shapes.unit_loads import unit_loads
from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.static import linear, stresses

GOTHIC: Table = {"style": "gothic", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "1.2 m",
                 "eave_radius": "1.2 m", "ridge_slope": "20 deg"}  # fmt: skip
PLATES: Table = {"profile": GOTHIC, "hoop": {"ridge_joint": "plates"},
                 "tie": [{"joint": "plates", "post": "king post", "webs": 2}]}  # fmt: skip


def in_one_piece(space: SpaceFrame) -> bool:
    ends, count = space.structure(Assumed()).ends, len(space.mesh.nodes)
    pairs = coo_array((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    return int(connected_components(pairs, directed=False)[0]) == 1


@pytest.mark.parametrize(
    "frame",
    [
        lambda: short_example("long_meadow_gothic"),
        lambda: short_example("long_meadow_quonset"),
        lambda: small_frame(),
        lambda: small_frame(**PLATES),
        lambda: small_frame(hoop={"pieces": 3, "splice": "sleeve"}, sill_board={}),
        lambda: small_frame(rail=[{"fraction": 0.5, "fixing": "clamped", "face": "outside"}]),
    ],
    ids=["gothic", "quonset", "small", "plates", "sleeves", "clamped outside"],
)
def test_recorded_joints_make_one_structure(frame: object) -> None:
    """What is bolted together in the frame hangs together, whichever way it is joined."""
    made: Frame = frame()  # type: ignore[operator]
    space = space_frame(made)
    assert in_one_piece(space)
    assert space.structure(Assumed()).lengths.min() > 2.0
    assert loose_words(space, Assembly(structure=space.structure(Assumed()))) is None
    sockets = sum(1 for _ in made.of(Role.SOCKET))
    assert len(space.sockets) == sockets == 2 * len(made.grid.hoop_y_mm)
    assert all(space.mesh.nodes[c[0], 2] > 0 > space.mesh.nodes[c[-1], 2] for _, c in space.sockets)


def test_a_joint_that_is_not_recorded_holds_nothing() -> None:
    """Bars come from the record: without its bolts a rail is a part by itself, however near."""
    frame = small_frame()
    kept = tuple(
        joint for joint in frame.joints if not any(m.role is Role.RAIL for m in joint.members)
    )
    assert in_one_piece(space_frame(frame))
    cut = type(frame)(
        design=frame.design, grid=frame.grid, arch=frame.arch, members=frame.members, joints=kept
    )
    assert len(kept) < len(frame.joints)
    assert not in_one_piece(space_frame(cut))


def test_a_leg_shares_its_nodes_with_its_socket() -> None:
    space = space_frame(small_frame())
    laps = {space.found.axes[lap.outer].member.role for lap in space.found.overlaps}
    assert Role.SOCKET in laps
    for lap in space.found.overlaps:
        for outer, inner in lap.pairs:
            nodes = {space.mesh.node_at((lap.outer, outer)), space.mesh.node_at((lap.inner, inner))}
            assert len(nodes) == 1
            axis, node = space.found.axes[lap.inner], nodes.pop()
            assert np.linalg.norm(space.mesh.nodes[node] - axis.point(inner)) < 3.0


@pytest.mark.parametrize("name", ["long_meadow_gothic", "long_meadow_quonset"])
def test_no_two_nodes_lie_in_one_place(name: str) -> None:
    """Programs that part members at nodes on their line would join what is not joined."""
    nodes = space_frame(short_example(name)).mesh.nodes
    assert len(cKDTree(nodes).query_pairs(1.0)) == 0


def test_own_weight_is_that_of_the_parts() -> None:
    frame = short_example("long_meadow_gothic")
    space = space_frame(frame)
    weights = weights_of(space)
    assert weights.whole_kg == pytest.approx(total_mass_kg(frame), rel=1e-9)
    structure = space.structure(Assumed())
    assert -all_forces(weights.load, structure)[2] / GRAVITY == pytest.approx(
        weights.borne_kg, rel=1e-9
    )
    tubes = math.fsum(mass_kg(axis.member.part) for axis in space.found.axes)
    assert tubes < weights.borne_kg < weights.whole_kg


def test_the_cover_lies_on_the_hoops_once() -> None:
    """On plan it has the frame's width times its length, whatever overlaps what."""
    from frame3d.loads.shapes.covered import covered_bars

    for name in ("long_meadow_gothic", "long_meadow_quonset"):
        frame = short_example(name)
        covered = covered_bars(space_frame(frame))
        plan = float((covered.across_mm * covered.width_mm).sum())
        assert plan == pytest.approx(frame.arch.width_mm * frame.grid.length_mm, rel=2e-3)
        above = covered.lengths * covered.width_mm
        girth = 2 * frame.arch.half.length_mm * frame.grid.length_mm
        assert float(above.sum()) == pytest.approx(girth, rel=3e-3)
        assert np.allclose(np.linalg.norm(covered.outward, axis=1), 1.0)
        assert np.all(covered.outward[:, 2] > -0.05)


@pytest.mark.parametrize("number", [0, 2, 3])
def test_finer_bars_change_little(number: int) -> None:
    """Half the length of bars, less than one per cent of stress and sag."""
    frame, found = small_frame(), []
    for finer in (1, 2):
        space = space_frame(frame, finer=finer)
        assembly = Assembly(structure=space.structure(Assumed()))
        unit = unit_loads(space, frame.design.loads)[number]
        response = linear(assembly, unit.load)
        sag = float(np.abs(response.at_nodes(assembly.structure)[:, :3]).max())
        found.append((float(stresses(assembly.structure, response.forces).max()), sag))
    assert found[0] == pytest.approx(found[1], rel=0.01)


def test_equilibrium_and_mirror_image() -> None:
    frame = small_frame(hoop={"pieces": 1})  # a splice lies on one side
    space = space_frame(frame)
    assembly = Assembly(structure=space.structure(Assumed()))
    nodes = space.mesh.nodes
    for unit in unit_loads(space, frame.design.loads):
        response = linear(assembly, unit.load)
        given = reactions(assembly.structure, assembly, response, unit.load)[:, :3].sum(axis=0)
        total = all_forces(unit.load, assembly.structure)
        assert np.abs(given + total).max() <= 1e-9 * np.abs(total).max()
    # An even load on a frame that is alike on both sides moves both sides alike.
    even = linear(assembly, unit_loads(space, frame.design.loads)[0].load)
    moved = even.at_nodes(assembly.structure)
    tree = {tuple(np.round(node, 2)): k for k, node in enumerate(nodes)}
    pairs = [
        (k, tree[other])
        for node, k in tree.items()
        if (other := (round(-node[0], 2) + 0.0, node[1], node[2])) in tree
    ]
    assert len(pairs) > 0.8 * len(nodes)
    size = np.abs(moved[:, :3]).max()
    for left, right in pairs:
        assert moved[left, 2] == pytest.approx(moved[right, 2], abs=1e-3 * size)
        assert moved[left, 0] == pytest.approx(-moved[right, 0], abs=1e-3 * size)


def test_stiffer_ground_moves_less() -> None:
    frame = small_frame()
    space = space_frame(frame)
    load = unit_loads(space, frame.design.loads)[3].load
    sway = []
    for given in (Assumed(hinged=True), *(Assumed(soil) for soil in Soil)):
        structure = space.structure(given)
        moved = linear(Assembly(structure=structure), load).at_nodes(structure)
        sway.append(float(np.abs(moved[:, 0]).max()))
    assert sway[1] > sway[2] > sway[3]
    assert sway[0] > sway[2]


def test_what_moves_freely_is_told_with_its_place_and_way() -> None:
    """Hoops that nothing joins turn about their feet, along the tunnel, if their legs are hinged.

    Of the closed form of a hinge: a plane frame on two hinges in line has one free turn.
    """
    space = space_frame(small_frame(rail=None, brace=None))
    assembly = Assembly(structure=space.structure(Assumed(hinged=True)))
    told = loose_words(space, assembly, f" with {HINGED}")
    assert told is not None
    assert "along the tunnel" in told
    assert "hoop" in told
    assert loose_words(space, Assembly(structure=space.structure(Assumed()))) is None
