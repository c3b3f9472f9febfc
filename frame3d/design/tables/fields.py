"""Kinds of field that a design is made of: lengths, angles, sections, choices.

A field knows its meaning, unit, range and default, and why the default is what
it is; the JSON schema, the commented design file and the messages come from here.

Glossary
--------
default pair : a default in feet and inches and another in metric; which one
    counts follows the units that the design asks for.
"""

import datetime
import enum
import json
import math
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic.config import JsonDict, JsonValue

from frame3d.catalog import timber_section, tube_section
from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.tables.letters import fault_of_text
from frame3d.errors import CatalogError, UnitError
from frame3d.units import parse_angle, parse_length


class DesignTable(BaseModel):
    """One table of a design file: frozen, and strict about names."""

    # Deferred: a table is built with the design that holds it, not by itself before that.
    model_config = ConfigDict(
        frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True
    )


class FieldKind(enum.Enum):
    """What a field holds; the value is how a user would call it."""

    LENGTH = "a length"
    RADIUS = 'a length, or "straight"'
    ANGLE = "an angle"
    POINT = "a point"
    PLACE = "a place on the plan"
    TUBE = "a tube"
    TIMBER = "a board"
    TEXT = "text"
    DATE = "a date"
    WHOLE = "a whole number"
    NUMBER = "a number"
    CHOICE = "a choice"


Table = dict[str, Any]
"""A table of a file, or a design by its sections: what is in it is for a model to say."""
Written = JsonValue | datetime.date | datetime.time | Sequence["Written"] | Mapping[str, "Written"]
"""A value as a file has it, TOML or JSON, before it has been looked at."""
_IN_NO_NAME = frozenset({"Cc", "Cs", "Zl", "Zp"})
_LONGEST_SHOWN = 60
_FARTHEST_MM = 2e6
"""How far from the tunnel a place on its plot may lie."""


def _length(value: Written) -> float:
    if isinstance(value, str):
        try:
            return parse_length(value)
        except UnitError as error:
            raise ValueError(str(error)) from None
    raise ValueError(_not(value, 'a length with its unit, such as "22 ft", "6 1/4 in", "5.5 m"'))


def _offset(value: Written) -> float:
    if isinstance(value, str):
        try:
            return parse_length(value, allow_negative=True)
        except UnitError as error:
            raise ValueError(str(error)) from None
    raise ValueError(_not(value, 'a length with its unit, such as "6 ft", "-1.2 m"'))


def _point(value: Written) -> tuple[float, float]:
    wanted = 'a point, across at height, such as "-0.6 m at 1.8 m"'
    parts = value.split(" at ") if isinstance(value, str) else []
    if len(parts) != 2:
        raise ValueError(_not(value, wanted))
    return _offset(parts[0]), _length(parts[1])


def _place(value: Written) -> tuple[float, float]:
    wanted = (
        "a place, across by along from the corner socket that is staked first, such as "
        '"-12 ft by 40 ft"'
    )
    parts = value.split(" by ") if isinstance(value, str) else []
    if len(parts) != 2:
        raise ValueError(_not(value, wanted))
    across, along = (_offset(part) for part in parts)
    if max(abs(across), abs(along)) > _FARTHEST_MM:
        raise ValueError(f"got {shown(value)}; it must lie within 2 km (6560 ft) of the tunnel")
    return across, along


def _angle(value: Written) -> float:
    if isinstance(value, str):
        try:
            return parse_angle(value)
        except UnitError as error:
            raise ValueError(str(error)) from None
    raise ValueError(_not(value, 'an angle with its unit, such as "3 deg"'))


def _not(value: Written, wanted: str) -> str:
    return f"got {shown(value)}; it must be {wanted}, in quotes"


