"""Parts: what the shop makes or the merchant sells, each in its own axes.

Two parts that would be made the same way are equal, so counts, marks and cutting
lists come from equality alone. To make that exact, every length is snapped to a
grid of 1e-6 mm and every angle to 1e-10 rad when the part is made, and parts
that differ only by being turned end for end or about their own axis are brought
to one form by :mod:`frame3d.frame.model.canonical`.

Glossary
--------
clock angle : the direction around a tube in which a hole is drilled, seen along
    the axis from its start: 0 is toward the inside of the bend (local +y), a
    quarter turn is square to the plane of the bend (local +z).
"""

from __future__ import annotations

import enum

from msgspec import Struct

from frame3d.catalog.sections import BoltSize, NutSize, TimberSection, TubeSection, WasherSize
from frame3d.frame.model.end_forms import BoardEnd, Flat, Swage
from frame3d.frame.model.snapping import put, snap_clock, snap_mm, snap_path, snap_rad
from frame3d.geometry.paths import PlanePath


class Material(enum.Enum):
    """What a part is made of, as written in a parts list."""

    STEEL = "steel, galvanized"
    TIMBER = "timber, treated"


class Hole(Struct, frozen=True, kw_only=True, order=True):
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
        """Put its sizes on the grid that parts are compared by."""
        put(
            self,
            at_mm=snap_mm(self.at_mm),
            clock_rad=snap_clock(self.clock_rad),
            diameter_mm=snap_mm(self.diameter_mm),
        )


class Tube(Struct, frozen=True, kw_only=True):
    """A tube, straight or bent in one plane, drilled, its ends plain, swaged or flat.

    Own axes: the axis starts at the origin and heads along +x; it bends in the
    plane z = 0.

    Parameters
    ----------
    section : TubeSection
    axis : PlanePath
        Of the tube's centreline, swages and flats included.
    holes : tuple of Hole
        Sorted by distance from the start. One in a flat goes square through it.
    start, end : Swage, Flat or None
        None for an end cut square.
    """

    section: TubeSection
    axis: PlanePath
    holes: tuple[Hole, ...] = ()
    start: Swage | Flat | None = None
    end: Swage | Flat | None = None

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, axis=snap_path(self.axis), holes=tuple(sorted(self.holes)))

    @property
    def length_mm(self) -> float:
        """Developed length, mm."""
        return self.axis.length_mm


class BoardHole(Struct, frozen=True, kw_only=True, order=True):
    """A hole through a board's thickness: along its length, up its depth, diameter; mm."""

    along_mm: float
    up_mm: float
    diameter_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, along_mm=snap_mm(self.along_mm), up_mm=snap_mm(self.up_mm))
        put(self, diameter_mm=snap_mm(self.diameter_mm))


class EdgeHole(Struct, frozen=True, kw_only=True, order=True):
    """A hole through a board's depth, from edge to edge.

    Along its length, across its thickness from the face z = 0, diameter; mm.
    """

    along_mm: float
    across_mm: float
    diameter_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, along_mm=snap_mm(self.along_mm), across_mm=snap_mm(self.across_mm))
        put(self, diameter_mm=snap_mm(self.diameter_mm))


class Board(Struct, frozen=True, kw_only=True):
    """A board with its ends cut, and holes through its thickness or its depth.

    Own axes: x along the length from 0, y up the depth from 0, z through the
    thickness from 0.

    Parameters
    ----------
    section : TimberSection
    length_mm : float
        Over all: between the longest points of its ends.
    holes : tuple of BoardHole
    edge_holes : tuple of EdgeHole
        One in a lap goes through what the lap leaves.
    start, end : BoardEnd or None
        None for an end cut square.
    """

    section: TimberSection
    length_mm: float
    holes: tuple[BoardHole, ...] = ()
    edge_holes: tuple[EdgeHole, ...] = ()
    start: BoardEnd | None = None
    end: BoardEnd | None = None

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, length_mm=snap_mm(self.length_mm), holes=tuple(sorted(self.holes)))
        put(self, edge_holes=tuple(sorted(self.edge_holes)))


class Plate(Struct, frozen=True, kw_only=True):
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
        """Put its sizes on the grid that parts are compared by."""
        corners = tuple((snap_mm(x), snap_mm(y)) for x, y in self.outline)
        holes = tuple(sorted((snap_mm(x), snap_mm(y), snap_mm(d)) for x, y, d in self.holes))
        put(self, outline=corners, holes=holes, thickness_mm=snap_mm(self.thickness_mm))


class Bolt(Struct, frozen=True, kw_only=True):
    """A bolt. Own axes: the underside of the head at z = 0, the shank along +z."""

    size: BoltSize
    length_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, length_mm=snap_mm(self.length_mm))


class Nut(Struct, frozen=True, kw_only=True):
    """A hexagon nut. Own axes: thread along z, from 0 to the height."""

    size: NutSize


class Washer(Struct, frozen=True, kw_only=True):
    """A plain washer. Own axes: hole along z, from 0 to the thickness."""

    size: WasherSize


class ScrewKind(enum.Enum):
    """What a screw goes into, and what lists call it."""

    DRILLING = "self-drilling screw"
    LAG = "lag screw"


class Screw(Struct, frozen=True, kw_only=True):
    """A screw with a hexagon head: self-drilling for steel, or a lag screw for timber.

    Own axes: the underside of the head at z = 0, the shank along +z.
    """

    name: str
    diameter_mm: float
    length_mm: float
    flats_mm: float
    head_height_mm: float
    kind: ScrewKind = ScrewKind.DRILLING


class ClampHalf(Struct, frozen=True, kw_only=True):
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
        """Put its sizes on the grid that parts are compared by."""
        put(self, tube_od_mm=snap_mm(self.tube_od_mm))

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
    "BoardEnd",
    "BoardHole",
    "Bolt",
    "ClampHalf",
    "EdgeHole",
    "Flat",
    "Hole",
    "Material",
    "Nut",
    "Part",
    "Plate",
    "Screw",
    "ScrewKind",
    "Swage",
    "Tube",
    "Washer",
    "snap_mm",
    "snap_path",
    "snap_rad",
]
