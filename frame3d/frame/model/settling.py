"""Defaults that only the layout can tell the right value of give way to what it finds.

How high a tie or a door can be, and how long a piece of a hoop is, follows from the whole shape. A
default that does not fit takes what does, and the frame is laid out again.
"""

from __future__ import annotations

import math
import re

from frame3d.design.reading.reader import is_left_out
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.field_info import sections
from frame3d.errors import DesignError
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import MM_PER_INCH, UnitSystem

MOST_TRIES = 40
_PLACE = re.compile(r"(\w+)\[(\d+)\]\.(\w+)")


def settled(design: Design, error: DesignError) -> Design | None:
    """The design with another value for the default that ``error`` is due to.

    None if the value was given, or if there is no other.
    """
    if error.instead is None or not is_left_out(design, error.instead[0]):
        return None
    where, value = error.instead
    place = _PLACE.fullmatch(where)
    if place is None:
        raise ValueError(f"{where} is not a field of a repeated section")
    section, number, name = place[1], int(place[2]) - 1, place[3]
    tables = list(getattr(design, section))
    if getattr(tables[number], name) == value:
        return None
    tables[number] = tables[number].model_copy(update={name: value})
    return design.model_copy(update={section: tuple(tables)})


def with_more_pieces(frame: Frame) -> Design | None:
    """The design with more pieces in a hoop, or None.

    None where they were given, or come out of the tube that can be bought, or there are as many
    as there may be.
    """
    design = frame.design
    longest = max(member.part.length_mm for member in frame.of_kind(Tube, Role.HOOP))
    if longest <= design.practice.hoop_stock or not is_left_out(design, "hoop.pieces"):
        return None
    more = 2 if frame.arch.style is ArchStyle.GOTHIC else 1
    pieces = design.hoop.pieces + more
    most = sections()["hoop"].fields["pieces"].high
    if most is not None and pieces > most:
        return None
    return design.model_copy(update={"hoop": design.hoop.model_copy(update={"pieces": pieces})})


def rounded_down(length_mm: float, units: UnitSystem) -> float:
    """A length in whole inches or centimetres, mm."""
    step = MM_PER_INCH if units is UnitSystem.IMPERIAL else 10.0
    # As it is read where somebody types it: 78 in are 1981.2 mm, not 78 times 25.4 as a computer
    # has it.
    return round(step * math.floor(length_mm / step + 1e-9), 6)
