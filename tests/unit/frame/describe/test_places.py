"""Where parts go, in words."""

from __future__ import annotations

import pytest

from frame3d.catalog import washer_size
from frame3d.frame.describe.places import grid_text, numbers_text
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Washer
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.placement import Placement

L, R, M = Side.LEFT, Side.RIGHT, Side.MIDDLE


def members(*spots: tuple) -> list[Member]:
    part = Washer(size=washer_size("M10"))
    return [
        Member(
            mark="W1", role=Role.WASHER, part=part, placement=Placement(),
            spot=Spot(side=side, hoop=hoop, to_hoop=last[0] if last else None),
        )
        for side, hoop, *last in spots
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("spots", "text"),
    [
        ([(M, 3)], "middle: hoop 3"),
        ([(M, 3), (M, 3)], "middle: hoop 3, 2 there"),
        ([(L, n) for n in (1, 2, 3, 5)], "left: hoops 1 to 3, 5"),
        ([(s, n) for s in (L, R) for n in (1, 2)], "left and right: hoops 1 to 2"),
        ([(L, 1), (R, 2)], "left: hoop 1; right: hoop 2"),
        ([(L, 1), (L, 2), (L, 2)], "left: hoop 1, hoop 2, 2 there"),
        ([(s, 1) for s in (L, R, M)], "left and right: hoop 1; middle: hoop 1"),
        ([(L, 1, 4), (L, 4, 7)], "left: from hoop 1 to 4, 4 to 7"),
        ([(R, 7, 4)], "right: from hoop 4 to 7"),
        ([(M, 2, 2)], "middle: hoop 2"),
        ([(L, 2 * n, 2 * n + 1) for n in range(1, 16)],
         "left: from hoop " + ", ".join(f"{2 * n} to {2 * n + 1}" for n in range(1, 13))
         + " and 3 more"),
    ],
)  # fmt: skip
def test_places_in_words(spots: list, text: str) -> None:
    assert grid_text(members(*spots)) == text


def test_numbers_are_drawn_together() -> None:
    assert numbers_text([1, 2, 3, 7, 9, 10]) == "1 to 3, 7, 9 to 10"
    assert numbers_text([]) == ""
