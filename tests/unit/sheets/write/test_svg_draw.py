"""A picture of the guide on a page of a PDF, read back by MuPDF."""

from __future__ import annotations

import pymupdf
import pytest

from frame3d.guide.pictures.canvas import Canvas
from frame3d.sheets.write.pdf_file import PdfFile
from frame3d.sheets.write.svg_draw import draw_svg

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 10 200 100">'
    '<path fill="none" stroke="#0b4f8a" stroke-width="2" stroke-dasharray="6 3" '
    'd="M10 20l100 0M10 30l0 40"/>'
    '<path fill="#c5dcf1" stroke="none" fill-opacity="0.5" d="M20 40l30 0l0 20z"/>'
    '<circle cx="150" cy="60" r="5" fill="#1b1f23"/>'
    '<rect x="100" y="80" width="40" height="20" fill="#fff" fill-opacity="0.85"/>'
    '<text x="120" y="94" font-size="12" fill="#7a4a00">A温 1</text>'
    '<text x="60" y="60" font-size="12" transform="rotate(-90 60.0 60.0)">up</text></svg>'
)


@pytest.fixture
def page():
    file = PdfFile("picture")
    file.add_page(400, 300)
    # Two points for a unit, its corner 50 points from the left and 20 from the top.
    draw_svg(file, SVG, 50, 280, 2.0)
    with pymupdf.open(stream=file.finished()) as pdf:
        yield pdf[0]


def at(x: float, y: float) -> tuple[float, float]:
    """Where a place of the picture lies on the page, from the top as MuPDF counts."""
    return 50 + 2 * x, 20 + 2 * (y - 10)


def test_lines_and_areas_stand_where_the_picture_has_them(page) -> None:
    lines, area, dot, white = page.get_drawings()
    assert tuple(lines["rect"]) == pytest.approx((*at(10, 20), *at(110, 70)), abs=0.1)
    assert lines["width"] == pytest.approx(4)
    assert lines["dashes"] == "[ 12 6 ] 0"
    assert lines["color"] == pytest.approx((0x0B / 255, 0x4F / 255, 0x8A / 255), abs=0.01)
    assert tuple(area["rect"]) == pytest.approx((*at(20, 40), *at(50, 60)), abs=0.1)
    assert area["fill_opacity"] == pytest.approx(0.5)
    assert tuple(dot["rect"]) == pytest.approx((*at(145, 55), *at(155, 65)), abs=0.1)
    assert white["fill"] == (1.0, 1.0, 1.0)


def test_texts_stand_about_their_places_upright_and_turned(page) -> None:
    level, turned = (line for b in page.get_text("dict")["blocks"] for line in b["lines"])
    assert "".join(span["text"] for span in level["spans"]) == "A温 1"
    assert (level["bbox"][0] + level["bbox"][2]) / 2 == pytest.approx(at(120, 0)[0], abs=0.5)
    assert level["spans"][0]["origin"][1] == pytest.approx(at(0, 94)[1], abs=0.1)
    assert level["dir"] == pytest.approx((1, 0))
    assert turned["dir"] == pytest.approx((0, -1))
    assert turned["spans"][0]["origin"][0] == pytest.approx(at(60, 0)[0], abs=0.1)


def test_every_kind_of_ink_of_a_picture_is_drawn() -> None:
    """What the canvas of the guide can draw is what is read here."""
    canvas = Canvas()
    canvas.line([(0, 0), (1000, 0)], "#9aa3ab", 1.0, "4 3")
    canvas.area([(0, 0), (500, 0), (500, 300)], "#eef1f3", "#9aa3ab", opacity=0.4)
    canvas.mark("H1", (500, 300))
    canvas.text("10 m", (0, 300), turn_deg=-90)
    file = PdfFile("picture")
    file.add_page(700, 500)
    draw_svg(file, canvas.picture("all of it").svg, 0, 500, 1.0)
    with pymupdf.open(stream=file.finished()) as pdf:
        assert sorted(pdf[0].get_text().split()) == ["10", "H1", "m"]
        # A line, an area with its edge, the leader of the mark with its dot, the ground behind it.
        assert len(pdf[0].get_drawings()) == 5
