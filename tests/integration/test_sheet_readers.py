"""The files of a set read by programs that share no code with what wrote them.

pyogrio and LibreCAD for the drawing, pypdf for the print, the standard library's XML for SVG.
"""

from __future__ import annotations

import json
import math
import os
import re
import shutil
import subprocess
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import drawn_frames as drawn
import ezdxf
import numpy as np
import pymupdf
import pyogrio
import pypdf
import pytest
import shapely
import shapely.affinity
from scipy.ndimage import binary_dilation

from frame3d.design.tables.whole_design import DxfVersion, LayerNames, SheetStandard
from frame3d.sheets.primitives.primitives import (
    ArcStroke,
    Bubble,
    CircleStroke,
    Dimension,
    Label,
    Stroke,
)
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.sheet_files import write_sheet_files
from frame3d.units import UnitSystem

_DARK = 250
SVG = "{http://www.w3.org/2000/svg}"


def _design(which: str):
    if which == "metric":
        return drawn.design(sheet_size="A3")
    design = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B")
    design.output.layers, design.output.dxf_version = LayerNames.ISO_13567, DxfVersion.R2000
    return design


@pytest.fixture(scope="module", params=["metric", "old and by codes"])
def made(request, tmp_path_factory):
    """The set, its folder and the names of its files."""
    sheets = draw_sheets(drawn.frame(the_design=_design(request.param)))
    folder = tmp_path_factory.mktemp("set")
    return sheets, folder, write_sheet_files(sheets, folder)


def test_every_file_is_told_and_there(made):
    sheets, folder, names = made
    there = {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}
    assert set(names) == there
    digits = len(str(len(sheets.sheets)))
    assert {f"sheets/sheet-{sheet.number:0{digits}d}.svg" for sheet in sheets.sheets} <= there


def test_the_same_set_gives_the_same_bytes(made, tmp_path):
    sheets, folder, names = made
    write_sheet_files(sheets, tmp_path)
    for name in names:
        assert (tmp_path / name).read_bytes() == (folder / name).read_bytes(), name


def _plain(text: str) -> str:
    """A text without what is not plain ASCII."""
    return re.sub(r"[^ -~]", "", text)


def test_pyogrio_reads_every_line_and_text(made):
    """As many lines of each layer as there are in the views, and every text of them."""
    sheets, folder, _ = made
    meta, _, shapes, fields = pyogrio.raw.read(folder / "sheets.dxf")
    layers = fields[list(meta["fields"]).index("Layer")]
    texts = {_plain(str(text)) for text in fields[list(meta["fields"]).index("Text")] if text}
    kinds = [shape.geom_type for shape in shapely.from_wkb(shapes)]
    found = Counter(
        layer for layer, kind in zip(layers, kinds, strict=True) if kind == "LineString"
    )
    wanted: Counter[str] = Counter()
    names = {layer.dxf.name for layer in ezdxf.readfile(folder / "sheets.dxf").layers}
    coded = {"outline": "Z-OUTLINE-", "hidden": "Z-HIDDENE-", "ground": "Z-GROUNDE-"}
    for sheet in sheets.sheets:
        for view in sheet.views:
            for item in view.view.primitives:
                if isinstance(item, Stroke | ArcStroke | CircleStroke):
                    wanted[item.layer.title] += 1
                elif isinstance(item, Label):
                    # GDAL garbles the degree sign.
                    assert _plain(item.text) in texts
    for plain, code in coded.items():
        name = code if sheets.layers is LayerNames.ISO_13567 else plain
        assert name in names
        assert found[name] == wanted[plain] > 0


def test_layers_by_code_have_the_form_of_the_standard(made):
    """ISO 13567-2: agent 2, element 6, presentation 2 characters; no name twice."""
    sheets, folder, _ = made
    names = [layer.dxf.name for layer in ezdxf.readfile(folder / "sheets.dxf").layers]
    own = [name for name in names if name.lower() not in ("0", "defpoints")]
    assert len(set(own)) == len(own) > 10
    if sheets.layers is LayerNames.ISO_13567:
        assert {len(name) for name in own} == {10}
        assert {name[:2] for name in own} == {"Z-"}
    else:
        assert "outline" in own


