"""Where water runs beside the frame on the ground as it is.

Water leaves a side that falls along it, and stays away from one whose ground falls away from
the tunnel. A fall of 1 % (1 in 100) is taken as the least (common practice, no source). All
figures are of the surface through the points, at each bend of it.

Glossary
--------
hollow : a stretch of a side from which water has no way out along it; as deep as what stands
    in it before it runs over.
"""

from __future__ import annotations

import itertools

import numpy as np
from msgspec import Struct

from frame3d.site.driving.driving_plan import DrivingPlan
from frame3d.site.earthwork.volumes import plot_of
from frame3d.site.ground.facets import ground_line
from frame3d.site.ground.surface import Ground
from frame3d.units import UnitSystem

LEAST_PERCENT = 1.0
HOLLOW_MM = 10.0
"""Hollows less deep than this are none: levels are no better (common practice, no source)."""
_REACHES_MM = {
    UnitSystem.IMPERIAL: (3048.0, 1524.0, 609.6),
    UnitSystem.METRIC: (3000.0, 1500.0, 600.0),
}
"""How far out the ground is looked at, as far as it was measured."""
_LEVEL_MM = 0.5

Line = tuple[tuple[float, float], ...]
"""Distances along and heights, mm."""


class SideWater(Struct, frozen=True, kw_only=True):
    """One side of the frame.

    Parameters
    ----------
    name : str
        ``left side``, ``right side``, ``front end``, ``back end``.
    toward : str
        The end of it that is lower.
    fall_percent : float
        From its higher end to its lower one.
    hollow_mm, hollow_at_mm : float
        The deepest hollow; 0 for none; and where it lies, from the first hoop or from the left.
    away_percent : float or None
        The least fall away from the tunnel; less than 0 falls toward it; None where the ground
        outside was not measured.
    away_at_mm : float or None
        Where that is, as ``hollow_at_mm``.
    reach_mm : float or None
        How far out that is.
    """

    name: str
    toward: str
    fall_percent: float
    hollow_mm: float
    hollow_at_mm: float
    away_percent: float | None
    away_at_mm: float | None
    reach_mm: float | None


class Water(Struct, frozen=True, kw_only=True):
    """All four sides.

    Parameters
    ----------
    sides : tuple of SideWater
        Left, right, front, back.
    low_corner : str
        The socket at the lowest corner.
    corners_mm : dict of str to float
        Heights of the ground at the corner sockets.
    """

    sides: tuple[SideWater, ...]
    low_corner: str
    corners_mm: dict[str, float]


def water_of(driving: DrivingPlan, system: UnitSystem) -> Water:
    """Where water runs beside the sockets as they stand."""
    plot, ground, hoops = plot_of(driving), driving.ground, len(driving.sockets) // 2
    left, right = plot.left_mm, plot.right_mm
    front, back = plot.front_mm, plot.back_mm
    ways = (
        ("left side", (left, front), (left, back), (-1.0, 0.0), ("first hoop", "last hoop")),
        ("right side", (right, front), (right, back), (1.0, 0.0), ("first hoop", "last hoop")),
        ("front end", (left, front), (right, front), (0.0, -1.0), ("left", "right")),
        ("back end", (left, back), (right, back), (0.0, 1.0), ("left", "right")),
    )
    places = {"1L": (left, front), "1R": (right, front),
              f"{hoops}L": (left, back), f"{hoops}R": (right, back)}  # fmt: skip
    heights, _ = ground.at(np.array(list(places.values())))
    corners = dict(zip(places, map(float, heights), strict=True))
    return Water(
        sides=tuple(_side(ground, *way, _REACHES_MM[system]) for way in ways),
        low_corner=min(corners, key=lambda name: corners[name]),
        corners_mm=corners,
    )


def _side(
    ground: Ground,
    name: str,
    start: tuple[float, float],
    end: tuple[float, float],
    outward: tuple[float, float],
    ends: tuple[str, str],
    reaches_mm: tuple[float, ...],
) -> SideWater:
    line = ground_line(ground, start, end)
    drop = line[0][1] - line[-1][1]
    depth, at = hollow_of(line)
    away = next(
        (
            found
            for reach in reaches_mm
            if (found := _away(ground, line, start, end, outward, reach))
        ),
        (None, None, None),
    )
    return SideWater(
        name=name,
        toward=ends[1] if drop >= 0 else ends[0],
        fall_percent=100 * abs(drop) / line[-1][0] if abs(drop) > _LEVEL_MM else 0.0,
        hollow_mm=depth,
        hollow_at_mm=at,
        away_percent=away[0],
        away_at_mm=away[1],
        reach_mm=away[2],
    )


def _away(
    ground: Ground,
    line: Line,
    start: tuple[float, float],
    end: tuple[float, float],
    outward: tuple[float, float],
    reach_mm: float,
) -> tuple[float, float, float] | None:
    """The least fall outward of a side, where it is, and how far out; None where not measured.

    The ground at the side and that so far out are both straight between their bends, so their
    difference is least at one of those.
    """
    low, run = np.asarray(start), np.subtract(end, start)
    out = reach_mm * np.asarray(outward)
    outer = ground_line(ground, tuple(low + out), tuple(low + run + out))
    stops = np.unique([at for at, _ in (*line, *outer)])
    places = low + stops[:, None] / line[-1][0] * run
    there, off = ground.at(places + out)
    here, _ = ground.at(places)
    measured = off == 0
    if not measured.any():
        return None
    falls = np.where(measured, here - there, np.inf)
    least = int(np.argmin(falls))
    return 100 * float(falls[least]) / reach_mm, float(stops[least]), reach_mm


def hollow_of(line: Line) -> tuple[float, float]:
    """Depth and place of the deepest hollow of a line, mm; 0, 0 for none.

    At each bend water rises to the lower of the highest places on both sides of it.
    """
    heights = [z for _, z in line]
    before = list(itertools.accumulate(heights, max))
    after = list(itertools.accumulate(reversed(heights), max))[::-1]
    depths = [min(a, b) - z for a, b, z in zip(before, after, heights, strict=True)]
    deepest = max(range(len(line)), key=lambda i: depths[i])
    return (depths[deepest], line[deepest][0]) if depths[deepest] > 1e-6 else (0.0, 0.0)
