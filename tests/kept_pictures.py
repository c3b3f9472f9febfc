"""Pictures of a page held against kept ones, small and with a tolerance: what stands where.

``FRAME3D_KEEP_PICTURES=1`` keeps those that are seen, to be looked at before they are committed.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pymupdf

KEEPING = bool(os.environ.get("FRAME3D_KEEP_PICTURES"))
KEPT = Path(__file__).parent / "browser" / "kept"
SIZE = (320, 225)
MOST_MEAN, MOST_SHARE, CLEARLY = 4.0, 0.03, 48
"""Of levels from 0 to 255: the mean difference, and the share of points that differ clearly.

Regression limits: runs on one machine differ by less than a tenth of them, and the states of the
page from each other by more.
"""


def shrunk(picture: bytes | Path) -> pymupdf.Pixmap:
    """A picture in ``SIZE``, each point the mean of what it covers."""
    seen = pymupdf.Pixmap(str(picture)) if isinstance(picture, Path) else pymupdf.Pixmap(picture)
    if (seen.w, seen.h) == SIZE:
        return seen
    levels = _levels(seen)
    rows = np.linspace(0, seen.h, SIZE[1] + 1).astype(int)
    columns = np.linspace(0, seen.w, SIZE[0] + 1).astype(int)
    sums = np.add.reduceat(np.add.reduceat(levels, rows[:-1], axis=0), columns[:-1], axis=1)
    many = np.diff(rows)[:, None, None] * np.diff(columns)[None, :, None]
    small = np.rint(sums / many).astype(np.uint8)
    return pymupdf.Pixmap(pymupdf.csRGB, *SIZE, small.tobytes(), False)


def apart(one: pymupdf.Pixmap, other: pymupdf.Pixmap) -> tuple[float, float]:
    """Mean difference of levels, and the share of points that differ clearly."""
    off = abs(_levels(one) - _levels(other))
    return float(off.mean()), float((off.max(axis=2) > CLEARLY).mean())


def is_alike(one: pymupdf.Pixmap, other: pymupdf.Pixmap) -> bool:
    mean, share = apart(one, other)
    return mean <= MOST_MEAN and share <= MOST_SHARE


def looks_as_kept(name: str, picture: bytes) -> bool:
    """Whether a picture is like the kept one of that name; keeps it if that is asked for."""
    path, seen = KEPT / f"{name.replace(' ', '-')}.png", shrunk(picture)
    if KEEPING:
        KEPT.mkdir(exist_ok=True)
        seen.save(str(path))
    return is_alike(shrunk(path), seen)


def _levels(picture: pymupdf.Pixmap) -> np.ndarray:
    found = np.frombuffer(picture.samples, np.uint8).reshape(picture.h, picture.w, picture.n)
    return found[..., :3].astype(int)


__all__ = ["KEEPING", "KEPT", "apart", "is_alike", "looks_as_kept", "shrunk"]
