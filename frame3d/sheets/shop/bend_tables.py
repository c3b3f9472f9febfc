"""The tables of a bent tube: the piece, its bends, arcs and holes, the full-size layout.

Without brackets stands what the shop works by: where bends start and end and their radii, where
holes are. What follows from those is in brackets.
"""

from __future__ import annotations

import math
import string
from collections.abc import Sequence

from frame3d.catalog.sections import TubeSection
from frame3d.design.tables.purchase import Bender
from frame3d.design.tables.whole_design import Design
from frame3d.frame.describe.cut_lengths import grips_mm
from frame3d.frame.describe.wording import fine_lengths
from frame3d.frame.joining.swaging import reduction, reduction_trouble
from frame3d.frame.model.end_forms import Flat, Swage
from frame3d.frame.model.parts import Tube
from frame3d.geometry.bending import MachineBends, Stretch, gauge_for, machine_bends, rise_mm
from frame3d.geometry.bending import stretches as stretches_of_path
from frame3d.geometry.full_size import full_size, ordinate_mm, steps_mm
from frame3d.sheets.annotation.annotations import AngleCell, Cell, LengthCell, Table
from frame3d.units import LengthFormat, LengthText, UnitSystem

_STEPS_MM = {
    UnitSystem.METRIC: (10.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0),
    UnitSystem.IMPERIAL: tuple(25.4 * n for n in (0.5, 1, 2, 3, 6, 12, 24, 36, 48, 96)),
}
GAUGES_MM = {
    UnitSystem.METRIC: (25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0),
    UnitSystem.IMPERIAL: tuple(25.4 * n for n in (1, 2, 3, 6, 12, 24, 36)),
}
"""Straightedges that a shop has (common practice, no source)."""
_MOST_STEPS = 12
_FLAT_MM = 40.0
"""Ordinates of curves flatter than this are told more finely than the rest of the sheet."""
_TINY_MM = 1e-6
UNGRIPPED = "none, roll it"
"""In place of a feed where an arc follows another one, or begins the tube, without a straight."""


def letters(count: int) -> list[str]:
    """Names for holes: a to z, then aa, ab; without l and o, which look like figures."""
    plain = [letter for letter in string.ascii_lowercase if letter not in "lo"]
    return [*plain, *(a + b for a in plain for b in plain)][:count]


def stretches(tube: Tube, lengths: LengthFormat) -> tuple[Stretch, ...]:
    """The straights and bends of ``tube``: what the sheet cannot tell from a straight is one."""
    return stretches_of_path(tube.axis, lengths.step_mm)


def bend_stops_mm(tube: Tube, lengths: LengthFormat) -> list[float]:
    """Where bends start and end, distances along the tube, but for its own two ends."""
    stops = {
        round(stop, 6)
        for one in stretches(tube, lengths)
        if not one.is_straight
        for stop in (one.start_mm, one.end_mm)
    }
    return sorted(s for s in stops if _TINY_MM < s < tube.length_mm - _TINY_MM)


def steps_of(tube: Tube, system: UnitSystem) -> list[float]:
    """The even steps along the chord at which the curve is given."""
    return steps_mm(full_size(tube.axis).chord_mm, _STEPS_MM[system], _MOST_STEPS)


def piece_table(tube: Tube, design: Design, lengths: LengthFormat) -> Table:
    """Section, lengths from the blank to the finished piece, and how the ends are made."""
    grip = design.order.straight_end
    rows: list[tuple[Cell, ...]] = [
        ("Tube", tube.section.name),
        ("Size", od_and_wall(tube.section, lengths)),
        ("Finished length", LengthCell(tube.length_mm)),
    ]
    if grip > 0:
        first, last = grips_mm(tube, grip)
        rows += [
            ("Grip added at the start", LengthCell(first)),
            ("Grip added at the end", LengthCell(last)),
            ("Blank, before trimming", LengthCell(tube.length_mm + first + last)),
        ]
    else:
        rows += [
            ("Grip at each end", "by the fabricator"),
            ("Blank, before trimming", "finished length and grips"),
        ]
    within = design.tolerances.swage
    rows += [
        (name, line)
        for name, end in (("Start", tube.start), ("End", tube.end))
        for name, line in _end_rows(name, end, within, lengths)
    ]
    return Table(title="Piece", head=("", ""), rows=tuple(rows), words=(1,))


