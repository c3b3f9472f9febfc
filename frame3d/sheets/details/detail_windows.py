"""How far the window of a detail reaches, so that nothing is cut to a sliver by its edge.

Of a part that is broken off enough is shown to be recognized (common practice, no source): a
round at least by half, and one that runs along the edge in its whole width.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import shapely
from msgspec import Struct
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from frame3d.frame.model.parts import Tube
from frame3d.sheets.projection.section_plane import Shown
from frame3d.sheets.projection.section_view import Window

_LEAST_SHARE, _WHOLE_SHARE = 0.5, 0.98
"""Of its breadth, that a part must show; the whole of it where it runs along the edge."""
_ALONG = 1.5
"""A part runs along the edge where it is broken over more than so many breadths."""
_MARGIN_MM = 4.0
_MOST_MM = 80.0
_LEAST_MM = 1.0
_ROUNDS = 6


class _Sliver(Struct, frozen=True):
    """What shows too little: the member's place in the list, the edge, and how much is lacking."""

    number: int
    side: int
    lacking_mm: float


def without_slivers(
    look: Callable[[Window], Sequence[Shown]], window: Window
) -> tuple[tuple[Shown, ...], Window]:
    """What shows in a window about as large as ``window``, and that window.

    Edges that leave a sliver of a part are moved out until enough of it shows, those just before
    its end until that shows, and those in a hole or just past the end of what lies on the part
    until it is seen to go on. What cannot be shown so is left out.

    Parameters
    ----------
    look : callable
        What shows in a window.
    window : left, bottom, right, top
    """
    shown = tuple(look(window))
    for _ in range(_ROUNDS):
        slivers = list(filter(None, (_sliver(i, one, window) for i, one in enumerate(shown))))
        slivers += [hole for i, one in enumerate(shown) for hole in _holes(i, one, window)]
        slivers += [over for i, one in enumerate(shown) for over in _just_over(i, one, window)]
        slivers += [end for i, one in enumerate(shown) for end in _near_ends(i, one, shown, window)]
        near = [sliver for sliver in slivers if sliver.lacking_mm <= _MOST_MM]
        if not near:
            break
        window = _grown(window, near)
        shown = tuple(look(window))
    left_out = {
        one.number for one in filter(None, (_sliver(i, one, window) for i, one in enumerate(shown)))
    }
    return tuple(one for i, one in enumerate(shown) if i not in left_out), window


def _sides(window: Window) -> tuple[LineString, ...]:
    left, bottom, right, top = window
    return (
        LineString([(left, bottom), (left, top)]),
        LineString([(left, bottom), (right, bottom)]),
        LineString([(right, bottom), (right, top)]),
        LineString([(left, top), (right, top)]),
    )


def _sliver(number: int, one: Shown, window: Window) -> _Sliver | None:
    """The part as a sliver, if an edge of the window makes it one."""
    if one.member.part.is_bought:
        return None
    area = max((shape.area for shape in one.shapes), key=lambda found: found.area)
    seen = area.intersection(box(*window))
    breadth = _breadth(one, area)
    pieces = [p for p in getattr(seen, "geoms", (seen,)) if isinstance(p, Polygon) and p.area > 1.0]
    for piece in pieces:
        contacts = [piece.exterior.intersection(side).length for side in _sides(window)]
        side = max(range(4), key=contacts.__getitem__)
        if contacts[side] < 1.0:
            continue
        along = contacts[side] > _ALONG * breadth
        # An end that is cut aslant shows the mean of its depths.
        shows = min(_depth(piece, side), piece.area / contacts[side])
        depth = _depth(piece, side) if along else min(_narrow(piece), shows)
        if depth < (_WHOLE_SHARE if along else _LEAST_SHARE) * breadth:
            return _Sliver(number, side, breadth - depth + _MARGIN_MM)
    return None


def _holes(number: int, one: Shown, window: Window) -> Iterator[_Sliver]:
    """Edges in or just past a hole through a part, which would seem to end there."""
    area = max((shape.area for shape in one.shapes), key=lambda found: found.area)
    if one.face.is_empty or not one.face.intersects(box(*window)):
        return
    open_here = area.difference(one.face)
    holes = getattr(open_here, "geoms", (open_here,))
    for side, line in enumerate(_sides(window)):
        across = area.intersection(line).length
        least = _LEAST_SHARE * across
        near = line.buffer(least, cap_style="flat")
        for hole in holes if across > _LEAST_MM else ():
            low_x, low_y, high_x, high_y = hole.bounds
            width = high_y - low_y if side in (0, 2) else high_x - low_x
            if width > _WHOLE_SHARE * across and hole.intersects(near):
                yield _Sliver(number, side, _past(hole.bounds, side, window) + least + _MARGIN_MM)


def _just_over(number: int, one: Shown, window: Window) -> Iterator[_Sliver]:
    """Edges that cut a little off the end of a part."""
    if one.member.part.is_bought:
        return
    area = max((shape.area for shape in one.shapes), key=lambda found: found.area)
    least = _LEAST_SHARE * _breadth(one, area)
    for side, line in enumerate(_sides(window)):
        over = _past(area.bounds, side, window)
        if 0.0 < over < least and area.intersects(line):
            yield _Sliver(number, side, over + _MARGIN_MM)


def _near_ends(
    number: int, one: Shown, shown: Sequence[Shown], window: Window
) -> Iterator[_Sliver]:
    """Edges just past the end of what lies on a part, which would seem to end there itself."""
    area = max((shape.area for shape in one.shapes), key=lambda found: found.area)
    for side, line in enumerate(_sides(window)):
        contact = area.intersection(line)
        across = contact.length
        if across < _LEAST_MM:
            continue
        least = _LEAST_SHARE * across
        strip = contact.buffer(least, cap_style="flat").intersection(box(*window))
        for other in shown:
            covered = _outline_of(other).intersection(strip) if other is not one else None
            if covered is None or covered.is_empty:
                continue
            off = covered.distance(line)
            low_x, low_y, high_x, high_y = covered.bounds
            width = high_y - low_y if side in (0, 2) else high_x - low_x
            if off > _LEAST_MM / 10 and width > _LEAST_SHARE * across:
                yield _Sliver(number, side, least - off + _MARGIN_MM)


def _outline_of(one: Shown) -> BaseGeometry:
    return shapely.union_all([shape.area for shape in one.shapes])


def _past(bounds: Window, side: int, window: Window) -> float:
    """How far bounds reach past that edge of the window; less than 0 where they don't."""
    sign = -1.0 if side < 2 else 1.0
    return sign * (bounds[side] - window[side])


def _breadth(one: Shown, area: BaseGeometry) -> float:
    part = one.member.part
    return part.section.od_mm if isinstance(part, Tube) else _narrow(area)


def _narrow(area: BaseGeometry) -> float:
    """The shorter side of the smallest rectangle round an area."""
    corners = list(area.minimum_rotated_rectangle.exterior.coords)
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def _depth(piece: Polygon, side: int) -> float:
    """How far a piece reaches in from that edge."""
    left, bottom, right, top = piece.bounds
    return float(right - left if side in (0, 2) else top - bottom)


def _grown(window: Window, slivers: Sequence[_Sliver]) -> Window:
    left, bottom, right, top = (
        max((one.lacking_mm for one in slivers if one.side == side), default=0.0)
        for side in range(4)
    )
    return (window[0] - left, window[1] - bottom, window[2] + right, window[3] + top)
