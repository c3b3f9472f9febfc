"""How timber uprights end at the hoop, by the circles of its outside and inside."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest

from frame3d.design.tables.whole_design import StudTop
from frame3d.frame.end_walls.studs import timber_top

OUTSIDE_MM, INSIDE_MM, THICK_MM = 3025.0, 2975.0, 38.0


def wall(top: StudTop) -> SimpleNamespace:
    """A half circle about the middle of the ground, as far as an upright looks at it."""
    return SimpleNamespace(
        upright_mm=THICK_MM,
        spec=SimpleNamespace(stud_top=top),
        z_over=lambda x: math.sqrt(OUTSIDE_MM**2 - x**2),
        z_under=lambda x: math.sqrt(INSIDE_MM**2 - x**2),
    )


@pytest.mark.parametrize("x_mm", [0.0, 900.0, -1800.0, 2600.0])
def test_a_notched_top_stays_under_the_cover(x_mm: float) -> None:
    hoop = wall(StudTop.NOTCHED)
    left, right, lap = timber_top(hoop, x_mm)
    faces = (x_mm - THICK_MM / 2, x_mm + THICK_MM / 2)
    above = [hoop.z_over(x) - top for x, top in zip(faces, (left, right), strict=True)]
    # The notch is as high as the hoop is at the face where it is less; nowhere does wood look out.
    assert min(above) == pytest.approx(0.0, abs=1e-9)
    assert lap == pytest.approx(min(hoop.z_over(x) - hoop.z_under(x) for x in faces))
    assert [left - lap, right - lap] == pytest.approx([hoop.z_under(x) for x in faces])


@pytest.mark.parametrize("x_mm", [0.0, -1800.0])
def test_a_bolted_top_ends_with_the_hoop(x_mm: float) -> None:
    hoop = wall(StudTop.BOLTED)
    left, right, lap = timber_top(hoop, x_mm)
    tops = [hoop.z_over(x_mm - THICK_MM / 2), hoop.z_over(x_mm + THICK_MM / 2)]
    assert [left, right] == pytest.approx(tops)
    assert lap == 0.0
