"""The page opens a file of an older format, and says what has changed since."""

from __future__ import annotations

import pytest

from frame3d.design.reading import formats
from frame3d.design.reading.formats import ChangedDefault, Renamed
from frame3d.web.work.tasks import TASKS

TEXT = "[profile]\nwidth = '20 ft'\n[bays]\nlength = '48 ft'\n[[rail]]\nfraction = 0.5\n"


def asked(task, **question):
    return TASKS[task](question, lambda *_: None).fields


@pytest.fixture
def format_2(monkeypatch):
    monkeypatch.setattr(formats, "FORMAT", 2)
    monkeypatch.setattr(formats, "CHANGED", (
        ChangedDefault(section="rail", name="overlap", format=2, was=lambda *_: "5 in"),
    ))  # fmt: skip
    monkeypatch.setattr(formats, "RENAMED", (
        Renamed(section="profile", old="breadth", new="width", format=2),
    ))  # fmt: skip


def test_a_file_of_today_has_no_notes():
    answer = asked("open", text=f"format = 1\n{TEXT}")
    assert answer["notes"] == []
    assert answer["design"]["format"] == 1


def test_an_older_one_is_shown_under_todays_names_with_notes(format_2):
    answer = asked("open", text=TEXT.replace("width", "breadth"))
    assert answer["design"]["profile"] == {"width": "20 ft"}
    assert "format" not in answer["design"]
    first, second = answer["notes"]
    assert first.startswith("profile.breadth: is called width since format 2")
    assert second.startswith("rail[1].overlap: is not given, and its default is")


def test_a_newer_one_is_refused_plainly():
    (fault,) = asked("open", text=f"format = 7\n{TEXT}")["faults"]
    assert f"format 7, and this program reads formats up to {formats.FORMAT}" in fault["message"]


def test_a_design_is_saved_with_its_format_where_it_stands():
    source = f"# Ours.\nformat = 1  # as written\n{TEXT}"
    wanted = asked("save", text=f"format = 1\n{TEXT.replace('20 ft', '22 ft')}", source=source)
    assert wanted["text"] == source.replace("'20 ft'", '"22 ft"')
