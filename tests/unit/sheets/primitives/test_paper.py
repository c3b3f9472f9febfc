"""Papers, borders, scales and letter heights against the standards."""

from __future__ import annotations

import pymupdf
import pytest
from fontTools.ttLib import TTFont

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.sheets.primitives.lettering import (
    CAPITAL_SHARE,
    LARGE_MM,
    SMALL_MM,
    TEXT_MM,
    TITLE_MM,
    WIDTH_FACTOR,
    font_path,
    text_width_mm,
    wrapped,
)
from frame3d.sheets.primitives.paper import PAPERS, paper_of, scale_text, scales
from frame3d.sheets.primitives.primitives import Layer
from frame3d.units import UnitSystem

ISO, US = SheetStandard.ISO, SheetStandard.US


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("A4", 297, 210), ("A3", 420, 297), ("A2", 594, 420), ("A1", 841, 594), ("A0", 1189, 841)],
)
def test_iso_sizes(name, width, height):
    # ISO 216
    paper = paper_of(ISO, name)
    assert (paper.width_mm, paper.height_mm) == (width, height)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("A", 11, 8.5), ("B", 17, 11), ("C", 22, 17), ("D", 34, 22), ("E", 44, 34)],
)
def test_us_sizes(name, width, height):
    # ASME Y14.1
    paper = paper_of(US, name)
    assert (paper.width_mm, paper.height_mm) == pytest.approx((width * 25.4, height * 25.4))


@pytest.mark.parametrize(
    ("name", "width", "height"), [("A3", 390, 277), ("A2", 564, 400), ("A1", 811, 574)]
)
def test_drawing_space(name, width, height):
    # ISO 5457: drawing space A3 277 x 390, A2 400 x 564, A1 574 x 811
    left, bottom, right, top = paper_of(ISO, name).frame
    assert (right - left, top - bottom) == (width, height)


def test_metric_scales_are_those_of_iso_5455():
    # ISO 5455: 1, 2 and 5 and their tenfolds
    for scale in scales(UnitSystem.METRIC):
        assert int(str(scale).rstrip("0")) in (1, 2, 5)


def test_imperial_scales_say_what_they_are():
    # 1/4 in = 1 ft is 12 in / (1/4 in) = 48
    assert scale_text(48, UnitSystem.IMPERIAL) == '1/4" = 1\'-0" (1:48)'
    for scale in scales(UnitSystem.IMPERIAL):
        named = scale_text(scale, UnitSystem.IMPERIAL).split(" = ")
        if len(named) == 2:
            inches = sum(
                int(part.split("/")[0]) / int((part.split("/") + ["1"])[1])
                for part in named[0].rstrip('"').split()
            )
            feet = int(named[1].split("'")[0])
            assert feet * 12 / inches == scale


def test_letter_heights_are_those_of_iso_3098():
    assert {SMALL_MM, TEXT_MM, TITLE_MM, LARGE_MM} <= {1.8, 2.5, 3.5, 5.0, 7.0, 10.0}


def test_line_widths_are_those_of_iso_128_and_wide_is_twice_narrow():
    # ISO 128 widths (from memory), 1/100 mm; 0.35 to 0.18 is the step of two
    widths = {layer.width for layer in Layer}
    assert widths <= {13, 18, 25, 35, 50, 70, 100}
    assert Layer.OUTLINE.width / Layer.FINE.width == pytest.approx(2, abs=0.1)


@pytest.mark.parametrize("text", ["6'-3 1/2\" between centres", "14.5°", "R4000 rafter", "S1 × 12"])
def test_text_is_as_wide_as_mupdf_sets_it(text):
    # MuPDF measures with the same font file, in points of the font's size
    font = pymupdf.Font(fontfile=str(font_path()))
    size = TEXT_MM / CAPITAL_SHARE
    assert text_width_mm(text, TEXT_MM) == pytest.approx(
        font.text_length(text, fontsize=size) * WIDTH_FACTOR, rel=1e-3
    )


def test_a_capital_is_as_high_as_the_glyph_table_has_it():
    with TTFont(font_path()) as font:
        assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == CAPITAL_SHARE


def test_wrapped_lines_fit_and_lose_nothing():
    text = "Before driving sockets have buried cables and pipes located by the utilities"
    lines = wrapped(text, 40.0, TEXT_MM)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(text_width_mm(line, TEXT_MM) <= 40.0 for line in lines)


def test_a_long_word_stands_alone_and_is_broken_where_it_is_wider_than_the_line():
    wide = text_width_mm("sesquipedalian", TEXT_MM)
    assert wrapped("a sesquipedalian b", wide, TEXT_MM) == ["a", "sesquipedalian", "b"]
    lines = wrapped("a sesquipedalian b", wide / 2, TEXT_MM)
    assert "".join(lines).replace(" ", "") == "asesquipedalianb"
    assert all(text_width_mm(line, TEXT_MM) <= wide / 2 for line in lines)


def test_every_paper_is_named_once():
    for papers in PAPERS.values():
        assert len({paper.name for paper in papers}) == len(papers)
