"""Which way an open end faces the wind, by the angle between two directions on the compass."""

from __future__ import annotations

import math

import pytest

from frame3d.checks.rules.site_rules import FACING, check_site
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out

COMPASS = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip


def findings(faces: str, wind: str) -> list:
    """Of a tunnel whose front alone is open: its back has a wall without a door."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
        "end_wall": [{"at": "back", "braces": "none"}],
        "surroundings": {"front_faces": faces, "wind_from": wind},
    }))  # fmt: skip
    return [f for f in check_site(frame) if f.rule is FACING]


@pytest.mark.parametrize("faces", range(8))
@pytest.mark.parametrize("wind", range(8))
def test_an_open_end_is_told_by_its_angle_to_the_wind(faces: int, wind: int) -> None:
    first, second = (math.radians(45 * n) for n in (faces, wind))
    cosine = math.cos(first) * math.cos(second) + math.sin(first) * math.sin(second)
    angle = math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
    found = findings(COMPASS[faces], COMPASS[wind])
    assert [f.where for f in found] == (["front end"] if angle < 89 else [])
    assert [f.provided for f in found] == pytest.approx([angle] if angle < 89 else [], abs=1e-5)
