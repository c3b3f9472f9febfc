"""Answers packed by gzip for those who accept it: a scene has a sixth of its size.

Quickly rather than tightly, as what is looked at must not wait: half a megabyte takes 4 ms.

References
----------
RFC 9110, 8.4 (Content-Encoding), 12.5.3 (Accept-Encoding); RFC 1952 (gzip).
"""

from __future__ import annotations

import asyncio
import gzip
import re
from collections.abc import Awaitable, Callable

from aiohttp import hdrs, web

_LEVEL = 3
_LEAST_BYTES = 2_000
"""What is shorter goes into one or two packets as it is."""
_AT_ONCE_BYTES = 20_000
"""What is longer is packed beside the event loop, so that nobody else waits for it."""
_GZIP = re.compile(
    r"(?:^|,)\s*(?:gzip|\*)\s*(?:;\s*q=(?P<q>[01](?:\.\d{0,3})?)\s*)?(?=,|$)", re.IGNORECASE
)


def accepts_gzip(header: str) -> bool:
    """Whether an ``Accept-Encoding`` takes gzip."""
    found = _GZIP.search(header)
    return found is not None and float(found["q"] or 1) > 0


@web.middleware
async def compress(
    request: web.Request, handler: Callable[[web.Request], Awaitable[web.StreamResponse]]
) -> web.StreamResponse:
    """A middleware that packs answers that are worth it; files are sent as they are."""
    answer = await handler(request)
    if not isinstance(answer, web.Response) or not isinstance(answer.body, bytes):
        return answer
    body = answer.body
    if len(body) < _LEAST_BYTES:
        return answer
    answer.headers[hdrs.VARY] = hdrs.ACCEPT_ENCODING
    if accepts_gzip(request.headers.get(hdrs.ACCEPT_ENCODING, "")):
        if len(body) < _AT_ONCE_BYTES:
            packed = gzip.compress(body, _LEVEL, mtime=0)
        else:
            packed = await asyncio.to_thread(gzip.compress, body, _LEVEL, mtime=0)
        answer.body = packed
        answer.headers[hdrs.CONTENT_ENCODING] = "gzip"
    return answer
