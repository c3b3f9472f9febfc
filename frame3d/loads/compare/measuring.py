"""What is worked out of one design: where each unit load comes to its end, as it is assumed.

The factors stay inside: what they mean depends on a stress that is chosen for comparing and says
nothing about any steel. Only their ratios are shown.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct

from frame3d.design.tables.loads import BoardsHold, Loads, LoadShape
from frame3d.errors import DesignError
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.loads.compare.places import node_words, place_words, way_words
from frame3d.loads.model.assumed import HINGED, USUAL, assumptions
from frame3d.loads.model.space_frame import SpaceFrame, space_frame
from frame3d.loads.model.weights import weights_of
from frame3d.loads.shapes.unit_loads import UnitLoad, unit_loads
from frame3d.loads.solver.assembly import Assembly, Unstable
from frame3d.loads.solver.limits import Limit, LimitSearch
from frame3d.loads.solver.softest import softest_shape
from frame3d.loads.solver.static import linear, stresses
from frame3d.loads.solver.structure import Array, Load, Structure

COMMON_STRESS = {USUAL: 235.0, "a lower common stress": 140.0, "a higher common stress": 350.0}
"""The stress that all designs are brought to, N/mm², and what else is tried: for comparing only."""

_WINDS = (LoadShape.WIND_ACROSS, LoadShape.WIND_ALONG)
Tell = Callable[[str, int, int], None]


class Weakest(Struct, frozen=True, kw_only=True):
    """Where the greatest stress is, or what gives way: in words, by mark, and its point, mm."""

    words: str
    mark: str
    point_mm: tuple[float, float, float]
    how: str


class Ending(Struct, frozen=True, kw_only=True):
    """Where one unit load comes to its end.

    Parameters
    ----------
    factor : float
        0 where the frame does not bear even its own weight so, by this reckoning.
    by_stress : bool
        Else by stability.
    amplified : float
        Greatest stress of the second order by that of the first, there.
    sway_mm : float
        The greatest movement sideways there.
    """

    factor: float
    by_stress: bool
    amplified: float
    sway_mm: float


class Picture(Struct, frozen=True, kw_only=True):
    """What is drawn of one case: nodes, bars, each bar's share of the greatest, movements."""

    nodes: Array
    bars: Array
    share: Array
    moved: Array


class Measured(Struct, frozen=True, kw_only=True):
    """What is worked out of one design.

    Parameters
    ----------
    names : dict
        Of each shape the unit loads that it stands for.
    endings : dict
        By the name of a unit load and what is assumed.
    worse : dict
        Of each shape the name of the unit load that comes to its end first.
    weakest : dict
        By shape.
    pictures : dict
        By shape.
    feet : dict
        By shape: greatest pull upward and greatest push sideways of any socket under one unit, N.
    notes : tuple of str
        What gives way, and what does not brace it.
    """

    names: dict[LoadShape, tuple[str, ...]]
    endings: dict[tuple[str, str], Ending]
    worse: dict[LoadShape, str]
    weakest: dict[LoadShape, Weakest]
    pictures: dict[LoadShape, Picture]
    feet: dict[LoadShape, tuple[float, float]]
    notes: tuple[str, ...]


