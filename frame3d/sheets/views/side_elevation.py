"""The side elevations: hoops at their spacing, rails, braces and sill boards of one side."""

from __future__ import annotations

from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.space.crown import crown_of
from frame3d.geometry.placement import ALONG, UP
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    GridBubbles,
    Mark,
    MarkRow,
    Running,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, around
from frame3d.sheets.projection.ground_line import ground_before, ground_line, sink
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.silhouettes import (
    LEFT_SIDE,
    RIGHT_SIDE,
    Lines,
    Projection,
    reach_of,
    silhouette,
)
from frame3d.sheets.projection.stretch import HoopRange, cut, marked, match_lines, shown
from frame3d.sheets.views.curtain_view import cord_lines
from frame3d.sheets.views.socket_plan import Seen, bay_middle
from frame3d.site.write.ground_words import heights_note

_ROLES = (
    Role.SOCKET,
    Role.HOOP,
    Role.SPLICE,
    Role.RIDGE_JOINT,
    Role.RAIL,
    Role.BRACE,
    Role.SILL_BOARD,
    Role.SKIRT_BOARD,
    Role.HIP_BOARD,
    Role.HIP_RAIL,
    Role.END_STOP,
    Role.WALL_BRACE,
    Role.CHANNEL,
    Role.CURTAIN_TUBE,
    Role.GUIDE_POST,
)
_BRACES = (Role.BRACE, Role.WALL_BRACE)
_RAILS = (Role.RAIL, Role.HIP_RAIL)
_BOARDS = (Role.SILL_BOARD, Role.HIP_BOARD)
_END_WALL = (Role.STUD, Role.DOOR_JAMB)
_OVER_MM = 1.0
_ONE_HEIGHT_MM = 10.0
"""Ends of wall braces that are nearer in height than this are given once."""


def notes(frame: Frame) -> tuple[str, ...]:
    """What is to be said about the side elevations of ``frame``."""
    out = ["Hardware", "the blocks behind the joints of the boards"]
    if any(True for _ in frame.of(Role.TIE)):
        out.append("ties")
    if any(True for _ in frame.of(*_END_WALL)):
        out.append("end walls except their braces")
    left = f"{', '.join(out[:-1])}, and {out[-1]},"
    text = f"The near side is shown. {left} are not shown. "
    text += "Heights of rails and braces are to their centrelines"
    text += ", and of a side opening to its edges." if frame.vents else "."
    blocks = [f"{mark} behind {what}" for what, mark in _blocks(frame)]
    told = f"{text} Blocks at the joints: {', '.join(blocks)}." if blocks else text
    return (told, heights_note(frame))


def _blocks(frame: Frame) -> list[tuple[str, str]]:
    """The marks of joint blocks, each with the boards that they lie behind."""
    found: dict[tuple[str, str], None] = {}
    tops = [reach_of(m, UP)[1] for m in frame.of(Role.SILL_BOARD)]
    for member in frame.of(Role.JOINT_BLOCK):
        low = reach_of(member, UP)[0]
        found["sill boards" if tops and low < max(tops) else "hip boards", member.mark] = None
    return list(found)


def projection_of(side: Side) -> Projection:
    """From where an elevation of this side is seen."""
    return LEFT_SIDE if side is Side.LEFT else RIGHT_SIDE


def _near(member: Member, side: Side) -> bool:
    if member.spot.side in (side, Side.MIDDLE):
        return True
    if member.role is not Role.HOOP:
        return False
    # A piece of the far side may reach over the crown.
    low, high = reach_of(member, (1.0, 0.0, 0.0))
    return high > _OVER_MM if side is Side.RIGHT else low < -_OVER_MM


