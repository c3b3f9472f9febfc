"""The PDF read back by pypdf and MuPDF: pages, text, lines, bookmarks."""

from __future__ import annotations

import subprocess
import sys

import drawn_frames as drawn
import pymupdf
import pypdf
import pytest

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.errors import OutputError
from frame3d.sheets.primitives.primitives import Dimension, Label
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.pdf_write import sheet_pictures, write_pdf
from frame3d.sheets.write.svg_write import write_svg
from frame3d.units import UnitSystem

IMPERIAL = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B")


@pytest.fixture(scope="module", params=["metric", "imperial"])
def written(request, tmp_path_factory):
    design = IMPERIAL if request.param == "imperial" else drawn.design()
    sheets = draw_sheets(drawn.frame(the_design=design))
    path = tmp_path_factory.mktemp("pdf") / "sheets.pdf"
    return sheets, write_pdf(sheets, path)


def test_pages_have_the_size_of_the_paper(written):
    sheets, path = written
    pages = pypdf.PdfReader(path).pages
    assert len(pages) == len(sheets.sheets)
    for page, sheet in zip(pages, sheets.sheets, strict=True):
        # a point is 1/72 in
        size = [float(side) / 72 * 25.4 for side in page.mediabox[2:]]
        assert size == pytest.approx([sheet.paper.width_mm, sheet.paper.height_mm], abs=0.005)


def test_every_text_can_be_found(written):
    sheets, path = written
    with pymupdf.open(path) as pdf:
        for sheet, page in zip(sheets.sheets, pdf, strict=True):
            words = {text for view in sheet.views for text in texts_of(view.view.primitives)}
            words |= {label.text for label in sheet.labels}
            words |= {sheet.block.number, sheet.block.owner, sheet.block.sheet}
            assert [word for word in sorted(words) if not page.search_for(word)] == []


def texts_of(primitives):
    return [item.text for item in primitives if isinstance(item, Label | Dimension)]


def test_a_dimension_stands_where_the_layout_put_it(written):
    sheets, path = written
    shown = 0
    with pymupdf.open(path) as pdf:
        for sheet, page in zip(sheets.sheets, pdf, strict=True):
            if not sheet.views or sheet.title == "Cover":
                continue  # these carry no sizes
            view = sheet.views[0]
            left, bottom, right, top = view.view.bounds
            sized = [i for i in view.view.primitives if isinstance(i, Dimension) and " " in i.text]
            if not sized:
                continue
            item, shown = sized[0], shown + 1
            x = view.centre[0] + (item.text_at[0] - (left + right) / 2) / view.view.scale
            y = view.centre[1] + (item.text_at[1] - (bottom + top) / 2) / view.view.scale
            points = 72 / 25.4
            want = pymupdf.Point(x * points, page.rect.height - y * points)
            found = page.search_for(item.text)
            assert any(r.contains(want) or abs(r.tl - want) < 40 for r in found)
    assert shown >= 4


def test_line_widths_are_those_of_the_layers(written):
    _, path = written
    with pymupdf.open(path) as pdf:
        widths = {
            round(d["width"] / 72 * 25.4, 2)
            for page in pdf
            for d in page.get_drawings()
            if d["width"]
        }
    assert widths == {0.13, 0.18, 0.35, 0.5, 0.7}


def test_lines_of_a_layer_are_drawn_once_and_in_one_path(written):
    """Each page had all of its lines twice, which only a look at the strokes showed."""
    _, path = written
    with pymupdf.open(path) as pdf:
        for page in pdf:
            drawn = [(d["layer"], d["type"], d["width"]) for d in page.get_drawings()]
            assert drawn and len(drawn) == len(set(drawn))


