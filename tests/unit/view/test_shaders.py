"""What the shaders promise of their colours."""

from __future__ import annotations

import re
from importlib import resources

_CURVE = re.compile(
    r"curve = ([\d.]+) \* root \+ ([\d.]+) \* sqrt\(root\) - ([\d.]+) \* c - ([\d.]+);"
)


def test_colours_on_the_screen_are_those_of_the_standard() -> None:
    """sRGB by IEC 61966-2-1 (from memory): 12.92 c, from 0.0031308 on 1.055 c^(1/2.4) - 0.055.

    The shaders' own words promise it to a tenth of one of 255 steps.
    """
    folder = resources.files("frame3d.view") / "assets" / "viewer"
    text = (folder / "shaders.js").read_text("utf-8")
    [found] = _CURVE.findall(text)
    root, fourth, straight, off = map(float, found)
    assert "mix(12.92 * c, curve, step(0.0031308, c))" in text
    for c in (n / 10_000 for n in range(32, 10_001)):
        curve = root * c**0.5 + fourth * c**0.25 - straight * c - off
        assert abs(curve - (1.055 * c ** (1 / 2.4) - 0.055)) < 0.1 / 255, c
