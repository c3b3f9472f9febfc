"""The scene of a picture: frame, ground, light, camera and legend."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkFiltersSources import vtkPlaneSource
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkLight,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkTextActor,
    vtkWindowToImageFilter,
)

# Neither is named below: importing them tells the library how to draw.
import vtkmodules.vtkRenderingFreeType  # noqa: F401 - tells how to draw  isort: skip
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401 - tells how to draw  isort: skip

from frame3d.solids.glb_read import Shell, read_shells

_SIZE = (1600, 1000)
_BACKGROUND = (0.96, 0.96, 0.955)
_GROUND = (0.86, 0.86, 0.83)
_INK = (0.15, 0.16, 0.18)
_FROM = (-0.62, -1.0, 0.48)
_VIEW_ANGLE_DEG = 24.0
_FILLED = 0.94
"""Share of the picture's width or height that the frame and its ground fill."""
_ROW, _TEXT = 24, 17
_SMALL = ("bolt", "nut", "washer", "screw", "clamp")
"""Roles too small to be told apart at this size: not in the legend."""


def draw_scene(glb: Path, png: Path) -> None:
    """Draw the frame in ``glb`` from its front left, from above, into ``png``."""
    shells = read_shells(glb)
    renderer = vtkRenderer()
    # Plain, and without smoothing passes after the drawing: on machines without a
    # graphics card those have left the whole picture black.
    renderer.SetBackground(*_BACKGROUND)
    for shell in shells:
        renderer.AddActor(_actor(shell))
    everything = np.concatenate([shell.positions for shell in shells])
    low, high = everything.min(axis=0), everything.max(axis=0)
    renderer.AddActor(_ground(low, high))
    _light(renderer)
    (left, front), (right, back) = _edges(low, high)
    ground = [(x, y, 0.0) for x in (left, right) for y in (front, back)]
    _look(renderer, np.vstack([everything, ground]))
    _legend(renderer, shells)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(4)
    window.SetSize(*_SIZE)
    window.AddRenderer(renderer)
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.ReadFrontBufferOff()
    image.ShouldRerenderOff()
    writer = vtkPNGWriter()
    writer.SetFileName(str(png))
    writer.SetInputConnection(image.GetOutputPort())
    writer.Write()


def _screen(linear: float) -> float:
    """Linear light as a screen shows it (IEC 61966-2-1)."""
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


def _actor(shell: Shell) -> vtkActor:
    points = vtkPoints()
    points.SetData(numpy_to_vtk(np.ascontiguousarray(shell.positions), deep=True))
    cells = vtkCellArray()
    offsets = np.arange(0, 3 * len(shell.triangles) + 1, 3)
    cells.SetData(
        numpy_to_vtkIdTypeArray(offsets, deep=True),
        numpy_to_vtkIdTypeArray(shell.triangles.ravel(), deep=True),
    )
    data = vtkPolyData()
    data.SetPoints(points)
    data.SetPolys(cells)
    data.GetPointData().SetNormals(numpy_to_vtk(np.ascontiguousarray(shell.normals), deep=True))
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    actor = vtkActor()
    actor.SetMapper(mapper)
    surface = actor.GetProperty()
    surface.SetColor(*(_screen(value) for value in shell.colour))
    surface.SetAmbient(0.28)
    surface.SetDiffuse(0.72)
    surface.SetSpecular(0.18)
    surface.SetSpecularPower(25)
    return actor


def _edges(low: np.ndarray, high: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Opposite corners of the ground: a tenth of the width more than the frame, all round."""
    margin = 0.1 * (high[0] - low[0])
    return low[:2] - margin, high[:2] + margin


def _ground(low: np.ndarray, high: np.ndarray) -> vtkActor:
    """The ground: a rectangle at z = 0."""
    (left, front), (right, back) = _edges(low, high)
    plane = vtkPlaneSource()
    plane.SetOrigin(left, front, 0.0)
    plane.SetPoint1(right, front, 0.0)
    plane.SetPoint2(left, back, 0.0)
    mapper = vtkPolyDataMapper()
    mapper.SetInputConnection(plane.GetOutputPort())
    actor = vtkActor()
    actor.SetMapper(mapper)
    surface = actor.GetProperty()
    surface.SetColor(*_GROUND)
    # What is in the ground shows through a little.
    surface.SetOpacity(0.8)
    surface.LightingOff()
    return actor


def _light(renderer: vtkRenderer) -> None:
    """A key light from above on the left, weaker ones from either side."""
    lights = (((-0.5, -0.6, 1.0), 0.7), ((-1.0, -0.2, 0.2), 0.3), ((0.9, -0.4, 0.5), 0.35))
    for place, strength in lights:
        light = vtkLight()
        light.SetLightTypeToSceneLight()
        light.PositionalOff()
        light.SetPosition(*place)
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)


def _look(renderer: vtkRenderer, points: np.ndarray) -> None:
    """Point the camera so that ``points`` (n by 3) just fit, in the middle of the picture."""
    towards = np.array(_FROM) / np.linalg.norm(_FROM)
    right = np.cross((0.0, 0.0, 1.0), towards)
    right /= np.linalg.norm(right)
    up = np.cross(towards, right)
    half_up = math.tan(math.radians(_VIEW_ANGLE_DEG) / 2)
    across, distance = _fit(points, right, towards, half_up * _SIZE[0] / _SIZE[1])
    along, other = _fit(points, up, towards, half_up)
    sight = right * across + up * along
    camera = renderer.GetActiveCamera()
    camera.SetViewAngle(_VIEW_ANGLE_DEG)
    camera.SetFocalPoint(*(sight + towards * (points @ towards).mean()))
    camera.SetPosition(*(sight + towards * max(distance, other)))
    camera.SetViewUp(0, 0, 1)
    renderer.ResetCameraClippingRange()


def _fit(
    points: np.ndarray, axis: np.ndarray, towards: np.ndarray, tangent: float
) -> tuple[float, float]:
    """Place of the eye along ``axis``, and the least along ``towards``, to see all ``points``.

    An eye at (a, d) sees a point at (x, z) if |x - a| <= (d - z) * tangent. The two
    bounds that this puts on a meet at the least d.
    """
    tangent *= _FILLED
    x, depth = points @ axis, points @ towards * tangent
    upper, lower = (x + depth).max(), (x - depth).min()
    return (upper + lower) / 2, (upper - lower) / (2 * tangent)


def _legend(renderer: vtkRenderer, shells: list[Shell]) -> None:
    """A patch of each role's colour with its name, down the lower left corner."""
    shown = [shell for shell in shells if shell.name not in _SMALL]
    for row, shell in enumerate(shown):
        height = 28 + (len(shown) - 1 - row) * _ROW
        colour = tuple(_screen(value) for value in shell.colour)
        name = _label(shell.name, 56, height)
        # The font has no solid square: two blanks on a coloured ground make one.
        swatch = _label("  ", 28, height)
        swatch.GetTextProperty().SetBackgroundColor(*colour)
        swatch.GetTextProperty().SetBackgroundOpacity(1.0)
        for actor in (name, swatch):
            renderer.AddActor2D(actor)


def _label(text: str, left: int, height: int) -> vtkTextActor:
    actor = vtkTextActor()
    actor.SetInput(text)
    actor.SetPosition(left, height)
    style = actor.GetTextProperty()
    style.SetFontSize(_TEXT)
    style.SetColor(*_INK)
    return actor
