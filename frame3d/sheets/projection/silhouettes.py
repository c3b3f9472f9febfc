"""Members as they look from one direction: their lines, outline and nearness."""

from __future__ import annotations

from shapely import MultiPoint, Polygon
from shapely.ops import unary_union

from frame3d.frame.measure.board_measures import blocks, corners
from frame3d.frame.measure.outer_points import ends_of, outline_corners, round_corners
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.members import Member
from frame3d.geometry.placement import Vector, dot
from frame3d.sheets.primitives.primitives import CircleStroke, Layer
from frame3d.sheets.projection.projection import (
    ABOVE,
    CENTRE_LINES_DOWN_TO,
    FRONT,
    LEFT_SIDE,
    PARALLEL,
    RIGHT_SIDE,
    Lines,
    Projection,
    Silhouette,
    closed,
)
from frame3d.sheets.projection.section_plane import outline
from frame3d.sheets.projection.tube_outlines import tube_outline


def silhouette(member: Member, projection: Projection, *, small: bool = False) -> Silhouette | None:
    """``member`` in a projection; None for what is bought, which is too small, unless ``small``.

    What is bought is drawn in fine lines.
    """
    if member.part.is_bought and not small:
        return None
    first, *others = (_outline(member, body, projection) for body in member.part.bodies)
    return _together(member, (first, *others)) if others else first


def _outline(member: Member, body: Body, projection: Projection) -> Silhouette:
    match body:
        case SweptRing():
            return tube_outline(member, body, projection)
        case SawnTimber():
            return board_outline(member, body, projection)
        case ExtrudedOutline():
            return plate_outline(member, body, projection)
        case TurnedProfile():
            return _hull(member, projection, round_corners(body))
        case SplitRing():
            return _hull(member, projection, ends_of(body))


def _together(member: Member, seen: tuple[Silhouette, ...]) -> Silhouette:
    """Bodies of one part: what they cover together."""
    area = unary_union([one.area for one in seen])
    return Silhouette(
        member=member, lines=tuple(outline(area)), area=area,
        nearness=lambda place: max(one.nearness(place) for one in seen),
    )  # fmt: skip


def board_outline(member: Member, board: SawnTimber, projection: Projection) -> Silhouette:
    """A board: what its blocks cover, one of them when it has no lap."""
    whole, *tongues = (_hull(member, projection, block.tolist()) for block in blocks(board))
    if not tongues:
        return whole
    area = unary_union([whole.area, *(tongue.area for tongue in tongues)]).simplify(1e-6)
    nearest = max(
        projection.near(member.placement.point(corner)) for corner in corners(board).tolist()
    )
    return Silhouette(member=member, lines=closed(area), area=area, nearness=lambda place: nearest)


def _hull(member: Member, projection: Projection, corners: list[Vector]) -> Silhouette:
    points = [member.placement.point(corner) for corner in corners]
    nearest = max(projection.near(point) for point in points)
    area = MultiPoint([projection.flat(point) for point in points]).convex_hull
    lines = closed(area, Layer.FINE if member.part.is_bought else Layer.OUTLINE)
    return Silhouette(member=member, lines=lines, area=area, nearness=lambda place: nearest)


def plate_outline(member: Member, plate: ExtrudedOutline, projection: Projection) -> Silhouette:
    """A plate: its outline when it faces the viewer, else its bounding shape."""
    if abs(dot(member.placement.z, projection.toward)) < PARALLEL:
        return _hull(member, projection, outline_corners(plate))
    faces = [
        [member.placement.point((x, y, z)) for x, y in plate.outline]
        for z in (plate.low_mm, plate.high_mm)
    ]
    nearest = max(projection.near(face[0]) for face in faces)
    area = Polygon([projection.flat(point) for point in faces[0]])
    holes = tuple(
        CircleStroke(
            centre=projection.flat(member.placement.point((x, y, plate.low_mm))),
            radius=across / 2,
            layer=Layer.FINE,
            smallest=CENTRE_LINES_DOWN_TO,
        )
        for x, y, across in plate.holes
    )
    return Silhouette(
        member=member, lines=(*closed(area), *holes), area=area, nearness=lambda place: nearest
    )


def reach_of(member: Member, direction: Vector) -> tuple[float, float]:
    """Smallest and largest coordinate along ``direction``, mm.

    Of the ends of a tube's axis, or of the true corners of a board or a plate.
    """
    ends = [end for body in member.part.bodies for end in ends_of(body)]
    values = [dot(member.placement.point(point), direction) for point in ends]
    return min(values), max(values)


__all__ = [
    "ABOVE",
    "FRONT",
    "LEFT_SIDE",
    "RIGHT_SIDE",
    "Lines",
    "Projection",
    "Silhouette",
    "board_outline",
    "plate_outline",
    "reach_of",
    "silhouette",
]
