"""The ground in the pictures: colours that the colour-blind tell apart, and heights of a plane."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from colorspacious import cspace_convert

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.lay_out import lay_out
from frame3d.site.survey import surveyed
from frame3d.view.ground_scene import STATES, ground_scene

_APART = 20.0
"""In CAM02-UCS, in which 1 is about what can just be seen: common practice, no source."""


def seen(colour: str, blind: str) -> np.ndarray:
    """A colour as one sees it who lacks a cone (Machado 2009, in colorspacious), in CAM02-UCS."""
    rgb = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    space = {"name": "sRGB1+CVD", "cvd_type": blind, "severity": 100}
    shown = np.clip(cspace_convert(rgb, space, "sRGB1"), 0, 1)
    return cspace_convert(shown, "sRGB1", "CAM02-UCS")


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("blind", ["protanomaly", "deuteranomaly", "tritanomaly"])
def test_states_are_told_apart_by_the_colour_blind(theme: str, blind: str) -> None:
    colours = [seen(state[theme], blind) for state in STATES.values()]
    for one, other in itertools.combinations(colours, 2):
        assert np.linalg.norm(one - other) > _APART


def test_sockets_stand_on_the_surface_that_is_drawn() -> None:
    """A plane that falls 1 in 100 along: 60 mm over 6 m, by which sockets stand out more."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
    }))  # fmt: skip
    assert ground_scene(frame) is None
    rows = "".join(f"{n + 1}{side},{-15 * n} mm\n" for n in range(5) for side in "LR")
    scene = ground_scene(
        surveyed(frame, {"levels": GivenList(name="l.csv", text=f"point,z\n{rows}")})
    )
    out = {one["name"]: one["out"] for one in scene["sockets"]}
    assert out["5L"] - out["1L"] == pytest.approx(60, abs=0.1)
    surface = scene["surface"]
    zs = np.array(surface["zs"]).reshape(len(surface["ys"]), len(surface["xs"]))
    for one in scene["sockets"]:
        column = zs[:, int(np.argmin(abs(np.array(surface["xs"]) - one["x"])))]
        height = np.interp(one["y"], surface["ys"], column)
        assert scene["wanted"] - one["out"] == pytest.approx(height, abs=1.0)
