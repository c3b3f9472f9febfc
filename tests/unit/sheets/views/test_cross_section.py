"""What cross sections say of ties, posts and webs, against closed forms."""

from __future__ import annotations

import math

import pytest
from some_sheets import sheets_by
from walled_designs import DESIGNS, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    Dimension,
    Label,
    Layer,
    LinearDimension,
)
from frame3d.sheets.sets.draw import _cross_sections
from frame3d.sheets.views.cross_section import cross_section, notes, pieces, sections
from frame3d.sheets.views.end_elevation import spoken
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
HALF_CIRCLE = {"style": "quonset", "width": "6 m", "ridge_height": "4 m", "leg_height": "1 m"}


def frame_of(*ties: dict, **more):
    bare = {"profile": HALF_CIRCLE, "end_wall": [], "door": []}
    return lay_out(design_from_mapping(walled(**{**bare, **more}, tie=list(ties))))


def texts(frame, number: int, kind=Dimension) -> list[str]:
    placed = place(cross_section(frame, number), 20, MM)
    return [item.text for item in placed.primitives if isinstance(item, kind)]


def test_heights_and_nodes_of_a_tie_under_a_half_circle():
    """R = 3000 about (0, 1000): at 2500 the chord is 2 sqrt(3000² - 1500²).

    The tie's tube, EN 10255 DN25, is 33.7 mm thick (EN 10255, table of sizes).
    """
    found = texts(frame_of({"height": "2.5 m"}), 2, LinearDimension)
    chord = 2 * math.sqrt(3000**2 - 1500**2)
    assert f"{chord:.0f} between nodes" in found
    assert "2500 tie" in found
    assert f"{2500 - 33.7 / 2:.0f} under the tie" in found
    assert "4024 overall" in found  # half of the hoop's 48 mm over the crown


def test_webs_on_plates_by_pythagoras():
    """Feet at a quarter of the half chord; tops half way along the arc from tie to crown."""
    tie = {"height": "2.5 m", "webs": 2, "web_foot": 0.25, "web_top": 0.5, "joint": "plates"}
    frame = frame_of(tie)
    half = math.sqrt(3000**2 - 1500**2)
    start = math.asin(1500 / 3000)
    turn = (start + math.pi / 2) / 2
    top = (3000 * math.cos(turn), 1000 + 3000 * math.sin(turn))
    slope = math.degrees(math.atan2(top[1] - 2500, top[0] - 0.25 * half))
    [angle] = texts(frame, 2, AngleDimension)
    assert float(angle.rstrip("°")) == pytest.approx(slope, abs=0.051)
    found = texts(frame, 2, LinearDimension)
    assert found.count(f"{0.75 * half:.0f}") == 2
    assert f"{0.5 * half:.0f}" in found
    marks = [i.text for i in place(cross_section(frame, 2), 20, MM).primitives
             if isinstance(i, Label) and i.layer is Layer.MARKS]  # fmt: skip
    for role in (Role.TIE, Role.WEB, Role.GUSSET):
        assert {m.mark for m in frame.of(role)} <= set(marks)


def test_the_king_post_stands_where_it_is_dimensioned():
    frame = frame_of({"height": "2.5 m", "post": "king post"})
    post = next(m for m in frame.of(Role.KING_POST) if m.spot.hoop == 2)
    x = post.placement.origin[0]
    half = math.sqrt(3000**2 - 1500**2)
    found = texts(frame, 2, LinearDimension)
    assert {f"{half + x:.0f}", f"{half - x:.0f}"} <= set(found)
    [row] = [row for row in pieces(frame, 2).rows if row[0] == post.mark]
    assert row[2].mm == pytest.approx(post.part.length_mm)


def test_hoops_with_different_ties_have_a_section_each():
    frame = frame_of({"height": "2.2 m"}, {"height": "3 m", "every": 3})
    # seven hoops, the ends left out: 2 to 6, the upper tie on 4
    assert sections(frame) == [(2, (2, 3, 5, 6)), (4, (4,))]
    titles = [sheet.title for sheet in sheets_by(frame, _cross_sections).sheets]
    assert {"Cross section, hoop 2", "Cross section, hoop 4"} <= set(titles)
    assert {"2200 tie", "3000 tie"} <= set(texts(frame, 4, LinearDimension))
    assert "hoops 3, 5 and 6 have the same ties" in " ".join(notes(frame, (2, 3, 5, 6)))


def test_without_ties_there_is_no_section():
    assert sections(frame_of()) == []


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((4,), "4"), ((4, 6), "4 and 6"), ((4, 5, 7), "4, 5 and 7"), ((2, 3, 4, 5), "2 to 5"),
        ((3, 5, 7, 9), "3 to 9 in steps of 2"), ((1, 2, 4, 5), "1, 2, 4 and 5"),
    ],
)  # fmt: skip
def test_numbers_in_words(numbers, words):
    assert spoken(numbers) == words


def test_clamps_are_outlined():
    """A clamp half of the tie is as wide as its ring: a box with fine lines at each node."""
    frame = lay_out(design_from_mapping(DESIGNS["A4"]))
    fine = [
        line for line in cross_section(frame, 2).primitives
        if getattr(line, "layer", None) is Layer.FINE and line.smallest > 1000
        and abs(line.start[1] - 2300) < 80
    ]  # fmt: skip
    assert {line.start[0] > 0 for line in fine} == {True, False}
