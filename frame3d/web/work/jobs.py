"""Files that are asked for: made one at a time in a process of their own, sent, thrown away.

Comparisons under loads wait for each other and not for files, nor files for them. Each file has a
folder of its own under one that is removed when the server ends, or, where it is killed, when
the next one begins. What is asked for comes in the answer to the request that asks for it, so
nothing has to be found again, and any of several servers side by side can be asked.
"""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import shutil
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path

from msgspec import Struct

from frame3d.errors import OutputError
from frame3d.staging import StagingFolder, dead_folders, set_up, unwritable
from frame3d.units.data_tables import Json
from frame3d.web.requests.limits import FILES, MAKING_S
from frame3d.web.work.exports import KINDS
from frame3d.web.work.workers import BusyError, CrashedError, Progress, TooSlowError, Worker

_PREFIX = "frame3d-"

PROGRAM_FAILED = (
    "The program failed on this design; the fault is in the program, not in the design. "
    "Please report it with the design file."
)


class Wanted(Struct, frozen=True, kw_only=True):
    """A file that somebody wants: all that it is made from.

    Parameters
    ----------
    text, lists, against : str
        The design, the lists that go with it and the design to compare with, as they came.
    kind : str
        One of :data:`frame3d.web.work.exports.KINDS`.
    """

    text: str
    kind: str
    lists: str = ""
    against: str = ""


class Made(Struct, frozen=True, kw_only=True):
    """What came of it: words for the page, and where the file is; None if there is none."""

    words: dict[str, Json]
    path: Path | None = None


class Maker:
    """Makes files for whoever wants one, each in its turn."""

    def __init__(self) -> None:
        self._bench = _bench()
        self._wanted = {listed: 0 for listed in (True, False)}
        self._turns = {listed: asyncio.Lock() for listed in (True, False)}

    @contextlib.asynccontextmanager
    async def file(self, wanted: Wanted, tell: Progress) -> AsyncIterator[Made]:
        """The file, which is there until the context ends; left before, it is not made at all.

        Parameters
        ----------
        wanted : Wanted
        tell : callable
            Told how far it is: what is done, and how much of how much.

        Raises
        ------
        BusyError
            If too many are waiting for theirs already.
        """
        lane = KINDS[wanted.kind].listed
        if sum(self._wanted.values()) >= FILES:
            raise BusyError
        before, folder = self._wanted[lane], self._bench.made / secrets.token_hex(8)
        self._wanted[lane] += 1
        try:
            try:
                tell("waiting" if not before else f"waiting behind {before}", 0, 1)
                async with self._turns[lane]:
                    made = await _made(wanted, folder, tell)
            finally:
                self._wanted[lane] -= 1
            yield made
        finally:
            await asyncio.to_thread(shutil.rmtree, folder, ignore_errors=True)

    def stop(self) -> None:
        """Remove everything that was left."""
        self._bench.remove()


async def _made(wanted: Wanted, folder: Path, tell: Progress) -> Made:
    worker = Worker()
    question = {
        "task": "make", "text": wanted.text, "lists": wanted.lists, "kind": wanted.kind,
        "folder": str(folder), "against": wanted.against,
    }  # fmt: skip
    try:
        folder.mkdir()
        answer = (await worker.ask(question, MAKING_S, tell)).fields
    except TooSlowError:
        answer = _failed(f"it has taken longer than {MAKING_S:g} s")
    except CrashedError:
        answer = _failed(PROGRAM_FAILED)
    except OSError as error:
        answer = _failed(str(unwritable(folder, error)))
    finally:
        # A kernel that has been loaded holds hundreds of megabytes.
        await worker.stop()
    if "faults" in answer:
        return Made(words={"state": "failed", "faults": answer["faults"]})
    path = Path(answer.pop("path"))
    return Made(words={"state": "ready", **answer}, path=path)


def _bench() -> StagingFolder:
    """A folder for the files of this server; those of servers that were killed are removed."""
    try:
        place = Path(tempfile.gettempdir())
    except OSError as error:
        raise OutputError(f"the page has nowhere to make files: {error.strerror}") from None
    for left in dead_folders(place, _PREFIX):
        left.remove()
    try:
        return set_up(place, _PREFIX, "the page")
    except OSError as error:
        raise unwritable(place, error) from error


def _failed(message: str) -> dict[str, Json]:
    return {"faults": [{"where": "", "line": None, "message": message}]}
