from __future__ import annotations

import csv
import functools
import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from bar_structures import all_forces
from load_frames import small_frame

from frame3d.errors import DesignError
from frame3d.loads.engineer.areas import face_areas, hoop_areas
from frame3d.loads.engineer.model import EngineerModel, engineer_model, record_of, tables_of
from frame3d.loads.engineer.model_files import write_model
from frame3d.loads.engineer.schema import schema


@functools.cache
def model() -> EngineerModel:
    return engineer_model(small_frame(loads={"shapes": ["drifted snow", "wind along"]}))


def test_the_record_keeps_to_its_schema() -> None:
    record = json.loads(json.dumps(record_of(model())))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(record, schema())
    record["capacity"] = 1
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(record, schema())


def test_tables_hang_together() -> None:
    tables = {table.key: table for table in tables_of(model())}
    nodes = {row[0] for row in tables["nodes"].rows}
    members = {row[0] for row in tables["members"].rows}
    sections = {row[0] for row in tables["sections"].rows}
    assert {row[k] for row in tables["members"].rows for k in (1, 2)} <= nodes
    assert {row[3] for row in tables["members"].rows} == sections
    assert {row[0] for row in tables["supports"].rows} <= nodes
    assert {row[2] for row in tables["forces"].rows} == members
    loads = {row[1] for row in tables["reactions"].rows}
    assert len(loads) == 4  # own weight, snow, two winds
    assert all(len(row) == len(table.header) for table in tables.values() for row in table.rows)


def test_areas_are_those_of_the_frame() -> None:
    frame = model().frame
    plan = frame.arch.width_mm * frame.grid.length_mm / 1e6
    girth = 2 * frame.arch.half.length_mm * frame.grid.length_mm / 1e6
    hoops = hoop_areas(model().space)
    assert sum(float(row[4] or 0) for row in hoops) == pytest.approx(plan, rel=2e-3)
    faces = face_areas(model().space)
    sides = [float(row[3] or 0) for row in faces if row[0] in ("left", "right")]
    assert sum(sides) == pytest.approx(girth, rel=3e-3)
    # What is seen of a side is its height by the length, however the arch bends.
    seen = sum(float(row[4] or 0) for row in faces if row[0] == "left")
    tall = frame.arch.ridge_height_mm * frame.grid.length_mm / 1e6
    assert seen == pytest.approx(tall, rel=5e-3)


def test_reactions_bear_the_loads() -> None:
    tables = {table.key: table for table in tables_of(model())}
    frame = model().frame
    for name in {row[1] for row in tables["reactions"].rows} - {"own weight"}:
        given = [row for row in tables["reactions"].rows if row[1] == name]
        unit = next(unit for unit in model().units if unit.name == name)
        total = all_forces(unit.load, model().structure) / 1000
        for axis in range(3):
            assert -sum(float(row[4 + axis] or 0) for row in given) == pytest.approx(
                total[axis], abs=1e-4
            )
    assert frame.design.project.name == record_of(model())["design"]


def test_the_script_runs_and_agrees(tmp_path: Path) -> None:
    """PyNiteFEA finds the same reactions from what was written."""
    write_model(model().frame, tmp_path)
    run = subprocess.run(
        [sys.executable, "-P", str(tmp_path / "engineer-pynite.py")],
        capture_output=True, text=True, timeout=300, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    ours, theirs = (
        list(csv.DictReader((tmp_path / f"{name}-reactions.csv").read_text("utf-8").splitlines()))
        for name in ("engineer", "pynite")
    )
    assert len(ours) == len(theirs) > 20
    for one, other in zip(ours, theirs, strict=True):
        assert (one["load"], one["hoop"], one["side"]) == (
            other["load"], other["hoop"], other["side"],
        )  # fmt: skip
        numbers = [[float(row[key]) for key in row if key.startswith("F")] for row in (one, other)]
        assert numbers[0] == pytest.approx(numbers[1], abs=2e-4, rel=1e-4)


def test_a_frame_that_moves_freely_has_no_model() -> None:
    frame = small_frame(rail=None, brace=None, loads={"foot": "hinged"})
    with pytest.raises(DesignError, match=r"moves freely.*hoop.*along the tunnel"):
        engineer_model(frame)
