"""The whole build of small designs, and what a failed or stopped one leaves."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from killed_runs import killed
from whole_designs import designs

from frame3d import build, load_design
from frame3d.build_jobs import FILES_OF, FOLDERS, Made
from frame3d.building import FILES, OUTPUTS, _made_before, taken_off
from frame3d.cli.build_command import OneOutput
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults, OutputError, SolidError
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.single_builds import build_guide, build_takeoff
from frame3d.solids.pictures.render import PICTURES
from frame3d.takeoff.write.takeoff_files import CREW_FILES, TAKEOFF_FILES

SMALL = {
    "project": {"name": "Seedling house [1]"},
    "output": {"units": "metric", "order_files": ["requests", "labels"]},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "rail": [{"at": "ridge"}],
    "sill_board": {},
}

SMALL_TOML = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "4 m"
ridge_height = "2.6 m"
leg_height = "0.6 m"
[bays]
count = 2
spacing = "1.2 m"
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("out") / "small"
    build(design_from_mapping(SMALL), folder, workers=2)
    return folder


@pytest.fixture
def without_pictures(monkeypatch) -> None:
    """Of builds by one process: the pictures take half of its time."""
    monkeypatch.setattr(
        "frame3d.building.pictures", lambda *_args: contextlib.nullcontext(lambda: Made())
    )


def test_every_file_is_made_and_nothing_else_is_left(built: Path) -> None:
    found = {path.name for path in built.iterdir()}
    assert found - set(PICTURES) == {
        "model.step",
        "model.stl",
        "model.glb",
        "model.ifc",
        "sheets.dxf",
        "sheets.pdf",
        "clearance.svg",
        "findings.json",
        "stakes.csv",
        "summary.json",
        "view.html",
        "guide.html",
        "guide.pdf",
        "inspection.pdf",
        "inspection.csv",
        "sheets",
        "parts",
        "order",
        *TAKEOFF_FILES,
    }
    listed = set(json.loads((built / "summary.json").read_text(encoding="utf-8"))["files"])
    there = {str(p.relative_to(built)) for p in built.rglob("*") if p.is_file()}
    assert listed == there
    assert {"sheets/sheet-01.svg", "parts/H1.dxf", "parts/S1.dxf"} <= there
    assert [path.name for path in built.parent.iterdir()] == ["small"]


def test_summary_counts_what_the_frame_has(built: Path) -> None:
    frame = lay_out(design_from_mapping(SMALL))
    data = json.loads((built / "summary.json").read_text(encoding="utf-8"))
    assert {row["mark"]: row["count"] for row in data["parts"]} == {
        count.mark: count.count for count in frame.parts()
    }
    # 4 m between centres less one outside diameter of 42 mm.
    assert data["profile"]["width"]["clear_inside"] == {"mm": 3958.0, "text": "3958 mm"}
    assert any("licensed professional" in caution for caution in data["cautions"])


def test_one_process_and_two_make_the_same_bytes(built: Path, tmp_path: Path) -> None:
    """``built`` is made by two."""
    folder = tmp_path / "again"
    build(design_from_mapping(SMALL), folder, workers=1)
    names = {str(p.relative_to(built)) for p in built.rglob("*") if p.is_file()}
    assert set(FILES) - set(PICTURES) - set(CREW_FILES) < names
    assert names == {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}
    for name in names:
        assert (folder / name).read_bytes() == (built / name).read_bytes(), name


@pytest.mark.usefixtures("without_pictures")
def test_stale_files_in_folders_go_and_the_users_own_stay(built: Path, tmp_path: Path) -> None:
    """A design with fewer parts: what the last build listed goes, what it did not list stays."""
    folder = tmp_path / "again"
    shutil.copytree(built, folder)
    (folder / "parts" / "mine.dxf").write_text("the user's own")
    without = {key: value for key, value in SMALL.items() if key != "sill_board"}
    build(design_from_mapping(without), folder, workers=1)
    parts = {path.name for path in (folder / "parts").iterdir()}
    assert "SB1.dxf" in {path.name for path in (built / "parts").iterdir()}
    assert "SB1.dxf" not in parts
    assert (folder / "parts" / "mine.dxf").read_text() == "the user's own"
    assert {"mine.dxf", "H1.dxf"} <= parts


@pytest.mark.parametrize(
    "listed",
    ['["parts/../keep.txt", "keep.txt", "parts/a/b.dxf", 3]', '"parts/mine.dxf"', "no json {"],
)
def test_a_summary_that_lists_other_files_takes_nothing_away(tmp_path: Path, listed: str) -> None:
    (tmp_path / "keep.txt").write_text("x")
    (tmp_path / "summary.json").write_text(f'{{"program": "frame3d 0", "files": {listed}}}')
    assert _made_before(tmp_path) == []


@pytest.mark.parametrize("only", OUTPUTS)
def test_one_output_alone_has_the_same_bytes(built: Path, tmp_path: Path, only: str) -> None:
    made = build(design_from_mapping(SMALL), tmp_path / "one", only=[only])
    names = {path.relative_to(made.folder).as_posix() for path in made.files}
    of_folder = {n for n in names if "/" in n}
    assert names - of_folder == set(FILES_OF[only]) & {path.name for path in built.iterdir()}
    assert {name.partition("/")[0] for name in of_folder} == ({only} & set(FOLDERS))
    there = [path for path in made.folder.rglob("*") if path.is_file()]
    assert {path.relative_to(made.folder).as_posix() for path in there} == names
    for name in names:
        assert (made.folder / name).read_bytes() == (built / name).read_bytes(), name


def test_one_output_of_another_design_is_listed_and_cleared_by_the_next(
    built: Path, tmp_path: Path
) -> None:
    """Marks that only the second design has go again with the third run, the user's file stays."""
    with_hip = {**SMALL, "side_opening": {"hip": "board"}}
    folder = tmp_path / "small"
    shutil.copytree(built, folder)
    before = {path.name for path in (folder / "parts").iterdir()}
    (folder / "parts" / "mine.dxf").write_text("the user's own")
    build(design_from_mapping(with_hip), folder, only=["parts"])
    assert (folder / "parts" / "HB1.dxf").exists() and "HB1.dxf" not in before
    listed = json.loads((folder / "summary.json").read_text())["files"]
    assert "parts/HB1.dxf" in listed and "model.step" in listed
    build(design_from_mapping(SMALL), folder, only=["parts"])
    assert {path.name for path in (folder / "parts").iterdir()} == before | {"mine.dxf"}


