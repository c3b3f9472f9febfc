"""A drawing file for each part at 1:1, for the fabricator's machine."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Callable, Sequence
from pathlib import Path

from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from frame3d.design.tables.whole_design import LayerNames
from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.make_notes import material_words, short_make_notes
from frame3d.frame.describe.plate_joints import BentPlate, bent_plates, plate_joints
from frame3d.frame.describe.wording import TIE, describe, lengths_of, sold_text, tied
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Tube
from frame3d.sheets.layout.compose import CAUTIONS
from frame3d.sheets.primitives.lettering import WIDTH_FACTOR
from frame3d.sheets.shop.bend_rows import bend_csv
from frame3d.sheets.shop.bend_tables import end_words
from frame3d.sheets.shop.bent_tube import is_bent
from frame3d.sheets.shop.part_pattern import (
    ClosedOutline,
    PatternArc,
    PatternLayer,
    PatternPoint,
    Round,
    Shape,
    Straight,
    flat_pattern,
    pattern,
    top_of,
)
from frame3d.sheets.write.dxf_layers import NOTES, layer_name
from frame3d.sheets.write.dxf_plain import add_plain_text
from frame3d.sheets.write.dxf_text import line_text
from frame3d.sheets.write.dxf_write import without_dates, write_document
from frame3d.units import UnitSystem
from frame3d.writing import write_whole

PARTS_FOLDER = "parts"
_COLOURS = {
    PatternLayer.OUTLINE: 7,
    PatternLayer.HOLES: 5,
    PatternLayer.EDGE_HOLES: 4,
    PatternLayer.FAR_EDGE: 8,
    PatternLayer.CENTRE_LINE: 1,
    PatternLayer.TANGENT_POINTS: 3,
    PatternLayer.HOLE_PLACES: 5,
    PatternLayer.END_FORMS: 6,
    PatternLayer.INSIDE: 8,
}

_NOTES = (
    "Measure the delivered material before cutting, bending or drilling.",
    "Shape and size only: nothing here says what the part or the frame can carry.",
)
_TEXT_MM, _STEP_MM, _LETTERS = 10.0, 16.0, 110
"""Height and step of lines of text, and how many letters a line of notes has at most."""


def write_parts(
    frame: Frame, folder: Path, told: Callable[[int, int], None] = lambda done, total: None
) -> tuple[str, ...]:
    """Write a drawing file for each part that is made into ``parts`` of ``folder``.

    A bent tube has a table for its machine besides.

    Parameters
    ----------
    frame : Frame
    folder : Path
        Is there; ``parts`` is made in it.
    told : callable
        Told how many are written, and of how many.

    Returns
    -------
    tuple of str
        The files' names from ``folder``, as ``parts/H1.dxf`` and ``parts/H1-bends.csv``.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    (folder / PARTS_FOLDER).mkdir(exist_ok=True)
    made = [group for group in frame.parts() if not group.part.is_bought]
    names = []
    for number, group in enumerate(made):
        told(number, len(made))
        name = f"{PARTS_FOLDER}/{_file_name(group.mark)}.dxf"
        write_document(part_drawing(frame, group), folder / name)
        names.append(name)
        if isinstance(group.part, Tube) and is_bent(group.part):
            names.append(f"{PARTS_FOLDER}/{_file_name(group.mark)}-bends.csv")
            _write_bends(frame, group.part, folder / names[-1])
    for piece in bent_plates(frame, plate_joints(frame)):
        names.append(f"{PARTS_FOLDER}/{_file_name(piece.name)}-flat.dxf")
        write_document(_flat_drawing(frame, piece), folder / names[-1])
    return tuple(names)


def _write_bends(frame: Frame, tube: Tube, path: Path) -> None:
    text = bend_csv(tube, frame.design.order.bender, lengths_of(frame))
    write_whole(path, lambda at: at.write_bytes(text.encode("ascii")))


def _file_name(mark: str) -> str:
    return re.sub(r"[^A-Za-z0-9._-]", "-", mark)


