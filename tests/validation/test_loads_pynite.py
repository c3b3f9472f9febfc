"""The solver of bars against PyNiteFEA, an independent one, on frames at random."""

from __future__ import annotations

import numpy as np
import pytest
from bar_structures import all_forces, random_frame, reactions, second_order
from Pynite import FEModel3D

from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.static import linear
from frame3d.loads.solver.structure import Array, Load, Structure


def told_to_pynite(made: Structure, load: Load) -> FEModel3D:
    """The same structure and load for PyNiteFEA."""
    model, bars = FEModel3D(), made.bars
    model.add_material("steel", float(bars.modulus[0]), float(bars.shear[0]), 0.3, 0.0)
    for number, (x, y, z) in enumerate(made.nodes):
        model.add_node(f"N{number}", x, y, z)
        model.def_support(f"N{number}", *map(bool, made.fixed[number]))
        for name, force in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), load.at_nodes[number],
                               strict=True):  # fmt: skip
            if force:
                model.add_node_load(f"N{number}", name, force)
    for number, (first, second) in enumerate(made.ends):
        model.add_section(f"S{number}", bars.area[number], bars.inertia_y[number],
                          bars.inertia_z[number], bars.torsion[number])  # fmt: skip
        model.add_member(f"M{number}", f"N{first}", f"N{second}", "steel", f"S{number}")
        for name, force in zip(("FX", "FY", "FZ"), load.along_bars[number], strict=True):
            model.add_member_dist_load(f"M{number}", name, force, force)
    return model


def moved(model: FEModel3D, count: int) -> Array:
    return np.array([
        [getattr(model.nodes[f"N{n}"], way)["Combo 1"]
         for way in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
        for n in range(count)
    ])  # fmt: skip


@pytest.mark.parametrize("seed", range(10))
def test_frames_at_random(seed: int) -> None:
    made, load = random_frame(seed)
    assembly, count = Assembly(structure=made), len(made.nodes)
    model = told_to_pynite(made, load)
    model.analyze_linear()
    ours = linear(assembly, load)
    theirs = moved(model, count)
    assert np.allclose(ours.at_nodes(made), theirs, rtol=1e-6, atol=1e-6 * np.abs(theirs).max())
    balance = reactions(made, assembly, ours, load)[:, :3].sum(axis=0) + all_forces(load, made)
    assert np.abs(balance).max() <= 1e-9 * np.abs(load.at_nodes).sum()
    model.analyze_PDelta()
    theirs = moved(model, count)
    bent = second_order(assembly, load).at_nodes(made)
    assert np.allclose(bent, theirs, rtol=1e-3, atol=1e-3 * np.abs(theirs).max())
    # The second order has to show, or its agreement says nothing.
    assert np.abs(bent - ours.at_nodes(made)).max() > 5e-3 * np.abs(bent).max()