def test_the_drawing_has_no_errors_and_the_version_that_was_asked_for(made):
    sheets, folder, _ = made
    doc = ezdxf.readfile(folder / "sheets.dxf")
    auditor = doc.audit()
    assert auditor.errors == [] and auditor.fixes == []
    assert doc.acad_release == sheets.version.value
    blocks = {block.name for block in doc.blocks}
    assert "title block" in blocks
    assert any(name.startswith("sheet frame") for name in blocks)
    assert {"grid bubble 1", "mark S1", "mark H1"} <= {name.split(",")[0] for name in blocks}


def test_librecad_leaves_no_line_out(made, tmp_path):
    """Every dark spot of what we draw in model space has one of LibreCAD's beside it.

    It letters otherwise, makes dimensions anew from their style, draws the sheet itself among
    the views and its own length of dashes; so all lines are drawn whole and the others left out.
    """
    sheets, folder, _ = made
    doc = ezdxf.readfile(folder / "sheets.dxf")
    for space in (doc.modelspace(), *doc.blocks):
        for entity in list(space.query("TEXT MTEXT ATTDEF DIMENSION")):
            space.delete_entity(entity)
    for insert in list(doc.modelspace().query("INSERT")):
        if insert.dxf.name.startswith("size "):  # dimensions too, in older files
            doc.modelspace().delete_entity(insert)
    for name in doc.layout_names_in_taborder()[1:]:
        doc.layout(name).delete_all_entities()
    for layer in doc.layers:
        layer.dxf.linetype = "CONTINUOUS"
    bare = tmp_path / "bare.dxf"
    doc.saveas(bare)
    theirs = _by_librecad(bare, tmp_path)
    ours = _by_ourselves(sheets, theirs.shape)
    assert ours.sum() > 3000
    assert (ours & ~binary_dilation(theirs, iterations=3)).sum() == 0
    # And the other way round, so that a page all black would not do.
    assert (theirs & ~binary_dilation(ours, iterations=3)).sum() == 0


def _by_librecad(path, folder) -> np.ndarray:
    assert shutil.which("librecad"), "librecad is needed; see tests/run.sh"
    subprocess.run(
        ["librecad", "dxf2pdf", "-a", "-p", "2000x1000", "-t", str(folder), str(path)],
        capture_output=True, timeout=120, check=True,
        # Settings of its own: another run at the same time writes the usual ones.
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "XDG_RUNTIME_DIR": str(folder),
             "XDG_CONFIG_HOME": str(folder)},
    )  # fmt: skip
    with pymupdf.open(folder / "bare.pdf") as pdf:
        return _cropped(pdf[0])


def _cropped(page: pymupdf.Page) -> np.ndarray:
    """Where a page is dark, from its first dark spot to its last."""
    pixels = page.get_pixmap(dpi=110, colorspace=pymupdf.csGRAY)
    dark = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.stride) < _DARK
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    return dark[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def _by_ourselves(sheets, shape) -> np.ndarray:
    """The lines, arcs and circles of all views, side by side as in model space, of that size."""
    lines, cursor = [], 0.0
    for sheet in sheets.sheets:
        for view in sheet.views:
            left, bottom, right, _ = view.view.bounds
            gap = 10.0 * view.view.scale
            cursor += gap
            shift = (cursor - left, -bottom)
            lines += [
                shapely.affinity.translate(line, *shift)
                for item in view.view.primitives
                for line in _traces(item, view.view.scale)
            ]
            cursor += right - left + gap
    bounds = shapely.total_bounds(np.array(lines, dtype=object))
    height, width = shape
    page = pymupdf.open().new_page(width=width, height=height)
    drawn_on = page.new_shape()
    scale = (width - 1) / (bounds[2] - bounds[0]), (height - 1) / (bounds[3] - bounds[1])
    for line in lines:
        drawn_on.draw_polyline([
            pymupdf.Point(
                0.5 + (x - bounds[0]) * scale[0], height - 0.5 - (y - bounds[1]) * scale[1]
            )
            for x, y in line.coords
        ])  # fmt: skip
    drawn_on.finish(width=1)
    drawn_on.commit()
    pixels = page.get_pixmap(dpi=72, colorspace=pymupdf.csGRAY)
    # As dark as theirs: what is smaller than a pixel, as the key of angles, would be lost else.
    return np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.stride) < _DARK


