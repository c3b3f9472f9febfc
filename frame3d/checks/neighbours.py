"""Which members come near each other, in nearly linear time.

Glossary
--------
class : pairs of members of the same two parts that stand to each other in the same
    way; one is measured for all. Frames repeat bay by bay, so there are few.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.checks.shapes import Shape, shape_of
from frame3d.frame.members import Frame, Member

_STEP_MM, _STEP = 1e-4, 1e-8
"""Places and directions that differ by less count as the same."""
_MOST_PAIRS = 2_000_000
"""Pairs looked at in one go, to bound memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The members of a frame with their shapes and places.

    Parameters
    ----------
    members : tuple of Member
    shapes : tuple of Shape
        One for each distinct part.
    part : (n,) int
        Number of each member's shape.
    rotation : (n, 3, 3) float
    shift : (n, 3) float, mm
    """

    members: tuple[Member, ...]
    shapes: tuple[Shape, ...]
    part: np.ndarray
    rotation: np.ndarray
    shift: np.ndarray

    def shape(self, member: int) -> Shape:
        """The shape of a member, in its own axes."""
        return self.shapes[self.part[member]]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairClass:
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


def scene_of(frame: Frame) -> Scene:
    """The members of ``frame`` as shapes in their places."""
    numbers: dict[int, int] = {}
    marks: dict[tuple, int] = {}
    shapes, part, rows = [], [], []
    for member in frame.members:
        key = id(member.part)
        if key not in numbers:
            # Two objects of one mark and one value are one part.
            equal = marks.setdefault((member.mark, member.part), len(shapes))
            if equal == len(shapes):
                shapes.append(shape_of(member.part))
            numbers[key] = equal
        part.append(numbers[key])
        place = member.placement
        rows.append((place.x, place.y, place.z, place.origin))
    placed = np.array(rows, dtype=float).reshape(-1, 4, 3)
    return Scene(
        members=frame.members,
        shapes=tuple(shapes),
        part=np.array(part, dtype=int),
        rotation=np.swapaxes(placed[:, :3], 1, 2),
        shift=placed[:, 3],
    )


def near_pairs(scene: Scene, reach_mm: float) -> list[PairClass]:
    """All pairs of members that may be nearer than ``reach_mm``, by classes.

    Boxes along the frame's axes round every rod and hull are swept along Y, the way
    that a frame repeats itself; each is compared with those that begin before it ends.
    """
    member, primitive, low, high = _boxes(scene, reach_mm / 2)
    order = np.argsort(low[:, 1], kind="stable")
    low, high = low[order], high[order]
    until = np.searchsorted(low[:, 1], high[:, 1], side="right")
    counts = until - np.arange(len(order)) - 1
    found_a, found_b = [], []
    stops = _stretches(counts)
    for begin, end in zip(stops, stops[1:], strict=False):
        one = np.repeat(np.arange(begin, end), counts[begin:end])
        within = np.cumsum(counts[begin:end]) - counts[begin:end]
        two = one + 1 + np.arange(len(one)) - np.repeat(within, counts[begin:end])
        keep = (low[one, 0] <= high[two, 0]) & (low[two, 0] <= high[one, 0])
        keep &= (low[one, 2] <= high[two, 2]) & (low[two, 2] <= high[one, 2])
        keep &= member[order[one]] != member[order[two]]
        found_a.append(order[one[keep]])
        found_b.append(order[two[keep]])
    first, second = np.concatenate(found_a), np.concatenate(found_b)
    return _classes(scene, member, primitive, first, second)


def _stretches(counts: np.ndarray) -> list[int]:
    """Where to stop so that no stretch holds more pairs than fit well in memory."""
    if not len(counts):
        return [0, 0]
    total = np.cumsum(counts)
    marks = np.arange(_MOST_PAIRS, total[-1], _MOST_PAIRS)
    return sorted({0, *np.searchsorted(total, marks).tolist(), len(counts)})


def _boxes(scene: Scene, margin_mm: float):
    """For every primitive of every member: member, number, lowest and highest corner."""
    members, numbers, lows, highs = [], [], [], []
    for number, shape in enumerate(scene.shapes):
        which = np.flatnonzero(scene.part == number)
        rotation, shift = scene.rotation[which], scene.shift[which]
        for k in range(shape.count):
            if k < len(shape.radius_mm):
                low, high = _rod_bounds(shape, k, rotation, shift)
            else:
                corners = shape.hulls[k - len(shape.radius_mm)].vertices
                placed = np.einsum("nij,vj->nvi", rotation, corners) + shift[:, None]
                low, high = placed.min(axis=1), placed.max(axis=1)
            members.append(which)
            numbers.append(np.full(len(which), k))
            lows.append(low - margin_mm)
            highs.append(high + margin_mm)
    if not members:
        return np.zeros(0, int), np.zeros(0, int), np.zeros((0, 3)), np.zeros((0, 3))
    return (
        np.concatenate(members), np.concatenate(numbers), np.vstack(lows), np.vstack(highs)
    )  # fmt: skip


def _rod_bounds(shape: Shape, k: int, rotation: np.ndarray, shift: np.ndarray):
    one = shape.rods.take(np.full(len(shift), k)).placed(rotation, shift)
    ends = np.stack([one.start, one.at(one.length)])
    low, high = ends.min(axis=0), ends.max(axis=0)
    bend = float(one.curvature[0]) if len(shift) else 0.0
    if bend:
        # An arc runs farthest along an axis where its tangent is square to it.
        turn, radius = bend * float(one.length[0]), 1 / bend
        centre = one.start + radius * one.normal
        size = radius * np.hypot(one.tangent, one.normal)
        for sign, outer in ((1.0, high), (-1.0, low)):
            at = np.arctan2(sign * one.tangent, -sign * one.normal) % (2 * np.pi)
            reached = np.where(at <= turn, centre + sign * size, outer)
            np.maximum(outer, reached, out=outer) if sign > 0 else np.minimum(
                outer, reached, out=outer
            )
    radius = shape.radius_mm[k]
    return low - radius, high + radius


def _classes(scene: Scene, member, primitive, first, second) -> list[PairClass]:
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
    primitives: list[set] = [set() for _ in lead]
    for code in seen.tolist():
        primitives[code // span**2].add((code // span % span, code % span))
    return [
        PairClass(
            first=a[order[bounds[k] : bounds[k + 1]]],
            second=b[order[bounds[k] : bounds[k + 1]]],
            primitives=frozenset(primitives[k]),
        )
        for k in range(len(lead))
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


def _keys(scene: Scene, a: np.ndarray, b: np.ndarray) -> np.ndarray:
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


__all__ = ["PairClass", "Scene", "near_pairs", "scene_of"]
