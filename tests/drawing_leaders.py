"""What leaders and breaks of a finished drawing are held to.

Rules
-----
leader through figures, leader at figures, sliver

References
----------
ISO 129-1:2018 and ISO 128-2: a leader line ends on what it speaks of and does not run through
figures (from memory). A part that is broken off shows enough of itself to be recognized: common
practice, no source.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import LineString, Point, STRtree, box
from shapely.affinity import rotate

_LEADERS = ("marks", "call-outs")
_SHRINK_MM = 0.15
_ROW_GAP_MM = 8.0
"""Figures of a row that are nearer than this are read as one row."""
_ROW_OFF_MM = 0.5
_AT_MM = 1.0
"""A leader that ends this near to a figure is taken for its own."""
_OWN_MM = 2.0
_OVERHANG_MM, _MOST_ZIG_MM = 1.5, 2.0
"""Of a break line: how far it goes past the part on both sides, and how wide its zigzag is."""
_LEAST_BREAK_MM = 2.0
_SHARES = (0.2, 0.35, 0.65, 0.8)
"""Where along a break it is asked how deep the part is behind it; beside the zigzag."""
_LEAST_SHARE = 0.4
_NEXT_MM, _DEEPEST_MM, _WALL_MM = 0.05, 5.0, 1.2

Told = tuple[str, str, str]

__all__ = ["bad_leaders"]


def bad_leaders(page) -> Iterator[Told]:
    """Rule, sheet and message of everything on a sheet that breaks a rule of this module."""
    yield from slivers(page)
    leaders = _leaders(page)
    if not leaders:
        return
    yield from _through_texts(page, leaders)
    yield from _through_rows(page, leaders)
    yield from _at_figures(page, leaders)


def _leaders(page) -> list[LineString]:
    """Straight lines of marks, notes and call-outs; their rings and dots are no leaders."""
    return [
        line
        for layer, _, line in page.lines
        if layer in _LEADERS and line.geom_type == "LineString" and len(line.coords) == 2
    ]


def _through_texts(page, leaders) -> Iterator[Told]:
    tree = STRtree([text.ground.buffer(-_SHRINK_MM) for text in page.texts])
    for line in leaders:
        for i in tree.query(line, predicate="intersects"):
            yield "leader through figures", page.name, f"a leader crosses {page.texts[i].text!r}"


def _through_rows(page, leaders) -> Iterator[Told]:
    """Between two figures of one row, which are read together.

    Two equal ones stand on both sides of what they run from, and so in two rows.
    """
    figures = [text for text in page.texts if text.layer == "dimensions"]
    gaps, names = [], []
    for one, two in itertools.combinations(figures, 2):
        if abs(one.angle_deg - two.angle_deg) > 0.1 or one.text == two.text:
            continue
        gap = _between(one, two)
        if gap is not None:
            gaps.append(gap)
            names.append((one.text, two.text))
    tree = STRtree(gaps)
    for line in leaders:
        for i in tree.query(line, predicate="crosses"):
            one, two = names[i]
            message = f"a leader goes between {one!r} and {two!r}"
            yield "leader through figures", page.name, message


def _between(one, two):
    """The ground between two figures beside each other, both turned alike; None if they aren't.

    Figures stand side by side across their reading: those of running sizes, each beside its line.
    """
    turn = -one.angle_deg
    a, b = (rotate(text.ground, turn, origin=(0.0, 0.0)).bounds for text in (one, two))
    if a[1] > b[1]:
        a, b = b, a
    gap = b[1] - a[3]
    if not -0.1 < gap < _ROW_GAP_MM or min(abs(a[0] - b[0]), abs(a[2] - b[2])) > _ROW_OFF_MM:
        return None
    low, high = max(a[0], b[0]), min(a[2], b[2])
    if high - low < 1.0:
        return None
    return rotate(box(low + 0.2, a[3] - 0.1, high - 0.2, b[1] + 0.1), -turn, origin=(0.0, 0.0))


def _at_figures(page, leaders) -> Iterator[Told]:
    """A leader whose free end stands at a figure seems to speak of it."""
    figures = [text for text in page.texts if text.layer == "dimensions"]
    own = [text for text in page.texts if text.layer != "dimensions"]
    if not figures:
        return
    tree, others = STRtree([text.ground for text in figures]), STRtree([t.ground for t in own])
    for line in leaders:
        for end in (Point(line.coords[0]), Point(line.coords[-1])):
            if own and others.query(end.buffer(_OWN_MM), predicate="intersects").size:
                continue
            for i in tree.query(end.buffer(_AT_MM), predicate="intersects"):
                message = f"a leader ends at {figures[i].text!r}"
                yield "leader at figures", page.name, message


# --- breaks -----------------------------------------------------------------------------


def slivers(page) -> Iterator[Told]:
    """A part of which a break leaves less than half its breadth: too little to be recognized."""
    outlines = [line for layer, _, line in page.lines if layer == "outline"]
    # Elsewhere boards are broken short of purpose, to show their ends alone.
    if not outlines or " Details" not in page.name:
        return
    tree = STRtree(outlines)
    for start, end in _breaks(page):
        length = math.dist(start, end)
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        for across in ((-along[1], along[0]), (along[1], -along[0])):
            depths = [
                _farthest(
                    tree,
                    (start[0] + share * length * along[0], start[1] + share * length * along[1]),
                    across,
                )
                for share in _SHARES
            ]
            if None not in depths and max(depths) < _LEAST_SHARE * length:
                message = f"a part {length:.1f} mm broad shows {max(depths):.1f} mm of itself"
                yield "sliver", page.name, message


def _farthest(tree, start, across) -> float | None:
    """How far from a break the part's far side is: the last of the outlines that begin near to
    the break and follow each other by no more than a wall; None where none is near.
    """
    ray = LineString(
        [
            tuple(s + reach * a for s, a in zip(start, across, strict=True))
            for reach in (_NEXT_MM, _DEEPEST_MM)
        ]
    )
    hits = [ray.intersection(tree.geometries[i]) for i in tree.query(ray, predicate="intersects")]
    far = None
    for reach in sorted(_reach(Point(start), hit) for hit in hits):
        if far is not None and reach > far + _WALL_MM:
            break
        far = reach
    return far


def _reach(start: Point, hit) -> float:
    return max(
        start.distance(Point(p)) for part in getattr(hit, "geoms", (hit,)) for p in part.coords
    )


def _zigzags(fine, axis, level, gap) -> bool:
    """Whether a line leaves the first half slantwise for the other; sides of washers don't."""
    for line in fine:
        for here, there in (line.coords, line.coords[::-1]):
            starts = abs(here[axis] - gap[0]) < 0.01 and abs(here[1 - axis] - level) < 0.01
            if starts and gap[0] + 0.05 < there[axis] < gap[1]:
                return True
    return False


