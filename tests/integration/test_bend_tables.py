"""The tables for bending machines, rebuilt by arithmetic that knows nothing of the model.

From a file alone a tube is fed, turned and bent step by step in space, or rolled piece by piece;
its end must be the model's within 1e-6 mm.
"""

from __future__ import annotations

import csv
import io
import math

import numpy as np
import pytest

from frame3d import lay_out, load_design
from frame3d.design.tables.purchase import Bender
from frame3d.examples import example_paths
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.parts import Tube
from frame3d.sheets.shop.bend_rows import bend_csv


def bent_tubes():
    for path in example_paths().values():
        frame = lay_out(load_design(path))
        for group in frame.parts_of_kind(Tube):
            if not group.part.axis.is_straight:
                yield group, lengths_of(frame)


TUBES = list(bent_tubes())


def read(text: str) -> tuple[list[dict[str, str]], float]:
    """The rows by their heads without units, and millimetres in the unit of lengths."""
    head, *rows = csv.reader(io.StringIO(text))
    unit = {"mm": 1.0, "in": 25.4}[next(h for h in head if "Radius" in h).split(", ")[1]]
    names = [h.split(", ")[0] for h in head]
    return [dict(zip(names, row, strict=True)) for row in rows], unit


def bent(rows: list[dict[str, str]], unit: float) -> np.ndarray:
    """Where a tube ends by feed, rotation, bend and radius, mm."""
    at, along, inward = np.zeros(3), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    for row in rows[1:-1]:
        at = at + float(row["Feed"]) * unit * along
        turn, bend = (math.radians(float(row[name])) for name in ("Rotation", "Bend"))
        inward = math.cos(turn) * inward + math.sin(turn) * np.cross(along, inward)
        radius = float(row["Radius"]) * unit
        at = at + radius * (math.sin(bend) * along + (1 - math.cos(bend)) * inward)
        along, inward = (
            math.cos(bend) * along + math.sin(bend) * inward,
            math.cos(bend) * inward - math.sin(bend) * along,
        )
    return at + float(rows[-1]["Feed"]) * unit * along


def rolled(rows: list[dict[str, str]], unit: float) -> tuple[complex, float]:
    """Where a tube ends by its straights and arcs, as a complex number, and its length."""
    at, way, length = 0j, 1 + 0j, 0.0
    for row in rows:
        length += float(row["Length"]) * unit
        if row["Form"] == "straight":
            at += float(row["Length"]) * unit * way
            continue
        radius = float(row["Radius"]) * unit
        side = 1j if float(row["Toward"]) == 0 else -1j
        turned = way * np.exp(side * math.radians(float(row["Angle"])))
        at, way = at + radius * side * (way - turned), turned
    return at, length


def placed(row: dict[str, str], names: str, unit: float) -> list[float]:
    return [float(row[f"{names}{axis}"]) * unit for axis in "XYZ"]


def test_both_examples_have_bent_tubes():
    assert len(TUBES) > 6


@pytest.mark.parametrize("number", range(len(TUBES)))
def test_a_tube_bent_by_its_file_ends_where_the_model_has_it(number):
    group, lengths = TUBES[number]
    end = group.part.axis.end
    rows, unit = read(bend_csv(group.part, Bender.ROTARY, lengths))
    wanted = [end.x_mm, end.y_mm, 0.0]
    assert bent(rows, unit) == pytest.approx(wanted, abs=1e-6)
    assert placed(rows[-1], "", unit) == pytest.approx(wanted, abs=1e-6)
    # The intersection points carry the same tube: their straights less both tangents are feeds.
    points = [np.array(placed(row, "", unit)) for row in rows]
    reach = [
        float(row["Radius"]) * unit * math.tan(math.radians(float(row["Bend"])) / 2)
        for row in rows[1:-1]
    ]  # fmt: skip
    for i, (a, b, row) in enumerate(zip(points, points[1:], rows[1:], strict=False)):
        taken = (reach[i - 1] if i else 0.0) + (reach[i] if i < len(reach) else 0.0)
        assert np.linalg.norm(b - a) - taken == pytest.approx(float(row["Feed"]) * unit, abs=1e-6)
        says = "no straight before it" in row["Note"]
        assert says is (i < len(reach) and float(row["Feed"]) == 0.0)


@pytest.mark.parametrize("number", range(len(TUBES)))
def test_a_tube_rolled_by_its_file_ends_where_the_model_has_it(number):
    group, lengths = TUBES[number]
    tube = group.part
    rows, unit = read(bend_csv(tube, Bender.ROLLS, lengths))
    at, length = rolled(rows, unit)
    end = (tube.axis.end.x_mm, tube.axis.end.y_mm)
    assert (at.real, at.imag) == pytest.approx(end, abs=1e-6)
    assert placed(rows[-1], "End ", unit)[:2] == pytest.approx(end, abs=1e-6)
    assert length == pytest.approx(tube.length_mm, abs=1e-6)
    for row in rows:
        if row["Form"] == "arc" and row["Gauge"]:
            # By Pythagoras from the centre of the bend to the middle and the end of the gauge.
            half, rise = float(row["Gauge"]) / 2, float(row["Rise"])
            inside = float(row["Inside radius"])
            assert math.hypot(half, inside - rise) == pytest.approx(inside, rel=1e-9)
            assert inside + tube.section.od_mm / unit == pytest.approx(float(row["Outside radius"]))
