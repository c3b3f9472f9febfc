"""Designs with other values in some fields, as an option of the command line gives them."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.errors import DesignFaults, Fault

if TYPE_CHECKING:
    from frame3d.design.tables.fields import Written
    from frame3d.design.tables.whole_design import Design

_OPTION = "--try"


def tried_design(path: Path, text: str) -> Design:
    """The design in a file with the values in ``text``, ``order.bolt_pack=25; hoop.pieces=2``.

    Values are written as in a design file; what is no value of TOML is a text, and an empty one
    leaves the field out.

    Raises
    ------
    DesignFaults
        If there is no such field, or the design with these values has faults.
    """
    from frame3d.design.reading.reader import design_from_mapping
    from frame3d.design.reading.syntax import parsed, read_text
    from frame3d.studies.plan.variants import changed

    values = dict(_pairs(text))
    try:
        mapping = changed(parsed(read_text(path), path.name), values)
    except (LookupError, TypeError, ValueError):
        raise _fault(
            text, f"{' or '.join(values)} is not there; write a field as hoop.pieces, and one of "
            "several sections as rail[2].height"
        ) from None  # fmt: skip
    return design_from_mapping(mapping, _source(text), path.parent)


def _pairs(text: str) -> list[tuple[str, Written]]:
    from frame3d.studies.plan.whole_plan import LEFT_OUT

    found: list[tuple[str, Written]] = []
    for pair in filter(None, (part.strip() for part in text.split(";"))):
        field, equals, value = (part.strip() for part in pair.partition("="))
        if not equals or not field:
            raise _fault(text, "it must be FIELD=VALUE, such as order.bolt_pack=25; several are "
                               "parted by semicolons")  # fmt: skip
        given = _in_list(field, _value(value)) if value else LEFT_OUT
        found.append((field, given))
    if not found:
        raise _fault(text, "it is empty; give FIELD=VALUE, such as order.bolt_pack=25")
    return found


def _value(text: str) -> Written:
    try:
        value: Written = tomllib.loads(f"value = {text}")["value"]
    except tomllib.TOMLDecodeError:
        return text
    return value


def _in_list(field: str, value: Written) -> Written:
    """One value for a field that holds a list is a list of it."""
    from frame3d.design.reading.faults import path_of
    from frame3d.design.values.field_info import sections

    path = path_of(field)
    table = sections().get(str(path[0])) if path else None
    facts = table.fields.get(str(path[-1])) if table else None
    return [value] if facts and facts.several and not isinstance(value, list) else value


def _source(text: str) -> str:
    return f'{_OPTION} "{text}"'


def _fault(text: str, message: str) -> DesignFaults:
    return DesignFaults([Fault(where="", message=message)], _source(text))
