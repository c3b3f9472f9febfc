"""Another process that does a part of the work: what it hands back, and how it ends."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from frame3d.errors import MachineError, OutputError, machine_reason
from frame3d.side_process import SideBySide, SideProcess, cores

JOBS = """
import errno, os, signal, time
from pathlib import Path
from frame3d.errors import unwritable

def number(tell):
    return os.getpid()

def steps(count, tell):
    for done in range(count):
        tell("steps", done, count)
    print("what a library writes when it likes")
    return count

def full(tell):
    try:
        raise OSError(errno.ENOSPC, "No space left on device")
    except OSError as error:
        raise unwritable(Path("there"), error) from error

def wrong(tell):
    raise ZeroDivisionError("a fault of the program")

def dies(tell):
    os.kill(os.getpid(), signal.SIGKILL)

def sleeps(tell):
    tell("asleep", 0, 1)
    time.sleep(600)
"""
BESIDE = """
import signal
import jobs_beside
signal.signal(signal.SIGINT, signal.default_int_handler)  # though who started it ignores it
from frame3d.side_process import SideProcess
side = SideProcess()
side.do(jobs_beside.sleeps, lambda *_: print(side._process.pid, flush=True))
"""


def untold(*_: object) -> None:
    """Progress that nobody wants."""


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A module of jobs where both processes find it."""
    (tmp_path / "jobs_beside.py").write_text(JOBS)
    monkeypatch.setenv("PYTHONPATH", f"{tmp_path}{os.pathsep}{os.environ.get('PYTHONPATH', '')}")
    monkeypatch.syspath_prepend(tmp_path)
    sys.modules.pop("jobs_beside", None)
    import jobs_beside

    return jobs_beside


@pytest.fixture
def side(jobs) -> Iterator[SideProcess]:
    process = SideProcess()
    yield process
    process.end()


def ends(pid: int) -> bool:
    """Whether a process is gone, or a zombie, within 20 s."""
    end = time.monotonic() + 20
    while time.monotonic() < end:
        try:
            os.kill(pid, 0)
            stat = Path(f"/proc/{pid}/stat").read_text()
        except (ProcessLookupError, FileNotFoundError):
            return True
        if stat.rpartition(")")[2].split()[0] == "Z":
            return True
        time.sleep(0.05)
    return False


def test_jobs_are_done_there_one_after_the_other(side: SideProcess, jobs) -> None:
    told: list[tuple[object, ...]] = []
    assert side.do(partial(jobs.steps, 2), lambda *step: told.append(step)) == 2
    assert told == [("steps", 0, 2), ("steps", 1, 2)]
    assert side.do(jobs.number, untold) == side._process.pid != os.getpid()


def test_what_it_raises_is_raised_here(side: SideProcess, jobs) -> None:
    with pytest.raises(MachineError, match="the disk is full") as caught:
        side.do(jobs.full, untold)
    # What the system said comes along: it is told of another folder here.
    assert machine_reason(caught.value) == "the disk is full"
    assert side.do(jobs.number, untold) == side._process.pid


def test_how_it_died_is_told(side: SideProcess, jobs) -> None:
    with pytest.raises(RuntimeError, match="has ended with 1"):
        side.do(jobs.wrong, untold)
    with pytest.raises(RuntimeError, match="has ended with 1"):
        side.do(jobs.number, untold)


@pytest.mark.skipif(os.name == "nt", reason="there no process is ended by a signal")
def test_that_it_was_killed_is_told_in_words(side: SideProcess, jobs) -> None:
    with pytest.raises(OutputError, match="ended by signal 9; close other programs"):
        side.do(jobs.dies, untold)


@pytest.mark.skipif(os.name == "nt", reason="processes are looked for in /proc")
@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_it_dies_with_who_started_it(number: signal.Signals, jobs) -> None:
    with subprocess.Popen(
        [sys.executable, "-P", "-c", BESIDE], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as run:
        pid = int(run.stdout.readline())
        os.kill(pid, signal.SIGINT)  # Ctrl-C is for who started it
        time.sleep(0.2)
        assert Path(f"/proc/{pid}").exists()
        run.send_signal(number)
        try:
            assert ends(pid)
        finally:
            run.kill()


@pytest.mark.parametrize("workers", [1, 2])
def test_jobs_are_shared_and_their_results_come_in_order(workers: int, jobs) -> None:
    told: list[tuple[object, ...]] = []
    with SideBySide(lambda *step: told.append(step), workers) as both:
        first = both.begin(jobs.number)
        assert (first.result() == os.getpid()) is (workers == 1)
        made = both.share(*(partial(jobs.steps, count) for count in range(1, 5)))
    assert made == [1, 2, 3, 4]
    assert all(0 <= done < total for _, done, total in told)
    assert len(told) == 1 + 2 + 3 + 4


@pytest.mark.parametrize("workers", [1, 2])
def test_a_job_that_fails_ends_the_rest(workers: int, jobs) -> None:
    with pytest.raises(OutputError, match="disk"), SideBySide(untold, workers) as both:
        both.share(jobs.number, jobs.full)
    with pytest.raises(OutputError, match="disk"), SideBySide(untold, workers) as both:
        both.begin(jobs.sleeps if workers == 2 else jobs.number)
        both.share(jobs.full, jobs.number)


def test_cores() -> None:
    assert 1 <= cores() <= (os.cpu_count() or 1)