def seen(frame: Frame, side: Side) -> Seen:
    """What can be seen of the whole tunnel from the left or the right, the far side left out."""
    projection = projection_of(side)
    members = (member for member in frame.of(*_ROLES) if _near(member, side))
    shapes = [shape for shape in (silhouette(member, projection) for member in members) if shape]
    _, low, _, high = around(shape.area.bounds for shape in shapes)
    under = ground_before(frame, side, projection)
    return Seen(
        lines=(*sink(visible(shapes), under), *_cords(frame, side)),
        low=low,
        high=high,
    )


def _cords(frame: Frame, side: Side) -> list[Lines]:
    """The cords that hold a curtain, before all else."""
    projection = projection_of(side)
    return [
        Stroke(start=projection.flat(a), end=projection.flat(b), layer=Layer.FINE)
        for a, b in cord_lines(frame, side)
    ]


def side_elevation(frame: Frame, side: Side, stretch: HoopRange, what: Seen) -> View:
    """The tunnel from the left or the right, over a stretch of its length.

    Parameters
    ----------
    frame : Frame
    side : Side
    stretch : HoopRange
    what : Seen
        From :func:`seen`, for the same side.
    """
    projection = projection_of(side)
    members = [m for m in shown(frame.of(*_ROLES), stretch) if _near(m, side)]
    lines = cut(what.lines, stretch, projection)
    bottom, top = what.low, what.high
    ends = sorted(
        projection.flat((0.0, min(max(y, stretch.low_mm), stretch.high_mm), 0.0))[0]
        for y in (min(_reach(m)[0] for m in members), max(_reach(m)[1] for m in members))
    )
    margin = 0.01 * (ends[1] - ends[0])
    ground, soil = ground_line(
        ends[0] - margin, ends[1] + margin, ground_before(frame, side, projection)
    )
    seams, texts = match_lines(stretch, projection, bottom, top)
    annotations = [
        *_grid(frame, stretch, projection, top),
        *_boards(frame, stretch, projection, side, bottom),
        *_heights(
            stretch,
            projection,
            members,
            _edges(frame, projection, side),
            ends,
            crown_of(frame).over_all_mm,
        ),
        *_opening(frame, stretch, projection, side, bottom),
        *_marks(frame, stretch, projection, members),
        *(Mark(text=text, at=at, ways=((way, 0, 1.5),)) for text, at, way in texts),
    ]
    primitives: tuple[Primitive, ...] = (*lines, *ground, *soil, *seams)
    return View(
        title=f"Elevation of the {side.value} side{stretch.title}",
        primitives=primitives,
        bounds=(ends[0], bottom, ends[1], top),
        annotations=tuple(annotations),
    )


def _reach(member: Member) -> tuple[float, float]:
    low, high = reach_of(member, ALONG)
    half = 0.0
    if member.role is Role.HOOP:
        half = with_part(member, Tube).part.section.od_mm / 2
    return low - half, high + half


def _grid(frame: Frame, stretch: HoopRange, projection: Projection, top: float) -> list[Annotation]:
    hoops = [(n, (projection.flat((0.0, y, 0.0))[0], top)) for n, y in stretch.hoops(frame.grid)]
    return [
        Running(datum=(0.0, top), points=tuple(point for _, point in hoops), edge=ViewEdge.TOP),
        GridBubbles(places=tuple((str(n), point) for n, point in hoops), edge=ViewEdge.TOP),
    ]


def _boards(
    frame: Frame, stretch: HoopRange, projection: Projection, side: Side, bottom: float
) -> list[Annotation]:
    """Lengths of the boards end to end, those of hoops over all, and the run of boards."""
    ys = frame.grid.hoop_y_mm
    first, last = ys[stretch.first - 1], ys[stretch.last - 1]
    annotations: list[Annotation] = []
    ends = _joints(frame, stretch, side)
    if len(ends) > 1:
        points = tuple((projection.flat((0.0, y, 0.0))[0], bottom) for y in ends)
        annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM))
        if len(ends) > 2:
            annotations.append(
                Chain(
                    points=(points[0], points[-1]), edge=ViewEdge.BOTTOM, names=("boards",), rank=3
                )
            )
    if last > first:
        points = tuple((projection.flat((0.0, y, 0.0))[0], bottom) for y in (first, last))
        name = (
            "between the end hoops"
            if stretch.parts == 1
            else f"hoop {stretch.first} to hoop {stretch.last}"
        )
        annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM, names=(name,), rank=2))
    return annotations