class _Work:
    """One design in the making."""

    def __init__(
        self, frame: Frame, given: Loads, tell: Tell, only: tuple[str, ...] | None
    ) -> None:
        self.space = space_frame(frame, with_boards=given.boards is BoardsHold.BOLTED)
        self.weight = weights_of(self.space).load
        self.every = assumptions(given)
        self.units = tuple(
            unit for unit in unit_loads(self.space, given) if only is None or unit.name in only
        )
        self.shapes = tuple(dict.fromkeys(unit.shape for unit in self.units))
        self.endings: dict[tuple[str, str], Ending] = {}
        self.limits: dict[str, Limit] = {}
        self.notes: dict[str, None] = {}
        self._tell, self._done = tell, 0
        self._total = len(self.units)
        self._total += len(self.shapes) * len(self.every) if only is None else 0
        self._is_loose = False
        self._assemblies: dict[bool, Assembly] = {}
        self._searches: dict[str, LimitSearch] = {}

    def _step(self, name: str) -> None:
        self._tell(name, self._done, max(self._total, self._done + 1))
        self._done += 1

    def _assembly(self, words: str) -> tuple[Assembly, bool]:
        """The structure as assumed, and whether it is none that moves freely; tells where it is."""
        given = self.every[words]
        structure = self.space.structure(given)
        known = self._assemblies.get(given.hinged)
        assembly = known.in_other_ground(structure) if known else Assembly(structure=structure)
        self._assemblies.setdefault(given.hinged, assembly)
        loose = loose_words(self.space, assembly, "" if words == USUAL else f" with {words}")
        if loose is not None and not self._is_loose:
            self.notes[loose] = None
            self._is_loose = words == USUAL  # in other ground it is so too, and told once
        return assembly, loose is None

    def usual(self) -> Assembly:
        """All unit loads under the first set of assumptions."""
        assembly, bears = self._assembly(USUAL)
        for unit in self.units:
            self._step(unit.name)
            if bears:
                search = LimitSearch(assembly, self.weight, unit.load)
                self._searches[unit.name] = search
                self.limits[unit.name] = _end_of(search, unit, COMMON_STRESS[USUAL])
            self.endings[unit.name, USUAL] = _ending(self.space, self.limits.get(unit.name))
        return assembly

    def worse(self) -> dict[LoadShape, UnitLoad]:
        """Of each shape the unit load that reaches the comparison point first."""
        return {
            shape: min(
                (unit for unit in self.units if unit.shape is shape),
                key=lambda unit: self.endings[unit.name, USUAL].factor,
            )
            for shape in self.shapes
        }

    def other_stresses(self, worse: dict[LoadShape, UnitLoad]) -> None:
        """The worse unit loads brought to other common stresses."""
        for unit in worse.values():
            self._step(unit.name)
            for words, stress in COMMON_STRESS.items():
                if words == USUAL:
                    continue
                found = None
                if unit.name in self.limits:
                    guess = self.limits[unit.name].factor * stress / COMMON_STRESS[USUAL]
                    found = _end_of(self._searches[unit.name], unit, stress, guess)
                self.endings[unit.name, words] = _ending(self.space, found)

    def assume(self, words: str, worse: dict[LoadShape, UnitLoad]) -> None:
        """The worse unit loads as it is assumed otherwise."""
        assembly, bears = self._assembly(words)
        for unit in worse.values():
            self._step(f"{unit.name}, {words}")
            found = None
            if bears:
                guess = self.limits[unit.name].factor if unit.name in self.limits else None
                search = LimitSearch(assembly, self.weight, unit.load)
                found = _end_of(search, unit, COMMON_STRESS[USUAL], guess or None)
            self.endings[unit.name, words] = _ending(self.space, found)


def _end_of(
    search: LimitSearch, unit: UnitLoad, stress: float, guess: float | None = None
) -> Limit:
    """Where a unit load reaches the comparison point; where no end is found, a fault to act on."""
    try:
        return search.limit(stress, guess)
    except ArithmeticError:
        raise DesignError(
            f"{unit.name} could not be calculated on this frame; leave {unit.shape.value} out",
            "loads.shapes",
        ) from None


def measured(
    frame: Frame, given: Loads, tell: Tell, *, only: tuple[str, ...] | None = None
) -> Measured:
    """What is worked out of ``frame`` under the unit loads that ``given`` names.

    Parameters
    ----------
    given : Loads
        Of the design that the comparison is about: both are loaded alike.
    tell : callable
        Told what is being done, how many steps are done, and how many there are.
    only : tuple of str or None
        Names of unit loads: these alone, as first assumed and, of wind, with hinged legs;
        None for all, however assumed.
    """
    work = _Work(frame, given, tell, only)
    assembly = work.usual()
    worse = work.worse()
    if only is None:
        work.other_stresses(worse)
    for words in work.every:
        if words != USUAL and only is None:
            work.assume(words, worse)
        elif words == HINGED:
            work.assume(words, {shape: u for shape, u in worse.items() if shape in _WINDS})
    _brace_note(work, assembly)
    return _measured(work, assembly, worse, work.limits)


def _measured(
    work: _Work,
    assembly: Assembly,
    worse: dict[LoadShape, UnitLoad],
    limits: dict[str, Limit],
) -> Measured:
    structure = assembly.structure
    found = {shape: limits[unit.name] for shape, unit in worse.items() if unit.name in limits}
    return Measured(
        names={
            shape: tuple(unit.name for unit in work.units if unit.shape is shape) for shape in worse
        },
        endings=work.endings,
        worse={shape: unit.name for shape, unit in worse.items()},
        weakest={shape: _weakest(work.space, structure, one) for shape, one in found.items()},
        pictures={shape: _picture(work.space, structure, one) for shape, one in found.items()},
        feet={shape: _feet(work.space, assembly, worse[shape].load) for shape in found},
        notes=tuple(work.notes),
    )


