"""Scale models: closed, as thick as asked, one body where parts touch."""

from __future__ import annotations

import sys

import numpy as np
import pytest
import trimesh
from msgspec.structs import replace

import frame3d
from frame3d.frame.model.members import Frame
from frame3d.solids.write.scale_model import scale_model

SCALE = 1 / 40


@pytest.fixture(scope="module")
def frame() -> Frame:
    return frame3d.lay_out(frame3d.design_from({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "4 m"},
        "bays": {"count": 2, "spacing": "1.2 m"},
        "sill_board": {},
    }))  # fmt: skip


def thickness_mm(mesh: trimesh.Trimesh, faces: np.ndarray) -> np.ndarray:
    """How far a ray goes from the middle of each face, straight in, until it comes out.

    Möller and Trumbore's meeting of ray and triangle (Journal of Graphics Tools 2, 1997).
    """
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    e1, e2 = b - a, c - a
    found = []
    for face in faces:
        way = -mesh.face_normals[face]
        start = mesh.triangles_center[face]
        p = np.cross(way, e2)
        det = np.einsum("ij,ij->i", e1, p)
        with np.errstate(divide="ignore", invalid="ignore"):
            t = start - a
            u = np.einsum("ij,ij->i", t, p) / det
            q = np.cross(t, e1)
            v = q @ way / det
            far = np.einsum("ij,ij->i", e2, q) / det
            inside = (u > -1e-9) & (v > -1e-9) & (u + v < 1 + 1e-9)
            met = inside & (np.abs(det) > 1e-12) & (far > 1e-6)
        found.append(far[met].min())
    return np.array(found)


def thinnest_mm(bodies: list[trimesh.Trimesh]) -> float:
    least = []
    for body in bodies:
        # Slivers where two parts meet say nothing of a wall.
        wide = np.flatnonzero(body.area_faces > 0.02)
        least.append(thickness_mm(body, wide[:: max(1, len(wide) // 150)]).min())
    return min(least)


@pytest.mark.parametrize("wall_mm", [0.8, 2.0])
def test_closed_and_nowhere_thinner_than_asked(frame: Frame, wall_mm: float) -> None:
    bodies = scale_model(frame, scale=SCALE, wall_mm=wall_mm)
    assert all(body.is_volume for body in bodies)
    assert thinnest_mm(bodies) > wall_mm * (1 - 1e-6)
    # Everything that is made, at the scale; thicker at most by the wall.
    low = np.min([body.bounds[0] for body in bodies], axis=0)
    high = np.max([body.bounds[1] for body in bodies], axis=0)
    made = [m for m in frame.members if not m.part.is_bought]
    whole = frame3d.to_trimesh(frame).bounds * SCALE
    assert made and (high - low) == pytest.approx(whole[1] - whole[0], abs=2 * wall_mm)


def test_the_frame_itself_would_be_too_thin(frame: Frame) -> None:
    """What judges thickness sees a tube's wall."""
    plain = frame3d.to_trimesh(frame).geometry["H1"].copy().apply_scale(SCALE)
    wall = next(g for g in frame.parts() if g.mark == "H1").part.section.wall_mm
    assert thinnest_mm([plain]) < wall * SCALE * 1.001


def test_what_does_not_touch_is_a_body_of_its_own(frame: Frame) -> None:
    few = [m for m in frame.members if m.mark == "S1"]
    bodies = scale_model(replace(frame, members=tuple(few)), scale=SCALE, wall_mm=1.0)
    assert len(bodies) == len(few)
    assert [b.volume for b in bodies] == sorted((b.volume for b in bodies), reverse=True)
    # A full bar of 24 chords as long as the socket; radius of the tube, which is thick enough.
    part = few[0].part
    radius = max(part.section.od_mm, 40.0) / 2
    area = 12 * radius**2 * np.sin(np.pi / 12)
    assert bodies[0].volume == pytest.approx(area * part.length_mm * SCALE**3, rel=1e-6)
    assert scale_model(replace(frame, members=())) == []


@pytest.mark.parametrize(("scale", "wall_mm"), [(0.0, 1.0), (-1.0, 1.0), (0.02, 0.0)])
def test_sizes_that_are_none_are_refused(frame: Frame, scale: float, wall_mm: float) -> None:
    with pytest.raises(ValueError, match="give both above 0"):
        scale_model(frame, scale=scale, wall_mm=wall_mm)


def test_without_the_extra_it_says_what_to_install(frame: Frame, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "manifold3d", None)
    with pytest.raises(ImportError, match=r"pip install 'frame3d\[print\]'"):
        scale_model(frame)
