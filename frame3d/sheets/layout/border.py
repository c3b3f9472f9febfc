"""The border of a sheet: frame, centring marks, and the zones that places are named by.

References
----------
ISO 5457:1999: a frame of 0.7 mm lines; centring marks; fields of 50 mm counted from the
centring marks, letters from the top down without I and O, numbers from the left, on both
sides of the sheet, 3.5 mm high, and not on A4 (all but the frame from memory).
ASME Y14.1: zones from the lower right corner, letters upward, numbers to the left, an even
number on each side, of equal size but for the outer ones (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Label, Layer, Stroke, polyline

_MARK_MM = 5.0
_SMALLEST_WITH_ZONES_MM = 300.0
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_ISO_FIELD_MM = 50.0
_US_ZONES = {"B": (4, 2), "C": (4, 4), "D": (8, 4), "E": (8, 8)}
"""Zones along the width and the height of US sheets (from memory)."""


def border(paper: Paper) -> list[Stroke | Label]:
    """The border of the drawing space of ``paper``, its centring marks and zones."""
    left, bottom, right, top = paper.frame
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    primitives: list[Stroke | Label] = [*polyline([*corners, corners[0]], Layer.BORDER)]
    x, y = paper.width_mm / 2, paper.height_mm / 2
    for start, end in (
        ((x, bottom - _MARK_MM), (x, bottom)),
        ((x, top), (x, top + _MARK_MM)),
        ((left - _MARK_MM, y), (left, y)),
        ((right, y), (right + _MARK_MM, y)),
    ):
        primitives.append(Stroke(start=start, end=end, layer=Layer.BORDER))
    if paper.width_mm >= _SMALLEST_WITH_ZONES_MM:
        primitives += _zones(paper)
    return primitives


def _zones(paper: Paper) -> Iterator[Stroke | Label]:
    """Lines between the zones and their names, in the margin on all four sides."""
    left, bottom, right, top = paper.frame
    across, up = _stops(paper)
    names = _names(paper, len(across) - 1, len(up) - 1)
    outer = (left - _MARK_MM, bottom - _MARK_MM, right + _MARK_MM, top + _MARK_MM)
    sides = ((bottom, outer[1]), (top, outer[3])), ((left, outer[0]), (right, outer[2]))
    for axis, (stops, said) in enumerate(zip((across, up), names, strict=True)):
        middle = (paper.width_mm, paper.height_mm)[axis] / 2
        for inner, out in sides[axis]:
            for stop in stops[1:-1]:
                if stop == middle:
                    continue  # the centring mark
                ends = (stop, inner), (stop, out)
                start, end = ends if axis == 0 else (place[::-1] for place in ends)
                yield Stroke(start=start, end=end, layer=Layer.TITLE)
            for name, low, high in zip(said, stops, stops[1:], strict=False):
                at = ((low + high) / 2, (inner + out) / 2)
                yield Label(
                    text=name,
                    at=at if axis == 0 else at[::-1],
                    height=TEXT_MM,
                    layer=Layer.BORDER,
                )


def _stops(paper: Paper) -> tuple[list[float], list[float]]:
    """Where zones begin and end along the width and along the height, mm."""
    left, bottom, right, top = paper.frame
    if paper.name in _US_ZONES:
        across, up = _US_ZONES[paper.name]
        return (
            [left, *(paper.width_mm * i / across for i in range(1, across)), right],
            [bottom, *(paper.height_mm * i / up for i in range(1, up)), top],
        )
    return _fields(left, right, paper.width_mm / 2), _fields(bottom, top, paper.height_mm / 2)


def _fields(low: float, high: float, middle: float) -> list[float]:
    """Fields counted from the centring mark both ways; what is over goes to the outer ones."""
    stops = [middle]
    for end, way in ((low, -1), (high, 1)):
        count = max(1, round(abs(end - middle) / _ISO_FIELD_MM))
        stops += [middle + way * _ISO_FIELD_MM * i for i in range(1, count)] + [end]
    return sorted(stops)


def _names(paper: Paper, across: int, up: int) -> tuple[list[str], list[str]]:
    """Names of the zones from the left to the right, and from the bottom up."""
    numbers = [str(i) for i in range(1, across + 1)]
    letters = list(_LETTERS[:up])
    if paper.name in _US_ZONES:
        return numbers[::-1], letters
    return numbers, letters[::-1]
