"""Structures of bars for tests: chains along curves, frames at random."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from frame3d.loads.solver import elements
from frame3d.loads.solver.assembly import Assembly, Unstable
from frame3d.loads.solver.static import Response, end_forces
from frame3d.loads.solver.structure import STEEL_E, STEEL_G, Array, Bars, Load, Structure

PLANE = (0, 1, 0, 1, 0, 1)
"""What is fixed of a node that stays in the plane y = 0."""
PINNED = (1, 1, 1, 1, 0, 1)
"""A node of such a plane that is held and turns."""
FIXED = (1, 1, 1, 1, 1, 1)


def no_load(structure: Structure) -> Load:
    """No load at all on ``structure``."""
    return Load(
        at_nodes=np.zeros((len(structure.nodes), 6)),
        along_bars=np.zeros((len(structure.ends), 3)),
    )


def all_forces(load: Load, structure: Structure) -> Array:
    """The sum of all forces of a load, (3,) float, N."""
    along: Array = load.along_bars * structure.lengths[:, None]
    return load.at_nodes[:, :3].sum(axis=0) + along.sum(axis=0)


def second_order(assembly: Assembly, load: Load) -> Response:
    """Equilibrium in the deformed position for small turns.

    The axial forces change the stiffness, and are worked out anew until they agree with it to
    a billionth. ``Unstable`` if there is no stable position under the load.
    """
    whole = assembly.forces(load)
    axial = np.zeros(len(assembly.structure.ends))
    for _ in range(40):
        moved = assembly.factors(axial).solve(whole)
        forces, after = end_forces(assembly, moved, load, axial)
        change = np.abs(after - axial).max(initial=0.0)
        if change <= 1e-9 * max(np.abs(after).max(initial=0.0), 1e-12):
            return Response(moved=moved, forces=forces, axial=after)
        axial = after
    raise Unstable("the axial forces do not settle")


def reactions(structure: Structure, assembly: Assembly, response: Response, load: Load) -> Array:
    """What springs and fixed freedoms give to each node, (n, 6) float, in the structure's axes.

    Springs by what they are compressed, fixed freedoms by the sum of the bars' forces there.
    """
    whole = np.zeros(structure.count)
    turned = elements.own(response.forces, structure.axes.transpose(0, 2, 1))
    np.add.at(whole, structure.freedoms.ravel(), turned.ravel())
    at_nodes = whole[: 6 * len(structure.nodes)].reshape(-1, 6)
    moved = response.at_nodes(structure)
    given: Array = np.where(structure.fixed, at_nodes - load.at_nodes, -structure.springs * moved)
    return given


def is_stable(assembly: Assembly, axial: Array) -> bool:
    """Whether all pivots are positive with the axial forces ``axial``, (m,) N."""
    try:
        assembly.factors(axial)
    except Unstable:
        return False
    return True


def structure(
    nodes: Array,
    ends: Sequence[tuple[int, int]],
    *,
    fixed: Mapping[int, Sequence[int]],
    area: float | Array = 1e5,
    inertia: float | Array = 1e4,
    inertia_y: float | Array | None = None,
    torsion: float | Array = 2e4,
    edge: float = 20.0,
    modulus: float = STEEL_E,
    shear: float = STEEL_G,
) -> Structure:
    """A structure of bars that are alike, or have each their own section."""
    count, along = len(ends), np.array(ends)

    def each(value: float | Array) -> Array:
        return np.full(count, 1.0) * value

    runs = nodes[along[:, 1]] - nodes[along[:, 0]]
    up = np.tile([0.0, 0.0, 1.0], (count, 1))
    up[np.abs(runs[:, 2]) > 0.9 * np.linalg.norm(runs, axis=1)] = (0.0, 1.0, 0.0)
    held = np.zeros((len(nodes), 6), dtype=bool)
    for node, which in fixed.items():
        held[node] = which
    return Structure(
        nodes=nodes, ends=along, up=up,
        bars=Bars(
            area=each(area), inertia_y=each(inertia if inertia_y is None else inertia_y),
            inertia_z=each(inertia), torsion=each(torsion), modulus=each(modulus),
            shear=each(shear), edge=each(edge),
        ),
        springs=np.zeros((len(nodes), 6)), fixed=held,
        released=np.zeros((count, 12), dtype=bool),
    )  # fmt: skip


def plane_curve(
    points: Array, first: Sequence[int], last: Sequence[int], **section: float
) -> Structure:
    """Bars from point to point in the plane y = 0, its ends held so; (n, 2) of x and z, mm."""
    nodes = np.column_stack([points[:, 0], np.zeros(len(points)), points[:, 1]])
    fixed = {k: PLANE for k in range(1, len(points) - 1)} | {0: first, len(points) - 1: last}
    chain = [(k, k + 1) for k in range(len(points) - 1)]
    return structure(nodes, chain, fixed=fixed, **section)


def circle(radius: float, half_angle: float, count: int) -> Array:
    """Points of a circular arch about its crown, (count + 1, 2), feet at equal height."""
    angles = np.linspace(-half_angle, half_angle, count + 1)
    return radius * np.column_stack([np.sin(angles), np.cos(angles)])


def gothic(span: float, radius: float, count: int) -> Array:
    """Points of an arch of two arcs with their centres at the height of the feet; even ``count``.

    Each arc is plumb at its foot; the centres lie ``radius`` inside of the feet.
    """
    top = math.acos((radius - span / 2) / radius)
    turns = np.linspace(0.0, top, count // 2 + 1)
    left = np.column_stack([-span / 2 + radius - radius * np.cos(turns), radius * np.sin(turns)])
    right = left[-2::-1] * np.array([-1.0, 1.0])
    return np.vstack([left, right])


def at_node(made: Structure, node: int, *forces: float) -> Load:
    """A load on one node: x, y, z and the three moments."""
    load = no_load(made)
    load.at_nodes[node, : len(forces)] = forces
    return load


def on_plan(made: Structure, share: Callable[[float], float] = lambda _: 1.0) -> Load:
    """Downward, 1 N on each mm of plan across, times ``share`` at the x of each bar's middle."""
    load = no_load(made)
    first, last = made.nodes[made.ends[:, 0]], made.nodes[made.ends[:, 1]]
    across = np.abs(last[:, 0] - first[:, 0]) / made.lengths
    shares = np.array([share(x) for x in (first[:, 0] + last[:, 0]) / 2])
    load.along_bars[:, 2] = -across * shares
    return load


