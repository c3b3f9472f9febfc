"""The comparison as JSON and as CSV."""

from __future__ import annotations

import json

from frame3d import __version__
from frame3d.loads.cautions import CAUTION_CELL
from frame3d.loads.compare.indices import Index
from frame3d.loads.comparison import Comparison, Tried
from frame3d.loads.model.assumed import USUAL
from frame3d.loads.write.words import Grid, basis, cautions, grids, sources
from frame3d.schemas import Document
from frame3d.units.cells import as_csv
from frame3d.units.data_tables import Json

_DIGITS = 4


def record_of(found: Comparison) -> dict[str, Json]:
    """Everything that ``loads.json`` holds; the cautions first."""
    given = found.frame.design.loads
    other = found.other
    return {
        "caution": list(cautions(found)),
        "schema": Document.LOADS.value,
        "program": f"frame3d {__version__}",
        "design": found.frame.design.project.name,
        "other_design": other.design.project.name if other else None,
        "other_design_is_of_another_kind": found.is_of_another_kind,
        "indices": [_index(index) for index in found.indices],
        "weakest": [
            {
                "load": shape.value,
                "worse_of_its_kind": found.own.worse[shape],
                "where": weakest.words,
                "mark": weakest.mark,
                "what_it_does": weakest.how,
                "point_mm": [round(at, 1) for at in weakest.point_mm],
                "by": "stress" if found.own.endings[found.own.worse[shape], USUAL].by_stress
                else "stability",
                "second_order": _round(found.own.endings[found.own.worse[shape], USUAL].amplified),
                "sway_mm": _round(found.own.endings[found.own.worse[shape], USUAL].sway_mm),
            }
            for shape, weakest in found.own.weakest.items()
        ],
        "sockets_by_the_other": {
            shape.value: {"pull_upward": _round(up), "push_sideways": _round(aside)}
            for shape, (up, aside) in found.feet.items()
        },
        "changes": [_tried(one) for one in found.tried],
        "differences": list(found.differences),
        "basis": [*found.notes, *basis(given, found)],
        "sources": list(sources(given)),
    }  # fmt: skip


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, _DIGITS)


def _index(index: Index) -> dict[str, Json]:
    return {
        "load": index.shape.value,
        "index": _round(index.value),
        "band": [_round(index.low), _round(index.high)],
        "reaches_the_mark": index.verdict,
        "as_assumed": {words: _round(value) for words, value in index.by.items()},
        "reason": index.reason,
    }


def _tried(one: Tried) -> dict[str, Json]:
    return {
        "changed": one.words,
        "leaves_parts_out": one.leaves_out,
        "index": {
            shape.value: {"index": _round(value), "band": [_round(low), _round(high)]}
            for shape, (value, low, high) in one.index.items()
        },
        "sway": _round(one.sway),
        "mass_kg": _round(one.mass_kg),
        "cost": _round(one.cost),
        "cannot_be_laid_out": one.reason,
    }


def record_text(found: Comparison) -> str:
    """The text of ``loads.json``."""
    return json.dumps(record_of(found), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def csv_text(found: Comparison) -> dict[str, str]:
    """By the key of each table its CSV."""
    return {grid.key: _csv(grid) for grid in grids(found)}


def _csv(grid: Grid) -> str:
    rows = [(CAUTION_CELL, *("" if cell == "-" else cell for cell in row)) for row in grid.rows]
    return as_csv([("caution", *grid.header), *rows])
