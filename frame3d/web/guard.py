"""Who may ask: only pages of this server, addressed by its own name; and what an answer carries.

References
----------
RFC 9110, 7.2 (Host); W3C, Fetch Metadata Request Headers (Sec-Fetch-Site); WHATWG, Fetch
(Origin); W3C, Content Security Policy Level 3.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from aiohttp import web
from aiohttp.typedefs import Middleware

from frame3d.web.requests.limits import BODY_BYTES, BODY_S

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
        "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Embedder-Policy": "require-corp",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cache-Control": "no-store",
}
"""What every answer carries. Designs are private, so nothing is kept in a shared cache."""

JSON_TYPE = "application/json"


def refused(status: int, message: str, **headers: str) -> web.Response:
    """A refusal in plain words."""
    return web.json_response({"refused": message}, status=status, headers=headers)


def guard(hosts: frozenset[str]) -> Middleware:
    """A middleware that lets through what comes from a page of this server or from no page.

    Parameters
    ----------
    hosts : frozenset of str
        What a request may call the server in its Host header: names with the port. Anything
        else is a foreign name that somebody has let point here.
    """
    origins = frozenset(f"http://{host}" for host in hosts)

    @web.middleware
    async def check(request: web.Request, handler: Handler) -> web.StreamResponse:
        refusal = _refusal(request, hosts, origins)
        if refusal is not None:
            return refusal
        try:
            return await handler(request)
        except web.HTTPException as error:
            # Not found, wrong method, body too large: in the same form as other refusals.
            return refused(error.status, error.reason)

    return check


async def carry_headers(request: web.Request, answer: web.StreamResponse) -> None:
    """Put :data:`HEADERS` on an answer before it goes out, that of a fault of the program too."""
    answer.headers.update(HEADERS)


def _refusal(
    request: web.Request, hosts: frozenset[str], origins: frozenset[str]
) -> web.Response | None:
    headers = request.headers
    if len(headers.getall("Host", [])) != 1 or headers["Host"].lower() not in hosts:
        return refused(421, "this server does not answer to that name")
    if request.url.is_absolute() and request.raw_path[:1] != "/":
        return refused(400, "the target must be a path")
    site = headers.get("Sec-Fetch-Site")
    if site not in (None, "same-origin", "none") and not _follows_a_link(request):
        return refused(403, "requests from other pages are refused; open the address by itself")
    origin = headers.get("Origin")
    if origin is not None and origin.lower() not in origins:
        return refused(403, "requests from other pages are refused")
    if request.method not in ("GET", "HEAD"):
        return _refusal_of_a_change(request, site)
    if request.body_exists:
        return refused(400, "a request to read has no body")
    return None


def _follows_a_link(request: web.Request) -> bool:
    """Whether somebody opens the page itself by a link on another one.

    The page is the same for everybody, and what comes after the # of a link never gets here.
    """
    headers = request.headers
    return (
        request.method == "GET"
        and request.path == "/"
        and headers.get("Sec-Fetch-Mode") == "navigate"
        and headers.get("Sec-Fetch-Dest") == "document"
    )


def _refusal_of_a_change(request: web.Request, site: str | None) -> web.Response | None:
    if site == "none":
        return refused(403, "only the page itself may ask for this")
    if request.method == "POST" and request.content_type != JSON_TYPE:
        # No form of another page can send this type without asking first, and it may not ask.
        return refused(415, f"the body must be {JSON_TYPE}")
    if request.headers.get("Content-Encoding", "identity") != "identity":
        return refused(415, "the body must not be compressed")
    if (request.content_length or 0) > BODY_BYTES:
        return refused(413, f"the body is larger than {BODY_BYTES} bytes")
    return None


async def body_of(request: web.Request) -> bytes:
    """The body, if it arrives in time and is not too large.

    Raises
    ------
    web.HTTPRequestTimeout, web.HTTPRequestEntityTooLarge
        If it does not, or is.
    """
    try:
        async with asyncio.timeout(BODY_S):
            return await request.read()
    except TimeoutError:
        raise web.HTTPRequestTimeout from None
