"""``frame3d guide``: both files or none, and what is wrong is told."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from frame3d.cli import app
from frame3d.guide import GUIDE_FILES

SMALL = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "4 m"
[bays]
count = 2
spacing = "1.2 m"
[socket]
tube = "60 x 3 mm"
[hoop]
tube = "48 x 2 mm"
"""


def test_both_files_are_written_and_nothing_else(tmp_path: Path) -> None:
    design, out = tmp_path / "small.toml", tmp_path / "made"
    design.write_text(SMALL, encoding="utf-8")
    run = CliRunner().invoke(app, ["guide", str(design), "--out", str(out)])
    assert run.exit_code == 0, run.output
    assert {path.name for path in out.iterdir()} == set(GUIDE_FILES)
    assert "guide.html" in run.output
    assert "licensed professional" in run.output
    assert {path.name for path in tmp_path.iterdir()} == {"small.toml", "made"}


def test_a_faulty_design_leaves_no_folder(tmp_path: Path) -> None:
    design, out = tmp_path / "small.toml", tmp_path / "made"
    design.write_text(SMALL.replace("count = 2", "count = 0"), encoding="utf-8")
    run = CliRunner().invoke(app, ["guide", str(design), "--out", str(out)])
    assert run.exit_code == 2
    assert not out.exists()


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    design, out = tmp_path / "small.toml", tmp_path / "made"
    design.write_text(SMALL, encoding="utf-8")
    out.write_text("a file")
    run = CliRunner().invoke(app, ["guide", str(design), "--out", str(out)])
    assert run.exit_code == 2
    assert out.read_text() == "a file"
