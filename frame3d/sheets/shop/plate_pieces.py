"""Flat plates as the shears and the drill need them: each distinct one drawn once."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from operator import itemgetter

from shapely import Polygon

from frame3d.frame.describe.plate_joints import bent_plates, plate_joints
from frame3d.frame.describe.wording import fine_lengths, sold_text
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.geometry.outlines import Edge, edges
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    LengthCell,
    Radius,
    Running,
    Table,
    View,
    ViewEdge,
    Weld,
)
from frame3d.sheets.annotation.piece_words import hole_text, piece_title, where_text
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.primitives.primitives import (
    ArcStroke,
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    around,
)
from frame3d.sheets.shop.flat_patterns import flat_view, joint_words
from frame3d.sheets.shop.make_note import MAKE_NOTE
from frame3d.sheets.shop.timber_sheets import PieceSize, add_pieces
from frame3d.sheets.shop.welds import (
    WELD_NOTE,
    WeldedFoot,
    feet_of,
    foot_annotations,
    foot_lines,
    hands_words,
)
from frame3d.units import LengthFormat

NOTES = (
    f"Each different plate is drawn once, with its mark and quantity below. {MAKE_NOTE}",
    "Running dimensions start at the left and lower edges: at the bottom and left, to "
    "corners; at the top and right, to hole centres.",
)
SIZE = PieceSize(largest=2, deepest_mm=70.0, widest_mm=120.0)
"""How large a plate may be drawn."""
_SAME_MM = 0.02
_CROSS = 0.75
"""Half the centre lines of a hole, as a share of its diameter."""


def plate_sheets(builder: SheetSetBuilder) -> None:
    """Every distinct flat plate but those of doors, which stand with these."""
    counts = [c for c in builder.frame.parts_of_kind(Plate) if c.role is not Role.HINGE]
    views = plate_views(builder, counts)
    notes = (*builder.lacks(count.mark for count in counts), *NOTES, *weld_notes(views))
    add_pieces(builder, "Plates", views, notes, SIZE)


def plate_views(builder: SheetSetBuilder, counts: Sequence[PartCount[Plate]]) -> list[View]:
    """Each plate of ``counts`` by itself, then the flat patterns of those bent from one piece."""
    frame, lengths = builder.frame, builder.lengths
    joints = plate_joints(frame)
    pieces = bent_plates(frame, joints)
    marks = {count.mark for count in counts}
    views = [
        plate_view(
            frame,
            count,
            lengths,
            joint_words(count.mark, joints, pieces),
            feet_of(count.mark, joints, pieces),
        )
        for count in counts
    ]
    flat = [piece for piece in pieces if marks & {leg.mark for leg in piece.legs}]
    return [*views, *(flat_view(frame, piece, lengths) for piece in flat)]


def weld_notes(views: Sequence[View]) -> tuple[str, ...]:
    """What the symbols of welds mean, where there are any."""
    welds = any(isinstance(one, Weld) for view in views for one in view.annotations)
    return (WELD_NOTE,) if welds else ()


def plate_view(
    frame: Frame,
    count: PartCount[Plate],
    lengths: LengthFormat,
    joined: str = "",
    feet: Counter[WeldedFoot] | None = None,
) -> View:
    """One plate with its corners and holes, from the lower left of what it covers.

    ``joined`` is how it is joined to others, in words, ``feet`` what is welded on it.
    """
    plate = count.part
    left, bottom, right, top = Polygon(plate.outline).bounds
    corners = [(x - left, y - bottom) for x, y in plate.outline]
    holes = [(x - left, y - bottom, across) for x, y, across in plate.holes]
    outline = edges(corners)
    primitives: list[Primitive] = [_drawn(edge) for edge in outline]
    for x, y, across in holes:
        primitives.append(CircleStroke(centre=(x, y), radius=across / 2))
        reach = _CROSS * across
        primitives.append(Stroke(start=(x - reach, y), end=(x + reach, y), layer=Layer.CENTRE))
        primitives.append(Stroke(start=(x, y - reach), end=(x, y + reach), layer=Layer.CENTRE))
    annotations = _outline_sizes(outline, right - left, top - bottom)
    if len(_diameters(plate)) > 1:
        annotations.append(_table(holes, lengths))
    elif holes:
        points = tuple((x, y) for x, y, _ in holes)
        annotations += [
            Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.TOP),
            Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.RIGHT),
        ]
    bounds = (0.0, 0.0, right - left, top - bottom)
    if feet:
        foot = next(iter(feet))
        primitives += foot_lines(foot)
        annotations += foot_annotations(foot, plate)
        bounds = around((bounds, (foot.left, foot.bottom, foot.right, foot.top)))
        joined = "; ".join(filter(None, (joined, hands_words(feet, plate))))
    return View(
        title=piece_title(count.mark, count.count),
        primitives=tuple(primitives),
        bounds=bounds,
        annotations=tuple(annotations),
        caption=(_caption(frame, count, lengths, joined),),
    )


def _drawn(edge: Edge) -> Primitive:
    if edge.centre is None:
        return Stroke(start=edge.start, end=edge.end)
    (x, y), (u, v) = edge.centre, edge.start
    first = math.atan2(v - y, u - x)
    return ArcStroke(
        centre=edge.centre, radius=edge.radius, start_rad=first, end_rad=first + edge.turn_rad
    )


def _outline_sizes(outline: Sequence[Edge], width: float, height: float) -> list[Annotation]:
    """Width and height; of what is no rectangle the places of all corners, and radii of arcs."""
    sizes: list[Annotation] = []
    corners = [edge.start for edge in outline]
    for side in outline:
        if side.centre is not None:
            (x, y), (u, v) = side.centre, side.start
            first = math.atan2(v - y, u - x)
            turns = [first + share * side.turn_rad for share in (0.75, 0.25, 0.6, 0.4)]
            on_arc = tuple(
                (x + side.radius * math.cos(t), y + side.radius * math.sin(t)) for t in turns
            )
            sizes.append(Radius(centre=side.centre, on_arc=on_arc, outside_first=True))
    for axis, whole, edge in ((0, width, ViewEdge.BOTTOM), (1, height, ViewEdge.LEFT)):
        places: list[Point] = []
        for corner in sorted(corners, key=itemgetter(axis)):
            if corner[axis] - (places[-1][axis] if places else 0.0) > _SAME_MM:
                places.append(corner)
        if len(places) > 1:
            sizes.append(Running(datum=(0.0, 0.0), points=tuple(places), edge=edge))
        else:
            end = (whole, 0.0) if axis == 0 else (0.0, whole)
            sizes.append(Chain(points=((0.0, 0.0), end), edge=edge))
    return sizes


def _diameters(plate: Plate) -> Counter[float]:
    return Counter(round(across, 3) for _, _, across in plate.holes)


def _table(holes: list[tuple[float, float, float]], lengths: LengthFormat) -> Table:
    fine = fine_lengths(lengths)
    return Table(
        title="Holes, from the left and the lower edge",
        head=("Hole", "Along", "Up", "Ø"),
        rows=tuple(
            (str(n), LengthCell(x), LengthCell(y), fine.text(across))
            for n, (x, y, across) in enumerate(sorted(holes), start=1)
        ),
        edge=ViewEdge.BOTTOM,
    )


def _caption(frame: Frame, count: PartCount[Plate], lengths: LengthFormat, joined: str) -> str:
    plate, fine = count.part, fine_lengths(lengths)
    said = [f"{plate.name}, {sold_text(lengths, plate.thickness_mm)} thick"]
    diameters = _diameters(plate)
    if len(diameters) == 1:
        [(across, number)] = diameters.items()
        said.append(hole_text(number, across, fine))
    said.append(where_text(frame, count.members))
    if joined:
        said.append(joined)
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in said)
