"""Volume and centre of the split ring of a tube coupler, by arithmetic alone."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from frame3d.frame.measure.integrals import half_turn_rule, under_circle
from frame3d.frame.model.bodies import SplitRing


def split_ring_volume_mm3(half: SplitRing) -> float:
    """Ring, less its split, with boss and two ears as thick as the ring, less their holes.

    Exact as long as the boss is no wider than the tube and clear of the ears, and
    the ears' hole is clear of the ring.
    """
    inside, outside = half.tube_od_mm / 2, half.ring_mm
    slit, back = half.gap_mm / 2, half.back_mm
    ring = math.pi * (outside**2 - inside**2)
    ring -= under_circle(outside, -slit, slit) - under_circle(inside, -slit, slit)
    ears = 2 * (half.tip_mm * half.band_mm - under_circle(outside, slit, back))
    return (ring + ears) * half.width_mm - _drilled_mm3(half) + _boss(half, 1)


def split_ring_centre_mm(half: SplitRing) -> tuple[float, float, float]:
    """Ears and split move it toward +y, the boss toward +z; it lies in the plane x = 0."""
    inside, outside = half.tube_od_mm / 2, half.ring_mm
    slit, back = half.gap_mm / 2, half.back_mm
    # The split takes y from circle to circle, an ear goes on from the outer one to its end.
    along = -half.width_mm * slit * (outside**2 - inside**2)
    reach = half.tip_mm**2 - outside**2
    along += half.width_mm * (half.band_mm * reach + (back**3 - slit**3) / 3)
    along -= _drilled_mm3(half) * half.ear_bolt_mm
    total = split_ring_volume_mm3(half)
    return (0.0, along / total, _boss(half, 2) / total)


def _drilled_mm3(half: SplitRing) -> float:
    """What the bolt's holes take out of the ears, mm³."""
    return 2 * math.pi / 4 * half.bolt.hole_mm**2 * half.band_mm


def _boss(half: SplitRing, power: int) -> float:
    """What the boss adds to the ring, from the tube's surface to its face.

    The integral of z to ``power`` - 1: its volume, mm³, for 1, its moment about the tube's axis,
    mm⁴, for 2.
    """
    total = 0.0
    for weight, y, step in _across_boss(half):
        # What is under a height h, to that power of z, is h**power / power.
        saddle, outer = (
            np.maximum(r**2 - y**2, 0.0) ** (power / 2) for r in (half.tube_od_mm / 2, half.ring_mm)
        )
        shared = np.minimum(step, half.width_mm / 2) * (outer - saddle)
        boss = step * (half.face_mm**power - saddle)
        total += 4 / power * float(np.sum(weight * step * (boss - shared)))
    return total


def _across_boss(half: SplitRing) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Weights, places y across the boss and half its chord along the tube there."""
    radius = half.boss_diameter_mm / 2
    # Where the boss is wider than the ring the integrand has a corner: one
    # integral on either side of it.
    corner = math.acos(min(half.width_mm / half.boss_diameter_mm, 1.0))
    for low, high in ((0.0, corner), (corner, math.pi / 2)):
        point, weight = half_turn_rule()
        angle = low + (high - low) * (point / math.pi + 0.5)
        yield (
            weight * (high - low) / math.pi, radius * np.sin(angle), radius * np.cos(angle),
        )  # fmt: skip
