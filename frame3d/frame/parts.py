"""Parts: what the shop makes or the merchant sells, each in its own axes.

Two parts that would be made the same way are equal, so counts, marks and cutting
lists come from equality alone. To make that exact, every length is snapped to a
grid of 1e-6 mm and every angle to 1e-10 rad when the part is made, and parts
that differ only by being turned end for end or about their own axis are brought
to one form by :mod:`frame3d.frame.canonical`.

Glossary
--------
clock angle : the direction around a tube in which a hole is drilled, seen along
    the axis from its start: 0 is toward the inside of the bend (local +y), a
    quarter turn is square to the plane of the bend (local +z).
swage : an end of a tube reduced so that it slides into the next tube.
"""

from __future__ import annotations

import enum
import math
from dataclasses import dataclass

from frame3d.catalog.sections import BoltSize, NutSize, TimberSection, TubeSection, WasherSize
from frame3d.geometry.paths import Arc, Line, PlanePath

_GRID_MM = 1e-6
_GRID_RAD = 1e-10
# Off the half, so that values which are round in any usual unit never lie on the
# border between two steps of the grid.
_BIAS = 0.637


def snap_mm(value: float) -> float:
    """``value`` on the 1e-6 mm grid; snapping twice changes nothing."""
    return math.floor(value / _GRID_MM + _BIAS) / 1_000_000


def snap_rad(value: float) -> float:
    """``value`` on the 1e-10 rad grid; snapping twice changes nothing."""
    return math.floor(value / _GRID_RAD + _BIAS) / 10_000_000_000


def snap_path(path: PlanePath) -> PlanePath:
    """``path`` with every length, radius and angle on its grid."""
    return PlanePath(
        tuple(
            Line(snap_mm(s.length_mm))
            if isinstance(s, Line)
            else Arc(snap_mm(s.radius_mm), snap_rad(s.angle_rad))
            for s in path.segments
        )
    )


def _snap(instance: object, **values: object) -> None:
    for name, value in values.items():
        object.__setattr__(instance, name, value)


