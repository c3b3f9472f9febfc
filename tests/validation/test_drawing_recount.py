"""The take-off against drawing files: three of the twelve designs that the script counts.

``python tests/drawing_recount.py`` counts all twelve, from drawings and from the model.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from drawing_recount import faults
from recounted_designs import RECOUNTED
from step_recount import table

from frame3d.building import build
from frame3d.design.reading.reader import design_from_mapping


@pytest.mark.parametrize("name", ["cover as parts", "gothic with plates", "roll-up door"])
def test_drawing_files_hold_what_the_take_off_counts(name: str, tmp_path: Path) -> None:
    build(design_from_mapping(RECOUNTED[name]), tmp_path, only=["parts", "takeoff"], workers=1)
    assert faults(tmp_path / "parts", tmp_path) == []
    # A count, a length and a mass that are wrong are found.
    path = tmp_path / "takeoff-parts.csv"
    text = path.read_text("utf-8-sig")
    row = next(line for line in text.splitlines() if line.startswith("S1,"))
    count = next(one["Count"] for one in table(tmp_path, "parts") if one["Mark"] == "S1")
    path.write_text(text.replace(row, row.replace(f",{count},", ",5,", 1)), "utf-8-sig")
    assert len(faults(tmp_path / "parts", tmp_path)) == 1
    (tmp_path / "parts" / "S1.dxf").rename(tmp_path / "parts" / "X1.dxf")
    assert faults(tmp_path / "parts", tmp_path) == ["in the drawings alone: X1"]


def test_there_are_twelve_unlike_each_other() -> None:
    assert len(RECOUNTED) == 12
    kinds = {
        (design["profile"]["style"], "cover" in design, "curtain" in design, "door" in design)
        for design in RECOUNTED.values()
    }
    assert len(kinds) >= 6
