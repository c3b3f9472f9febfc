"""How far members are from each other: gaps between their rods and hulls.

Ends of rods are first taken as round, which finds all clashes and some that are none;
where the nearest place is an end, a plane that separates the square-cut bodies is
looked for, and if there is one they do not touch.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from frame3d.checks.measured.neighbours import PlacedMembers
from frame3d.checks.measured.rods_and_hulls import RodsAndHulls
from frame3d.geometry.curves import Curves
from frame3d.geometry.distance import curve_box_distance, curve_distance
from frame3d.geometry.hulls import Hull, hull_gap, segment_hull_distance
from frame3d.geometry.segments import Boxes, box_gap

_Pair = tuple[int, int, int]
"""A job's number, and which rod or hull of its two members."""
_MixedPair = tuple[int, int, int, bool]
"""A job's number, rod, hull, and whether the rod is the second member's."""

TOUCH_MM = 0.25
"""Parts that overlap by less than this touch; arcs are bounded and rings are polygons."""
_TOLERANCE_MM = 0.02
_FAN = 16


class PairToMeasure(Struct, frozen=True, kw_only=True):
    """Two members to be measured.

    Parameters
    ----------
    first, second : int
        Their numbers in the scene.
    primitives : tuple of (int, int)
        Those of the two that count.
    """

    first: int
    second: int
    primitives: tuple[tuple[int, int], ...]


def gaps(scene: PlacedMembers, jobs: list[PairToMeasure], reach_mm: float) -> np.ndarray:
    """The gap of each job, (n,) mm: below 0 they overlap by so much, at ``reach_mm`` or more.

    Gaps above ``reach_mm`` are told as that. Those between two rods are exact; where one
    of the two is a hull, a gap above 0 may be told as less, by the box round the hull.
    """
    rods: list[_Pair] = []
    mixed: list[_MixedPair] = []
    solid: list[_Pair] = []
    for number, job in enumerate(jobs):
        shape_a, shape_b = scene.shape(job.first), scene.shape(job.second)
        bars_a, bars_b = len(shape_a.radius_mm), len(shape_b.radius_mm)
        for a, b in job.primitives:
            if a < bars_a and b < bars_b:
                rods.append((number, a, b))
            elif a < bars_a:
                mixed.append((number, a, b - bars_b, False))
            elif b < bars_b:
                mixed.append((number, b, a - bars_a, True))
            else:
                solid.append((number, a - bars_a, b - bars_b))
    result = np.full(len(jobs), reach_mm)
    _rod_gaps(scene, jobs, rods, reach_mm, result)
    _mixed_gaps(scene, jobs, mixed, reach_mm, result)
    _hull_gaps(scene, jobs, solid, result)
    return result


def _placed_rods(scene: PlacedMembers, which: list[tuple[int, int]]) -> tuple[Curves, np.ndarray]:
    """Rods of members, placed, and their radii; ``which`` holds member and number."""
    members = np.array([m for m, _ in which])
    shapes = [(scene.shape(m).rods, k) for m, k in which]
    own = Curves(
        start=np.array([r.start[k] for r, k in shapes]),
        tangent=np.array([r.tangent[k] for r, k in shapes]),
        normal=np.array([r.normal[k] for r, k in shapes]),
        curvature=np.array([r.curvature[k] for r, k in shapes]),
        length=np.array([r.length[k] for r, k in shapes]),
    )
    radius = np.array([scene.shape(m).radius_mm[k] for m, k in which])
    return own.placed(scene.rotation[members], scene.shift[members]), radius