def _breaks(page) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Ends of each break line without its overhang: two level or upright halves with a zigzag."""
    fine = [
        line
        for layer, _, line in page.lines
        if layer == "fine outline" and line.geom_type == "LineString" and len(line.coords) == 2
    ]
    straight: dict[tuple, list] = {}
    for line in fine:
        (u0, v0), (u1, v1) = line.coords[0], line.coords[-1]
        for axis, off in ((0, abs(v0 - v1)), (1, abs(u0 - u1))):
            if off < 1e-3:
                ends = sorted(p[axis] for p in line.coords)
                straight.setdefault((axis, round(line.coords[0][1 - axis], 2)), []).append(ends)
    for (axis, level), halves in straight.items():
        for one, two in itertools.pairwise(sorted(halves)):
            gap, same = two[0] - one[1], abs((one[1] - one[0]) - (two[1] - two[0])) < 0.02
            low, high = one[0] + _OVERHANG_MM, two[1] - _OVERHANG_MM
            if not (same and 0.1 < gap < _MOST_ZIG_MM and high - low > _LEAST_BREAK_MM):
                continue
            if _zigzags(fine, axis, level, (one[1], two[0])):
                ends = (low, level), (high, level)
                yield ends if axis == 0 else tuple(end[::-1] for end in ends)
