"""Published coefficients of snow and wind on curved roofs: shapes, without any size.

References
----------
EN 1991-1-3:2003, 5.3.5 and figure 5.6, snow on cylindrical roofs.
EN 1991-1-4:2005, table 7.1 (walls), figure 7.11 (vaulted roofs) and 7.2.9 (inside pressure). The
curves of figure 7.11 are straight lines here through values read from it: f/d 0.26 and h/d 0.33
give A +0.25, B -0.96, C -0.40 in a published worked example; below f/d 0.2 it is from memory.
These data are doubted: P. A. Blackmore and E. Tsokri, Wind loads on curved roofs, Journal of Wind
Engineering and Industrial Aerodynamics 94 (2006).
EN 13031-1:2019, commercial greenhouses, has coefficients of its own. It was not read, and no number
here is from it.
"""

from __future__ import annotations

import numpy as np

EVEN_SNOW = 0.8
"""Of an even roof, and of a cylindrical one that is not steeper than 60°."""
_MOST_DRIFT = 2.0
INSIDE_PRESSURE, INSIDE_SUCTION = 0.2, -0.3
_DOMINANT = 0.75


def drift_coefficient(rise_mm: float, width_mm: float) -> float:
    """The greatest coefficient of drifted snow on a cylindrical roof: 0.2 + 10 h / b, at most 2."""
    return min(_MOST_DRIFT, 0.2 + 10 * rise_mm / width_mm)


def vault_coefficients(rise: float, height: float) -> tuple[float, float, float]:
    """Outside pressure on the windward quarter, the middle half and the leeward quarter.

    Parameters
    ----------
    rise : float
        f/d: the rise of the vault by its width, 0.05 to 0.5; what is beyond is taken as the limit.
    height : float
        h/d: the height of its springing by its width; from 0.5 on all is alike.
    """
    f, h = min(max(rise, 0.05), 0.5), min(max(height, 0.0), 0.5)
    on_ground = 1.6 * f
    raised = (f - 0.2) * 0.8 / 0.3 if f >= 0.2 else -0.9
    return on_ground + (raised - on_ground) * h / 0.5, -(0.7 + f), -0.4


def wall_coefficients(height: float) -> tuple[float, float]:
    """Outside pressure on the windward and the leeward wall, by height over depth in the wind."""
    steps = [0.25, 1.0, 5.0]
    return (
        float(np.interp(height, steps, [0.7, 0.8, 0.8])),
        float(np.interp(height, steps, [-0.3, -0.5, -0.7])),
    )


def side_coefficient(from_front: float) -> float:
    """Outside pressure beside the wind, by the distance from the windward edge over e.

    e is the width across the wind or twice the height, whichever is less: zones A to e / 5, B to e
    and C beyond.
    """
    return -1.2 if from_front < 0.2 else -0.8 if from_front < 1.0 else -0.5


def inside_coefficients(sides_open: bool, windward: float, leeward: float) -> tuple[float, float]:
    """Inside pressure and inside suction; with open sides those of a dominant face, 0.75 of it."""
    if not sides_open:
        return INSIDE_PRESSURE, INSIDE_SUCTION
    return _DOMINANT * windward, _DOMINANT * leeward