def test_some_outputs_into_a_new_folder_bring_no_summary(tmp_path: Path) -> None:
    build(design_from_mapping(SMALL), tmp_path, only=["parts", "takeoff"])
    assert not (tmp_path / "summary.json").exists()


def test_what_cannot_be_made_alone_is_told(tmp_path: Path) -> None:
    assert {one.value for one in OneOutput} == set(OUTPUTS)
    with pytest.raises(ValueError, match="only: pictures; it can be model, ifc, view, sheets"):
        build(design_from_mapping(SMALL), tmp_path / "one", only=["pictures"])
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_place_of_a_folder_is_told_before_anything_is_made(tmp_path: Path) -> None:
    (tmp_path / "parts").write_text("x")
    with pytest.raises(OutputError, match="parts is a file, not a folder; choose"):
        build(design_from_mapping(SMALL), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["parts"]


def test_failed_build_leaves_the_last_good_one(tmp_path: Path, monkeypatch) -> None:
    folder = tmp_path / "kept"
    folder.mkdir()
    (folder / "model.step").write_text("last good one")
    (folder / "notes.txt").write_text("the user's own")

    def broken(*_args: object) -> None:
        raise SolidError("H1 (Tube): spoilt on purpose")

    monkeypatch.setattr("frame3d.solids.write.model_files.write_model", broken)
    with pytest.raises(SolidError, match="spoilt on purpose"):
        build(design_from_mapping(SMALL), folder, workers=1)
    assert sorted(path.name for path in folder.iterdir()) == ["model.step", "notes.txt"]
    assert (folder / "model.step").read_text() == "last good one"
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]