def random_frame(seed: int) -> tuple[Structure, Load]:
    """A frame of two or three bays and storeys in space, every bar its own section, loaded."""
    chance = np.random.default_rng(seed)
    bays, deep, storeys = (int(chance.integers(1, 3)) for _ in range(3))
    numbers: dict[tuple[int, int, int], int] = {}
    nodes = []
    for i in range(bays + 1):
        for j in range(deep + 1):
            for k in range(storeys + 1):
                numbers[i, j, k] = len(nodes)
                off = chance.uniform(-150, 150, 3) * (k > 0)
                nodes.append(np.array([3000.0 * i, 2500.0 * j, 2800.0 * k]) + off)
    ends = []
    for (i, j, k), here in numbers.items():
        for step in ((i, j, k + 1), (i + 1, j, k), (i, j + 1, k)):
            if step in numbers and not (k == 0 and step[2] == 0):
                ends.append((here, numbers[step]))
    count = len(ends)
    outside = chance.uniform(60, 140, count)
    inside = outside - 2 * chance.uniform(2, 6, count)
    inertia = np.pi / 64 * (outside**4 - inside**4)
    made = structure(
        np.array(nodes), ends, area=np.pi / 4 * (outside**2 - inside**2), inertia=inertia,
        torsion=2 * inertia, fixed={n: FIXED for (_, _, k), n in numbers.items() if k == 0},
    )  # fmt: skip
    load = no_load(made)
    free = np.flatnonzero(~made.fixed[:, 0])
    load.at_nodes[free, :3] = chance.uniform(-3000, 3000, (len(free), 3)) - [0, 0, 12000]
    load.along_bars[:] = chance.uniform(-1.0, 1.0, (count, 3))
    return made, load


__all__ = [
    "FIXED", "PINNED", "PLANE", "all_forces", "at_node", "circle", "gothic", "is_stable",
    "no_load", "on_plan", "plane_curve", "random_frame", "reactions", "second_order", "structure",
]  # fmt: skip
