"""Clearances: the cross section and the end walls with people and machines in them.

What is free comes from :mod:`frame3d.frame.space.headroom` and :mod:`frame3d.frame.space.passage`,
like that of the checks, so that a sheet and a finding never differ.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shapely import Polygon

from frame3d.design.tables.whole_design import End, Machine
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.frame.space.headroom import Headroom, headroom_of
from frame3d.frame.space.passage import Way, ways
from frame3d.frame.space.sweeps import clear_stretch_mm, is_all_clear
from frame3d.sheets.annotation.annotations import Aligned, Annotation, Chain, View, ViewEdge
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke
from frame3d.sheets.projection.ground_line import ground_line, sink
from frame3d.sheets.projection.hiding import inside, visible
from frame3d.sheets.projection.projection import FRONT, Projection
from frame3d.sheets.projection.silhouettes import Lines, reach_of, silhouette

NOTES = (
    "Dashed: the strip a person needs along a walking line, and the margin round a "
    "machine. Dimensions are between finished faces; bolts and nuts are not counted.",
    "Machines are as given in the design. Measure the machine before ordering the frame.",
)
_BACK = Projection(right=(-1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
_AT_A_HOOP = (
    Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.TIE, Role.KING_POST, Role.WEB,
    Role.GUSSET,
)  # fmt: skip
_ALONG = (Role.RAIL, Role.SILL_BOARD, Role.HIP_BOARD, Role.HIP_RAIL)
_IN_A_WALL = (
    Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.STUD, Role.GIRT, Role.WALL_SILL,
    Role.DOOR_JAMB, Role.DOOR_HEADER, Role.THRESHOLD,
)  # fmt: skip
_BELOW_MM = 1.0
_FEWEST_SHOWN_MM = 30.0
"""Distances shorter than this are not dimensioned: they are touching, or nearly."""


_TITLE = "Clearance, "


def clearance_sheets(sheet_set: SheetSet) -> list[int]:
    """The numbers of the sheets that show clearances."""
    return [sheet.number for sheet in sheet_set.sheets if sheet.title.startswith(_TITLE)]


def clearance_views(frame: Frame) -> list[View]:
    """The cross section, each machine in it, and each end wall with what passes its doors.

    One machine to a view: of several, the lines of one would run through the sizes of the
    other.
    """
    rooms, found = headroom_of(frame), ways(frame, frame.design.machine)
    views = [_section(frame, rooms)]
    views += [_machine_section(frame, rooms, way) for way in found]
    walled = {end for wall in frame.design.end_wall for end in wall.at.each}
    for end in End:
        if end not in walled:
            continue
        doors = [index for index, door in enumerate(frame.doors) if door.end is end]
        passing: list[Way | None] = [
            way for way in found if any(way.passes(index) for index in doors)
        ]
        views += [_wall(frame, end, way) for way in passing or [None]]
    return views


def _hoop_number(frame: Frame) -> int:
    """The hoop to cut at: the first with a tie, else the second."""
    tied = [member.spot.hoop for member in frame.of(Role.TIE)]
    return min(tied, default=2)


def _section_lines(frame: Frame) -> list[Lines]:
    """A hoop and what crosses its plane, and the braces beyond; above ground."""
    number = _hoop_number(frame)
    y = frame.grid.hoop_y_mm[number - 1]
    members = [m for m in frame.of(*_AT_A_HOOP) if m.spot.hoop == number]
    members += [m for m in frame.of(*_ALONG) if _crosses(m, y)]
    members += frame.of(Role.BRACE)
    return _lines(members, FRONT)


def _crosses(member: Member, y: float) -> bool:
    low, high = reach_of(member, (0.0, 1.0, 0.0))
    return low <= y < high


def _lines(members: Iterable[Member], projection: Projection) -> list[Lines]:
    seen: set[tuple[str, tuple[float, ...]]] = set()
    shapes = []
    for member in members:
        shape = silhouette(member, projection)
        if shape is None:
            continue
        # Members behind their like would be drawn once more on the same line.
        key = (member.mark, tuple(round(v, 1) for v in shape.area.bounds))
        if key not in seen:
            seen.add(key)
            shapes.append(shape)
    far = 1e6
    window = (-far, -_BELOW_MM, far, far)
    return [part for line in sink(visible(shapes)) for part in inside(line, window)]


def _view(
    frame: Frame,
    title: str,
    lines: list[Lines],
    primitives: Iterable[Primitive],
    annotations: Iterable[Annotation],
) -> View:
    widest = frame.arch.widths().outside_mm / 2 + 60.0
    top = frame.arch.heights().outside_mm
    ground, soil = ground_line(-widest, widest)
    return View(
        title=title,
        primitives=(*lines, *ground, *soil, *primitives),
        bounds=(-widest, 0.0, widest, top),
        annotations=tuple(annotations),
    )


def _section(frame: Frame, rooms: Headroom) -> View:
    """Headroom along the walking lines, over the edges of the beds and under ties."""
    clearance, wall = frame.design.clearance, rooms.inside.wall_x_mm()
    annotations: list[Annotation] = [
        Chain(points=((-wall, 0.0), (wall, 0.0)), edge=ViewEdge.BOTTOM, names=("clear inside",),
              rank=4),
    ]  # fmt: skip
    primitives: list[Primitive] = []
    for x in dict.fromkeys(clearance.walking_lines):
        height = rooms.over(x, width_mm=clearance.walking_width).height_mm
        half = clearance.walking_width / 2
        primitives += _closed([(x - half, 0.0), (x + half, 0.0), (x + half, clearance.head_height),
                        (x - half, clearance.head_height)], Layer.HIDDEN)  # fmt: skip
        if height > _FEWEST_SHOWN_MM:
            annotations.append(Aligned(first=(x, 0.0), second=(x, height), name="headroom"))
    for distance in dict.fromkeys(clearance.bed_edges):
        x = distance - wall
        height = min(rooms.over(x).height_mm, rooms.over(-x).height_mm)
        if x < 0 and height > _FEWEST_SHOWN_MM and distance > _FEWEST_SHOWN_MM:
            annotations.append(Aligned(first=(x, 0.0), second=(x, height), name="over bed"))
            annotations.append(Chain(points=((-wall, 0.0), (x, 0.0)), edge=ViewEdge.BOTTOM,
                                names=("to bed",)))  # fmt: skip
    annotations += _levels(frame, rooms)
    return _view(frame, f"{_TITLE}cross section", _section_lines(frame), primitives, annotations)


def _levels(frame: Frame, rooms: Headroom) -> Iterator[Annotation]:
    """Heights beside the view: under the lowest tie, under the hoops."""
    right = rooms.inside.wall_x_mm()
    if rooms.ties:
        low = min(shadow.bottom_mm for shadow in rooms.ties)
        yield Chain(points=((right, 0.0), (0.0, low)), edge=ViewEdge.RIGHT, names=("under ties",))
    yield Chain(
        points=((right, 0.0), (0.0, rooms.under_hoops(0.0))), edge=ViewEdge.RIGHT,
        names=("clear",), rank=3,
    )  # fmt: skip


def _machine_section(frame: Frame, rooms: Headroom, way: Way) -> View:
    """A machine as near to either wall as it comes, or in the middle where it does not fit."""
    machine, wall = way.machine, rooms.inside.wall_x_mm()
    reached = way.reached() or way.inside
    places = [reached[0][0], reached[-1][1]] if reached else [0.0]
    if len(places) == 2 and _width(machine) + 2 * machine.margin > places[1] - places[0]:
        places = places[:1]  # two would be drawn over each other
    primitives: list[Primitive] = []
    for place in places:
        primitives += _envelope(machine, place)
    left = places[0] + min(x for x, _ in machine.outline)
    points = [(x, 0.0) for x in (-wall, left, left + _width(machine))]
    names: tuple[str, ...] = ("to wall", machine.name)
    if left + wall < _FEWEST_SHOWN_MM:
        points, names = points[1:], names[1:]
    top = max(z for _, z in machine.outline)
    annotations: list[Annotation] = []
    if machine.margin > _FEWEST_SHOWN_MM:
        ends = ((left - machine.margin, 0.0), (left, 0.0))
        annotations.append(Chain(points=ends, edge=ViewEdge.BOTTOM, names=("margin",), rank=2))
    annotations += [
        Chain(points=tuple(points), edge=ViewEdge.BOTTOM, names=names),
        Chain(points=((-wall, 0.0), (left, top)), edge=ViewEdge.LEFT, names=(machine.name,)),
        *_levels(frame, rooms),
    ]
    title = f"{_TITLE}{machine.name}" + ("" if way.inside else ", does not fit")
    return _view(frame, title, _section_lines(frame), primitives, annotations)


def _width(machine: Machine) -> float:
    across = [x for x, _ in machine.outline]
    return max(across) - min(across)


def _envelope(machine: Machine, place: float, lift: float = 0.0) -> list[Stroke]:
    """A machine's outline, and its margin above ground, with its middle at ``place``."""
    outline = [(x + place, z + lift) for x, z in machine.outline]
    primitives = _closed(outline, Layer.FINE)
    if machine.margin > 1.0:
        grown = Polygon(outline).buffer(machine.margin, quad_segs=6)
        # An outline that touches itself can come apart.
        for part in getattr(grown, "geoms", [grown]):
            ring = [(x, max(lift, z)) for x, z in part.exterior.coords[:-1]]
            primitives += [
                stroke
                for stroke in _closed(ring, Layer.HIDDEN)
                if max(stroke.start[1], stroke.end[1]) > lift + 1e-6
            ]
    return primitives


