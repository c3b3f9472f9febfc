"""``frame3d site``: its files read back by other programs, its sheets judged, what is typed."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import ezdxf
import numpy as np
import pymupdf
import pyogrio
import pytest
import shapely
from drawing_judge import judge, pages_of
from pyproj import Transformer
from site_frames import small_frame

from frame3d.design.reading.reader import design_from_mapping
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.sets.site_set import draw_site
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.single_builds import build_site
from frame3d.site.staking.setting_out import PlaceKind
from frame3d.site.survey import SITE_CAUTIONS, survey_site
from frame3d.site.write.site_files import READ_FIRST, SITE_FILES, write_stakes
from frame3d.site.write.site_report import assumptions, findings
from frame3d.units import parse_length

UTM = {"epsg": 32633, "east": 500120.0, "north": 5400340.0, "bearing": 35.0}


def put(folder: Path, name: str, *rows) -> Path:
    path = folder / name
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


def sloping(folder: Path, width: float, length: float, unit: str, signs=(1, 1)) -> Path:
    """Levels of an invented plot: it rises along and across, with a hollow in the middle."""
    rows = [["point", f"x, {unit}", f"y, {unit}", f"z, {unit}"]]
    for x in np.linspace(-0.1 * width, 1.1 * width, 4):
        for y in np.linspace(-0.05 * length, 1.05 * length, 6):
            hollow = np.exp(-((x / width - 0.5) ** 2 + (y / length - 0.5) ** 2) * 8)
            z = 0.012 * y + 0.02 * x - 0.01 * length * hollow
            at = [v - (size if s < 0 else 0) for v, size, s in zip((x, y), (width, length), signs,
                                                                   strict=True)]  # fmt: skip
            rows.append(["", *(f"{v:.3f}" for v in (*at, z))])
    return put(folder, "levels.csv", *rows)


@pytest.fixture(scope="module", params=["metric", "imperial"])
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    frame = small_frame(units=request.param, corner="back left", string="slope", **UTM)
    levels = sloping(folder, 5.0, 9.0, "m", signs=(1, -1))
    site = survey_site(frame, levels=levels)
    files, findings = build_site(site, folder / "out")
    assert findings == ()
    return site, {path.name: path for path in files}


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_points_agree_in_csv_dxf_and_geojson(made) -> None:
    site, files = made
    mm = site.frame.design.output.units.mm_per_drawing_unit
    unit = "in" if mm > 1 else "mm"
    listed = {
        row["point"]: [float(row[f"{c}, {unit}"]) for c in "xyz"]
        for row in rows_of(files["site-stakes.csv"])
    }
    assert len(listed) == len(site.setting_out.points)
    # DXF by GDAL: points in the order of the file, then their names at the same places.
    meta, _, shapes, fields = pyogrio.raw.read(files["site-stakes.dxf"], columns=["Layer", "Text"])
    assert list(meta["fields"]) == ["Layer", "Text"]

    found = {}
    places = set()
    for shape, layer, text in zip(shapely.from_wkb(shapes), fields[0], fields[1], strict=True):
        if layer == "names":
            found[text] = shapely.get_coordinates(shape, include_z=True)[0]
        elif shape.geom_type == "Point" and layer != "cautions":
            places.add(tuple(np.round(shapely.get_coordinates(shape, include_z=True)[0], 4)))
    assert found.keys() == listed.keys()
    for name, place in listed.items():
        assert found[name] == pytest.approx(place, abs=1e-4)
        assert tuple(np.round(found[name], 4)) in places
    # GeoJSON by GDAL, taken back into the projection, and turned back by the bearing.
    _, _, shapes, fields = pyogrio.raw.read(files["site-stakes.geojson"], columns=["point"])
    back = Transformer.from_crs("EPSG:4326", f"EPSG:{UTM['epsg']}", always_xy=True)
    turn = np.radians(UTM["bearing"])
    for shape, name in zip(shapely.from_wkb(shapes), fields[0], strict=True):
        east, north = back.transform(shape.x, shape.y)
        e, n = ((v - UTM[k]) / site.origin.scale for v, k in ((east, "east"), (north, "north")))
        x, y = e * np.cos(turn) - n * np.sin(turn), e * np.sin(turn) + n * np.cos(turn)
        # 9 decimals of a degree are 0.1 mm.
        assert (1000 * x, 1000 * y) == pytest.approx(
            [value * mm for value in listed[name][:2]], abs=0.3
        )
    data = json.loads(files["site-stakes.geojson"].read_text("utf-8"))
    assert {f["geometry"]["type"] for f in data["features"]} == {"Point"}
    # RFC 7946, section 4: no other reference system is named, as it would be ignored.
    assert "crs" not in data
    assert any("buried cables" in caution for caution in data["cautions"])


def test_json_has_the_rows_of_the_csv_files(made) -> None:
    site, files = made
    data = json.loads(files["site.json"].read_text("utf-8"))
    for key, table in data["tables"].items():
        assert len(rows_of(files[f"site-{key}.csv"])) == len(table)
    marks = {row["socket"]: row["mark_mm"] for row in data["tables"]["drive"]}
    assert marks == {d.place.name: round(d.mark_mm, 4) for d in site.driving.sockets}
    assert any("overhead lines" in caution for caution in data["cautions"])


def test_the_judge_finds_nothing_on_the_sheets(made) -> None:
    site, files = made
    out = site.setting_out
    assert (
        judge(
            files["site-sheets.dxf"], sizes_mm=[out.width_mm, out.diagonal_mm, out.square.slant_mm]
        )
        == []
    )
    with pymupdf.open(files["site-sheets.pdf"]) as pages:
        assert len(pages) == 5
        words = [page.get_text() for page in pages]
    assert all("buried cables" in text for text in words)


def test_every_socket_is_on_the_profiles_with_its_mark(made) -> None:
    site, files = made
    texts = {
        text.text
        for page in pages_of(ezdxf.readfile(files["site-sheets.dxf"]))
        for text in page.texts
    }
    from frame3d.frame.describe.wording import lengths_of

    form = lengths_of(site.frame)
    for driven in site.driving.sockets:
        assert driven.place.name in texts
        assert form.text(driven.mark_mm) in texts


def test_heights_on_the_profile_are_drawn_as_many_times_as_it_says(made) -> None:
    """The middle line of the string against the figures: rise over run times the exaggeration."""
    site, _ = made
    from frame3d.frame.model.roles import Side
    from frame3d.sheets.projection.stretch import whole
    from frame3d.sheets.views.profile import exaggeration, profile

    times = exaggeration(site, 1)
    view = profile(site, Side.LEFT, times, whole(site.frame.grid))
    assert f"heights × {times}" in view.title or times == 1
    (string,) = [one for one in view.primitives if getattr(one, "layer", None) is not None
                 and one.layer.name == "CENTRE"]  # fmt: skip
    run, rise = (b - a for a, b in zip(string.start, string.end, strict=True))
    slope = site.driving.slope_percent / 100 * (-1 if site.setting_out.axes.y_mm else 1)
    assert rise / run / times == pytest.approx(slope, abs=1e-9)


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_examples_on_an_invented_plot_are_drawn_without_a_finding(name, tmp_path) -> None:
    import frame3d

    frame = frame3d.lay_out(frame3d.load_design(example_paths()[name]))
    grid = frame.grid
    levels = sloping(tmp_path, 2 * grid.socket_x_mm / 1000, grid.length_mm / 1000, "m")
    sheets = draw_site(survey_site(frame, levels=levels))
    assert sheets.findings == ()
    # Sheet 1 of these must not be taken for sheet 1 of the frame's set.
    number = f"{frame.design.project.number}-SITE"
    assert {sheet.block.number for sheet in sheets.sheets} == {number}
    path = write_dxf(sheets, tmp_path / "sheets.dxf")
    assert judge(path) == []


METRIC_A = {"units": "metric", "sheets": "us", "sheet_size": "A"}
IMPERIAL_A3 = {"units": "imperial", "sheets": "iso", "sheet_size": "A3"}


@pytest.mark.parametrize(
    ("output", "width", "count", "spacing"),
    [(METRIC_A, 3.0, 2, 1.0), (METRIC_A, 14.0, 6, 2.0), (IMPERIAL_A3, 3.0, 2, 1.0),
     (IMPERIAL_A3, 6.0, 60, 1.2)],
)  # fmt: skip
def test_odd_tunnels_are_drawn_without_a_finding(output, width, count, spacing, tmp_path) -> None:
    frame = lay_out(
        design_from_mapping(
            {
                "output": output,
                "profile": {
                    "style": "quonset",
                    "width": f"{width} m",
                    "ridge_height": f"{max(2.2, width / 2 + 0.3)} m",
                },
                "bays": {"count": count, "spacing": f"{spacing} m"},
            }
        )
    )
    levels = sloping(tmp_path, width, count * spacing, "m")
    sheets = draw_site(survey_site(frame, levels=levels))
    assert sheets.findings == ()
    assert judge(write_dxf(sheets, tmp_path / "sheets.dxf")) == []


def test_the_same_site_gives_the_same_bytes(made, tmp_path) -> None:
    site, files = made
    again, _ = build_site(site, tmp_path / "again")
    for path in again:
        assert path.read_bytes() == files[path.name].read_bytes(), path.name


def test_files_of_an_earlier_run_that_say_nothing_now_go_away(tmp_path) -> None:
    frame = small_frame()
    (tmp_path / "own.txt").write_text("mine")
    levels = sloping(tmp_path, 5.0, 9.0, "m")
    build_site(survey_site(frame, levels=levels), tmp_path)
    assert (tmp_path / "site-drive.csv").exists()
    files, _ = build_site(survey_site(frame), tmp_path)
    assert not (tmp_path / "site-drive.csv").exists()
    assert (tmp_path / "own.txt").read_text() == "mine"
    assert {path.name for path in files} <= set(SITE_FILES)


def test_a_build_has_the_points_of_level_ground(tmp_path) -> None:
    frame = small_frame(corner="front right")
    write_stakes(frame, tmp_path / "stakes.csv")
    build_site(survey_site(frame), tmp_path)
    assert (tmp_path / "stakes.csv").read_text() == (tmp_path / "site-stakes.csv").read_text()
    rows = rows_of(tmp_path / "stakes.csv")
    assert [row["point"] for row in rows[:2]] == ["1L", "1R"]
    assert float(rows[0]["x, mm"]) == pytest.approx(-5000)


def test_a_text_beside_the_csv_files_has_cautions_and_what_was_found(tmp_path) -> None:
    """Instruments read the CSV files, so these are bare; the text is there with any of them."""
    site = survey_site(small_frame(), levels=sloping(tmp_path, 5.0, 9.0, "m"))
    build_site(site, tmp_path / "out")
    text = " ".join((tmp_path / "out" / READ_FIRST).read_text("utf-8").split())
    told = (*SITE_CAUTIONS, *findings(site), *assumptions(site))
    assert len(told) > len(SITE_CAUTIONS)
    assert all(" ".join(line.split()) in text for line in told)


DESIGN = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "5 m"
ridge_height = "3.2 m"
[bays]
count = 6
spacing = "1.5 m"
"""


