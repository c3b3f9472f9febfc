"""The table of colours, against WCAG's contrast and simulated colour-blindness.

Simulation and distances are those of the library colorspacious: G. M. Machado, M. M. Oliveira,
L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
Trans. Visualization and Computer Graphics 15 (2009), at full severity; and CAM02-UCS (M. R. Luo,
G. Cui, C. Li, Color Research & Application 31, 2006), in which a step of 1 is about the least that
can be seen side by side. In a legend, where colours lie apart, ten of them are asked for: common
practice, no source.
"""

from __future__ import annotations

import itertools
import re
from importlib import resources

import numpy as np
import pytest
from colorspacious import cspace_convert, deltaE

from frame3d.frame.model.roles import Role
from frame3d.solids.write.role_colours import (
    COLOUR_GROUPS,
    DARK_GROUND,
    LIGHT_GROUND,
    colour_group,
    role_colour,
    shares,
)

LEAST_APART = 10.0
KINDS = ("protanomaly", "deuteranomaly", "tritanomaly")


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    light = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in shares(colour)]
    return float(np.dot(light, (0.2126, 0.7152, 0.0722)))


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def as_seen(colour: str, kind: str | None) -> np.ndarray:
    """Red, green, blue of a colour as somebody with that deficiency sees it."""
    if kind is None:
        return np.array(shares(colour))
    space = {"name": "sRGB1+CVD", "cvd_type": kind, "severity": 100}
    return np.clip(cspace_convert(shares(colour), space, "sRGB1"), 0, 1)


def closest(colours: list[str], kind: str | None) -> float:
    seen = [as_seen(colour, kind) for colour in colours]
    pairs = itertools.combinations(seen, 2)
    return min(float(deltaE(a, b, input_space="sRGB1")) for a, b in pairs)


def test_contrast_is_that_of_the_standard() -> None:
    """WCAG 2.2: black on white is 21 to 1; #767676 on white is known to be just 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_every_role_has_one_group() -> None:
    listed = [role for group in COLOUR_GROUPS for role in group.roles]
    assert sorted(listed, key=str) == sorted(Role, key=str)
    assert colour_group(Role.SPLICE).name == "hoops"
    assert role_colour(Role.HOOP) == pytest.approx((0x33 / 255, 0x22 / 255, 0x88 / 255), abs=1e-4)


@pytest.mark.parametrize(("theme", "ground"), [("light", LIGHT_GROUND), ("dark", DARK_GROUND)])
def test_hoops_stand_out_from_the_ground(theme: str, ground: str) -> None:
    """By 4.5 to 1, what WCAG 2.2, 1.4.3, asks of text."""
    (hoops,) = [group for group in COLOUR_GROUPS if Role.HOOP in group.roles]
    assert contrast(getattr(hoops, theme), ground) >= 4.5


@pytest.mark.parametrize("kind", [None, *KINDS])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_legend_can_be_told_apart(theme: str, kind: str | None) -> None:
    assert closest([getattr(group, theme) for group in COLOUR_GROUPS], kind) >= LEAST_APART


def test_the_browns_of_before_could_not() -> None:
    """What judges must fail on what it is for: boards, studs and jambs as they once were."""
    browns = ["#bf9e6b", "#c7a878", "#ccb280", "#bda375", "#b88557"]
    assert closest(browns, None) < LEAST_APART


def test_the_viewer_has_the_same_grounds() -> None:
    text = resources.files("frame3d.view").joinpath("assets/viewer/colours.js").read_text("utf-8")
    assert re.findall(r"ground: '(#\w{6})'", text) == [LIGHT_GROUND, DARK_GROUND]
