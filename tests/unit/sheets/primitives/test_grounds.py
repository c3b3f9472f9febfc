"""Shapes that keep clear of each other: quick answers are those of asking every pair."""

from __future__ import annotations

import random

import numpy as np
from shapely import LineString, Polygon, box

from frame3d.sheets.primitives.occupancy import Grounds


def some_boxes(chance: random.Random, count: int) -> list[Polygon]:
    corners = [(chance.uniform(0, 100), chance.uniform(0, 100)) for _ in range(count)]
    return [box(x, y, x + chance.uniform(0.5, 9), y + chance.uniform(0.5, 3)) for x, y in corners]


def test_what_is_near_is_all_that_can_be_met() -> None:
    """Against shapely's own answer for every pair; more are added than there was room for."""
    chance = random.Random(1)
    shapes = some_boxes(chance, 150)
    grounds = Grounds(shapes[:40])
    for shape in shapes[40:]:
        grounds.add(shape)
    asked = some_boxes(chance, 200)
    met = [any(shape.intersects(one) for one in shapes) for shape in asked]
    assert [grounds.meet(shape) for shape in asked] == met
    assert grounds.each_meet(np.array(asked)).tolist() == met
    assert 20 < sum(met) < 180
    for _ in range(200):
        line = LineString([(chance.uniform(0, 100), chance.uniform(0, 100)) for _ in range(2)])
        thick = line.buffer(0.4)
        assert grounds.meet_leader(line, 0.4) == any(thick.intersects(one) for one in shapes)


def test_an_empty_one_meets_nothing() -> None:
    assert not Grounds().meet(box(0, 0, 1, 1))
    assert not Grounds().each_meet(np.array([box(0, 0, 1, 1)])).any()