def _opening(
    frame: Frame, stretch: HoopRange, projection: Projection, side: Side, bottom: float
) -> list[Annotation]:
    """The run of the side opening between its end stops, and of the boards of the hip."""
    annotations: list[Annotation] = []
    for vent in frame.vents:
        if vent.side is not side:
            continue
        run = (vent.start_y_mm, vent.end_y_mm)
        if stretch.parts == 1 and run != (0.0, frame.grid.length_mm):
            points = tuple((projection.flat((0.0, y, 0.0))[0], bottom) for y in run)
            annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM, names=("open",), rank=2))
    hip = _joints(frame, stretch, side, Role.HIP_BOARD)
    if len(hip) > 1 and hip != _joints(frame, stretch, side):
        points = tuple((projection.flat((0.0, y, 0.0))[0], bottom) for y in hip)
        annotations.append(
            Chain(points=points, edge=ViewEdge.BOTTOM, names=("hip",) * (len(hip) - 1))
        )
    return annotations


def _joints(
    frame: Frame, stretch: HoopRange, side: Side, role: Role = Role.SILL_BOARD
) -> list[float]:
    """Ends and joints of the boards of one side that are shown, along the tunnel, mm."""
    ends: list[float] = []
    boards = [m for m in frame.of(role) if m.spot.side is side]
    for y in sorted(end for board in boards for end in reach_of(board, ALONG)):
        if stretch.holds(y) and (not ends or y - ends[-1] > 1e-3):
            ends.append(y)
    return ends


def _heights(
    stretch: HoopRange,
    projection: Projection,
    members: list[Member],
    edges: list[Point],
    ends: list[float],
    top: float,
) -> list[Annotation]:
    """Heights above ground: of rails at the first hoop, of braces and over all at the last.

    ``edges`` are points on the lower and the upper edge of the side opening.
    """
    front_left = projection.right[1] > 0
    start, finish = (ends[0], ends[1]) if front_left else (ends[1], ends[0])
    heights: list[Point] = list(edges)
    for member in members:
        if member.role in _RAILS:
            heights.append((start, reach_of(member, UP)[0]))
    annotations: list[Annotation] = []
    if stretch.is_first:
        edge = ViewEdge.LEFT if front_left else ViewEdge.RIGHT
        if heights:
            annotations.append(Running(datum=(start, 0.0), points=tuple(heights), edge=edge))
    if stretch.is_last:
        points = tuple((finish, z) for z in _brace_heights(members))
        edge = ViewEdge.RIGHT if front_left else ViewEdge.LEFT
        if points:
            annotations.append(Running(datum=(finish, 0.0), points=points, edge=edge))
        annotations.append(
            Chain(points=((finish, 0.0), (finish, top)), edge=edge, names=("overall",), rank=3)
        )
    return annotations


def _edges(frame: Frame, projection: Projection, side: Side) -> list[Point]:
    """Where the side opening begins, on its lower and its upper edge."""
    return [
        (projection.flat((0.0, vent.start_y_mm, 0.0))[0], z)
        for vent in frame.vents
        if vent.side is side
        for z in (vent.bottom_mm, vent.top_mm)
        if z > 1.0
    ]


def _brace_heights(members: list[Member]) -> list[float]:
    """Heights of the ends of all braces; those of wall braces at about one height once, mm."""
    heights = [z for m in members if m.role is Role.BRACE for z in _fixings(m)]
    ends = sorted(z for m in members if m.role is Role.WALL_BRACE for z in _fixings(m))
    kept: list[float] = []
    for z in ends:
        if not kept or z - kept[-1] > _ONE_HEIGHT_MM:
            kept.append(z)
    return heights + kept


