"""Areas of the cover: what lies on each hoop, and what each face shows to the wind by height."""

from __future__ import annotations

import math

import numpy as np

from frame3d.loads.model.space_frame import SpaceFrame
from frame3d.loads.shapes.covered import Covered, covered_bars

_BAND_MM = 1000.0
Row = tuple[str | int | float | None, ...]


def _round(value: float) -> float:
    return round(float(value), 4) + 0.0


def hoop_areas(space: SpaceFrame) -> tuple[Row, ...]:
    """For each hoop: number, y in m, length of tunnel on it in m, cover and plan area in m²."""
    covered = covered_bars(space)
    rows: list[Row] = []
    for hoop in sorted(set(covered.hoop.tolist())):
        here = covered.hoop == hoop
        width = covered.width_mm[here]
        rows.append((
            hoop, _round(space.frame.grid.hoop_y_mm[hoop - 1] / 1000), _round(width[0] / 1000),
            _round((covered.lengths[here] * width).sum() / 1e6),
            _round((covered.across_mm[here] * width).sum() / 1e6),
        ))  # fmt: skip
    return tuple(rows)


def face_areas(space: SpaceFrame) -> tuple[Row, ...]:
    """For each face and band of height, m: its area, and what is seen of it square to it, m².

    The sides are those of the whole cover left and right of the ridge; the ends are flat. Bars are
    counted by the height of their middles.
    """
    covered = covered_bars(space)
    top = float(covered.middle[:, 2].max())
    bands = [(k * _BAND_MM, (k + 1) * _BAND_MM) for k in range(math.ceil(top / _BAND_MM))]
    rows: list[Row] = []
    for face, sign in (("left", -1.0), ("right", 1.0)):
        for low, high in bands:
            here = (np.sign(covered.middle[:, 0]) == sign) & (covered.middle[:, 2] >= low)
            here &= covered.middle[:, 2] < high
            area = covered.lengths[here] * covered.width_mm[here]
            seen = area * np.abs(covered.outward[here, 0])
            rows.append((face, low / 1000, high / 1000, _round(area.sum() / 1e6),
                         _round(seen.sum() / 1e6)))  # fmt: skip
    for face in ("front", "back"):
        for low, high in bands:
            area_m2 = _end_area(covered, low, high) / 1e6
            rows.append((face, low / 1000, high / 1000, _round(area_m2), _round(area_m2)))
    return tuple(rows)


def _end_area(covered: Covered, low: float, high: float) -> float:
    """Area of the arch between two heights, mm²."""
    arch = covered.arch
    high = min(high, arch.ridge_height_mm)
    heights = np.linspace(low, high, 41)
    widths = [2 * arch.half_width_at(float(z)) for z in heights]
    return float(np.trapezoid(widths, heights)) if high > low else 0.0
