"""The campaign from end to end, with what stands for the program: found, made smaller, gone on."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from campaigning import command, workers
from campaigning.rows import NAME
from campaigning.workers import Task, results

RUNNER = "pretended_run"
DOOR = {"width": "2500 mm", "height": "2200 mm", "hand": "left"}
WHOLE = {
    "profile": {"style": "gothic", "width": "6400 mm"}, "bays": {"count": 7},
    "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.43}],
    "door": [{"width": "900 mm"}, DOOR],
}  # fmt: skip


@pytest.fixture(autouse=True)
def found_by_its_name(monkeypatch) -> None:
    monkeypatch.syspath_prepend(str(Path(__file__).parent))


@pytest.fixture
def seeded(monkeypatch) -> None:
    """Every third design has a door that fails."""

    def design_of(name: str, seed: int) -> dict:
        third = int(name.rpartition("-")[2]) % 3 == 0
        return WHOLE if third else {**WHOLE, "door": [{"width": "900 mm"}]}

    monkeypatch.setattr(command, "design_of", design_of)


def campaign(folder: Path, *more: str) -> tuple[int, dict]:
    given = ["--kinds", "walk", "--workers", "1", "--out", str(folder), "--shrink", "30", *more]
    code = command.main(given, RUNNER)
    return code, json.loads((folder / "report.json").read_text("utf-8"))


def test_a_seeded_failure_is_found_and_made_smaller(seeded, tmp_path: Path) -> None:
    code, report = campaign(tmp_path, "--designs", "7")
    assert code == 1
    assert (report["tried"], report["failed"]) == ({"walk": 7}, {"walk": 2})
    (group,) = report["failures"]
    assert group["names"] == ["walk-3", "walk-6"]
    # All that the failure needs: a door of more than 2 m, by whole metres.
    assert group["smallest"] == {"door": [{"width": "3000 mm"}]}
    written = (tmp_path / group["file"]).read_text("utf-8")
    assert tomllib.loads(written) == group["smallest"]
    assert "wide door" in written
    assert "walk-3" in (tmp_path / "report.txt").read_text("utf-8")


def test_nothing_failing_ends_well(seeded, tmp_path: Path) -> None:
    code, report = campaign(tmp_path, "--designs", "2")
    assert (code, report["failures"], report["failed"]) == (0, [], {})


def test_it_goes_on_where_it_was(seeded, tmp_path: Path, monkeypatch) -> None:
    campaign(tmp_path, "--designs", "4")
    with (tmp_path / NAME).open("a", encoding="utf-8") as file:
        file.write('{"name": "walk-5", "seed"')  # killed within a row
    before = (tmp_path / NAME).read_text("utf-8").splitlines()[:4]
    tried = []
    whole = command.results

    def watched(tasks, *rest):
        for task, row in whole(tasks, *rest):
            tried.append(task.name)
            yield task, row

    monkeypatch.setattr(command, "results", watched)
    _, report = campaign(tmp_path, "--designs", "6")
    assert [name for name in tried if name] == ["walk-5", "walk-6"]
    assert report["tried"] == {"walk": 6}
    rows = (tmp_path / NAME).read_text("utf-8").splitlines()
    assert rows[:4] == before
    assert [json.loads(row)["name"] for row in rows] == [f"walk-{n}" for n in range(1, 7)]


def test_other_code_begins_anew_with_what_failed(seeded, tmp_path: Path, monkeypatch) -> None:
    campaign(tmp_path, "--designs", "4")
    monkeypatch.setattr(command, "code_version", lambda: "mended")
    campaign(tmp_path, "--designs", "4")
    rows = [json.loads(row) for row in (tmp_path / NAME).read_text("utf-8").splitlines()]
    assert [row["name"] for row in rows[4:]] == ["walk-3", "walk-1", "walk-2", "walk-4"]
    assert {row["version"] for row in rows[4:]} == {"mended"}


def test_more_stages_are_tried_though_fewer_were(seeded, tmp_path: Path) -> None:
    campaign(tmp_path, "--designs", "2", "--through", "checks")
    campaign(tmp_path, "--designs", "2", "--through", "sheets")
    campaign(tmp_path, "--designs", "2", "--through", "layout")
    rows = [json.loads(row) for row in (tmp_path / NAME).read_text("utf-8").splitlines()]
    assert [row["stages"][-1] for row in rows] == ["checks", "checks", "sheets", "sheets"]


def test_after_its_minutes_no_design_is_begun(seeded, tmp_path: Path) -> None:
    _, report = campaign(tmp_path, "--designs", "5", "--minutes", "0.0000001")
    assert report["tried"] == {}


def test_what_hangs_or_dies_fails_and_the_others_go_on(monkeypatch) -> None:
    monkeypatch.setattr(workers, "WAITED", 2.0)
    widths = ["900 mm", "6000 mm", "7000 mm", "9000 mm", "1000 mm"]
    tasks = [
        Task(name=width, mapping={"door": [{"width": width}]}, stages=("layout",), limit_s=2.0)
        for width in widths
    ]
    found = {task.name: row["failures"] for task, row in results(tasks, 2, RUNNER)}
    assert set(found) == set(widths)
    assert found["900 mm"] == found["1000 mm"] == []
    (busy,), (hung,), (died,) = found["6000 mm"], found["7000 mm"], found["9000 mm"]
    assert (busy["kind"], busy["stage"]) == ("out of time", "layout")
    assert (hung["kind"], hung["stage"]) == ("out of time", "layout")
    assert (died["kind"], died["cause"]) == ("died", "exit code -11")
