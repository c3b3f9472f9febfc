"""Mass of one length of stock against published tables: what a price by mass rests on."""

from __future__ import annotations

import pytest

from frame3d.catalog import timber_section, tube_section
from frame3d.takeoff.quantities.stock import kg_per_m

LB_PER_FT = 0.45359237 / 0.3048


# ASME B36.10M: lb/ft to the nearest 0.01, of which small pipe is up to 0.6 %.
@pytest.mark.parametrize(
    ("name", "lb_per_ft"),
    [
        ("NPS 1/2 STD", 0.85), ("NPS 3/4 STD", 1.13), ("NPS 1 STD", 1.68), ("NPS 1 Sch 10", 1.41),
        ("NPS 1-1/4 STD", 2.27), ("NPS 1-1/4 Sch 10", 1.81), ("NPS 1-1/2 STD", 2.72),
        ("NPS 1-1/2 Sch 10", 2.09), ("NPS 2 STD", 3.66), ("NPS 2 Sch 10", 2.64),
    ],
)  # fmt: skip
def test_inch_pipe(name: str, lb_per_ft: float) -> None:
    assert kg_per_m(tube_section(name)) / LB_PER_FT == pytest.approx(lb_per_ft, abs=0.0075)


# EN 10255, plain end: kg/m to the nearest 0.01.
@pytest.mark.parametrize(
    ("name", "kg"),
    [
        ("EN 10255 DN25 medium", 2.41), ("EN 10255 DN32 medium", 3.10),
        ("EN 10255 DN40 medium", 3.57), ("EN 10255 DN50 medium", 5.03),
        ("EN 10255 DN25 heavy", 2.94), ("EN 10255 DN32 heavy", 3.80),
        ("EN 10255 DN40 heavy", 4.38), ("EN 10255 DN50 heavy", 6.19),
    ],
)  # fmt: skip
def test_metric_tube(name: str, kg: float) -> None:
    assert kg_per_m(tube_section(name)) == pytest.approx(kg, abs=0.012)


# PS 20 sizes at 35 lb/ft³ (560.6 kg/m³; boards here have 560): lb/ft to the nearest 0.01.
@pytest.mark.parametrize(
    ("name", "lb_per_ft"),
    [("2x4", 1.28), ("2x6", 2.00), ("2x8", 2.64), ("2x10", 3.37), ("2x12", 4.10)],
)
def test_boards(name: str, lb_per_ft: float) -> None:
    assert kg_per_m(timber_section(name)) / LB_PER_FT == pytest.approx(lb_per_ft, abs=0.01)
