"""``frame3d loads`` as a user runs it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from frame3d.loads.cautions import CAUTIONS, REFERENCE
from frame3d.schemas import Document, document_schema

DESIGN = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "5 m"
leg_height = "0.4 m"
[bays]
count = {bays}
spacing = "1.5 m"
[[rail]]
at = "ridge"
{more}
[loads]
shapes = ["even snow"]
"""
BRACE = '[[brace]]\nfrom_hoop = 1\nto_hoop = 3\nto_height = "1.4 m"\n'


def run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", "loads", *map(str, words), "--workers", "1"],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip


@pytest.fixture(scope="module")
def designs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("designs")
    (folder / "own.toml").write_text(DESIGN.format(bays=2, more=BRACE), "utf-8")
    (folder / "loose.toml").write_text(
        DESIGN.format(bays=2, more="").replace('[[rail]]\nat = "ridge"\n', "")
        + 'foot = "hinged"\n', "utf-8",
    )  # fmt: skip
    (folder / "bad.toml").write_text(
        DESIGN.format(bays=2, more="").replace("even snow", "hail"), "utf-8"
    )
    return folder


def told_of(record: dict) -> list[str]:
    """What of ``loads.json`` is not as its schema says, and keys that it does not tell of."""
    schema = json.loads(document_schema(Document.LOADS))
    found = [one.message for one in Draft202012Validator(schema).iter_errors(record)]
    return found + sorted(set(record) - set(schema["properties"]))


def test_a_design_is_compared_and_files_are_written(designs: Path, tmp_path: Path) -> None:
    done = run(designs / "own.toml", "--against", designs / "loose.toml", "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(f"Caution: {CAUTIONS[0]}")
    assert REFERENCE in done.stdout
    # Hoops that nothing joins fall over once their legs turn: there is nothing to compare with.
    record = json.loads((tmp_path / "loads.json").read_text("utf-8"))
    assert record["indices"][0]["index"] is not None
    assert told_of(record) == []
    assert (tmp_path / "loads.pdf").read_bytes().startswith(b"%PDF")


def test_json_is_all_that_is_printed(designs: Path) -> None:
    done = run(designs / "own.toml", "--json")
    assert done.returncode == 0, done.stderr
    record = json.loads(done.stdout)
    assert record["indices"] == []
    assert record["other_design"] is None
    assert len(record["changes"]) > 5
    assert told_of(record) == []


def test_a_frame_that_moves_freely_has_no_model(designs: Path, tmp_path: Path) -> None:
    done = run(designs / "loose.toml", "--model", tmp_path / "model")
    assert done.returncode == 2
    assert "moves freely" in done.stderr
    assert "along the tunnel" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "model").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("bad.toml",), "hail"),
        (("own.toml", "--against", "nowhere.toml"), "nowhere.toml"),
        (("own.toml", "--model", "x", "--json"), "--model"),
    ],
)
def test_faults_are_told(designs: Path, words: tuple[str, ...], told: str) -> None:
    done = run(*(designs / word if word.endswith("toml") else word for word in words))
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
