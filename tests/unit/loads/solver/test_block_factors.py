"""Factors by blocks against the dense algebra of numpy, an independent way to the same."""

from __future__ import annotations

import numpy as np
import pytest
from bar_structures import is_stable, random_frame
from msgspec.structs import replace

from frame3d.loads.solver.assembly import Assembly, Unstable
from frame3d.loads.solver.block_factors import BlockPattern
from frame3d.loads.solver.structure import Structure


def released(seed: int) -> Structure:
    """A frame at random, some bars hinged at an end, some freedoms held."""
    made, _ = random_frame(seed)
    hinges = np.zeros_like(made.released)
    hinges[1::4, 10] = True  # about one axis of the second end
    return replace(made, released=hinges)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("pull", [None, 2e3])
def test_solutions_are_those_of_dense_algebra(seed: int, pull: float | None) -> None:
    made = released(seed)
    assembly = Assembly(structure=made)
    axial = None if pull is None else np.full(len(made.ends), pull)
    factors = assembly.factors(axial)
    dense = assembly.stiffness(axial).toarray()
    assert np.allclose(dense, dense.T, rtol=1e-12, atol=1e-6 * np.abs(dense).max())
    forces = np.random.default_rng(seed).standard_normal((made.count, 3))
    moved = factors.solve(forces)
    wanted = np.linalg.solve(dense, forces[made.free])
    assert np.allclose(moved[made.free], wanted, rtol=1e-7, atol=1e-9 * np.abs(wanted).max())
    held = np.setdiff1d(np.arange(made.count), made.free)
    assert np.all(moved[held] == 0)
    one = factors.once(forces[made.free][:, 0])
    assert np.allclose(one, wanted[:, 0], rtol=1e-5, atol=1e-7 * np.abs(wanted).max())


@pytest.mark.parametrize("seed", range(4))
def test_there_are_factors_of_positive_matrices_alone(seed: int) -> None:
    """Pushed ever harder, a frame is stable until the least eigenvalue is none above zero."""
    made = released(seed)
    assembly = Assembly(structure=made)
    scale = 1 / np.sqrt(assembly.stiffness().diagonal())  # of rotations and shifts alike
    seen = set()
    for push in np.geomspace(1e2, 1e8, 13):
        axial = np.full(len(made.ends), -push)
        dense = assembly.stiffness(axial).toarray() * scale[:, None] * scale
        least = np.linalg.eigvalsh(dense)[0]
        if abs(least) < 1e-9:
            continue  # rounding decides
        assert is_stable(assembly, axial) is bool(least > 0)
        seen.add(bool(least > 0))
    assert seen == {True, False}


def test_a_mechanism_has_none() -> None:
    made, _ = random_frame(1)
    assembly = Assembly(structure=replace(made, fixed=np.zeros_like(made.fixed)))
    with pytest.raises(Unstable):
        assembly.factors()


def test_every_block_is_eliminated_once_and_neighbours_never_together() -> None:
    made = released(2)
    pattern = BlockPattern(made)
    gone = np.concatenate([now.blocks for now in pattern.rounds])
    assert sorted(gone) == list(range(pattern.count))
    when = {int(one): k for k, now in enumerate(pattern.rounds) for one in now.blocks}
    for first, second in made.ends:
        assert when[int(first)] != when[int(second)]
