"""Studies from end to end: the same rows whoever works them out, whatever happens meanwhile."""

from __future__ import annotations

import csv
import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest
from click.testing import Result
from msgspec import Struct
from small_study import ASK, GOALS, SMALL, VARY
from typer.testing import CliRunner

import frame3d
from frame3d.cli import app
from frame3d.design.writing.editing import plain_text
from frame3d.errors import OutputError
from frame3d.studies.plan.read_plan import read_plan
from frame3d.studies.rows.row import Row, program_key, row_from
from frame3d.studies.rows.work_out import Task
from frame3d.studies.run_study import ROWS, carry_out
from frame3d.studies.running.dask_crew import dask_crew
from frame3d.studies.running.engine import Crew, Progress, run_tasks

ROOT = Path(__file__).parents[2]
PLAN = f"""
[study]
base = "base.toml"
ask = {json.dumps(ASK)}
conditions = ["errors = 0"]
goals = {json.dumps(GOALS)}
""" + "".join(
    f"[[vary]]\nfields = {json.dumps(list(names))}\nvalues = {json.dumps(values)}\n"
    if isinstance(names, tuple)
    else f"[[vary]]\nfield = {json.dumps(names)}\nvalues = {json.dumps(values)}\n"
    for names, values in VARY.items()
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("plans")
    (place / "base.toml").write_text("# mine\n" + plain_text(SMALL), encoding="utf-8")
    (place / "plan.toml").write_text(PLAN, encoding="utf-8")
    return place


@pytest.fixture(scope="module")
def serial(folder: Path) -> frame3d.StudyResult:
    with ThreadPoolExecutor(1) as here:
        return frame3d.study(
            folder / "base.toml", vary=VARY, ask=ASK, conditions=["errors = 0"], goals=GOALS,
            executor=here,
        )  # fmt: skip


def run(*words: object, **more: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", *map(str, words)], capture_output=True,
        text=True, timeout=120, check=False, env={**os.environ, "COLUMNS": "200"}, **more,
    )  # fmt: skip


def run_here(*words: object) -> Result:
    """The command in this process, for what ends before any row is worked out."""
    return CliRunner().invoke(app, [str(word) for word in words])


def test_rows_are_those_of_the_plan(serial: frame3d.StudyResult) -> None:
    assert len(serial.rows) == 8
    assert [row.state for row in serial.rows] == ["made"] * 6 + ["refused"] * 2
    assert [row.figures["hoops"] for row in serial.rows[:2]] == [3, 4]
    assert "ridge" in serial.rows[7].reason
    assert [row.number for row in serial.front] == [5]


def test_processes_give_the_same(folder: Path, serial: frame3d.StudyResult, tmp_path: Path) -> None:
    run("study", folder / "plan.toml", "--out", tmp_path)
    with (tmp_path / "rows.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(serial.rows)
    for told, row in zip(rows, serial.rows, strict=True):
        assert told["state"] == row.state
        for name, value in row.figures.items():
            assert told[name] == ("" if value is None else str(value))
    assert [told["in_front"] for told in rows].index("yes") + 1 == serial.front[0].number


def test_a_pool_of_python_gives_the_same(folder: Path, serial: frame3d.StudyResult) -> None:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        found = frame3d.study(
            folder / "base.toml", vary=VARY, ask=ASK, conditions=["errors = 0"], goals=GOALS,
            executor=pool,
        )  # fmt: skip
    assert found.rows == serial.rows


def test_figures_are_those_of_a_single_run(
    folder: Path, serial: frame3d.StudyResult, tmp_path: Path
) -> None:
    row = serial.rows[3]
    serial.write_design(tmp_path / "one.toml", row.number)
    assert (tmp_path / "one.toml").read_text("utf-8").startswith("# mine\n")
    report = json.loads(run("check", tmp_path / "one.toml", "--json").stdout)
    assert row.figures["errors"] == report["counts"]["error"]
    design = frame3d.load_design(tmp_path / "one.toml")
    assert design == frame3d.design_from(serial.design(row.number))
    frame = frame3d.lay_out(design)
    assert row.figures["hoops"] == len(frame.grid.hoop_y_mm) == 4
    assert row.figures["ridge_height_mm"] == design.profile.ridge_height == 2800.0


class Cluster(Struct):
    """The address of a scheduler, and the processes: its own first, then its workers'."""

    address: str
    processes: list[subprocess.Popen]


def rows_in(folder: Path) -> list[Row]:
    found = [row_from(line) for line in (folder / ROWS).read_bytes().splitlines()]
    return [row for row in found if row is not None]


@pytest.fixture(scope="module")
def cluster() -> Iterator[Cluster]:
    """A scheduler and two workers, each a process of its own, over loopback."""
    env = {**os.environ, "PYTHONWARNINGS": "ignore"}
    started = [
        subprocess.Popen(
            [sys.executable, "-P", "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1",
             "--port", "0", "--no-dashboard", "--no-show"],
            stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, env=env,
        )
    ]  # fmt: skip
    address = next(
        word for line in started[0].stderr for word in line.split() if word.startswith("tcp://")
    )
    for _ in range(2):
        started.append(
            subprocess.Popen(
                [sys.executable, "-P", "-m", "distributed.cli.dask_worker", address, "--no-nanny",
                 "--nthreads", "1", "--no-dashboard", "--host", "127.0.0.1"],
                stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL, env=env,
            )
        )  # fmt: skip
    yield Cluster(address, started)
    for process in reversed(started):
        process.kill()
        process.wait()
    started[0].stderr.close()


@pytest.mark.filterwarnings("ignore")  # of Dask's own, as where a scheduler goes
def test_dask_gives_the_same_and_a_scheduler_that_goes_is_told(
    folder: Path, serial: frame3d.StudyResult, cluster: Cluster, tmp_path: Path
) -> None:
    """By the command line: whole first, and then with the scheduler killed at the third row."""
    words = ("study", folder / "plan.toml", "--scheduler", cluster.address, "--out")
    done = run(*words, tmp_path / "whole")
    assert done.returncode == 0, done.stderr
    kept = {row.key: row for row in rows_in(tmp_path / "whole")}
    assert sorted(row.state.value for row in kept.values()) == sorted(
        row.state for row in serial.rows
    )
    figures = [row.figures for row in kept.values() if row.figures]
    assert all(row.figures in figures for row in serial.rows if row.state == "made")

    def end_scheduler(row: Row) -> None:
        cluster.processes[0].kill()

    plan = read_plan(folder / "plan.toml")
    with (
        pytest.raises(OutputError, match="run it again to go on"),
        dask_crew(cluster.address) as crew,
    ):
        program, mapping = program_key(), json.dumps(SMALL)
        run_tasks(
            Crew(executor=crew.executor, places=1),
            ((str(number), mapping) for number in range(500)),
            lambda designs: Task(
                designs=designs, lists={}, figures=plan.figures, program=program
            ),
            end_scheduler, lambda progress: None,
            done=Progress(done=0, left=500, refused=0, failed=0, left_s=None),
        )  # fmt: skip


@pytest.mark.filterwarnings("ignore")
def test_two_workers_of_a_local_cluster_give_the_same(
    folder: Path, serial: frame3d.StudyResult
) -> None:
    from distributed import Client, LocalCluster

    with (
        LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, processes=False
        ) as workers,
        Client(workers) as client,
    ):
        found = frame3d.study(
            folder / "base.toml", vary=VARY, ask=ASK, conditions=["errors = 0"], goals=GOALS,
            executor=client.get_executor(pure=False),
        )  # fmt: skip
    assert found.rows == serial.rows


def test_kills_at_random_moments_and_going_on_equal_an_unbroken_run(
    folder: Path, serial: frame3d.StudyResult, tmp_path: Path
) -> None:
    chance, rows = random.Random(24), tmp_path / ROWS
    words = [sys.executable, "-P", "-m", "frame3d.cli", "study", str(folder / "plan.toml"),
             "--out", str(tmp_path), "--workers", "1"]  # fmt: skip
    before = 0
    for _ in range(2):
        process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        end = time.monotonic() + 60
        while time.monotonic() < end and process.poll() is None:
            if rows.exists() and rows.read_bytes().count(b"\n") > before:
                time.sleep(chance.uniform(0.0, 0.05))
                break
            time.sleep(0.01)
        process.send_signal(chance.choice([signal.SIGKILL, signal.SIGTERM, signal.SIGINT]))
        process.wait(60)
        before = rows.read_bytes().count(b"\n")
        if chance.random() < 0.7 and rows.stat().st_size > 9:  # as if in the middle of a line
            os.truncate(rows, rows.stat().st_size - chance.randint(1, 9))
    assert before > 0
    plan = read_plan(folder / "plan.toml")
    with ThreadPoolExecutor(1) as here:
        found = carry_out(plan, Crew(executor=here, places=1), tmp_path, lambda progress: None)
    assert found.rows == serial.rows


def test_a_changed_plan_takes_over_rows_that_still_hold(folder: Path, tmp_path: Path) -> None:
    vary, rows = {"profile.ridge_height": ["2.8 m", "3 m"]}, tmp_path / ROWS
    with ThreadPoolExecutor(1) as here:

        def study(vary, ask) -> tuple[frame3d.StudyResult, int]:
            before = (
                (tmp_path / ROWS).read_bytes().count(b"\n") if (tmp_path / ROWS).exists() else 0
            )
            found = frame3d.study(SMALL, vary=vary, ask=ask, folder=tmp_path, executor=here)
            return found, rows.read_bytes().count(b"\n") - before

        first, made = study(vary, ["hoops", "errors"])
        assert made == 2
        turned, made = study({"profile.ridge_height": ["3 m", "2.8 m", "2.9 m"]}, ["hoops"])
        assert made == 1
        by_value = {row.values["profile.ridge_height"]: row.figures["hoops"] for row in first.rows}
        assert all(
            by_value.get(row.values["profile.ridge_height"], 3) == row.figures["hoops"]
            for row in turned.rows
        )
        more, made = study(vary, ["hoops", "width_mm"])  # another figure is worked out
        assert made == 2 and [row.figures["width_mm"] for row in more.rows] == [6000.0, 6000.0]


def test_the_order_of_a_grid_does_not_matter(serial: frame3d.StudyResult, folder: Path) -> None:
    turned = {names: values[::-1] for names, values in reversed(VARY.items())}
    with ThreadPoolExecutor(1) as here:
        found = frame3d.study(
            folder / "base.toml", vary=turned, ask=ASK, conditions=["errors = 0"], goals=GOALS,
            executor=here,
        )  # fmt: skip

    def told(result: frame3d.StudyResult, rows: object) -> set[str]:
        return {json.dumps([dict(sorted(r.values.items())), r.figures, r.state]) for r in rows}

    assert told(found, found.rows) == told(serial, serial.rows)
    assert told(found, found.front) == told(serial, serial.front)


def test_a_full_disk_is_told_and_the_study_goes_on_after(folder: Path, tmp_path: Path) -> None:
    def small_files() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (700, 700))

    words = ("study", folder / "plan.toml", "--out", tmp_path, "--workers", "1")
    stopped = run(*words, preexec_fn=small_files)
    assert stopped.returncode == 3, stopped.stderr
    assert "rows.jsonl cannot be written: a file would be larger than" in stopped.stderr
    kept = (tmp_path / ROWS).read_bytes()
    assert kept.endswith(b"\n") and 0 < kept.count(b"\n") < 8
    done = run(*words)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / ROWS).read_bytes().startswith(kept)


def test_ten_million_designs_are_asked_about_first(folder: Path, tmp_path: Path) -> None:
    text = '[study]\nbase = "base.toml"\n' + "".join(
        f'[[vary]]\nfield = "{field}"\nfrom = "1 m"\nto = "2070 mm"\nstep = "5 mm"\n'
        for field in ("bays.spacing", "profile.leg_height", "socket.length")
    )
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    (tmp_path / "base.toml").write_text(plain_text(SMALL), encoding="utf-8")
    asked = run_here("study", tmp_path / "plan.toml", "--out", tmp_path / "rows")
    assert (asked.exit_code, asked.stdout) == (2, "")
    assert "9,938,375 designs" in asked.stderr and "--yes" in asked.stderr
    assert not (tmp_path / "rows").exists()


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("study",), 2, "name a plan, or ask for --figures"),
        (("study", "none.toml"), 2, "there is no file"),
        (("study", "plan.toml", "--row", "3"), 2, "--row needs --design"),
        (("study", "plan.toml", "--scheduler", "tcp://10.0.0.3:8786"), 2, "use tls://"),
        (("study", "plan.toml", "--scheduler", "tcp://127.0.0.1:9"), 2, "no scheduler answers"),
        (("study", "plan.toml", "--out", "base.toml"), 2, "cannot be written"),
    ],
)
def test_what_is_asked_wrongly_is_told(
    folder: Path, words: tuple[str, ...], status: int, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    monkeypatch.setattr("frame3d.studies.running.dask_crew._PATIENCE_S", 0.5)
    done = run_here(*words)
    assert (done.exit_code, done.stdout) == (status, ""), done.stderr
    assert told in done.stderr and isinstance(done.exception, SystemExit)


def test_figures_are_listed_with_units() -> None:
    done = run_here("study", "--figures")
    assert done.exit_code == 0
    for name, unit in (("mass_kg", "kg"), ("machines_fit", "yes or no"), ("hoops", "number")):
        assert any(name in line and unit in line for line in done.stdout.splitlines())
