"""Processes of our own as an executor: one job each at a time, ended and begun anew now and then.

Python's own pool of processes is broken as a whole when one of them dies, and does not tell which
job was to blame; here a death is the matter of one job, and the next one has a new process.
"""

from __future__ import annotations

import functools
import queue
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from typing import ParamSpec, TypeVar

from frame3d.errors import Frame3dError
from frame3d.side_process import SideProcess, Tell, say_nothing

Asked = ParamSpec("Asked")
Made = TypeVar("Made")
_JOBS_EACH = 200
"""After so many a process is ended, and with it whatever it has kept."""
_QUIET = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
"""A job has small arrays; processes share the cores, not threads."""


class WorkerDiedError(RuntimeError):
    """The process that was at a job has ended, by a fault of the program or by force."""


class LocalPool(Executor):
    """Processes that each do one job at a time.

    Parameters
    ----------
    workers : int
    errors : int or None
        The descriptor to which they tell faults of the program; None for our standard error.
    jobs_each : int
        How many jobs a process does before another takes its place.
    """

    def __init__(
        self, workers: int, *, errors: int | None = None, jobs_each: int = _JOBS_EACH
    ) -> None:
        self.workers = workers
        self._errors, self._jobs_each = errors, jobs_each
        self._idle: queue.SimpleQueue[tuple[SideProcess, int] | None] = queue.SimpleQueue()
        self._is_over = False
        self._alive: set[SideProcess] = set()
        self._threads = ThreadPoolExecutor(max_workers=workers)
        for _ in range(workers):
            self._idle.put(None)

    def submit(
        self, fn: Callable[Asked, Made], /, *args: Asked.args, **kwargs: Asked.kwargs
    ) -> Future[Made]:
        """Have ``fn`` done in one of the processes; it must be a function that pickle can take."""
        return self._threads.submit(
            self._do, functools.partial(_call, functools.partial(fn, *args, **kwargs))
        )

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End; without ``wait`` whatever is being done is ended too."""
        self._threads.shutdown(wait=wait, cancel_futures=cancel_futures)
        self._is_over = True
        for process in list(self._alive):
            process.end()
        self._alive.clear()

    def _do(self, job: Callable[[Tell], Made]) -> Made:
        process, done = self._idle.get() or (self._new(), 0)
        try:
            made = process.do(job, say_nothing)
        except Frame3dError as error:
            if process.has_ended:
                raise self._died(process, error) from None
            self._idle.put((process, done + 1))
            raise
        except RuntimeError as error:
            raise self._died(process, error) from None
        if done + 1 < self._jobs_each:
            self._idle.put((process, done + 1))
        else:
            self._end(process)
        return made

    def _new(self) -> SideProcess:
        process = SideProcess(errors=self._errors, **_QUIET)
        self._alive.add(process)
        if self._is_over:
            process.end()  # begun just as the end was asked for
        return process

    def _end(self, process: SideProcess) -> None:
        self._alive.discard(process)
        process.end()
        self._idle.put(None)

    def _died(self, process: SideProcess, error: Exception) -> WorkerDiedError:
        self._end(process)
        return WorkerDiedError(str(error))


def _call(job: Callable[[], Made], _tell: Tell) -> Made:
    return job()
