"""Triangles of solids: one closed mesh for each distinct part."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from msgspec.structs import replace
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.Poly import Poly_Triangulation
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face
from OCP.TopTools import TopTools_IndexedMapOfShape

from frame3d.errors import SolidError
from frame3d.frame.model.bodies import SweptRing
from frame3d.geometry.placement import Vector
from frame3d.solids.kernel.solid import Solid
from frame3d.solids.meshes.mesh_parts import Mesh, Tolerance, is_closed
from frame3d.solids.meshes.tube_mesh import tube_mesh

USUAL = Tolerance(linear_mm=0.5, angle_rad=math.radians(12))
"""A circle of a tube gets 30 chords, so a wall encloses 0.7 % less than it should."""


def mesh_of(solid: Solid, tolerance: Tolerance = USUAL) -> Mesh:
    """The closed mesh of ``solid``; of all but round tubes at twice the angle.

    Raises
    ------
    SolidError
        If the mesh is not closed.
    """
    mesh = None
    match solid.part.bodies:
        case (SweptRing() as tube,):
            mesh = tube_mesh(tube, tolerance)
    # Between so few chords that windows of holes meet, it may not close.
    if mesh is None or not is_closed(mesh.closed_triangles):
        mesh = kernel_mesh(solid, coarser(tolerance))
    if not is_closed(mesh.closed_triangles):
        raise SolidError(f"{solid.mark}: the triangles of its solid do not close")
    return mesh


def coarser(tolerance: Tolerance) -> Tolerance:
    """For holes, rims, shanks, and flat ends, whose triangles the kernel makes."""
    return replace(tolerance, angle_rad=2 * tolerance.angle_rad)


def kernel_mesh(solid: Solid, tolerance: Tolerance) -> Mesh:
    """The mesh of ``solid`` as the kernel makes it, whatever the part.

    Raises
    ------
    SolidError
        If the kernel leaves a face without triangles.
    """
    BRepTools.Clean_s(solid.shape)
    BRepMesh_IncrementalMesh(solid.shape, tolerance.linear_mm, False, tolerance.angle_rad, False)
    corners: list[Vector] = []
    normals: list[Vector] = []
    triangles: list[tuple[int, int, int]] = []
    links = _Links()
    first = 0
    explorer = TopExp_Explorer(solid.shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        face = TopoDS.Face_s(explorer.Current())
        explorer.Next()
        place = TopLoc_Location()
        found = BRep_Tool.Triangulation_s(face, place)
        if found is None:
            raise SolidError(f"{solid.mark}: the kernel could not make triangles of a face")
        links.add(face, found, place, first)
        found.ComputeNormals()
        _append(face, found, place, first, corners, normals, triangles)
        first += found.NbNodes()
    point_of = links.points(first)
    kept = np.array(triangles, dtype=np.int64)
    # At a pole the kernel leaves a triangle that has shrunk to nothing.
    a, b, c = point_of[kept].T
    return Mesh(
        corners=np.array(corners),
        normals=np.array(normals),
        triangles=kept[(a != b) & (b != c) & (c != a)],
        point_of=point_of,
    )


def _append(
    face: TopoDS_Face,
    found: Poly_Triangulation,
    place: TopLoc_Location,
    first: int,
    corners: list[Vector],
    normals: list[Vector],
    triangles: list[tuple[int, int, int]],
) -> None:
    """Add one face's corners, normals and triangles, turned to look outward."""
    inward = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    sign = -1.0 if inward else 1.0
    move = place.Transformation()
    for number in range(1, found.NbNodes() + 1):
        node = found.Node(number).Transformed(move)
        normal = found.Normal(number).Transformed(move)
        corners.append((node.X(), node.Y(), node.Z()))
        normals.append((sign * normal.X(), sign * normal.Y(), sign * normal.Z()))
    for number in range(1, found.NbTriangles() + 1):
        a, b, c = found.Triangle(number).Get()
        if inward:
            b, c = c, b
        triangles.append((first + a - 1, first + b - 1, first + c - 1))


class _Links:
    """Which corners are one point, as the kernel's edges tell it.

    The faces round a vertex follow each other edge by edge, so the rows of corners
    along the edges bring the corners at vertices together too.
    """

    def __init__(self) -> None:
        self._edges = TopTools_IndexedMapOfShape()
        self._rows: dict[int, list[list[int]]] = {}
        self._poles: list[list[int]] = []

    def add(
        self, face: TopoDS_Face, found: Poly_Triangulation, place: TopLoc_Location, first: int
    ) -> None:
        """Note the corners of ``face`` that lie on its edges."""
        explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
        while explorer.More():
            # Both sides of a seam are met here, each with its own row of corners.
            edge = TopoDS.Edge_s(explorer.Current())
            explorer.Next()
            nodes = BRep_Tool.PolygonOnTriangulation_s(edge, found, place)
            if nodes is None:
                continue
            row = [first + nodes.Node(k) - 1 for k in range(1, nodes.NbNodes() + 1)]
            if BRep_Tool.Degenerated_s(edge):
                self._poles.append(row)
            else:
                self._rows.setdefault(self._edges.Add(edge), []).append(row)

    def points(self, count: int) -> np.ndarray:
        """For each of ``count`` corners, the lowest number of those it is one with."""
        parent = list(range(count))

        def root(number: int) -> int:
            while parent[number] != number:
                parent[number] = parent[parent[number]]
                number = parent[number]
            return number

        across = [same for rows in self._rows.values() for same in zip(*rows, strict=True)]
        for same in (*self._poles, *across):
            low, *others = sorted({root(number) for number in same})
            for number in others:
                parent[number] = low
        return np.array([root(number) for number in range(count)])


def make_meshes(solids: Mapping[str, Solid]) -> dict[str, Mesh]:
    """The closed mesh of every solid, by mark.

    Raises
    ------
    SolidError
        As :func:`mesh_of`.
    """
    return {mark: mesh_of(solid) for mark, solid in solids.items()}
