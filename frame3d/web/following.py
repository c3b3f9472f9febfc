"""An answer that takes long, sent in lines: how far it is, and at last what it is.

Each line is an object in JSON: ``what``, ``done`` and ``total``, and the last one ``answer``. Who
no longer listens ends the work.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable

from aiohttp import web

from frame3d.web.work.answers import Progress
from frame3d.web.work.messages import Message

__all__ = ["followed"]


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
    lines: asyncio.Queue[bytes] = asyncio.Queue()

    def tell(what: str, done: int, total: int) -> None:
        lines.put_nowait(json.dumps({"what": what, "done": done, "total": total}).encode())

    answering = asyncio.ensure_future(work(tell))
    answer = web.StreamResponse(headers={"Content-Type": "application/x-ndjson"})
    try:
        while not answering.done() or not lines.empty():
            line = asyncio.ensure_future(lines.get())
            await asyncio.wait({line, answering}, return_when=asyncio.FIRST_COMPLETED)
            if not line.done():
                line.cancel()
                continue
            if not answer.prepared:
                await answer.prepare(request)
            await answer.write(line.result() + b"\n")
        found = answering.result()
        if not answer.prepared:
            await answer.prepare(request)
        await answer.write(b'{"answer": ' + found.words + b"}\n")
        await answer.write_eof()
    finally:
        answering.cancel()
    return answer
