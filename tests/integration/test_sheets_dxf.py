"""The DXF read back by pyogrio (GDAL), dxf-parser (npm), LibreCAD and ezdxf's audit."""

from __future__ import annotations

import json
import math
import os
import re
import shutil
import subprocess
from pathlib import Path

import drawn_frames as drawn
import ezdxf
import pymupdf
import pyogrio
import pytest
from drawing_judge import drawn_text, measured, value_of

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.errors import OutputError
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.units import UnitSystem

TOOLS = Path(__file__).parents[1] / "tools"
SETS = {
    "metric": drawn.design(),
    "imperial": drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B"),
    "metric on US paper": drawn.design(UnitSystem.METRIC, SheetStandard.US, "C"),
}
UNIT = {"metric": 1.0, "imperial": 25.4, "metric on US paper": 1.0}


@pytest.fixture(scope="module", params=list(SETS))
def written(request, tmp_path_factory):
    """Name of the set, the file, the frame."""
    frame = drawn.frame(the_design=SETS[request.param])
    path = tmp_path_factory.mktemp("dxf") / "sheets.dxf"
    write_dxf(draw_sheets(frame), path)
    return request.param, path, frame


def test_ezdxf_finds_no_fault(written):
    audit = ezdxf.readfile(written[1]).audit()
    assert audit.errors == []
    assert audit.fixes == []


def test_units_are_told(written):
    name, path, _ = written
    doc = ezdxf.readfile(path)
    # DXF reference: $INSUNITS 1 inches, 4 millimetres; $MEASUREMENT 0 imperial, 1 metric
    expected = (1, 0) if name == "imperial" else (4, 1)
    assert (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) == expected


def test_the_hoop_is_drawn_at_full_size_with_its_arcs(written):
    name, path, frame = written
    unit = UNIT[name]
    arcs = ezdxf.readfile(path).modelspace().query('ARC[layer=="outline"]')
    radii = {round(arc.dxf.radius * unit, 4) for arc in arcs}
    od = drawn.HOOP.od_mm
    assert radii == {round(frame.arch.top_radius_mm + side * od / 2, 4) for side in (1, -1)}


def test_every_dimension_says_what_it_spans_and_leaves_its_text_unset(written):
    name, path, _ = written
    doc = ezdxf.readfile(path)
    dimensions = doc.modelspace().query("DIMENSION")
    assert len(dimensions) > 20
    for dimension in dimensions:
        assert dimension.dxf.text in ("", "<>")
        angular = dimension.dxf.dimtype & 7 == 5
        step = 0.1 if angular else 25.4 / 16 if name == "imperial" else 1.0
        span = measured(dimension, UNIT[name])
        assert value_of(drawn_text(dimension)) == pytest.approx(span, abs=step / 2 + 1e-6)
        stored = dimension.dxf.actual_measurement
        assert (math.degrees(stored) if angular else stored * UNIT[name]) == pytest.approx(span)


def test_dimension_styles_make_other_programs_write_the_same(written):
    name, path, _ = written
    doc = ezdxf.readfile(path)
    styles = {d.dxf.dimstyle for d in doc.modelspace().query("DIMENSION")}
    for style in map(doc.dimstyles.get, styles):
        assert style.dxf.dimlfac == 1.0
        scale = int(style.dxf.name.removeprefix("scale 1-"))
        assert style.dxf.dimscale == scale
        assert style.dxf.dimtxt * UNIT[name] == pytest.approx(2.5)  # ISO 3098
        # DXF reference: 4 architectural, to 2^-4 in, fractions in line, 0 ft left out
        expected = (4, 4, 2, 3, 1 / 16) if name == "imperial" else (2, 0, 2, 8, 1.0)
        found = tuple(
            style.dxf.get(key) for key in ("dimlunit", "dimdec", "dimfrac", "dimzin", "dimrnd")
        )
        assert found == pytest.approx(expected)


def test_names_follow_the_value_by_dimpost(written):
    doc = ezdxf.readfile(written[1])
    for dimension in doc.modelspace().query("DIMENSION"):
        text = drawn_text(dimension)
        post = dimension.override().get("dimpost", "") or "<>"
        value = re.match(r"\(?R?(.*?(?:\"|\d°?))(?=\)| [a-zA-Z]|$)", text)[1]
        assert post.replace("<>", value) == text


def test_layers_have_the_widths_of_iso_128(written):
    doc = ezdxf.readfile(written[1])
    # ISO 128 widths in 1/100 mm (from memory)
    used = {e.dxf.layer for e in doc.modelspace()} - {"0"}
    assert {"outline", "dimensions", "grid", "ground", "marks", "hidden"} <= used
    for name in used:
        assert doc.layers.get(name).dxf.lineweight in (13, 18, 25, 35, 50, 70, 100)
    assert doc.layers.get("outline").dxf.lineweight > doc.layers.get("dimensions").dxf.lineweight
    assert doc.layers.get("hidden").dxf.linetype == "DASHED"


def test_each_sheet_is_a_layout_with_views_at_their_scale(written):
    name, path, frame = written
    doc = ezdxf.readfile(path)
    sheets = draw_sheets(frame).sheets
    names = doc.layout_names_in_taborder()[1:]
    assert len(names) == len(sheets)
    for layout_name, sheet in zip(names, sheets, strict=True):
        layout = doc.layout(layout_name)
        assert layout.dxf.paper_width == pytest.approx(sheet.paper.width_mm)
        assert layout.dxf.paper_height == pytest.approx(sheet.paper.height_mm)
        views = [v for v in layout.query("VIEWPORT") if v.dxf.id != 1]
        assert len(views) == len(sheet.views)
        for view, wanted in zip(views, sheet.views, strict=True):
            assert view.dxf.view_height / view.dxf.height == pytest.approx(wanted.view.scale)


