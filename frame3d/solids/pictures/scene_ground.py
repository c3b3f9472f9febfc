"""The ground of a picture, with the shadow that the frame throws on it.

The shadow is drawn first, seen along the sun onto the ground, softened, and laid on the
ground as its texture.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from vtkmodules.util.numpy_support import numpy_to_vtk, vtk_to_numpy
from vtkmodules.vtkCommonDataModel import vtkImageData
from vtkmodules.vtkFiltersSources import vtkPlaneSource
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkTexture,
    vtkWindowToImageFilter,
)

from frame3d.solids.pictures.role_shells import Shell
from frame3d.solids.pictures.scene_shells import mapped
from frame3d.solids.write.role_colours import LIGHT_GROUND, shares

SUN = (-0.42, -0.50, 0.86)
"""Toward the sun."""
_GROUND = 255 * np.array(shares(LIGHT_GROUND))
_DARKEST = 0.42
_OPACITY = 0.82
"""What is in the ground shows through a little."""
_MOST_PIXELS = 2048
_FINEST_M = 0.008
_SOFT_M = 0.022


def ground_actor(shells: Sequence[Shell]) -> vtkActor:
    """The ground at z = 0 round the frame, fading out at its rim, with its shadow."""
    everything = np.concatenate([shell.positions for shell in shells])
    low, high = everything.min(axis=0), everything.max(axis=0)
    width, length = high[:2] - low[:2]
    margin = 0.35 * max(width, min(length, 2 * width)) + 1.0
    (left, front), (right, back) = low[:2] - margin, high[:2] + margin
    step = max(_FINEST_M, max(right - left, back - front) / _MOST_PIXELS)
    size = (int((right - left) / step), int((back - front) / step))
    dark = _softened(_shadow(shells, (left, front), step, size), max(0.7, _SOFT_M / step))
    plane = vtkPlaneSource()
    plane.SetOrigin(left, front, 0.0)
    plane.SetPoint1(left + size[0] * step, front, 0.0)
    plane.SetPoint2(left, front + size[1] * step, 0.0)
    mapper = vtkPolyDataMapper()
    mapper.SetInputConnection(plane.GetOutputPort())
    actor = vtkActor()
    actor.SetMapper(mapper)
    actor.SetTexture(_texture(dark, size))
    actor.GetProperty().LightingOff()
    actor.ForceTranslucentOn()
    return actor


def _shadow(
    shells: Sequence[Shell], corner: tuple[float, float], step: float, size: tuple[int, int]
) -> np.ndarray:
    """Where the sun does not reach the ground: (rows, columns) from 0 to 1, front row first."""
    renderer = vtkRenderer()
    renderer.SetBackground(0, 0, 0)
    for shell in shells:
        if shell.name == "socket":
            continue  # Nearly all of it is in the ground, and a hoop stands in the rest.
        height = np.maximum(shell.positions[:, 2], 0.0)
        flat = np.column_stack([
            shell.positions[:, 0] - SUN[0] / SUN[2] * height,
            shell.positions[:, 1] - SUN[1] / SUN[2] * height,
            np.zeros_like(height),
        ])  # fmt: skip
        actor = vtkActor()
        actor.SetMapper(mapped(flat, shell.triangles))
        actor.GetProperty().SetColor(1, 1, 1)
        actor.GetProperty().BackfaceCullingOn()  # what the sun shines on throws it all
        actor.GetProperty().LightingOff()
        renderer.AddActor(actor)
    camera = renderer.GetActiveCamera()
    x, y = (corner[k] + size[k] * step / 2 for k in range(2))
    camera.ParallelProjectionOn()
    camera.SetFocalPoint(x, y, 0.0)
    camera.SetPosition(x, y, 10.0)
    camera.SetViewUp(0, 1, 0)
    camera.SetParallelScale(size[1] * step / 2)
    camera.SetClippingRange(1.0, 20.0)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(4)
    window.SetSize(*size)
    window.AddRenderer(renderer)
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.ReadFrontBufferOff()
    image.ShouldRerenderOff()
    image.Update()
    found = image.GetOutput()
    columns, rows, _ = found.GetDimensions()
    shades = vtk_to_numpy(found.GetPointData().GetScalars()).reshape(rows, columns, -1)
    dark: np.ndarray = shades[..., 0].astype(np.float32) / np.float32(255)
    window.Finalize()  # or the copies for drawing stay: a third of all in a long frame
    return dark


def _softened(dark: np.ndarray, pixels: float) -> np.ndarray:
    """``dark`` with each pixel spread by a bell curve of so many pixels, along both axes.

    Here, as loading scipy's filters takes longer.
    """
    reach = round(4 * pixels)
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / pixels) ** 2)
    weights = (weights / weights.sum()).astype(np.float32)
    for _ in range(2):
        padded = np.pad(dark, ((reach, reach), (0, 0)), mode="edge")
        rows = len(dark)
        # Turned over each time: rows that follow each other in memory are added quickest.
        dark = sum(w * padded[k : k + rows] for k, w in enumerate(weights)).T
    return dark


def _texture(dark: np.ndarray, size: tuple[int, int]) -> vtkTexture:
    rows, columns = dark.shape
    y, x = np.ogrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    away = np.clip((np.hypot(x, y) - 0.62) / 0.38, 0.0, 1.0)
    there = 1 - away**2 * (3 - 2 * away)
    shades = np.empty((rows, columns, 4), dtype=np.uint8)
    shades[..., :3] = _GROUND * (1 - _DARKEST * dark[..., None])
    shades[..., 3] = np.rint(255 * _OPACITY * there)
    image = vtkImageData()
    image.SetDimensions(columns, rows, 1)
    image.GetPointData().SetScalars(numpy_to_vtk(shades.reshape(-1, 4), deep=True))
    texture = vtkTexture()
    texture.SetInputData(image)
    texture.InterpolateOn()
    texture.MipmapOn()
    return texture
