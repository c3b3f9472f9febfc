"""The few kernel operations that every kind of part is made with."""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire
from OCP.TopTools import TopTools_ListOfShape

from frame3d.errors import SolidError
from frame3d.geometry.placement import Vector

UP = gp_Dir(0, 0, 1)


def circle(centre: Vector, axis: Vector, start: Vector, radius_mm: float) -> TopoDS_Wire:
    """A full circle about ``axis`` that starts in the direction ``start``."""
    axes = gp_Ax2(gp_Pnt(*centre), gp_Dir(*axis), gp_Dir(*start))
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(axes, radius_mm)).Edge()).Wire()


def flat_face(outline: TopoDS_Wire, openings: Sequence[TopoDS_Wire] = ()) -> TopoDS_Face:
    """The plane face inside ``outline`` with ``openings``, all run in one sense."""
    maker = BRepBuilderAPI_MakeFace(outline, True)
    for opening in openings:
        maker.Add(TopoDS.Wire_s(opening.Reversed()))
    return maker.Face()


def polygon(corners: Sequence[Vector]) -> TopoDS_Wire:
    """The closed polygon through ``corners``."""
    maker = BRepBuilderAPI_MakePolygon()
    for corner in corners:
        maker.Add(gp_Pnt(*corner))
    maker.Close()
    return maker.Wire()


def raised(face: TopoDS_Face, height_mm: float) -> TopoDS_Shape:
    """The prism of ``face`` along +z."""
    return BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, height_mm)).Shape()


def cylinder(base: Vector, axis: Vector, radius_mm: float, height_mm: float) -> TopoDS_Shape:
    """A round bar that starts at ``base`` and runs along ``axis``."""
    axes = gp_Ax2(gp_Pnt(*base), gp_Dir(*axis))
    return BRepPrimAPI_MakeCylinder(axes, radius_mm, height_mm).Shape()


def turned(
    corners: Sequence[tuple[float, float]], middles: Sequence[tuple[float, float] | None]
) -> TopoDS_Shape:
    """A closed outline of radii and heights, mm, turned about z.

    ``middles`` has for each side, from its corner on, a point of the arc that it is, or None.
    """
    points = [gp_Pnt(radius, 0.0, z) for radius, z in corners]
    maker = BRepBuilderAPI_MakeWire()
    for start, end, middle in zip(points, [*points[1:], points[0]], middles, strict=True):
        if start.Distance(end) == 0:
            continue
        if middle is None:
            maker.Add(BRepBuilderAPI_MakeEdge(start, end).Edge())
        else:
            arc = GC_MakeArcOfCircle(start, gp_Pnt(middle[0], 0.0, middle[1]), end)
            maker.Add(BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
    axis = gp_Ax1(gp_Pnt(0, 0, 0), UP)
    return BRepPrimAPI_MakeRevol(flat_face(maker.Wire()), axis).Shape()


def box(low: Vector, high: Vector) -> TopoDS_Shape:
    """The box between two opposite corners."""
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def cut(body: TopoDS_Shape, tools: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    """``body`` without any of ``tools``, taken away all at once."""
    return _combine(BRepAlgoAPI_Cut(), body, tools)


def fuse(body: TopoDS_Shape, others: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    """``body`` together with ``others``, faces on one surface made one."""
    united = ShapeUpgrade_UnifySameDomain(_combine(BRepAlgoAPI_Fuse(), body, others))
    united.Build()
    return united.Shape()


def _combine(
    operation: BRepAlgoAPI_BooleanOperation, body: TopoDS_Shape, tools: Sequence[TopoDS_Shape]
) -> TopoDS_Shape:
    arguments, others = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(body)
    for tool in tools:
        others.Append(tool)
    operation.SetArguments(arguments)
    operation.SetTools(others)
    operation.SetRunParallel(True)
    operation.Build()
    if not operation.IsDone():
        raise SolidError("the kernel could not combine two shapes; look for faces that just touch")
    return operation.Shape()
