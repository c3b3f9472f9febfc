"""With an index of loads every output of a study says first what it does not say."""

from __future__ import annotations

import csv
import html
import re
import subprocess
import sys
from pathlib import Path

import pytest
from load_frames import SMALL
from pyarrow import parquet

from frame3d.design.writing.editing import plain_text
from frame3d.errors import DesignFaults
from frame3d.loads.cautions import CAUTION_CELL, CAUTIONS, NOT_COVERED, REFERENCE
from frame3d.studies.figures.from_loads import FIGURES
from frame3d.studies.page.leaflet_plots import _picture, pairs_of
from frame3d.studies.plan.read_plan import plan_from_mapping
from frame3d.studies.results.result import StudyResult
from frame3d.studies.run_study import study

PLAN = """
[study]
base = "base.toml"
ask = ["index_even_snow", "index_even_snow_least", "index_even_snow_most"]
goals = ["mass_kg down", "index_even_snow up"]
[[vary]]
field = "profile.ridge_height"
values = ["2.6 m", "2.8 m"]
"""
FORBIDDEN = re.compile(
    r"\b(?:safe|safely|safety|unsafe|pass|passes|passed|ok|okay|capacity|capacities|allowable|"
    r"adequate|adequately|inadequate|sufficient|permissible|strong enough)\b",
    re.IGNORECASE,
)
ALL = (*CAUTIONS, REFERENCE, NOT_COVERED)


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """What a study of two small frames tells on the terminal, and its folder."""
    place = tmp_path_factory.mktemp("loads")
    (place / "base.toml").write_text(plain_text(SMALL), encoding="utf-8")
    (place / "plan.toml").write_text(PLAN, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", "study", str(place / "plan.toml"),
         "--out", str(place), "--workers", "1"],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return " ".join(done.stdout.split()), place


def page_text(place: Path) -> str:
    body = (place / "study.html").read_text("utf-8").partition("<body>")[2]
    seen = re.sub(r"<script.*?</script>", " ", body, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", seen)).split())


def test_the_terminal_and_the_page_begin_with_them(run: tuple[str, Path]) -> None:
    told, place = run
    for text, begin in ((told, "Caution: "), (page_text(place), "")):
        assert text.startswith(begin + CAUTIONS[0])
        first = text.index("designs:")
        for caution in ALL:
            assert 0 <= text.index(caution) < first
        assert FORBIDDEN.findall(text) == []
    assert FORBIDDEN.findall("It is safe, OK") == ["safe", "OK"]  # the search itself sees them


def test_on_the_page_all_are_alike(run: tuple[str, Path]) -> None:
    text = (run[1] / "study.html").read_text("utf-8")
    block = re.search(r'<div id="first">(.*?)</div>', text)
    assert block is not None
    paragraphs = re.findall(r"<p>(.*?)</p>", block[1])
    assert [html.unescape(one) for one in paragraphs[: len(ALL)]] == list(ALL)
    assert re.sub(r"</?p>", "", block[1]) == "".join(paragraphs)  # nothing else marks one of them


def test_every_row_of_a_table_begins_with_one(run: tuple[str, Path]) -> None:
    with (run[1] / "rows.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0][:2] == ["caution", "row"]
    assert [row[0] for row in rows[1:]] == [CAUTION_CELL] * 2
    assert {len(row) for row in rows} == {len(rows[0])}
    assert FORBIDDEN.findall(" ".join(sum(rows, []))) == []
    table = parquet.read_table(run[1] / "rows.parquet")
    assert table.column("caution").to_pylist() == [CAUTION_CELL] * 2


def result(goals: list[str]) -> StudyResult:
    mapping = {"study": {"goals": goals}, "vary": [{"field": "bays.count", "values": [2, 3]}]}
    return StudyResult(plan=plan_from_mapping(mapping, SMALL), rows=())


def test_a_picture_has_them_over_its_title(run: tuple[str, Path]) -> None:
    assert (run[1] / "plot_mass_kg_index_even_snow.png").is_file()
    given = result(["mass_kg down", "hoops down", "index_crop up"])
    for pair in pairs_of(given.plan.goals):
        picture = _picture(given, pair, "farm")
        first, title = picture.texts[0], picture.texts[1]
        text = " ".join(first.get_text().split())
        assert text.startswith(CAUTIONS[0]) and all(caution in text for caution in ALL)
        assert title.get_text().startswith("farm: ")
        below, above = (one.get_window_extent() for one in (title, first))
        assert below.y1 < above.y0 and above.x1 < 1600 and above.y1 <= 1000
        assert below.y0 > picture.axes[0].get_window_extent().y1


def test_without_an_index_there_is_none_of_them(tmp_path: Path) -> None:
    given = result(["mass_kg down", "hoops down"])
    assert given.cautions == ()
    picture = _picture(given, pairs_of(given.plan.goals)[0], "farm")
    assert all(CAUTIONS[0] not in text.get_text() for text in picture.texts)


def test_no_figure_of_loads_is_called_by_a_word_that_reads_as_a_verdict() -> None:
    assert [one.name for one in FIGURES if FORBIDDEN.search(f"{one.name} {one.words}")] == []


def test_an_index_needs_a_base_that_can_be_laid_out() -> None:
    low = {**SMALL, "profile": {**SMALL["profile"], "ridge_height": "1 m", "leg_height": "1.2 m"}}
    with pytest.raises(DesignFaults, match="an index needs a base that can be laid out"):
        study(low, vary={"profile.ridge_height": ["2.6 m"]}, ask=["index_crop"], workers=1)