def _fixings(brace: Member) -> tuple[float, ...]:
    """Heights of a brace's ends; where one is pressed flat, of the bolt in it; mm."""
    tube = with_part(brace, Tube).part
    low, high = sorted((0.0, tube.length_mm), key=lambda s: brace.placement.point((s, 0, 0))[2])
    for hole in tube.holes:
        low = hole.at_mm if abs(hole.at_mm - low) < abs(hole.at_mm - high) else low
    return tuple(brace.placement.point((s, 0.0, 0.0))[2] for s in (low, high))


def _marks(
    frame: Frame, stretch: HoopRange, projection: Projection, members: list[Member]
) -> list[Annotation]:
    annotations: list[Annotation] = [
        _long_mark(frame, stretch, projection, member)
        for member in members
        if member.role in (*_RAILS, *_BRACES, *_BOARDS, Role.END_STOP)
        and marked(frame, stretch, member)
    ]
    ys = frame.grid.hoop_y_mm
    row = []
    for member in members:
        y = ys[member.spot.hoop - 1]
        if member.role is Role.SOCKET and stretch.holds(y):
            at = projection.flat((0.0, y, 0.7 * reach_of(member, UP)[0]))
            half = (with_part(member, Tube).part.section.od_mm / 2, 0.0)
            row.append(Mark(text=member.mark, at=at, ways=((1, 0, 0.8), (-1, 0, 0.8)), half=half))
    row.sort(key=lambda mark: mark.at)
    return [*annotations, MarkRow(marks=tuple(row))]


def _long_mark(frame: Frame, stretch: HoopRange, projection: Projection, member: Member) -> Mark:
    """The mark of a rail, brace or board between two hoops near the middle of what is shown."""
    low, high = reach_of(member, ALONG)
    middle = (max(low, stretch.low_mm) + min(high, stretch.high_mm)) / 2
    y = bay_middle(frame, stretch, low, high, middle)
    z = sum(reach_of(member, UP)) / 2
    ways: tuple[Way, ...] = ((0, 1, 1.0), (0, 1, 2.0), (0, -1, 4.0))
    if member.role is Role.END_STOP:
        return _stop_mark(projection, with_part(member, Board))
    if member.role in _BOARDS:
        low, high = reach_of(member, UP)
        half = (high - low) / 2
    else:
        half = with_part(member, Tube).part.section.od_mm / 2
        ways = tuple((0, way, d) for d in (0.8, 1.6) for way in (1, -1))
        if member.role in _BRACES:
            z, y = _on_brace(with_part(member, Tube), y)
            ways = tuple((way, 0, d) for d in (1.5, 2.5, 3.5) for way in (1, -1)) + ways
    return Mark(text=member.mark, at=projection.flat((0.0, y, z)), ways=ways, half=(0.0, half))


def _stop_mark(projection: Projection, member: Member[Board]) -> Mark:
    """The mark of an end stop, beside it."""
    part = member.part
    centre = member.placement.point(
        (0.55 * part.length_mm, part.section.depth_mm / 2, part.section.thickness_mm / 2)
    )
    ways = tuple((way, 0, d) for d in (0.8, 2.0) for way in (1, -1))
    return Mark(
        text=member.mark,
        at=projection.flat(centre),
        ways=ways,
        half=(part.section.depth_mm / 2, 0.0),
    )


def _on_brace(member: Member[Tube], y: float) -> tuple[float, float]:
    """Height of a brace's axis at ``y``, mm, and ``y``."""
    end = member.placement.point((member.part.length_mm, 0.0, 0.0))
    start = member.placement.origin
    share = (y - start[1]) / (end[1] - start[1]) if abs(end[1] - start[1]) > 1e-9 else 0.5
    return start[2] + share * (end[2] - start[2]), y
