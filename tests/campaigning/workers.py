"""Processes that take designs through the program, one at a time, each within its time.

A design on which a library hangs or dies costs its process and nothing else: the process is
killed, the design counts as failing, and another process takes its place.
"""

from __future__ import annotations

import gc
import importlib
import math
import multiprocessing
import os
import signal
import sys
import time
import warnings
from collections.abc import Callable, Iterable, Iterator
from multiprocessing.connection import Connection, wait

from msgspec import Struct

try:
    import resource
except ImportError:  # not on every system; there the clock alone counts
    resource = None

RECYCLED_AFTER = 200
"""Designs that a process takes, so that what libraries never free does not add up."""
WAITED = 10.0
_LONGEST_WAIT_S = 1.0
_XCPU = getattr(signal, "SIGXCPU", None)


class Task(Struct, frozen=True, kw_only=True):
    """A design to be taken through ``stages``.

    Parameters
    ----------
    name : str
    mapping : dict
    stages : tuple of str
    whole : bool
        See :func:`campaigning.stages.run`.
    limit_s : float
        Of the processor, after which its process ends; it is killed after
        :data:`WAITED` times that by the clock, as others may keep the processor busy.
    """

    name: str
    mapping: dict
    stages: tuple[str, ...]
    limit_s: float
    whole: bool = False


class Worker:
    """A process with what it is doing."""

    def __init__(self, runner: str) -> None:
        methods = multiprocessing.get_all_start_methods()
        context = multiprocessing.get_context("forkserver" if "forkserver" in methods else "spawn")
        if context.get_start_method() == "forkserver":
            # Loaded once, for all processes that come after.
            context.set_forkserver_preload([runner])
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_work, args=(theirs, runner), daemon=True)
        self.process.start()
        theirs.close()
        self.taken = 0
        self.task: Task | None = None
        self.begun = 0.0
        self.stage = ""

    def begin(self, task: Task) -> None:
        """Give it a design."""
        self.task, self.begun, self.stage = task, time.monotonic(), "starting"
        self.taken += 1
        self.pipe.send((task.mapping, task.stages, task.whole, task.limit_s))

    @property
    def is_late(self) -> bool:
        """Whether its design has had all its time."""
        return bool(self.task) and time.monotonic() - self.begun > WAITED * self.task.limit_s

    def end(self) -> int | None:
        """Kill it; its exit code, negative for the signal that ended it before."""
        self.pipe.close()
        self.process.join(0.2)
        if self.process.is_alive():
            self.process.kill()
            self.process.join()
        return self.process.exitcode


def results(
    tasks: Iterable[Task], count: int, runner: str = "campaigning.stages"
) -> Iterator[tuple[Task, dict]]:
    """Each task with what came of it, in the order in which they end.

    Parameters
    ----------
    tasks : iterable of Task
        Taken one by one, when there is somebody to do it.
    count : int
        Of processes.
    runner : str
        The module whose ``run`` does the work.
    """
    _share_path()
    waiting = iter(tasks)
    workers: list[Worker] = []
    try:
        while True:
            while len(workers) < count or any(not one.task for one in workers):
                task = next(waiting, None)
                if task is None:
                    break
                _free(workers, count, runner).begin(task)
            busy = [one for one in workers if one.task]
            if not busy:
                return
            yield from _ended(busy, workers)
    finally:
        for one in workers:
            one.end()


def _free(workers: list[Worker], count: int, runner: str) -> Worker:
    """A worker with nothing to do, a new one where there is none or it has done enough."""
    for one in workers:
        if not one.task and one.taken < RECYCLED_AFTER:
            return one
    for one in [w for w in workers if not w.task]:
        one.end()
        workers.remove(one)
    workers.append(Worker(runner))
    return workers[-1]


def _ended(busy: list[Worker], workers: list[Worker]) -> Iterator[tuple[Task, dict]]:
    """Wait a moment; the tasks that have ended since."""
    ready = wait([one.pipe for one in busy], timeout=_LONGEST_WAIT_S)
    for one in busy:
        row = _heard(one) if one.pipe in ready else None
        if row is None and one.is_late:
            row = _lost(one)
        if row is None:
            continue
        task, one.task = one.task, None
        if row.pop("gone", False):
            workers.remove(one)
        yield task, row


def _heard(worker: Worker) -> dict | None:
    """What a worker has said of its design, if that is all; it may only tell its stage."""
    try:
        while worker.pipe.poll():
            kind, what = worker.pipe.recv()
            if kind == "done":
                return what
            worker.stage = what
    except (EOFError, OSError):
        return _lost(worker)
    return None


def _lost(worker: Worker) -> dict:
    """The row of a design whose process is no more, or has had all its time."""
    late = worker.is_late
    code = worker.end()
    if late or (_XCPU and code == -_XCPU):
        kind, cause = "out of time", f"more than {worker.task.limit_s:g} s"
    else:
        kind, cause = "died", f"exit code {code}"
    stage, seconds = worker.stage, round(time.monotonic() - worker.begun, 1)
    failure = {"stage": stage, "kind": kind, "cause": cause,
               "detail": f"{cause}, after {seconds} s by the clock"}  # fmt: skip
    return {"refused": [], "left": None, "failures": [failure], "told": {}, "sizes": {},
            "times": {stage: seconds}, "gone": True}  # fmt: skip


def _share_path() -> None:
    """Let new processes find the modules that this one finds."""
    own = [path for path in sys.path if path]
    given = os.environ.get("PYTHONPATH", "").split(os.pathsep)
    os.environ["PYTHONPATH"] = os.pathsep.join(dict.fromkeys([*own, *filter(None, given)]))


def _limit_processor(seconds: float) -> None:
    """End this process after so much more work, however deep in a library it is."""
    if resource:
        _, most = resource.getrlimit(resource.RLIMIT_CPU)
        end = math.ceil(time.process_time() + seconds)
        resource.setrlimit(resource.RLIMIT_CPU, (end, most))


def _work(pipe: Connection, runner: str) -> None:
    """Take designs until the pipe is closed."""
    warnings.simplefilter("error")  # as in the tests
    run: Callable[..., dict] = importlib.import_module(runner).run
    # Looking for garbage in between takes a sixth of the time.
    gc.freeze()
    gc.disable()
    try:
        while True:
            mapping, stages, whole, limit_s = pipe.recv()
            _limit_processor(limit_s)
            row = run(mapping, stages, lambda stage: pipe.send(("at", stage)), whole=whole)
            pipe.send(("done", row))
            gc.collect()
    except (EOFError, OSError, KeyboardInterrupt):
        return


__all__ = ["RECYCLED_AFTER", "Task", "results"]
