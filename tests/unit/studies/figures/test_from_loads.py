"""Indices of loads in a study: those of a single comparison, and why there is none."""

from __future__ import annotations

import json
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from load_frames import SMALL, changed, small_frame

from frame3d.design.tables.fields import Table
from frame3d.loads.comparison import compared
from frame3d.studies.figures.figure import NoFigureError
from frame3d.studies.figures.from_loads import FIGURES, asks_loads
from frame3d.studies.figures.known import figure_named
from frame3d.studies.rows.row import State
from frame3d.studies.rows.work_out import sources_of, work_out
from frame3d.studies.run_study import ROWS, study

BASE = json.dumps(SMALL)
CLOSER = {"bays": {"count": 4, "spacing": "0.75 m"}}
SNOW = {"loads": {"shapes": ["even snow"]}}
NAMES = [figure.name for figure in FIGURES]
TWO = {"loads": {"shapes": ["even snow", "wind along"]}}
"""The other shapes take the same way."""


def test_indices_are_those_of_a_single_comparison() -> None:
    row = work_out(changed(**CLOSER, **TWO), {}, NAMES, BASE)
    assert row.state is State.MADE and list(row.figures) == NAMES
    alone = compared(small_frame(**CLOSER, **TWO), small_frame(), changes=False, workers=1)
    assert len(alone.indices) == 2
    for index in alone.indices:
        name = f"index_{index.shape.value.replace(' ', '_')}"
        assert row.figures[name] == pytest.approx(index.value, abs=1e-4)
        assert row.figures[f"{name}_least"] == pytest.approx(index.low, abs=1e-4)
        assert row.figures[f"{name}_most"] == pytest.approx(index.high, abs=1e-4)
        assert index.low <= index.value <= index.high
    assert row.figures["index_even_snow"] > 1  # half as much snow lies on each hoop


def test_a_design_beside_itself_is_alike_and_the_other_way_round_is_the_reciprocal() -> None:
    names = [name for name in NAMES if name.startswith(("index_even_snow", "index_wind_along"))]
    row = work_out(changed(**TWO), {}, names, BASE)
    assert set(row.figures.values()) == {1.0} and row.reason == ""
    there = work_out(changed(**CLOSER, **SNOW), {}, ["index_even_snow"], BASE).figures
    back = work_out(changed(**SNOW), {}, ["index_even_snow"], json.dumps(changed(**CLOSER))).figures
    product = float(there["index_even_snow"] or 0) * float(back["index_even_snow"] or 0)
    assert product == pytest.approx(1.0, abs=1e-3)


def test_a_figure_that_there_is_not_is_empty_and_says_why() -> None:
    row = work_out(changed(**SNOW), {}, NAMES, BASE)
    assert row.state is State.MADE
    assert {name for name, value in row.figures.items() if value is not None} == {
        "index_even_snow", "index_even_snow_least", "index_even_snow_most",
    }  # fmt: skip
    assert "no index_crop, index_crop_least, index_crop_most: neither this design" in row.reason
    tied = changed(tie=[{"height": "1.9 m"}], loads={"shapes": ["crop"]})
    row = work_out(tied, {}, ["index_crop", "hoops"], BASE)
    assert row.figures == {"index_crop": None, "hoops": 3}
    assert row.reason == "no index_crop: the other design has no ties for it to hang from"


def test_without_a_base_that_can_be_laid_out_there_is_none() -> None:
    name = "index_wind_across"
    with pytest.raises(NoFigureError, match="no base to compare with"):
        figure_named(name).of(sources_of(SMALL, {}))
    low = {**SMALL["profile"], "ridge_height": "1 m", "leg_height": "1.2 m"}
    row = work_out(SMALL, {}, [name, "hoops"], json.dumps(changed(profile=low)))
    assert row.state is State.MADE and row.figures == {name: None, "hoops": 3}
    assert row.reason.startswith(f"no {name}: ")


def test_rows_with_an_index_hold_for_one_base_alone(tmp_path: Path) -> None:
    vary: dict[str | tuple[str, ...], list[object]] = {"profile.ridge_height": ["2.6 m"]}
    kept = tmp_path / ROWS

    def rows_after(base: Table, figure: str) -> int:
        with ThreadPoolExecutor(1) as here:
            found = study(base, vary=vary, ask=[figure], folder=tmp_path, executor=here)
        assert found.rows[0].state == "made" and found.rows[0].figures[figure] is not None
        return kept.read_bytes().count(b"\n")

    higher = changed(profile={**SMALL["profile"], "ridge_height": "2.8 m"})
    assert rows_after(SMALL, "index_even_snow") == 1
    assert rows_after(SMALL, "index_even_snow") == 1  # taken over
    assert rows_after(higher, "index_even_snow") == 2  # the same design beside another
    assert rows_after(SMALL, "hoops") == 3
    assert rows_after(higher, "hoops") == 3  # which no base is of any matter to


def test_it_is_known_which_figures_are_of_loads() -> None:
    assert len(NAMES) == len(set(NAMES)) == 18
    assert all(asks_loads([name, "mass_kg"]) for name in NAMES)
    assert not asks_loads(["mass_kg", "rule:bed-headroom", "summary.layout.bays"])


def test_the_solver_is_loaded_only_where_an_index_is_asked() -> None:
    program = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parents[3])!r})\n"
        "from load_frames import SMALL; import json\n"
        "import frame3d.studies.run_study, frame3d.studies.page.files\n"
        "from frame3d.studies.rows.work_out import work_out\n"
        "for name in ('hoops', 'index_even_snow'):\n"
        "    work_out(SMALL, {}, [name], json.dumps(SMALL))\n"
        "    print('scipy' in sys.modules, 'frame3d.loads.solver.limits' in sys.modules)\n"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=120,
        check=False,
    )  # fmt: skip
    assert run.stdout.split() == ["False", "False", "True", "True"], run.stderr