def test_views_do_not_share_ground_in_model_space(written):
    doc = ezdxf.readfile(written[1])
    windows = []
    for name in doc.layout_names_in_taborder()[1:]:
        for view in doc.layout(name).query("VIEWPORT"):
            if view.dxf.id != 1:
                half = view.dxf.width / view.dxf.height * view.dxf.view_height / 2
                middle = view.dxf.view_center_point[0]
                windows.append((middle - half, middle + half))
    windows.sort()
    assert all(a[1] < b[0] for a, b in zip(windows, windows[1:], strict=False))


def test_gdal_reads_every_text(written):
    name, path, frame = written
    meta, _, _, columns = pyogrio.raw.read(path, columns=["Layer", "Text"])
    texts = {t for t in columns[list(meta["fields"]).index("Text")] if t}
    expected = {
        "metric": {"6000 between centres", "1200 leg", "R4000 rafter", "300 exposed"},
        "imperial": {"19'-8 1/4\" between centres", "3'-11 1/4\" leg", "13'-1 1/2\" rafter"},
    }.get(name, {"700 embedded"})
    # 6000 mm = 236.22 in = 19 ft 8.22 in; 1200 mm = 47.24 in; 4000 mm = 157.48 in
    found = {text.removeprefix("R") if text.startswith("R13") else text for text in texts}
    assert expected <= found
    assert {"S1", "H1", "R1", "B1"} <= texts
    layers = set(columns[list(meta["fields"]).index("Layer")])
    assert {"outline", "dimensions", "marks", "border"} <= layers


def test_npm_dxf_parser_reads_exact_arcs(written, tmp_path):
    name, path, frame = written
    assert shutil.which("node"), "node is needed; see tests/run.sh"
    run = subprocess.run(
        ["node", str(TOOLS / "read_dxf.js"), str(path)],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env=_node_env(),
    )
    assert run.returncode == 0, run.stderr
    drawing = json.loads(run.stdout)
    arcs = [e for e in drawing["entities"] if e["type"] == "ARC" and e["layer"] == "outline"]
    middle = sum(arc["radius"] for arc in arcs) / len(arcs) * UNIT[name]
    assert middle == pytest.approx(frame.arch.top_radius_mm, abs=1e-6)
    turn = frame.arch.top_angle_rad
    for arc in arcs:
        assert (arc["endAngle"] - arc["startAngle"]) % math.tau == pytest.approx(turn, abs=1e-6)
    dimensions = [e for e in drawing["entities"] if e["type"] == "DIMENSION"]
    assert dimensions
    for dimension in dimensions:
        assert dimension.get("text", "") in ("", "<>")
        block = drawing["blocks"][dimension["block"]]
        assert [e["type"] for e in block].count("MTEXT") == 1


def _node_env() -> dict:
    places = [str(TOOLS / "node_modules"), os.environ.get("NODE_PATH", "")]
    return {**os.environ, "NODE_PATH": os.pathsep.join(filter(None, places))}


def test_librecad_draws_the_model(written, tmp_path):
    name, path, _ = written
    assert shutil.which("librecad"), "librecad is needed; see tests/run.sh"
    subprocess.run(
        ["librecad", "dxf2pdf", "-a", "-p", "420x297", "-t", str(tmp_path), str(path)],
        capture_output=True,
        timeout=120,
        check=True,
        # Settings of its own: another run at the same time writes the usual ones.
        env={
            **os.environ,
            "QT_QPA_PLATFORM": "offscreen",
            "XDG_RUNTIME_DIR": str(tmp_path),
            "XDG_CONFIG_HOME": str(tmp_path),
        },
    )
    with pymupdf.open(tmp_path / "sheets.pdf") as pdf:
        strokes = sum(len(drawing["items"]) for drawing in pdf[0].get_drawings())
    assert strokes > 200


def test_the_same_sheets_give_the_same_bytes(written, tmp_path):
    _, path, frame = written
    again = write_dxf(draw_sheets(frame), tmp_path / "again.dxf")
    assert again.read_bytes() == path.read_bytes()


def test_a_folder_that_is_not_there_is_told(tmp_path):
    sheets = draw_sheets(drawn.frame(bays=1))
    with pytest.raises(OutputError, match="cannot be written: .*choose another folder"):
        write_dxf(sheets, tmp_path / "nowhere" / "sheets.dxf")


def test_a_failed_run_leaves_the_last_file(tmp_path):
    path = tmp_path / "sheets.dxf"
    path.mkdir()  # a folder of that name is in the way
    with pytest.raises(OutputError, match="cannot be written"):
        write_dxf(draw_sheets(drawn.frame(bays=1)), path)
    assert [p.name for p in tmp_path.iterdir()] == ["sheets.dxf"]


def test_names_that_look_like_commands_do_no_harm(tmp_path):
    design = drawn.design()
    design.project.name = "Tunnel\n0\nEOF %%u <>"
    design.project.owner = 'A "B" & Söhne'
    path = write_dxf(draw_sheets(drawn.frame(bays=1, the_design=design)), tmp_path / "odd.dxf")
    doc = ezdxf.readfile(path)
    assert doc.audit().errors == []
    fields = {
        a.dxf.tag: a.plain_text()
        for insert in doc.layout(doc.layout_names_in_taborder()[1]).query("INSERT")
        for a in insert.attribs
    }
    assert fields["PROJECT"] == "Tunnel 0 EOF %%u <>"
    assert fields["OWNER"] == 'A "B" & Söhne'
