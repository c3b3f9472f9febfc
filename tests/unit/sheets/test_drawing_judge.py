"""The judge finds nothing wrong with a good drawing, and everything that is spoilt on purpose."""

from __future__ import annotations

import drawn_frames as drawn
import pytest
from drawing_judge import drawn_text, judge, value_of

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of
from frame3d.units import UnitSystem

MARKS = {"S1", "H1", "R1", "B1", "B2"}


@pytest.fixture
def doc():
    return drawn.document()


def rules(doc, **how):
    return {finding.rule for finding in judge(doc, **how)}


def test_a_good_drawing_is_clean(doc):
    # width and spacing from the frame itself; 5000 is not a size of it
    assert judge(doc, marks=MARKS, sizes_mm=(6000.0, 1200.0, 4000.0)) == []


def test_an_imperial_drawing_is_clean():
    design = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B")
    doc = document_of(draw_sheets(drawn.frame(the_design=design))).doc
    assert judge(doc, marks=MARKS) == []


def test_text_on_text(doc):
    labels = [e for e in doc.modelspace().query("INSERT") if e.dxf.name.startswith("mark S1")]
    labels[2].dxf.insert = labels[1].dxf.insert
    assert "text on text" in rules(doc)


def test_text_on_line(doc):
    label = next(e for e in doc.modelspace().query("INSERT") if e.dxf.name.startswith("mark H1"))
    tube = next(e for e in doc.modelspace().query("ARC") if e.dxf.layer == "outline")
    label.dxf.insert = tube.start_point
    assert "text on line" in rules(doc)


def test_off_the_sheet(doc):
    layout = doc.layout(doc.layout_names_in_taborder()[2])
    note = next(e for e in layout.query("TEXT") if e.dxf.text.startswith("Notes"))
    note.dxf.align_point = (-30, 100)
    assert "off the sheet" in rules(doc)


def test_a_view_off_the_sheet(doc):
    layout = doc.layout(doc.layout_names_in_taborder()[1])
    view = next(v for v in layout.query("VIEWPORT") if v.dxf.id != 1)
    view.dxf.center = (0, 0)
    assert "off the sheet" in rules(doc)


def test_cut_off_by_its_view(doc):
    layout = doc.layout(doc.layout_names_in_taborder()[1])
    view = next(v for v in layout.query("VIEWPORT") if v.dxf.id != 1)
    ratio = view.dxf.view_height / view.dxf.height
    view.dxf.height -= 30
    view.dxf.view_height = view.dxf.height * ratio
    assert "outside its view" in rules(doc)


def test_no_border(doc):
    layout = doc.layout(doc.layout_names_in_taborder()[2])
    for frame in [e for e in layout.query("INSERT") if e.dxf.name.startswith("sheet frame")]:
        layout.delete_entity(frame)
    assert "off the sheet" in rules(doc)


def test_a_zone_off_the_paper(doc):
    block = next(b for b in doc.blocks if b.name.startswith("sheet frame"))
    name = next(iter(block.query("TEXT")))
    name.dxf.align_point = (-5, 100)
    assert "off the sheet" in rules(doc)


def test_a_style_that_writes_another_text(doc):
    dimension = next(d for d in doc.modelspace().query("DIMENSION") if d.dxf.dimtype & 7 == 0)
    dimension.set_acad_dstyle({"dimlfac": 2.0})
    assert "stale text" in rules(doc)


def test_a_value_that_is_not_what_it_spans(doc):
    dimension = doc.modelspace().query("DIMENSION")[0]
    block = doc.blocks.get(dimension.dxf.geometry)
    block.query("MTEXT")[0].text = "1201"
    assert "wrong value" in rules(doc)


def test_a_text_that_would_not_follow(doc):
    doc.modelspace().query("DIMENSION")[0].dxf.text = "1200"
    assert "fixed text" in rules(doc)


def chain_of(doc, text):
    return next(d for d in doc.modelspace().query("DIMENSION") if drawn_text(d) == text)


def test_a_chain_that_does_not_add_up(doc):
    dimension = chain_of(doc, "(4900) boards")
    block = doc.blocks.get(dimension.dxf.geometry)
    block.query("MTEXT")[0].text = "(4903) boards"
    assert "broken chain" in rules(doc)


def test_a_chain_with_a_gap(doc):
    dimension = chain_of(doc, "3050")
    dimension.dxf.defpoint2 = dimension.dxf.defpoint2 + (20, 0, 0)
    assert "broken chain" in rules(doc)


def test_a_mark_of_no_part(doc):
    assert "unknown mark" in rules(doc, marks=MARKS - {"S1"})


def test_a_part_without_a_mark(doc):
    assert "missing mark" in rules(doc, marks=MARKS | {"X9"})


def test_a_missing_size(doc):
    assert "missing size" in rules(doc, sizes_mm=(5000.0,))


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("22'-0\"", 6705.6),
        ("6'-3 1/2\" between centres", 1917.7),
        ('11 13/16" exposed', 300.0375),
        ('1/2"', 12.7),
        ('0"', 0.0),
        ("4800 boards", 4800),
        ("R4000 rafter", 4000),
        ("42.4", 42.4),
        ("14.5° slope", 14.5),
        ("R13'-4\"", 4064.0),
    ],
)
def test_values_are_read(text, mm):
    # 1 in = 25.4 mm, 1 ft = 304.8 mm
    assert value_of(text) == pytest.approx(mm)


def test_a_text_without_a_value_is_refused():
    with pytest.raises(ValueError, match="no value in 'about so'"):
        value_of("about so")