def part_drawing(frame: Frame, group: PartCount) -> Drawing:
    """The drawing of one part, in the units of the design, without dates."""
    form, part = lengths_of(frame), group.part
    words = (
        f"{group.mark}, {group.count} needed",
        describe(part, form),
        f"material: {material_words(frame, part)}",
        *(end_words(part, frame.design, form) if isinstance(part, Tube) else ()),
    )
    return _drawing(frame, pattern(part), words)


def _flat_drawing(frame: Frame, piece: BentPlate) -> Drawing:
    """The flat pattern of a bent piece, its bend lines on their layer."""
    form, make = lengths_of(frame), frame.design.make
    shapes = flat_pattern(piece)
    ways = ", ".join("up" if up else "down" for _, up in piece.bends)
    words = (
        f"{piece.name}, {piece.count} needed, bent from one piece",
        f"steel plate, {sold_text(form, piece.thickness_mm)}; {make.plate_grade}",
        f"bends of 90° from the left: {ways}; inside radius "
        f"{sold_text(form, make.inside_radius)}, K-factor {make.k_factor:g}",
    )
    return _drawing(frame, shapes, words)


def _drawing(frame: Frame, shapes: Sequence[Shape], words: Sequence[str]) -> Drawing:
    output = frame.design.output
    imperial = output.units is UnitSystem.IMPERIAL
    unit = 1 / output.units.mm_per_drawing_unit
    with without_dates():
        doc = new(output.dxf_version.value, units=1 if imperial else 4)
    doc.header["$INSUNITS"] = 1 if imperial else 4
    doc.header["$MEASUREMENT"] = 0 if imperial else 1
    doc.header["$PDMODE"], doc.header["$PDSIZE"] = 3, 5.0 * unit
    layers = {use: layer_name(use.value, output.layers) for use in PatternLayer}
    for use in PatternLayer:
        if any(shape.use is use for shape in shapes):
            doc.layers.add(layers[use], color=_COLOURS[use])
    for shape in shapes:
        _add(doc, shape, unit, {"layer": layers[shape.use]})
    _add_words(doc, frame, words, top_of(shapes), output.layers)
    return doc


def _add(doc: Drawing, shape: Shape, unit: float, attributes: dict[str, str]) -> None:
    space = doc.modelspace()

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] * unit, point[1] * unit)

    match shape:
        case ClosedOutline():
            turns = shape.turns or (0.0,) * len(shape.points)
            # DXF reference, LWPOLYLINE: the bulge is the tangent of a quarter of the angle.
            points = [
                (*at(point), math.tan(turn / 4))
                for point, turn in zip(shape.points, turns, strict=True)
            ]
            space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=attributes)
        case Straight():
            space.add_line(at(shape.start), at(shape.end), dxfattribs=attributes)
        case Round():
            space.add_circle(at(shape.centre), shape.diameter / 2 * unit, dxfattribs=attributes)
        case PatternPoint():
            space.add_point(at(shape.at), dxfattribs=attributes)
        case PatternArc():
            space.add_arc(
                at(shape.centre),
                shape.radius * unit,
                math.degrees(shape.start_rad),
                math.degrees(shape.end_rad),
                dxfattribs=attributes,
            )


def _add_words(
    doc: Drawing, frame: Frame, words: Sequence[str], top_mm: float, names: LayerNames
) -> None:
    """What it is above the part, and over that cautions and notes, on layers apart."""
    unit = 1 / frame.design.output.units.mm_per_drawing_unit
    notes = ["Cautions", *_NOTES, *CAUTIONS, "General notes of make", *short_make_notes(frame)]
    broken = [line for note in notes for line in textwrap.wrap(tied(note), _LETTERS)]
    lines = [
        *((line.replace(TIE, " "), NOTES) for line in broken),
        *((line, "text") for line in words),
    ]
    lines += [(line, "text") for line in ("full size", as_built_mark(frame)) if line]
    for title in (NOTES, "text"):
        doc.layers.add(layer_name(title, names), color=7)
    for number, (line, title) in enumerate(reversed(lines)):
        at = (0.0, (top_mm + 15.0 + _STEP_MM * number) * unit)
        add_plain_text(
            doc.modelspace(), line_text(line), at, TextEntityAlignment.LEFT,
            height=_TEXT_MM * unit, turn_deg=0.0, layer=layer_name(title, names),
            style="Standard", width=WIDTH_FACTOR,
        )  # fmt: skip
