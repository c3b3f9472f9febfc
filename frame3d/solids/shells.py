"""Faces sewn together to a solid."""

from __future__ import annotations

from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid, BRepBuilderAPI_Sewing
from OCP.BRepLib import BRepLib
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from frame3d.errors import SolidError
from frame3d.solids.solid import integrated_volume_mm3

_SEWING_MM = 1e-5


def closed(faces: list[TopoDS_Shape]) -> TopoDS_Shape:
    """The solid inside ``faces``; a bore that is pressed shut at both ends is a void in it.

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
    if loose.More() or not shells or not all(BRep_Tool.IsClosed_s(shell) for shell in shells):
        raise SolidError("the surfaces of a part do not close; look for a bend tighter than the tube")
    outer, *voids = sorted(map(_solid_in, shells), key=integrated_volume_mm3, reverse=True)
    for void in voids:
        BRep_Builder().Add(outer, _shell_of(void).Reversed())
    return outer


def _solid_in(shell: TopoDS_Shell) -> TopoDS_Solid:
    solid = BRepBuilderAPI_MakeSolid(shell).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def _shell_of(solid: TopoDS_Solid) -> TopoDS_Shape:
    return TopExp_Explorer(solid, TopAbs_ShapeEnum.TopAbs_SHELL).Current()
