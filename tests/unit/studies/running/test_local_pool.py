"""Processes of our own as an executor: what they hand back, how they die, how they are ended."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from frame3d.errors import OutputError
from frame3d.studies.running.local_pool import LocalPool, WorkerDiedError

JOBS = """
import os, signal, time
from frame3d.errors import OutputError

def number(add=0):
    return os.getpid() + add

def refuses():
    raise OutputError("said on purpose")

def wrong():
    raise ZeroDivisionError("a fault of the program")

def dies():
    os.kill(os.getpid(), signal.SIGKILL)

def sleeps():
    time.sleep(600)
"""


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A module of jobs that processes find too."""
    (tmp_path / "jobs_of_pool.py").write_text(JOBS, encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", f"{tmp_path}:{Path(__file__).parents[4]}")
    monkeypatch.syspath_prepend(str(tmp_path))
    import jobs_of_pool

    return jobs_of_pool


def test_a_death_is_the_matter_of_one_job(jobs, tmp_path: Path) -> None:
    with (tmp_path / "errors").open("w+b") as errors, LocalPool(1, errors=errors.fileno()) as pool:
        asked = [jobs.number, jobs.dies, jobs.number, jobs.refuses, jobs.number, jobs.wrong]
        first, dies, second, refuses, third, wrong = (pool.submit(job) for job in asked)
        with pytest.raises(WorkerDiedError, match="ended by signal 9"):
            dies.result(60)
        with pytest.raises(OutputError, match="said on purpose"):
            refuses.result(60)
        assert first.result(60) != second.result(60) == third.result(60)
        with pytest.raises(WorkerDiedError):
            wrong.result(60)
        assert "ZeroDivisionError: a fault of the program" in (tmp_path / "errors").read_text()


def test_processes_are_begun_anew_now_and_then(jobs) -> None:
    with LocalPool(1, jobs_each=2) as pool:
        found = [pool.submit(jobs.number, add=0).result(60) for _ in range(4)]
    assert found[0] == found[1] != found[2] == found[3]


def test_what_nobody_waits_for_is_ended(jobs) -> None:
    pool = LocalPool(1)
    begun = time.monotonic()
    asked = [pool.submit(jobs.sleeps) for _ in range(3)]
    while not asked[0].running():
        time.sleep(0.01)
    time.sleep(0.5)
    pool.shutdown(wait=False, cancel_futures=True)
    with pytest.raises(WorkerDiedError):
        asked[0].result(30)
    assert asked[1].cancelled() and asked[2].cancelled()
    assert time.monotonic() - begun < 30


def test_a_process_that_was_ended_before_it_is_asked_has_died(jobs) -> None:
    """As when the end comes while a process is being begun."""
    pool = LocalPool(1)
    pool.shutdown(wait=False)
    with pytest.raises(WorkerDiedError):
        pool._do(jobs.sleeps)


def test_nothing_of_the_working_folder_is_run(tmp_path: Path) -> None:
    """A stranger's module beside a plan, of the name of a library, is left alone."""
    (tmp_path / "msgspec.py").write_text("open('run.txt', 'w'); raise SystemExit(1)")
    program = (
        "from frame3d.studies.running.local_pool import LocalPool\n"
        "from frame3d.studies.rows.row import program_key\n"
        "with LocalPool(1) as pool: print(pool.submit(program_key).result(60) == program_key())"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], cwd=tmp_path, capture_output=True, text=True,
        timeout=120, check=False,
    )  # fmt: skip
    assert (run.stdout.strip(), (tmp_path / "run.txt").exists()) == ("True", False), run.stderr
