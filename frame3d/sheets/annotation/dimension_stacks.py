"""Dimensions beside a view: one stack for each edge, worked out as a whole.

References
----------
ISO 129-1:2018: the value above the dimension line, read from below or from the
right; the first line at least 10 mm from the outline, the next 6 to 8 mm on.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct, field

from frame3d.sheets.annotation.annotations import Chain, GridBubbles, Running, View, ViewEdge
from frame3d.sheets.annotation.reference import Link, reference_links, running_link
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.occupancy import EXTENSION_BEYOND_MM
from frame3d.sheets.primitives.primitives import (
    Bubble,
    Layer,
    LinearDimension,
    Point,
    Primitive,
    RunningDimension,
    Stroke,
    in_brackets,
)
from frame3d.sheets.primitives.spacing import FIXED, spread
from frame3d.units import LengthFormat

FIRST_LINE_MM, NEXT_LINE_MM = 10.0, 8.0
TEXT_GAP_MM = 0.9
"""Between a line and the text on it."""
BETWEEN_TEXTS_MM = 1.2
BUBBLE_MM, BUBBLE_GAP_MM = 7.0, 0.6
_FURTHEST_KNEE_MM = 12.0
_LINES_APART_MM = 1.0
"""Extension lines side by side nearer than this run together in print."""
_LIFT_MM = TEXT_GAP_MM + TEXT_MM / 2
_LINE_FROM_TEXT_MM = 0.4
_SECOND_ROW_MM = TEXT_MM + 1.2


class DimensionStack(Struct):
    """The stack beside one edge while it is filled, from the outline outward.

    Places along the edge and distances out from it are paper mm; ``point`` turns
    them into the view's mm.
    """

    edge: ViewEdge
    view: View
    scale: int
    lengths: LengthFormat
    references: frozenset[Link]
    filled_mm: float = 0.0
    primitives: list[Primitive] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    feet: list[float] = field(default_factory=list)
    passing: list[float] = field(default_factory=list)
    """Where extension lines of what is yet to come pass through, along the edge."""
    crowded: bool = False
    """Everything has its place, but at a larger scale it would be easier to read."""
    lines: list[tuple[float, float]] = field(default_factory=list)
    """Extension lines so far: where along the edge, and how far out."""

    def along(self, point: Point) -> float:
        """Place of ``point`` along the edge, paper mm."""
        return point[0 if self.edge.runs_along_x else 1] / self.scale

    def point(self, along: float, out: float) -> Point:
        """The point ``along`` the edge and ``out`` from it, in the view's mm."""
        left, bottom, right, top = self.view.bounds
        out *= self.scale
        along *= self.scale
        return {
            ViewEdge.TOP: (along, top + out),
            ViewEdge.BOTTOM: (along, bottom - out),
            ViewEdge.LEFT: (left - out, along),
            ViewEdge.RIGHT: (right + out, along),
        }[self.edge]

    def start_of_line(self, point: Point) -> Point:
        """Where the extension line of ``point`` begins.

        At the point itself, or, where the line would run beside one of an earlier
        dimension so close that the two look like one thick line, beyond its end.
        """
        along = self.along(point)
        beside = [out for other, out in self.lines if 1e-3 < abs(other - along) < _LINES_APART_MM]
        return self.point(along, max(beside) + EXTENSION_BEYOND_MM) if beside else point

    @property
    def above(self) -> int:
        """1 where 'above the line' is outward, -1 where it is inward."""
        return 1 if self.edge in (ViewEdge.TOP, ViewEdge.LEFT) else -1

    @property
    def angle_rad(self) -> float:
        """Direction of dimension lines."""
        return 0.0 if self.edge.runs_along_x else math.pi / 2


def fill_stacks(view: View, scale: int, lengths: LengthFormat) -> list[DimensionStack]:
    """The stacks of all edges of ``view``, filled in the order of rank, then length."""
    stacks = []
    references = reference_links(view)
    for edge in ViewEdge:
        stack = DimensionStack(
            edge=edge, view=view, scale=scale, lengths=lengths, references=references
        )
        wanted = [
            annotation
            for annotation in view.annotations
            if isinstance(annotation, Chain | Running | GridBubbles) and annotation.edge is edge
        ]
        wanted.sort(key=lambda annotation: (annotation.rank, _extent(stack, annotation)))
        for index, annotation in enumerate(wanted):
            stack.passing = [
                stack.along(point)
                for later in wanted[index + 1 :]
                if isinstance(later, Chain)
                for point in later.points
            ]
            number = next(i for i, other in enumerate(view.annotations) if other is annotation)
            if isinstance(annotation, Chain):
                _add_chain(stack, annotation, number)
            elif isinstance(annotation, Running):
                _add_running(stack, annotation, number)
            else:
                _add_bubbles(stack, annotation)
        stacks.append(stack)
    return stacks


