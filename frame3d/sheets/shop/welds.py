"""Where plates are welded on a plate: the foot of what stands there, and the symbol at it.

The kind is told by the symbol, a fillet on both sides; its size and how it is laid are left to the
fabricator, so no figure stands at it.

References
----------
ISO 2553:2019, 4 to 6, and AWS A2.4: arrow line, reference line and, in the tail, what is said
besides; a triangle with its upright side at the left is a fillet, above and below the line on both
sides of the plate that stands there (from memory). Both standards draw a weld on both sides alike.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.describe.plate_joints import BentPlate, PlateJoint
from frame3d.frame.model.parts import Plate
from frame3d.geometry.placement import Vector, dot
from frame3d.sheets.annotation.annotations import Annotation, Running, ViewEdge, Weld
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, polyline

_SAME_MM = 0.02
_MOST_OVER = 0.5
"""What stands farther past the edge than this share of the plate is drawn to the edge only."""
WELD_NOTE = (
    "Thin outline: what is welded there, on the face seen; dashed: on the other. Triangles on "
    "both sides of the line: "
    "fillet welds on both sides of the plate named at its tail (ISO 2553, AWS A2.4); size and "
    "procedure by the fabricator."
)


class WeldedFoot(Struct, frozen=True, kw_only=True):
    """Where a plate stands on the face of another, in the other's own axes, mm.

    Parameters
    ----------
    mark : str
        Of the plate that stands.
    left, bottom, right, top : float
    near : bool
        Whether it stands on the face seen.
    """

    mark: str
    left: float
    bottom: float
    right: float
    top: float
    near: bool

    @property
    def middle(self) -> Point:
        """The middle of the foot."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2


def welded(joints: Sequence[PlateJoint], pieces: Sequence[BentPlate]) -> list[PlateJoint]:
    """Those of ``joints`` that no bend makes."""
    bent = {leg.mark for piece in pieces for leg in piece.legs}
    return [
        joint
        for joint in joints
        if not (joint.is_bend and {joint.standing.mark, joint.on.mark} <= bent)
    ]


def feet_of(
    mark: str, joints: Sequence[PlateJoint], pieces: Sequence[BentPlate]
) -> Counter[WeldedFoot]:
    """The feet on plates of ``mark``, as drawn, and how many plates have each."""
    return Counter(_foot(joint) for joint in welded(joints, pieces) if joint.on.mark == mark)


def _foot(joint: PlateJoint) -> WeldedFoot:
    on, one = joint.on, joint.standing
    place, plate = on.placement, on.part

    def seen(point: Vector) -> Vector:
        x, y, z = (a - b for a, b in zip(point, place.origin, strict=True))
        local = (dot((x, y, z), axis) for axis in (place.x, place.y, place.z))
        u, v, w = local
        return u, v, w

    corners = [
        seen(one.placement.point((x, y, z)))
        for x, y in one.part.outline
        for z in (0.0, one.part.thickness_mm)
    ]
    us, vs, ws = zip(*corners, strict=True)
    xs, ys = zip(*plate.outline, strict=True)
    left, right = _kept(min(us), max(us), min(xs), max(xs))
    bottom, top = _kept(min(vs), max(vs), min(ys), max(ys))
    return WeldedFoot(
        mark=one.mark,
        left=round(left - min(xs), 2) + 0.0,
        right=round(right - min(xs), 2) + 0.0,
        bottom=round(bottom - min(ys), 2) + 0.0,
        top=round(top - min(ys), 2) + 0.0,
        near=sum(ws) / len(ws) > plate.thickness_mm / 2,
    )


def _kept(low: float, high: float, first: float, last: float) -> tuple[float, float]:
    """A reach along one axis, cut off at the plate's edge where it goes far past it."""
    most = _MOST_OVER * (last - first)
    return (
        low if first - low <= most else first,
        high if high - last <= most else last,
    )


def foot_lines(foot: WeldedFoot) -> list[Primitive]:
    """The outline of what stands on the plate."""
    corners = [
        (foot.left, foot.bottom), (foot.right, foot.bottom), (foot.right, foot.top),
        (foot.left, foot.top),
    ]  # fmt: skip
    return list(polyline([*corners, corners[0]], Layer.FINE if foot.near else Layer.HIDDEN))


def foot_annotations(foot: WeldedFoot, plate: Plate) -> list[Annotation]:
    """The symbol, and where the foot's left and lower sides lie, if not at the plate's edges."""
    xs, ys = zip(*plate.outline, strict=True)
    found: list[Annotation] = [
        Weld(text=foot.mark, at=(foot.right, foot.middle[1]), ways=(), leader=True)
    ]
    across = [x for x in (foot.left, foot.right) if not _at_edge(x, max(xs) - min(xs))]
    if across:
        points = tuple((x, 0.0) for x in across[:1])
        found.append(Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.BOTTOM))
    if not _at_edge(foot.bottom, max(ys) - min(ys)):
        points = ((foot.left, foot.bottom),)
        found.append(Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.LEFT))
    return found


def _at_edge(place: float, size: float) -> bool:
    return abs(place) < _SAME_MM or abs(place - size) < _SAME_MM


def hands_words(feet: Counter[WeldedFoot], plate: Plate) -> str:
    """How many plates have their foot as drawn, and how many the other way; empty where all do."""
    drawn = next(iter(feet))
    width = max(x for x, _ in plate.outline) - min(x for x, _ in plate.outline)
    as_drawn = opposite = 0
    for foot, count in feet.items():
        turned = (width - foot.right, width - foot.left)
        moved = abs(turned[0] - drawn.left) < _SAME_MM and abs(turned[1] - drawn.right) < _SAME_MM
        if foot == drawn:
            as_drawn += count
        elif foot.near != drawn.near or moved:
            opposite += count
    return f"{as_drawn} as drawn, {opposite} opposite hand" if opposite else ""