def test_list_that_cannot_be_read_is_told_before_anything_is_touched(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text("item,price\nhex nut M10,cheap\n")
    mapping = {**SMALL, "order": {"price_file": "prices.csv"}}
    with pytest.raises(DesignFaults, match="prices.csv: row 2, column price: got .cheap."):
        build(design_from_mapping(mapping, folder=tmp_path), tmp_path / "out")
    mapping = {**SMALL, "order": {"stock_file": "none.csv"}}
    with pytest.raises(DesignFaults, match="order.stock_file: .*none.csv cannot be read: No such"):
        build(design_from_mapping(mapping, folder=tmp_path), tmp_path / "out")
    assert [path.name for path in tmp_path.iterdir()] == ["prices.csv"]


def test_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("x")
    with pytest.raises(OutputError, match="is a file, not a folder"):
        build(design_from_mapping(SMALL), tmp_path / "taken")


def test_example_from_python() -> None:
    design = load_design(example_paths()["long_meadow_quonset"])
    assert len(lay_out(design).members) > 500


@settings(
    max_examples=examples(6),
    deadline=None,
    derandomize=True,
    database=None,
    # Shrinking would make solids for minutes; the design that fails is printed in any case.
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(designs(most_bays=4))
def test_whatever_lays_out_has_sound_solids(mapping: dict) -> None:
    """Each solid is valid and single and has the volume that arithmetic gives its part."""
    from frame3d.solids.parts.make_solids import make_solids

    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
    solids = make_solids(frame)
    for count in frame.parts():
        wanted = volume_mm3(count.part)
        assert abs(solids[count.mark].volume_mm3 - wanted) < 2e-5 * wanted


def started(tmp_path: Path) -> subprocess.Popen[str]:
    """A build into ``tmp_path / "kept"``, which holds a file, once it has begun."""
    folder = tmp_path / "kept"
    folder.mkdir(exist_ok=True)
    (folder / "model.step").write_text("last good one")
    design = example_paths()["long_meadow_gothic"]
    command = [
        sys.executable, "-P", "-m", "frame3d.cli", "build", str(design), "--out", str(folder),
    ]  # fmt: skip
    root = str(Path(__file__).parents[2])
    run = subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": root}
    )
    end = time.monotonic() + 60
    # The temporary folder beside it tells that the build has begun.
    while not [*tmp_path.glob(".kept.*/made")] and time.monotonic() < end:
        time.sleep(0.02)
    return run


@pytest.mark.skipif(os.name == "nt", reason="there Ctrl-C cannot be sent to one process")
@pytest.mark.parametrize(
    ("number", "delay_s"),
    [(signal.SIGINT, 0.0), (signal.SIGINT, 1.5), (signal.SIGTERM, 1.0), (signal.SIGHUP, 1.0)],
)
def test_stopped_build_leaves_the_last_good_one(
    tmp_path: Path, number: signal.Signals, delay_s: float
) -> None:
    run = started(tmp_path)
    try:
        assert len(list(tmp_path.iterdir())) == 2
        time.sleep(delay_s)
        run.send_signal(number)
        _, told = run.communicate(timeout=60)
    finally:
        run.kill()
        run.wait()
    assert run.returncode == 128 + number
    assert told.splitlines()[-1].startswith("stopped; unfinished files")
    assert "Traceback" not in told
    assert_last_good_one(tmp_path)


def assert_last_good_one(tmp_path: Path) -> None:
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]
    assert [path.name for path in (tmp_path / "kept").iterdir()] == ["model.step"]
    assert (tmp_path / "kept" / "model.step").read_text() == "last good one"


@pytest.mark.skipif(os.name == "nt", reason="there no process is killed so")
def test_what_killed_builds_left_goes_with_the_next_run(tmp_path: Path) -> None:
    for _ in range(2):
        run = started(tmp_path)
        time.sleep(0.5)
        run.kill()
        run.communicate(timeout=60)
    # The second has cleared away what the first left.
    assert len([*tmp_path.glob(".kept.*")]) == 1
    frame = lay_out(design_from_mapping(SMALL))
    build_guide(frame, tmp_path / "guide")
    (tmp_path / "guide" / "guide.html").unlink()
    shutil.rmtree(tmp_path / "guide")
    assert_last_good_one(tmp_path)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="runs are forked and killed")
