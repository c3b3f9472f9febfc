"""What a sheet wants shown: views, and in each the dimensions, marks and bubbles.

A annotation says what it refers to, never where it goes on the paper. Points are
millimetres in the plane of the view.

Glossary
--------
edge : the side of a view beside which a dimension stands.
rank : dimensions of a lower rank stand nearer to the view; of one rank the shorter.
chain : dimensions end to end on one line.
running : distances from one datum, each written along its own extension line.
"""

from __future__ import annotations

import enum
import itertools

from msgspec import Struct
from msgspec.structs import replace

from frame3d.sheets.primitives.hatching import BreakLine, Hatch
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive


class ViewEdge(enum.Enum):
    """A side of a view. The value is the direction outward, to the right and up."""

    TOP = (0, 1)
    BOTTOM = (0, -1)
    LEFT = (-1, 0)
    RIGHT = (1, 0)

    @property
    def runs_along_x(self) -> bool:
        """True when dimensions beside this edge measure to the right."""
        return self in (ViewEdge.TOP, ViewEdge.BOTTOM)


class Chain(Struct, frozen=True, kw_only=True):
    """Dimensions between neighbouring ``points``; two points make a single dimension.

    ``names`` follow the values, one for each dimension; empty for none. Where dimensions
    along one direction close a ring, those of a chain that ``governs`` stand and another
    goes into brackets; else the longest does.
    """

    points: tuple[Point, ...]
    edge: ViewEdge
    names: tuple[str, ...] = ()
    rank: int = 1
    governs: bool = False


class Running(Struct, frozen=True, kw_only=True):
    """Distances of ``points`` from ``datum``."""

    datum: Point
    points: tuple[Point, ...]
    edge: ViewEdge
    rank: int = 0


class GridBubbles(Struct, frozen=True, kw_only=True):
    """Numbered grid lines, each from its point out to a bubble beside ``edge``."""

    places: tuple[tuple[str, Point], ...]
    edge: ViewEdge
    rank: int = 9


class Aligned(Struct, frozen=True, kw_only=True):
    """A dimension drawn on the line between two points, its text at ``share`` of the way.

    With ``away``, paper mm, it stands that far to the left of the way from first to second,
    with extension lines.
    """

    first: Point
    second: Point
    name: str = ""
    share: float = 0.5
    away: float = 0.0


class Radius(Struct, frozen=True, kw_only=True):
    """The radius of the arc about ``centre``; the text goes inside, or outside where asked.

    The line ends at one of ``on_arc``, points of the arc, the best one first.
    """

    centre: Point
    on_arc: tuple[Point, ...]
    name: str = ""
    outside_first: bool = False


class Angle(Struct, frozen=True, kw_only=True):
    """The angle at ``vertex`` from ``first_rad`` anticlockwise to ``second_rad``.

    Parameters
    ----------
    vertex : Point
    first_rad, second_rad : float
    name : str
    reach : float
        Radius of the dimension's arc, paper mm; beyond ``side`` if that is given.
    side : float or None
        How far the outline of what is measured goes along ``drawn_rad``, mm; the dimension
        lies beyond it, with an extension line.
    drawn_rad : float or None
        Which of the two directions the outline has, with ``side``.
    """

    vertex: Point
    first_rad: float
    second_rad: float
    name: str = ""
    reach: float = 25.0
    side: float = 0.0
    drawn_rad: float | None = None


Way = tuple[float, float, float]
"""A direction to the right and up, and the distance to the edge of the text, paper mm."""


class Mark(Struct, frozen=True, kw_only=True):
    """A short text at a member, in the first of several places that is free.

    Where none of them is, the text looks for a place round about, with a leader.

    Parameters
    ----------
    text : str
    at : Point
    ways : tuple of (right, up, distance)
        Places to try; distances, paper mm, count from the edge of the member.
    half : (right, up), mm
        Half the member's size at ``at``.
    leader : bool
        Draw a line from the text to ``at`` in any case.
    layer : Layer
        MARKS for the mark of a member, TEXT for what names a hole or a place.
    """

    text: str
    at: Point
    ways: tuple[Way, ...]
    half: Point = (0.0, 0.0)
    leader: bool = False
    layer: Layer = Layer.MARKS