def _ending(space: SpaceFrame, found: Limit | None) -> Ending:
    if found is None:
        return Ending(factor=0.0, by_stress=False, amplified=1.0, sway_mm=0.0)
    moved = found.moved[: 6 * len(space.mesh.nodes)].reshape(-1, 6)
    return Ending(
        factor=found.factor,
        by_stress=found.by_stress,
        amplified=found.amplified,
        sway_mm=float(np.abs(moved[:, :2]).max()),
    )


def _weakest(space: SpaceFrame, structure: Structure, found: Limit) -> Weakest:
    """Of a frame that ends by stability it is what moves most; else the greatest stress."""
    if found.by_stress:
        stress = stresses(structure, found.forces)
        bar, end = (int(k) for k in np.unravel_index(stress.argmax(), stress.shape))
        point = structure.nodes[structure.ends[bar, end]]
        member = space.member(bar)
        words, mark = place_words(space, bar, point), member.mark if member else ""
        return Weakest(words=words, mark=mark, point_mm=_point(point), how="bends most")
    moved = found.moved[: 6 * len(structure.nodes)].reshape(-1, 6)
    node = int(np.linalg.norm(moved[:, :3], axis=1).argmax())
    return Weakest(
        words=node_words(space, node), mark="", point_mm=_point(structure.nodes[node]),
        how=f"gives way {way_words(moved[node])}",
    )  # fmt: skip


def _point(at: Array) -> tuple[float, float, float]:
    return float(at[0]), float(at[1]), float(at[2])


def _picture(space: SpaceFrame, structure: Structure, found: Limit) -> Picture:
    stress = stresses(structure, found.forces).max(axis=1)[: space.tubes]
    return Picture(
        nodes=structure.nodes,
        bars=structure.ends[: space.tubes],
        share=stress / max(float(stress.max()), 1e-12),
        moved=found.moved[: 6 * len(structure.nodes)].reshape(-1, 6)[:, :3],
    )


def _feet(space: SpaceFrame, assembly: Assembly, load: Load) -> tuple[float, float]:
    """Of one unit alone: the greatest pull upward and push sideways that a socket has, N."""
    given = socket_forces(space, assembly, load)
    up = float(np.maximum(-given[:, 2], 0.0).max(initial=0.0))
    return up, float(np.hypot(given[:, 0], given[:, 1]).max(initial=0.0))


def socket_forces(space: SpaceFrame, assembly: Assembly, load: Load) -> Array:
    """What the ground gives to each socket under a load, in the order of sockets: (s, 3) N."""
    structure = assembly.structure
    moved = linear(assembly, load).at_nodes(structure)
    given = -structure.springs * moved
    return np.array([given[list(chain), :3].sum(axis=0) for _, chain in space.sockets])


def loose_words(space: SpaceFrame, assembly: Assembly, given: str = "") -> str | None:
    """Of a structure that moves freely what does so, where and which way; None of any other."""
    try:
        assembly.elastic  # noqa: B018  # worked out once, or not at all
    except Unstable:
        where, way = _softest(space, assembly)
        return f"It moves freely{given}: {where}, {way}. Nothing holds it there."
    return None


def _softest(space: SpaceFrame, assembly: Assembly) -> tuple[str, str]:
    """Where a structure gives most, and which way."""
    shape = softest_shape(assembly)
    node = int(np.linalg.norm(shape[:, :3], axis=1).argmax())
    return node_words(space, node), way_words(shape[node])


def _brace_note(work: _Work, assembly: Assembly) -> None:
    """Tells of a frame that no brace holds along the tunnel, and where it gives most."""
    if any(axis.member.role is Role.BRACE for axis in work.space.found.axes):
        return
    if loose_words(work.space, assembly) is not None:
        return  # that is told already
    where, way = _softest(work.space, assembly)
    work.notes[
        "No brace joins hoop to hoop: along the tunnel only the bending of legs and joints "
        f"holds the frame. It gives most at {where}, {way}."
    ] = None
