"""The space frame in metres and kilonewtons, as tables and as one JSON record.

Every result is per unit of a load and says so; there is no result of any code's check.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d import __version__
from frame3d.errors import DesignError
from frame3d.frame.model.members import Frame
from frame3d.loads.cautions import CAUTIONS, NOT_COVERED, UNIT_ONLY
from frame3d.loads.compare.measuring import loose_words, socket_forces
from frame3d.loads.engineer.areas import face_areas, hoop_areas
from frame3d.loads.model.assumed import USUAL, assumptions
from frame3d.loads.model.space_frame import SpaceFrame, space_frame
from frame3d.loads.model.weights import Weights, weights_of
from frame3d.loads.shapes.unit_loads import SOURCES, UNITS, UnitLoad, unit_loads
from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.static import linear
from frame3d.loads.solver.structure import STEEL_E, STEEL_G, Array, Structure
from frame3d.units.data_tables import Json, Value

Row = tuple[Value, ...]


class Sheet(Struct, frozen=True, kw_only=True):
    """A table: its key, header with units, rows."""

    key: str
    header: tuple[str, ...]
    rows: tuple[Row, ...]


class EngineerModel(Struct, frozen=True, kw_only=True):
    """A frame with what is worked out of it for an engineer."""

    frame: Frame
    space: SpaceFrame
    structure: Structure
    assembly: Assembly
    weights: Weights
    units: tuple[UnitLoad, ...]
    assumed: str


def engineer_model(frame: Frame) -> EngineerModel:
    """The model of ``frame``, under the first set of assumptions.

    Raises
    ------
    DesignError
        If it moves freely somewhere.
    """
    space = space_frame(frame)
    first = assumptions(frame.design.loads)[USUAL]
    structure = space.structure(first)
    assembly = Assembly(structure=structure)
    if (loose := loose_words(space, assembly)) is not None:
        raise DesignError(f"{loose} There is nothing to calculate; add what holds it")
    return EngineerModel(
        frame=frame,
        space=space,
        structure=structure,
        assembly=assembly,
        weights=weights_of(space),
        units=unit_loads(space, frame.design.loads),
        assumed=f"{first.soil.name.lower()} soil, n_h {1000 * first.soil.value:.1f} MN/m³; "
        f"without boards; {first.legs}",
    )


def _m(mm: float) -> float:
    return round(float(mm) / 1000, 6)


def _sig(value: float) -> float:
    """Six digits that count."""
    return float(f"{float(value):.6g}") + 0.0


def tables_of(model: EngineerModel) -> tuple[Sheet, ...]:
    """All tables, each a CSV file."""
    return (
        _nodes(model), _members(model), _sections(model), _joints(model), _supports(model),
        _hoops(model), _faces(model), _weights(model), *_results(model),
    )  # fmt: skip


def _nodes(model: EngineerModel) -> Sheet:
    return Sheet(
        key="nodes", header=("node", "x, m", "y, m", "z, m"),
        rows=tuple((k, _m(x), _m(y), _m(z)) for k, (x, y, z) in enumerate(model.structure.nodes)),
    )  # fmt: skip


def _section_numbers(model: EngineerModel) -> tuple[list[tuple[float, ...]], list[int]]:
    """The distinct sections, and the number of that of each bar."""
    bars = model.structure.bars
    known: dict[tuple[float, ...], int] = {}
    numbers = []
    for k in range(len(bars.area)):
        own = tuple(_sig(v[k]) for v in (bars.area, bars.inertia_y, bars.inertia_z, bars.torsion))
        numbers.append(known.setdefault(own, len(known)))
    return list(known), numbers


def _members(model: EngineerModel) -> Sheet:
    _, numbers = _section_numbers(model)
    rows: list[Row] = []
    for bar, (first, second) in enumerate(model.structure.ends):
        member = model.space.member(bar)
        role, mark, hoop = ("link", "", None) if member is None else (
            member.role.value, member.mark, member.spot.hoop,
        )  # fmt: skip
        rows.append((bar, int(first), int(second), numbers[bar], role, mark, hoop,
                     _m(model.structure.lengths[bar])))  # fmt: skip
    return Sheet(
        key="members",
        header=("member", "from node", "to node", "section", "what", "mark", "hoop", "length, m"),
        rows=tuple(rows),
    )


def _sections(model: EngineerModel) -> Sheet:
    found, numbers = _section_numbers(model)
    pieces, links = model.space.mesh.pieces, model.space.mesh.links
    rows: list[Row] = []
    for number, (area, inertia_y, inertia_z, torsion) in enumerate(found):
        bar = numbers.index(number)
        if bar < len(pieces):
            size: tuple[Value, Value] = (pieces[bar].od_mm, pieces[bar].wall_mm)
            what = "tube"
        else:
            size, what = (links[bar - len(pieces)].diameter_mm, None), "stiff arm of a joint"
        rows.append((number, what, *size, _sig(area * 1e-6), _sig(inertia_y * 1e-12),
                     _sig(inertia_z * 1e-12), _sig(torsion * 1e-12)))  # fmt: skip
    return Sheet(
        key="sections",
        header=("section", "what", "outside, mm", "wall, mm", "A, m²", "Iy, m⁴", "Iz, m⁴", "J, m⁴"),
        rows=tuple(rows),
    )


def _joints(model: EngineerModel) -> Sheet:
    mesh = model.space.mesh
    rows: list[Row] = []
    for number, link in enumerate(mesh.links):
        turns = link.turning_n_mm is not None
        how = "turns about itself by the spring in its J" if turns else "plate, stiff"
        rows.append((model.space.tubes + number, link.start, link.end, how))
    for lap in model.space.found.overlaps:
        outer, inner = (model.space.found.axes[k].member for k in (lap.outer, lap.inner))
        ends = [mesh.node_at((lap.inner, pair[1])) for pair in lap.pairs]
        rows.append((None, ends[0], ends[1],
                     f"{inner.role.value} {inner.mark} lies in {outer.role.value} {outer.mark}; "
                     "both share these nodes"))  # fmt: skip
    return Sheet(key="joints", header=("member", "from node", "to node", "how"), rows=tuple(rows))


def _supports(model: EngineerModel) -> Sheet:
    springs = model.structure.springs
    held = np.flatnonzero(springs.any(axis=1))
    return Sheet(
        key="supports",
        header=("node", "kx, kN/m", "ky, kN/m", "kz, kN/m", "krz, kN·m/rad", "assumed"),
        rows=tuple(
            (int(k), *(_sig(v) for v in springs[k, :3]), _sig(springs[k, 5] * 1e-6), model.assumed)
            for k in held
        ),
    )


def _hoops(model: EngineerModel) -> Sheet:
    return Sheet(
        key="tributary",
        header=("hoop", "y, m", "length of tunnel that lies on it, m", "cover, m²", "on plan, m²"),
        rows=hoop_areas(model.space),
    )


def _faces(model: EngineerModel) -> Sheet:
    return Sheet(
        key="exposed",
        header=("face", "from height, m", "to height, m", "cover, m²", "seen square to it, m²"),
        rows=face_areas(model.space),
    )


def _weights(model: EngineerModel) -> Sheet:
    weights = model.weights
    x, y, z = weights.centre_mm
    rows: list[Row] = [
        ("all parts, kg", _sig(weights.whole_kg)),
        ("borne by this model, kg", _sig(weights.borne_kg)),
        ("centre of gravity of all parts, x, m", _m(x)),
        ("centre of gravity of all parts, y, m", _m(y)),
        ("centre of gravity of all parts, z, m", _m(z)),
    ]
    return Sheet(key="weight", header=("what", "value"), rows=tuple(rows))


def _results(model: EngineerModel) -> tuple[Sheet, Sheet]:
    """Reactions of sockets and greatest forces of bars, for own weight and for each unit load."""
    feet: list[Row] = []
    forces: list[Row] = []
    loads = [("own weight", "as it is", model.weights.load)]
    loads += [(unit.name, UNIT_ONLY, unit.load) for unit in model.units]
    for name, label, load in loads:
        given = socket_forces(model.space, model.assembly, load)
        for (member, _), (x, y, z) in zip(model.space.sockets, given, strict=True):
            feet.append((label, name, member.spot.hoop, member.spot.side.value,
                         *(_sig(v / 1000) for v in (x, y, z))))  # fmt: skip
        response = linear(model.assembly, load)
        bent = np.hypot(response.forces[:, [4, 10]], response.forces[:, [5, 11]])
        across = np.hypot(response.forces[:, [1, 7]], response.forces[:, [2, 8]])
        for bar in range(len(model.structure.ends)):
            forces.append((
                label, name, bar, _sig(response.axial[bar] / 1000),
                _sig(across[bar].max() / 1000), _sig(abs(response.forces[bar, 9]) / 1e6),
                _sig(bent[bar].max() / 1e6),
            ))  # fmt: skip
    per = "for own weight, or per unit of the load"
    return (
        Sheet(
            key="reactions",
            header=("label", "load", "hoop", "side", f"Fx, kN, {per}", "Fy, kN", "Fz, kN"),
            rows=tuple(feet),
        ),
        Sheet(
            key="forces",
            header=("label", "load", "member", f"axial force, tension positive, kN, {per}",
                    "greatest shear, kN", "torsion, kN·m", "greatest bending moment, kN·m"),
            rows=tuple(forces),
        ),
    )  # fmt: skip


def record_of(model: EngineerModel) -> dict[str, Json]:
    """The model as ``engineer-model.json`` holds it: m, kN, kN·m."""
    structure = model.structure
    sections, numbers = _section_numbers(model)
    return {
        "$schema": "engineer-model.schema.json",
        "caution": [*CAUTIONS, NOT_COVERED],
        "label": UNIT_ONLY,
        "program": f"frame3d {__version__}",
        "design": model.frame.design.project.name,
        "units": "m, kN, kN·m, kN/m², rad",
        "assumed": model.assumed,
        "material": {"E_kN_per_m2": STEEL_E * 1000, "G_kN_per_m2": STEEL_G * 1000},
        "nodes": [[_m(v) for v in node] for node in structure.nodes],
        "sections": [
            {"A": _sig(a * 1e-6), "Iy": _sig(y * 1e-12), "Iz": _sig(z * 1e-12),
             "J": _sig(j * 1e-12)}
            for a, y, z, j in sections
        ],
        "members": [
            {"from": int(a), "to": int(b), "section": numbers[bar]}
            for bar, (a, b) in enumerate(structure.ends)
        ],
        "springs": [
            {"node": int(k), "DX": _sig(structure.springs[k, 0]),
             "DY": _sig(structure.springs[k, 1]), "DZ": _sig(structure.springs[k, 2]),
             "RZ": _sig(structure.springs[k, 5] * 1e-6)}
            for k in np.flatnonzero(structure.springs.any(axis=1))
        ],
        "sockets": [
            {"hoop": member.spot.hoop, "side": member.spot.side.value, "nodes": list(chain)}
            for member, chain in model.space.sockets
        ],
        "loads": [
            {"name": "own weight", "label": "as it is", "unit": "", "source": "from the parts",
             **_load(model.weights.load.along_bars, model.weights.load.at_nodes)},
            *(
                {"name": unit.name, "label": UNIT_ONLY, "unit": UNITS[unit.shape],
                 "source": SOURCES[unit.shape],
                 **_load(unit.load.along_bars, unit.load.at_nodes)}
                for unit in model.units
            ),
        ],
    }  # fmt: skip


def _load(along: Array, at: Array) -> dict[str, Json]:
    """Line loads on members, kN/m, and forces at nodes, kN."""
    return {
        "on_members": [
            {"member": int(k), "FX": _sig(along[k, 0]), "FY": _sig(along[k, 1]),
             "FZ": _sig(along[k, 2])}
            for k in np.flatnonzero(along.any(axis=1))
        ],
        "at_nodes": [
            {"node": int(k), "FX": _sig(at[k, 0] / 1000), "FY": _sig(at[k, 1] / 1000),
             "FZ": _sig(at[k, 2] / 1000)}
            for k in np.flatnonzero(at.any(axis=1))
        ],
    }  # fmt: skip
