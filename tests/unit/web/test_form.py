"""The form has every field of the design, once, with what the reader knows of it."""

from __future__ import annotations

import json
from collections import Counter

from frame3d.design.tables.fields import FieldKind
from frame3d.design.values.defaults import completed
from frame3d.design.values.field_info import sections
from frame3d.design.values.following import FOLLOWING
from frame3d.units import UnitSystem
from frame3d.web.form import form_of_a_design

WITHOUT_COMMA = ("groups",)
"""Lists of texts whose items have no comma; ``supply_group`` refuses one, which its test holds."""


def test_every_section_stands_in_one_group() -> None:
    form = form_of_a_design()
    placed = Counter(name for group in form["groups"] for name in group["sections"])
    assert placed == Counter(list(sections()))
    assert "More" not in [group["title"] for group in form["groups"]]
    assert json.loads(json.dumps(form, allow_nan=False)) == form


def test_every_field_is_there_with_its_default() -> None:
    form = form_of_a_design()
    for units in UnitSystem:
        filled = completed({"output": {"units": units.value}})
        for name, section in sections().items():
            shown = {field["name"]: field for field in form["sections"][name]["fields"]}
            assert list(shown) == list(section.fields)
            assert all(field["meaning"] and field["label"] for field in shown.values())
            if name in filled and isinstance(filled[name], dict):
                for field, value in filled[name].items():
                    if (name, field) == ("output", "units"):
                        continue  # given, to choose the others
                    if (name, field) in FOLLOWING:
                        # The page is told what it has become with each answer.
                        assert shown[field][units.value]["default"] is None
                        assert shown[field]["goes_by"]
                        continue
                    assert shown[field][units.value]["default"] == value, (name, field)


def test_lists_are_split_where_no_item_has_a_comma() -> None:
    """The page writes a list with commas between its items."""
    form = form_of_a_design()
    for section in form["sections"].values():
        for field in section["fields"]:
            if field["several"]:
                is_text = field["kind"] == FieldKind.TEXT.name.lower()
                assert not is_text or field["name"] in WITHOUT_COMMA
                for units in UnitSystem:
                    example = field[units.value]["default"] or field[units.value]["example"] or []
                    assert not any("," in str(item) for item in example)