def od_and_wall(section: TubeSection, lengths: LengthFormat) -> str:
    """Diameter and wall as tube is sold: ``1.900 in OD × 0.145 in wall``."""
    say = LengthText(lengths)
    return f"{say.tube(section.od_mm)} OD × {say.tube(section.wall_mm)} wall"


def end_words(tube: Tube, design: Design, lengths: LengthFormat) -> tuple[str, ...]:
    """How the ends of ``tube`` are made, a line or two for each."""
    within = design.tolerances.swage
    return tuple(
        f"{name}: {line}" if name else line
        for which, end in (("start", tube.start), ("end", tube.end))
        for name, line in _end_rows(which, end, within, lengths)
    )


def _end_rows(
    name: str, end: Swage | Flat | None, within_mm: float, lengths: LengthFormat
) -> list[tuple[str, str]]:
    """What is made at an end; of a swage diameter with tolerance, length and taper."""
    say = LengthText(lengths)
    if isinstance(end, Swage):
        return [
            (name, f"swaged to {say.tube(end.od_mm)} ±{say.tube(within_mm)} OD"),
            ("", f"over {say(end.length_mm)}, taper {say(end.taper_mm)}"),
        ]
    return [(name, "flattened" if isinstance(end, Flat) else "cut square")]


def swage_notes(tube: Tube) -> tuple[str, ...]:
    """A warning where an end is reduced further than its wall lets it in one go."""
    swages = [end for end in (tube.start, tube.end) if isinstance(end, Swage)]
    for swage in swages:
        if reduction_trouble(tube.section, swage):
            share = reduction(tube.section, swage)
            return (
                f"The swage makes the tube {share:.0%} smaller. With so thick a wall more than a "
                "quarter can split or fold it (common practice): ask the fabricator before "
                "ordering, or join the pieces by a sleeve.",
            )
    return ()


def bend_table(tube: Tube, lengths: LengthFormat) -> Table:
    """Start, end, length, radius, angle and direction of every straight and bend."""
    rows: list[tuple[Cell, ...]] = []
    found, number = stretches(tube, lengths), 0
    bends = [one for one in found if not one.is_straight]
    for one in found:
        places = (LengthCell(one.start_mm), LengthCell(one.end_mm))
        length = LengthCell(one.length_mm, reference=True)
        if one.is_straight:
            rows.append(("straight", *places, length, "", "", ""))
            continue
        number += 1
        rows.append(
            (
                str(number),
                *places,
                length,
                LengthCell(one.radius_mm),
                AngleCell(abs(one.angle_rad), decimals=2, reference=True),
                AngleCell(0.0 if one.angle_rad > 0 else math.pi),
            )
        )
    if len(bends) > 1:
        turn = abs(math.fsum(one.angle_rad for one in bends))
        rows.append(("all", "", "", "", "", AngleCell(turn, decimals=2, reference=True), ""))
    return Table(
        title="Bends, from the start along the centreline",
        head=("Bend", "Starts", "Ends", "Length", "Radius", "Angle", "Toward"),
        rows=tuple(rows),
    )


