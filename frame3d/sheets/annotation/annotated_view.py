"""A view at a scale, with everything that is said about it in its place."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec import Struct
from shapely import LineString
from shapely import Point as Spot

from frame3d.sheets.annotation.annotations import (
    Aligned,
    Angle,
    Annotation,
    Note,
    Radius,
    Table,
    View,
)
from frame3d.sheets.annotation.call_outs import place_call_outs
from frame3d.sheets.annotation.dimension_stacks import TEXT_GAP_MM, fill_stacks
from frame3d.sheets.annotation.marks import place_marks
from frame3d.sheets.annotation.note_columns import DOT_CLEAR_MM, place_notes
from frame3d.sheets.annotation.tables import place_table
from frame3d.sheets.primitives.hatching import at_scale
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.occupancy import (
    ARROW_MM,
    Occupied,
    crowding,
    dimension_lines,
    extent,
    text_box,
    traces,
)
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    LinearDimension,
    Point,
    Primitive,
    RadiusDimension,
    Stroke,
)
from frame3d.units import LengthFormat

_LIFT_MM = TEXT_GAP_MM + TEXT_MM / 2
_RADIUS_REACHES_MM = (16.0, 10.0, 24.0, 32.0, 40.0, 55.0, 70.0)
_SHARES = (0.0, -0.05, 0.05, -0.1, 0.1, 0.4, 0.35, 0.45, -0.15)
_ASIDE_MM = 6.0
_ANGLE_UPS_MM = (0.0, *(sign * (_LIFT_MM + more) for more in (1.0, 3.5, 6.0) for sign in (1, -1)))
"""How far above the middle of its arc the text of an angle may stand."""
_CLEAR_MM = 0.5
"""Free space that is kept around a text."""
_FARTHER_MM = (0.0, 4.0, 8.0, 13.0, 18.0, 25.0)
"""How much farther than wanted a dimension beside a aligned line may stand, paper mm."""
_LEAST_TURN_RAD = -math.pi / 2 + 1.7e-4
"""Texts turned by more than this, up to half a turn on, are read from below or the right."""


class PlacedView(Struct, frozen=True, kw_only=True):
    """A view with its annotation.

    Parameters
    ----------
    title : str
    scale : int
        The 48 of 1:48.
    primitives : tuple of Primitive
        Everything, mm in the plane of the view.
    bounds : left, bottom, right, top
        Of everything, mm.
    problems : tuple of str
        What could not be placed well at this scale, in plain words.
    crowded : bool
        Everything has its place, but at a larger scale it would be easier to read.
    to_scale : bool
        False for words alone, of which no scale is told.
    caption : tuple of str
        What is to be read below the title.
    left_out : tuple of str
        What is not shown for want of room and is not worth a smaller piece of the view on
        each sheet, in plain words.
    """

    title: str
    scale: int
    primitives: tuple[Primitive, ...]
    bounds: tuple[float, float, float, float]
    problems: tuple[str, ...]
    crowded: bool = False
    to_scale: bool = True
    caption: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def paper_size(self) -> tuple[float, float]:
        """Width and height on paper, mm."""
        left, bottom, right, top = self.bounds
        return ((right - left) / self.scale, (top - bottom) / self.scale)


def place(view: View, scale: int, lengths: LengthFormat, *, last: bool = False) -> PlacedView:
    """``view`` at 1 to ``scale``, with all its annotations in their places.

    ``last`` says that nothing else is tried: see :func:`place_marks`.
    """
    primitives: list[Primitive] = [
        made for item in view.primitives for made in at_scale(item, scale)
    ]
    problems: list[str] = []
    stacks = fill_stacks(view, scale, lengths)
    for stack in stacks:
        primitives += stack.primitives
        problems += stack.problems
    # Lines of all aligned dimensions stand before the first text looks for its place.
    aligned = [w for w in view.annotations if isinstance(w, Aligned) and not w.away]
    lines = [Stroke(start=annotation.first, end=annotation.second) for annotation in aligned]
    taken = Occupied([*primitives, *lines], scale, _CLEAR_MM)
    for annotation in view.annotations:
        if isinstance(annotation, Note) and not annotation.others:
            taken.add(Spot(annotation.at).buffer(DOT_CLEAR_MM * scale))
    for annotation in view.annotations:
        made = _made(annotation, view, scale, lengths, taken)
        if made is not None:
            primitives.append(made)
            taken.add_lines(traces(made, scale))
            taken.add(
                text_box(
                    made.text, made.text_at, TEXT_MM, made.text_angle_rad, scale, clear=_CLEAR_MM
                )
            )
    problems += place_marks(view, scale, primitives, last=last)
    left_out = place_call_outs(view, scale, primitives)
    primitives += place_notes(view, scale, primitives)
    problems += crowding(primitives, scale)
    for annotation in view.annotations:
        if isinstance(annotation, Table):
            primitives += place_table(annotation, scale, primitives, lengths)
    return PlacedView(
        title=view.title,
        scale=scale,
        primitives=tuple(primitives),
        bounds=extent(primitives, scale),
        problems=tuple(problems),
        crowded=any(stack.crowded for stack in stacks),
        to_scale=view.to_scale,
        caption=view.caption,
        left_out=tuple(left_out),
    )


def _made(
    annotation: Annotation, view: View, scale: int, lengths: LengthFormat, taken: Occupied
) -> LinearDimension | RadiusDimension | AngleDimension | None:
    """A dimension that stands by itself; None for other annotations."""
    match annotation:
        case Aligned() if annotation.away:
            return _beside(annotation, scale, lengths, taken)
        case Aligned():
            return _aligned(annotation, view, scale, lengths, taken)
        case Radius():
            return _radius(annotation, scale, lengths, taken)
        case Angle():
            return _angle(annotation, scale, lengths, taken)
    return None


def _aligned(
    annotation: Aligned, view: View, scale: int, lengths: LengthFormat, taken: Occupied
) -> LinearDimension:
    """On the line where that is free; else level above the view, with a leader to the line."""
    (u0, v0), (u1, v1) = annotation.first, annotation.second
    angle = _read_from_right(math.atan2(v1 - v0, u1 - u0))
    text = f"{lengths.text(math.hypot(u1 - u0, v1 - v0))} {annotation.name}".rstrip()
    lift = _LIFT_MM * scale

    def on_line(share: float) -> tuple[float, float]:
        return (u0 + share * (u1 - u0), v0 + share * (v1 - v0))

    def written(at: Point, leader: Point | None = None) -> LinearDimension:
        return LinearDimension(
            first=annotation.first,
            second=annotation.second,
            line_at=annotation.first,
            angle_rad=angle,
            text=text,
            name=annotation.name,
            witness=False,
            text_at=at,
            leader=leader,
        )

    for change in _SHARES:
        u, v = on_line(annotation.share + change)
        at = (u - lift * math.sin(angle), v + lift * math.cos(angle))
        ground = text_box(text, at, TEXT_MM, angle, scale, clear=0.3)
        if not taken.touches_text(ground) and not taken.lines_hit(ground):
            return written(at)
    half = text_width_mm(text, TEXT_MM) / 2
    right, top = view.bounds[2:]
    options = []
    for share in (annotation.share, 0.7, 0.15, 0.85, 0.5):
        u, v = on_line(share)
        aside = [(u + (half + 2.0) * scale, top + _ASIDE_MM * scale)]
        aside += [
            (right + (out + half) * scale, v + up * scale)
            for out in (_ASIDE_MM, 2 * _ASIDE_MM)
            for up in (0, 5, -5, 10, -10, 20, -20)
        ]
        options += [written(at, (u, v)) for at in aside]

    def faults(i: int) -> tuple[bool, int, int]:
        leader = LineString(dimension_lines(options[i], scale)[-1])
        ground = text_box(text, options[i].text_at, TEXT_MM, 0.0, scale, clear=1.0)
        touches = taken.touches_text(ground) or taken.texts.meet_leader(leader, 0.1 * scale)
        return (touches, taken.lines_hit(ground), i)

    return options[min(range(len(options)), key=faults)]


def _read_from_right(angle: float) -> float:
    """The direction of a line, rad, from which a text on it is read from below or the right."""
    if _LEAST_TURN_RAD < angle <= _LEAST_TURN_RAD + math.pi:
        return angle
    return angle + (math.pi if angle < 0 else -math.pi)


def _beside(
    annotation: Aligned, scale: int, lengths: LengthFormat, taken: Occupied
) -> LinearDimension:
    """Parallel to the line between its points, on the side and at the distance that is free."""
    options = []
    for more, side in itertools.product(_FARTHER_MM, (1.0, -1.0)):
        away = side * (annotation.away + math.copysign(more, annotation.away))
        made = _parallel(annotation, away, scale, lengths)
        ground = text_box(made.text, made.text_at, TEXT_MM, made.angle_rad, scale, clear=0.3)
        line = LineString(dimension_lines(made, scale)[0])
        faults = (
            taken.touches_text(ground),
            taken.lines_hit(ground),
            taken.lines_hit(line),
            abs(away),
        )
        options.append((faults, made))
        if not any(faults[:3]):
            break
    return min(options, key=lambda option: option[0])[1]


def _parallel(
    annotation: Aligned, away: float, scale: int, lengths: LengthFormat
) -> LinearDimension:
    """With its text in the middle, or past the end where it does not fit there."""
    (u0, v0), (u1, v1) = annotation.first, annotation.second
    length = math.hypot(u1 - u0, v1 - v0)
    way = ((u1 - u0) / length, (v1 - v0) / length)
    start = (u0 - way[1] * away * scale, v0 + way[0] * away * scale)
    angle = _read_from_right(math.atan2(v1 - v0, u1 - u0))
    text = f"{lengths.text(length)} {annotation.name}".rstrip()
    width = (text_width_mm(text, TEXT_MM) + 2.0) * scale
    fits = length > width
    along = length / 2 if fits else length + width / 2 + scale
    lift = _LIFT_MM * scale
    text_at = (
        start[0] + along * way[0] - lift * math.sin(angle),
        start[1] + along * way[1] + lift * math.cos(angle),
    )
    reach = along + width / 2
    return LinearDimension(
        first=annotation.first,
        second=annotation.second,
        line_at=start,
        angle_rad=angle,
        text=text,
        name=annotation.name,
        text_at=text_at,
        extended_to=None if fits else (start[0] + reach * way[0], start[1] + reach * way[1]),
    )


def _radius(
    annotation: Radius, scale: int, lengths: LengthFormat, taken: Occupied
) -> RadiusDimension:
    """A line from the arc, inward where that is free, then a shelf for the text.

    Small arcs have no room inside: their line comes from without.
    """
    options = []
    for outward in (annotation.outside_first, not annotation.outside_first):
        lines = (
            _radius_options(annotation, at, scale, lengths, outward) for at in annotation.on_arc
        )
        for made in itertools.chain.from_iterable(lines):
            ground = text_box(made.text, made.text_at, TEXT_MM, 0.0, scale, clear=_CLEAR_MM)
            line = LineString([made.on_arc, made.tail])
            leader = LineString([made.on_arc, made.tail, made.shelf_end])
            touches = (
                line.intersects(ground)
                or taken.touches_text(ground)
                or taken.texts.meet_leader(leader, 0.1 * scale)
            )
            faults = (touches, taken.lines_hit(ground))
            if faults == (False, 0):
                return made
            options.append((faults, made))
    return min(options, key=lambda option: option[0])[1]


def _radius_options(
    annotation: Radius, on_arc: Point, scale: int, lengths: LengthFormat, outward: bool
) -> Iterator[RadiusDimension]:
    """Lines of several lengths with a shelf to either side."""
    du, dv = annotation.centre[0] - on_arc[0], annotation.centre[1] - on_arc[1]
    radius = math.hypot(du, dv)
    text = f"R{lengths.text(radius)} {annotation.name}".rstrip()
    width = (text_width_mm(text, TEXT_MM) + 1.0) * scale
    sign = -1 if outward else 1
    first = 1 if sign * du >= 0 else -1
    for way in (first, -first):
        for reach in _RADIUS_REACHES_MM:
            length = sign * (reach * scale if outward else min(reach * scale, 0.9 * radius))
            tail = (on_arc[0] + du / radius * length, on_arc[1] + dv / radius * length)
            yield RadiusDimension(
                centre=annotation.centre,
                on_arc=on_arc,
                tail=tail,
                shelf_end=(tail[0] + way * width, tail[1]),
                text=text,
                name=annotation.name,
                text_at=(tail[0] + way * width / 2, tail[1] + _LIFT_MM * scale),
            )


def _angle(annotation: Angle, scale: int, lengths: LengthFormat, taken: Occupied) -> AngleDimension:
    """The text level beside the arc, on the side away from the vertex; nearer or farther."""
    text = (
        f"{lengths.angle(annotation.second_rad - annotation.first_rad)} {annotation.name}".rstrip()
    )
    middle = (annotation.first_rad + annotation.second_rad) / 2
    half = text_width_mm(text, TEXT_MM) / 2
    reaches = (
        annotation.reach,
        0.7 * annotation.reach,
        1.4 * annotation.reach,
        0.5 * annotation.reach,
    )
    options = []
    for way, aside in _angle_sides(annotation, scale):
        for reach, up in itertools.product(reaches, _ANGLE_UPS_MM):
            out = annotation.side + reach * scale
            at = (
                annotation.vertex[0] + out * aside + way * (half + 1.5) * scale,
                annotation.vertex[1] + out * math.sin(middle) + up * scale,
            )
            made = AngleDimension(
                vertex=annotation.vertex,
                first_rad=annotation.first_rad,
                second_rad=annotation.second_rad,
                radius=out,
                text=text,
                name=annotation.name,
                text_at=at,
                side=annotation.side,
                drawn_rad=annotation.drawn_rad,
            )
            ground = text_box(text, at, TEXT_MM, 0.0, scale, clear=0.3)
            own = any(line.intersects(ground) for line in traces(made, scale))
            options.append((own or taken.touches_text(ground), taken.lines_hit(ground), made))
    return min(options, key=lambda option: option[:2])[2]


def _angle_sides(annotation: Angle, scale: int) -> list[tuple[int, float]]:
    """To the right (1) or left (-1), and how far along the arc's radius, a text may stand.

    Beside an end cut either side may be the free one, past both arrows.
    """
    cosines = sorted((math.cos(annotation.first_rad), math.cos(annotation.second_rad)))
    middle = math.cos((annotation.first_rad + annotation.second_rad) / 2)
    way = 1 if middle >= 0 else -1
    if annotation.drawn_rad is None:
        return [(way, middle)]
    lap = 2 * ARROW_MM * scale / (annotation.side + annotation.reach * scale)
    return [(1, cosines[1] + lap), (-1, cosines[0] - lap)][::way]
