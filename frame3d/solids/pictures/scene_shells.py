"""The members of a picture: triangles with a colour that takes the light."""

from __future__ import annotations

import numpy as np
from vtkmodules.util.numpy_support import numpy_to_vtk
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

from frame3d.solids.pictures.role_shells import Shell


def mapped(
    points: np.ndarray, triangles: np.ndarray, normals: np.ndarray | None = None
) -> vtkPolyDataMapper:
    """A mapper of triangles (m, 3) between points (n, 3), with normals or flat."""
    # None is copied: the arrays are kept alive by what is made of them.
    places = vtkPoints()
    places.SetData(numpy_to_vtk(np.ascontiguousarray(points)))
    cells = vtkCellArray()
    cells.SetData(3, numpy_to_vtk(np.ascontiguousarray(triangles).ravel()))
    data = vtkPolyData()
    data.SetPoints(places)
    data.SetPolys(cells)
    if normals is not None:
        data.GetPointData().SetNormals(numpy_to_vtk(np.ascontiguousarray(normals)))
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    return mapper


def shell_actor(shell: Shell) -> vtkActor:
    """All members of one role."""
    actor = vtkActor()
    actor.SetMapper(mapped(shell.positions, shell.triangles, shell.normals))
    surface = actor.GetProperty()
    surface.BackfaceCullingOn()  # shapes are closed: nobody sees one from within
    surface.SetColor(*shell.colour)
    surface.SetAmbient(0.34)
    surface.SetDiffuse(0.72)
    surface.SetSpecular(0.16)
    surface.SetSpecularPower(30)
    return actor
