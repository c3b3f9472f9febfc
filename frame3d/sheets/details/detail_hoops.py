"""Details of hoops: the ridge joint, and the splices of hoops and of rails, in section."""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.frame.model.joints import Joint
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Plate, Swage, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import ALONG, UP, Vector, cross, opposite
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    Note,
    Radius,
    Running,
    ViewEdge,
)
from frame3d.sheets.details.details import (
    Detail,
    DetailContext,
    bolt_note,
    bolts_of,
    clamps_of,
    detail,
    of_role,
    quiet_hoop,
    ring_points,
)
from frame3d.sheets.projection.projection import FRONT, Projection, axis_point, axis_way
from frame3d.sheets.projection.section_plane import Plane

_BESIDE_MM = 60.0
_PAST_RIDGE_MM = 140.0
"""How much is shown of the other half, which is alike."""
_PAST_FOOT_MM = 35.0
"""How far beyond the foot of a ridge joint the note of the hoop points."""
_OVER_MM = 25.0
"""How much the window of a ridge joint reaches over it."""


def ridge_detail(site: DetailContext) -> Detail | None:
    """The ridge joint of a gothic hoop, cut along the hoop."""
    frame = site.frame
    number = quiet_hoop(frame)
    y = frame.grid.hoop_y_mm[number - 1]
    joints = [m for m in frame.of(Role.RIDGE_JOINT) if m.spot.hoop == number]
    if not joints:
        return None
    plane = Plane(projection=FRONT, at_mm=-y)
    pieces = [m for m in frame.of_kind(Tube, Role.HOOP) if m.spot.hoop == number]
    halves = [
        max((m for m in pieces if sign * _ridge_end(m)[0] > 0.0), key=lambda m: _ridge_end(m)[2])
        for sign in (-1.0, 1.0)
    ]
    ends = [_ridge_end(m) for m in halves]
    foot = _joint_foot(joints[0])
    reach = abs(foot[0]) + _BESIDE_MM
    top = max(end[2] for end in ends) + 40.0
    high = max(top + 55.0, _crown(joints[0]) + _OVER_MM, frame.arch.ridge_height_mm + _OVER_MM)
    window = (-reach, foot[2] - 70.0, min(reach, _PAST_RIDGE_MM), high)
    # All of it, though the view ends just past the ridge: the note counts a whole joint.
    made = [*frame.joints_with(joints[0]), *_beside(site, halves, foot)]
    rails, bolts = of_role(made, Tube, Role.RAIL), bolts_of(made)
    annotations = _ridge_sizes(joints[0], halves, foot)
    annotations += _ridge_notes(site, joints[0], halves, rails)
    annotations += bolt_note(site, bolts, plane, ViewEdge.RIGHT)
    where = (
        f"Typical of every hoop; shown at hoop {number}, cut along it. The other half is the same."
    )
    return detail(
        site,
        "Ridge joint",
        where,
        plane,
        window,
        annotations,
        of=[*joints, *halves, *rails, *clamps_of(made), *bolts],
    )


def _beside(site: DetailContext, halves: list[Member[Tube]], foot: Vector) -> list[Joint]:
    """The joints of rails and halves beside the ridge joint, no lower than its foot."""
    return [
        joint
        for half in halves
        for joint in site.frame.joints_with(half, Role.RAIL)
        if joint.placement.origin[2] > foot[2] - 50.0
    ]


def _ridge_end(hoop: Member[Tube]) -> Vector:
    """The upper end of a piece of hoop."""
    ends = (axis_point(hoop, 0.0), axis_point(hoop, hoop.part.length_mm))
    return max(ends, key=lambda p: p[2])


def _crown(joint: Member) -> float:
    """Height of the top of a ridge joint, mm."""
    if isinstance(joint.part, Plate):
        return max(joint.placement.point((x, y, 0.0))[2] for x, y in joint.part.outline)
    sleeve = with_part(joint, Tube)
    return _middle(sleeve)[2] + sleeve.part.section.od_mm / 2


def _middle(sleeve: Member[Tube]) -> Vector:
    return axis_point(sleeve, sleeve.part.length_mm / 2)


