"""Sheets of parts over whole designs: every tube once, and figures that agree with its axis."""

from __future__ import annotations

import json
import math
import tempfile
from pathlib import Path

import numpy as np
import pytest
from campaign import examples
from drawing_judge import judge, value_of
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from part_drawings import counts_told, part_desk, tables, views_of
from some_sheets import sheets_by
from whole_designs import designs

from frame3d import lay_out, load_design
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Tube
from frame3d.geometry.paths import Arc, PlanePath
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.primitives.primitives import LinearDimension, RunningDimension
from frame3d.sheets.shop.part_sheets import add_part_sheets
from frame3d.sheets.write.dxf_write import write_dxf

SMALL = {"iso": "A4", "us": "A"}
SETTINGS = dict(
    max_examples=examples(8), deadline=None, derandomize=True, database=None,
    # Shrinking whole designs takes minutes; the one that fails is printed in any case.
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip


def frame_of(mapping: dict, small: bool) -> Frame:
    """The frame of a design at random on its usual or on the smallest paper."""
    if small:
        mapping["output"]["sheet_size"] = SMALL[mapping["output"]["sheets"]]
    try:
        return lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)


def bent_parts(frame: Frame) -> dict[str, Member]:
    return {
        m.mark: m for m in frame.members if isinstance(m.part, Tube) and not m.part.axis.is_straight
    }


def floor_curve(path: PlanePath) -> tuple[np.ndarray, np.ndarray]:
    """Along the chord and out from it, mm, of close points of ``path``: found by walking it."""
    stations = [path.at(s) for s in np.linspace(0.0, path.length_mm, 4001)]
    points = np.array([(s.x_mm, s.y_mm) for s in stations])
    chord = points[-1] / np.linalg.norm(points[-1])
    return points @ chord, -(points @ np.array([-chord[1], chord[0]]))


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_examples_have_every_tube_on_one_sheet(name: str) -> None:
    every_tube_stands_on_one_sheet(lay_out(load_design(example_paths()[name])))


def every_tube_stands_on_one_sheet(frame: Frame) -> SheetSetBuilder:
    builder = part_desk(frame)
    wanted = {(g.mark, g.count): 1 for g in frame.parts() if isinstance(g.part, Tube)}
    assert dict(counts_told(builder)) == wanted
    return builder


@settings(**SETTINGS)
@given(designs(most_bays=7, furnished=True), st.booleans())
def test_part_sheets_of_any_design(mapping: dict, small: bool) -> None:
    frame = frame_of(mapping, small)
    builder = every_tube_stands_on_one_sheet(frame)
    bent = bent_parts(frame)
    developed = {}
    for _, view in views_of(builder):
        for item in view.primitives:
            if isinstance(item, LinearDimension) and item.name == "developed length":
                developed[view.title.split(",")[0]] = item
    assert developed.keys() == bent.keys()
    for mark, item in developed.items():
        length = bent[mark].part.length_mm
        assert abs(item.second[0] - item.first[0]) == pytest.approx(length, abs=1e-6)
        assert item.text == f"{builder.lengths.text(length)} developed length"
    step = builder.lengths.step_mm
    tables_of_bends_agree(builder, bent, step)
    tables_of_holes_agree(builder, bent, step)


def tables_of_bends_agree(builder: SheetSetBuilder, bent: dict[str, Member], step: float) -> None:
    """Straights and bends lie end to end over the developed length; angles are those of the axis.

    A bend that is told as a straight leads the tip of the piece off by less than a step.
    """
    tubes = [m.part for m in bent.values()]
    found = list(tables(builder, "Bends"))
    assert len(found) == len(tubes)
    for tube, rows in zip(tubes, found, strict=True):
        told = [row for row in rows if row[0] != "all"]
        bends = [row for row in told if row[0] != "straight"]
        along = 0.0
        for row in told:
            start, end, length = (value_of(cell) for cell in row[1:4])
            assert start == pytest.approx(along, abs=1e-6)
            assert end - start == pytest.approx(length, abs=1.5 * step + 1e-6)
            along = end
        assert along == pytest.approx(tube.length_mm, abs=step / 2 + 1e-6)
        turns = [value_of(row[5]) for row in bends]
        if len(bends) > 1:
            assert value_of(rows[-1][1]) == pytest.approx(math.fsum(turns), abs=0.011 * len(turns))
        for row in bends:
            length, radius = value_of(row[3]), value_of(row[4])
            turn = math.radians(value_of(row[5]))
            # Length of an arc: radius times angle.
            slack = radius * math.radians(0.006) + (1 + turn) * step
            assert length == pytest.approx(radius * turn, abs=slack)
        bends_are_those_of_the_axis(tube.axis, [value_of(row[4]) for row in bends], step)


