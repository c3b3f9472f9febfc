"""A design from outside: read, with its faults as JSON, and never with a file that it names.

Its lists are those that came with it; those that it names and that did not come are missing, and
the set says so.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Iterable, Iterator

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.reading.reader import design_from_text
from frame3d.design.tables.fields import FieldKind
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.field_info import FieldFacts, sections
from frame3d.design.values.following import FOLLOWING
from frame3d.errors import DesignFaults, Fault
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.frame_set import FrameSet, frame_set_of, lists_of, surveyed
from frame3d.site.survey import SURVEYS
from frame3d.units import LengthFormat
from frame3d.units.data_tables import Json
from frame3d.web.requests.given import given_from, list_faults

NAME = "design"
_SECTIONS = (FieldKind.TUBE, FieldKind.TIMBER)
_KEPT = 4
_kept: OrderedDict[str, Frame] = OrderedDict()
_KEPT_SETS = 6
_sets: OrderedDict[tuple[str, str], FrameSet] = OrderedDict()


def frame_of(text: str) -> Frame:
    """The frame that a design describes; it is kept until :func:`forget_old`.

    Raises
    ------
    DesignFaults
        With all faults of the design.
    """
    if text in _kept:
        _kept.move_to_end(text)
        return _kept[text]
    frame = laid_out(design_from_text(text, NAME))
    _kept[text] = frame
    return frame


def frame_on_ground(text: str, lists: str) -> Frame:
    """The frame that a design describes, on the ground of the survey that came with it.

    Lists with faults are left out: whoever looks for findings tells these.

    Raises
    ------
    DesignFaults
        With all faults of the design.
    """
    frame, given = frame_of(text), given_from(lists)
    if not given.keys() & set(SURVEYS):
        return frame
    key = f"{text}\0{lists}"
    if key not in _kept:
        wrong = list_faults(frame, given)
        sound = {what: one for what, one in given.items() if what not in wrong}
        _kept[key] = surveyed(frame, sound)
    _kept.move_to_end(key)
    return _kept[key]


def forget_old() -> None:
    """Keep only the last few frames; done between answers, as it takes time to free one."""
    while len(_kept) > _KEPT:
        _kept.popitem(last=False)


def set_of(text: str, lists: str) -> FrameSet:
    """The set of a design with the lists that came with it; no file that it names is opened.

    The last few are kept: drawings and cost ask for the same, and its cutting plans take seconds.

    Raises
    ------
    DesignFaults
        With all faults of the design, or of a list.
    """
    key = text, lists
    if key not in _sets:
        given = given_from(lists)
        frame = surveyed(frame_of(text), given)
        _sets[key] = frame_set_of(frame, lists_of(frame, given))
    _sets.move_to_end(key)
    while len(_sets) > _KEPT_SETS:
        _sets.popitem(last=False)
    return _sets[key]


def fault_rows(error: DesignFaults) -> list[dict[str, Json]]:
    """The faults for the page: where, line, message."""
    return [_row(fault) for fault in error.faults]


def _row(fault: Fault) -> dict[str, Json]:
    return {"where": fault.where, "line": fault.line, "message": fault.message}


def readings(design: Design, form: LengthFormat) -> dict[str, str]:
    """Every length and angle of the design as the program has read it, in its own units.

    Returns
    -------
    dict
        By the place of the field, such as ``rail[2].height``.
    """
    return {
        place: text
        for place, facts, value in _fields_of(design)
        if (text := _reading(facts, value, form))
    }


def followed(design: Design, form: LengthFormat) -> dict[str, str]:
    """What defaults that follow other fields have become, by place, as it could be typed."""
    found = {}
    for place, facts, value in _fields_of(design):
        section = place.partition(".")[0].partition("[")[0]
        if (section, facts.name) in FOLLOWING and value is not None:
            plain = getattr(value, "name" if facts.kind in _SECTIONS else "value", value)
            found[place] = plain if isinstance(plain, str) else _reading(facts, value, form)
            found[place] = found[place] or str(plain)
    return found


Read = str | int | float | TubeSection | TimberSection | tuple["Read", ...] | None
"""The value of a field after reading."""


def _fields_of(design: Design) -> Iterator[tuple[str, FieldFacts, Read]]:
    """Every field of every table that the design has: its place, what it is, its value."""
    for section in sections().values():
        value = getattr(design, section.name)
        tables = value if section.several else [] if value is None else [value]
        for number, table in enumerate(tables, start=1):
            start = f"{section.name}[{number}]" if section.several else section.name
            for facts in section.fields.values():
                yield f"{start}.{facts.name}", facts, getattr(table, facts.name)


def _reading(facts: FieldFacts, value: Read, form: LengthFormat) -> str:
    if facts.several and isinstance(value, tuple):
        return _listed(_reading_of_one(facts.kind, item, form) for item in value)
    return _reading_of_one(facts.kind, value, form)


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(text for text in texts if text)


def _reading_of_one(kind: FieldKind, value: Read, form: LengthFormat) -> str:
    match kind, value:
        case (FieldKind.LENGTH | FieldKind.RADIUS, float(length)):
            return form.text(length, unit=True) if math.isfinite(length) else "straight"
        case (FieldKind.ANGLE, float(angle)):
            return form.angle(angle)
        case (FieldKind.POINT, (float(across), float(up))):
            return f"{form.text(across, unit=True)} at {form.text(up, unit=True)}"
        case (FieldKind.PLACE, (float(across), float(along))):
            return f"{form.text(across, unit=True)} by {form.text(along, unit=True)}"
        case (FieldKind.TUBE, TubeSection(name=name, od_mm=od_mm)):
            return f"{name}: {form.text(od_mm, unit=True)} outside"
    return ""
