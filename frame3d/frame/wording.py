"""What everything that is made of a frame says in the same words: parts and cautions."""

from __future__ import annotations

from frame3d.catalog.sections import Head
from frame3d.frame.members import Frame
from frame3d.frame.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Screw, Tube, Washer
from frame3d.geometry.paths import Arc
from frame3d.units import LengthFormat

__all__ = ["CAUTIONS", "describe", "fine_lengths", "lengths_of"]

CAUTIONS = (
    "Have buried services located before driving anything into the ground.",
    "Brace the frame before covering it.",
    "Follow the instructions of your suppliers.",
    "Loads, foundations and permits are for local codes and a licensed professional; "
    "none of them is worked out here.",
)
"""What everybody who builds from these files is told."""


def lengths_of(frame: Frame) -> LengthFormat:
    """How the frame's design wants its numbers written."""
    output = frame.design.output
    return LengthFormat(
        system=output.units, denominator=output.fraction, decimals=output.decimals
    )


def fine_lengths(form: LengthFormat) -> LengthFormat:
    """As ``form``, but to at least 1/64 in or 0.1 mm."""
    return LengthFormat(system=form.system, denominator=64, decimals=max(1, form.decimals))


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
                + _swaged(bool(part.start) + bool(part.end)),
                len(part.holes),
            )
        case Board():
            return _with_holes(f"{part.section.name} board", len(part.holes))
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
            return f"self-drilling screw {part.name} x {say(part.length_mm)}"
        case ClampHalf():
            return f"half of a swivel coupler for tube of {say(part.tube_od_mm)} outside"
    raise TypeError(f"no words are known for a {type(part).__name__}")


def _swaged(ends: int) -> str:
    return ("", ", one end swaged", ", both ends swaged")[ends]


def _with_holes(text: str, holes: int) -> str:
    if not holes:
        return text
    return f"{text}, {holes} hole{'s' if holes > 1 else ''}"
