"""The pictures of a frame: from where, in what light, how large, with a legend below."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from msgspec import Struct
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkLight,
    vtkRenderer,
    vtkRenderWindow,
    vtkTextActor,
    vtkWindowToImageFilter,
)

# Neither is named below: importing them tells the library how to draw.
import vtkmodules.vtkRenderingFreeType  # noqa: F401 - tells how to draw  isort: skip
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401 - tells how to draw  isort: skip

from frame3d.solids.pictures.role_shells import Shell, Signs
from frame3d.solids.pictures.scene_ground import SUN, ground_actor
from frame3d.solids.pictures.scene_shells import shell_actor
from frame3d.solids.pictures.scene_signs import SceneSigns

_WIDTH = 1600
_MOST_HIGH, _LEAST_HIGH = 1000, 340
_BACKGROUND = (0.965, 0.97, 0.96)
_INK = (0.15, 0.16, 0.18)
_VIEW_ANGLE_DEG = 24.0
_FILLED = 0.93
"""Share of the picture's width or height that the frame fills."""
_ROW, _TEXT, _COLUMN, _RIM = 26, 17, 180, 28
_SMALL = ("bolt", "nut", "washer", "screw", "clamp")
"""Roles too small to be told apart in views of the whole: not in their legend."""
_NEAR_M = 2.5
"""What is farther from the foot than this belongs to the background of the detail."""
_DETAIL_M = 0.85
"""Half of what the detail shows, from side to side."""


