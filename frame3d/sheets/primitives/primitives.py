"""What is drawn: strokes, arcs, letters, bubbles and dimensions, as plain values.

Lengths are millimetres: of the real thing in a view, of the paper on a sheet.
Sizes that belong to the paper wherever they stand (text heights, diameters of
bubbles) are paper millimetres and say so.

References
----------
ISO 128-2: line types, and widths 0.13 0.18 0.25 0.35 0.5 0.7 1.0 mm, narrow to wide 1:2
(from memory).
"""

from __future__ import annotations

import enum
import itertools
import math
from collections.abc import Iterable

from msgspec import Struct

Point = tuple[float, float]
Bounds = tuple[float, float, float, float]
"""Left, bottom, right, top."""


class Pattern(enum.Enum):
    """How a line is broken. The value is the line type's name in the file."""

    SOLID = "CONTINUOUS"
    DASHED = "DASHED"
    CHAIN = "CHAIN"
    CHAIN_TWICE = "CHAIN TWO DOTS"


class Layer(enum.Enum):
    """A layer: name, width of its lines in hundredths of a millimetre, pattern, colour."""

    OUTLINE = ("outline", 35, Pattern.SOLID, 7)
    FINE = ("fine outline", 18, Pattern.SOLID, 7)
    HATCH = ("hatching", 13, Pattern.SOLID, 8)
    HIDDEN = ("hidden", 18, Pattern.DASHED, 8)
    CENTRE = ("centre lines", 18, Pattern.CHAIN, 1)
    GRID = ("grid", 18, Pattern.CHAIN, 1)
    GROUND = ("ground", 50, Pattern.SOLID, 32)
    MATCH = ("match lines", 50, Pattern.CHAIN_TWICE, 6)
    OPENING = ("opening of doors", 18, Pattern.DASHED, 8)
    BOUNDARY = ("boundary", 50, Pattern.CHAIN_TWICE, 6)
    SETBACK = ("setback lines", 25, Pattern.DASHED, 1)
    BURIED = ("buried services", 35, Pattern.DASHED, 4)
    OVERHEAD = ("overhead lines", 35, Pattern.CHAIN, 30)
    PATHS = ("paths of machines", 18, Pattern.DASHED, 8)
    DIMENSIONS = ("dimensions", 18, Pattern.SOLID, 5)
    MARKS = ("marks", 18, Pattern.SOLID, 3)
    CALL_OUTS = ("call-outs", 18, Pattern.SOLID, 3)
    TEXT = ("text", 25, Pattern.SOLID, 7)
    BORDER = ("border", 70, Pattern.SOLID, 7)
    TITLE = ("title block", 35, Pattern.SOLID, 7)

    def __init__(self, title: str, width: int, pattern: Pattern, colour: int) -> None:
        self.title = title
        self.width = width
        self.pattern = pattern
        self.colour = colour


class Stroke(Struct, frozen=True, kw_only=True):
    """A straight line."""

    start: Point
    end: Point
    layer: Layer = Layer.OUTLINE
    smallest: int = 100_000
    """Not drawn at smaller scales than 1 to this."""


class ArcStroke(Struct, frozen=True, kw_only=True):
    """A circular arc, anticlockwise from ``start_rad`` to ``end_rad``."""

    centre: Point
    radius: float
    start_rad: float
    end_rad: float
    layer: Layer = Layer.OUTLINE
    smallest: int = 100_000


class CircleStroke(Struct, frozen=True, kw_only=True):
    """A full circle."""

    centre: Point
    radius: float
    layer: Layer = Layer.OUTLINE
    smallest: int = 100_000


class Align(enum.Enum):
    """Which point of a text is given; the value is that of MTEXT's attachment point."""

    LEFT = 4
    CENTRE = 5
    RIGHT = 6


class Label(Struct, frozen=True, kw_only=True):
    """One line of text, its middle height at ``at``; height in paper mm."""

    text: str
    at: Point
    height: float
    align: Align = Align.CENTRE
    angle_rad: float = 0.0
    layer: Layer = Layer.TEXT


