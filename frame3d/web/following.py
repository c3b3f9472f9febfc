"""An answer that takes long, sent in lines: how far it is, and at last what it is.

Each line is an object in JSON: ``what``, ``done`` and ``total``, and the last one ``answer``. Who
no longer listens ends the work. A file comes behind the line that tells that it is ready.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import TypeVar

from aiohttp import web

from frame3d.web.requests.limits import HEARTBEAT_S, SENDING_S
from frame3d.web.work.answers import Progress
from frame3d.web.work.jobs import Made, Maker, Wanted
from frame3d.web.work.messages import Message

_CHUNK = 2**18
Found = TypeVar("Found")


async def followed(
    request: web.Request, work: Callable[[Progress], Awaitable[Message]]
) -> web.StreamResponse:
    """What ``work`` tells on its way and in the end, line by line.

    Parameters
    ----------
    request : web.Request
    work : callable
        Given what to tell on the way to; its refusals are answered as ever while nothing was told.
    """
    answer, found = await _told(request, work, "application/x-ndjson")
    await answer.write(b'{"answer": ' + found.words + b"}\n")
    await answer.write_eof()
    return answer


async def followed_file(request: web.Request, maker: Maker, wanted: Wanted) -> web.StreamResponse:
    """How far the making of a file is, line by line, what came of it, and the file itself.

    The last line has ``answer`` with ``state``: ``failed`` with its ``faults``, or ``ready`` with
    the ``name`` of the file and how many ``bytes`` follow the end of the line.

    Raises
    ------
    BusyError
        If too many want one.
    """
    async with contextlib.AsyncExitStack() as kept:

        async def work(tell: Progress) -> Made:
            return await kept.enter_async_context(maker.file(wanted, tell))

        answer, made = await _told(request, work, "application/octet-stream")
        async with asyncio.timeout(SENDING_S):
            await answer.write(json.dumps({"answer": made.words}).encode() + b"\n")
            if made.path:
                await _send(answer, made.path)
            await answer.write_eof()
    return answer


async def _send(answer: web.StreamResponse, path: Path) -> None:
    with path.open("rb") as file:
        while piece := await asyncio.to_thread(file.read, _CHUNK):
            await answer.write(piece)


async def _told(
    request: web.Request, work: Callable[[Progress], Awaitable[Found]], media: str
) -> tuple[web.StreamResponse, Found]:
    """What ``work`` tells on its way, as lines of an answer; that answer, begun, and its end."""
    lines: asyncio.Queue[bytes] = asyncio.Queue()

    def tell(what: str, done: int, total: int) -> None:
        lines.put_nowait(json.dumps({"what": what, "done": done, "total": total}).encode())

    answering = asyncio.ensure_future(work(tell))
    answer = web.StreamResponse(headers={"Content-Type": media})
    last = b""
    try:
        while not answering.done() or not lines.empty():
            line = asyncio.ensure_future(lines.get())
            await asyncio.wait(
                {line, answering}, timeout=HEARTBEAT_S, return_when=asyncio.FIRST_COMPLETED
            )
            if line.done():
                last = line.result()
            else:
                line.cancel()
                if answering.done() or not last:
                    continue
            if not answer.prepared:
                await answer.prepare(request)
            await answer.write(last + b"\n")
        found = answering.result()
        if not answer.prepared:
            await answer.prepare(request)
        return answer, found
    finally:
        if not answering.done():
            answering.cancel()
            await asyncio.wait({answering})