class Material(enum.Enum):
    """What a part is made of, as written in a parts list."""

    STEEL = "steel, galvanized"
    TIMBER = "timber, treated"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Hole:
    """A hole drilled straight through a tube, both walls, through its axis.

    Parameters
    ----------
    at_mm : float
        Distance along the axis from the start of the tube.
    clock_rad : float
        Direction around the tube, kept in [0, π): a through hole has no front.
    diameter_mm : float
    """

    at_mm: float
    clock_rad: float = 0.0
    diameter_mm: float

    def __post_init__(self) -> None:
        clock = snap_rad(self.clock_rad % math.pi)
        if clock >= math.pi - 1e-9:
            clock = 0.0
        _snap(self, at_mm=snap_mm(self.at_mm), clock_rad=clock)
        _snap(self, diameter_mm=snap_mm(self.diameter_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Swage:
    """A tube's end reduced to an outside diameter over a length; the wall is kept.

    Parameters
    ----------
    od_mm : float
        Outside diameter of the reduced part.
    length_mm : float
        Length of the reduced part, without the taper.
    taper_mm : float
        Length of the taper between the full and the reduced tube.
    """

    od_mm: float
    length_mm: float
    taper_mm: float

    def __post_init__(self) -> None:
        _snap(self, od_mm=snap_mm(self.od_mm), length_mm=snap_mm(self.length_mm))
        _snap(self, taper_mm=snap_mm(self.taper_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A tube, straight or bent in one plane, drilled, its ends plain or swaged.

    Own axes: the axis starts at the origin and heads along +x; it bends in the
    plane z = 0.

    Parameters
    ----------
    section : TubeSection
    axis : PlanePath
        Of the tube's centreline, swages included.
    holes : tuple of Hole
        Sorted by distance from the start.
    start, end : Swage or None
        None for an end cut square.
    """

    section: TubeSection
    axis: PlanePath
    holes: tuple[Hole, ...] = ()
    start: Swage | None = None
    end: Swage | None = None

    def __post_init__(self) -> None:
        _snap(self, axis=snap_path(self.axis), holes=tuple(sorted(self.holes)))

    @property
    def length_mm(self) -> float:
        """Developed length, mm."""
        return self.axis.length_mm


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class BoardHole:
    """A hole through a board's thickness: along its length, up its depth, diameter; mm."""

    along_mm: float
    up_mm: float
    diameter_mm: float

    def __post_init__(self) -> None:
        _snap(self, along_mm=snap_mm(self.along_mm), up_mm=snap_mm(self.up_mm))
        _snap(self, diameter_mm=snap_mm(self.diameter_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board cut square, with holes through its thickness.

    Own axes: x along the length from 0, y up the depth from 0, z through the
    thickness from 0.
    """

    section: TimberSection
    length_mm: float
    holes: tuple[BoardHole, ...] = ()

    def __post_init__(self) -> None:
        _snap(self, length_mm=snap_mm(self.length_mm), holes=tuple(sorted(self.holes)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A flat steel plate with drilled holes.

    Own axes: the outline lies in z = 0, the thickness rises along +z.

    Parameters
    ----------
    name : str
        What it is called in lists, for example ``ridge plate``.
    outline : tuple of (x, y), mm
        Corners, anticlockwise, not closed.
    thickness_mm : float
    holes : tuple of (x, y, diameter), mm
    """

    name: str
    outline: tuple[tuple[float, float], ...]
    thickness_mm: float
    holes: tuple[tuple[float, float, float], ...] = ()

    def __post_init__(self) -> None:
        corners = tuple((snap_mm(x), snap_mm(y)) for x, y in self.outline)
        holes = tuple(sorted((snap_mm(x), snap_mm(y), snap_mm(d)) for x, y, d in self.holes))
        _snap(self, outline=corners, holes=holes, thickness_mm=snap_mm(self.thickness_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """A bolt. Own axes: the underside of the head at z = 0, the shank along +z."""

    size: BoltSize
    length_mm: float

    def __post_init__(self) -> None:
        _snap(self, length_mm=snap_mm(self.length_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """A hexagon nut. Own axes: thread along z, from 0 to the height."""

    size: NutSize


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A plain washer. Own axes: hole along z, from 0 to the thickness."""

    size: WasherSize


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A self-drilling screw with a hexagon washer head.

    Own axes: the underside of the head at z = 0, the shank along +z.
    """

    name: str
    diameter_mm: float
    length_mm: float
    flats_mm: float
    head_height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampHalf:
    """One half of a tube coupler: a split ring with two ears and a round boss.

    Two halves, one on each tube, stand back to back on their bosses and turn on
    a rivet, which is part of them, to whatever angle the tubes make.

    Own axes: the tube's axis is x through the origin; the boss points along +z
    and its face lies at ``z = face_mm``; the ears point along +y, split by the
    plane z = 0, and are drawn together by a bolt along z.

    Parameters
    ----------
    tube_od_mm : float
        Outside diameter of the tube that is gripped.
    band_mm : float
        Thickness of the ring.
    width_mm : float
        Width of the ring along the tube.
    boss_mm, boss_diameter_mm : float
        Height of the boss above the ring and its diameter.
    ear_mm : float
        Length of the ears beyond the ring.
    gap_mm : float
        Width of the split.
    bolt : BoltSize
        The bolt through the ears.
    """

    tube_od_mm: float
    band_mm: float
    width_mm: float
    boss_mm: float
    boss_diameter_mm: float
    ear_mm: float
    gap_mm: float
    bolt: BoltSize

    def __post_init__(self) -> None:
        _snap(self, tube_od_mm=snap_mm(self.tube_od_mm))

    @property
    def face_mm(self) -> float:
        """Distance from the tube's axis to the face of the boss, mm."""
        return self.tube_od_mm / 2 + self.band_mm + self.boss_mm

    @property
    def ear_bolt_mm(self) -> float:
        """Distance from the tube's axis to the bolt through the ears, mm."""
        return self.tube_od_mm / 2 + self.band_mm + self.ear_mm / 2


Part = Tube | Board | Plate | Bolt | Nut | Washer | Screw | ClampHalf
HARDWARE = (Bolt, Nut, Washer, Screw, ClampHalf)
"""The kinds of part that are bought and not made."""

__all__ = [
    "HARDWARE",
    "Board",
    "BoardHole",
    "Bolt",
    "ClampHalf",
    "Hole",
    "Material",
    "Nut",
    "Part",
    "Plate",
    "Screw",
    "Swage",
    "Tube",
    "Washer",
    "snap_mm",
    "snap_path",
    "snap_rad",
]
