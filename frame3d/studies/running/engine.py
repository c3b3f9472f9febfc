"""Work rows out with an executor: a few tasks at a time, each row kept as soon as it is there.

A task that fails, as its worker has died or the program has failed, is done again, each of its
designs by itself. A design that fails twice by itself is set aside as a row that says so.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    Executor,
    Future,
    wait,
)

from msgspec import Struct

from frame3d.errors import Frame3dError, OutputError
from frame3d.studies.rows.row import Row, State
from frame3d.studies.rows.work_out import Task, rows_of, worked

_MOST_IN_TASK = 64
_LOOK_S = 0.5
_FAILURES = 2

Answer = tuple[list[str], float]


class Crew(Struct, frozen=True, kw_only=True):
    """Who does the work.

    Parameters
    ----------
    executor : Executor
    places : int
        How many tasks it does at a time.
    task_s : float
        How long a task is to be, s; 0 for one design each.
    """

    executor: Executor
    places: int
    task_s: float = 0.0


class Progress(Struct, frozen=True, kw_only=True):
    """How far a study is.

    Parameters
    ----------
    done, left : int
        Rows that are there, those of earlier runs too, and those that are not.
    refused, failed : int
        Those among ``done`` that are no design, and that the program failed at.
    left_s : float or None
        How long the rest will take, s; None where it cannot be told yet.
    """

    done: int
    left: int
    refused: int
    failed: int
    left_s: float | None


class _Job(Struct, eq=False):
    """Designs that go out together, and how often that has failed."""

    designs: tuple[tuple[str, str], ...]
    """Key and mapping of each."""
    failures: int = 0


class _Run:
    """One study on its way: what waits, what is out, and how long a design takes."""

    def __init__(
        self, crew: Crew, designs: Iterator[tuple[str, str]], ask: Callable[..., Task]
    ) -> None:
        self._crew, self._designs, self._ask = crew, designs, ask
        self._again: deque[_Job] = deque()
        self._out: dict[Future[Answer], _Job] = {}
        self._each_s: float | None = None

    def rows(self) -> Generator[Row | None, None, None]:
        """Rows as they come; None now and then, where none has come for a while."""
        try:
            while self._send() or self._out:
                done, _ = wait(self._out, timeout=_LOOK_S, return_when=FIRST_COMPLETED)
                if not done:
                    yield None
                for future in done:
                    yield from self._taken(future, self._out.pop(future))
        finally:
            for future in self._out:
                future.cancel()

    def _send(self) -> bool:
        """Send tasks until enough are out; whether any are."""
        while len(self._out) < 2 * self._crew.places:
            job = self._again.popleft() if self._again else self._next()
            if job is None:
                break
            task = self._ask(designs=tuple(text for _, text in job.designs))
            try:
                self._out[self._crew.executor.submit(worked, task)] = job
            except RuntimeError as error:  # shut down, or broken
                raise _gone(error) from error
        return bool(self._out)

    def _next(self) -> _Job | None:
        size = 1
        if self._crew.task_s and self._each_s:
            size = max(1, min(_MOST_IN_TASK, int(self._crew.task_s / self._each_s)))
        designs = tuple(design for _, design in zip(range(size), self._designs, strict=False))
        return _Job(designs=designs) if designs else None

    def _taken(self, future: Future[Answer], job: _Job) -> Iterator[Row]:
        if future.cancelled():
            raise _gone(None)
        error = future.exception()
        if error is None:
            lines, seconds = future.result()
            each = seconds / len(lines)
            self._each_s = each if self._each_s is None else 0.8 * self._each_s + 0.2 * each
            yield from rows_of(lines)
        elif isinstance(error, Frame3dError):
            raise error
        elif isinstance(error, BrokenExecutor | OSError):
            raise _gone(error) from error
        else:
            yield from self._failed(job, error)

    def _failed(self, job: _Job, error: BaseException) -> Iterator[Row]:
        if len(job.designs) > 1:  # which of them it was is found out one by one
            self._again += [_Job(designs=(design,)) for design in job.designs]
            return
        job.failures += 1
        if job.failures < _FAILURES:
            self._again.append(job)
            return
        ((key, _),) = job.designs
        reason = (
            f"the program itself has failed on this design, {_FAILURES} times: {error}; "
            "please report it with the design file"
        )
        yield Row(key=key, state=State.FAILED, reason=" ".join(reason.split()))


def _gone(error: BaseException | None) -> OutputError:
    said = f" ({error})" if error is not None and str(error) else ""
    return OutputError(
        f"the processes or the scheduler that work the rows out have gone{said}; the rows that "
        "were there are kept: run it again to go on"
    )


def run_tasks(
    crew: Crew,
    designs: Iterator[tuple[str, str]],
    ask: Callable[..., Task],
    keep: Callable[[Row], None],
    tell: Callable[[Progress], None],
    *,
    done: Progress,
) -> Progress:
    """Work ``designs`` out and keep each row.

    Parameters
    ----------
    crew : Crew
    designs : iterator of (str, str)
        Key and mapping (JSON) of each that is to be made; asked for as places become free.
    ask : callable
        Makes a task of ``designs=``.
    keep : callable
        Is given each row at once, in the order in which they come.
    tell : callable
    done : Progress
        What is there before.

    Raises
    ------
    OutputError
        If the executor or its scheduler has gone, a worker runs another program, or a row cannot
        be kept. What was kept is kept.
    """
    begin, made, so_far = time.monotonic(), 0, done
    rows = _Run(crew, designs, ask).rows()
    try:
        for row in rows:
            if row is not None:
                keep(row)
                made += 1
                so_far = Progress(
                    done=so_far.done + 1,
                    left=max(0, so_far.left - 1),
                    refused=so_far.refused + (row.state is State.REFUSED),
                    failed=so_far.failed + (row.state is State.FAILED),
                    left_s=so_far.left_s,
                )
            rate = (time.monotonic() - begin) / made if made else None
            so_far = Progress(
                done=so_far.done, left=so_far.left, refused=so_far.refused, failed=so_far.failed,
                left_s=None if rate is None else rate * so_far.left,
            )  # fmt: skip
            tell(so_far)
    finally:
        rows.close()
    return so_far
