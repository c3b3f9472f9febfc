"""``frame3d compare`` and ``build --since`` as a user runs them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

import frame3d
from frame3d.building import build_frame
from frame3d.cli import app
from frame3d.design.reading.reader import read_design
from frame3d.frame.describe.bought import bought
from frame3d.frame.lay_out import lay_out
from frame3d.schemas import Document, document_schema
from frame3d.summary import summary_of, summary_text

DESIGN = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "5 m"
leg_height = "0.6 m"
[bays]
count = {bays}
spacing = "1.5 m"
[[rail]]
at = "ridge"
[[revision]]
mark = "{mark}"
what = "As built"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("designs")
    (place / "old.toml").write_text(DESIGN.format(bays=2, mark="A"), "utf-8")
    (place / "new.toml").write_text(DESIGN.format(bays=3, mark="B"), "utf-8")
    (place / "bad.toml").write_text(DESIGN.format(bays=0, mark="B"), "utf-8")
    (place / "twice.toml").write_text(
        DESIGN.format(bays=2, mark="A") + '[[revision]]\nmark = "A"\n', "utf-8"
    )
    frame = lay_out(read_design(place / "old.toml"))
    (place / "built").mkdir()
    (place / "built" / "summary.json").write_text(summary_text(summary_of(frame)), "utf-8")
    return place


def run(*words: str | Path):
    return CliRunner().invoke(app, [str(word) for word in words])


def test_it_lists_what_differs(folder: Path) -> None:
    result = run("compare", folder / "old.toml", folder / "new.toml")
    assert result.exit_code == 0
    # 3 hoops and 4, two sockets each.
    assert "2 more" in result.stdout
    assert "Still to make for the new design: 2 × S1, 1 × H1" in result.stdout
    assert "--since" in result.stdout
    assert "same. Hardware: " in result.stdout.rstrip().splitlines()[-1]


def test_it_says_when_nothing_differs(folder: Path) -> None:
    result = run("compare", folder / "old.toml", folder / "old.toml")
    assert result.exit_code == 0
    assert "Nothing is left to make." in result.stdout
    assert result.stdout.rstrip().endswith(
        "made parts and the hardware are the same, in the same places."
    )


def test_the_json_is_as_its_schema_says(folder: Path) -> None:
    found = json.loads(run("compare", folder / "old.toml", folder / "new.toml", "--json").stdout)
    schema = json.loads(document_schema(Document.COMPARISON))
    assert list(Draft202012Validator(schema).iter_errors(found)) == []
    assert set(found) == set(schema["properties"])
    assert (found["old"]["revision"], found["new"]["revision"]) == ("A", "B")
    assert sum(found["counts"].values()) == len(found["parts"])
    socket = next(p for p in found["parts"] if (p["new"] or p["old"])["role"] == "socket")
    assert (socket["change"], socket["in_other_places"]) == ("moved", 2)
    python = frame3d.compare_parts(*(
        frame3d.lay_out(frame3d.load_design(folder / name)) for name in ("old.toml", "new.toml")
    ))  # fmt: skip
    assert dict(python.to_make) == {one["mark"]: one["count"] for one in found["to_make"]}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("old.toml", "none.toml"), "none.toml"),
        (("bad.toml", "twice.toml"), "bays.count"),
        (("bad.toml", "twice.toml"), "revision[2].mark"),
        ((".", "new.toml"), "is a folder"),
    ],
)
def test_a_design_that_is_not_valid_is_told(folder: Path, words: tuple, told: str) -> None:
    result = run("compare", *(folder / word for word in words))
    assert result.exit_code == 2
    assert told in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("build", "new.toml", "--since", "none"), "name the folder of an older build"),
        (("build", "new.toml", "--since", "new.toml"), "is not the summary.json of a build"),
        (("build", "new.toml", "old.toml", "--since", "built"), "--since is for one design"),
        (("takeoff", "new.toml", "--since", "none"), "name the folder of an older build"),
        (("guide", "new.toml", "--since", "none"), "name the folder of an older build"),
    ],
)
def test_what_marks_cannot_be_taken_from_is_told(
    folder: Path, words: tuple, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    before = sorted(folder.rglob("*"))
    result = run(*words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert sorted(folder.rglob("*")) == before


def test_one_output_can_have_the_kept_marks(folder: Path, tmp_path: Path) -> None:
    """In a folder without other files, or beside those in which no mark is another part's."""
    words = ("build", folder / "new.toml", "--since", folder / "built", "--only", "takeoff")
    assert run(*words, "--out", tmp_path / "alone").exit_code == 0
    assert (tmp_path / "alone" / "takeoff.json").exists()
    frame = lay_out(read_design(folder / "new.toml"))
    (tmp_path / "same").mkdir()
    kept = summary_text(summary_of(frame3d.with_marks_of(frame, folder / "built")))
    (tmp_path / "same" / "summary.json").write_text(kept, "utf-8")
    assert run(*words, "--out", tmp_path / "same").exit_code == 0
    other = json.loads(kept)
    marks = {part["mark"]: part for part in other["parts"]}
    marks["S1"]["shape"], marks["H1"]["shape"] = marks["H1"]["shape"], marks["S1"]["shape"]
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "summary.json").write_text(json.dumps(other), "utf-8")
    result = run(*words, "--out", tmp_path / "other")
    assert result.exit_code == 2
    assert "without --only" in result.stderr and "S1 is another part" in result.stderr
    assert [path.name for path in (tmp_path / "other").iterdir()] == ["summary.json"]


def test_hardware_is_listed_as_it_is_sold(folder: Path) -> None:
    """A fourth hoop has a splice, a rail and two sockets bolted as those of the other three."""
    old, new = (lay_out(read_design(folder / name)) for name in ("old.toml", "new.toml"))
    found = json.loads(run("compare", folder / "old.toml", folder / "new.toml", "--json").stdout)
    counts = [{one.item: one.count for one in bought(frame)} for frame in (old, new)]
    assert {one["item"]: (one["old"], one["new"]) for one in found["hardware"]} == {
        item: tuple(count.get(item, 0) for count in counts) for item in counts[0] | counts[1]
    }
    said = run("compare", folder / "old.toml", folder / "new.toml").stdout
    assert "Hardware in other quantities" in said
    assert "Hardware in other" not in run("compare", *[folder / "old.toml"] * 2).stdout


def test_files_of_a_build_have_the_kept_marks(folder: Path, tmp_path: Path) -> None:
    frame = lay_out(read_design(folder / "new.toml"))
    old = json.loads((folder / "built" / "summary.json").read_text("utf-8"))
    kept = frame3d.with_marks_of(frame, folder / "built")
    result = build_frame(kept, tmp_path / "out", only=("takeoff",), workers=1)
    assert result.summary["revision"] == "B"
    since = result.summary["since"]
    assert since["revision"] == "A" and all(p["change"] != "same" for p in since["parts"])
    shapes = {part["shape"]: part["mark"] for part in old["parts"]}
    for part in result.summary["parts"]:
        if part["shape"] in shapes:
            assert part["mark"] == shapes[part["shape"]]
    listed = json.loads((tmp_path / "out" / "takeoff.json").read_text("utf-8"))
    all_marks = {part["mark"] for part in result.summary["parts"]}
    rows = listed["tables"]["parts"]
    assert {row["mark"] for row in rows} == all_marks
