"""What gives a picture its scale and its direction: somebody of 1.75 m, and which end is the front.

They stand where the page has them (``viewer.js``), and look the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from vtkmodules.vtkCommonCore import vtkIdList, vtkPoints
from vtkmodules.vtkCommonDataModel import vtkPolygon
from vtkmodules.vtkRenderingCore import vtkActor, vtkProp, vtkRenderer, vtkTextActor

from frame3d.solids.pictures.role_shells import PERSON_MM, Signs
from frame3d.solids.pictures.scene_shells import mapped
from frame3d.solids.write.role_colours import shares

HALF_MM = (
    (50, 1530), (70, 1480), (205, 1430), (240, 1330), (262, 1090), (255, 830), (212, 820),
    (205, 1080), (172, 1290), (150, 1070), (178, 900), (158, 480), (118, 70), (165, 0), (45, 0),
    (50, 460), (22, 810),
)  # fmt: skip
"""Half the outline of somebody who stands: across and up, from the neck down (``things.js``)."""
_PERSON_M = PERSON_MM / 1000
_HEAD_MM = (92, 118)
_ARROW_M = ((-0.07, -0.6), (0.07, -0.6), (0.07, -1.3), (0.26, -1.3), (0.0, -1.8), (-0.26, -1.3),
            (-0.07, -1.3))  # fmt: skip
_LABEL_M, _OVER_HEAD_M, _TEXT = 2.6, 0.15, 20
_PERSON, _ARROW = "#6b7683", "#4a5661"
_INK, _PAPER = (0.15, 0.16, 0.18), (0.965, 0.97, 0.96)


class SceneSigns(Struct, frozen=True):
    """The signs of a picture: a figure that is turned to the eye, an arrow, and their words."""

    figure: vtkActor
    of_figure: vtkProp
    of_front: tuple[vtkProp, ...]
    places: np.ndarray
    """What has to be seen of the figure, (n, 3) m."""
    front: np.ndarray
    """What has to be seen of the arrow and its words, (n, 3) m."""

    @classmethod
    def beside(cls, low: Sequence[float], high: Sequence[float], signs: Signs) -> SceneSigns:
        """Beside and before a frame that lies between ``low`` and ``high``, m."""
        x, y, middle = low[0] - 0.7, low[1] + 0.5, (low[0] + high[0]) / 2
        figure = _flat(_person(), _PERSON)
        figure.SetPosition(x, y, 0.0)
        arrow = _flat([(across, low[1] + along, 0.004) for across, along in _ARROW_M], _ARROW)
        arrow.SetPosition(middle, 0.0, 0.0)
        over, before = (x, y, _PERSON_M + _OVER_HEAD_M), (middle, low[1] - _LABEL_M, 0.0)
        return cls(
            figure=figure, of_figure=_words(signs.person, over),
            of_front=(arrow, _words(signs.front, before)),
            places=np.array([
                (x + side, y + side, z) for side in (-0.3, 0.3) for z in (0.0, _PERSON_M + 0.4)
            ]),
            front=np.array([before, (middle, low[1], 0.0)]),
        )  # fmt: skip

    def add_to(self, renderer: vtkRenderer) -> None:
        """Put all of them into a picture."""
        for one in (self.figure, self.of_figure, *self.of_front):
            renderer.AddViewProp(one)

    def turn(self, right: np.ndarray, *, figure: bool, front: bool) -> None:
        """Turn the figure across an eye that has ``right`` on its right; show what is wanted."""
        self.figure.SetOrientation(0.0, 0.0, math.degrees(math.atan2(right[1], right[0])))
        for one in (self.figure, self.of_figure):
            one.SetVisibility(figure)
        for one in self.of_front:
            one.SetVisibility(front)


def _person() -> list[tuple[float, float, float]]:
    """The outline of somebody who stands, head and body in one, m."""
    wide, high = _HEAD_MM
    middle = PERSON_MM - high
    # The head from where the neck meets it on the right, over the crown, to the left.
    turns = [math.radians(-60 + 300 * k / 20) for k in range(21)]
    head = [(wide * math.cos(turn), middle + high * math.sin(turn)) for turn in turns]
    left = [(-across, up) for across, up in HALF_MM]
    right = list(reversed(HALF_MM))
    return [(across / 1000, 0.0, up / 1000) for across, up in (*head, *left, *right)]


def _flat(outline: Sequence[tuple[float, float, float]], colour: str) -> vtkActor:
    """An outline filled with a colour that no light changes."""
    polygon, places = vtkPolygon(), vtkPoints()
    for point in outline:
        polygon.GetPointIds().InsertNextId(places.InsertNextPoint(*point))
    polygon.GetPoints().DeepCopy(places)
    found = vtkIdList()
    polygon.EarCutTriangulation(found)
    corners = [found.GetId(k) for k in range(found.GetNumberOfIds())]
    actor = vtkActor()
    actor.SetMapper(mapped(np.array(outline), np.array(corners, dtype=np.int64).reshape(-1, 3)))
    actor.GetProperty().LightingOff()
    actor.GetProperty().SetColor(*shares(colour))
    return actor


def _words(text: str, place: Sequence[float]) -> vtkTextActor:
    """Over all else, on a little of the ground's colour, so that lines behind don't cross them."""
    words = vtkTextActor()
    words.SetInput(f" {text} ")
    words.GetPositionCoordinate().SetCoordinateSystemToWorld()
    words.GetPositionCoordinate().SetValue(*place)
    style = words.GetTextProperty()
    style.SetFontSize(_TEXT)
    style.SetColor(*_INK)
    style.SetJustificationToCentered()
    style.SetBackgroundColor(*_PAPER)
    style.SetBackgroundOpacity(0.7)
    return words