class _Viewpoint(Struct, frozen=True, kw_only=True):
    """Where a picture is taken from, what it must show, and what of it counts.

    That is what is small where it ``is_near``, and which end is the front if it ``has_front``.
    """

    toward: tuple[float, float, float]
    points: np.ndarray
    is_near: bool = False
    has_front: bool = False

    @property
    def axes(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Right, up and toward the eye."""
        toward = np.array(self.toward) / np.linalg.norm(self.toward)
        right = np.cross((0.0, 0.0, 1.0), toward)
        right /= np.linalg.norm(right)
        return right, np.cross(toward, right), toward


def draw_scenes(shells: Sequence[Shell], signs: Signs, files: Sequence[Path]) -> None:
    """Draw ``shells`` aslant, from the front, from the left, and one of their feet.

    ``signs`` is what is written for scale and direction.
    """
    everything = np.concatenate([shell.positions for shell in shells])
    shown = SceneSigns.beside(everything.min(axis=0), everything.max(axis=0), signs)
    # Plain, and without smoothing passes after the drawing: on machines without a
    # graphics card those have left the whole picture black.
    renderer, band = vtkRenderer(), vtkRenderer()
    for actor in (*(shell_actor(shell) for shell in shells), ground_actor(shells)):
        renderer.AddActor(actor)
    shown.add_to(renderer)
    _light(renderer)
    for each in (renderer, band):
        each.SetBackground(*_BACKGROUND)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(8)
    window.AddRenderer(renderer)
    window.AddRenderer(band)
    for view, file in zip(_views(shells, shown), files, strict=True):
        shown.turn(view.axes[0], figure=not view.is_near, front=view.has_front)
        _draw(window, (renderer, band), view, shells, file)


def _views(shells: Sequence[Shell], signs: SceneSigns) -> list[_Viewpoint]:
    everything = np.concatenate([shell.positions for shell in shells])
    low, high = everything.min(axis=0), everything.max(axis=0)
    margin = 0.04 * (high[0] - low[0])
    ground = [
        (x, y, 0.0) for x in (low[0] - margin, high[0] + margin)
        for y in (low[1] - margin, high[1] + margin)
    ]  # fmt: skip
    told = np.vstack([everything, signs.places])
    whole = np.vstack([told, signs.front, np.array(ground)])
    foot = _foot(shells, low)
    around = np.array([
        foot + _DETAIL_M * np.array(step)
        for step in ((-1, 0, 0), (1, 0, 0), (0, -1, 0), (0, 1, 0), (0, 0, -0.35), (0, 0, 0.9))
    ])  # fmt: skip
    return [
        _Viewpoint(toward=(-0.60, -1.0, 0.46), points=whole, has_front=True),
        _Viewpoint(toward=(0.0, -1.0, 0.10), points=told),
        _Viewpoint(toward=(-1.0, 0.0, 0.08), points=told),
        _Viewpoint(toward=(0.80, 0.75, 0.42), points=around, is_near=True),
    ]


def _foot(shells: Sequence[Shell], low: np.ndarray) -> np.ndarray:
    """Where the second hoop stands on the left: bolts, boards and braces come together there."""
    for shell in shells:
        if shell.name == "socket":
            left = shell.positions[shell.positions[:, 0] < 0]
            if not len(left):
                break
            along = np.unique(np.rint(left[:, 1] / 0.3)) * 0.3
            # The first of the second group: groups lie at least a tube's width apart.
            starts = along[np.concatenate([[True], np.diff(along) > 0.31])]
            place = starts[min(1, len(starts) - 1)]
            return np.array((float(left[:, 0].mean()), float(place), 0.25))
    return np.array((low[0], low[1], 0.25))


def _draw(
    window: vtkRenderWindow, renderers: tuple[vtkRenderer, vtkRenderer], view: _Viewpoint,
    shells: Sequence[Shell], file: Path,
) -> None:  # fmt: skip
    renderer, band = renderers
    height = _height(view)
    # Roles of one colour are told as one.
    shown = {s.group: s for s in shells if _is_told(s, view, _WIDTH / height)}
    columns = max(1, (_WIDTH - 2 * _RIM) // _COLUMN)
    legend = math.ceil(len(shown) / columns) * _ROW + _ROW
    whole = height + legend
    share = legend / whole
    window.SetSize(_WIDTH, whole)
    renderer.SetViewport(0.0, share, 1.0, 1.0)
    band.SetViewport(0.0, 0.0, 1.0, share)
    _look(renderer, _eye(view, _WIDTH / height), view)
    band.RemoveAllViewProps()
    for number, shell in enumerate(shown.values()):
        row, column = divmod(number, columns)
        _entry(band, shell, _RIM + column * _COLUMN, legend - (row + 1) * _ROW - _ROW // 2 + 6)
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.ReadFrontBufferOff()
    image.ShouldRerenderOff()
    writer = vtkPNGWriter()
    # Into memory: the library says nothing of a file that it could not write whole.
    writer.WriteToMemoryOn()
    writer.SetInputConnection(image.GetOutputPort())
    writer.Write()
    file.write_bytes(bytes(memoryview(writer.GetResult())))


def _is_told(shell: Shell, view: _Viewpoint, aspect: float) -> bool:
    """Whether the legend names a role: those that can be told apart in this view."""
    if not view.is_near:
        return shell.name not in _SMALL
    corners = shell.positions[shell.triangles]
    low, high = view.points.min(axis=0), view.points.max(axis=0)
    if ((corners.min(axis=1) < high) & (corners.max(axis=1) > low)).all(axis=1).any():
        return True
    # Not at the foot itself: near it and within the picture.
    near = shell.positions[np.linalg.norm(shell.positions - (low + high) / 2, axis=1) < _NEAR_M]
    across, along, away = np.array(view.axes) @ (near - _eye(view, aspect)).T
    half = math.tan(math.radians(_VIEW_ANGLE_DEG) / 2)
    seen = (abs(across) < -away * half * aspect) & (abs(along) < -away * half)
    return bool(seen.any())


def _height(view: _Viewpoint) -> int:
    """How high the picture is, so that what it shows fills it."""
    right, up, _ = view.axes
    across, along = np.ptp(view.points @ right), np.ptp(view.points @ up)
    height: int = round(min(_MOST_HIGH, max(_LEAST_HIGH, 1.08 * _WIDTH * along / across)))
    return height


def _light(renderer: vtkRenderer) -> None:
    """The sun, whose shadow lies on the ground, and weaker light from all sides."""
    lights = (
        (SUN, 0.80),
        ((-1.0, -0.4, 0.15), 0.25),
        ((0.9, -0.5, 0.4), 0.35),
        ((0.8, 0.9, 0.25), 0.40),
    )
    for place, strength in lights:
        light = vtkLight()
        light.SetLightTypeToSceneLight()
        light.PositionalOff()
        light.SetPosition(*place)
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)


def _eye(view: _Viewpoint, aspect: float) -> np.ndarray:
    """Where the eye sees all points of ``view``, just, and in the middle of the picture."""
    right, up, towards = view.axes
    half_up = math.tan(math.radians(_VIEW_ANGLE_DEG) / 2)
    across, distance = _fit(view.points, right, towards, half_up * aspect)
    along, other = _fit(view.points, up, towards, half_up)
    return right * across + up * along + towards * max(distance, other)


def _look(renderer: vtkRenderer, eye: np.ndarray, view: _Viewpoint) -> None:
    """Put the camera at ``eye``, looking along ``view``."""
    towards = view.axes[2]
    camera = renderer.GetActiveCamera()
    camera.SetViewAngle(_VIEW_ANGLE_DEG)
    camera.SetPosition(*eye)
    camera.SetFocalPoint(*(eye + towards * ((view.points @ towards).mean() - eye @ towards)))
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


def _entry(band: vtkRenderer, shell: Shell, left: int, height: int) -> None:
    """A patch of a colour with what has it."""
    name = _label(shell.group, left + 26, height)
    # The font has no solid square: two blanks on a coloured ground make one.
    swatch = _label("  ", left, height)
    swatch.GetTextProperty().SetBackgroundColor(*shell.colour)
    swatch.GetTextProperty().SetBackgroundOpacity(1.0)
    for actor in (name, swatch):
        band.AddActor2D(actor)


def _label(text: str, left: int, height: int) -> vtkTextActor:
    actor = vtkTextActor()
    actor.SetInput(text)
    actor.SetPosition(left, height)
    style = actor.GetTextProperty()
    style.SetFontSize(_TEXT)
    style.SetColor(*_INK)
    return actor
