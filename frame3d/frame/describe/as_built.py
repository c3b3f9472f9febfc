"""What outputs say of a frame as it was driven: the mark, and its bays, which differ."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame


def as_built_mark(frame: Frame) -> str:
    """What title blocks say of a frame whose tops were measured, with the day; else nothing."""
    if frame.survey is None or not frame.survey.tops:
        return ""
    day = frame.design.staking.built_on
    return "AS BUILT" if day == "-" else f"AS BUILT {day}"


def model_name(frame: Frame) -> str:
    """What the whole of it is called in a model file."""
    return f"frame {as_built_mark(frame)}".rstrip()


def titled(frame: Frame) -> str:
    """The name of the project, with the mark where it is as built."""
    mark = as_built_mark(frame)
    return f"{frame.design.project.name}, {mark}" if mark else frame.design.project.name


def bay_text(frame: Frame) -> str:
    """The width of the bays; the least and the most where they differ as driven."""
    form, bays = lengths_of(frame), frame.grid.bays_mm
    ends = (frame.grid.spacing_mm,) if not frame.grid.driven_mm else (min(bays), max(bays))
    return " to ".join(dict.fromkeys(form.text(one, unit=True) for one in ends))
