"""The JSON schema of a design file, with which editors complete and check it.

It describes the file, not the model: fields that have a default may be left out,
there is no null, and limits of lengths, which are text in a file, are told in words.
"""

from __future__ import annotations

import json

from frame3d.design.reading.faults import allowed, described
from frame3d.design.reading.formats import FORMAT, FORMAT_FIELD
from frame3d.design.tables.fields import FieldKind, Table, Written
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import FOLLOWING
from frame3d.units import UnitSystem

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_FORMAT: Table = {
    "type": "integer",
    "minimum": 1,
    "maximum": FORMAT,
    "default": 1,
    "description": "Format of the file; it tells which defaults it was written with.",
}
_NOT_OF_THE_FILE = (
    "default", "why", "imperial", "metric", "ge", "gt", "le", "lt", "minimum", "maximum",
    "exclusiveMinimum", "exclusiveMaximum",
)  # fmt: skip
"""What pydantic writes of the model that a file has otherwise: numbers where it has text."""


def json_schema() -> Table:
    """The schema of a design file, JSON Schema draft 2020-12."""
    schema = Design.model_json_schema(mode="validation")
    definitions = schema["$defs"]
    for section in sections().values():
        definition = definitions[section.model.__name__]
        definition.pop("required", None)
        definition["description"] = section.meaning
        for name, facts in section.fields.items():
            definition["properties"][name] = _property(
                definition["properties"][name], facts, section.name
            )
        schema["properties"][section.name] = _section(section)
    schema["required"] = [section.name for section in sections().values() if section.needed]
    schema["properties"] = {FORMAT_FIELD: _FORMAT, **schema["properties"]}
    return {"$schema": DIALECT, **schema}


def schema_of(section: str, name: str | None = None) -> Table:
    """The part of the schema for one table, or for one of its fields; it stands by itself."""
    whole = json_schema()
    definition = whole["$defs"][sections()[section].model.__name__]
    part = definition if name is None else definition["properties"][name]
    return {"$schema": DIALECT, **part, "$defs": _named_in(part, whole["$defs"])}


def _named_in(part: Table, definitions: Table) -> Table:
    """The definitions that a part refers to, and those that these refer to."""
    found: Table = {}
    waiting: list[Written] = [part]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict):
            name = str(node.get("$ref", "")).removeprefix("#/$defs/")
            if name and name not in found:
                found[name] = definitions[name]
                waiting.append(found[name])
            waiting += node.values()
        elif isinstance(node, list):
            waiting += node
    return found


def _section(section: TableInfo) -> Table:
    reference = {"$ref": f"#/$defs/{section.model.__name__}"}
    if not section.several:
        return reference
    return {"type": "array", "items": reference, "maxItems": section.most}


def _property(found: Table, facts: FieldFacts, section: str) -> Table:
    """One field: what pydantic says of it, less what is true of the model only."""
    result = {key: value for key, value in found.items() if key not in _NOT_OF_THE_FILE}
    variants = [v for v in result.pop("anyOf", []) if v.get("type") != "null"]
    if len(variants) == 1:
        variant = {k: v for k, v in variants[0].items() if k not in _NOT_OF_THE_FILE}
        result = {**variant, **result}
    elif variants:
        result["anyOf"] = variants
    if "items" in result:
        items = result["items"].items()
        result["items"] = {k: v for k, v in items if k not in _NOT_OF_THE_FILE}
    if facts.kind in (FieldKind.WHOLE, FieldKind.NUMBER):
        result |= _limits(facts)
    if facts.choices and "type" in result and not facts.several:
        result["enum"] = list(facts.choices)
    result["description"] = " ".join(_told(facts, section))
    if facts.imperial is not None and facts.imperial == facts.metric:
        result["default"] = facts.imperial
    return result


def _limits(facts: FieldFacts) -> dict[str, float]:
    low = "minimum" if facts.low_itself else "exclusiveMinimum"
    high = "maximum" if facts.high_itself else "exclusiveMaximum"
    limits = {low: facts.low, high: facts.high}
    return {name: value for name, value in limits.items() if value is not None}


def _told(facts: FieldFacts, section: str) -> list[str]:
    told = [f"{facts.meaning.removesuffix('.')}."]
    if facts.low is not None or facts.high is not None:
        text = described(facts, UnitSystem.METRIC)
        other = allowed(facts, UnitSystem.IMPERIAL).removeprefix("it must be ")
        told.append(f"{text[:1].upper()}{text[1:]}{'' if other in text else f' or {other}'}.")
    why = facts.why
    if facts.imperial is not None:
        default = json.dumps(facts.imperial, ensure_ascii=False)
        if facts.imperial != facts.metric:
            default = f"{facts.imperial} (imperial) or {facts.metric} (metric)"
        why = f"default {default}{': ' if why else ''}{why}"
    if why:
        told.append(f"{why[:1].upper()}{why[1:]}.")
    if (section, facts.name) in FOLLOWING:
        told.append(f"Default: follows {FOLLOWING[section, facts.name].goes_by}.")
    return told
