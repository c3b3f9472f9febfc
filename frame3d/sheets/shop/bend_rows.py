"""The table of a bent tube for the program of a machine: as many digits as it takes to end right.

Rebuilt from these rows a tube ends within 1e-6 mm of where it ends in the model. Nothing of a
user's is in them, so no cell needs a guard against formulas.
"""

from __future__ import annotations

import csv
import io
import math

from frame3d.design.tables.purchase import Bender
from frame3d.frame.model.parts import Tube
from frame3d.geometry.bending import Stretch, gauge_for, machine_bends, rise_mm, stretches
from frame3d.sheets.shop.bend_tables import GAUGES_MM
from frame3d.units import MM_PER_INCH, LengthFormat, UnitSystem

_DIGITS, _ANGLE_DIGITS = 11, 12
_ROTARY: tuple[str, ...] = ("Point", "X", "Y", "Z", "Feed", "Rotation", "Bend", "Radius", "Note")
_ROLLS: tuple[str, ...] = (
    "Stretch", "Form", "Start", "End", "Length", "Radius", "Angle", "Toward", "Inside radius",
    "Outside radius", "Chord", "Sagitta", "Gauge", "Rise", "End X", "End Y", "End Z", "Note",
)  # fmt: skip
_ANGLES = ("Rotation", "Bend", "Angle", "Toward")
_WORDS = ("Point", "Stretch", "Form", "Note")
_NO_GRIP = "no straight before it: no bend of a rotary bender, roll it"
_STRAIGHT = "as good as straight"

Cells = tuple[float | str | None, ...]


def bend_csv(tube: Tube, bender: Bender, lengths: LengthFormat) -> str:
    """The table of ``tube`` for its machine, as the text of a CSV file.

    Lengths are in the drawing's unit, angles in degrees; heads say so. For a rotary bender:
    intersection points, feed, rotation and bend; for rolls: straights and arcs in their order,
    with what they are checked by, and where each ends.
    """
    if bender is Bender.ROTARY:
        heads, rows = _ROTARY, _rotary(tube)
    else:
        heads, rows = _ROLLS, _rolled(tube, lengths)
    imperial = lengths.system is UnitSystem.IMPERIAL
    unit, per = ("in", MM_PER_INCH) if imperial else ("mm", 1.0)
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow([
        head if head in _WORDS else f"{head}, {'deg' if head in _ANGLES else unit}"
        for head in heads
    ])  # fmt: skip
    for row in rows:
        out.writerow([_cell(value, head, per) for head, value in zip(heads, row, strict=True)])
    return text.getvalue()


def _cell(value: float | str | None, head: str, per: float) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    if head in _ANGLES:
        return _number(math.degrees(value), _ANGLE_DIGITS)
    return _number(value / per, _DIGITS)


def _number(value: float, digits: int) -> str:
    """Without an exponent, the zeros at its end or a minus before nothing."""
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _rotary(tube: Tube) -> list[Cells]:
    told = machine_bends(tube.axis)
    rows: list[Cells] = [("start", 0.0, 0.0, 0.0, None, None, None, None, None)]
    for number, bend in enumerate(told.bends, start=1):
        note = None if bend.has_grip else _NO_GRIP
        rows.append(
            (
                str(number), *bend.at, 0.0, bend.feed_mm, bend.rotation_rad, bend.bend_rad,
                bend.radius_mm, note,
            )
        )  # fmt: skip
    rows.append(("end", *told.end, 0.0, told.last_feed_mm, None, None, None, None))
    return rows


def _rolled(tube: Tube, lengths: LengthFormat) -> list[Cells]:
    half = tube.section.od_mm / 2
    flat = [one for one in stretches(tube.axis, lengths.step_mm) if one.is_straight]
    return [
        _stretch_row(number, one, tube, half, flat, GAUGES_MM[lengths.system])
        for number, one in enumerate(stretches(tube.axis), start=1)
    ]


def _stretch_row(
    number: int,
    one: Stretch,
    tube: Tube,
    half_mm: float,
    flat: list[Stretch],
    gauges_mm: tuple[float, ...],
) -> Cells:
    end = tube.axis.at(one.end_mm)
    place = (end.x_mm, end.y_mm, 0.0)
    along = (one.start_mm, one.end_mm, one.length_mm)
    if one.is_straight:
        return (str(number), "straight", *along, *([None] * 9), *place, None)
    told_straight = any(
        other.start_mm <= one.start_mm and one.end_mm <= other.end_mm for other in flat
    )
    gauge = gauge_for(one, half_mm, gauges_mm)
    inside = one.radius_mm - half_mm
    return (
        str(number), "arc", *along, one.radius_mm, abs(one.angle_rad),
        0.0 if one.angle_rad > 0 else math.pi, inside, one.radius_mm + half_mm, one.chord_mm,
        one.sagitta_mm, gauge, None if gauge is None else rise_mm(inside, gauge), *place,
        _STRAIGHT if told_straight else None,
    )  # fmt: skip
