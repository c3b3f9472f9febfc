"""Boards as the saw and the drill need them: each distinct piece drawn once, lying.

Holes are given by running distance from the left end and height from the lower edge.

Glossary
--------
column : the holes at one distance along a board.
pattern : heights and diameters of the holes of a column.
second view : the piece as seen from above, where its ends are bevelled or holes go from
    edge to edge; below the first view in first-angle projection, above it in third-angle.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct
from shapely import MultiPoint
from shapely.ops import unary_union

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.wording import fine_lengths
from frame3d.frame.measure.board_measures import blocks, end_x_mm, short_edges, tongue_mm
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Board, BoardHole, RippedBoard
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import (
    Angle,
    Annotation,
    Chain,
    LengthCell,
    Running,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.annotation.end_cuts import off_square
from frame3d.sheets.annotation.piece_words import (
    board_size,
    end_words,
    hole_text,
    opposite_title,
    piece_title,
    where_text,
)
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.units import LengthFormat

_MOST_PATTERNS = 2
_GAP_SHARE = 0.8
"""Between the two views of a piece, as a share of the board's depth."""
_SAME_MM = 1e-3


class _Lying(Struct, frozen=True, kw_only=True):
    """A board as it lies on the sheet, and whether it has a second view.

    ``second`` is the place up the sheet of the second view's lower edge, mm.
    """

    part: Board
    has_second: bool
    second: float
    first_edge: ViewEdge
    other_edge: ViewEdge

    @property
    def overall_edge(self) -> ViewEdge:
        """Away from the running figures where there is one view only."""
        return self.first_edge if self.has_second else self.other_edge

    def beside(self, across_mm: float) -> float:
        """Place up the sheet of what lies ``across_mm`` into the thickness, second view."""
        return self.second + self.part.section.thickness_mm - across_mm


def board_view(
    frame: Frame,
    count: PartCount[Board],
    lengths: LengthFormat,
    opposite: PartCount[Board] | None = None,
) -> View:
    """One board with its sizes; title, section and where it goes below it.

    ``opposite`` are the boards that are its mirror image, if there are such.
    """
    lying = _lie(count.part, frame.design.output.sheets is SheetStandard.ISO)
    low, high = 0.0, max(count.part.depths_mm)
    if lying.has_second:
        low = min(low, lying.second)
        high = max(high, lying.second + count.part.section.thickness_mm)
    title = piece_title(count.mark, count.count)
    if opposite is not None:
        title += f", {opposite_title(opposite.mark, opposite.count)}"
    return View(
        title=title,
        primitives=tuple(_ink(lying)),
        bounds=(0.0, low, count.part.length_mm, high),
        annotations=(
            *_lengthwise(lying),
            *_heights(lying, lengths),
            *_end_cuts(lying),
            *_ripped(lying),
        ),
        caption=(_caption(frame, count, lengths, opposite),),
    )


def _lie(part: Board, first_angle: bool) -> _Lying:
    bevelled = any(end is not None and end.bevel_rad for end in (part.start, part.end))
    gap = _GAP_SHARE * part.section.depth_mm
    has_second = bevelled or bool(part.edge_holes)
    edges = (ViewEdge.TOP, ViewEdge.BOTTOM)
    first, other = edges if first_angle or not has_second else edges[::-1]
    return _Lying(
        part=part,
        has_second=has_second,
        second=-gap - part.section.thickness_mm if first_angle else part.section.depth_mm + gap,
        first_edge=first,
        other_edge=other,
    )


def _ink(lying: _Lying) -> list[Primitive]:
    part = lying.part
    primitives: list[Primitive] = list(
        _outline([[(x, y) for x, y, _ in b.tolist()] for b in blocks(part)])
    )
    # The shorter edge of a bevelled end: seen on the near face, hidden on the far one.
    primitives += [
        Stroke(start=(x, low), end=(x, high), layer=Layer.OUTLINE if near else Layer.HIDDEN)
        for x, low, high, near in short_edges(part)
    ]
    primitives += [
        CircleStroke(centre=(hole.along_mm, hole.up_mm), radius=hole.diameter_mm / 2)
        for hole in part.holes
    ]
    if lying.has_second:
        primitives += _outline(
            [[(x, lying.beside(z)) for x, _, z in b.tolist()] for b in blocks(part)]
        )
        primitives += [
            CircleStroke(
                centre=(hole.along_mm, lying.beside(hole.across_mm)), radius=hole.diameter_mm / 2
            )
            for hole in part.edge_holes
        ]
    return primitives


