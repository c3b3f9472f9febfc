"""Rows as CSV and Parquet, read back by other libraries."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from pyarrow import parquet

from frame3d.errors import OutputError
from frame3d.studies.plan.whole_plan import Axis, Condition, Goal, Plan
from frame3d.studies.results.result import Compared, StudyResult
from frame3d.studies.results.tables import write_csv, write_parquet

PLAN = Plan(
    base={"profile": {"width": "5 m"}}, base_text='# mine\n[profile]\nwidth = "5 m"  # wide\n',
    folder=Path(), figures=("mass_kg", "hoops", "fit"),
    axes=(Axis(fields=("profile.width",), choices=(("5 m",), ("=1+1",))),),
    conditions=(Condition(figure="hoops", sign="<=", limit=4, text="hoops <= 4"),),
    goals=(Goal(figure="mass_kg", up=False),),
)  # fmt: skip
RESULT = StudyResult(
    plan=PLAN,
    rows=(
        Compared(number=1, values={"profile.width": "5 m"}, state="made", reason="",
                 figures={"mass_kg": 12.5, "hoops": 3, "fit": True}, meets=True),
        Compared(number=2, values={"profile.width": "=1+1"}, state="refused", reason="=no, \"é\"",
                 figures={"mass_kg": None, "hoops": None, "fit": None}, meets=False),
    ),
)  # fmt: skip
HEADER = ["row", "profile.width", "mass_kg", "hoops", "fit", "state", "meets_conditions",
          "in_front", "reason"]  # fmt: skip


def test_csv(tmp_path: Path) -> None:
    write_csv(RESULT, tmp_path / "rows.csv")
    with (tmp_path / "rows.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows == [
        HEADER,
        ["1", "5 m", "12.5", "3", "yes", "made", "yes", "yes", ""],
        ["2", "'=1+1", "", "", "", "refused", "no", "no", '\'=no, "é"'],
    ]


def test_parquet(tmp_path: Path) -> None:
    assert write_parquet(RESULT, tmp_path / "rows.parquet")
    table = parquet.read_table(tmp_path / "rows.parquet")
    assert table.column_names == HEADER
    assert table.column("mass_kg").to_pylist() == [12.5, None]
    assert table.column("hoops").to_pylist() == [3, None]
    assert table.column("reason").to_pylist() == ["", '=no, "é"']


def test_the_best_row_becomes_a_design_with_the_comments_of_the_base(tmp_path: Path) -> None:
    RESULT.write_design(tmp_path / "best.toml")
    assert (tmp_path / "best.toml").read_text("utf-8") == PLAN.base_text
    RESULT.write_design(tmp_path / "second.toml", 2)
    assert '# mine\n[profile]\nwidth = "=1+1"' in (tmp_path / "second.toml").read_text("utf-8")
    with pytest.raises(OutputError, match="there is no row 3; there are 2"):
        RESULT.design(3)
    with pytest.raises(OutputError, match="cannot be written"):
        RESULT.write_design(tmp_path / "none" / "best.toml")
    worse = StudyResult(plan=PLAN, rows=RESULT.rows[1:])
    with pytest.raises(OutputError, match="no design is the best"):
        worse.design()