def shown(value: Written) -> str:
    """A value as it stands in a design file, shortened to about 60 characters."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        # A lone surrogate cannot be printed; it stands as an escape, as json has it.
        text = json.dumps(value, ensure_ascii=False)
        text = text.encode("utf-8", "backslashreplace").decode("utf-8")
        return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 4] + '..."'
    if isinstance(value, int) and value.bit_length() > 64:
        return "a number of more than 19 digits"
    if isinstance(value, (int, float)):
        return str(value)
    if isinstance(value, (datetime.date, datetime.time)):
        return f"the date or time {value.isoformat()}"
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}" if value else "an empty list"
    return "nothing" if value is None else f"a {type(value).__name__}"


def _text(value: Written) -> str:
    if not isinstance(value, str):
        raise ValueError(_not(value, "text"))
    if fault := fault_of_text(value):
        raise ValueError(f"got {shown(value)}; {fault}")
    return value.strip()


def _file_name(value: Written) -> str:
    """A name that no sheet shows, so it may have any letter that the disk has."""
    if not isinstance(value, str):
        raise ValueError(_not(value, "text"))
    if any(unicodedata.category(letter) in _IN_NO_NAME for letter in value):
        raise ValueError(
            f"got {shown(value)}; a file name cannot have line breaks, tabs or control "
            "characters; remove them"
        )
    return value.strip()


def _date(value: Written) -> str:
    wanted = 'a date such as "2024-03-31" (year-month-day), or "-" for none'
    if not isinstance(value, str):
        raise ValueError(_not(value, wanted))
    if value == "-":
        return value
    try:
        day = datetime.date.fromisoformat(value)
    except ValueError:
        raise ValueError(f"got {shown(value)}; it must be {wanted}") from None
    return day.isoformat()


def _whole(value: Written) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    raise ValueError(f"got {shown(value)}; it must be a whole number such as 4, without quotes")


def _number(value: Written) -> float:
    if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() <= 64:
        return float(value)
    if isinstance(value, float) and math.isfinite(value):
        return value
    raise ValueError(f"got {shown(value)}; it must be a number such as 0.5, without quotes")


def _radius(value: Written) -> float:
    if isinstance(value, str) and value.strip().lower() == "straight":
        return float("inf")
    return _length(value)


def _tube(value: Written | TubeSection) -> TubeSection:
    if isinstance(value, TubeSection):
        return value
    if isinstance(value, str):
        try:
            return tube_section(value)
        except CatalogError as error:
            raise ValueError(str(error.args[0])) from None
    return _section_by_numbers(value)


def _section_by_numbers(value: Written) -> TubeSection:
    wanted = (
        'a name from the catalogue, such as "NPS 1-1/2 STD", or '
        '{ outside = "42.4 mm", wall = "3.2 mm" }'
    )
    if not isinstance(value, dict) or set(value) - {"outside", "wall", "name"}:
        raise ValueError(f"got {shown(value)}; it must be {wanted}")
    missing = [key for key in ("outside", "wall") if key not in value]
    if missing:
        raise ValueError(f"{' and '.join(missing)} missing; it must be {wanted}")
    outside, wall = (_of_table(value, key) for key in ("outside", "wall"))
    if not 10 <= outside <= 400:
        raise ValueError(
            f"outside {value['outside']} is not between 10 mm and 400 mm (0.4 in and 15.7 in)"
        )
    if not 0.5 <= wall < outside / 2 - 1:
        raise ValueError(
            f"wall {value['wall']} must be at least 0.5 mm (0.02 in) and leave a bore of at "
            f"least 2 mm (0.08 in) in a tube of {value['outside']}"
        )
    written = [" ".join(str(value[key]).split()) for key in ("outside", "wall")]
    name = _text(value.get("name", f"tube {' x '.join(written)}"))
    if "name" in value and not 1 <= len(name) <= 40:
        raise ValueError(f"name {shown(name)} must be text of 1 to 40 characters")
    return TubeSection(name=name, od_mm=outside, wall_mm=wall)


def _of_table(table: Mapping[str, Written], key: str) -> float:
    try:
        return _length(table[key])
    except ValueError as error:
        raise ValueError(f"{key}: {error}") from None


def _timber(value: Written | TimberSection) -> TimberSection:
    if isinstance(value, TimberSection):
        return value
    if isinstance(value, str):
        try:
            return timber_section(value)
        except CatalogError as error:
            raise ValueError(str(error.args[0])) from None
    wanted = (
        'a name from the catalogue, such as "2x8", or { thickness = "47 mm", depth = "200 mm" }'
    )
    if not isinstance(value, dict) or set(value) != {"thickness", "depth"}:
        raise ValueError(f"got {shown(value)}; it must be {wanted}")
    thickness, depth = (_of_table(value, key) for key in ("thickness", "depth"))
    if not (10 <= thickness <= 150 and thickness <= depth <= 500):
        raise ValueError(
            "thickness must be 10 mm to 150 mm and depth at least the thickness and at most 500 mm"
        )
    return TimberSection(
        name="board " + " x ".join(" ".join(str(value[k]).split()) for k in ("thickness", "depth")),
        thickness_mm=thickness,
        depth_mm=depth,
    )


LengthMm = Annotated[float, FieldKind.LENGTH, BeforeValidator(_length, json_schema_input_type=str)]
OffsetMm = Annotated[float, FieldKind.LENGTH, BeforeValidator(_offset, json_schema_input_type=str)]
"""A length to either side: a minus sign is allowed."""
PointMm = Annotated[
    tuple[float, float], FieldKind.POINT, BeforeValidator(_point, json_schema_input_type=str)
]
"""A point seen along the tunnel: across (left with a minus sign) at a height."""
PlaceMm = Annotated[
    tuple[float, float], FieldKind.PLACE, BeforeValidator(_place, json_schema_input_type=str)
]
"""A place on the ground in the axes of the site: across to the right, and along the tunnel."""
RadiusMm = Annotated[float, FieldKind.RADIUS, BeforeValidator(_radius, json_schema_input_type=str)]
AngleRad = Annotated[float, FieldKind.ANGLE, BeforeValidator(_angle, json_schema_input_type=str)]
Tube = Annotated[
    TubeSection, FieldKind.TUBE, BeforeValidator(_tube, json_schema_input_type=str | dict[str, str])
]
Timber = Annotated[
    TimberSection,
    FieldKind.TIMBER,
    BeforeValidator(_timber, json_schema_input_type=str | dict[str, str]),
]
# Numbers, text and dates are strict: pydantic would take "24" for 24 and true for 1.
Text = Annotated[str, FieldKind.TEXT, BeforeValidator(_text, json_schema_input_type=str)]
FileName = Annotated[str, FieldKind.TEXT, BeforeValidator(_file_name, json_schema_input_type=str)]
Date = Annotated[str, FieldKind.DATE, BeforeValidator(_date, json_schema_input_type=str)]
WHOLE_ONLY = BeforeValidator(_whole, json_schema_input_type=int)
"""For a choice of numbers, in which pydantic would take true for 1 and 2.0 for 2."""
Whole = Annotated[int, FieldKind.WHOLE, WHOLE_ONLY]
Number = Annotated[float, FieldKind.NUMBER, BeforeValidator(_number, json_schema_input_type=float)]


read_length, read_tube, read_timber = _length, _tube, _timber
"""What a field of that kind reads; ValueError with the message of the fault."""


def field(
    meaning: str,
    *,
    imperial: JsonValue = None,
    metric: JsonValue = None,
    default: JsonValue = None,
    why: str = "",
    optional: bool = False,
    **limits: Any,  # each of the type that pydantic takes
) -> Any:  # as pydantic has it: the default of a field of any type
    """A field of a design.

    Parameters
    ----------
    meaning : str
        What it is, in one sentence without jargon.
    imperial, metric : str, optional
        The default pair, as a user would write it.
    default : optional
        A default that does not depend on the units.
    why : str
        Why the default is what it is, or its source.
    optional : bool
        True when the field may be left out and then has no value.
    **limits
        ``ge``, ``gt``, ``le``, ``lt``, ``min_length``, ``max_length`` as pydantic takes them.
    """
    extra: JsonDict = {"why": why}
    if imperial is not None:
        extra["imperial"], extra["metric"] = imperial, metric
    elif default is not None:
        extra["imperial"] = extra["metric"] = default
    return Field(
        None if optional else ...,
        description=meaning,
        json_schema_extra=extra,
        **limits,
    )
