"""The few solids of IFC that bodies are said with, and what is taken out of them.

References
----------
ISO 16739-1:2018, Industry Foundation Classes, resource schemas of geometry: what IfcSweptDiskSolid,
IfcExtrudedAreaSolid, IfcRevolvedAreaSolid, IfcBooleanResult and IfcTriangulatedFaceSet are.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from frame3d.geometry.placement import Placement, Vector
from frame3d.ifc.part21 import Enum, Lines, Measure, Ref, Value

_CURVE = "IFCINDEXEDPOLYCURVE"


class Kind(enum.Enum):
    """What kind of shape an item is, which its representation has to say."""

    SWEPT = "SweptSolid"
    DISK = "AdvancedSweptSolid"
    CUT = "CSG"
    MESH = "Tessellation"


class Item(Struct, frozen=True, kw_only=True):
    """A solid in a file."""

    ref: Ref
    kind: Kind


Corner = tuple[float, float, float]
"""A corner of an outline: x, y, and the bulge of the arc to the next, as in a TurnedProfile."""


class Solids:
    """Makes solids in the lines of a file."""

    def __init__(self, lines: Lines) -> None:
        self._lines = lines

    def placement(self, place: Placement) -> Ref:
        """An IfcAxis2Placement3D."""
        once = self._lines.once
        return once(
            "IFCAXIS2PLACEMENT3D", self.point(place.origin),
            once("IFCDIRECTION", place.z), once("IFCDIRECTION", place.x),
        )  # fmt: skip

    def point(self, at: Vector) -> Ref:
        """A point of three coordinates."""
        return self._lines.once("IFCCARTESIANPOINT", at)

    def tube(
        self, points: Sequence[Vector], arcs: Iterable[tuple[int, ...]], radius: float, inner: float
    ) -> Item:
        """A ring swept along a curve: ``arcs`` are pairs (lines) and triples (arcs) of points."""
        kept = self._lines.add("IFCCARTESIANPOINTLIST3D", points)
        curve = self._lines.add(_CURVE, kept, _segments(arcs), None)
        values: list[Value] = [curve, radius, inner if inner > 0 else None, None, None]
        return Item(ref=self._lines.add("IFCSWEPTDISKSOLID", *values), kind=Kind.DISK)

    def outline(
        self, corners: Sequence[Corner], holes: Iterable[tuple[float, float, float]] = ()
    ) -> Ref:
        """An area within corners, and arcs where they bulge; holes as x, y and diameter."""
        curve = self._closed(corners)
        inside = [self._circle(x, y, diameter) for x, y, diameter in holes]
        if inside:
            return self._lines.add(
                "IFCARBITRARYPROFILEDEFWITHVOIDS", Enum("AREA"), None, curve, inside
            )
        return self._lines.add("IFCARBITRARYCLOSEDPROFILEDEF", Enum("AREA"), None, curve)

    def disc(self, radius: float, inner: float = 0.0) -> Ref:
        """A round area, perhaps a ring."""
        once = self._lines.once
        if inner:
            kind = "IFCCIRCLEHOLLOWPROFILEDEF"
            return once(kind, Enum("AREA"), None, None, radius, radius - inner)
        return once("IFCCIRCLEPROFILEDEF", Enum("AREA"), None, None, radius)

    def raised(self, area: Ref, place: Placement, height: float) -> Item:
        """``area`` in the plane of x and y of ``place``, drawn out along its z."""
        up = self._lines.once("IFCDIRECTION", (0.0, 0.0, 1.0))
        made = self._lines.once(
            "IFCEXTRUDEDAREASOLID", area, self.placement(place), up, float(height)
        )
        return Item(ref=made, kind=Kind.SWEPT)

    def turned(self, area: Ref, place: Placement) -> Item:
        """``area`` in the plane of x and y of ``place``, turned all the way about its y."""
        once = self._lines.once
        axis = once("IFCAXIS1PLACEMENT", self.point((0.0, 0.0, 0.0)),
                    once("IFCDIRECTION", (0.0, 1.0, 0.0)))  # fmt: skip
        made = self._lines.add(
            "IFCREVOLVEDAREASOLID", area, self.placement(place), axis, 2 * math.pi
        )
        return Item(ref=made, kind=Kind.SWEPT)

    def bar(self, start: Vector, way: Vector, diameter: float, length: float) -> Item:
        """A round bar from ``start`` along the unit vector ``way``."""
        return self.raised(self.disc(diameter / 2), upright(start, way), length)

    def less(self, item: Item, *gone: Item) -> Item:
        """``item`` without what lies in any of ``gone``."""
        return self._combined(item, "DIFFERENCE", gone)

    def with_added(self, item: Item, *added: Item) -> Item:
        """``item`` and all that lies in any of ``added``, as one solid."""
        return self._combined(item, "UNION", added)

    def cut_off(self, item: Item, at: Vector, beyond: Vector) -> Item:
        """``item`` without what lies beyond a plane, to the side that the unit vector faces."""
        plane = self._lines.once("IFCPLANE", self.placement(upright(at, beyond)))
        half = self._lines.once("IFCHALFSPACESOLID", plane, False)
        operation = Enum("DIFFERENCE")
        made = self._lines.add("IFCBOOLEANCLIPPINGRESULT", operation, item.ref, half)
        return Item(ref=made, kind=Kind.CUT)

    def mesh(self, points: Sequence[Vector], triangles: Sequence[tuple[int, int, int]]) -> Item:
        """A closed heap of triangles, by the numbers of their corners from 0."""
        kept = self._lines.add("IFCCARTESIANPOINTLIST3D", points)
        numbers = [tuple(k + 1 for k in corners) for corners in triangles]
        made = self._lines.add("IFCTRIANGULATEDFACESET", kept, None, True, numbers, None)
        return Item(ref=made, kind=Kind.MESH)

    def together(self, items: Sequence[Item]) -> tuple[str, tuple[Ref, ...]]:
        """What a representation of ``items`` is called, and its items."""
        kinds = {item.kind for item in items}
        if len(kinds) == 1:
            return kinds.pop().value, tuple(item.ref for item in items)
        if kinds == {Kind.SWEPT, Kind.DISK}:
            return Kind.DISK.value, tuple(item.ref for item in items)
        # Beside others, a result of cutting has to be called a solid.
        refs = tuple(
            self._lines.once("IFCCSGSOLID", item.ref) if item.kind is Kind.CUT else item.ref
            for item in items
        )
        return "SurfaceOrSolidModel" if Kind.MESH in kinds else "SolidModel", refs

    def _combined(self, item: Item, operation: str, others: Iterable[Item]) -> Item:
        for other in others:
            made = self._lines.add("IFCBOOLEANRESULT", Enum(operation), item.ref, other.ref)
            item = Item(ref=made, kind=Kind.CUT)
        return item

    def _closed(self, corners: Sequence[Corner]) -> Ref:
        points: list[tuple[float, float]] = []
        segments: list[tuple[int, ...]] = []
        for (x, y, bulge), (x1, y1, _) in zip(corners, (*corners[1:], corners[0]), strict=True):
            points.append((x, y))
            here = len(points)
            if bulge:
                # Its middle is off the chord by half of that times the bulge, to the right.
                points.append(
                    ((x + x1) / 2 + bulge * (y1 - y) / 2, (y + y1) / 2 - bulge * (x1 - x) / 2)
                )
            segments.append((here, here + 1, here + 2) if bulge else (here, here + 1))
        segments[-1] = (*segments[-1][:-1], 1)
        kept = self._lines.once("IFCCARTESIANPOINTLIST2D", points)
        return self._lines.once(_CURVE, kept, _segments(segments), None)

    def _circle(self, x: float, y: float, diameter: float) -> Ref:
        once = self._lines.once
        middle = once("IFCAXIS2PLACEMENT2D", once("IFCCARTESIANPOINT", (x, y)), None)
        return once("IFCCIRCLE", middle, diameter / 2)


def upright(at: Vector, z: Vector) -> Placement:
    """A placement with its z along ``z``, however it is turned about that."""
    across = (1.0, 0.0, 0.0) if abs(z[0]) < 0.9 else (0.0, 1.0, 0.0)
    lying = Placement.of(origin=at, x=z, y=across)
    return Placement(origin=at, x=lying.y, y=lying.z, z=lying.x)


def _segments(numbers: Iterable[tuple[int, ...]]) -> list[Value]:
    return [Measure("IFCLINEINDEX" if len(some) == 2 else "IFCARCINDEX", some) for some in numbers]