def test_layers_are_listed_once_and_can_be_hidden(written):
    _, path = written
    with pymupdf.open(path) as pdf:
        groups = {group["name"]: number for number, group in pdf.get_ocgs().items()}
        assert len(groups) == len(pdf.get_ocgs())
        assert {"outline", "dimensions", "title block"} <= set(groups)
        number = next(
            page.number for page in pdf
            if "dimensions" in {drawn["layer"] for drawn in page.get_drawings()}
        )  # fmt: skip
        before = pdf[number].get_pixmap(dpi=40).samples
        pdf.set_layer(-1, off=[groups["dimensions"]])
        with pymupdf.open(stream=pdf.tobytes()) as hidden:
            assert hidden[number].get_pixmap(dpi=40).samples != before


def test_bookmarks_name_the_sheets(written):
    sheets, path = written
    titles = [item.title for item in pypdf.PdfReader(path).outline]
    assert titles == [f"{sheet.number} {sheet.title}" for sheet in sheets.sheets]


def test_one_font_is_embedded_and_it_is_ours(written):
    _, path = written
    with pymupdf.open(path) as pdf:
        fonts = {(font[3].split("+")[-1], font[1]) for page in pdf for font in page.get_fonts()}
    assert {name for name, _ in fonts} <= {"DejaVuSans", "DejaVu Sans Book"}
    assert all(kind != "n/a" for _, kind in fonts)  # n/a: not embedded


PROGRAM = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
import drawn_frames
from ezdxf.fonts import fonts
from ezdxf.fonts.font_manager import FontManager
if sys.argv[3] == "no fonts":
    fonts.font_manager = FontManager()
from frame3d.sheets.write.pdf_write import pdf_bytes
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.sheets.sets.draw import draw_sheets
sheets = draw_sheets(drawn_frames.frame())
path = write_dxf(sheets, sys.argv[2])
for content in (pdf_bytes(sheets), path.read_bytes()):
    print(hashlib.sha256(content).hexdigest())
"""


def test_the_same_bytes_in_another_process_and_on_a_machine_without_fonts(tmp_path):
    """Hash seeds differ between processes, and so would anything taken from a set."""
    tests = drawn.__file__.rsplit("/", 1)[0]
    outputs = set()
    for seed, have in (("1", "fonts"), ("7", "no fonts")):
        run = subprocess.run(
            [sys.executable, "-P", "-c", PROGRAM, tests, str(tmp_path / f"{seed}.dxf"), have],
            capture_output=True,
            text=True,
            check=True,
            timeout=60,
            env={"PYTHONHASHSEED": seed, "PATH": "/usr/bin:/bin", "HOME": str(tmp_path)},
        )
        outputs.add(run.stdout)
        assert run.stderr == ""
    assert len(outputs) == 1


def test_a_sheet_as_svg(written, tmp_path):
    sheets, _ = written
    path = write_svg(sheets, 2, tmp_path / "sheet.svg")
    text = path.read_text(encoding="utf-8")
    assert text.lstrip().startswith("<?xml") or text.lstrip().startswith("<svg")
    assert "<path" in text and "</svg>" in text


def test_no_such_sheet(written, tmp_path):
    sheets, _ = written
    count = len(sheets.sheets)
    with pytest.raises(OutputError, match=f"no sheet 99; give a number from 1 to {count}"):
        write_svg(sheets, 99, tmp_path / "sheet.svg")


def test_pictures_of_the_pages(written, tmp_path):
    sheets, path = written
    pictures = sheet_pictures(path, tmp_path, dots_per_inch=30)
    assert [p.name for p in pictures] == [
        f"sheets-{sheet.number:02d}.png" for sheet in sheets.sheets
    ]
    pixels = pymupdf.Pixmap(str(pictures[0]))
    assert pixels.width == pytest.approx(sheets.sheets[0].paper.width_mm / 25.4 * 30, abs=1.5)
    assert not pixels.is_unicolor


def test_what_is_no_pdf_is_told(tmp_path):
    path = tmp_path / "broken.pdf"
    path.write_text("no pdf")
    with pytest.raises(OutputError, match="cannot be read as a PDF"):
        sheet_pictures(path, tmp_path)


def test_reading_sheets_loads_no_kernel():
    program = (
        "import sys, frame3d.sheets;"
        "print([m for m in ('cadquery', 'OCP', 'vtk', 'matplotlib') if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert run.stdout.strip() == "[]"
