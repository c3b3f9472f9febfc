"""The picture for where nothing can be turned: the frame fills it and does not leave it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths, typical_paths
from frame3d.frame.lay_out import lay_out
from frame3d.solids.write.role_colours import DARK_GROUND, LIGHT_GROUND, colour_group
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


def test_on_dark_ground_it_has_the_colours_of_the_dark_and_the_same_lines() -> None:
    """The colours are those of the one table, which tests hold against dark ground too."""
    frame = lay_out(read_design(typical_paths()["school"]))
    light, dark = frame_picture(frame), frame_picture(frame, on_dark=True)
    assert re.findall(r' d="[^"]+"', light) == re.findall(r' d="[^"]+"', dark)
    groups = {colour_group(member.role) for member in frame.members if not member.part.is_bought}
    for text, wanted in (
        (light, {group.light for group in groups} | {LIGHT_GROUND}),
        (dark, {group.dark for group in groups} | {DARK_GROUND}),
    ):
        assert set(re.findall(r"#[0-9a-f]{6}", text)) == wanted
