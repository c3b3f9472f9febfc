"""What everything that is made of a frame says in the same words: parts and cautions."""

from __future__ import annotations

import re

from frame3d.catalog.sections import Head
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import (
    Board,
    BoardEnd,
    Bolt,
    ClampHalf,
    Flat,
    Nut,
    Part,
    Plate,
    Screw,
    Swage,
    Tube,
    Washer,
)
from frame3d.geometry.paths import Arc
from frame3d.units import MM_PER_INCH, LengthFormat, UnitSystem

__all__ = ["CAUTIONS", "describe", "fine_lengths", "gap_text", "lengths_of", "tied"]

CAUTIONS = (
    "Have buried services located before driving anything into the ground.",
    "Brace the frame before covering it.",
    "Follow the instructions of your suppliers.",
    "Loads, foundations and permits are for local codes and a licensed professional; "
    "none of them is worked out here.",
)
"""What everybody who builds from these files is told."""


_TIED = re.compile(
    r"(?<=\d) (?=\d+/\d+|(?:mm|m|kg|g|lb|oz|in|ft|deg)\b)|(?<=\d) (?=×)|(?<=×) (?=[A-Z])"
)
"""Spaces inside of a size, a mass or a count, at which no line is broken."""


def tied(text: str) -> str:
    """``text`` in which a number stays on one line with its fraction and its unit."""
    return _TIED.sub("\u00a0", text)


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


def describe(part: Part, form: LengthFormat) -> str:
    """What ``part`` is, in words, as a list has it; without the length of a tube or board.

    Sizes of what is bought are told as finely as they are sold, however coarse ``form`` is:
    equal words are equal things.
    """
    fine = fine_lengths(form)

    def say(length_mm: float) -> str:
        return fine.text(length_mm, unit=True)

    match part:
        case Tube():
            bent = any(isinstance(segment, Arc) for segment in part.axis.segments)
            return _with_holes(
                f"{part.section.name} tube, {'bent' if bent else 'straight'}"
                + _ends([_tube_end(end) for end in (part.start, part.end) if end]),
                len(part.holes),
            )
        case Board():
            return _with_holes(
                f"{part.section.name} board"
                + _ends([_board_end(end) for end in (part.start, part.end) if end]),
                len(part.holes) + len(part.edge_holes),
            )
        case Plate():
            return _with_holes(f"{part.name}, {say(part.thickness_mm)} thick", len(part.holes))
        case Bolt():
            kind = "carriage bolt" if part.size.head is Head.CARRIAGE else "hexagon bolt"
            return f"{kind} {part.size.name} x {say(part.length_mm)}"
        case Nut():
            return f"hexagon nut {part.size.name}"
        case Washer():
            return f"plain washer {part.size.name}"
        case Screw():
            return f"{part.kind.value} {part.name} x {say(part.length_mm)}"
        case ClampHalf():
            return f"half of a swivel coupler for tube of {say(part.tube_od_mm)} outside"
    raise TypeError(f"no words are known for a {type(part).__name__}")


def _ends(words_of_ends: list[str]) -> str:
    """What was done to the two ends, in words: nothing, to one, to both, or to each its own."""
    made = list(filter(None, words_of_ends))
    if len(made) == 2 and made[0] == made[1]:
        return f", both ends {made[0]}"
    return "".join(f", one end {words}" for words in made)


def _tube_end(end: Swage | Flat) -> str:
    slanting = isinstance(end, Flat) and end.slant_rad
    return "flat and cut on a slant" if slanting else "flat" if isinstance(end, Flat) else "swaged"


def _board_end(end: BoardEnd) -> str:
    done = {"mitred": end.mitre_rad, "bevelled": end.bevel_rad, "lapped": end.lap_mm}
    return " and ".join(word for word, size in done.items() if size)


def _with_holes(text: str, holes: int) -> str:
    if not holes:
        return text
    return f"{text}, {holes} hole{'s' if holes > 1 else ''}"