def test_an_order_killed_at_any_renaming_is_whole_after_the_next(tmp_path: Path) -> None:
    """Real files of two designs, into the folder of a build."""
    one, other = (
        taken_off(lay_out(design_from_mapping({**SMALL, "bays": {"count": n, "spacing": "1.2 m"}})))
        for n in (2, 3)
    )
    for number, takeoff in enumerate((one, other)):
        build_takeoff(takeoff, tmp_path / f"{number}")
    whole = [
        {name: (tmp_path / f"{number}" / name).read_bytes() for name in TAKEOFF_FILES}
        for number in (0, 1)
    ]
    folder, seen = tmp_path / "kept" / "out", []
    for step in range(100):
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(tmp_path / "0", folder)
        (folder / "summary.json").write_text('{"program": "frame3d 0"}')
        if not killed(lambda out: build_takeoff(other, out), folder, step, ["os.rename"]):
            break
        there = {name: (folder / name).read_bytes() for name in TAKEOFF_FILES}
        told = "unfinished" in (folder / "summary.json").read_text()
        seen.append("mixed" if there not in whole else whole.index(there))
        assert told or seen[-1] != "mixed"
        # Any run into that folder puts it right, one of another kind too.
        if step == 5:
            build_guide(one.frame, folder)
        else:
            build_takeoff(other, folder)
        there = {name: (folder / name).read_bytes() for name in TAKEOFF_FILES}
        assert there == whole[1]
        assert (folder / "summary.json").read_text() == '{"program": "frame3d 0"}'
        assert [path.name for path in folder.parent.iterdir()] == ["out"]
    # Before the note and the mark, at the mark, at each file, and at the summary.
    assert len(seen) > len(TAKEOFF_FILES) and seen.count("mixed") >= len(TAKEOFF_FILES) - 4


CUT_SHORT = r"""
import resource, sys
from pathlib import Path
from frame3d.building import build_frame, taken_off
from frame3d.single_builds import build_guide, build_site, build_takeoff
from frame3d.errors import MachineError
from frame3d.frame.lay_out import lay_out
from frame3d.site.survey import survey_site
from frame3d.solids.pictures.render import write_pictures
from frame3d.design.reading.reader import read_design
from frame3d.view.light_shells import shells_of
frame = lay_out(read_design(sys.argv[1]))
order = taken_off(frame)
makers = {
    "takeoff": lambda out: build_takeoff(order, out), "guide": lambda out: build_guide(frame, out),
    "pictures": lambda out: write_pictures(shells_of(frame), out),
    "site": lambda out: build_site(survey_site(frame), out),
    "build": lambda out: build_frame(frame, out, workers=1),
}
for most in map(int, sys.argv[4:]):
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
    try:
        makers[sys.argv[2]](Path(sys.argv[3]))
    except MachineError as error:
        sys.stdout.write(f"{error}\n")
"""


@pytest.mark.skipif(os.name == "nt", reason="there the size of files is not bounded")
@pytest.mark.parametrize(
    ("kind", "sizes"),
    [
        ("takeoff", (10, 1_000, 8_000, 16_000)), ("guide", (10, 60_000, 75_000)),
        ("site", (10, 1_500, 20_000)), ("build", (50_000, 800_000)),
        ("pictures", (1_000, 100_000)),
    ],
)  # fmt: skip
def test_a_disk_that_takes_no_more_is_told_whichever_file_it_was(
    tmp_path: Path, kind: str, sizes: tuple[int, ...]
) -> None:
    """Files that may not grow beyond a size, which stops every writer in its middle."""
    (tmp_path / "a.toml").write_text(SMALL_TOML)
    out = tmp_path / "out"
    done = subprocess.run(
        [sys.executable, "-P", "-c", CUT_SHORT, str(tmp_path / "a.toml"), kind, str(out),
         *map(str, sizes)],
        capture_output=True, text=True, timeout=600, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    wanted = (
        f"{out} cannot be written: the file would be larger than this disk or user account allows"
    )
    lines = done.stdout.splitlines()
    assert len(lines) == len(sizes)
    assert [line for line in lines if not line.startswith(wanted)] == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.toml"]
