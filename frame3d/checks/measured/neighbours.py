"""Which members come near each other, in nearly linear time.

Glossary
--------
class : pairs of members of the same two parts that stand to each other in the same
    way; one is measured for all. Frames repeat bay by bay, so there are few.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from msgspec import Struct

from frame3d.checks.measured.rods_and_hulls import RodsAndHulls, shape_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import SKIN
from frame3d.geometry.curves import joined
from frame3d.geometry.hulls import Hull

_STEP_MM, _STEP = 1e-4, 1e-8
"""Places and directions that differ by less count as the same."""
_MOST_PAIRS = 2_000_000
"""Pairs looked at in one go, to bound memory."""
_Boxed = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
"""Numbers of members, numbers of their primitives, lowest and highest corners."""


class PlacedMembers(Struct, frozen=True, kw_only=True):
    """The members of a frame with their shapes and places.

    Parameters
    ----------
    members : tuple of Member
    shapes : tuple of RodsAndHulls
        One for each distinct part.
    part : (n,) int
        Number of each member's shape.
    rotation : (n, 3, 3) float
    shift : (n, 3) float, mm
    """

    members: tuple[Member, ...]
    shapes: tuple[RodsAndHulls, ...]
    part: np.ndarray
    rotation: np.ndarray
    shift: np.ndarray

    def shape(self, member: int) -> RodsAndHulls:
        """The shape of a member, in its own axes."""
        return self.shapes[int(self.part[member])]


class PairClass(Struct, frozen=True, kw_only=True):
    """Pairs of members that stand to each other in the same way.

    Parameters
    ----------
    first, second : (k,) int
        Numbers of the members of every pair.
    primitives : frozenset of (int, int)
        Which primitives of the two come near each other.
    """

    first: np.ndarray
    second: np.ndarray
    primitives: frozenset[tuple[int, int]]


def scene_of(frame: Frame, members: tuple[Member, ...] | None = None) -> PlacedMembers:
    """``members`` as shapes in their places; without them those of ``frame`` that are no cover."""
    if members is None:
        members = tuple(member for member in frame.members if member.role not in SKIN)
    numbers: dict[int, int] = {}
    marks: dict[tuple[str, Part], int] = {}
    shapes: list[RodsAndHulls] = []
    part: list[int] = []
    rows: list[float] = []
    for member in members:
        key = id(member.part)
        if key not in numbers:
            # Two objects of one mark and one value are one part.
            equal = marks.setdefault((member.mark, member.part), len(shapes))
            if equal == len(shapes):
                shapes.append(shape_of(member.part))
            numbers[key] = equal
        part.append(numbers[key])
        place = member.placement
        rows += (*place.x, *place.y, *place.z, *place.origin)
    placed = np.array(rows, dtype=float).reshape(-1, 4, 3)
    return PlacedMembers(
        members=members,
        shapes=tuple(shapes),
        part=np.array(part, dtype=int),
        rotation=np.swapaxes(placed[:, :3], 1, 2),
        shift=placed[:, 3],
    )


def near_pairs(scene: PlacedMembers, reach_mm: float) -> list[PairClass]:
    """All pairs of members that may be nearer than ``reach_mm``, by classes.

    Boxes along the frame's axes round every rod and hull are swept along Y, the way
    that a frame repeats itself; each is compared with those that begin before it ends.
    """
    member, primitive, low, high = _boxes(scene, reach_mm / 2)
    order = np.argsort(low[:, 1], kind="stable")
    # Columns of their own, since picking from rows takes longer.
    (x_low, y_low, z_low), (x_high, y_high, z_high) = (
        np.ascontiguousarray(corner[order].T) for corner in (low, high)
    )
    until = np.searchsorted(y_low, y_high, side="right")
    counts = until - np.arange(len(order)) - 1
    found_a, found_b = [], []
    stops = _stretches(counts)
    for begin, end in zip(stops, stops[1:], strict=False):
        one = np.repeat(np.arange(begin, end), counts[begin:end])
        within = np.cumsum(counts[begin:end]) - counts[begin:end]
        two = one + 1 + np.arange(len(one)) - np.repeat(within, counts[begin:end])
        # Across first: of what is left, few are looked at in height.
        keep = (x_low[one] <= x_high[two]) & (x_low[two] <= x_high[one])
        one, two = one[keep], two[keep]
        keep = (z_low[one] <= z_high[two]) & (z_low[two] <= z_high[one])
        one, two = order[one[keep]], order[two[keep]]
        keep = member[one] != member[two]
        found_a.append(one[keep])
        found_b.append(two[keep])
    first, second = np.concatenate(found_a), np.concatenate(found_b)
    return _classes(scene, member, primitive, first, second)


def _stretches(counts: np.ndarray) -> list[int]:
    """Where to stop so that no stretch holds more pairs than fit well in memory."""
    if not len(counts):
        return [0, 0]
    total = np.cumsum(counts)
    marks = np.arange(_MOST_PAIRS, total[-1], _MOST_PAIRS)
    return sorted({0, *np.searchsorted(total, marks).tolist(), len(counts)})


def _boxes(scene: PlacedMembers, margin_mm: float) -> _Boxed:
    """For every primitive of every member: member, number, lowest and highest corner.

    All rods are bounded in one go, and all hulls of as many corners in another: there are
    hundreds of distinct primitives, most of which stand in few places.
    """
    of_shape = [np.flatnonzero(scene.part == number) for number in range(len(scene.shapes))]
    rods: list[tuple[np.ndarray, int]] = []
    hulls: dict[int, list[tuple[np.ndarray, int, Hull]]] = defaultdict(list)
    for which, shape in zip(of_shape, scene.shapes, strict=True):
        straight = len(shape.radius_mm)
        rods += [(which, k) for k in range(straight)]
        for k, hull in enumerate(shape.hulls, start=straight):
            hulls[len(hull.vertices)].append((which, k, hull))
    found = []
    if rods:
        member, number, kind = _spread([which for which, _ in rods], [k for _, k in rods])
        found.append((member, number, *_rod_bounds(scene, member, kind)))
    for group in hulls.values():
        member, number, kind = _spread([g[0] for g in group], [g[1] for g in group])
        corners = np.stack([hull.vertices for _, _, hull in group])[kind]
        turned = corners @ np.swapaxes(scene.rotation[member], 1, 2)
        # With the corners in front numpy looks through all members at once.
        placed = np.ascontiguousarray(turned.swapaxes(0, 1)) + scene.shift[member]
        found.append((member, number, placed.min(axis=0), placed.max(axis=0)))
    if not found:
        return np.zeros(0, int), np.zeros(0, int), np.zeros((0, 3)), np.zeros((0, 3))
    member, number, low, high = (np.concatenate(column) for column in zip(*found, strict=True))
    return member, number, low - margin_mm, high + margin_mm


def _spread(
    which: list[np.ndarray], numbers: list[int]
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The members of all kinds of primitive in a row, the primitive's number, and its kind."""
    counts = [len(members) for members in which]
    kind = np.repeat(np.arange(len(which)), counts)
    return np.concatenate(which), np.array(numbers)[kind], kind


