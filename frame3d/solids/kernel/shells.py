"""Faces sewn together to a solid."""

from __future__ import annotations

from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid, BRepBuilderAPI_Sewing
from OCP.BRepLib import BRepLib
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from frame3d.errors import SolidError

_SEWING_MM = 1e-5


def closed(faces: list[TopoDS_Shape]) -> TopoDS_Shape:
    """The solid inside ``faces``.

    Raises
    ------
    SolidError
        If they leave a gap.
    """
    sewing = BRepBuilderAPI_Sewing(_SEWING_MM)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    shells, explorer = [], TopExp_Explorer(sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_SHELL)
    while explorer.More():
        shells.append(TopoDS.Shell_s(explorer.Current()))
        explorer.Next()
    loose = TopExp_Explorer(
        sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_FACE, TopAbs_ShapeEnum.TopAbs_SHELL
    )
    if loose.More() or len(shells) != 1 or not BRep_Tool.IsClosed_s(shells[0]):
        raise SolidError("the surfaces of a part do not close")
    solid = BRepBuilderAPI_MakeSolid(shells[0]).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid
