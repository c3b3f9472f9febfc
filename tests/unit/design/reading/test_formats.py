"""The format of design files: older ones are read, with a word on what has changed since."""

from __future__ import annotations

import pytest

from frame3d.design.reading import formats
from frame3d.design.reading.formats import ChangedDefault, Renamed, brought_up, opened
from frame3d.design.reading.reader import design_from_mapping, design_from_text, notes_of
from frame3d.design.reading.syntax import parsed
from frame3d.design.writing.editing import edited_text
from frame3d.errors import DesignFaults

SHORT = """\
# A tunnel of ours.

[profile]
width = "20 ft"  # as the beds are
[bays]
length = "48 ft"
[[rail]]
at = "ridge"
[[rail]]
fraction = 0.5
overlap = "7 in"
"""


@pytest.fixture
def format_2(monkeypatch):
    """A later release: two defaults have changed, one field has another name."""
    monkeypatch.setattr(formats, "FORMAT", 2)
    monkeypatch.setattr(formats, "CHANGED", (
        ChangedDefault(section="rail", name="overlap", format=2, was=lambda *_: "5 in"),
        ChangedDefault(section="cover", name="side_allowance", format=2,
                       was=lambda table, design, units: "9 in" if units.value == "imperial"
                       else "200 mm"),
    ))  # fmt: skip
    monkeypatch.setattr(formats, "RENAMED", (
        Renamed(section="profile", old="breadth", new="width", format=2),
        Renamed(section="rail", old="share", new="fraction", format=2),
    ))  # fmt: skip


def frozen(text):
    return edited_text(text, brought_up(opened(parsed(text, "f"), "f")))


def test_a_file_without_a_format_is_of_the_first():
    assert design_from_text(SHORT) == design_from_text(f"format = 1\n{SHORT}")
    assert opened(parsed(SHORT, "f"), "f").format == 1
    assert notes_of(design_from_text(SHORT)) == ()


def test_a_mapping_may_name_its_format_too():
    mapping = {"profile": {"width": "20 ft"}, "bays": {"length": "48 ft"}}
    assert design_from_mapping({"format": 1, **mapping}) == design_from_mapping(mapping)


@pytest.mark.parametrize("value", [str(formats.FORMAT + 1), "99", "9007199254740993"])
def test_a_newer_format_is_refused_by_itself(value):
    text = f"# newer\nformat = {value}\n[novelty]\nsize = 3\n"
    with pytest.raises(DesignFaults) as caught:
        design_from_text(text, "new.toml")
    (fault,) = caught.value.faults
    assert (fault.where, fault.line) == ("format", 2)
    assert (
        f"has format {value}, and this program reads formats up to {formats.FORMAT}"
        in fault.message
    )


@pytest.mark.parametrize("value", ['"1"', "0", "-1", "1.0", "true", "[1]", "{ a = 1 }"])
def test_what_is_no_format_is_refused_with_its_line(value):
    with pytest.raises(DesignFaults, match=r"line 1: format: got .*; it must be a whole number"):
        design_from_text(f"format = {value}\n{SHORT}")


def test_reading_an_older_file_says_which_defaults_have_changed(format_2):
    notes = notes_of(design_from_text(SHORT))
    assert [note.partition(":")[0] for note in notes] == ["rail[1].overlap", "cover.side_allowance"]
    assert notes[0] == (
        'rail[1].overlap: is not given, and its default is "4 in" since format 2; it was "5 in". '
        'To keep that, write overlap = "5 in"; for the new one, format = 2 at the top of the file'
    )
    assert '"12 in" since format 2; it was "9 in"' in notes[1]


def test_the_default_that_was_goes_by_the_units(format_2):
    notes = notes_of(design_from_text(f'{SHORT}[output]\nunits = "metric"\n'))
    assert any('side_allowance: is not given, and its default is "300 mm"' in n for n in notes)
    assert any('it was "200 mm"' in note for note in notes)


def test_a_file_of_the_new_format_goes_by_the_new_defaults_without_a_word(format_2):
    assert notes_of(design_from_text(f"format = 2\n{SHORT}")) == ()
    assert design_from_text(f"format = 2\n{SHORT}") == design_from_text(SHORT)


def test_freezing_writes_what_was_and_keeps_the_comments(format_2):
    text = frozen(SHORT)
    design = design_from_text(text)
    assert notes_of(design) == ()
    assert text.startswith("# A tunnel of ours.\n\nformat = 2\n\n[profile]\n")
    assert 'width = "20 ft"  # as the beds are' in text
    assert [rail.overlap for rail in design.rail] == pytest.approx([5 * 25.4, 7 * 25.4])
    assert design.cover.side_allowance == pytest.approx(9 * 25.4)
    assert frozen(text) == text


def test_freezing_raises_a_format_that_is_given(format_2):
    text = frozen(f"format = 1  # ours\n{SHORT}")
    assert "format = 2  # ours\n" in text
    assert text.count("format") == 1


def test_a_renamed_field_is_read_with_a_note(format_2):
    old = SHORT.replace("width", "breadth").replace("fraction", "share")
    design = design_from_text(old)
    assert design == design_from_text(SHORT)
    assert notes_of(design)[:2] == (
        "profile.breadth: is called width since format 2, and is read as that",
        "rail[2].share: is called fraction since format 2, and is read as that",
    )
    text = frozen(old)
    assert "breadth" not in text and "share" not in text
    assert design_from_text(text).profile == design.profile
    assert notes_of(design_from_text(text)) == ()


def test_a_fault_of_a_renamed_field_has_its_line(format_2):
    with pytest.raises(DesignFaults, match=r"line 4: profile.width: got '20'"):
        design_from_text(SHORT.replace('width = "20 ft"', 'breadth = "20"'))


def test_both_names_of_a_field_are_one_too_many(format_2):
    with pytest.raises(DesignFaults, match=r"profile.breadth: is the old name of width, which is"):
        design_from_text(SHORT.replace("[bays]", 'breadth = "20 ft"\n[bays]'))


def test_a_default_that_follows_can_have_changed_too(monkeypatch):
    """What it was is worked out from the design, as the rule of old did it."""
    monkeypatch.setattr(formats, "FORMAT", 2)
    rule = ChangedDefault(
        section="hoop", name="overlap", format=2,
        was=lambda table, design, units: "9 in" if "1-1/2" in table["tube"] else None,
    )  # fmt: skip
    monkeypatch.setattr(formats, "CHANGED", (rule,))
    assert notes_of(design_from_text(SHORT)) == ()
    (note,) = notes_of(design_from_text(f'{SHORT}[hoop]\ntube = "NPS 1-1/2 STD"\n'))
    assert 'is not given, and its default is "5.5 in" since format 2; it was "9 in"' in note