def _joint_foot(joint: Member) -> Vector:
    """The lowest point on the left of a ridge joint: a sleeve's end or a plate's corner."""
    if isinstance(joint.part, Plate):
        points = [joint.placement.point((x, y, 0.0)) for x, y in joint.part.outline]
        return min(points, key=lambda p: (p[0], p[2]))
    sleeve = with_part(joint, Tube)
    ends = (axis_point(sleeve, 0.0), axis_point(sleeve, sleeve.part.length_mm))
    return min(ends, key=lambda p: p[0])


def _ridge_sizes(joint: Member, halves: list[Member[Tube]], foot: Vector) -> list[Annotation]:
    """The overlap on the left half, and the radius of a bent sleeve."""
    left = min((_ridge_end(m) for m in halves), key=lambda p: p[0])
    if isinstance(joint.part, Plate):
        ridge = joint.placement.origin
        return [
            Aligned(
                first=FRONT.flat(_foot_middle(with_part(joint, Plate))),
                second=FRONT.flat(ridge),
                name="from the ridge",
                away=16.0,
            )
        ]
    sleeve = with_part(joint, Tube)
    half = sleeve.part.section.od_mm / 2
    run = (left[0] - foot[0], left[2] - foot[2])
    size = math.hypot(*run)
    out = (-run[1] / size * half, run[0] / size * half)
    start, end = ((p[0] + out[0], p[2] + out[1]) for p in (foot, left))
    sizes: list[Annotation] = [Aligned(first=start, second=end, name="overlap", away=9.0)]
    bend = max(sleeve.part.axis.segments, key=lambda s: abs(s.angle_rad) / s.length_mm)
    middle = _middle(sleeve)
    if isinstance(bend, Arc):
        centre = (middle[0], middle[2] - bend.radius_mm)
        sizes.append(Radius(centre=centre, on_arc=((middle[0], middle[2]),), name="of the bend"))
    return sizes


