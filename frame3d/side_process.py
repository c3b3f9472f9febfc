"""A second process of ours, which does a part of the work meanwhile.

It is given functions of this package with what they need, and hands back what they return. It
dies with the process that has started it, whatever ended that one, and leaves Ctrl-C to it.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import signal
import subprocess
import sys
import threading
import traceback
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from types import TracebackType
from typing import BinaryIO, TypeVar

from frame3d.errors import Frame3dError, OutputError, present
from frame3d.processes import FOLDER, command, environment, tidy_seldom

Made = TypeVar("Made")
Tell = Callable[[str, int, int], None]
"""Told what is being done, how many steps of it are done, and how many there are."""
Job = Callable[[Tell], Made]
"""A function of this package, or a ``functools.partial`` of one, that pickle can take."""
_Jobs = queue.SimpleQueue[Job[object]]  # whatever they return goes back as it is
_TOLD, _RETURNED, _RAISED = range(3)


def say_nothing(what: str, done: int, total: int) -> None:
    """A :data:`Tell` for a caller who wants none."""


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class SideProcess:
    """The process; it starts loading at once and does one job at a time.

    Parameters
    ----------
    errors : int or None
        The descriptor that it tells faults of the program to; None for our standard error.
    **changes : str
        What its environment has besides ours.
    """

    def __init__(self, *, errors: int | None = None, **changes: str) -> None:
        self._process = subprocess.Popen(
            command("frame3d.side_process"), stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=errors, cwd=FOLDER, env=environment(**changes),
            # A group of its own: Ctrl-C is for the process that started it.
            start_new_session=True,
        )  # fmt: skip

    def do(self, job: Job[Made], tell: Tell) -> Made:
        """What ``job`` returns, or raises, there.

        Raises
        ------
        Frame3dError
            Whatever of that kind the job raises, and OutputError if the process is ended.
        RuntimeError
            If a fault of the program has ended it, which it has told on standard error.
        """
        asked = present(self._process.stdin, "pipe to a process")
        told = present(self._process.stdout, "pipe from a process")
        try:
            pickle.dump(job, asked)
            asked.flush()
            while True:
                kind, value = pickle.load(told)
                if kind != _TOLD:
                    break
                tell(*value)
        except (EOFError, OSError, pickle.UnpicklingError):
            raise self._ended() from None
        except ValueError:
            if not asked.closed:
                raise
            raise self._ended() from None  # it was ended before it was asked
        if kind == _RAISED:
            raise value
        made: Made = value
        return made

    @property
    def has_ended(self) -> bool:
        """Whether it is there no more."""
        return self._process.poll() is not None

    def _ended(self) -> Exception:
        status = self._process.wait()
        if status < 0:
            return OutputError(
                f"a part of the work was not done, as its process was ended by signal {-status}; "
                "close other programs if memory is short, and run it again"
            )
        return RuntimeError(f"the process beside this one has ended with {status}")

    def end(self) -> None:
        """End it, whatever it is doing."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            with contextlib.suppress(OSError):  # what was still to be written has nowhere to go
                present(pipe, "pipe").close()


class SideBySide:
    """One or two processes that share jobs: this one and, with ``workers`` above 1, another.

    Parameters
    ----------
    tell : callable
        Told of both, from whichever thread; never by two of them at once.
    workers : int
        With 1 everything is done here, one after the other.
    """

    def __init__(self, tell: Tell, workers: int) -> None:
        self._tell, self._lock = tell, threading.Lock()
        self._doing: dict[bool, str] = {}
        self._side = SideProcess() if workers > 1 else None
        self._pool = ThreadPoolExecutor(max_workers=1)

    @property
    def are_two(self) -> bool:
        """Whether there is another process."""
        return self._side is not None

    def __enter__(self) -> SideBySide:
        """Begin; the other process is loading already."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        """End the other process, whatever it is doing."""
        if self._side:
            self._side.end()
        self._pool.shutdown(wait=True, cancel_futures=True)

    def tell(self, what: str, done: int, total: int, *, aside: bool = False) -> None:
        """Tell what is being done here, or in the other process, and what is done besides."""
        with self._lock:
            self._doing[aside] = what
            self._tell(", ".join(dict.fromkeys(self._doing.values())), done, total)

    def begin(self, job: Job[Made]) -> Future[Made]:
        """Have ``job`` done in the other process, before whatever is shared later."""
        if self._side:
            return self._pool.submit(self._aside, job)
        done: Future[Made] = Future()
        done.set_result(job(self.tell))
        return done

    def share(self, *jobs: Job[Made]) -> list[Made]:
        """What each of ``jobs`` returns: the first are done here, the last there, until all are."""
        waiting = deque(enumerate(jobs))
        made: dict[int, Made] = {}

        def work(
            do: Callable[[Job[Made]], Made], take: Callable[[], tuple[int, Job[Made]]]
        ) -> None:
            while True:
                try:
                    number, job = take()
                except IndexError:  # nothing is left
                    return
                made[number] = do(job)

        aside = self._pool.submit(work, self._aside, waiting.pop) if self._side else None
        work(lambda job: job(self.tell), waiting.popleft)
        if aside:
            aside.result()
        return [made[number] for number in range(len(jobs))]

    def _aside(self, job: Job[Made]) -> Made:
        try:
            return present(self._side, "other process").do(
                job, lambda what, done, total: self.tell(what, done, total, aside=True)
            )
        finally:
            with self._lock:
                self._doing.pop(True, None)


def main() -> None:
    """Do what is asked for until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    tidy_seldom()
    # Libraries write to standard output when they like; that must not get among the answers.
    told = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    jobs: _Jobs = queue.SimpleQueue()
    threading.Thread(target=_read, args=(sys.stdin.buffer, jobs), daemon=True).start()
    try:
        while True:
            _answer(jobs.get(), told)
    finally:
        # By a fault of the program. Python cannot end by itself, as the thread goes on reading.
        traceback.print_exc()
        os._exit(1)


def _answer(job: Job[Made], told: BinaryIO) -> None:
    try:
        made = job(lambda *progress: _say(told, _TOLD, progress))
    except Frame3dError as error:
        _say(told, _RAISED, error)
    else:
        _say(told, _RETURNED, made)


def _say(told: BinaryIO, kind: int, value: Made) -> None:
    pickle.dump((kind, value), told)
    told.flush()


def _read(source: BinaryIO, jobs: _Jobs) -> None:
    """Read jobs; where no more can come, who wanted them has gone, and so does this process."""
    try:
        while True:
            jobs.put(pickle.load(source))
    except (EOFError, OSError, pickle.UnpicklingError):  # in the middle of a job, it may be
        os._exit(0)


if __name__ == "__main__":
    main()
