"""A frame as a scale model for a printer that lays down material."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Part, Plate, Tube
from frame3d.geometry.paths import Line, PlanePath
from frame3d.solids.write.trimesh_scene import to_trimesh

if TYPE_CHECKING:
    import trimesh

_AROUND = 24
_STEP_RAD = math.radians(3)


def scale_model(
    frame: Frame, *, scale: float = 1 / 50, wall_mm: float = 1.0
) -> list[trimesh.Trimesh]:
    """The bodies that print as ``frame``, each closed, nothing of them thinner than asked.

    Made from :func:`to_trimesh` of what the shop makes: tubes full and boards whole, without
    holes and laps; plates as blocks. What would be thinner than the wall is made as thick, and
    what then touches is one body. Bolts, screws and clamps are left out, so what they alone hold
    off the rest is a body of its own.

    Parameters
    ----------
    frame : Frame
    scale : float
        Size of the print against that of the frame, 1/50 for one to fifty.
    wall_mm : float
        What the printer can lay down at least, mm of the print.

    Returns
    -------
    list of trimesh.Trimesh
        mm of the print, the largest first; one body, or those that are loose from each other.

    Raises
    ------
    ImportError
        If manifold3d is not there; it is an extra of this package.
    ValueError
        If ``scale`` or ``wall_mm`` is not above 0.
    SolidError
        If a part cannot be made.

    Examples
    --------
    >>> import frame3d
    >>> frame = frame3d.lay_out(frame3d.design_from({
    ...     "profile": {"style": "quonset", "width": "10 ft"},
    ...     "bays": {"count": 2, "spacing": "4 ft"},
    ...     "rail": [{"at": "ridge"}],
    ... }))
    >>> bodies = scale_model(frame, scale=1 / 40, wall_mm=1.2)
    >>> all(body.is_watertight for body in bodies)
    True
    >>> print(f"{len(bodies)} body, {bodies[0].extents[1]:.0f} mm long")
    1 body, 63 mm long

    Each can be written for the printer: ``bodies[0].export("tunnel.stl")``.
    """
    if not (scale > 0 and wall_mm > 0):
        raise ValueError(f"got a scale of {scale} and a wall of {wall_mm} mm; give both above 0")
    import trimesh

    try:
        import manifold3d  # noqa: F401  # what trimesh joins bodies with
    except ImportError as missing:
        raise ImportError(
            "scale_model needs manifold3d; install it with: pip install 'frame3d[print]'"
        ) from missing
    least_mm = wall_mm / scale
    made = tuple(
        replace(member, part=_plain(member.part))
        for member in frame.members
        if not member.part.is_bought
    )
    scene = to_trimesh(replace(frame, members=made, joints=()))
    for member in made:
        if member.mark in scene.geometry and "thick" not in scene.geometry[member.mark].metadata:
            shape = _thick(member.part, scene.geometry[member.mark], least_mm)
            shape.metadata["thick"] = True
            scene.geometry[member.mark] = shape
    loose = [
        scene.geometry[mark].copy().apply_transform(matrix).apply_scale(scale)
        for matrix, mark in map(scene.graph.get, scene.graph.nodes_geometry)
    ]
    if not loose:
        return []
    whole = trimesh.boolean.union(loose, engine="manifold")
    return sorted(whole.split(), key=lambda body: -body.volume)


def _plain(part: Part) -> Part:
    """``part`` without holes, laps and worked ends."""
    match part:
        case Tube():
            return replace(part, holes=(), start=None, end=None)
        case Board():
            ends = [
                end and BoardEnd(mitre_rad=end.mitre_rad, bevel_rad=end.bevel_rad)
                for end in (part.start, part.end)
            ]
            return replace(part, holes=(), edge_holes=(), start=ends[0], end=ends[1])
        case Plate():
            return replace(part, holes=())
    return part


def _thick(part: Part, shape: trimesh.Trimesh, least_mm: float) -> trimesh.Trimesh:
    """``shape`` of ``part``, nowhere thinner than asked, about its own middle."""
    import trimesh

    if isinstance(part, Tube):
        # Between its chords, round it and along a bend, a rod is thinner than at its corners.
        chords = math.cos(math.pi / _AROUND) * math.cos(_STEP_RAD / 2)
        radius = max(part.section.od_mm, least_mm / chords) / 2
        return _rod(part.axis, radius)
    if isinstance(part, Plate):
        shape = shape.bounding_box.to_mesh()
    low, high = shape.bounds
    grow = np.maximum(1.0, least_mm / (high - low))
    middle = (low + high) / 2
    return trimesh.Trimesh((shape.vertices - middle) * grow + middle, shape.faces)


def _rod(axis: PlanePath, radius_mm: float) -> trimesh.Trimesh:
    """A full round bar along ``axis``: rings, and a fan at either end."""
    import trimesh

    turn = 2 * math.pi * np.arange(_AROUND) / _AROUND
    ring = radius_mm * np.array((np.cos(turn), np.sin(turn)))
    points = []
    for at in _places(axis):
        here = axis.at(at)
        middle = np.array((here.x_mm, here.y_mm, 0.0))
        normal = np.array((*here.normal, 0.0))
        points.append(middle + np.outer(ring[0], normal) + np.outer(ring[1], (0.0, 0.0, 1.0)))
    count = len(points)
    j, after = np.arange(_AROUND), np.roll(np.arange(_AROUND), -1)
    faces = []
    for k in range(count - 1):
        a, b = k * _AROUND, (k + 1) * _AROUND
        faces += [np.column_stack((a + j, a + after, b + after)),
                  np.column_stack((a + j, b + after, b + j))]  # fmt: skip
    last, fan = (count - 1) * _AROUND, np.zeros(_AROUND - 2, dtype=int)
    faces += [np.column_stack((fan, j[2:], j[1:-1])),
              np.column_stack((last + fan, last + j[1:-1], last + j[2:]))]  # fmt: skip
    return trimesh.Trimesh(np.concatenate(points), np.concatenate(faces))


def _places(axis: PlanePath) -> Iterator[float]:
    """Distances along ``axis`` at which there is a ring."""
    yield 0.0
    for (begins, _), segment in zip(axis.starts, axis.segments, strict=True):
        steps = 1 if isinstance(segment, Line) else math.ceil(abs(segment.angle_rad) / _STEP_RAD)
        for k in range(1, steps + 1):
            yield begins + segment.length_mm * k / steps