def arc_table(tube: Tube, lengths: LengthFormat) -> Table:
    """Radii at the inside and outside of the tube, chord, sagitta and rise under a gauge."""
    rows: list[tuple[Cell, ...]] = []
    half = tube.section.od_mm / 2
    bends = [one for one in stretches(tube, lengths) if not one.is_straight]
    for number, one in enumerate(bends, start=1):
        gauge = gauge_for(one, half, GAUGES_MM[lengths.system])
        rise: tuple[Cell, Cell] = ("-", "-")
        if gauge is not None:
            rise = (
                LengthCell(gauge),
                LengthCell(rise_mm(one.radius_mm - half, gauge), fine=True),
            )
        # Finer where a tape shows none: the tip of such a short arc is still off. Where that tells
        # none either, the bend is by its angle alone.
        fine = one.sagitta_mm < lengths.step_mm
        sagitta: Cell = LengthCell(one.sagitta_mm, reference=True, fine=fine)
        if not fine_lengths(lengths).rounded_mm(one.sagitta_mm):
            sagitta = "-"
        rows.append(
            (
                str(number),
                LengthCell(one.radius_mm - half, reference=True),
                LengthCell(one.radius_mm + half, reference=True),
                LengthCell(one.chord_mm, reference=True),
                sagitta,
                *rise,
            )
        )
    return Table(
        title="Arcs: chord and sagitta of the centreline; rise inside the bend",
        head=("Bend", "Inside R", "Outside R", "Chord", "Sagitta", "Gauge", "Rise"),
        rows=tuple(rows),
    )


def rotary_table(tube: Tube) -> Table:
    """Intersection points with feed, rotation and bend, for a rotary bender."""
    told: MachineBends = machine_bends(tube.axis)
    rows: list[tuple[Cell, ...]] = [
        ("start", LengthCell(0.0), LengthCell(0.0), LengthCell(0.0), "", "", "", "")
    ]
    for number, bend in enumerate(told.bends, start=1):
        rows.append(
            (
                str(number),
                *(LengthCell(value) for value in (*bend.at, 0.0)),
                LengthCell(bend.feed_mm) if bend.has_grip else UNGRIPPED,
                AngleCell(bend.rotation_rad),
                AngleCell(bend.bend_rad, decimals=2),
                LengthCell(bend.radius_mm),
            )
        )
    ends = (LengthCell(value) for value in (*told.end, 0.0))
    rows.append(("end", *ends, LengthCell(told.last_feed_mm), "", "", ""))
    return Table(
        title="Intersection points; feed, rotation and bend",
        head=("Point", "X", "Y", "Z", "Feed", "Rotation", "Bend", "Radius"),
        rows=tuple(rows),
    )


def machine_tables(tube: Tube, bender: Bender, lengths: LengthFormat) -> list[Table]:
    """What the bender's machine is set by."""
    arcs = arc_table(tube, lengths)
    return [arcs] if bender is Bender.ROLLS else [arcs, rotary_table(tube)]


def machine_notes(tube: Tube, bender: Bender) -> tuple[str, ...]:
    """How the tables of the machine are read, and which bends it cannot make."""
    if bender is Bender.ROLLS:
        return (
            "Rise: under the middle of a straightedge as long as the gauge, laid into the "
            "inside of the bend.",
        )
    axes = (
        "X runs along the start of the tube, Y toward rotation 0°, Z toward 90°; feeds are "
        "the straights between bends."
    )
    if machine_bends(tube.axis).rotary:
        return (axes,)
    return (
        f"{axes} A rotary bender grips a straight before each bend: an arc that follows another "
        "one, or begins the tube, without a straight is no bend of a rotary bender. Roll it.",
    )


def hole_table(tube: Tube, uses: Sequence[str]) -> Table:
    """Letter, distance, clock angle and diameter of every hole, and what goes through it."""
    rows = tuple(
        (
            letter,
            LengthCell(hole.at_mm),
            AngleCell(hole.clock_rad),
            LengthCell(hole.diameter_mm, fine=True),
            use or "-",
        )
        for letter, hole, use in zip(letters(len(tube.holes)), tube.holes, uses, strict=True)
    )
    return Table(
        title="Holes, through both walls, from the start",
        head=("Hole", "Distance", "Rotation", "Drill", "For"),
        rows=rows,
        words=(4,),
    )


def layout_table(tube: Tube, system: UnitSystem) -> Table:
    """The curve of the centreline at even steps along its chord."""
    fine = full_size(tube.axis).sagitta_mm < _FLAT_MM
    rows = tuple(
        (str(n), LengthCell(along), LengthCell(ordinate_mm(tube.axis, along), fine=fine))
        for n, along in enumerate(steps_of(tube, system))
    )
    return Table(title="Full-size layout", head=("Step", "Along chord", "Ordinate"), rows=rows)
