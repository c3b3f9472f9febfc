"""Every limit of the server, in one place: sizes in bytes, times in seconds, counts."""

from __future__ import annotations

DESIGN_BYTES = 250_000
"""A design as text; the largest that anybody writes by hand has a tenth of it."""
PACKED_BYTES = 60_000
"""A design as it stands in an address, packed."""
LIST_BYTES = 250_000
"""A list of prices, of stock or of what was measured, as text; there may be five of them."""
QUOTES = 8
"""Price lists of suppliers that are compared at once."""
LIST_NAME = 200
"""Letters in the name of such a list."""
ANSWER_LETTERS = 60
"""In an answer that is typed, such as a width."""
FAMILY_LETTERS = 40
"""In what a sheet is asked for by."""
BODY_BYTES = 8_000_000
"""The body of a request as JSON, in which a letter can take two bytes: two designs, or one and
all lists and quotes.
"""
LINE_BYTES = 65_536
"""The first line of a request, and each of its headers."""

CONNECTIONS = 400
"""Open at once; below the number of files that a process may have open by default."""
FIRST_REQUEST_S = 10.0
"""From the opening of a connection to the end of the head of its first request."""
KEEP_ALIVE_S = 20.0
BODY_S = 10.0
"""For a body to arrive."""

WAITING = 64
"""Questions that wait for a worker; more are sent away and may come again."""
LAYING_S, FINDINGS_S, SHEETS_S, TEXT_S = 20.0, 30.0, 120.0, 20.0
"""How long a worker may take: to lay out, to check, to draw, to read or write a design."""
CACHED_BYTES = 96_000_000
CACHED_ANSWERS = 200

FILES = 64
"""Files that are being made or wait for it; each takes a request as long as a design until then."""
MAKING_S = 1800.0
SENDING_S = 900.0
"""How long the sending of a file may take."""
HEARTBEAT_S = 10.0
"""After which somebody who waits is told again how far it is, so that nothing on the way between
takes the connection for dead.
"""
