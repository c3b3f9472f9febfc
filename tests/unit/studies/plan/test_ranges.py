"""Values in even steps."""

from __future__ import annotations

import pytest

from frame3d.studies.plan.ranges import values_between
from frame3d.units import parse_angle, parse_length


@pytest.mark.parametrize(
    ("given", "values"),
    [
        (("5 m", "6 m", "0.5 m"), ["5 m", "5.5 m", "6 m"]),
        (("5 m", "6 m", "300 mm"), ["5000 mm", "5300 mm", "5600 mm", "5900 mm"]),
        (("20 ft", "21 ft", "6 in"), ["240 in", "246 in", "252 in"]),
        (("0.1 m", "0.3 m", "0.1 m"), ["0.1 m", "0.2 m", "0.3 m"]),
        (("6' 3 1/2\"", "6' 4\"", "1/2 in"), ["75.5 in", "76 in"]),
        (("1 deg", "2 deg", "0.5 deg"), ["1 deg", "1.5 deg", "2 deg"]),
        ((2, 8, 3), [2, 5, 8]),
        ((0.1, 0.3, 0.1), [0.1, 0.2, 0.3]),
    ],
)
def test_values(given: tuple[str, str, str], values: list[object]) -> None:
    assert values_between(*given) == values


def test_what_is_written_is_read_as_what_is_meant() -> None:
    lengths = [parse_length(value) for value in values_between("20 ft", "30 ft", "1 in")]
    assert lengths == pytest.approx([(240 + n) * 25.4 for n in range(121)], abs=1e-6)
    angles = [parse_angle(value) for value in values_between("0.1 rad", "0.3 rad", "0.1 rad")]
    assert angles == pytest.approx([0.1, 0.2, 0.3], abs=1e-6)
