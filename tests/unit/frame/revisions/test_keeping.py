"""A frame keeps the marks of an older build, as its summary has them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from revised_frames import revised as frame

from frame3d.errors import DesignError, OutputError
from frame3d.frame.model.part_records import Change
from frame3d.frame.revisions.former import read_former
from frame3d.frame.revisions.keeping import kept_marks, with_marks_of
from frame3d.frame.revisions.records import records_of
from frame3d.frame.revisions.revision_index import revision_of
from frame3d.frame.revisions.words import change_notes, change_summary, change_word, gone_rows
from frame3d.summary import summary_of, summary_text

LOWER = [{"height": "2.1 m", "every": 1, "post": "king post", "webs": 0}]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of an old build, of which nothing but its summary is asked."""
    folder = tmp_path_factory.mktemp("old")
    (folder / "summary.json").write_text(summary_text(summary_of(frame())), "utf-8")
    return folder


def next_build(base, folder: Path) -> Path:
    folder.mkdir()
    (folder / "summary.json").write_text(summary_text(summary_of(base)), "utf-8")
    return folder


def marks(one) -> dict[str, str]:
    return {record.mark: record.shape.text for record in records_of(one)}


def test_nothing_changed_and_nothing_is_renamed(built: Path) -> None:
    plain = frame()
    again = with_marks_of(plain, built)
    assert marks(again) == marks(plain)
    assert again.members == plain.members and again.joints == plain.joints
    assert again.since.altered == frozenset() and again.since.retired == ()
    assert with_marks_of(plain, None) is plain


def test_marks_outlive_parts_that_come_before_them(tmp_path: Path) -> None:
    # Without the brace that is laid out first, the other would have its mark.
    low, high = (
        {"from_hoop": n, "to_hoop": n + 1, "to_height": h} for n, h in ((1, "1.3 m"), (3, "1.6 m"))
    )
    before, after = frame(brace=[low, high]), frame(brace=[high])
    kept = with_marks_of(after, next_build(before, tmp_path / "old"))
    by_shape = {shape: mark for mark, shape in marks(before).items()}
    same = {shape for shape in marks(after).values() if shape in by_shape}
    fresh = {shape: mark for mark, shape in marks(after).items()}
    assert any(fresh[shape] != by_shape[shape] for shape in same)
    now = {shape: mark for mark, shape in marks(kept).items()}
    assert all(now[shape] == by_shape[shape] for shape in same)
    assert len(now) == len(fresh)
    assert not set(by_shape.values()) & {now[shape] for shape in set(now) - same}


def test_joints_hold_the_renamed_members(built: Path) -> None:
    more = with_marks_of(frame(rail=[{"at": "sides", "height": "2 m"}, {"at": "ridge"}]), built)
    there = {id(member) for member in more.members}
    for joint in more.joints:
        assert {id(m) for m in (*joint.members, *joint.fasteners)} <= there


def test_what_is_gone_keeps_its_mark_for_itself_alone(built: Path, tmp_path: Path) -> None:
    first = with_marks_of(frame(tie=LOWER), built)
    assert {one.mark for one in first.since.retired if not one.bought} == {"T1", "KP1"}
    assert first.since.of("T2").old.mark == "T1"
    second = with_marks_of(frame(tie=[]), next_build(first, tmp_path / "b"))
    third = next_build(second, tmp_path / "c")
    # Neither T1 nor T2 is there now; another tie gets the next number, the first one its own.
    lowest = with_marks_of(frame(tie=[{**LOWER[0], "height": "2 m"}]), third)
    assert [r.mark for r in records_of(lowest) if r.role == "tie"] == ["T3"]
    back = with_marks_of(frame(), third)
    assert marks(back) == marks(frame())
    assert [c.change for c in back.since.changes if c.new and c.new.mark == "T1"] == [Change.NEW]


def test_it_is_told_by_part_and_as_a_whole(built: Path) -> None:
    one = with_marks_of(frame(tie=LOWER), built)
    assert change_word(one, "T2") == "instead of T1"
    assert change_notes(one, ["S1", "T2"]) == (
        "Changed since the older build, marks in a box: T2 instead of T1.",
    )
    assert change_notes(one, ["S1"]) == () == change_notes(frame(), ["S1"])
    assert change_word(frame(), "S1") == ""
    assert {row[0] for row in gone_rows(one)} == {"T1", "KP1"}
    said = " ".join(change_summary(one.since))
    assert "T2 (was T1)" in said and "New: none." in said
    longer = with_marks_of(frame(bays={"count": 6, "spacing": "1.5 m"}), built)
    assert change_word(longer, "S1") == "4 more"
    # Two more hoops, with two sockets each.
    bolt = next(c for c in longer.since.changes if c.new and c.new.role == "bolt")
    assert f"{bolt.new.mark} {bolt.new.count} (were {bolt.old.count})" in " ".join(
        change_summary(longer.since)
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is not the summary.json of a build"),
        ("[]", "is not the summary.json of a build"),
        ('{"program": "x 1", "schema": "y"}', "is not the summary.json of a build"),
        ("SCHEMA", "is not the summary.json of a build"),
        ("UNFINISHED", "did not end"),
        ("SHAPELESS", "does not hold the shapes"),
        ("NO SHAPE", "the shape of a part cannot be read"),
        ("TWICE", "stands for two parts"),
        ("MARK", "is not the mark of a part"),
    ],
)
def test_what_is_no_build_is_told(built: Path, tmp_path: Path, text: str, told: str) -> None:
    found = json.loads((built / "summary.json").read_text("utf-8"))
    spoilt = {
        "SCHEMA": {"schema": "findings-1"},
        "UNFINISHED": {"unfinished": "a run"},
        "SHAPELESS": {"parts": [{**found["parts"][0], "shape": ""}]},
        "NO SHAPE": {"parts": [{**found["parts"][0], "shape": "tube 12"}]},
        "TWICE": {"parts": [found["parts"][0]] * 2},
        "MARK": {"parts": [{**found["parts"][0], "mark": "<b>1"}]},
    }
    path = tmp_path / "summary.json"
    path.write_text(json.dumps({**found, **spoilt[text]}) if text in spoilt else text, "utf-8")
    with pytest.raises(OutputError, match=told) as caught:
        read_former(tmp_path)
    assert "summary.json" in str(caught.value)


def test_a_folder_without_a_build_is_told(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "none"):
        with pytest.raises(OutputError, match="name the folder of an older build"):
            read_former(place)


def test_the_last_revision_is_that_of_the_set() -> None:
    two = [{"mark": "A"}, {"mark": "B", "what": "Ties lowered", "who": "A. Maker"}]
    assert revision_of(frame(revision=two).design) == "B"
    assert revision_of(frame(project={"revision": "C"}).design) == "C"
    assert revision_of(frame(revision=two, project={"revision": "B"}).design) == "B"


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"revision": [{"mark": "A"}, {"mark": "A"}]}, "revision[2].mark"),
        ({"revision": [{"mark": "A"}], "project": {"revision": "B"}}, "project.revision"),
    ],
)
def test_revisions_that_contradict_each_other_are_told(more: dict, field: str) -> None:
    with pytest.raises(DesignError) as caught:
        frame(**more)
    assert caught.value.where == field


def test_a_revision_of_the_design_is_that_of_what_is_compared(built: Path, tmp_path: Path) -> None:
    first = next_build(frame(revision=[{"mark": "A"}]), tmp_path / "a")
    assert read_former(first).revision == "A"
    later = kept_marks(frame(tie=LOWER), read_former(first))
    assert change_notes(later, ["T2"])[0].startswith("Changed since revision A,")
