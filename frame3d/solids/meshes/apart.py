"""Keeping members apart in a file that has no members.

An STL file is a heap of triangles. Where two members meet, as boards do end to end and
face to face at a joint, an edge of the one can lie exactly on an edge of the other; four
triangles then share it, and a reader cannot tell whose it is nor call the heap
closed. Here one of the two edges is halved: no surface moves by that, each member
stays closed, and every edge in the file has its two triangles.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from frame3d.solids.meshes.mesh_parts import Mesh

Splits = Mapping[tuple[int, int], float]
"""Where to split each edge, given by its two points in either order, from 0 to 1."""

# Odd multipliers, so that no digit of a coordinate is lost in the sum.
_MIXERS = np.array(
    [0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9]
    + [0x27D4EB2F165667C5, 0x85EBCA77C2B2AE63],
    dtype=np.uint64,
)


def placed_points(mesh: Mesh, matrix: np.ndarray) -> np.ndarray:
    """The corners of ``mesh`` moved by ``matrix``, (4, 4), in single precision, (n, 3)."""
    placed = mesh.corners @ matrix[:3, :3].T + matrix[:3, 3]
    # Adding zero makes negative zero positive: they are one place but two patterns.
    single: np.ndarray = placed.astype("<f4") + np.float32(0)
    return single


def find_splits(meshes: Sequence[Mesh], matrices: Sequence[np.ndarray]) -> dict[int, Splits]:
    """For each member that needs it, by number, the edges to split.

    An edge can be another member's too only where both its ends are. That holds for edges between
    faces and for those that a flat face is parted by: boards that lie on each other with the same
    holes have their faces parted alike.
    """
    placed = [placed_points(mesh, m) for mesh, m in zip(meshes, matrices, strict=True)]
    own: dict[int, np.ndarray] = {}
    edges_of: dict[int, np.ndarray] = {}
    for mesh in meshes:
        if id(mesh) not in own:
            own[id(mesh)] = np.unique(mesh.point_of)
    keys, owners, places = [], [], []
    for number, shared in _shared(placed, [own[id(mesh)] for mesh in meshes]).items():
        mesh = meshes[number]
        if id(mesh) not in edges_of:
            edges_of[id(mesh)] = mesh_edges(mesh)
        is_shared = np.zeros(len(mesh.corners), dtype=bool)
        is_shared[shared] = True
        edges = edges_of[id(mesh)]
        edges = edges[is_shared[edges].all(axis=1)]
        keys.append(_keys(placed[number][edges]))
        owners.append(np.full(len(edges), number))
        places.append(edges)
    if not keys:
        return {}
    return _repeated(np.concatenate(keys), np.concatenate(owners), np.concatenate(places))


def mesh_edges(mesh: Mesh) -> np.ndarray:
    """The edges of ``mesh``, each once, as pairs of points with the lower first, (k, 2)."""
    triangles = mesh.closed_triangles
    edges = np.concatenate([triangles[:, (0, 1)], triangles[:, (1, 2)], triangles[:, (2, 0)]])
    # In a closed mesh each is run once each way.
    once: np.ndarray = edges[edges[:, 0] < edges[:, 1]]
    return once


def _shared(placed: Sequence[np.ndarray], own: Sequence[np.ndarray]) -> dict[int, np.ndarray]:
    """For each member that has any, by number, its points that lie where one of another does."""
    if not own:
        return {}
    keys = np.concatenate([_point_keys(at[points]) for at, points in zip(placed, own, strict=True)])
    owners = np.repeat(np.arange(len(own)), [len(points) for points in own])
    order = np.argsort(keys, kind="stable")
    begins = np.concatenate([[True], keys[order][1:] != keys[order][:-1]])
    starts = np.flatnonzero(begins)
    # Owners rise within a place: those of several have another last than first.
    by_place = owners[order]
    several = by_place[starts] != by_place[np.append(starts[1:], len(keys)) - 1]
    found = np.zeros(len(keys), dtype=bool)
    found[order] = several[np.cumsum(begins) - 1]
    first = np.cumsum([0, *(len(points) for points in own)])
    return {
        int(number): own[number][found[first[number] : first[number + 1]]]
        for number in np.unique(owners[found])
    }


def split(mesh: Mesh, points: np.ndarray, splits: Splits) -> np.ndarray:
    """The triangles of ``mesh`` at ``points`` with edges split, (m, 3, 3) in single precision."""
    touched, added = _touched(mesh.closed_triangles, splits), []
    for triangle in mesh.closed_triangles[touched].tolist():
        outline = list(_outline(triangle, points, splits))
        # A fan from one of the new points has no flat triangle.
        first = next(k for k, (_, new) in enumerate(outline) if new)
        ring = [point for point, _ in outline[first:] + outline[:first]]
        added += [(ring[0], ring[k], ring[k + 1]) for k in range(1, len(ring) - 1)]
    kept = points[mesh.closed_triangles[~touched]]
    return np.concatenate([kept, np.array(added, dtype="<f4").reshape(-1, 3, 3)])


def _touched(triangles: np.ndarray, splits: Splits) -> np.ndarray:
    """Which triangles have an edge that is split, (m,) bool."""
    ends = triangles[:, ((0, 1), (1, 2), (2, 0))]
    count = int(triangles.max()) + 1
    numbers = ends.min(axis=2) * count + ends.max(axis=2)
    wanted = [min(edge) * count + max(edge) for edge in splits]
    is_split: np.ndarray = np.isin(numbers, wanted)
    touched: np.ndarray = is_split[:, 0] | is_split[:, 1] | is_split[:, 2]
    return touched


def _outline(
    triangle: list[int], points: np.ndarray, splits: Splits
) -> Iterator[tuple[np.ndarray, bool]]:
    """The corners of ``triangle`` with the new points between them; True for new ones."""
    for here, there in zip(triangle, triangle[1:] + triangle[:1], strict=True):
        yield points[here], False
        low, high = min(here, there), max(here, there)
        share = splits.get((low, high))
        if share is not None:
            a, b = points[low].astype(float), points[high].astype(float)
            yield (a + share * (b - a)).astype("<f4"), True


def _keys(edges: np.ndarray) -> np.ndarray:
    """A number for each edge, (k, 2, 3) in single precision, the same from either end."""
    ends = [_point_keys(edges[:, k]) for k in (0, 1)]
    low, high = np.minimum(*ends), np.maximum(*ends)
    keys: np.ndarray = (low ^ (low >> np.uint64(29))) * _MIXERS[3] + high * _MIXERS[4]
    return keys


def _point_keys(points: np.ndarray) -> np.ndarray:
    """A number for each place in single precision, (n, 3)."""
    bits = np.ascontiguousarray(points).view("<u4").astype(np.uint64)
    keys: np.ndarray = (bits * _MIXERS[:3]).sum(axis=1, dtype=np.uint64)
    return keys


def _repeated(keys: np.ndarray, owners: np.ndarray, places: np.ndarray) -> dict[int, Splits]:
    """The edges whose key came before, shared out so that no two are split alike."""
    order = np.argsort(keys, kind="stable")
    same = np.flatnonzero(keys[order][1:] == keys[order][:-1]) + 1
    found: dict[int, dict[tuple[int, int], float]] = defaultdict(dict)
    before, rank = -2, 0
    for position in same.tolist():
        rank = rank + 1 if position == before + 1 else 1
        before = position
        entry = order[position]
        low, high = places[entry].tolist()
        found[int(owners[entry])][(low, high)] = 1 / (rank + 1)
    return dict(found)