def _outline(hulls: Sequence[Sequence[Point]]) -> list[Stroke]:
    area = unary_union([MultiPoint(points).convex_hull for points in hulls]).simplify(1e-6)
    return polyline(area.exterior.coords)


def _lengthwise(lying: _Lying) -> list[Annotation]:
    """Holes from the left end; length over all; notches from the end."""
    part, depth = lying.part, max(lying.part.depths_mm)
    annotations: list[Annotation] = [
        Chain(points=((0.0, 0.0), (part.length_mm, 0.0)), edge=lying.overall_edge, rank=5)
    ]
    columns = columns_of(part)
    if columns:
        points = tuple((along, holes[-1].up_mm) for along, holes in columns.items())
        annotations.append(Running(datum=(0.0, depth), points=points, edge=lying.first_edge))
    if part.edge_holes:
        points = tuple((h.along_mm, lying.beside(h.across_mm)) for h in part.edge_holes)
        annotations.append(Running(datum=(0.0, 0.0), points=points, edge=lying.other_edge))
    for end, at_start in ((part.start, True), (part.end, False)):
        if end is None or not end.lap_mm:
            continue
        tip = 0.0 if at_start else part.length_mm
        shoulder = end.lap_mm if at_start else part.length_mm - end.lap_mm
        up = depth if lying.first_edge is ViewEdge.TOP else 0.0
        annotations.append(
            Chain(points=((tip, up), (shoulder, up)), edge=lying.first_edge, names=("notch",))
        )
    return annotations


def _end_cuts(lying: _Lying) -> list[Angle]:
    """How far each end is off square, beyond the outline on the side without another view."""
    part, found = lying.part, []
    depth, thick = part.section.depth_mm, part.section.thickness_mm
    for end, at_start in ((part.start, True), (part.end, False)):
        if end is not None and end.mitre_rad:
            low, high = ((end_x_mm(part, up, 0.0, at_start=at_start), up) for up in (0.0, depth))
            found.append(off_square(low, high, up=lying.first_edge is ViewEdge.TOP))
        if end is not None and end.bevel_rad:
            low, high = (
                (end_x_mm(part, 0.0, across, at_start=at_start), lying.beside(across))
                for across in (thick, 0.0)
            )
            found.append(off_square(low, high, up=lying.first_edge is ViewEdge.BOTTOM))
    return found


def _ripped(lying: _Lying) -> list[Annotation]:
    """What is left of the depth at both ends of a ripped board."""
    if not isinstance(lying.part, RippedBoard):
        return []
    ends = ((0.0, ViewEdge.LEFT), (lying.part.length_mm, ViewEdge.RIGHT))
    return [
        Chain(points=((x, 0.0), (x, deep)), edge=edge, names=("ripped",), rank=3)
        for (x, edge), deep in zip(ends, lying.part.left_mm, strict=True)
    ]


def columns_of(part: Board) -> dict[float, list[BoardHole]]:
    """The holes through the thickness by their distance along the board, each from below."""
    found: dict[float, list[BoardHole]] = {}
    for hole in sorted(part.holes):
        key = next((k for k in found if abs(k - hole.along_mm) < _SAME_MM), hole.along_mm)
        found.setdefault(key, []).append(hole)
    return {along: sorted(holes, key=lambda h: h.up_mm) for along, holes in found.items()}


def patterns_of(part: Board) -> dict[tuple[tuple[float, float], ...], list[float]]:
    """Patterns, each with the distances along the board of its columns, rising."""
    found: dict[tuple[tuple[float, float], ...], list[float]] = {}
    for along, holes in columns_of(part).items():
        key = tuple((round(h.up_mm, 3), round(h.diameter_mm, 3)) for h in holes)
        found.setdefault(key, []).append(along)
    return found


def _needs_table(part: Board) -> bool:
    """Whether heights beside the view would leave open which hole they belong to."""
    return len(patterns_of(part)) > _MOST_PATTERNS or len(diameters_of(part)) > 1


def diameters_of(part: Board) -> Counter[float]:
    """How many holes of each diameter, mm, through the thickness."""
    return Counter(round(hole.diameter_mm, 3) for hole in part.holes)


