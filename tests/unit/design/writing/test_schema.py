"""The schema for editors agrees with what the reader accepts."""

from __future__ import annotations

import json

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.field_info import sections
from frame3d.design.writing.schema import json_schema
from frame3d.errors import DesignFaults

SCHEMA = json_schema()


def properties(section):
    return SCHEMA["$defs"][section.model.__name__]["properties"]


def test_it_is_json():
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA


def test_every_section_and_field_is_there_and_no_other_is_allowed():
    assert list(SCHEMA["properties"]) == ["format", *sections()]
    assert SCHEMA["additionalProperties"] is False
    for section in sections().values():
        definition = SCHEMA["$defs"][section.model.__name__]
        assert list(definition["properties"]) == list(section.fields)
        assert definition["additionalProperties"] is False


def test_only_what_must_be_given_is_required():
    assert SCHEMA["required"] == ["profile", "bays"]
    assert not any("required" in definition for definition in SCHEMA["$defs"].values())


def test_several_tables_are_lists():
    assert SCHEMA["properties"]["rail"]["type"] == "array"
    assert SCHEMA["properties"]["hoop"] == {"$ref": "#/$defs/Hoop"}


def test_every_reference_leads_somewhere():
    found = []

    def walk(node):
        if isinstance(node, dict):
            found.extend([node["$ref"]] if "$ref" in node else [])
            node = list(node.values())
        for child in node if isinstance(node, list) else []:
            walk(child)

    walk(SCHEMA)
    assert found
    for reference in found:
        assert reference.removeprefix("#/$defs/") in SCHEMA["$defs"]


def test_lengths_are_text_without_numeric_limits():
    """JSON Schema 2020-12 (validation, 6.2): minimum and maximum are for numbers only."""
    width = properties(sections()["profile"])["width"]
    assert width["type"] == "string"
    assert not {"minimum", "maximum", "ge", "le"} & set(width)
    assert "between 1000 mm and 30 m" in width["description"]


@pytest.mark.parametrize(
    ("field", "most", "limits"),
    [
        ("positions", 60, "-15 m and 15 m or between -49'-2\" and 49'-2\""),
        ("girts", 12, '50 mm and 20 m or between 2" and 65\'-7"'),
    ],
)
def test_lists_of_lengths_are_lists_of_text(field, most, limits):
    told = properties(sections()["end_wall"])[field]
    assert told["items"] == {"type": "string"}
    assert (told["type"], told["maxItems"], told["default"]) == ("array", most, [])
    assert f"A list of at most {most}, each a length, between {limits}. " in told["description"]
    assert "Default []: " in told["description"]


def test_a_choice_of_numbers_is_told():
    assert properties(sections()["tie"])["webs"]["enum"] == [0, 2]
    assert properties(sections()["door"])["leaves"]["enum"] == [1, 2]
    assert properties(sections()["output"])["fraction"]["enum"] == [2, 4, 8, 16, 32, 64]


def test_no_field_is_told_what_only_the_model_has():
    for section in sections().values():
        for found in properties(section).values():
            for node in (found, found.get("items", {}), *found.get("anyOf", [])):
                assert not {"ge", "le", "gt", "lt", "why", "imperial", "metric"} & set(node)
                assert node.get("type") != "null"
                assert not ({"minimum", "maximum"} & set(node) and node["type"] == "string")


@pytest.mark.parametrize(
    ("section", "field"),
    [
        ("tie", "every"), ("tie", "web_foot"), ("hoop", "pieces"), ("hoop", "smallest_bend"),
        ("brace", "to_hoop"),
    ],
)  # fmt: skip
def test_limits_of_numbers_are_those_of_the_reader(section, field):
    told = properties(sections()[section])[field]
    base = {"profile": {"width": "20 ft"}, "bays": {"count": 3}}
    for value, good in ((told["minimum"], True), (told["maximum"], True),
                        (told["minimum"] - 1, False), (told["maximum"] + 1, False)):  # fmt: skip
        table = {field: value}
        mapping = base | {section: [table] if sections()[section].several else table}
        if good:
            design_from_mapping(mapping)
        else:
            with pytest.raises(DesignFaults, match=f"{field}: got {value}; it must be between"):
                design_from_mapping(mapping)


def test_choices_are_those_of_the_reader():
    style = properties(sections()["profile"])["style"]
    choices = SCHEMA["$defs"][style["$ref"].removeprefix("#/$defs/")]["enum"]
    assert set(choices) == {"gothic", "quonset"}
