"""What is staked out: sockets, stakes of the string lines, a baseline, a square corner.

All sockets stand on a rectangle. Its diagonals are equal; where the far end stands ``d``
sideways of where it should, they differ by

    sqrt(L² + (W + d)²) - sqrt(L² + (W - d)²)

with W across and L along, which is about 2 W d / D with D the diagonal (Pythagoras). A
triangle with sides of 3, 4 and 5 has a right angle (Euclid, Elements, I.48).

Glossary
--------
stake of a string : a batter stake; it stands beyond the corner, on the line of a side or of
    an end, so that the string over it stays while the corner is dug and driven.
skew : how far the far end stands sideways of where it should.
"""

from __future__ import annotations

import enum
import math

from msgspec import Struct

from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.site.staking.socket_names import Axes, axes_of, socket_name, socket_places
from frame3d.units import UnitSystem

_LONGEST_TAPE_MM = 30480.0
"""100 ft, or 30 m and a little: the longest side of the triangle to be taped."""
_STEPS_MM = {
    UnitSystem.IMPERIAL: (304.8, 25.4),
    UnitSystem.METRIC: (500.0, 100.0, 10.0),
}
_SKEWS_MM = {
    UnitSystem.IMPERIAL: tuple(25.4 * inches for inches in (0.25, 0.5, 1.0, 2.0, 3.0, 6.0)),
    UnitSystem.METRIC: (5.0, 10.0, 20.0, 50.0, 80.0, 150.0),
}


class PlaceKind(enum.Enum):
    """What stands or is marked at a place."""

    SOCKET = "socket"
    STAKE = "string stake"
    BASELINE = "baseline"
    SQUARE = "square corner"


class StakedPoint(Struct, frozen=True, kw_only=True):
    """A place to stake, in the axes of the site, mm.

    Parameters
    ----------
    name : str
    kind : PlaceKind
    x_mm, y_mm : float
        Level distances from the corner socket, at the ground.
    z_mm : float or None
        Height of the ground there; 0 where there are no levels, None where it is not known.
    along_mm : float
        Running distance from the corner, along the tunnel, as a tape along the string gives it.
    offset_mm : float
        Distance from the baseline.
    top_x_mm, top_z_mm : float or None
        Of the middle of a socket's top; ``top_z_mm`` of a stake: the string over it.
    mark : str
        Of a socket: its part.
    """

    name: str
    kind: PlaceKind
    x_mm: float
    y_mm: float
    z_mm: float | None
    along_mm: float
    offset_mm: float
    top_x_mm: float | None = None
    top_z_mm: float | None = None
    mark: str = ""


class Skew(Struct, frozen=True, kw_only=True):
    """How much the diagonals differ when the far end is off sideways, mm."""

    skew_mm: float
    difference_mm: float


class SquareCorner(Struct, frozen=True, kw_only=True):
    """The triangle of 3, 4 and 5 at the first corner, mm; ``unit_mm`` is the 1."""

    unit_mm: float
    along_mm: float
    across_mm: float
    slant_mm: float


class SettingOut(Struct, frozen=True, kw_only=True):
    """Everything to stake out.

    Parameters
    ----------
    axes : Axes
    points : tuple of StakedPoint
    width_mm, length_mm, diagonal_mm : float
        Of the rectangle of the corner sockets at the ground, between centres.
    difference_mm : float
        How much the diagonals may differ.
    square : SquareCorner
    skews : tuple of Skew
    """

    axes: Axes
    points: tuple[StakedPoint, ...]
    width_mm: float
    length_mm: float
    diagonal_mm: float
    difference_mm: float
    square: SquareCorner
    skews: tuple[Skew, ...]

    def of(self, kind: PlaceKind) -> tuple[StakedPoint, ...]:
        """The points of a kind."""
        return tuple(point for point in self.points if point.kind is kind)

    def skew_of(self, difference_mm: float) -> float:
        """The skew at which the diagonals differ by so much, mm."""
        return skew_of(self.width_mm, self.length_mm, difference_mm)


def difference_of(width_mm: float, length_mm: float, skew_mm: float) -> float:
    """How much the diagonals differ when the far end is ``skew_mm`` off sideways, mm.

    Examples
    --------
    20 ft by 96 ft, 1 in sideways:

    >>> round(difference_of(240.0, 1152.0, 1.0), 3)
    0.408
    """
    long, short = (math.hypot(length_mm, width_mm + sign * skew_mm) for sign in (1, -1))
    return long - short


def skew_of(width_mm: float, length_mm: float, difference_mm: float) -> float:
    """The skew at which the diagonals differ by ``difference_mm``, mm.

    The product of sum and difference of the diagonals is 4 W d. With their sum S and
    difference e: S² = 4 (L² + W² + d²) - e² and S e = 4 W d, so
    d² (16 W² - 4 e²) = e² (4 (L² + W²) - e²).
    """
    e = abs(difference_mm)
    wide = 16 * width_mm**2 - 4 * e**2
    if wide <= 0:
        raise ValueError("the diagonals cannot differ by twice the width")
    skew = e * math.sqrt((4 * (length_mm**2 + width_mm**2) - e**2) / wide)
    return math.copysign(skew, difference_mm)