def _heights(lying: _Lying, lengths: LengthFormat) -> list[Annotation]:
    """Heights of holes beside the end that they are nearest to; notches; edge holes."""
    part = lying.part
    annotations: list[Annotation] = []
    patterns = patterns_of(part)
    if _needs_table(part):
        annotations.append(_hole_table(part, lengths))
    elif patterns:
        # The pattern nearest to the left end stands at the left, the other at the right.
        by_left = sorted(patterns.items(), key=lambda item: item[1][0])
        if len(by_left) == 1:
            by_left = [by_left[0], ((), [])] if _is_left(part) else [((), []), by_left[0]]
        for (pattern, alongs), edge in zip(by_left, (ViewEdge.LEFT, ViewEdge.RIGHT), strict=True):
            if pattern:
                along = alongs[0] if edge is ViewEdge.LEFT else alongs[-1]
                points = tuple((along, up) for up, _ in pattern)
                annotations.append(Running(datum=(0.0, 0.0), points=points, edge=edge))
    for end, at_start in ((part.start, True), (part.end, False)):
        if end is not None and end.lap_mm:
            low, high = tongue_mm(part, end)
            level = (0.0 if at_start else part.length_mm, low if low > _SAME_MM else high)
            edge = ViewEdge.LEFT if at_start else ViewEdge.RIGHT
            annotations.append(Running(datum=(0.0, 0.0), points=(level,), edge=edge))
    if part.edge_holes and not _in_the_middle(part):
        lowest = lying.beside(part.section.thickness_mm)
        across = sorted({round(hole.across_mm, 3) for hole in part.edge_holes})
        first = {round(h.across_mm, 3): h.along_mm for h in part.edge_holes}
        points = tuple((first[a], lying.beside(a)) for a in across)
        annotations.append(
            Running(datum=(part.length_mm, lowest), points=points, edge=ViewEdge.RIGHT)
        )
    return annotations


def _in_the_middle(part: Board) -> bool:
    """Whether all holes from edge to edge lie in the middle of the thickness, which is said."""
    middle = part.section.thickness_mm / 2
    return all(abs(hole.across_mm - middle) < _SAME_MM for hole in part.edge_holes)


def _is_left(part: Board) -> bool:
    """Whether heights of holes stand at the left: away from a notch, or near the holes."""
    if part.end is not None and part.end.lap_mm:
        return True
    places = list(columns_of(part))
    return places[0] < part.length_mm - places[-1] - _SAME_MM


def _hole_table(part: Board, lengths: LengthFormat) -> Table:
    """Every hole through the thickness in a row."""
    fine = fine_lengths(lengths)
    return Table(
        title="Holes, from the left end and the lower edge",
        head=("Hole", "Along", "Up", "Ø"),
        rows=tuple(
            (str(n), LengthCell(h.along_mm), LengthCell(h.up_mm), fine.text(h.diameter_mm))
            for n, h in enumerate(sorted(part.holes), start=1)
        ),
        edge=ViewEdge.BOTTOM,
    )


def _caption(
    frame: Frame, count: PartCount[Board], lengths: LengthFormat, opposite: PartCount[Board] | None
) -> str:
    part, fine = count.part, fine_lengths(lengths)
    said = [f"{_name(count)}, {board_size(part, lengths)}"]
    said += [
        text
        for end, side in ((part.start, "left"), (part.end, "right"))
        if (text := end_words(end, side))
    ]
    holes = diameters_of(part)
    if holes and not _needs_table(part):
        [(diameter, number)] = holes.items()
        said.append(hole_text(number, diameter, fine))
    edges = Counter(round(hole.diameter_mm, 3) for hole in part.edge_holes)
    middle = ", in the middle of the thickness" if _in_the_middle(part) else ""
    said += [
        f"{hole_text(number, diameter, fine)} from edge to edge{middle}"
        for diameter, number in sorted(edges.items())
    ]
    if isinstance(part, RippedBoard):
        said.append("The ripped edge goes down to the ground")
    said.append(where_text(frame, count.members))
    if opposite is not None:
        said.append(f"{opposite.mark}: {where_text(frame, opposite.members)}")
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in said)


def _name(count: PartCount[Board]) -> str:
    """What a piece is called: of a leaf its stiles, ledges and braces too."""
    role = count.role.value
    if count.role is not Role.DOOR_LEAF:
        return role
    along = count.members[0].placement.x
    kind = "ledge" if abs(along[2]) < 1e-6 else "stile" if abs(along[0]) < 1e-6 else "brace"
    return f"{kind} of a {role}"
