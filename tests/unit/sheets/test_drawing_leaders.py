"""Leaders and breaks: each rule of the judge is broken on purpose once; the layout keeps them."""

from __future__ import annotations

import drawn_frames as drawn
import pytest
from drawing_judge import Finding, judge, pages_of
from drawing_leaders import bad_leaders
from shapely import Point

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.sheets.annotation.annotations import Note
from frame3d.sheets.details import details
from frame3d.sheets.details.detail_sheets import detail_pages, detail_sheets, details_of
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.sets.numbered import builder_for, sheet_set_of
from frame3d.sheets.write.dxf_write import document_of


@pytest.fixture
def doc():
    return drawn.document()


def figures(doc) -> tuple[str, list]:
    """The socket plan, and its texts of dimensions."""
    page = pages_of(doc)[2]
    return page.name, [text for text in page.texts if text.layer == "dimensions"]


def led(doc, name: str, start, end) -> set[str]:
    """What the judge finds with one more leader on the sheet, in mm on the paper."""
    unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
    ends = [(x / unit, y / unit) for x, y in (start, end)]
    doc.layout(name).add_line(*ends, dxfattribs={"layer": "marks"})
    return {finding.rule for finding in judge(doc)}


def test_a_good_drawing_has_none(doc):
    assert judge(doc) == []


def test_a_leader_through_a_figure(doc):
    name, texts = figures(doc)
    left, bottom, right, top = texts[0].ground.bounds
    middle = ((left + right) / 2, (bottom + top) / 2)
    found = led(doc, name, (middle[0] - 20, middle[1] - 20), (middle[0] + 20, middle[1] + 20))
    assert "leader through figures" in found


def test_a_leader_between_two_figures_of_a_row():
    """Running figures stand side by side; what goes between them parts the row."""
    doc = document_of(draw_sheets(drawn.frame(bays=10, spacing=300))).doc
    name, texts = figures(doc)
    one, two = ([t for t in texts if t.text == text][0].ground.bounds for text in ("900", "1200"))
    gap = two[0] - one[2]
    assert 1.0 < gap < 8.0
    x, low, high = one[2] + gap / 2, min(one[1], two[1]) - 3, max(one[3], two[3]) + 3
    assert "leader through figures" not in {finding.rule for finding in judge(doc)}
    assert "leader through figures" in led(doc, name, (x, low), (x, high))


def test_a_leader_that_ends_at_a_figure(doc):
    name, texts = figures(doc)
    (page,) = [page for page in pages_of(doc) if page.name == name]
    others = [text.ground for text in page.texts if text.layer != "dimensions"]
    for text in texts:
        left, bottom, _, top = text.ground.bounds
        end = (left - 0.5, (bottom + top) / 2)
        if all(ground.distance(Point(end)) > 4.0 for ground in others):
            break
    assert "leader at figures" in led(doc, name, (end[0] - 12.0, end[1]), end)


LOW = {
    "output": {"units": "metric"},
    "profile": {"style": "gothic", "measured": "inside", "width": "3399 mm", "leg_height": "323 mm",
                "ridge_height": "1493 mm", "eave_radius": "388 mm", "ridge_slope": "20 deg"},
    "bays": {"count": 1, "spacing": "1549 mm"},
    "hoop": {"tube": "EN 10255 DN32 medium", "pieces": 2, "splice": "swage",
             "ridge_joint": "plates",
             "ridge_tube": "EN 10255 DN50 medium", "smallest_bend": 3.0},
    "socket": {"tube": "60 x 3 mm"},
    "rail": [{"tube": "32 x 2 mm", "fixing": "clamped", "at": "ridge"}],
}  # fmt: skip
"""Its ridge rails hang so low that the window of the ridge joint once cut one to a sliver."""
STEEP = {
    "output": {"units": "imperial"},
    "profile": {"style": "gothic", "measured": "inside", "width": "13079 mm",
                "ridge_height": "7500 mm", "leg_height": "1272 mm", "eave_radius": "800 mm",
                "rafter_radius": "straight"},
    "bays": {"count": 1, "spacing": "1333 mm"},
    "hoop": {"tube": "NPS 1 STD", "pieces": 2, "splice": "sleeve", "ridge_joint": "sleeve",
             "ridge_tube": "2 in x 11 ga BWG", "smallest_bend": 5.0, "ridge_bend_radius": "429 mm",
             "splice_tube": "2 in x 11 ga BWG"},
    "socket": {"tube": "2.375 in x 10 ga BWG"},
}  # fmt: skip
"""Its ridge sleeve bends so far below the ridge that the window once cut off its crown."""
HIP = {
    "output": {"units": "imperial"},
    "profile": {"style": "gothic", "width": "3461 mm", "ridge_height": "5036 mm",
                "ridge_slope": "37 deg"},
    "bays": {"count": 2, "spacing": "800 mm"},
    "hoop": {"tube": "NPS 1 STD", "pieces": 2, "splice": "swage", "splice_fastener": "bolts",
             "ridge_joint": "sleeve", "ridge_tube": "NPS 2 STD", "smallest_bend": 3.0,
             "ridge_bend_radius": "270 mm"},
    "socket": {"tube": "NPS 2 STD"},
    "rail": [{"tube": "NPS 1 STD", "fixing": "clamped", "at": "sides", "face": "outside",
              "height": "1969 mm"}],
    "side_opening": {"hip": "rail", "height": "1000 mm", "fixing": "clamped"},
}  # fmt: skip
"""A note's leader once ran through the size from rail to hoop, and ended at another."""
SHORT = {
    "output": {"units": "metric"},
    "profile": {"style": "gothic", "measured": "centres", "width": "6383 mm",
                "leg_height": "464 mm", "ridge_height": "3474 mm", "eave_radius": "1299 mm",
                "ridge_slope": "27 deg"},
    "bays": {"count": 4, "spacing": "601 mm"},
    "hoop": {"tube": "42 x 2 mm", "pieces": 2, "ridge_tube": "50 x 3 mm", "smallest_bend": 5.0,
             "ridge_bend_radius": "337 mm"},
    "socket": {"tube": "EN 10255 DN50 medium"},
    "sill_board": {"stock_length": "2965 mm", "timber": "47x150", "bottom": "13 mm",
                   "overhang": "354 mm", "block_length": "443 mm"},
}  # fmt: skip
"""Its boards once seemed to end in the hole at the edge of the window of their joint."""

