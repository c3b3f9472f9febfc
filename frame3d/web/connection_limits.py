"""The door of the server: how many may come in, and how long they may take to say what they want.

The HTTP library bounds what a connection sends, but not how long it takes to send the head of its
first request, nor how many connections there are.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

from frame3d.web.requests.limits import CONNECTIONS, FIRST_REQUEST_S

_FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\nRetry-After: 2\r\nConnection: close\r\n"
    b"Content-Type: application/json\r\nContent-Length: 47\r\n\r\n"
    b'{"refused":"too many connections; come again."}'
)


class Visit(asyncio.Protocol):
    """One connection: everything is passed on to the HTTP protocol behind it."""

    def __init__(self, door: ConnectionLimiter, inner: asyncio.Protocol) -> None:
        self._door, self._inner = door, inner
        self._late: asyncio.TimerHandle | None = None
        self._turned_away = False

    def connection_made(self, transport: Any) -> None:  # asyncio says less than it gives
        """Let it in, or answer that there are too many."""
        if len(self._door.visits) >= CONNECTIONS:
            self._turned_away = True
            transport.write(_FULL)
            transport.close()
            return
        self._door.visits.add(self)
        loop = asyncio.get_running_loop()
        self._late = loop.call_later(FIRST_REQUEST_S, transport.abort)
        self._inner.connection_made(transport)

    def asked(self) -> None:
        """A whole head of a request has come; from here on the HTTP protocol watches the time."""
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def data_received(self, data: bytes) -> None:
        """Pass it on."""
        if not self._turned_away:
            self._inner.data_received(data)

    def eof_received(self) -> bool | None:
        """Pass it on."""
        return None if self._turned_away else self._inner.eof_received()

    def pause_writing(self) -> None:
        """Pass it on."""
        if not self._turned_away:
            self._inner.pause_writing()

    def resume_writing(self) -> None:
        """Pass it on."""
        if not self._turned_away:
            self._inner.resume_writing()

    def connection_lost(self, error: Exception | None) -> None:
        """Let another one in."""
        self.asked()
        if not self._turned_away:
            self._door.visits.discard(self)
            self._inner.connection_lost(error)


class ConnectionLimiter:
    """Makes the protocol of each new connection, in place of the HTTP server itself.

    Parameters
    ----------
    server : callable
        Makes an HTTP protocol.
    """

    def __init__(self, server: Callable[[], asyncio.Protocol]) -> None:
        self._server = server
        self.visits: set[Visit] = set()

    def __call__(self) -> Visit:
        """The protocol of one more connection."""
        return Visit(self, self._server())
