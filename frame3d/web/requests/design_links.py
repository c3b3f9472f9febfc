"""A design in an address.

Its text, compressed (raw deflate, RFC 1951) and written as base64url (RFC 4648, 5) without
padding.
"""

from __future__ import annotations

import base64
import binascii
import re
import zlib

from frame3d.web.requests.limits import DESIGN_BYTES, PACKED_BYTES

_LETTERS = re.compile(r"[A-Za-z0-9_-]*")


class PackingError(ValueError):
    """What stands in the address is no packed design, or one that is too large."""


def packed(text: str) -> str:
    """``text`` as it stands in an address."""
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    data = squeeze.compress(text.encode("utf-8")) + squeeze.flush()
    return base64.urlsafe_b64encode(data).decode("ascii").rstrip("=")


def unpacked(letters: str) -> str:
    """The text of a packed design.

    No more than the largest design is ever unpacked, however much there would be.

    Raises
    ------
    PackingError
        If it cannot be read, or is larger than a design may be.
    """
    if len(letters) > PACKED_BYTES:
        raise PackingError(f"the packed design has more than {PACKED_BYTES} letters")
    if not _LETTERS.fullmatch(letters):
        raise PackingError("the packed design has letters that base64url does not have")
    try:
        data = base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4))
        pump = zlib.decompressobj(-15)
        content = pump.decompress(data, DESIGN_BYTES + 1)
    except (binascii.Error, zlib.error):
        raise PackingError("the packed design cannot be unpacked") from None
    if len(content) > DESIGN_BYTES or pump.unconsumed_tail:
        raise PackingError(f"the design is larger than {DESIGN_BYTES} bytes")
    if not pump.eof or pump.unused_data:
        raise PackingError("the packed design is cut short or has something after its end")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise PackingError("the design is not text in UTF-8") from None