def _extent(stack: DimensionStack, annotation: Chain | Running | GridBubbles) -> float:
    points = (
        [point for _, point in annotation.places]
        if isinstance(annotation, GridBubbles)
        else annotation.points
    )
    places = [stack.along(point) for point in points]
    return round(max(places) - min(places), 3)


def _add_chain(stack: DimensionStack, annotation: Chain, number: int) -> None:
    """The chain ``annotation``, the view's annotation of that number."""
    points = sorted(annotation.points, key=stack.along)
    names = annotation.names or ("",) * (len(points) - 1)
    line_out = max(FIRST_LINE_MM, stack.filled_mm + NEXT_LINE_MM)
    pairs = list(zip(points, points[1:], strict=False))
    values = [stack.lengths.text(_span(stack, first, second)) for first, second in pairs]
    bracketed = [(number, place) in stack.references for place in range(len(pairs))]
    values = [in_brackets(v, b) for v, b in zip(values, bracketed, strict=True)]
    texts = [f"{value} {name}".rstrip() for value, name in zip(values, names, strict=True)]
    places = _text_places(stack, points, texts)
    below = any(place.below for place in places)
    starts = [stack.start_of_line(point) for point in points]
    pairs = list(itertools.pairwise(starts))
    stack.lines += [(stack.along(point), line_out) for point in points]
    for (first, second), text, name, place, reference in zip(
        pairs, texts, names, places, bracketed, strict=True
    ):
        lift = stack.above * _LIFT_MM
        if place.below:
            # Outward in any case, and past the ends of the extension lines.
            lift = _LIFT_MM + (_SECOND_ROW_MM if stack.above > 0 else EXTENSION_BEYOND_MM - 0.5)
        stack.primitives.append(
            LinearDimension(
                first=first,
                second=second,
                line_at=stack.point(0.0, line_out),
                angle_rad=stack.angle_rad,
                text=text,
                name=name,
                text_at=stack.point(place.middle, line_out + lift),
                extended_to=(None if place.end is None else stack.point(place.end, line_out)),
                is_reference=reference,
            )
        )
    stack.filled_mm = line_out + (0.0 if stack.above < 0 and not below else 1.0)
    if below and stack.above > 0:
        stack.filled_mm += _SECOND_ROW_MM


def _span(stack: DimensionStack, first: Point, second: Point) -> float:
    axis = 0 if stack.edge.runs_along_x else 1
    return abs(second[axis] - first[axis])


class _Place(Struct, frozen=True):
    """Middle of a text along the line, whether out of the row, and where its line goes on to."""

    middle: float
    below: bool = False
    end: float | None = None


def _text_places(
    stack: DimensionStack, points: Sequence[Point], texts: Sequence[str]
) -> list[_Place]:
    """Where each text of a chain stands along the dimension line.

    A text that fits stands in the middle of its dimension. At the ends of a chain
    one that does not fit moves out, past the end. The others go below the line, or
    where that is toward the view into a second row above it, and may spread over the
    width of their neighbours.
    """
    stops = [stack.along(point) for point in points]
    widths = [text_width_mm(text, TEXT_MM) for text in texts]
    middles = [(a + b) / 2 for a, b in zip(stops, stops[1:], strict=False)]
    last = len(texts) - 1
    places: list[_Place | None] = [None] * len(texts)
    tight = []
    for i, width in enumerate(widths):
        middle = _free_middle(stops[i], stops[i + 1], width, stack.passing)
        if middle is not None:
            places[i] = _Place(middle)
        elif i == last:
            start = _past_lines(stops[-1] + 2.0, width, stack.passing)
            places[i] = _Place(start + width / 2, end=start + width)
        elif i == 0:
            start = -_past_lines(2.0 - stops[0], width, [-stop for stop in stack.passing])
            places[i] = _Place(start - width / 2, end=start - width)
        else:
            tight.append(i)
    below = spread([middles[i] for i in tight], [widths[i] for i in tight], BETWEEN_TEXTS_MM)
    for i, middle in zip(tight, below, strict=True):
        places[i] = _Place(middle, below=True)
        if abs(middle - middles[i]) > (stops[i + 1] - stops[i]) / 2:
            stack.problems.append(f"no room for the dimension {texts[i]}")
    return [place for place in places if place is not None]


def _past_lines(start: float, width: float, passing: Sequence[float]) -> float:
    """Where a text may begin, at ``start`` or on from there, with no line running through it."""
    for stop in sorted(passing):
        if start - _LINE_FROM_TEXT_MM < stop < start + width + _LINE_FROM_TEXT_MM:
            start = stop + BETWEEN_TEXTS_MM
    return start


def _free_middle(start: float, end: float, width: float, passing: Sequence[float]) -> float | None:
    """The place nearest to the middle of a dimension where its text is clear of other lines.

    None if there is none.
    """
    stops = [start, *sorted(stop for stop in passing if start < stop < end), end]
    wanted, room = (start + end) / 2, width + BETWEEN_TEXTS_MM
    places = [
        min(max(wanted, a + room / 2), b - room / 2)
        for a, b in itertools.pairwise(stops)
        if b - a >= room
    ]
    return min(places, key=lambda place: abs(place - wanted), default=None)


