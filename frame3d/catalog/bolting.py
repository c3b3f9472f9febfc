"""How long a bolt must be, and which stocked one that is."""

from __future__ import annotations

from frame3d.catalog.sections import BoltSize
from frame3d.errors import CatalogError

_THREADS_PAST_NUT = 2
_SAME_LENGTH_MM = 1e-6
_METRIC_STEP_MM = 125.0
_INCH_STEP_MM = 152.4


def grip_to_length(grip_mm: float, nut_height_mm: float, pitch_mm: float) -> float:
    """Return the length that a bolt needs under its head, mm.

    Parameters
    ----------
    grip_mm : float
        Everything between head and nut, washers included, mm.
    nut_height_mm : float
    pitch_mm : float
        Thread pitch, mm; two threads stand out of the nut (common practice, no source).
    """
    return grip_mm + nut_height_mm + _THREADS_PAST_NUT * pitch_mm


def choose_bolt_length(size: BoltSize, needed_mm: float) -> float:
    """Return the shortest stocked length that is at least the length needed, mm.

    Raises
    ------
    CatalogError
        If no stocked length is long enough.
    """
    for length in size.lengths_mm:
        if length >= needed_mm - _SAME_LENGTH_MM:
            return length
    longest = size.lengths_mm[-1]
    raise CatalogError(
        f"a {size.name} {size.head.value} bolt must be {needed_mm:.1f} mm long here; the longest "
        f"stocked is {longest:.1f} mm: use threaded rod, a thicker bolt or a thinner joint"
    )


def thread_length_mm(size: BoltSize, length_mm: float) -> float:
    """Return the length of thread on a bolt of a length, mm.

    ``2 d + 1/4 in`` up to 6 in and 1/4 in more above that (ASME B18.2.1); ``2 d + 6 mm``
    up to 125 mm, and 6 mm more up to 200 mm (ISO 4014). Never more than the bolt.
    """
    metric = size.name.startswith("M")
    step_mm, more_mm = (_METRIC_STEP_MM, 6.0) if metric else (_INCH_STEP_MM, 6.35)
    long = length_mm > step_mm + _SAME_LENGTH_MM
    return min(size.thread_mm + (more_mm if long else 0.0), length_mm)
