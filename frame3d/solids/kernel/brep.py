"""Faces put together by hand from surfaces, curves and vertices that they share.

The kernel is told everything: no curve is fitted, no edge sewn. Each vertex takes in the ends of
its edges, and each edge the curves that follow it on its surfaces, by a tolerance that is worked
out and not assumed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct
from OCP.BRep import BRep_Builder
from OCP.Geom import Geom_Curve, Geom_Surface
from OCP.Geom2d import Geom2d_Curve, Geom2d_Line
from OCP.gp import gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import (
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)

LEAST_TOLERANCE_MM = 1e-7
"""The kernel's own idea of one and the same point."""
_SPARE = 1.1
_BUILDER = BRep_Builder()
_NOWHERE = TopLoc_Location()


class Vertex:
    """A point where edges end."""

    def __init__(self, place: np.ndarray) -> None:
        self.place = place
        self.shape = TopoDS_Vertex()
        _BUILDER.MakeVertex(self.shape, gp_Pnt(*map(float, place)), LEAST_TOLERANCE_MM)

    def take_in(self, place: gp_Pnt, more_mm: float) -> None:
        """Widen the tolerance to what ends at ``place``, give or take ``more_mm``."""
        off = place.Distance(gp_Pnt(*map(float, self.place)))
        _BUILDER.UpdateVertex(self.shape, max(LEAST_TOLERANCE_MM, _SPARE * off + more_mm))


class Edge:
    """A curve from one vertex to another.

    Parameters
    ----------
    curve : Geom_Curve or None
        None for one that has shrunk to its vertex, and lies in a surface's parameters only.
    low, high : float
        Its parameters there, the same for every curve that follows the edge on a surface.
    start, end : Vertex
    tolerance_mm : float
        How far any of those curves may stray from it.
    """

    def __init__(
        self, curve: Geom_Curve | None, low: float, high: float, start: Vertex, end: Vertex,
        tolerance_mm: float = LEAST_TOLERANCE_MM,
    ) -> None:  # fmt: skip
        self.low, self.high, self.start, self.end = low, high, start, end
        self.tolerance_mm = max(tolerance_mm, LEAST_TOLERANCE_MM)
        self.shape = TopoDS_Edge()
        if curve is None:
            _BUILDER.MakeEdge(self.shape)
            _BUILDER.Degenerated(self.shape, True)
        else:
            _BUILDER.MakeEdge(self.shape, curve, self.tolerance_mm)
        for vertex, at, way in (
            (start, low, TopAbs_Orientation.TopAbs_FORWARD),
            (end, high, TopAbs_Orientation.TopAbs_REVERSED),
        ):
            if curve is not None:
                vertex.take_in(curve.Value(at), self.tolerance_mm)
            _BUILDER.Add(self.shape, vertex.shape.Oriented(way))
        _BUILDER.Range(self.shape, low, high)

    def follow(self, surface: Geom_Surface, curves: Sequence[Geom2d_Curve]) -> None:
        """Give the edge its curve on a surface; both, run forward and back, where it is a seam."""
        _BUILDER.UpdateEdge(self.shape, *curves, surface, _NOWHERE, self.tolerance_mm)
        _BUILDER.Range(self.shape, self.low, self.high)
        _BUILDER.SameRange(self.shape, True)
        _BUILDER.SameParameter(self.shape, True)


class EdgeUse(Struct, frozen=True, kw_only=True):
    """An edge as a face has it.

    Parameters
    ----------
    edge : Edge
    forward : bool
        Whether the face's circuit runs it from its start to its end.
    curve : Geom2d_Curve or None
        In the surface's parameters; a plane needs none.
    """

    edge: Edge
    forward: bool
    curve: Geom2d_Curve | None = None


def straight(low: float, high: float, first: np.ndarray, last: np.ndarray) -> Geom2d_Line:
    """The line in a surface's parameters, each (2,), that runs at the pace of its edge."""
    pace = (last - first) / (high - low)
    start = first - low * pace
    return Geom2d_Line(gp_Pnt2d(*map(float, start)), gp_Dir2d(*map(float, pace)))


def face(
    surface: Geom_Surface, circuits: Iterable[Sequence[EdgeUse]], *, turned: bool
) -> TopoDS_Face:
    """A face of ``surface``.

    Parameters
    ----------
    surface : Geom_Surface
        Not that of any other face: an edge has one curve on each surface, two on a seam.
    circuits : iterable of sequences of EdgeUse
        The outer one first, which keeps the face at its left in the surface's parameters.
    turned : bool
        Whether the solid lies on the side that the surface looks to.
    """
    made = TopoDS_Face()
    _BUILDER.MakeFace(made, surface, LEAST_TOLERANCE_MM)
    uses = []
    for circuit in circuits:
        wire = TopoDS_Wire()
        _BUILDER.MakeWire(wire)
        for use in circuit:
            way = TopAbs_Orientation.TopAbs_FORWARD
            if not use.forward:
                way = TopAbs_Orientation.TopAbs_REVERSED
            _BUILDER.Add(wire, use.edge.shape.Oriented(way))
            uses.append(use)
        wire.Closed(True)
        _BUILDER.Add(made, wire)
    by_edge: dict[int, list[EdgeUse]] = {}
    for use in uses:
        if use.curve is not None:
            by_edge.setdefault(id(use.edge), []).append(use)
    for same in by_edge.values():
        ordered = sorted(same, key=lambda use: not use.forward)
        same[0].edge.follow(surface, [use.curve for use in ordered])
    if turned:
        made.Orientation(TopAbs_Orientation.TopAbs_REVERSED)
    return made


def solid(faces: Iterable[TopoDS_Face], void: Sequence[TopoDS_Face] = ()) -> TopoDS_Solid:
    """The solid inside faces that share all their edges, without the void inside others."""
    made = TopoDS_Solid()
    _BUILDER.MakeSolid(made)
    for some in (faces, void):
        shell = TopoDS_Shell()
        _BUILDER.MakeShell(shell)
        for one in some:
            _BUILDER.Add(shell, one)
        shell.Closed(True)
        if shell.NbChildren():
            _BUILDER.Add(made, shell)
    return made
