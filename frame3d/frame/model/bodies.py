"""Bodies: the few kinds of shape that parts are made of, each in its part's own axes.

Solids, light meshes, outlines, clashes, volumes and bores are made from bodies, so that a part
says its shape once. Most parts are one body; those with more are put together of bodies that
meet face to face and never overlap, so that their volumes add up. Holes are no bodies: a body
says which it has.

Glossary
--------
clock angle : the direction around a tube in which a hole is drilled, seen along
    the axis from its start: 0 is toward the inside of the bend (local +y), a
    quarter turn is square to the plane of the bend (local +z).
bar : a plain round body, as long as it likes, without a hole.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterator

from msgspec import Struct

from frame3d.catalog.sections import BoltSize, TimberSection, TubeSection
from frame3d.frame.model.end_forms import BoardEnd, Flat, Swage, overhang_mm
from frame3d.frame.model.snapping import put, snap_clock, snap_mm, snap_path
from frame3d.geometry.paths import PlanePath


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


class SweptRing(Struct, frozen=True, kw_only=True):
    """The ring of a tube, swept along its axis, drilled, its ends plain, swaged or flat.

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

    @property
    def over_all_mm(self) -> float:
        """Length between the longest points of its ends, along its axis, mm.

        So much tube it takes: its developed length, and what slanting cuts reach past it.
        """
        over = overhang_mm(self.section, self.start) + overhang_mm(self.section, self.end)
        return self.length_mm + over


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


class SawnTimber(Struct, frozen=True, kw_only=True):
    """A sawn board with its ends cut, and holes through its thickness or its depth.

    A kind of its own: bevels, laps and holes two ways are no outline raised square.

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

    @property
    def depths_mm(self) -> tuple[float, float]:
        """Its depth at the start and at the end; between them its far edge is straight."""
        return self.section.depth_mm, self.section.depth_mm


class ExtrudedOutline(Struct, frozen=True, kw_only=True):
    """An outline of straight sides, raised along z: plates, nuts, hexagon heads, square necks.

    Parameters
    ----------
    outline : tuple of (x, y), mm
        Corners, anticlockwise, not closed.
    low_mm, high_mm : float
        Heights along z between which it lies.
    holes : tuple of (x, y, diameter), mm
        Through it along z; clear of each other and of the outline.
    """

    outline: tuple[tuple[float, float], ...]
    low_mm: float
    high_mm: float
    holes: tuple[tuple[float, float, float], ...] = ()


class TurnedProfile(Struct, frozen=True, kw_only=True):
    """A profile of lines and arcs, turned about z: shanks, washers, domed heads.

    Parameters
    ----------
    profile : tuple of (radius, z, bulge)
        Corners of the outside, mm, rising along z. The bulge is that of the arc to the next corner,
        the tangent of a quarter of its angle, as polylines of DXF have it: above 0 it bulges
        outward; 0 is a straight line. That of the last corner says nothing.
    bore_mm : float
        Diameter of a hole along z, all the way through; 0 for none.
    """

    profile: tuple[tuple[float, float, float], ...]
    bore_mm: float = 0.0

    @classmethod
    def bar(
        cls, diameter_mm: float, low_mm: float, high_mm: float, bore_mm: float = 0.0
    ) -> TurnedProfile:
        """A plain round body between two heights along z, perhaps with a bore."""
        ends = ((diameter_mm / 2, low_mm, 0.0), (diameter_mm / 2, high_mm, 0.0))
        return cls(profile=ends, bore_mm=bore_mm)

    @property
    def is_bar(self) -> bool:
        """Whether it is a plain round bar."""
        return (
            len(self.profile) == 2
            and not self.bore_mm
            and (self.profile[0][0] == self.profile[1][0] and not self.profile[0][2])
        )

    @property
    def low_mm(self) -> float:
        """Where along z it begins."""
        return self.profile[0][1]

    @property
    def high_mm(self) -> float:
        """Where along z it ends."""
        return self.profile[-1][1]

    @property
    def pieces(self) -> Iterator[Callable[[float], tuple[complex, complex]]]:
        """Each line and arc as a function of 0 to 1: radius + i z there, and its derivative."""
        for (r0, z0, bulge), (r1, z1, _) in zip(self.profile, self.profile[1:], strict=False):
            yield _piece(complex(r0, z0), complex(r1, z1), bulge)

    def traced(self, steps: int) -> list[tuple[float, float]]:
        """Radius and z of points along the outside, mm, each arc in so many chords."""
        found = [self.profile[0][:2]]
        for piece, (_, _, bulge), after in zip(
            self.pieces, self.profile, self.profile[1:], strict=False
        ):
            between = (piece(k / steps)[0] for k in range(1, steps if bulge else 1))
            found += [(point.real, point.imag) for point in between] + [after[:2]]
        return found


def _piece(
    start: complex, end: complex, bulge: float
) -> Callable[[float], tuple[complex, complex]]:
    """A line or an arc from ``start`` to ``end``."""
    chord = end - start
    if not bulge:
        return lambda at: (start + at * chord, chord)
    centre = start + chord / 2 + 1j * chord * (1 - bulge**2) / (4 * bulge)
    angle = 4 * math.atan(bulge)

    def arc(at: float) -> tuple[complex, complex]:
        arm = (start - centre) * cmath.exp(1j * angle * at)
        return centre + arm, 1j * angle * arm

    return arc


class SplitRing(Struct, frozen=True, kw_only=True):
    """A split ring round a tube, with two ears and a round boss that is saddled on it.

    A kind of its own: its boss, ring and ears grow out of each other.

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
    def ring_mm(self) -> float:
        """Distance from the tube's axis to the outside of the ring, mm."""
        return self.tube_od_mm / 2 + self.band_mm

    @property
    def back_mm(self) -> float:
        """Distance from the split's plane to the far side of an ear, mm."""
        return self.gap_mm / 2 + self.band_mm

    @property
    def tip_mm(self) -> float:
        """Distance from the tube's axis to the tips of the ears, mm."""
        return self.ring_mm + self.ear_mm

    @property
    def face_mm(self) -> float:
        """Distance from the tube's axis to the face of the boss, mm."""
        return self.ring_mm + self.boss_mm

    @property
    def ear_bolt_mm(self) -> float:
        """Distance from the tube's axis to the bolt through the ears, mm."""
        return self.ring_mm + self.ear_mm / 2


Body = SweptRing | SawnTimber | ExtrudedOutline | TurnedProfile | SplitRing