class Bubble(Struct, frozen=True, kw_only=True):
    """A grid bubble: a circle of ``diameter`` paper mm with a number in it."""

    text: str
    at: Point
    diameter: float


class LinearDimension(Struct, frozen=True, kw_only=True):
    """A dimension between two points, drawn along a line.

    Parameters
    ----------
    first, second : Point
        The features.
    line_at : Point
        A point of the dimension line.
    angle_rad : float
        Direction of the dimension line, -90° to 90°.
    text : str
        What stands on it: the value in the words of the sheet, then ``name``.
    name : str
        What follows the value, for example ``between centres``; may be empty.
    text_at : Point
        Middle of the text.
    extended_to : Point or None
        Where the dimension line goes on to, under a text beside it.
    witness : bool
        Extension lines are drawn; not so for a line from feature to feature.
    leader : Point or None
        For a text that stands level elsewhere: the point of the line that it belongs to.
    is_reference : bool
        Others determine it, so its value stands in brackets.
    """

    first: Point
    second: Point
    line_at: Point
    angle_rad: float
    text: str
    name: str
    text_at: Point
    extended_to: Point | None = None
    witness: bool = True
    leader: Point | None = None
    is_reference: bool = False

    @property
    def text_angle_rad(self) -> float:
        """Direction of the text."""
        return self.angle_rad if self.leader is None else 0.0


class RunningDimension(Struct, frozen=True, kw_only=True):
    """A distance from a datum along x or y, written along its extension line.

    The extension line runs from ``feature`` to ``knee``, then to ``foot`` (the same
    place across, or moved aside where texts crowd) and ends at ``end``.
    """

    datum: Point
    feature: Point
    knee: Point
    foot: Point
    end: Point
    along_x: bool
    text: str
    text_at: Point
    is_reference: bool = False

    @property
    def text_angle_rad(self) -> float:
        """Direction of the text: along its extension line, read from below or the right."""
        return math.pi / 2 if self.along_x else 0.0


class RadiusDimension(Struct, frozen=True, kw_only=True):
    """The radius of an arc: a line from ``tail`` to an arrow at ``on_arc``, a shelf for text."""

    centre: Point
    on_arc: Point
    tail: Point
    shelf_end: Point
    text: str
    name: str
    text_at: Point

    @property
    def text_angle_rad(self) -> float:
        """Direction of the text: level."""
        return 0.0


class AngleDimension(Struct, frozen=True, kw_only=True):
    """The angle at ``vertex`` between two directions, anticlockwise from first to second.

    Its arc has ``radius``. An outline goes from the vertex along the second direction, along
    the first there is none; or from the vertex along ``drawn_rad``, one of the two, up to
    ``side``.
    """

    vertex: Point
    first_rad: float
    second_rad: float
    radius: float
    text: str
    name: str
    text_at: Point
    side: float = 0.0
    drawn_rad: float | None = None

    @property
    def extended(self) -> list[tuple[float, float]]:
        """Directions with extension lines, rad, and where these begin, from the vertex."""
        bare = 0.08 * self.radius
        if self.drawn_rad is None:
            return [(self.first_rad, bare)]
        return [
            (way, self.side if way == self.drawn_rad else bare)
            for way in (self.first_rad, self.second_rad)
        ]

    @property
    def text_angle_rad(self) -> float:
        """Direction of the text: level."""
        return 0.0


def polyline(points: Iterable[Point], layer: Layer = Layer.OUTLINE) -> list[Stroke]:
    """Lines from each point to the next."""
    return [Stroke(start=a, end=b, layer=layer) for a, b in itertools.pairwise(points)]


def around(boxes: Iterable[Bounds]) -> Bounds:
    """The bounds of all ``boxes``, of which there is at least one."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)


def in_brackets(value: str, reference: bool) -> str:
    """``value`` as a dimension shows it: in brackets when it is for reference (ISO 129-1)."""
    return f"({value})" if reference else value


Dimension = LinearDimension | RunningDimension | RadiusDimension | AngleDimension
Primitive = Stroke | ArcStroke | CircleStroke | Label | Bubble | Dimension
