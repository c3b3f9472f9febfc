"""The server: bound to one address, and ended by Ctrl-C with nothing left behind."""

from __future__ import annotations

import asyncio
import contextlib
import ipaddress
import logging
import signal
import socket
from collections.abc import Awaitable, Callable

from aiohttp import web
from aiohttp.http_exceptions import HttpProcessingError

from frame3d.errors import OutputError, present
from frame3d.units.data_tables import Json
from frame3d.web.compression import compress
from frame3d.web.connection_limits import ConnectionLimiter, Visit
from frame3d.web.guard import Handler, carry_headers, guard
from frame3d.web.requests.limits import BODY_BYTES, KEEP_ALIVE_S, LINE_BYTES
from frame3d.web.routes import RequestHandlers

_LOCAL = ("127.0.0.1", "localhost", "::1")


def serve(
    host: str, port: int, ready: Callable[[str], None], start: dict[str, Json] | None = None
) -> None:
    """Serve the page until Ctrl-C.

    Parameters
    ----------
    host : str
        The address to listen on: this machine's own, by number, or ``localhost``.
    port : int
        0 for any that is free.
    ready : callable
        Told the address of the page once it answers.
    start : dict or None
        The design to begin with, of :mod:`frame3d.web.first_designs`.

    Raises
    ------
    OutputError
        If it cannot listen there.
    """
    listening = _listen(host, port)
    with contextlib.closing(listening):
        asyncio.run(_run(listening, host, ready, start))


def _listen(host: str, port: int) -> socket.socket:
    address = _address(host)
    family = socket.AF_INET6 if address.version == 6 else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((str(address), port))
        listening.listen(512)
    except OSError as error:
        listening.close()
        raise OutputError(
            f"cannot listen on {host}, port {port}: {error.strerror or error}; choose "
            "another --port, or --port 0 for any free one"
        ) from None
    return listening


def _address(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address:
    try:
        address = ipaddress.ip_address("127.0.0.1" if host == "localhost" else host)
    except ValueError:
        raise OutputError(
            f'--host: got "{host}"; give localhost or an address of this machine in numbers, '
            "such as 127.0.0.1"
        ) from None
    if address.is_unspecified or address.is_multicast:
        raise OutputError(
            f'--host: got "{host}", which is every address of this machine; give the '
            "address used to reach the page; requests for any other name are refused"
        )
    return address


def _names(host: str, port: int) -> tuple[str, ...]:
    """What the server may be called in a request: the page's own address first."""
    address = _address(host)
    names = _LOCAL if address.is_loopback else ()
    written = [f"[{name}]" if ":" in name else name for name in dict.fromkeys((host, *names))]
    return tuple(f"{name.lower()}:{port}" for name in written)


async def _run(
    listening: socket.socket,
    host: str,
    ready: Callable[[str], None],
    start: dict[str, Json] | None,
) -> None:
    names = _names(host, listening.getsockname()[1])
    allowed = {*names, *(n.removesuffix(":80") for n in names)}
    builder = RequestHandlers(start)
    app = web.Application(
        middlewares=[_arrived, compress, guard(frozenset(allowed))], client_max_size=BODY_BYTES
    )
    app.on_response_prepare.append(carry_headers)
    app.add_routes(builder.routes())
    app.on_startup.append(builder.open_up)
    app.on_cleanup.append(builder.close_down)
    runner = web.AppRunner(
        app, handle_signals=False, access_log=None, keepalive_timeout=KEEP_ALIVE_S,
        max_line_size=LINE_BYTES, max_field_size=LINE_BYTES, handler_cancellation=True,
        shutdown_timeout=2.0, auto_decompress=False, logger=_log(),
    )  # fmt: skip
    await runner.setup()
    try:
        loop, stopped = asyncio.get_running_loop(), asyncio.Event()
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            # nohup has the end of the terminal ignored, so that the server outlives it.
            if number != signal.SIGHUP or signal.getsignal(number) != signal.SIG_IGN:
                loop.add_signal_handler(number, stopped.set)
        server = await loop.create_server(
            ConnectionLimiter(present(runner.server, "server")), sock=listening
        )
        ready(f"http://{names[0]}/")
        await stopped.wait()
        server.close()
    finally:
        await runner.cleanup()


def _log() -> logging.Logger:
    """Where the HTTP library tells its faults: those of its own, and none of a broken request."""
    log = logging.getLogger("frame3d.web")
    log.addFilter(_is_no_broken_request)
    return log


def _is_no_broken_request(record: logging.LogRecord) -> bool:
    error = record.exc_info[1] if record.exc_info else None
    return not isinstance(error, HttpProcessingError | ConnectionError)


@web.middleware
async def _arrived(request: web.Request, handler: Handler) -> web.StreamResponse:
    """Tell the door that the head of a request is here."""
    visit = request.transport.get_protocol() if request.transport else None
    if isinstance(visit, Visit):
        visit.asked()
    answer: Awaitable[web.StreamResponse] = handler(request)
    return await answer
