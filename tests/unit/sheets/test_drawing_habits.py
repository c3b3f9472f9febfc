"""Each habit that the judge holds a sheet to is missed on purpose once, and seen."""

from __future__ import annotations

import drawn_frames as drawn
import pytest
from drawing_judge import drawn_text, judge


@pytest.fixture
def doc():
    return drawn.document()


def rules(doc) -> set[str]:
    return {finding.rule for finding in judge(doc)}


def first_layout(doc):
    """The sheet after the cover, whose own view is not to scale, and the notes of make."""
    return doc.layout(doc.layout_names_in_taborder()[3])


def first_view(doc):
    return next(v for v in first_layout(doc).query("VIEWPORT") if v.dxf.id != 1)


def dimension_of(doc, text: str):
    return next(d for d in doc.modelspace().query("DIMENSION") if drawn_text(d) == text)


def field(doc, tag: str):
    insert = next(e for e in first_layout(doc).query("INSERT") if e.attribs)
    return next(a for a in insert.attribs if a.dxf.tag == tag)


def test_a_good_drawing_has_none(doc):
    assert rules(doc) == set()


def test_a_size_given_twice(doc):
    dimension = dimension_of(doc, "3050")
    doc.modelspace().add_entity(dimension.copy())
    assert "redundant size" in rules(doc)


def test_a_closed_chain_without_brackets(doc):
    dimension = dimension_of(doc, "(4900) boards")
    dimension.set_acad_dstyle({"dimpost": "<> boards"})
    assert "redundant size" in rules(doc)


def test_dimension_lines_too_near(doc):
    dimension = dimension_of(doc, "(4900) boards")
    other = dimension_of(doc, "3050")
    view = first_view(doc)
    three_mm = 3.0 * view.dxf.view_height / view.dxf.height
    place = other.dxf.defpoint
    dimension.dxf.defpoint = (place[0], place[1] - three_mm, 0)
    assert "crowded dimensions" in rules(doc)


def test_letters_too_small(doc):
    label = next(e for e in first_layout(doc).query("TEXT"))
    label.dxf.height = 1.5  # ISO 3098-1: not below 1.8 mm
    assert "small text" in rules(doc)


def test_a_text_on_its_head(doc):
    label = next(e for e in doc.modelspace().query("TEXT"))
    label.dxf.rotation = 180
    assert "upside down" in rules(doc)


def test_ink_on_no_layer_of_its_own(doc):
    next(iter(doc.modelspace().query("LINE"))).dxf.layer = "0"
    assert "stray layer" in rules(doc)


def test_a_view_on_a_view(doc):
    view = first_view(doc)
    first_layout(doc).add_entity(view.copy())
    assert "view on view" in rules(doc)


def test_a_scale_that_is_not_said(doc):
    first_view(doc).dxf.view_height *= 1.3
    assert "wrong scale" in rules(doc)


TITLE_FIELDS = (
    "OWNER", "TITLE", "DRAWN_BY", "APPROVED_BY", "DATE", "NUMBER", "KIND", "STATUS", "SCALE",
)  # fmt: skip


@pytest.mark.parametrize("tag", TITLE_FIELDS)
def test_an_empty_field_of_the_title_block(doc, tag):
    field(doc, tag).dxf.text = ""
    assert "empty field" in rules(doc)


def test_a_sheet_with_the_wrong_number(doc):
    field(doc, "SHEET").dxf.text = "7 / 9"
    assert "wrong number" in rules(doc)


def test_a_sheet_that_names_other_units(doc):
    field(doc, "DIMENSIONS").dxf.text = "feet and inches"
    assert "wrong units" in rules(doc)


def test_a_sheet_without_its_cautions(doc):
    layout = first_layout(doc)
    for label in list(layout.query("TEXT")):
        if "buried" in label.dxf.text:
            layout.delete_entity(label)
    assert "no cautions" in rules(doc)


def test_a_leader_that_points_at_nothing(doc):
    view = first_view(doc)
    left = view.dxf.view_center_point[0] - view.dxf.width * view.dxf.view_height / (
        2 * view.dxf.height
    )
    bottom = view.dxf.view_center_point[1] - view.dxf.view_height / 2
    step = view.dxf.view_height / view.dxf.height
    doc.modelspace().add_line(
        (left + 1 * step, bottom + 1 * step),
        (left + 2 * step, bottom + 2 * step),
        dxfattribs={"layer": "marks"},
    )
    assert "pointless leader" in rules(doc)


def test_an_empty_sheet(doc):
    layout = first_layout(doc)
    layout.delete_entity(first_view(doc))
    assert "empty sheet" in rules(doc)


def call_outs(doc, kind: str):
    return [e for e in doc.modelspace().query(kind) if e.dxf.layer == "call-outs"]


def test_a_call_out_of_a_detail_that_is_not_there(doc):
    first = call_outs(doc, "TEXT")[0]
    first.dxf.text = first.dxf.text.replace("Detail ", "Detail 9")
    assert "lost call-out" in rules(doc)


def test_a_call_out_that_names_another_sheet(doc):
    first = call_outs(doc, "TEXT")[0]
    first.dxf.text = first.dxf.text.partition("sheet ")[0] + "sheet 1"
    assert "lost call-out" in rules(doc)


def test_a_call_out_that_names_a_sheet_beyond_the_last(doc):
    first = call_outs(doc, "TEXT")[0]
    first.dxf.text = first.dxf.text.partition("sheet ")[0] + "sheet 999"
    assert "lost call-out" in rules(doc)


def test_a_call_out_round_nothing(doc):
    for circle in call_outs(doc, "CIRCLE"):
        doc.modelspace().delete_entity(circle)
    assert "lost call-out" in rules(doc)


def test_a_call_out_circle_through_a_text(doc):
    text, circle = call_outs(doc, "TEXT")[0], call_outs(doc, "CIRCLE")[0]
    circle.dxf.center = text.dxf.align_point
    assert "text on line" in rules(doc)


def test_a_detail_that_has_no_call_out_is_told(doc):
    """Of every frame that is drawn here: each detail is called out, or a finding names it."""
    sheets = drawn.sheets()
    said = [
        item.text
        for sheet in sheets.sheets
        for one in sheet.views
        for item in one.view.primitives
        if getattr(item, "layer", None)
        and item.layer.title == "call-outs"
        and hasattr(item, "text")
    ]
    titles = [one.view.title for sheet in sheets.sheets for one in sheet.views]
    numbers = {title.split(":")[0] for title in titles if title.startswith("Detail ")}
    told = " ".join(str(finding) for finding in sheets.findings)
    assert numbers
    for name in numbers:
        assert any(text.startswith(f"{name},") for text in said) or name.lower() in told
