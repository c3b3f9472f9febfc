"""Which dimensions of a view say what others say already, so that they stand in brackets.

Places along one direction are joined by dimensions as by links. A link between places
that others join already closes a ring: its value follows from theirs, and were all of
them given, tolerances would contradict each other.

References
----------
ISO 129-1:2018: an auxiliary dimension, which others determine, is written in brackets.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from frame3d.sheets.annotation.annotations import Chain, Running, View
from frame3d.sheets.primitives.primitives import Point

_STEP_MM = 0.01
"""Places nearer than this are one."""

Link = tuple[int, int]
"""Number of a annotation in its view, and of the dimension in the annotation."""


def reference_links(view: View) -> frozenset[Link]:
    """The dimensions of ``view`` that follow from others of the same direction.

    Those that govern are taken first, then the nearer to the outline, then the shorter.
    """
    found: set[Link] = set()
    for along_x in (True, False):
        links = sorted(_links(view, axis=0 if along_x else 1, along_x=along_x))
        parent: dict[int, int] = {}
        for *_, first, second, link in links:
            one, two = _root(parent, first), _root(parent, second)
            if one == two:
                found.add(link)
            else:
                parent[one] = two
    return frozenset(found)


def _links(
    view: View, *, axis: int, along_x: bool
) -> Iterator[tuple[bool, int, int, int, int, Link]]:
    """Order, ends and name of every dimension along one direction."""
    for number, annotation in enumerate(view.annotations):
        if (
            not isinstance(annotation, Chain | Running)
            or annotation.edge.runs_along_x is not along_x
        ):
            continue
        if isinstance(annotation, Running):
            datum = round(annotation.datum[axis] / _STEP_MM)
            ends = [(datum, stop) for stop in _running_stops(annotation, axis)]
            governs = True
        else:
            stops = sorted(round(point[axis] / _STEP_MM) for point in annotation.points)
            ends = list(itertools.pairwise(stops))
            governs = annotation.governs
        for place, (first, second) in enumerate(ends):
            length = abs(second - first)
            yield not governs, annotation.rank, length, first, second, (number, place)


def running_link(annotation: Running, number: int, point: Point) -> Link | None:
    """The link from the datum to ``point`` of annotation ``number``; None at the datum."""
    axis = 0 if annotation.edge.runs_along_x else 1
    stops, stop = _running_stops(annotation, axis), round(point[axis] / _STEP_MM)
    return (number, stops.index(stop)) if stop in stops else None


def _running_stops(annotation: Running, axis: int) -> list[int]:
    """Where the sizes of a running annotation end, each once, in hundredths of a millimetre."""
    datum = round(annotation.datum[axis] / _STEP_MM)
    return sorted({round(point[axis] / _STEP_MM) for point in annotation.points} - {datum})


def _root(parent: dict[int, int], place: int) -> int:
    while place in parent:
        place = parent[place]
    return place
