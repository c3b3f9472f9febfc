"""What lists call parts whose ends are swaged, flattened, mitred, bevelled or notched."""

from __future__ import annotations

import pytest
from end_form_parts import (
    BENT,
    BENT_SLANTED,
    BOTH_LAPPED,
    HALVED,
    MITRED,
    ONE_FLAT,
    SLANTED,
    STUD,
    WEB,
)
from msgspec.structs import replace

from frame3d.frame.model.parts import BoardEnd
from frame3d.summary import describe
from frame3d.units import LengthFormat, UnitSystem


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (WEB, "NPS 1 STD tube, straight, both ends flat, 2 holes"),
        (ONE_FLAT, "NPS 1-1/4 STD tube, straight, one end flat, one end swaged, 1 hole"),
        (BENT, "NPS 1-1/4 STD tube, bent, both ends flat, 3 holes"),
        (SLANTED, "NPS 1 STD tube, straight, both ends flat, cut at an angle, 2 holes"),
        (BENT_SLANTED, "NPS 1-1/4 STD tube, bent, one end flat, cut at an angle, 2 holes"),
        (MITRED, "2x4 board, both ends mitred, 2 holes"),
        (STUD, "2x4 board, one end bevelled and notched, 1 hole"),
        (BOTH_LAPPED, "2x4 board, one end notched, one end bevelled and notched, 1 hole"),
        (HALVED, "2x4 board, one end notched, one end mitred, 1 hole"),
        (replace(STUD, end=BoardEnd(), edge_holes=()), "2x4 board"),
    ],
)
def test_ends_are_named(part, words) -> None:
    assert describe(part, LengthFormat(system=UnitSystem.METRIC)) == words
