"""Files that are asked for: made one at a time in a process of their own, fetched, thrown away.

Comparisons under loads wait for each other and not for files, nor files for them.
Each order has a folder of its own under one that is removed when the server ends, or, where it
is killed, when the next one begins.
"""

from __future__ import annotations

import asyncio
import enum
import secrets
import shutil
import tempfile
from pathlib import Path

from msgspec import Struct, field

from frame3d.errors import OutputError
from frame3d.staging import StagingFolder, dead_folders, set_up, unwritable
from frame3d.units.data_tables import Json
from frame3d.web.requests.limits import KEPT_S, MAKING_S, ORDERS
from frame3d.web.work.exports import KINDS
from frame3d.web.work.workers import BusyError, CrashedError, TooSlowError, Worker

__all__ = ["FileJob", "Orders", "State"]

_PREFIX = "frame3d-"

PROGRAM_FAILED = (
    "The program failed on this design; the fault is in the program, not in the design. "
    "Please report it with the design file."
)


class State(enum.Enum):
    """How far an order is."""

    WAITING = "waiting"
    WORKING = "working"
    READY = "ready"
    FAILED = "failed"


class FileJob(Struct, kw_only=True, eq=False):
    """One file that somebody wants."""

    text: str
    lists: str
    kind: str
    folder: Path
    against: str = ""
    state: State = State.WAITING
    told: tuple[str, int, int] = ("waiting", 0, 1)
    faults: list[dict[str, Json]] = field(default_factory=list)
    lacks: list[str] = field(default_factory=list)
    """What the model does not show as it is, in words."""
    shown: dict[str, Json] = field(default_factory=dict)
    """What of it the page shows."""
    path: Path | None = None
    name: str = ""
    size: int = 0
    work: asyncio.Task[None] | None = None

    def words(self) -> dict[str, Json]:
        """The order for the page."""
        what, done, total = self.told
        return {
            "state": self.state.value, "kind": self.kind, "what": what, "done": done,
            "total": total, "faults": self.faults, "lacks": self.lacks, "bytes": self.size,
            "name": self.name, "shown": self.shown,
        }  # fmt: skip


class Orders:
    """All orders; few at a time."""

    def __init__(self) -> None:
        self._bench = _bench()
        self._orders: dict[str, FileJob] = {}
        self._turns = {listed: asyncio.Lock() for listed in (True, False)}

    def place(self, text: str, kind: str, lists: str = "", against: str = "") -> str:
        """Begin an order and return its key, which nobody can guess.

        Raises
        ------
        BusyError
            If there are too many.
        """
        if len(self._orders) >= ORDERS and not self._forget_one():
            raise BusyError
        key = secrets.token_urlsafe(16)
        folder = self._bench.made / secrets.token_hex(8)
        order = FileJob(text=text, lists=lists, kind=kind, folder=folder, against=against)
        self._orders[key] = order
        order.work = asyncio.create_task(self._make(key, order))
        return key

    def get(self, key: str) -> FileJob | None:
        """The order of that key, if it is still there."""
        return self._orders.get(key)

    async def drop(self, key: str) -> bool:
        """Stop an order and throw its file away; whether there was one."""
        order = self._orders.pop(key, None)
        if order is None:
            return False
        if order.work is not None:
            order.work.cancel()
            await asyncio.gather(order.work, return_exceptions=True)
        await asyncio.to_thread(shutil.rmtree, order.folder, ignore_errors=True)
        return True

    async def stop(self) -> None:
        """Drop all of them and remove everything that they left."""
        for key in list(self._orders):
            await self.drop(key)
        self._bench.remove()

    def _forget_one(self) -> bool:
        """Make room by throwing away the oldest file that is ready or has failed."""
        for key, order in self._orders.items():
            if order.state in (State.READY, State.FAILED):
                del self._orders[key]
                if order.work is not None:
                    order.work.cancel()
                shutil.rmtree(order.folder, ignore_errors=True)
                return True
        return False

    async def _make(self, key: str, order: FileJob) -> None:
        """Make the file, and throw it away if nobody fetches it for long."""
        async with self._turns[KINDS[order.kind].listed]:
            await self._work(order)
        await asyncio.sleep(KEPT_S)
        if self._orders.pop(key, None) is order:
            await asyncio.to_thread(shutil.rmtree, order.folder, ignore_errors=True)

    async def _work(self, order: FileJob) -> None:
        order.state = State.WORKING
        worker = Worker()

        def tell(what: str, done: int, total: int) -> None:
            order.told = (what, done, total)

        question = {
            "task": "make", "text": order.text, "lists": order.lists, "kind": order.kind,
            "folder": str(order.folder), "against": order.against,
        }  # fmt: skip
        try:
            order.folder.mkdir()
            answer = (await worker.ask(question, MAKING_S, tell)).fields
        except TooSlowError:
            answer = {"faults": [_fault(f"it has taken longer than {MAKING_S:g} s")]}
        except CrashedError:
            answer = {"faults": [_fault(PROGRAM_FAILED)]}
        except OSError as error:
            answer = {"faults": [_fault(str(unwritable(order.folder, error)))]}
        finally:
            # A kernel that has been loaded holds hundreds of megabytes.
            await worker.stop()
        if "faults" in answer:
            order.state, order.faults = State.FAILED, answer["faults"]
            return
        order.path, order.size = Path(answer["path"]), answer["bytes"]
        order.name = answer["name"]
        order.lacks, order.shown = answer["lacks"], answer["shown"]
        order.state, order.told = State.READY, ("ready", 1, 1)


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


def _fault(message: str) -> dict[str, Json]:
    return {"where": "", "line": None, "message": message}