def _closed(points: Sequence[Point], layer: Layer) -> list[Stroke]:
    return [
        Stroke(start=a, end=b, layer=layer)
        for a, b in zip(points, [*points[1:], *points[:1]], strict=True)
        if a != b
    ]


def _wall(frame: Frame, end: End, way: Way | None) -> View:
    """An end wall from outside, its doors open and without their leaves, and a machine in it."""
    number = 1 if end is End.FRONT else len(frame.grid.hoop_y_mm)
    projection, sign = (FRONT, 1.0) if end is End.FRONT else (_BACK, -1.0)
    members = [m for m in frame.of(*_IN_A_WALL) if m.spot.hoop == number]
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    for index, door in enumerate(frame.doors):
        if door.end is end:
            through = way if way and way.passes(index) else None
            ink_here, annotations_here = _door(door, index, through, sign)
            primitives += ink_here
            annotations += annotations_here
    if not annotations:
        wall = frame.arch.widths().inside_mm / 2
        annotations = [Chain(points=((-wall, 0.0), (wall, 0.0)), edge=ViewEdge.BOTTOM,
                        names=("clear inside",))]  # fmt: skip
    title = f"{_TITLE}{end.value} wall"
    if way:
        title += f", {way.machine.name}"
    return _view(frame, title, _lines(members, projection), primitives, annotations)