class Weld(Mark, frozen=True, kw_only=True):
    """An arrow to where a fillet is welded on both sides of a plate, whose mark is the text.

    The symbol stands between arrow and text; it looks for its own place.
    """


class MarkRow(Struct, frozen=True, kw_only=True):
    """Marks of members in a row; where they crowd, one for each run of equal ones.

    Such a run reads ``S1 × 12`` and stands at the middle of its members.
    """

    marks: tuple[Mark, ...]

    def runs(self) -> tuple[Mark, ...]:
        """One mark for each run of equal neighbours."""
        result = []
        for text, group in itertools.groupby(self.marks, key=lambda mark: mark.text):
            members = list(group)
            count = f" × {len(members)}" if len(members) > 1 else ""
            middle = members[len(members) // 2]
            result.append(replace(middle, text=f"{text}{count}"))
        return tuple(result)


class CallOut(Struct, frozen=True, kw_only=True):
    """A circle round a place that a detail shows, and which detail on which sheet that is.

    Of the lowest importance: it takes the room that all else leaves.

    Parameters
    ----------
    text : str
    at : Point
    radius_mm : float
        Of what the detail shows; the circle is drawn about as large where that can be read.
    name : str
        What is said to be missing where there is no room; empty where another view has it too.
    """

    text: str
    at: Point
    radius_mm: float
    name: str


class Note(Struct, frozen=True, kw_only=True):
    """Words in a column beside the view, with a line to the point that they speak of.

    ``edge`` is LEFT or RIGHT. The line may end on one of ``others``, points of the same thing,
    where that keeps it off figures.
    """

    text: str
    at: Point
    edge: ViewEdge = ViewEdge.RIGHT
    others: tuple[Point, ...] = ()


class LengthCell(Struct, frozen=True):
    """A length in a table, mm, after a word or none; written in the units of the sheet.

    In brackets where it is a ``reference``: it follows from other figures of the sheet.
    A ``fine`` one, of a drill or a tube, is told as finely as those are sold.
    """

    mm: float
    reference: bool = False
    fine: bool = False
    word: str = ""


class AngleCell(Struct, frozen=True):
    """An angle in a table, rad, after a word or none; in brackets where it is a ``reference``."""

    rad: float
    word: str = ""
    decimals: int = 1
    reference: bool = False


Cell = str | LengthCell | AngleCell


class Table(Struct, frozen=True, kw_only=True):
    """Rows of words and figures beside a view or below it.

    Parameters
    ----------
    title : str
    head : tuple of str
        The words over the columns.
    rows : tuple of tuple of Cell
        As many cells in each as there are heads.
    edge : ViewEdge
        RIGHT or BOTTOM.
    blocks : int or None
        How many blocks of rows stand side by side; None for as many as the view asks for.
    words : tuple of int
        Columns of words, which start at the left as the first one does; figures end at
        the right.
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    edge: ViewEdge = ViewEdge.RIGHT
    blocks: int | None = None
    words: tuple[int, ...] = ()


Annotation = (
    Chain
    | Running
    | GridBubbles
    | Aligned
    | Radius
    | Angle
    | Mark
    | MarkRow
    | CallOut
    | Note
    | Table
)


class View(Struct, frozen=True, kw_only=True):
    """One view: what is seen, and what is to be said about it.

    Parameters
    ----------
    title : str
    primitives : tuple of Primitive, Hatch and BreakLine
        Lines of the members and what else is there, mm.
    bounds : left, bottom, right, top
        Of what is seen, mm; dimension stacks stand beside it.
    annotations : tuple of Annotation
    to_scale : bool
        False for a view of words alone.
    caption : tuple of str
        What is to be read below the title.
    """

    title: str
    primitives: tuple[Primitive | Hatch | BreakLine, ...]
    bounds: tuple[float, float, float, float]
    annotations: tuple[Annotation, ...] = ()
    to_scale: bool = True
    caption: tuple[str, ...] = ()
