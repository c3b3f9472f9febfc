"""Answers of the workers, each worked out once and kept for a while.

The key of an answer is all that it follows from, so none can be out of date.
"""

from __future__ import annotations

import asyncio
import hashlib
from collections import OrderedDict
from collections.abc import Callable, Mapping

from msgspec import Struct, field

from frame3d.units.data_tables import Json
from frame3d.web.requests.limits import CACHED_ANSWERS, CACHED_BYTES
from frame3d.web.work.messages import Message
from frame3d.web.work.workers import WorkerPool

_LATER = ("find", "sheets")
"""What stands behind all else that is asked for: a picture comes before what is found in it, and
one sheet before a whole set.
"""
Progress = Callable[[str, int, int], None]
_Key = tuple[tuple[str, Json], ...]


class _Entry(Struct, eq=False):
    """A question that is being answered, or its answer."""

    work: asyncio.Task[Message]
    wanted: int = 0
    begun: bool = False
    size: int = 0
    followers: list[Progress] = field(default_factory=list)


class Answers:
    """Questions to workers and what came of them."""

    def __init__(self) -> None:
        self._entries: OrderedDict[_Key, _Entry] = OrderedDict()
        self._bytes = 0

    async def of(
        self,
        workers: WorkerPool,
        question: Mapping[str, Json],
        limit_s: float,
        follow: Progress | None = None,
    ) -> Message:
        """The answer to ``question``, from the cache or from a worker.

        Who asks the same while it is being worked out waits for the same answer. A question
        that nobody waits for any more is dropped: if it has not been begun, or if it is one
        that somebody followed, which takes long.

        Parameters
        ----------
        workers : WorkerPool
        question : mapping
        limit_s : float
        follow : callable or None
            Told how far it is: what is done, and how much of how much.

        Raises
        ------
        BusyError, TooSlowError, CrashedError
            As :mod:`frame3d.web.work.workers` tells them; such an answer is not kept.
        """
        key = tuple(sorted(question.items()))
        entry = self._entries.get(key)
        if entry is None:
            entry = self._begin(key, workers, question, limit_s)
        self._entries.move_to_end(key)
        entry.wanted += 1
        if follow:
            entry.followers.append(follow)
        try:
            return await asyncio.shield(entry.work)
        finally:
            entry.wanted -= 1
            if not entry.wanted and not entry.work.done() and (follow or not entry.begun):
                entry.work.cancel()
                # Who asks again begins anew.
                if self._entries.get(key) is entry:
                    del self._entries[key]
            if follow:
                entry.followers.remove(follow)

    def _begin(
        self, key: _Key, workers: WorkerPool, question: Mapping[str, Json], limit_s: float
    ) -> _Entry:
        def told(what: str, done: int, total: int) -> None:
            for follow in entry.followers:
                follow(what, done, total)

        async def work() -> Message:
            design = str(question.get("text", ""))
            seen = hashlib.sha256(design.encode()).hexdigest()
            async with workers.one(seen, later=question["task"] in _LATER) as worker:
                entry.begun = True
                return await worker.ask(question, limit_s, told)

        entry = _Entry(work=asyncio.create_task(work()))
        self._entries[key] = entry
        entry.work.add_done_callback(lambda task: self._done(key, entry, task))
        return entry

    def _done(self, key: _Key, entry: _Entry, task: asyncio.Task[Message]) -> None:
        if task.cancelled() or task.exception() is not None:
            if self._entries.get(key) is entry:
                del self._entries[key]
            return
        answer = task.result()
        entry.size = len(answer.blob) + len(answer.words) + 2 * len(repr(key))
        self._bytes += entry.size
        finished = [k for k, e in self._entries.items() if e.size]
        for old in finished:
            if self._bytes <= CACHED_BYTES and len(finished) <= CACHED_ANSWERS:
                break
            if old != key:
                finished = finished[1:]
                self._bytes -= self._entries.pop(old).size
