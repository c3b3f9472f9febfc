"""The engine, with executors that fail in every way there is."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor

import pytest

from frame3d.errors import OutputError
from frame3d.studies.rows.row import Row, State, row_line
from frame3d.studies.rows.work_out import Task
from frame3d.studies.running.engine import Crew, Progress, run_tasks

NOTHING = Progress(done=0, left=0, refused=0, failed=0, left_s=None)


class Played(Executor):
    """Does a task at once: each design by ``play``, which may raise."""

    def __init__(self, play: Callable[[str], None]) -> None:
        self.play, self.sizes = play, []
        self.tried: Counter[str] = Counter()

    def submit(self, fn, task: Task) -> Future:
        future: Future = Future()
        self.sizes.append(len(task.designs))
        try:
            for design in task.designs:
                self.tried[design] += 1
                self.play(design)
        except BaseException as error:
            future.set_exception(error)
            return future
        lines = [row_line(Row(key=json.loads(d), state=State.MADE)).decode() for d in task.designs]
        future.set_result((lines, 0.5 * len(lines)))
        return future


def run(
    executor: Executor, count: int, *, task_s: float = 0.0, kept: list | None = None
) -> list[Row]:
    designs = iter([(f"k{n}", json.dumps(f"k{n}")) for n in range(count)])
    rows: list[Row] = [] if kept is None else kept

    def ask(designs: tuple[str, ...]) -> Task:
        return Task(designs=designs, lists={}, figures=(), program="")

    told: list[Progress] = []
    crew = Crew(executor=executor, places=2, task_s=task_s)
    begin = Progress(done=0, left=count, refused=0, failed=0, left_s=None)
    end = run_tasks(crew, designs, ask, rows.append, told.append, done=begin)
    assert (end.done, end.left) == (len(rows), count - len(rows))
    assert [p.done for p in told] == sorted(p.done for p in told)
    return rows


def keys(rows: list[Row], state: State) -> set[str]:
    return {row.key for row in rows if row.state is state}


def fail(*bad: str, error: type[BaseException] = RuntimeError) -> Callable[[str], None]:
    def play(design: str) -> None:
        if json.loads(design) in bad:
            raise error("ended by signal 9")

    return play


def test_every_design_has_its_row() -> None:
    assert keys(run(Played(fail()), 25), State.MADE) == {f"k{n}" for n in range(25)}
    assert run(Played(fail()), 0) == []


def test_tasks_take_a_few_seconds_where_that_is_wanted() -> None:
    played = Played(fail())
    run(played, 100, task_s=4.0)  # at half a second for each
    assert played.sizes[:4] == [1] * 4
    assert set(played.sizes[4:-1]) == {8}
    assert sum(played.sizes) == 100


def test_a_worker_that_dies_costs_its_task_a_repeat_and_one_design_that_kills_is_set_aside() -> (
    None
):
    played = Played(fail("k20"))
    rows = run(played, 60, task_s=4.0)
    assert keys(rows, State.FAILED) == {"k20"}
    assert keys(rows, State.MADE) == {f"k{n}" for n in range(60)} - {"k20"}
    assert len(rows) == 60
    assert played.tried['"k20"'] == 3  # among others, and twice by itself
    (lost,) = [row for row in rows if row.state is State.FAILED]
    assert "2 times: ended by signal 9" in lost.reason


def test_what_fails_once_is_no_failure() -> None:
    seen: Counter[str] = Counter()

    def play(design: str) -> None:
        seen[design] += 1
        if design == '"k3"' and seen[design] == 1:
            raise RuntimeError("out of memory")

    assert len(keys(run(Played(play), 8), State.MADE)) == 8


@pytest.mark.parametrize("error", [BrokenExecutor, ConnectionError])
def test_an_executor_that_goes_is_told_and_rows_stay(error: type[BaseException]) -> None:
    kept: list[Row] = []
    with pytest.raises(OutputError, match="have gone .*run it again to go on"):
        run(Played(fail("k6", error=error)), 20, kept=kept)
    assert 0 < len(kept) < 20


def test_a_task_that_was_cancelled_means_that_the_scheduler_has_gone() -> None:
    class Gone(Executor):
        def submit(self, fn, task: Task) -> Future:
            future: Future = Future()
            future.cancel()
            future.set_running_or_notify_cancel()
            return future

    with pytest.raises(OutputError, match="have gone"):
        run(Gone(), 3)


def test_an_executor_that_takes_no_more_is_told() -> None:
    pool = ThreadPoolExecutor(1)
    pool.shutdown()
    with pytest.raises(OutputError, match="have gone"):
        run(pool, 3)


def test_what_a_worker_says_on_purpose_ends_the_study() -> None:
    with pytest.raises(OutputError, match="install the same"):
        run(Played(fail("k0", error=lambda _: OutputError("install the same"))), 3)


def test_a_row_that_cannot_be_kept_ends_the_study() -> None:
    class Full(list):
        def append(self, row: Row) -> None:
            raise OutputError("the disk is full")

    with pytest.raises(OutputError, match="the disk is full"):
        run(Played(fail()), 3, kept=Full())


def test_designs_are_asked_for_as_places_become_free() -> None:
    """Ten million are never held at once."""
    asked = 0

    def designs() -> Iterator[tuple[str, str]]:
        nonlocal asked
        while True:
            asked += 1
            yield f"k{asked}", json.dumps(f"k{asked}")

    def keep(row: Row) -> None:
        if row.key == "k50":
            raise OutputError("enough")

    crew = Crew(executor=Played(fail()), places=2)
    with pytest.raises(OutputError, match="enough"):
        run_tasks(
            crew, designs(),
            lambda designs: Task(designs=designs, lists={}, figures=(), program=""),
            keep, lambda _: None, done=NOTHING,
        )  # fmt: skip
    assert asked < 60