def _add_running(stack: DimensionStack, annotation: Running, number: int) -> None:
    """The running sizes of ``annotation``, the view's annotation of that number."""
    points = _distinct(stack, annotation.points)
    axis = 0 if stack.edge.runs_along_x else 1
    bracketed = [running_link(annotation, number, point) in stack.references for point in points]
    texts = [
        in_brackets(stack.lengths.text(abs(point[axis] - annotation.datum[axis])), reference)
        for point, reference in zip(points, bracketed, strict=True)
    ]
    places = [stack.along(point) for point in points]
    side = -1 if stack.edge.runs_along_x else 1
    feet = _running_feet(stack, places, side)
    shift = max((abs(a - b) for a, b in zip(feet, places, strict=True)), default=0.0)
    if shift > _FURTHEST_KNEE_MM:
        stack.problems.append(f"no room for the running dimension {texts[0]} and those beside it")
    knee_out = max(2.0, stack.filled_mm + 2.0)
    foot_out = max(FIRST_LINE_MM - 2.0, knee_out + min(shift, 5.0) + 1.0)
    widest = max((text_width_mm(text, TEXT_MM) for text in texts), default=0.0)
    for point, text, place, foot, reference in zip(
        points, texts, places, feet, bracketed, strict=True
    ):
        width = text_width_mm(text, TEXT_MM)
        stack.primitives.append(
            RunningDimension(
                datum=annotation.datum,
                feature=point,
                knee=stack.point(place, knee_out),
                foot=stack.point(foot, foot_out - 0.5),
                end=stack.point(foot, foot_out + widest),
                along_x=stack.edge.runs_along_x,
                text=text,
                text_at=stack.point(foot + side * _LIFT_MM, foot_out + width / 2),
                is_reference=reference,
            )
        )
    stack.feet = feet
    stack.filled_mm = foot_out + widest


def _running_feet(stack: DimensionStack, places: Sequence[float], side: int) -> list[float]:
    """Where the lines of running dimensions end, so that texts keep clear of each other.

    They keep clear of extension lines that are yet to pass through, too. Each text
    stands beside its line, on the right for ``side`` 1.
    """
    size = TEXT_MM + TEXT_GAP_MM
    shift = side * size / 2
    passing = [stop for stop in stack.passing if all(abs(stop - place) > 0.05 for place in places)]
    # A line may come nearer to a text than another text may.
    row = [(place + shift, size, 1.0) for place in places]
    row += [(stop, 2 * (_LINE_FROM_TEXT_MM - BETWEEN_TEXTS_MM), FIXED) for stop in passing]
    order = sorted(range(len(row)), key=lambda i: row[i][0])
    wanted, sizes, weights = ([row[i][k] for i in order] for k in range(3))
    middles = spread(wanted, sizes, BETWEEN_TEXTS_MM, weights)
    found = {i: middle - shift for i, middle in zip(order, middles, strict=True)}
    return [found[i] for i in range(len(places))]


def _distinct(stack: DimensionStack, points: Sequence[Point]) -> list[Point]:
    """The points in order along the edge, one of those at the same place."""
    result: list[Point] = []
    for point in sorted(points, key=stack.along):
        if not result or stack.along(point) - stack.along(result[-1]) > 1e-3 / stack.scale:
            result.append(point)
    return result


def _add_bubbles(stack: DimensionStack, annotation: GridBubbles) -> None:
    ordered = sorted(annotation.places, key=lambda item: stack.along(item[1]))
    places = [stack.along(point) for _, point in ordered]
    pitch = min((b - a for a, b in itertools.pairwise(places)), default=BUBBLE_MM * 2)
    rows = next((n for n in (1, 2, 3) if n * pitch >= BUBBLE_MM + BUBBLE_GAP_MM), 0)
    if not rows or pitch < TEXT_MM:
        stack.problems.append("no room for the grid's numbers side by side")
        rows = rows or 3
    stack.crowded |= rows > 1
    follow = len(stack.feet) == len(places)
    first_out = stack.filled_mm + 3.0 + BUBBLE_MM / 2
    for i, (text, point) in enumerate(ordered):
        out = first_out + (i % rows) * (BUBBLE_MM + BUBBLE_GAP_MM)
        start = stack.point(stack.feet[i], stack.filled_mm) if follow else point
        end = stack.point(places[i], out - BUBBLE_MM / 2)
        stack.primitives.append(Stroke(start=start, end=end, layer=Layer.GRID))
        stack.primitives.append(
            Bubble(text=text, at=stack.point(places[i], out), diameter=BUBBLE_MM)
        )
    stack.filled_mm = first_out + (rows - 1) * (BUBBLE_MM + BUBBLE_GAP_MM) + BUBBLE_MM / 2
