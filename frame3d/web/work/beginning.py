"""A design to begin with: a typical one, answered, with a door that has room where it can."""

from __future__ import annotations

import tomllib

from frame3d.design.tables.fields import Table
from frame3d.design.writing.answers import Answers, Drives, Sides, answered, with_small_doors
from frame3d.design.writing.editing import edited_text
from frame3d.errors import DesignFaults
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.web.work.read_designs import frame_of

QUESTIONS = ("width", "length", "style", "drives", "sides")


def begun_text(text: str, given: dict[str, str]) -> str:
    """The typical design ``text`` with these answers; a question that is left out stays as it is.

    Where the hoop leaves no room for a door, it becomes a small one, and the checks tell what
    does not pass it. Anything else that is wrong is told as in any design.
    """
    answers = Answers(
        width=given.get("width"),
        length=given.get("length"),
        style=ArchStyle(given["style"]) if "style" in given else None,
        drives=Drives(given["drives"]) if "drives" in given else None,
        sides=Sides(given["sides"]) if "sides" in given else None,
    )
    wanted: Table = answered(tomllib.loads(text), answers)
    begun = edited_text(text, wanted)
    try:
        frame_of(begun)
    except DesignFaults as error:
        if any(fault.where.startswith("door") for fault in error.faults):
            return edited_text(text, with_small_doors(wanted))
    return begun
