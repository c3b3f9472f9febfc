"""Which field of the design a finding is about, read from the words of its place.

The members that it is about are found by :mod:`frame3d.view.links`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from frame3d.spec.facts import sections

_FIELD = re.compile(r"\b([a-z_]+)(\[\d+\])?(?:\.([a-z_]+))?")

__all__ = ["field_of"]


def field_of(where: str) -> str:
    """The field or section of the design that the place of a finding names; empty for none."""
    known = sections()
    for name, index, field in _fields(where):
        # "hoop 3" is a place and "hoop" a role: a section alone counts where nothing else stands.
        if name in known and (index or field or name == where):
            text = f"{name}{index}" if known[name].several else name
            return f"{text}.{field}" if field in known[name].fields else text
    return ""


def _fields(where: str) -> Iterable[tuple[Any, ...]]:
    for match in _FIELD.finditer(where):
        yield match[1], match[2] or "", match[3]
