"""What the JSON files hold, as JSON Schemas, one for each version of each kind of file.

A file names its schema, ``"schema": "summary-1"``. Within a version keys may be added, and none
goes away or means something else; what reads a file passes over keys that it does not know.
"""

from __future__ import annotations

import enum
from importlib import resources

__all__ = ["Document", "document_schema"]


class Document(enum.Enum):
    """A kind of JSON file; the value is the name of its newest schema."""

    SUMMARY = "summary-1"
    FINDINGS = "findings-1"
    TAKEOFF = "takeoff-1"
    SITE = "site-1"
    LOADS = "loads-1"
    COMPARISON = "comparison-1"


def document_schema(document: Document) -> str:
    """The text of the JSON Schema, draft 2020-12, of a kind of file."""
    return (resources.files(__name__) / f"{document.value}.json").read_text("utf-8")
