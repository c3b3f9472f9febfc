"""What everything that is made of a frame says in the same words: parts and cautions."""

from __future__ import annotations

import re

from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Part
from frame3d.units import MM_PER_INCH, LengthFormat, LengthText, UnitSystem

_EXACT_MM = 0.02
"""Sizes of tables are rounded to 0.001 in."""

CAUTIONS = (
    "Have buried cables and pipes located before you drive or dig.",
    "Look for overhead lines before you lift, and keep hoops, rails and ladders well away from "
    "them.",
    "Lift and raise with enough people, and never in wind. Brace the frame before covering it.",
    "Set ladders on firm ground, never against a hoop, braced or not. Wear head protection under "
    "work overhead, and use fall protection where your local rules ask for it.",
    "Plug power tools used outdoors into a GFCI (RCD).",
    "Follow your suppliers' instructions.",
    "Loads, foundations and permits are for local codes and a licensed professional; "
    "none of them is checked here.",
)
"""What everybody who builds from these files is told."""
CAUTIONS_IN_SHORT = (
    "Have buried cables located, keep clear of overhead lines, never lift in wind. Loads, "
    "foundations and permits: see a licensed professional."
)
"""What of it stays in sight where there is room for two lines; all of it is then one step away."""


TIE = "\u00a0"
_TIED = re.compile(
    r"(?<=\d) (?=\d+/\d+|(?:mm|m|kg|g|lb|oz|in|ft|yd|deg)[²³]?(?!\w)|%)"
    r"|(?<=\d) (?=×)|(?<=×) (?=[A-Z])"
)
"""Spaces inside of a size, a mass or a count, at which no line is broken."""


def tied(text: str) -> str:
    """``text`` in which a number stays on one line with its fraction and its unit."""
    return _TIED.sub(TIE, text)


def lengths_of(frame: Frame) -> LengthFormat:
    """How the frame's design wants its numbers written."""
    output = frame.design.output
    return LengthFormat(system=output.units, denominator=output.fraction, decimals=output.decimals)


def fine_lengths(form: LengthFormat) -> LengthFormat:
    """As ``form``, but to at least 1/64 in or 0.1 mm."""
    return LengthFormat(system=form.system, denominator=64, decimals=max(1, form.decimals))


def gap_text(form: LengthFormat, length_mm: float) -> str:
    """A gap, a play or the place of a thread: too fine for the fractions of a tape measure."""
    if form.system is UnitSystem.IMPERIAL:
        return f"{length_mm / MM_PER_INCH:.3f} in"
    return f"{length_mm:.1f} mm"


def limit_text(form: LengthFormat, length_mm: float) -> str:
    """A limit as a tape measure shows it, never more than it is; finer where that is nothing."""
    if form.floor_mm(length_mm) > 0:
        return LengthText(form).most(length_mm)
    return gap_text(form, length_mm)


def describe(part: Part, form: LengthFormat) -> str:
    """What ``part`` is, in words, as a list has it; without the length of a tube or board.

    Sizes of what is bought are told as finely as they are sold, however coarse ``form`` is:
    equal words are equal things. What no tape measure shows, such as 1.660 in of tube, is told
    in decimals.
    """
    return part.words(lambda length_mm: sold_text(form, length_mm))


def sold_text(form: LengthFormat, length_mm: float) -> str:
    """A size of something bought: as a tape measure shows it, or else in decimals."""
    of_tape = LengthFormat(system=form.system, denominator=16, decimals=max(1, form.decimals))
    exact = abs(of_tape.rounded_mm(length_mm) - length_mm) < _EXACT_MM
    if exact or form.system is UnitSystem.METRIC:
        return of_tape.text(length_mm, unit=True)
    return gap_text(form, length_mm)
