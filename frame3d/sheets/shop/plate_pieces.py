"""Flat plates as the shears and the drill need them: each distinct one drawn once."""

from __future__ import annotations

from collections import Counter

from shapely import Polygon

from frame3d.frame.describe.wording import fine_lengths, sold_text
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    LengthCell,
    Running,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.annotation.piece_words import hole_text, piece_title, where_text
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.sheets.shop.make_note import MAKE_NOTE
from frame3d.sheets.shop.timber_sheets import PieceSize, add_pieces
from frame3d.units import LengthFormat

NOTES = (
    f"Each different plate is drawn once, with its mark and quantity below. {MAKE_NOTE}",
    "Running dimensions start at the left and lower edges: at the bottom and left, to "
    "corners; at the top and right, to hole centres.",
)
SIZE = PieceSize(largest=2, deepest_mm=70.0, widest_mm=120.0)
"""How large a plate may be drawn."""
_SAME_MM = 1e-3
_CROSS = 0.75
"""Half the centre lines of a hole, as a share of its diameter."""


def plate_sheets(builder: SheetSetBuilder) -> None:
    """Every distinct flat plate but those of doors, which stand with these."""
    counts = [c for c in builder.frame.parts_of_kind(Plate) if c.role is not Role.HINGE]
    views = [plate_view(builder.frame, count, builder.lengths) for count in counts]
    notes = (*builder.lacks(count.mark for count in counts), *NOTES)
    add_pieces(builder, "Plates", views, notes, SIZE)


def plate_view(frame: Frame, count: PartCount[Plate], lengths: LengthFormat) -> View:
    """One plate with its corners and holes, from the lower left of what it covers."""
    plate = count.part
    left, bottom, right, top = Polygon(plate.outline).bounds
    corners = [(x - left, y - bottom) for x, y in plate.outline]
    holes = [(x - left, y - bottom, across) for x, y, across in plate.holes]
    primitives: list[Primitive] = [*polyline([*corners, corners[0]])]
    for x, y, across in holes:
        primitives.append(CircleStroke(centre=(x, y), radius=across / 2))
        reach = _CROSS * across
        primitives.append(Stroke(start=(x - reach, y), end=(x + reach, y), layer=Layer.CENTRE))
        primitives.append(Stroke(start=(x, y - reach), end=(x, y + reach), layer=Layer.CENTRE))
    annotations = _outline_sizes(corners, right - left, top - bottom)
    if len(_diameters(plate)) > 1:
        annotations.append(_table(holes, lengths))
    elif holes:
        points = tuple((x, y) for x, y, _ in holes)
        annotations += [
            Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.TOP),
            Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.RIGHT),
        ]
    return View(
        title=piece_title(count.mark, count.count),
        primitives=tuple(primitives),
        bounds=(0.0, 0.0, right - left, top - bottom),
        annotations=tuple(annotations),
        caption=(_caption(frame, count, lengths),),
    )


def _outline_sizes(corners: list[Point], width: float, height: float) -> list[Annotation]:
    """Width and height; of what is no rectangle the places of all corners."""
    sizes: list[Annotation] = []
    for axis, whole, edge in ((0, width, ViewEdge.BOTTOM), (1, height, ViewEdge.LEFT)):
        places = {round(c[axis] / _SAME_MM): c for c in corners if c[axis] > _SAME_MM}
        if len(places) > 1:
            sizes.append(Running(datum=(0.0, 0.0), points=tuple(places.values()), edge=edge))
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


def _caption(frame: Frame, count: PartCount[Plate], lengths: LengthFormat) -> str:
    plate, fine = count.part, fine_lengths(lengths)
    said = [f"{plate.name}, {sold_text(lengths, plate.thickness_mm)} thick"]
    diameters = _diameters(plate)
    if len(diameters) == 1:
        [(across, number)] = diameters.items()
        said.append(hole_text(number, across, fine))
    said.append(where_text(frame, count.members))
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in said)


__all__ = ["plate_sheets", "plate_view"]