def _door(
    door: DoorOpening, index: int, way: Way | None, sign: float
) -> tuple[list[Primitive], list[Annotation]]:
    """The clear opening, and a machine that passes it in the middle of its way."""
    low, high = sorted((sign * door.left_x_mm, sign * door.right_x_mm))
    bottom, top = door.bottom_mm, door.top_mm
    annotations: list[Annotation] = [
        Chain(
            points=((low, bottom), (high, bottom)),
            edge=ViewEdge.BOTTOM,
            names=("clear" if is_all_clear(door) else "opening",),
            rank=3,
        ),
        Chain(points=((high, bottom), (high, top)), edge=ViewEdge.RIGHT, names=("clear",)),
    ]
    if not is_all_clear(door):
        points = tuple((x, bottom) for x in sorted(sign * x for x in clear_stretch_mm(door)))
        annotations.append(
            Chain(points=points, edge=ViewEdge.BOTTOM, names=("clear when open",), rank=2)
        )
    if way is None:
        return [], annotations
    stretch = max(way.doors[index], key=lambda s: s[1] - s[0])
    place = sum(stretch) / 2
    corners = _turned(way.machine, sign)
    across = [sign * place + x for x, _ in corners]
    height = bottom + max(z for _, z in corners)
    annotations.append(
        Chain(points=tuple((x, bottom) for x in (low, min(across), max(across), high)),
              edge=ViewEdge.BOTTOM, rank=4)
    )  # fmt: skip
    annotations.append(
        Chain(points=((low, bottom), (max(across), height), (low, top)), edge=ViewEdge.LEFT)
    )
    return _turned_envelope(way.machine, place, bottom, sign), annotations


def _turned(machine: Machine, sign: float) -> list[Point]:
    """The outline as seen from the other end for a sign of -1."""
    return [(sign * x, z) for x, z in machine.outline]


def _turned_envelope(machine: Machine, place: float, lift: float, sign: float) -> list[Primitive]:
    def turn(point: Point) -> Point:
        return (sign * point[0], point[1])

    return [
        Stroke(start=turn(stroke.start), end=turn(stroke.end), layer=stroke.layer)
        for stroke in _envelope(machine, place, lift)
    ]