def _rod_gaps(
    scene: PlacedMembers,
    jobs: list[PairToMeasure],
    rods: list[_Pair],
    reach_mm: float,
    result: np.ndarray,
) -> None:
    if not rods:
        return
    a, radius_a = _placed_rods(scene, [(jobs[n].first, k) for n, k, _ in rods])
    b, radius_b = _placed_rods(scene, [(jobs[n].second, k) for n, _, k in rods])
    both = radius_a + radius_b
    found = curve_distance(a, b, _TOLERANCE_MM, enough_mm=both + reach_mm)
    gap = np.where(found.lower >= both + reach_mm - 1e-9, reach_mm, found.upper - both)
    on_a, on_b = a.at(found.along_a), b.at(found.along_b)
    # Of two that meet end to end the nearest points need not be found right at their ends.
    at_end = [_near_end(found.along_a, a.length, both), _near_end(found.along_b, b.length, both)]
    ends = at_end[0] | at_end[1]
    for k, (number, prim_a, prim_b) in enumerate(rods):
        if gap[k] >= result[number]:
            continue
        if ends[k] and gap[k] < reach_mm:
            job = jobs[number]
            tangents = [
                side * end
                for curve, along, near in zip(
                    (a, b), (found.along_a, found.along_b), at_end, strict=True
                )
                if near[k]
                for one in (curve.take(np.array([k])),)
                for end in one.tangent_at(np.where(along[k] < one.length / 2, 0.0, one.length))
                for side in (1.0, -1.0)
            ]
            split = _apart(
                _one(scene.shape(job.first), prim_a), _one(scene.shape(job.second), prim_b),
                scene, job, tangents, on_b[k] - on_a[k],
            )  # fmt: skip
            gap[k] = max(gap[k], min(split, reach_mm))
        result[number] = min(result[number], gap[k])


def _near_end(along: np.ndarray, length: np.ndarray, within_mm: np.ndarray) -> np.ndarray:
    near: np.ndarray = (along < within_mm) | (along > length - within_mm)
    return near


def _one(shape: RodsAndHulls, primitive: int) -> RodsAndHulls:
    """The shape of one primitive of ``shape``."""
    bars = len(shape.radius_mm)
    if primitive < bars:
        only = np.array([primitive])
        return RodsAndHulls(rods=shape.rods.take(only), radius_mm=shape.radius_mm[only])
    none = np.zeros(0, dtype=int)
    return RodsAndHulls(
        rods=shape.rods.take(none), radius_mm=shape.radius_mm[none],
        hulls=(shape.hulls[primitive - bars],), boxed=(shape.boxed[primitive - bars],),
    )  # fmt: skip


def _apart(
    one: RodsAndHulls,
    two: RodsAndHulls,
    scene: PlacedMembers,
    job: PairToMeasure,
    tangents: list[np.ndarray],
    between: np.ndarray,
) -> float:
    """The widest gap between two shapes seen along any of a fan of directions, mm."""
    size = float(np.linalg.norm(between))
    toward = between / size if size > 1e-9 else np.zeros(3)
    best = -math.inf
    for tangent in tangents:
        for share in np.linspace(0.0, 1.0, _FAN) if size > 1e-9 else (0.0,):
            way = (1 - share) * tangent + share * toward
            length = float(np.linalg.norm(way))
            if length < 1e-6:
                continue
            way /= length
            _, high = one.reach(scene.rotation[job.first], scene.shift[job.first], way)
            low, _ = two.reach(scene.rotation[job.second], scene.shift[job.second], way)
            best = max(best, low - high)
            if best > -TOUCH_MM / 2:
                return best
    return best


def _mixed_gaps(
    scene: PlacedMembers,
    jobs: list[PairToMeasure],
    mixed: list[_MixedPair],
    reach_mm: float,
    result: np.ndarray,
) -> None:
    """Rods against hulls: by the boxes round the hulls first, then by the hulls."""
    if not mixed:
        return
    sides = [
        (jobs[n].second, jobs[n].first) if swapped else (jobs[n].first, jobs[n].second)
        for n, _, _, swapped in mixed
    ]
    rods, radius = _placed_rods(
        scene, [(s[0], k) for s, (_, k, _, _) in zip(sides, mixed, strict=True)]
    )
    hulls = [(s[1], k) for s, (_, _, k, _) in zip(sides, mixed, strict=True)]
    boxes = _boxes(scene, hulls)
    found = curve_box_distance(rods, boxes, _TOLERANCE_MM, enough_mm=radius + reach_mm)
    gap = np.where(found.lower >= radius + reach_mm - 1e-9, reach_mm, found.upper - radius)
    for k, (number, prim, hull, swapped) in enumerate(mixed):
        if gap[k] >= result[number]:
            continue
        if gap[k] >= -TOUCH_MM:
            result[number] = gap[k]
            continue
        member, shape = sides[k][1], scene.shape(sides[k][1])
        one = rods.take(np.array([k]))
        if not shape.boxed[hull]:
            body = shape.hulls[hull].placed(scene.rotation[member], scene.shift[member])
            gap[k] = min(_rod_hull(one, body) - radius[k], reach_mm)
        if gap[k] < -TOUCH_MM:
            split = _square_ends(scene, jobs[number], one, sides[k], prim, hull, swapped)
            gap[k] = max(gap[k], min(split, reach_mm))
        result[number] = min(result[number], gap[k])