def bends_are_those_of_the_axis(axis: PlanePath, radii: list[float], step: float) -> None:
    """Every radius that is told is an arc's; an arc that is not told is as good as straight."""
    arcs = [s for s in axis.segments if isinstance(s, Arc)]
    for radius in radii:
        assert any(abs(arc.radius_mm - radius) <= step / 2 + 1e-6 for arc in arcs)
    for arc in arcs:
        if not any(abs(arc.radius_mm - radius) <= step / 2 + 1e-6 for radius in radii):
            assert arc.length_mm**2 / (2 * arc.radius_mm) < step


def tables_of_holes_agree(builder: SheetSetBuilder, bent: dict[str, Member], step: float) -> None:
    """Hole by hole; on small paper a table of many goes on in a second one."""
    holes = [hole for m in bent.values() for hole in m.part.holes]
    rows = [row for table in tables(builder, "Holes, through both walls, from") for row in table]
    assert len(rows) == len(holes)
    for row, hole in zip(rows, holes, strict=True):
        assert value_of(row[1]) == pytest.approx(hole.at_mm, abs=step / 2 + 1e-6)
        assert value_of(row[2]) == pytest.approx(math.degrees(hole.clock_rad), abs=0.051)


@settings(**SETTINGS)
@given(designs(most_bays=4), st.booleans())
def test_ordinates_are_those_of_the_axis(mapping: dict, small: bool) -> None:
    """The printed curve against points found by walking the axis, which know no circle."""
    frame = frame_of(mapping, small)
    builder = part_desk(frame)
    bent = bent_parts(frame)
    layouts = list(tables(builder, "Full-size layout"))
    assert len(layouts) == len(bent)
    for member, rows in zip(bent.values(), layouts, strict=True):
        u, v = floor_curve(member.part.axis)
        for row in rows:
            along, out = value_of(row[1]), value_of(row[2])
            near = v[np.abs(u - along) <= max(builder.lengths.step_mm, 2 * np.diff(u).max())]
            assert (
                near.min() - builder.lengths.step_mm <= out <= near.max() + builder.lengths.step_mm
            )
    for _, view in views_of(builder):
        spans = {
            item.name: math.dist(item.first, item.second)
            if item.name == "chord"
            else abs(item.second[1] - item.first[1])
            for item in view.primitives
            if isinstance(item, LinearDimension)
        }
        if "chord" in spans:
            u, v = floor_curve(bent[view.title.split()[0]].part.axis)
            assert spans["chord"] == pytest.approx(u[-1], abs=1e-6)
            assert spans["sagitta"] == pytest.approx(v.max(), abs=0.01)


@settings(**SETTINGS)
@given(designs(most_bays=7, furnished=True), st.booleans())
def test_judge_finds_nothing_on_part_sheets(mapping: dict, small: bool) -> None:
    frame = frame_of(mapping, small)
    sheets = sheets_by(frame, add_part_sheets)
    sizes_mm = [m.part.length_mm for m in bent_parts(frame).values()]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "parts.dxf"
        write_dxf(sheets, path)
        found = judge(path, sizes_mm=sizes_mm)
    crowded = {"text on text", "text on line", "leader through figures"}
    told = {
        f"{f.sheet} {sheets.sheets[f.sheet - 1].title}".replace(",", "") for f in sheets.findings
    }
    assert [f for f in found if f.rule not in crowded or f.sheet not in told] == [], json.dumps(
        mapping
    )


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_holes_of_straight_tubes_are_measured_from_their_start(name: str) -> None:
    frame = lay_out(load_design(example_paths()[name]))
    parts = {g.mark: g.part for g in frame.parts()}
    seen = 0
    for _, view in views_of(part_desk(frame)):
        if "needed" not in view.title:
            continue
        holes = sorted(hole.at_mm for hole in parts[view.title.split(",")[0]].holes)
        runs = sorted(
            item.feature[0] - item.datum[0]
            for item in view.primitives
            if isinstance(item, RunningDimension) and item.text_at[1] > item.datum[1]
        )
        assert runs == pytest.approx(holes, abs=1e-6)
        seen += len(runs)
    assert seen > 20