def _traces(item, scale: int) -> list[shapely.LineString]:
    if isinstance(item, Stroke):
        return [shapely.LineString([item.start, item.end])]
    if isinstance(item, ArcStroke):
        return [_arc(item.centre, item.radius, item.start_rad, item.end_rad)]
    if isinstance(item, CircleStroke):
        return [_arc(item.centre, item.radius, 0.0, 2 * math.pi)]
    if isinstance(item, Bubble):
        return [_arc(item.at, item.diameter / 2 * scale, 0.0, 2 * math.pi)]
    return []


def _arc(centre, radius: float, start: float, end: float) -> shapely.LineString:
    turns = np.linspace(start, end, 60)
    return shapely.LineString(np.column_stack(
        [centre[0] + radius * np.cos(turns), centre[1] + radius * np.sin(turns)]
    ))  # fmt: skip


def test_every_dimension_is_in_the_text_of_the_print(made):
    """By pypdf, sheet by sheet."""
    sheets, folder, _ = made
    reader = pypdf.PdfReader(folder / "sheets.pdf")
    for sheet, page in zip(sheets.sheets, reader.pages, strict=True):
        said = " ".join(page.extract_text().split())
        texts = [
            item.text
            for view in sheet.views
            for item in view.view.primitives
            if isinstance(item, Dimension)
        ]
        assert [text for text in texts if " ".join(text.split()) not in said] == []
        # Views that are not to scale, as a cover's or a key of rails, have none.
        assert texts or not any(view.view.to_scale for view in sheet.views)


def test_the_print_has_title_bookmarks_and_labels(made):
    sheets, folder, _ = made
    reader = pypdf.PdfReader(folder / "sheets.pdf")
    assert reader.metadata.title == "Tunnel made by hand, T-01"
    assert reader.page_labels == [f"T-01 {sheet.number}" for sheet in sheets.sheets]
    assert len(reader.outline) == len(sheets.sheets)
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]


def test_pictures_of_sheets_hold_lines_and_text(made):
    sheets, folder, _ = made
    digits = len(str(len(sheets.sheets)))
    for sheet in sheets.sheets:
        name = f"sheets/sheet-{sheet.number:0{digits}d}.svg"
        root = ElementTree.parse(folder / name).getroot()
        words = "".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))
        lines = [part for path in root.iter(f"{SVG}path") for part in path.get("d").split("M")]
        assert len(lines) > 10
        assert root.get("width") == f"{sheet.paper.width_mm:.1f}mm"
        assert sheet.block.title.replace(" ", "") in words.replace(" ", "").replace("\n", "")


def _dimensions_by_npm(path) -> list[tuple]:
    """Points and the written figure of every dimension, as npm's dxf-parser finds them."""
    tools = Path(__file__).parents[1] / "tools"
    places = [str(tools / "node_modules"), os.environ.get("NODE_PATH", "")]
    run = subprocess.run(
        ["node", str(tools / "read_dxf.js"), str(path)],
        capture_output=True, text=True, timeout=120, check=True,
        env={**os.environ, "NODE_PATH": os.pathsep.join(filter(None, places))},
    )  # fmt: skip
    drawing = json.loads(run.stdout)
    found = []
    for entity in drawing["entities"]:
        if entity["type"] == "DIMENSION":
            (figure,) = [e["text"] for e in drawing["blocks"][entity["block"]] if "text" in e]
            points = [
                (key, round(point["x"], 6), round(point["y"], 6))
                for key, point in sorted(entity.items())
                if isinstance(point, dict) and "x" in point
            ]
            found.append((figure, tuple(points)))
    return sorted(found)


def test_dimensions_stay_when_the_set_is_opened_and_saved(made, tmp_path):
    """Opened and saved by ezdxf, as a program does; told by npm's reader before and after.

    LibreCAD, which saves by its window only, draws what was saved.
    """
    sheets, folder, _ = made
    saved = tmp_path / "bare.dxf"
    ezdxf.readfile(folder / "sheets.dxf").saveas(saved)
    before, after = (_dimensions_by_npm(path) for path in (folder / "sheets.dxf", saved))
    assert len(before) > 30
    assert after == before
    if sheets.layers is LayerNames.PLAIN:  # once is enough
        assert _by_librecad(saved, tmp_path).sum() > 3000
