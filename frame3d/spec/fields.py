"""Kinds of field that a design is made of: lengths, angles, sections, choices.

A field knows its meaning, unit, range and default, and why the default is what
it is; the JSON schema, the commented design file and the messages come from here.

Glossary
--------
default pair : a default in feet and inches and another in metric; which one
    counts follows the units that the design asks for.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from frame3d.catalog import timber_section, tube_section
from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.errors import CatalogError, UnitError
from frame3d.units import parse_angle, parse_length


class Part(BaseModel):
    """One table of a design file: frozen, and strict about names."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


def _length(value: Any) -> float:
    if isinstance(value, str):
        try:
            return parse_length(value)
        except UnitError as error:
            raise ValueError(str(error)) from None
    raise ValueError(_no_text(value, 'a length with its unit, such as "22 ft", "6 1/4 in", "5.5 m"'))


def _angle(value: Any) -> float:
    if isinstance(value, str):
        try:
            return parse_angle(value)
        except UnitError as error:
            raise ValueError(str(error)) from None
    raise ValueError(_no_text(value, 'an angle with its unit in quotes, such as "3 deg"'))


def _no_text(value: Any, wanted: str) -> str:
    return f"got {_shown(value)}; it must be {wanted}, in quotes"


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _radius(value: Any) -> float:
    if isinstance(value, str) and value.strip().lower() == "straight":
        return float("inf")
    return _length(value)


def _tube(value: Any) -> TubeSection:
    if isinstance(value, TubeSection):
        return value
    if isinstance(value, str):
        try:
            return tube_section(value)
        except CatalogError as error:
            raise ValueError(str(error.args[0])) from None
    return _section_by_numbers(value)


def _section_by_numbers(value: Any) -> TubeSection:
    wanted = (
        'a name from the catalogue, such as "NPS 1-1/2 STD", or '
        '{ outside = "42.4 mm", wall = "3.2 mm" }'
    )
    if not isinstance(value, dict) or set(value) - {"outside", "wall", "name"}:
        raise ValueError(f"got {_shown(value)}; it must be {wanted}")
    missing = [key for key in ("outside", "wall") if key not in value]
    if missing:
        raise ValueError(f"{' and '.join(missing)} missing; it must be {wanted}")
    outside, wall = _length(value["outside"]), _length(value["wall"])
    if not 10 <= outside <= 400:
        raise ValueError(f"outside {value['outside']} is not between 10 mm and 400 mm")
    if not 0.5 <= wall < outside / 2 - 1:
        raise ValueError(
            f"wall {value['wall']} must be at least 0.5 mm and leave a bore of at least 2 mm "
            f"in a tube of {value['outside']}"
        )
    name = value.get("name", f"tube {value['outside']} x {value['wall']}")
    if not isinstance(name, str) or not 1 <= len(name) <= 40:
        raise ValueError(f"name {_shown(name)} must be text of 1 to 40 characters")
    return TubeSection(name=name, od_mm=outside, wall_mm=wall)


def _timber(value: Any) -> TimberSection:
    if isinstance(value, TimberSection):
        return value
    if isinstance(value, str):
        try:
            return timber_section(value)
        except CatalogError as error:
            raise ValueError(str(error.args[0])) from None
    wanted = 'a name from the catalogue, such as "2x8", or { thickness = "47 mm", depth = "200 mm" }'
    if not isinstance(value, dict) or set(value) != {"thickness", "depth"}:
        raise ValueError(f"got {_shown(value)}; it must be {wanted}")
    thickness, depth = _length(value["thickness"]), _length(value["depth"])
    if not (10 <= thickness <= 150 and thickness <= depth <= 500):
        raise ValueError(
            "thickness must be 10 mm to 150 mm and depth at least the thickness and at most 500 mm"
        )
    return TimberSection(
        name=f"board {value['thickness']} x {value['depth']}",
        thickness_mm=thickness,
        depth_mm=depth,
    )


LengthMm = Annotated[float, BeforeValidator(_length, json_schema_input_type=str)]
RadiusMm = Annotated[float, BeforeValidator(_radius, json_schema_input_type=str)]
AngleRad = Annotated[float, BeforeValidator(_angle, json_schema_input_type=str)]
Tube = Annotated[TubeSection, BeforeValidator(_tube, json_schema_input_type=str | dict)]
Timber = Annotated[TimberSection, BeforeValidator(_timber, json_schema_input_type=str | dict)]


def field(
    meaning: str,
    *,
    imperial: Any = None,
    metric: Any = None,
    default: Any = None,
    why: str = "",
    optional: bool = False,
    **limits: Any,
) -> Any:
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
    extra: dict[str, Any] = {"why": why}
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
