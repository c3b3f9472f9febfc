"""A font file with only the characters that a document uses, the same bytes every time."""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

__all__ = ["font_with"]


def font_with(path: Path, letters: Iterable[str]) -> bytes:
    """The font at ``path`` with ``letters`` and no others, without ligatures and time stamps."""
    options = subset.Options()
    options.recalc_timestamp = False
    options.hinting = False
    options.layout_features = []
    options.drop_tables += ["FFTM"]  # a time stamp of the editor that made the font
    with TTFont(path, recalcTimestamp=False) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(text="".join(sorted(set(letters))))
        cutter.subset(font)
        out = io.BytesIO()
        font.save(out)
    return out.getvalue()