def _rod_bounds(
    scene: PlacedMembers, member: np.ndarray, kind: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest corner of rods, ``kind`` being their numbers in all shapes' rods."""
    rods = joined([shape.rods for shape in scene.shapes]).take(kind)
    one = rods.placed(scene.rotation[member], scene.shift[member])
    ends = np.stack([one.start, one.at(one.length)])
    low, high = ends.min(axis=0), ends.max(axis=0)
    bent = np.flatnonzero(one.curvature)
    if len(bent):
        # An arc runs farthest along an axis where its tangent is square to it.
        arcs = one.take(bent)
        turn, radius = (arcs.curvature * arcs.length)[:, None], 1 / arcs.curvature[:, None]
        centre = arcs.start + radius * arcs.normal
        size = radius * np.hypot(arcs.tangent, arcs.normal)
        at = np.arctan2(arcs.tangent, -arcs.normal) % (2 * np.pi)
        high[bent] = np.maximum(high[bent], np.where(at <= turn, centre + size, -np.inf))
        at = np.arctan2(-arcs.tangent, arcs.normal) % (2 * np.pi)
        low[bent] = np.minimum(low[bent], np.where(at <= turn, centre - size, np.inf))
    radius = np.concatenate([shape.radius_mm for shape in scene.shapes])[kind][:, None]
    return low - radius, high + radius


def _classes(
    scene: PlacedMembers,
    member: np.ndarray,
    primitive: np.ndarray,
    first: np.ndarray,
    second: np.ndarray,
) -> list[PairClass]:
    """Group pairs of primitives by the way their members stand to each other."""
    one, two = member[first], member[second]
    # The part with the lower number first, and of one part the member with the lower.
    swap = (scene.part[one] > scene.part[two]) | (
        (scene.part[one] == scene.part[two]) & (one > two)
    )
    one, two = np.where(swap, two, one), np.where(swap, one, two)
    prim_a = np.where(swap, primitive[second], primitive[first])
    prim_b = np.where(swap, primitive[first], primitive[second])
    size = len(scene.members)
    pairs, _, inverse = _distinct(one * size + two)
    a, b = pairs // size, pairs % size
    _, lead, group = _distinct(_keys(scene, a, b))
    order = np.argsort(group, kind="stable")
    bounds = np.searchsorted(group[order], np.arange(len(lead) + 1))
    span = 1 + max((shape.count for shape in scene.shapes), default=0)
    seen, _, _ = _distinct((group[inverse] * span + prim_a) * span + prim_b)
    primitives: list[set[tuple[int, int]]] = [set() for _ in lead]
    for code in seen.tolist():
        primitives[code // span**2].add((code // span % span, code % span))
    a, b, stops = a[order], b[order], bounds.tolist()
    return [
        PairClass(first=a[low:high], second=b[low:high], primitives=frozenset(near))
        for low, high, near in zip(stops, stops[1:], primitives, strict=False)
    ]


def _distinct(values: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Each value once, rising; where it first stands; and which of them each value is.

    As numpy's unique does it, which loads its masked arrays for that, a tenth of a check.
    """
    order = np.argsort(values, kind="stable")
    ranked = values[order]
    is_new = np.ones(len(values), dtype=bool)
    is_new[1:] = ranked[1:] != ranked[:-1]
    which = np.empty(len(values), dtype=int)
    which[order] = np.cumsum(is_new) - 1
    return ranked[is_new], order[is_new], which


def _keys(scene: PlacedMembers, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """A number for each pair that is the same for pairs that stand alike."""
    turned = np.einsum("nji,njk->nik", scene.rotation[a], scene.rotation[b])
    moved = np.einsum("nji,nj->ni", scene.rotation[a], scene.shift[b] - scene.shift[a])
    rows = np.column_stack(
        [
            scene.part[a], scene.part[b],
            np.rint(turned.reshape(len(a), 9) / _STEP), np.rint(moved / _STEP_MM),
        ]
    ).astype(np.int64)  # fmt: skip
    # Column by column, as the finisher of splitmix64 does it. Unsigned, or the shift
    # would make a number and its negative alike. By chance two ways of standing are taken
    # for one in about one of 1e12 frames with a thousand of them.
    key = np.zeros(len(rows), dtype=np.uint64)
    for column in rows.T.astype(np.uint64):
        key = (key ^ column) * np.uint64(0xBF58476D1CE4E5B9)
        key ^= key >> np.uint64(31)
        key *= np.uint64(0x94D049BB133111EB)
        key ^= key >> np.uint64(29)
    return key
