"""How much earth is dug and filled for a plane, exact for the surface through the points.

Over a flat triangle of area A, let d be the ground less the plane at its corners, lowest
first. Where one corner is above the plane, the part above is a tetrahedron of which the
corner's triangle is a share d3/(d3-d1) by d3/(d3-d2), so its volume is

    A d3³ / (3 (d3 - d1)(d3 - d2))

and likewise where one is below; what is left follows from the whole, A (d1 + d2 + d3)/3.
Closed forms: the volume of a tetrahedron is a third of its base by its height (Euclid,
Elements, XII.7). No allowance for swelling or settling.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import DrivingPlan
from frame3d.site.ground.facets import Facets, Rectangle, ground_over
from frame3d.site.staking.setting_out import PlaceKind

Array = np.ndarray
_LEVEL_MM = 1e-6
"""A plane that so little lies above or below of is met by the ground."""


class Moved(Struct, frozen=True, kw_only=True):
    """What is moved to make the ground a plane.

    Parameters
    ----------
    cut_mm3, fill_mm3 : float
        As it lies in the ground.
    deepest_mm, highest_mm : float
        The most that is dug and filled at one place.
    """

    cut_mm3: float
    fill_mm3: float
    deepest_mm: float
    highest_mm: float


class Pad(Struct, frozen=True, kw_only=True):
    """A plane that the ground can be made: level across, and what it takes.

    Parameters
    ----------
    name : str
    start_mm : float
        Height at the corner socket, of the levels.
    slope : float
        Rise for each level mm along the tunnel.
    moved : Moved
    """

    name: str
    start_mm: float
    slope: float
    moved: Moved


class Earthwork(Struct, frozen=True, kw_only=True):
    """The pads that can be chosen between, over one rectangle."""

    over: Rectangle
    pads: tuple[Pad, ...]


def cut_and_fill(facets: Facets, start_mm: float, slope: float) -> Moved:
    """What is moved for the plane ``start_mm + slope * y``.

    Parameters
    ----------
    facets : Facets
    start_mm : float
    slope : float
    """
    corners = facets.corners
    off = np.sort(corners[:, :, 2] - (start_mm + slope * corners[:, :, 1]), axis=1)
    off[np.abs(off) < _LEVEL_MM] = 0.0
    whole = facets.areas * off.sum(axis=1) / 3
    low, middle, high = off.T
    cut = np.where(low >= 0, whole, 0.0)
    one_above = (middle <= 0) & (high > 0)
    cut[one_above] = _tip(facets.areas, high, middle, low, one_above)
    one_below = (low < 0) & (middle > 0)
    cut[one_below] = whole[one_below] + _tip(facets.areas, -low, -middle, -high, one_below)
    return Moved(
        cut_mm3=float(cut.sum()),
        fill_mm3=float((cut - whole).sum()),
        deepest_mm=max(0.0, float(high.max())),
        highest_mm=max(0.0, float(-low.min())),
    )


def _tip(areas: Array, tip: Array, second: Array, third: Array, where: Array) -> Array:
    """Volume between plane and triangle at the one corner on its side of the plane."""
    tip, second, third = tip[where], second[where], third[where]
    volume: Array = areas[where] * tip**3 / (3 * (tip - second) * (tip - third))
    return volume


def earthwork_of(frame: Frame, driving: DrivingPlan) -> Earthwork:
    """Cut and fill for the ground that the string is made for, and for a level pad."""
    over, facets, start, slope = _to_string(frame, driving)
    pads = []
    if slope:
        pads.append(("to the string's slope", start, slope))
        middle = (over.front_mm + over.back_mm) / 2
        pads.append(("that slope, cut equal to fill", facets.mean_mm - slope * middle, slope))
    else:
        pads.append(("level, to the string", start, 0.0))
    pads.append(("level, cut equal to fill", facets.mean_mm, 0.0))
    return Earthwork(
        over=over,
        pads=tuple(
            Pad(name=name, start_mm=at, slope=rise, moved=cut_and_fill(facets, at, rise))
            for name, at, rise in pads
        ),
    )


def pieces_over(frame: Frame, driving: DrivingPlan) -> tuple[Array, Array]:
    """Flat pieces of the ground under the pad to the string, for whoever moves that.

    Returns
    -------
    areas : (n,) float, mm²
    off : (n, 3) float, mm
        Heights of their corners over the pad, rising.
    """
    _, facets, start, slope = _to_string(frame, driving)
    corners = facets.corners
    off: Array = np.sort(corners[:, :, 2] - (start + slope * corners[:, :, 1]), axis=1)
    return facets.areas, off


def _to_string(frame: Frame, driving: DrivingPlan) -> tuple[Rectangle, Facets, float, float]:
    """The pad to the string: where, the ground there, its height at the corner, its rise."""
    over = plot_of(driving).wider(frame.design.staking.pad_margin)
    start = driving.string.start_mm - driving.exposure.wanted_mm
    return over, ground_over(driving.ground, over), start, driving.rise_toward_last


def plot_of(driving: DrivingPlan) -> Rectangle:
    """The rectangle of the corner sockets as they stand on this ground."""
    sockets = driving.setting_out.of(PlaceKind.SOCKET)
    xs, ys = [point.x_mm for point in sockets], [point.y_mm for point in sockets]
    return Rectangle(left_mm=min(xs), right_mm=max(xs), front_mm=min(ys), back_mm=max(ys))
