"""A door over its ground in words, the same to checks, sheets, guide and ``site``."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening, door_name
from frame3d.site.earthwork.end_walls import DoorGround
from frame3d.site.survey import Site

LOW_MM = 25.0
"""So much lower ground needs no answer (common practice, no source)."""
_MIDDLE_MM = 1.0
_NO_STEP_MM = 1.0


def struck_at(frame: Frame, under: DoorGround) -> str:
    """Where the highest ground lies that a leaf passes over; nothing on level ground."""
    if under.struck is None or frame.ground is None:
        return ""
    say, struck = lengths_of(frame).text, under.struck
    across = "in the middle of the tunnel"
    if abs(struck.x_mm) > _MIDDLE_MM:
        side = "left" if struck.x_mm < 0 else "right"
        across = f"{say(abs(struck.x_mm), unit=True)} {side} of the middle as seen from the front"
    way = "outside" if struck.out_mm >= 0 else "inside"
    return f" {say(abs(struck.out_mm), unit=True)} {way} the wall and {across}"


def clearance_of(frame: Frame, under: DoorGround) -> str:
    """What is clear under a leaf on its whole way; below 0 it is told by how much it strikes."""
    clear = under.clear_mm
    if clear is None:
        return ""
    text = lengths_of(frame).text(abs(clear), unit=True)
    return text if clear >= 0 else f"none: it strikes by {text}"


def door_sentences(site: Site, door: DoorOpening) -> Iterator[str]:
    """What is clear under the leaves and stays open under them, and steps; none on level ground."""
    frame, under = site.frame, site.under(door)
    if frame.ground is None:
        return
    say, name = lengths_of(frame).text, door_name(frame.doors, door)
    if under.clear_mm is not None:
        yield (
            f"Between a leaf of the {name} and the highest ground that it passes over"
            f"{struck_at(frame, under)}: {clearance_of(frame, under)}."
        )
    if under.gap_mm is not None:
        yield f"Under the shut {name}: up to {say(under.gap_mm, unit=True)} open."
    yield from step_sentences(site, door)


def step_sentences(site: Site, door: DoorOpening) -> Iterator[str]:
    """The step at a door; nothing on level ground, and where the ground is as high or higher."""
    frame, high = site.frame, max(site.under(door).steps_mm)
    if frame.ground is not None and high > _NO_STEP_MM:
        name = door_name(frame.doors, door)
        step = lengths_of(frame).text(high, unit=True)
        yield f"Step at the {name}, from the ground outside: up to {step}."


def door_answers(site: Site, under: DoorGround) -> Iterator[str]:
    """What is to be done about the ground at a door."""
    needed, clear = site.frame.design.clearance.leaf_ground, under.clear_mm
    name = door_name(site.frame.doors, under.door)
    if clear is not None and clear < needed - 0.01:
        text = lengths_of(site.frame).text(needed, unit=True)
        yield (
            f"{text} is needed under a leaf of the {name}. Dig the ground there away, or hang it "
            "higher."
        )
    if under.low_mm > LOW_MM:
        yield f"Fill the ground up to the {name}, and ramp it for wheels."
