"""Design files of every format that was ever written open for ever, and mean what they meant.

``tests/kept/format-N`` holds the files as they were written; ``designs.json`` what they were read
as and ``defaults.json`` every default then (regression values of the release that wrote them).
``python tests/tools/keep_format.py`` adds the folder of a new format.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from frame3d.design.reading import formats
from frame3d.design.reading.reader import design_from_text, notes_of, read_design
from frame3d.frame.located import laid_out

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tools"))
from keep_format import KEPT, defaults, read_as  # noqa: E402

FOLDERS = sorted(KEPT.iterdir())
FILES = [path for folder in FOLDERS for path in sorted(folder.glob("*.toml"))]
NUMBERS = {folder.name: int(folder.name.removeprefix("format-")) for folder in FOLDERS}


def changed_since(folder: Path) -> set[tuple[str, str]]:
    """The fields that the program says have another default since."""
    number = NUMBERS[folder.name]
    return {(one.section, one.name) for one in formats.CHANGED if one.format > number}


def renamed(section: str, name: str) -> tuple[str, str]:
    """A field by its name of today."""
    new = {(one.section, one.old): one.new for one in formats.RENAMED}
    return section, new.get((section, name), name)


def test_each_format_is_kept() -> None:
    assert sorted(NUMBERS.values()) == list(range(1, formats.FORMAT + 1))
    for folder in FOLDERS:
        assert len(list(folder.glob("short_*.toml"))) == 4


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_kept_file_is_read_as_it_was(path: Path) -> None:
    """But for defaults that are told to have changed, each with a note."""
    was = json.loads((path.parent / "designs.json").read_text("utf-8"))[path.name]
    now, changed = read_as(path), changed_since(path.parent)
    told = " ".join(notes_of(read_design(path)))
    for section, tables in was.items():
        pairs = [(tables, now[section])] if not isinstance(tables, list) else (
            zip(tables, now[section], strict=True)
        )  # fmt: skip
        for old, new in pairs:
            for name, value in (old or {}).items():
                key = renamed(section, name)
                if new[key[1]] != value:
                    assert key in changed, f"{section}.{name} was {value} and is {new[key[1]]}"
                    assert key[1] in told
    if not changed:
        assert not notes_of(read_design(path))


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_kept_file_can_be_laid_out(path: Path) -> None:
    assert laid_out(read_design(path)).members


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_default_that_has_changed_is_entered(folder: Path) -> None:
    """A default that changes without a word would change the steel of files that leave it out."""
    was, now = json.loads((folder / "defaults.json").read_text("utf-8")), defaults()
    for dotted, pair in was.items():
        section, name = renamed(*dotted.split("."))
        if now.get(f"{section}.{name}") != pair:
            assert (section, name) in changed_since(folder), dotted


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_kept_file_can_be_brought_up(path: Path) -> None:
    """With comments kept, and to a design that is the one that it was."""
    from frame3d.design.reading.syntax import parsed
    from frame3d.design.writing.editing import edited_text

    text = path.read_text("utf-8")
    older = formats.opened(parsed(text, path.name), path.name)
    wanted = edited_text(text, formats.brought_up(older))
    assert [line for line in text.splitlines() if line.startswith("#")] == [
        line for line in wanted.splitlines() if line.startswith("#")
    ]
    brought = design_from_text(wanted)
    assert not notes_of(brought)
    if not changed_since(path.parent):
        assert brought == design_from_text(text)
