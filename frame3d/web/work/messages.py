"""What server and worker say to each other over a pipe: JSON and bytes, each with its length.

Nothing that is received is ever run, as it could be with pickled objects; and the server passes
the JSON of an answer on as it came.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec import Struct

HEAD = struct.Struct(">BII")
QUESTION, PROGRESS, ANSWER = 0, 1, 2
LARGEST = 400_000_000


class Message(Struct, frozen=True, kw_only=True):
    """One message.

    Parameters
    ----------
    words : bytes
        JSON in UTF-8.
    blob : bytes
        Anything else, such as a model.
    kind : int
    """

    words: bytes
    blob: bytes = b""
    kind: int = ANSWER

    @property
    def fields(self) -> Any:  # which of them it has, those know who speak with each other
        """The JSON as values."""
        return json.loads(self.words)

    def encoded(self) -> bytes:
        """The message as it goes through the pipe."""
        return HEAD.pack(self.kind, len(self.words), len(self.blob)) + self.words + self.blob


def said(
    fields: Mapping[str, object] | list[object], blob: bytes = b"", kind: int = ANSWER
) -> Message:
    """A message of what JSON can hold; what is no number is sent as null."""
    try:
        words = msgspec.json.encode(fields)
    except UnicodeEncodeError:
        # A lone surrogate, which a text can hold, cannot be sent; it is shown as its number.
        text = json.dumps(fields, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        words = text.encode("utf-8", "backslashreplace")
    return Message(words=words, blob=blob, kind=kind)
