"""Parts flat and at full size, for machines that cut, drill and bend.

Plates and boards are their outline with holes. A tube is three things one above the other,
all starting at x = 0: the bent centreline with points where bends begin and end; the straight
tube with the same points and where holes are; and its surface unrolled, with the holes of
both walls.

Glossary
--------
unrolled : the surface of the straight tube laid flat as it is seen from outside, so that it
    can be wrapped round the tube face out: x along the tube, y round it against the clock
    angle. It is cut open an eighth of a turn from the inside of the bends, where a line
    runs, so that holes in and square to the plane of the bends lie whole.
tangent point : where a bend begins or ends.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Iterator, Sequence

from msgspec import Struct
from shapely import Polygon
from shapely.ops import unary_union

from frame3d.frame.describe.plate_joints import BentPlate
from frame3d.frame.measure.board_measures import blocks, short_edges
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.parts import Part
from frame3d.frame.model.pressed import hole_clock_rad
from frame3d.geometry.outlines import edges
from frame3d.geometry.paths import Arc, advance
from frame3d.sheets.primitives.primitives import Point

_SEAM_RAD = math.pi / 4
_GAP = 2.0
"""Free space between the three pictures of a tube, in diameters."""

_CHORDS = 16
"""Of an arc in the profile of what is turned."""


class PatternLayer(enum.Enum):
    """What a line is for; the value is the name of its layer.

    What a machine cuts, bends or engraves is called so; all else is for whoever sets it up.
    """

    OUTLINE = "cut"
    HOLES = "cut holes"
    EDGE_HOLES = "edge holes"
    FAR_EDGE = "far edge"
    CENTRE_LINE = "centre line"
    TANGENT_POINTS = "bend"
    HOLE_PLACES = "engrave"
    END_FORMS = "end forms"
    INSIDE = "inside of bends"


class ClosedOutline(Struct, frozen=True, kw_only=True):
    """A closed outline, mm.

    ``turns`` are the angles, rad, of the arcs from each point to the next; 0 of straights, and
    none for all straight.
    """

    points: tuple[Point, ...]
    turns: tuple[float, ...] = ()
    use: PatternLayer = PatternLayer.OUTLINE


class Straight(Struct, frozen=True, kw_only=True):
    """A straight line, mm."""

    start: Point
    end: Point
    use: PatternLayer


class PatternArc(Struct, frozen=True, kw_only=True):
    """An arc, anticlockwise from ``start_rad`` to ``end_rad``, mm."""

    centre: Point
    radius: float
    start_rad: float
    end_rad: float
    use: PatternLayer


class Round(Struct, frozen=True, kw_only=True):
    """A hole, mm."""

    centre: Point
    diameter: float
    use: PatternLayer = PatternLayer.HOLES


class PatternPoint(Struct, frozen=True, kw_only=True):
    """A point, mm."""

    at: Point
    use: PatternLayer


Shape = ClosedOutline | Straight | PatternArc | Round | PatternPoint


def pattern(part: Part) -> tuple[Shape, ...]:
    """The bodies of ``part`` as shapes in one plane, mm."""
    return tuple(shape for body in part.bodies for shape in _shapes(body))


def flat_pattern(piece: BentPlate) -> tuple[Shape, ...]:
    """A piece bent from one plate, laid flat: outline, holes, and the middles of its bends."""
    long, wide = piece.length_mm, piece.width_mm
    bends = [
        Straight(start=(at, 0.0), end=(at, wide), use=PatternLayer.TANGENT_POINTS)
        for at, _ in piece.bends
    ]
    holes = [
        Round(centre=(x, y), diameter=across) for leg in piece.legs for x, y, across in leg.holes
    ]
    outline = ClosedOutline(points=((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)))
    return (outline, *holes, *bends)


def _shapes(body: Body) -> Iterator[Shape]:
    match body:
        case ExtrudedOutline():
            yield from _plate(body)
        case SawnTimber():
            yield from _board(body)
        case SweptRing():
            yield from _tube(body)
        case TurnedProfile():
            side = body.traced(_CHORDS)
            yield ClosedOutline(points=(*side, *((-x, y) for x, y in reversed(side))))
        case SplitRing():
            return  # bought, and not drawn for a shop


def top_of(shapes: Sequence[Shape]) -> float:
    """The highest place of what is drawn, mm; of arcs to within a hundredth of their rise."""
    heights = [0.0]
    for shape in shapes:
        match shape:
            case ClosedOutline():
                heights += [y for _, y in shape.points]
                heights += _tops(shape)
            case Straight():
                heights += [shape.start[1], shape.end[1]]
            case PatternPoint():
                heights.append(shape.at[1])
            case PatternArc():
                turn = shape.end_rad - shape.start_rad
                heights += [
                    shape.centre[1] + shape.radius * math.sin(shape.start_rad + turn * i / 64)
                    for i in range(65)
                ]
    return max(heights)


def _tops(outline: ClosedOutline) -> Iterator[float]:
    """Heights that no point of the arcs of ``outline`` reaches over, mm."""
    after = (*outline.points[1:], outline.points[0])
    for (x0, y0), (x1, y1), turn in zip(outline.points, after, outline.turns, strict=False):
        chord = math.dist((x0, y0), (x1, y1))
        if turn:
            yield max(y0, y1) + chord / 2 * math.tan(turn / 4)


def _plate(plate: ExtrudedOutline) -> Iterator[Shape]:
    outline = edges(plate.outline)
    yield ClosedOutline(
        points=tuple(edge.start for edge in outline),
        turns=tuple(edge.turn_rad for edge in outline),
    )
    for x, y, across in plate.holes:
        yield Round(centre=(x, y), diameter=across)


def _board(board: SawnTimber) -> Iterator[Shape]:
    """The face z = thickness toward the viewer, and below it the edge where it has holes.

    Where an end is bevelled the outline is that of the longer face and the other face's edge
    is drawn inside it.
    """
    whole = unary_union(
        [
            Polygon([(block[i][0], block[i][1]) for i in (0, 4, 6, 2)]).union(
                Polygon([(block[i][0], block[i][1]) for i in (1, 5, 7, 3)])
            )
            for block in blocks(board)
        ]
    ).simplify(1e-6)
    yield ClosedOutline(points=tuple(whole.exterior.coords)[:-1])
    for x, low, high, _ in short_edges(board):
        yield Straight(start=(x, low), end=(x, high), use=PatternLayer.FAR_EDGE)
    for hole in board.holes:
        yield Round(centre=(hole.along_mm, hole.up_mm), diameter=hole.diameter_mm)
    if board.edge_holes:
        low = -2.0 * board.section.thickness_mm
        top = low + board.section.thickness_mm
        length = board.length_mm
        yield ClosedOutline(points=((0.0, low), (length, low), (length, top), (0.0, top)))
        for through in board.edge_holes:
            yield Round(
                centre=(through.along_mm, low + through.across_mm),
                diameter=through.diameter_mm,
                use=PatternLayer.EDGE_HOLES,
            )


def _tube(tube: SweptRing) -> Iterator[Shape]:
    od = tube.section.od_mm
    yield from _straight(tube)
    yield from _unrolled(tube, -(_GAP + math.pi) * od)
    if not tube.axis.is_straight:
        low = tube.axis.bounds()[1]
        yield from _bent(tube, _GAP * od - low)


def _straight(tube: SweptRing) -> Iterator[Shape]:
    """The straight tube: its axis from 0 to its length, the bends' points, and holes' places."""
    half = tube.section.od_mm / 2
    yield Straight(start=(0.0, 0.0), end=(tube.length_mm, 0.0), use=PatternLayer.CENTRE_LINE)
    for at, segment in zip(_starts(tube), tube.axis.segments, strict=True):
        if isinstance(segment, Arc):
            for x in (at, at + segment.length_mm):
                yield Straight(start=(x, -half), end=(x, half), use=PatternLayer.TANGENT_POINTS)
    for hole in tube.holes:
        yield Straight(
            start=(hole.at_mm, -half), end=(hole.at_mm, half), use=PatternLayer.HOLE_PLACES
        )


def _starts(tube: SweptRing) -> list[float]:
    """Where the segments of the axis begin along it, mm."""
    return [at for at, _ in tube.axis.starts]


def _unrolled(tube: SweptRing, low: float) -> Iterator[Shape]:
    """The surface, from ``low`` up.

    Clock angles run clockwise along the tube, so from outside they run down.
    """
    half, length = tube.section.od_mm / 2, tube.length_mm
    girth = 2 * math.pi * half
    yield ClosedOutline(
        points=((0.0, low), (length, low), (length, low + girth), (0.0, low + girth))
    )
    inside = low + half * _SEAM_RAD
    yield Straight(start=(0.0, inside), end=(length, inside), use=PatternLayer.INSIDE)
    for hole in tube.holes:
        for turn in (hole_clock_rad(tube, hole), hole_clock_rad(tube, hole) + math.pi):
            y = (half * (_SEAM_RAD - turn)) % girth
            for shift in (0.0, girth, -girth):
                # One that lies across the cut stands at both edges.
                if -hole.diameter_mm / 2 < y + shift < girth + hole.diameter_mm / 2:
                    yield Round(centre=(hole.at_mm, low + y + shift), diameter=hole.diameter_mm)
    for x in _end_forms(tube):
        yield Straight(start=(x, low), end=(x, low + girth), use=PatternLayer.END_FORMS)


def _end_forms(tube: SweptRing) -> Iterator[float]:
    """Where swages and flats, and what leads to them, begin along the tube, mm."""
    for end, at, inward in ((tube.start, 0.0, 1.0), (tube.end, tube.length_mm, -1.0)):
        if end is not None:
            more = end.transition_mm if isinstance(end, Flat) else end.taper_mm
            yield at + inward * end.length_mm
            yield at + inward * (end.length_mm + more)


def _bent(tube: SweptRing, lift: float) -> Iterator[Shape]:
    """The centreline of the bent tube, and the points where bends begin and end."""
    for (_, here), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
        there = advance(here, segment, segment.length_mm)
        start, end = (here.x_mm, here.y_mm + lift), (there.x_mm, there.y_mm + lift)
        if not isinstance(segment, Arc):
            yield Straight(start=start, end=end, use=PatternLayer.CENTRE_LINE)
            continue
        left = math.copysign(segment.radius_mm, segment.angle_rad)
        nx, ny = here.normal
        centre = (start[0] + left * nx, start[1] + left * ny)
        angles = [math.atan2(y - centre[1], x - centre[0]) for x, y in (start, end)]
        first, last = angles if segment.angle_rad > 0 else angles[::-1]
        yield PatternArc(
            centre=centre,
            radius=segment.radius_mm,
            start_rad=first,
            end_rad=first + (last - first) % (2 * math.pi),
            use=PatternLayer.CENTRE_LINE,
        )
        yield PatternPoint(at=start, use=PatternLayer.TANGENT_POINTS)
        yield PatternPoint(at=end, use=PatternLayer.TANGENT_POINTS)
    for hole in tube.holes:
        at = tube.axis.at(hole.at_mm)
        yield PatternPoint(at=(at.x_mm, at.y_mm + lift), use=PatternLayer.HOLE_PLACES)