def _square_ends(
    scene: PlacedMembers,
    job: PairToMeasure,
    rod: Curves,
    side: tuple[int, int],
    prim: int,
    hull: int,
    swapped: bool,
) -> float:
    """The gap of a rod with square-cut ends from a hull, along the likely directions."""
    bar = _one(scene.shape(side[0]), prim)
    shape = scene.shape(side[1])
    body = _one(shape, len(shape.radius_mm) + hull)
    normals = shape.hulls[hull].normals @ scene.rotation[side[1]].T
    ways = [*normals, *-normals]
    for along in (np.zeros(1), rod.length):
        tangent = rod.tangent_at(along)[0]
        ways += [tangent, -tangent]
    shapes = (body, bar) if swapped else (bar, body)
    return _apart(*shapes, scene, job, ways, np.zeros(3))


def _rod_hull(rod: Curves, hull: Hull) -> float:
    """Distance of a rod's axis from a hull: an arc by chords that leave it by 0.02 mm."""
    bend, length = float(rod.curvature[0]), float(rod.length[0])
    count = 1
    if bend:
        count = max(1, int(np.ceil(length * np.sqrt(bend / (8 * _TOLERANCE_MM)))))
    stops = rod.take(np.zeros(count + 1, dtype=int)).at(np.linspace(0.0, length, count + 1))
    return float(segment_hull_distance(stops[:-1], stops[1:], hull).min())


def _boxes(scene: PlacedMembers, which: list[tuple[int, int]]) -> Boxes:
    """Boxes along the parts' own axes round their hulls; ``which`` holds member and number."""
    members = np.array([m for m, _ in which])
    # A hull stands in many pairs and has its bounds worked out once.
    hulls = [scene.shape(m).hulls[k] for m, k in which]
    known = {key: hull.bounds() for key, hull in {id(hull): hull for hull in hulls}.items()}
    bounds = np.array([known[id(hull)] for hull in hulls])
    middle, half = bounds.mean(axis=1), (bounds[:, 1] - bounds[:, 0]) / 2
    rotation = scene.rotation[members]
    return Boxes(
        centre=np.einsum("nij,nj->ni", rotation, middle) + scene.shift[members],
        axes=np.swapaxes(rotation, 1, 2),
        half=half,
    )


def _hull_gaps(
    scene: PlacedMembers,
    jobs: list[PairToMeasure],
    solid: list[_Pair],
    result: np.ndarray,
) -> None:
    if not solid:
        return
    a = _boxes(scene, [(jobs[n].first, k) for n, k, _ in solid])
    b = _boxes(scene, [(jobs[n].second, k) for n, _, k in solid])
    gap = box_gap(a, b)
    for k, (number, hull_a, hull_b) in enumerate(solid):
        if gap[k] >= result[number]:
            continue
        job = jobs[number]
        shapes = scene.shape(job.first), scene.shape(job.second)
        if not (shapes[0].boxed[hull_a] and shapes[1].boxed[hull_b]) and gap[k] < -TOUCH_MM:
            one, two = (
                shape.hulls[hull].placed(scene.rotation[member], scene.shift[member])
                for shape, hull, member in zip(
                    shapes, (hull_a, hull_b), (job.first, job.second), strict=True
                )
            )
            gap[k] = hull_gap(one, two)
        result[number] = min(result[number], gap[k])