def run(*words: object, folder: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-P", "-m", "frame3d.cli", "site", *map(str, words)]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120)


@pytest.fixture
def plot(tmp_path) -> Path:
    (tmp_path / "a.toml").write_text(DESIGN, "utf-8")
    sloping(tmp_path, 5.0, 9.0, "m")
    put(tmp_path, "measured.csv", ["from", "to", "distance"],
        ["1L", "1R", "5 m"], ["7L", "7R", "5 m"], ["1L", "7L", "9 m"], ["1R", "7R", "9 m"],
        ["1L", "7R", "10.321 m"], ["1R", "7L", "10.270 m"])  # fmt: skip
    put(tmp_path, "built.csv", ["point", "x, m", "y, m", "z, m"],
        *([f"{n}{s}", x + (0.1 if (n, s) == (4, "R") else 0), 1.5 * (n - 1), 0.3]
          for n in range(1, 8) for s, x in (("L", 0), ("R", 5))))  # fmt: skip
    return tmp_path


def test_the_command_tells_what_to_do_and_the_cautions(plot: Path) -> None:
    done = run("a.toml", "--levels", "levels.csv", "--measured", "measured.csv", "--built",
               "built.csv", folder=plot)  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    # A rhombus: the sides are right, the far end 51 × 10296/(2 × 5000) = 52.5 mm to the right.
    assert "The diagonals differ by 51 mm, the one from the front left is longer" in done.stdout
    assert "Hoop 4 does not fit: 100 mm wider than the design." in done.stdout
    assert "Socket 4R: move 100 mm to the left." in done.stdout
    assert "Driving marks" in done.stdout
    assert "buried cables" in done.stdout
    assert sorted(path.name for path in plot.iterdir()) == [
        "a.toml",
        "built.csv",
        "levels.csv",
        "measured.csv",
    ]


def test_json_is_all_that_is_printed(plot: Path) -> None:
    done = run("a.toml", "--measured", "measured.csv", "--json", "--out", "out", folder=plot)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == json.loads((plot / "out" / "site.json").read_text("utf-8"))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("none.toml",), "none.toml"),
        (("a.toml", "--levels", "none.csv"), "--levels: none.csv cannot be read: No such file"),
        (("a.toml", "--levels", "a.toml"), "row 1"),
        (("a.toml", "--levels", "."), "cannot be read: Is a directory"),
        (("a.toml", "--out", "a.toml"), "is a file"),
    ],
)
def test_what_cannot_be_is_told_without_a_traceback(words, told: str, plot: Path) -> None:
    done = run(*words, folder=plot)
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert not (plot / "out").exists()


def test_nothing_heavy_is_loaded_for_a_look(plot: Path) -> None:
    code = (
        "import sys; sys.argv = ['frame3d', 'site', 'a.toml']\n"
        "from frame3d.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "assert not {'scipy', 'pyproj', 'ezdxf', 'OCP', 'ortools'} & set(sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-P", "-c", code], cwd=plot, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr


def test_lengths_in_words_are_lengths(made) -> None:
    site, files = made
    data = json.loads(files["site-stakes.geojson"].read_text("utf-8"))
    for feature, point in zip(data["features"], site.setting_out.points, strict=True):
        along = parse_length(feature["properties"]["along"], allow_negative=True)
        assert along == pytest.approx(point.along_mm, abs=0.8)
    assert {p.kind for p in site.setting_out.points} == set(PlaceKind)