def _foot_middle(joint: Member[Plate]) -> Vector:
    """The middle of the left end of a ridge plate, on the axis of the tube."""
    points = [joint.placement.point((x, y, 0.0)) for x, y in joint.part.outline]
    (x0, y0, z0), (x1, y1, z1) = sorted(points)[:2]
    return ((x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2)


def _ridge_notes(
    site: DetailContext, joint: Member, halves: list[Member[Tube]], rails: list[Member[Tube]]
) -> list[Annotation]:
    left = min(halves, key=lambda m: _ridge_end(m)[0])
    end = _ridge_end(left)
    ridge = site.frame.arch.ridge_height_mm
    span = left.part.length_mm
    upper = 0.0 if axis_point(left, 0.0)[2] > axis_point(left, span)[2] else span
    # A long sleeve covers less of the hoop than it reaches down: its bend takes the rest.
    down = min(0.82 * _reach_of_joint(joint), math.dist(end, _joint_foot(joint)) + _PAST_FOOT_MM)
    at = axis_point(left, abs(upper - down))
    notes: list[Annotation] = [
        Note(text=f"Half of the hoop {site.name(left)}", at=(at[0], at[2])),
        Note(
            text=f"Ridge, where the centrelines of the halves meet: {site.say(ridge)} above ground",
            at=(0.0, ridge),
        ),
    ]
    if isinstance(joint.part, Plate):
        text = f"Ridge plate {site.name(joint)}, one on each side"
        foot = _joint_foot(joint)
        notes.append(Note(text=text, at=(-0.55 * abs(foot[0]), _plate_level(joint, foot, 0.55))))
    else:
        sleeve = with_part(joint, Tube)
        section, (x, _, z) = sleeve.part.section, _middle(sleeve)
        wall = (x, z + section.od_mm / 2 - section.wall_mm / 2)
        notes.append(Note(text=f"Ridge sleeve {site.name(joint)}", at=wall))
    for rail in rails:
        x, _, z = rail.placement.origin
        notes.append(
            Note(text=f"Rail {site.name(rail)}", at=(x, z), others=ring_points((x, z), rail.part))
        )
        break
    return notes


def _reach_of_joint(joint: Member) -> float:
    """Length of a joint to one side, mm."""
    if isinstance(joint.part, Plate):
        return abs(_joint_foot(joint)[0])
    return with_part(joint, Tube).part.length_mm / 2


def _plate_level(joint: Member, foot: Vector, share: float) -> float:
    """Height of the middle of a plate's leg at a share of the way to its foot."""
    ridge = joint.placement.origin[2]
    return ridge + share * (foot[2] - ridge)


class _Splice(Struct, frozen=True, kw_only=True):
    """A splice: the middle of what is drawn, the way along it, where its ends lie, its bolts."""

    middle: Vector
    along: Vector
    out: Vector
    edges: tuple[Vector, ...]
    od_mm: float
    members: tuple[Member[Tube], ...]
    bolts: list[Member]


def splice_detail(site: DetailContext) -> Detail | None:
    """The splice of a hoop, cut along it."""
    frame = site.frame
    number = quiet_hoop(frame)
    pieces = [m for m in frame.of_kind(Tube, Role.HOOP) if m.spot.hoop == number]
    sleeves = [m for m in frame.of_kind(Tube, Role.SPLICE) if m.spot.hoop == number]
    joint = _sleeved(frame, sleeves, pieces) if sleeves else _swaged(frame, pieces)
    if joint is None:
        return None
    where = f"Typical of every hoop; shown at hoop {number}, cut along it."
    return _splice(site, "Hoop splice", where, joint)


def rail_joint_detail(site: DetailContext) -> Detail | None:
    """The joint of two pieces of a rail, cut along it."""
    joint = _swaged(site.frame, list(site.frame.of_kind(Tube, Role.RAIL, Role.HIP_RAIL)))
    if joint is None:
        return None
    where = f"Rail {joint.members[0].mark} is shown, cut along it; the others are the same."
    return _splice(site, "Rail joint", where, joint)


def _swaged(frame: Frame, pieces: list[Member[Tube]]) -> _Splice | None:
    """The first swaged end among ``pieces``, on the right side if there is one there."""
    ordered = sorted(pieces, key=lambda m: m.spot.side is not Side.RIGHT)
    for piece in ordered:
        tube = piece.part
        for end, at, back in ((tube.start, 0.0, 1.0), (tube.end, tube.length_mm, -1.0)):
            if not isinstance(end, Swage):
                continue
            tip, mouth = axis_point(piece, at), axis_point(piece, at + back * end.length_mm)
            middle = at + back * end.length_mm / 2
            along = axis_way(piece, middle)
            # Of its two neighbours the one that it is in.
            joints = [j for j in frame.joints_with(piece, piece.role) if j.members[-1] is piece]
            pair = of_role(joints, Tube, piece.role)
            return _Splice(
                middle=axis_point(piece, middle),
                along=along,
                out=_outward(piece, middle),
                edges=(mouth, tip),
                od_mm=tube.section.od_mm,
                members=tuple(pair[::-1]),
                bolts=bolts_of(joints),
            )
    return None


def _sleeved(frame: Frame, sleeves: list[Member[Tube]], pieces: list[Member[Tube]]) -> _Splice:
    sleeve = min(sleeves, key=lambda m: m.spot.side is not Side.RIGHT)
    length = sleeve.part.length_mm
    return _Splice(
        middle=axis_point(sleeve, length / 2),
        along=axis_way(sleeve, length / 2),
        out=_outward(sleeve, length / 2),
        edges=tuple(axis_point(sleeve, share * length) for share in (0.0, 0.5, 1.0)),
        od_mm=max(sleeve.part.section.od_mm, pieces[0].part.section.od_mm),
        members=(sleeve, *pieces),
        bolts=bolts_of(frame.joints_with(sleeve)),
    )


def _outward(member: Member[Tube], at_mm: float) -> Vector:
    """Square to the axis in the plane across the tunnel, or up for what runs along it."""
    along = axis_way(member, at_mm)
    if abs(along[1]) > 0.5:
        return UP
    out = cross(ALONG, along)
    here = axis_point(member, at_mm)
    if out[2] < -1e-9 or (abs(out[2]) < 1e-9 and out[0] * here[0] < 0.0):
        out = opposite(out)
    return out


def _splice(site: DetailContext, name: str, where: str, joint: _Splice) -> Detail:
    right = joint.along
    if cross(right, joint.out)[1] > 1e-9:
        right = opposite(right)
    if abs(joint.along[1]) > 0.5:
        right = ALONG
    projection = Projection(right=right, up=joint.out)
    if _screws_before(joint, projection):
        projection = Projection(right=opposite(right), up=joint.out)
    plane = Plane(projection=projection, at_mm=projection.near(joint.middle))
    edges = sorted((projection.flat(p) for p in joint.edges), key=lambda p: p[0])
    middle = projection.flat(joint.middle)
    half = (edges[-1][0] - edges[0][0]) / 2 + 70.0
    high = joint.od_mm / 2 + 30.0
    window = (middle[0] - half, middle[1] - high, middle[0] + half, middle[1] + high)
    annotations = _splice_sizes(joint, projection, edges)
    annotations += _splice_notes(site, joint, projection, edges)
    annotations += bolt_note(site, joint.bolts, plane, ViewEdge.RIGHT)
    return detail(site, name, where, plane, window, annotations, of=[*joint.members, *joint.bolts])


def _screws_before(joint: _Splice, projection: Projection) -> bool:
    """Whether the screws lie in the half that a section seen so takes away."""
    screws = [m for m in joint.bolts if m.role is Role.SCREW]
    depths = [projection.near(m.placement.origin) - projection.near(joint.middle) for m in screws]
    return bool(depths) and min(depths) > 0.0


def _splice_sizes(
    joint: _Splice, projection: Projection, edges: list[tuple[float, float]]
) -> list[Annotation]:
    """Overlap below; bolts from the end of the outer tube, or from the joint, above."""
    low = min(v for _, v in edges) - joint.od_mm / 2
    points = tuple((u, low) for u, _ in edges)
    names = ("overlap",) * (len(points) - 1)
    annotations: list[Annotation] = [Chain(points=points, edge=ViewEdge.BOTTOM, names=names)]
    datum = projection.flat(joint.edges[0 if len(joint.edges) == 2 else 1])
    heads = [
        projection.flat(m.placement.origin)
        for m in joint.bolts
        if m.role in (Role.BOLT, Role.SCREW)
    ]
    top = max(v for _, v in edges) + joint.od_mm / 2
    if heads:
        points = tuple((u, top) for u, _ in sorted(heads))
        annotations.append(Running(datum=(datum[0], top), points=points, edge=ViewEdge.TOP))
    return annotations


def _splice_notes(
    site: DetailContext, joint: _Splice, projection: Projection, edges: list[tuple[float, float]]
) -> list[Annotation]:
    inner = joint.members[0]
    section = inner.part.section
    wall = section.wall_mm / 2
    left, right = edges[0], edges[-1]
    if inner.role is Role.SPLICE:
        at = (0.75 * left[0] + 0.25 * right[0], left[1] + section.od_mm / 2 - wall)
        return [
            Note(text=f"Sleeve {site.name(inner)}", at=at),
            Note(
                text=f"Hoop {site.name(joint.members[1])}, on both sides",
                at=(right[0] + 40.0, right[1]),
            ),
        ]
    mouth, tip = projection.flat(joint.edges[0]), projection.flat(joint.edges[1])
    way = 1.0 if tip[0] > mouth[0] else -1.0
    end = next(one for one in (inner.part.start, inner.part.end) if isinstance(one, Swage))
    word = "hoop" if inner.role is Role.HOOP else "rail"
    return [
        Note(
            text=f"Swaged end of {word} {site.name(inner)}, Ø {site.fine(end.od_mm)} outside",
            at=(mouth[0] + 0.7 * (tip[0] - mouth[0]), mouth[1] - end.od_mm / 2 + wall),
        ),
        Note(
            text=f"Next piece of the {word}, pushed on the full length of the swage",
            at=(tip[0] + way * 35.0, tip[1] + section.od_mm / 2 - wall),
        ),
    ]
