"""The picture for where nothing can be turned: the frame fills it and does not leave it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.view.still_picture import frame_picture


@pytest.mark.parametrize("name", ["long_meadow_gothic", "long_meadow_quonset"])
def test_the_frame_fills_its_picture(name: str) -> None:
    text = frame_picture(lay_out(read_design(example_paths()[name])))
    root = ElementTree.fromstring(re.sub(r'\sxmlns="[^"]*"', "", text))
    left, top, wide, high = (float(word) for word in root.get("viewBox").split())
    paths = [path.get("d") for path in root.iter("path")]
    assert len(paths) > 100
    pairs = [pair for d in paths for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)]
    across, down = ([float(pair[axis]) for pair in pairs] for axis in (0, 1))
    assert left <= min(across) and max(across) <= left + wide
    assert top <= min(down) and max(down) <= top + high
    # It is fitted to the wider of its two ways, whatever that is.
    shares = (max(across) - min(across)) / wide, (max(down) - min(down)) / high
    assert max(shares) > 0.9