PLATES = {
    "output": {"units": "imperial", "sheets": "iso"},
    "profile": {"style": "gothic", "width": "5983 mm", "leg_height": "648 mm",
                "ridge_height": "2538 mm", "eave_radius": "902 mm", "ridge_slope": "18 deg"},
    "bays": {"count": 3, "spacing": "1111 mm"},
    "hoop": {"tube": "NPS 1 STD", "pieces": 2, "ridge_joint": "plates", "smallest_bend": 5.0,
             "ridge_overlap": "146 mm"},
    "socket": {"tube": "2 in x 11 ga BWG", "length": "1030 mm", "exposed": "337 mm",
               "upper_hole": "84 mm", "lower_hole": "125 mm", "insertion": "305 mm"},
    "brace": [{"from_hoop": 1, "to_hoop": 4, "from_height": "896 mm", "to_height": "1198 mm",
               "corners": ["back left", "back right"],
               "tube": {"outside": "31.8 mm", "wall": "2.9 mm"}, "overhang": "282 mm"}],
}  # fmt: skip
"""Its ridge plates once ended just past the window, and a socket far off stood over the clamp."""
DEEP = {
    "output": {"units": "imperial"},
    "profile": {"style": "gothic", "width": "8583 mm", "leg_height": "813 mm",
                "ridge_height": "3605 mm", "eave_radius": "1586 mm", "ridge_slope": "19 deg"},
    "bays": {"count": 2, "spacing": "1464 mm"},
    "hoop": {"tube": "2 in x 13 ga BWG", "pieces": 4, "splice": "swage",
             "splice_fastener": "screws", "ridge_joint": "sleeve",
             "ridge_tube": "2.375 in x 10 ga BWG", "smallest_bend": 5.0,
             "ridge_bend_radius": "470 mm"},
    "socket": {"tube": "NPS 2 STD", "length": "1429 mm", "exposed": "306 mm",
               "upper_hole": "157 mm", "lower_hole": "266 mm", "insertion": "399 mm"},
}  # fmt: skip
"""The leg of its hoop once ended so near the break of the socket that the socket seemed to."""
FLAT = {
    "output": {"units": "metric"},
    "profile": {"style": "gothic", "measured": "outside", "width": "3688 mm",
                "ridge_height": "2371 mm", "leg_height": "2179 mm"},
    "bays": {"count": 3, "spacing": "629 mm"},
    "hoop": {"tube": "42 x 2 mm", "pieces": 4, "splice": "swage", "splice_fastener": "screws",
             "ridge_joint": "sleeve", "ridge_tube": "50 x 3 mm", "smallest_bend": 3.0,
             "ridge_bend_radius": "224 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "rail": [{"tube": "32 x 2 mm", "fixing": "bolted", "at": "sides", "face": "inside",
              "fraction": 0.219},
             {"tube": "32 x 2 mm", "fixing": "clamped", "at": "sides", "face": "inside",
              "fraction": 0.79},
             {"tube": "32 x 2 mm", "fixing": "bolted", "at": "ridge"}],
}  # fmt: skip
"""Notes of its ridge joint once pointed at bolts of rails far outside of the picture."""
MAPPINGS = {"low": LOW, "steep": STEEP, "hip": HIP, "short": SHORT, "plates": PLATES, "deep": DEEP,
            "flat": FLAT}  # fmt: skip


def judged(mapping: dict) -> list[Finding]:
    """What the judge's rules of this module find on the sheets of details alone."""
    frame: Frame = lay_out(design_from_mapping(mapping))
    builder = builder_for(frame)
    builder.details = detail_pages(builder)
    detail_sheets(builder)
    assert builder.drafts
    doc = document_of(sheet_set_of(builder)).doc
    return [Finding(*told) for page in pages_of(doc) for told in bad_leaders(page)]


@pytest.mark.parametrize("name", MAPPINGS)
def test_details_keep_leaders_off_figures_and_show_no_slivers(name):
    assert judged(MAPPINGS[name]) == []


def test_a_rail_cut_to_a_sliver(monkeypatch):
    """As the window would cut it if it did not give way."""
    monkeypatch.setattr(
        details, "without_slivers", lambda look, window: (tuple(look(window)), window)
    )
    assert {finding.rule for finding in judged(LOW)} == {"sliver"}


@pytest.mark.parametrize("mapping", [STEEP, FLAT], ids=["steep", "flat"])
def test_notes_of_a_detail_point_into_it(mapping):
    """The hoop's note of a steep ridge joint once pointed past the edge."""
    frame = lay_out(design_from_mapping(mapping))
    found = details_of(details.DetailContext(frame=frame, lengths=builder_for(frame).lengths))
    assert found
    for one in found:
        left, bottom, right, top = one.window
        for annotation in one.annotations:
            if isinstance(annotation, Note):
                assert left <= annotation.at[0] <= right and bottom <= annotation.at[1] <= top, (
                    annotation.text
                )