def square_corner(width_mm: float, length_mm: float, system: UnitSystem) -> SquareCorner:
    """The largest triangle of 3, 4 and 5 in round sizes that the plot and a tape have room for."""
    along, across = (4, 3) if min(length_mm / 4, width_mm / 3) >= min(
        length_mm / 3, width_mm / 4
    ) else (3, 4)  # fmt: skip
    most = min(length_mm / along, width_mm / across, _LONGEST_TAPE_MM / 5)
    for step in _STEPS_MM[system]:
        unit = math.floor(most / step + 1e-9) * step
        if unit > 0:
            break
    else:
        unit = most
    return SquareCorner(
        unit_mm=unit, along_mm=along * unit, across_mm=across * unit, slant_mm=5 * unit
    )


def set_out(frame: Frame) -> SettingOut:
    """Everything to stake out for ``frame`` on level ground."""
    axes = axes_of(frame)
    grid, units = frame.grid, frame.design.output.units
    width, length = 2 * grid.socket_x_mm, grid.length_mm
    square = square_corner(width, length, units)
    points = (
        *_sockets(frame, axes),
        *_stakes(frame, axes),
        *_baseline(frame, axes),
        *_square_points(axes, square, frame.design.staking.baseline),
    )
    return SettingOut(
        axes=axes,
        points=points,
        width_mm=width,
        length_mm=length,
        diagonal_mm=math.hypot(width, length),
        difference_mm=frame.design.tolerances.diagonals,
        square=square,
        skews=tuple(
            Skew(skew_mm=skew, difference_mm=difference_of(width, length, skew))
            for skew in _SKEWS_MM[units]
            if skew < width / 2
        ),
    )


def _point(
    frame: Frame,
    axes: Axes,
    name: str,
    kind: PlaceKind,
    x: float,
    y: float,
    *,
    top_x_mm: float | None = None,
    top_z_mm: float | None = None,
    mark: str = "",
) -> StakedPoint:
    """A point from the axes of the frame."""
    local_x, local_y = x - axes.x_mm, y - axes.y_mm
    inward = local_x if axes.is_left else -local_x
    forward = local_y if axes.y_mm == 0.0 else -local_y
    return StakedPoint(
        name=name,
        kind=kind,
        x_mm=local_x,
        y_mm=local_y,
        z_mm=0.0,
        along_mm=forward,
        offset_mm=inward + frame.design.staking.baseline,
        top_x_mm=top_x_mm,
        top_z_mm=top_z_mm,
        mark=mark,
    )


def _sockets(frame: Frame, axes: Axes) -> list[StakedPoint]:
    return [
        _point(
            frame,
            axes,
            place.name,
            PlaceKind.SOCKET,
            place.ground_x_mm,
            place.y_mm,
            top_x_mm=place.top_x_mm - axes.x_mm,
            top_z_mm=place.top_z_mm,
            mark=place.mark,
        )
        for place in socket_places(frame)
    ]


def _stakes(frame: Frame, axes: Axes) -> list[StakedPoint]:
    """Two stakes beyond each corner: ``1L-A`` on the line of the side, ``1L-E`` of the end."""
    x, length = frame.grid.socket_x_mm, frame.grid.length_mm
    away = frame.design.staking.stake_distance
    top = max(place.top_z_mm for place in socket_places(frame))
    made = []
    for hoop, y, out in ((1, 0.0, -away), (len(frame.grid.hoop_y_mm), length, away)):
        for side, at in ((Side.LEFT, -x), (Side.RIGHT, x)):
            name = socket_name(hoop, side)
            beyond = at + math.copysign(away, at)
            for letter, place in (("A", (at, y + out)), ("E", (beyond, y))):
                made.append(
                    _point(frame, axes, f"{name}-{letter}", PlaceKind.STAKE, *place, top_z_mm=top)
                )
    return made


def _baseline(frame: Frame, axes: Axes) -> list[StakedPoint]:
    """The ends of the baseline, abreast of the first and the last hoop."""
    off = frame.design.staking.baseline
    x = axes.x_mm - off if axes.is_left else axes.x_mm + off
    return [
        _point(frame, axes, name, PlaceKind.BASELINE, x, y)
        for name, y in (("BL1", 0.0), ("BL2", frame.grid.length_mm))
    ]


def _square_points(axes: Axes, square: SquareCorner, baseline_mm: float) -> list[StakedPoint]:
    """The two far corners of the triangle: on the side, and on the end."""
    across = square.across_mm if axes.is_left else -square.across_mm
    along = square.along_mm if axes.y_mm == 0.0 else -square.along_mm
    return [
        StakedPoint(name="SQ-A", kind=PlaceKind.SQUARE, x_mm=0.0, y_mm=along, z_mm=0.0,
                    along_mm=square.along_mm, offset_mm=baseline_mm),
        StakedPoint(name="SQ-E", kind=PlaceKind.SQUARE, x_mm=across, y_mm=0.0, z_mm=0.0,
                    along_mm=0.0, offset_mm=baseline_mm + square.across_mm),
    ]  # fmt: skip
