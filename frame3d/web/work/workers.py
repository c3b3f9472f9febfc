"""Worker processes that answer one question at a time each, seen from the server's event loop.

A worker that takes too long, dies, or is no longer wanted is ended; the next question gets a
new one.
"""

from __future__ import annotations

import asyncio
import contextlib
import heapq
import itertools
from asyncio.subprocess import Process
from collections import OrderedDict
from collections.abc import AsyncIterator, Callable, Mapping

from frame3d.errors import present
from frame3d.processes import FOLDER, command, environment
from frame3d.units.data_tables import Json
from frame3d.web.work.messages import HEAD, LARGEST, PROGRESS, QUESTION, Message, said

Progress = Callable[[str, int, int], None]

_REMEMBERED = 4
"""How many designs a worker keeps laid out; as many keys are worth looking for."""


class TooSlowError(Exception):
    """The worker has been stopped, as it took longer than it may."""


class CrashedError(Exception):
    """The worker has ended without an answer: a fault of the program."""


class BusyError(Exception):
    """Too many questions are waiting."""


class Worker:
    """One worker process; started when it is first asked something."""

    def __init__(self) -> None:
        self._process: asyncio.subprocess.Process | None = None
        self.keys: OrderedDict[str, None] = OrderedDict()

    async def start(self) -> Process:
        """Have the process running, so that the first question need not wait for it."""
        if self._process is not None and self._process.returncode is None:
            return self._process
        self.keys.clear()
        self._process = await asyncio.create_subprocess_exec(
            *command("frame3d.web.work.worker_process"), cwd=FOLDER,
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE,
            # A group of its own: Ctrl-C is for the server, which then ends its workers.
            start_new_session=True, limit=2**20,
            env=environment(OPENBLAS_NUM_THREADS="1", OMP_NUM_THREADS="1"),
        )  # fmt: skip
        return self._process

    async def ask(
        self, question: Mapping[str, Json], limit_s: float, progress: Progress | None = None
    ) -> Message:
        """The answer to ``question``.

        Raises
        ------
        TooSlowError
            If it takes longer than ``limit_s``.
        CrashedError
            If the process ends without an answer.
        """
        finished = False
        try:
            async with asyncio.timeout(limit_s):
                process = await self.start()
                answer = await _exchange(process, question, progress)
            finished = True
            return answer
        except TimeoutError:
            raise TooSlowError from None
        except (asyncio.IncompleteReadError, ConnectionError):
            raise CrashedError from None
        finally:
            if not finished:
                await self.stop()

    async def stop(self) -> None:
        """End the process, whatever it is doing."""
        process, self._process = self._process, None
        if process is None:
            return
        with contextlib.suppress(ProcessLookupError):
            process.kill()
        present(process.stdin, "pipe to a worker").close()
        await process.wait()


async def _exchange(
    process: Process, question: Mapping[str, Json], progress: Progress | None
) -> Message:
    asked = present(process.stdin, "pipe to a worker")
    told = present(process.stdout, "pipe from a worker")
    asked.write(said(question, kind=QUESTION).encoded())
    await asked.drain()
    while True:
        kind, *sizes = HEAD.unpack(await told.readexactly(HEAD.size))
        if sum(sizes) > LARGEST:
            raise ConnectionError("an answer larger than any that there is")
        words = await told.readexactly(sizes[0])
        blob = await told.readexactly(sizes[1])
        message = Message(words=words, blob=blob, kind=kind)
        if kind != PROGRESS:
            return message
        if progress:
            progress(*message.fields)


class WorkerPool:
    """A few workers for many questions.

    Parameters
    ----------
    count : int
    most_waiting : int
        Questions beyond this many are turned away.
    """

    def __init__(self, count: int, most_waiting: int) -> None:
        self._free = [Worker() for _ in range(count)]
        self._all = tuple(self._free)
        self._most = most_waiting
        self._line: list[tuple[bool, int, asyncio.Future[Worker]]] = []
        self._count = itertools.count()

    async def start(self) -> None:
        """Start the first of them."""
        await self._all[0].start()

    @contextlib.asynccontextmanager
    async def one(self, key: str, *, later: bool = False) -> AsyncIterator[Worker]:
        """A worker that is free, if possible one that has seen ``key`` of late.

        Where some wait, those who want it ``later`` stand behind all who do not.

        Raises
        ------
        BusyError
            If too many are waiting already.
        """
        worker = await self._next(key, later)
        try:
            yield worker
            worker.keys[key] = None
            worker.keys.move_to_end(key)
            while len(worker.keys) > _REMEMBERED:
                worker.keys.popitem(last=False)
        finally:
            self._hand_on(worker)

    async def _next(self, key: str, later: bool) -> Worker:
        if self._free:
            worker = next((one for one in self._free if key in one.keys), self._free[0])
            self._free.remove(worker)
            return worker
        if len(self._line) >= self._most:
            raise BusyError
        turn: asyncio.Future[Worker] = asyncio.get_running_loop().create_future()
        place = (later, next(self._count), turn)
        heapq.heappush(self._line, place)
        try:
            return await turn
        except asyncio.CancelledError:
            if not turn.cancelled():
                self._hand_on(turn.result())
            elif place in self._line:
                self._line.remove(place)
                heapq.heapify(self._line)
            raise

    def _hand_on(self, worker: Worker) -> None:
        """To who is next in line; it is free where nobody is."""
        while self._line:
            *_, turn = heapq.heappop(self._line)
            if not turn.done():  # by who has given up waiting
                turn.set_result(worker)
                return
        self._free.insert(0, worker)

    async def stop(self) -> None:
        """End all of them."""
        for worker in self._all:
            await worker.stop()
