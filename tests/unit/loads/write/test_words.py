"""One thing has one name in everything that a comparison prints."""

from __future__ import annotations

import functools
import re

import pytest
from load_frames import small_frame
from msgspec.structs import replace

from frame3d.cli.loads_command import loads
from frame3d.design.tables.loads import LegFoot, Loads
from frame3d.frame.describe.key_figures import total_mass_kg
from frame3d.frame.describe.wording import lengths_of
from frame3d.loads.cautions import CAUTIONS
from frame3d.loads.compare.changes import LEAVING_OUT, NO_BRACES, changes_of
from frame3d.loads.compare.indices import Index
from frame3d.loads.comparison import Comparison, Tried, compared
from frame3d.loads.engineer.model import engineer_model
from frame3d.loads.model.assumed import HINGED, USUAL, Assumed
from frame3d.loads.write.pages import title_of
from frame3d.loads.write.pictures import band_picture, whole_picture
from frame3d.loads.write.record import record_text
from frame3d.loads.write.words import basis, cautions, grids
from frame3d.units import LengthText

OTHER_NAMES = re.compile(
    r"\b(?:the mark|as assumed first|legs that|turn(?:s|ing)? in (?:it|their sockets)|held upright|"
    r"pinned|worked out|size of one)\b",
    re.IGNORECASE,
)
"""What has another name now: comparison point, first set of assumptions, hinged, calculated, unit
load. A part mark and a driving mark are marks; nothing of a comparison is."""


@functools.cache
def found() -> Comparison:
    """A small frame beside another kind, with one load and one change that lead nowhere."""
    given = {"shapes": ["even snow", "wind across"]}
    made = compared(
        small_frame(loads=given),
        small_frame(loads=given, profile={"style": "quonset", "width": "3.5 m"}),
        workers=1,
    )
    none = Tried(words="no ties", index={}, sway=None, mass_kg=None, cost=None, reason="x")
    return replace(made, tried=(none, *made.tried))


def told() -> list[str]:
    """Every text of the comparison, of its pictures, its record, its help and its table."""
    texts = [title_of(found()), title_of(replace(found(), other=None)), *cautions(found())]
    for grid in grids(found()):
        texts += [grid.title, grid.note, *grid.header, *(cell for row in grid.rows for cell in row)]
    texts += [*basis(found().frame.design.loads, found()), record_text(found())]
    texts += [whole_picture(found()), band_picture(found().indices).text]
    texts += [loads.__doc__ or "", Loads.__doc__ or "", str(Loads.model_json_schema())]
    return [" ".join(text.split()) for text in texts]


def test_nothing_has_a_second_name() -> None:
    texts = told()
    assert len(texts) > 100
    assert [text for text in texts if OTHER_NAMES.search(text)] == []
    # The search itself sees them, and leaves a part mark alone.
    assert OTHER_NAMES.search("Reaches the mark")
    assert not OTHER_NAMES.search('"mark": "H1", "reaches_the_mark": "undecided"')


def test_the_comparison_point_is_told_in_one_way() -> None:
    by_key = {grid.key: grid for grid in grids(found())}
    point = "one common stress, or the load at which no stable position is left"
    assert f"The comparison point is {point}." in by_key["indices"].note
    assert "Reaches it" in by_key["indices"].header
    assert by_key["weakest"].title == "Where this design reaches the comparison point"
    assert any(point in text for text in basis(found().frame.design.loads, found()))


def test_a_title_without_another_design_tells_what_is_done() -> None:
    assert title_of(replace(found(), other=None)).endswith(": what one change at a time does")


def test_the_help_says_the_caution_in_its_own_words() -> None:
    assert CAUTIONS[0].startswith("Nothing here says what a frame can carry.")
    assert "Nothing here says what a frame can carry." in (loads.__doc__ or "")


@pytest.mark.parametrize(
    ("foot", "legs"),
    [
        (LegFoot.UNKNOWN, "legs taken as fixed in their sockets"),
        (LegFoot.FIXED, "legs taken as fixed in their sockets"),
        (LegFoot.HINGED, "legs taken as hinged at their sockets"),
    ],
)
def test_how_legs_are_taken_is_told_alike(foot: LegFoot, legs: str) -> None:
    """In the notes of a comparison and in the engineer's model."""
    frame = small_frame(loads={"foot": foot.value, "shapes": ["even snow"]})
    notes = basis(frame.design.loads, found())
    assert any(text.startswith("First set of assumptions: ") and legs in text for text in notes)
    assert engineer_model(frame).assumed.endswith(legs)
    assert any(HINGED in text for text in notes) is (foot is LegFoot.UNKNOWN)
    assert legs == Assumed(hinged=foot is LegFoot.HINGED).legs


def test_names_of_assumptions_are_keys_of_the_record() -> None:
    wind = next(index for index in found().indices if index.shape.value == "wind across")
    assert {USUAL, HINGED} <= set(wind.by)
    assert '"first set of assumptions":' in record_text(found())
    assert '"legs hinged at their sockets":' in record_text(found())


def test_no_assumption_has_a_word_that_breaks_in_a_terminal_of_80_columns() -> None:
    """A column of the index has room for 10 letters there."""
    index = found().indices[0]
    for words in (*index.by, USUAL, HINGED):
        one = replace(index, by={words: 1.0})
        row = next(g for g in grids(replace(found(), indices=(one,))) if g.key == "indices").rows[0]
        assert max(len(word) for cell in row[4:] for word in cell.split()) <= 10


def test_what_is_not_compared_and_not_tried_says_why() -> None:
    none = Index(shape=found().indices[0].shape, value=None, low=None, high=None, by={}, reason="y")
    by_key = {grid.key: grid for grid in grids(replace(found(), indices=(none,)))}
    assert "not compared: y" in by_key["indices"].rows[0]
    assert by_key["changes"].rows[0][0] == (
        "no ties, not tried: with this change the design cannot be laid out or calculated"
    )


def test_two_kinds_are_told_as_such() -> None:
    table = next(grid for grid in grids(found()) if grid.key == "differences")
    assert table.title == "How the two differ"
    assert table.note.startswith("The two designs are of different kinds. ")


@pytest.mark.parametrize(
    ("words", "three", "cell"),
    [
        (NO_BRACES, (2.56, 1.04, 2.56), "not sooner"),
        (NO_BRACES, (1.12, 0.62, 1.12), "0.62 or not sooner"),
        (NO_BRACES, (0.9, 0.85, 0.95), "0.90"),
        (NO_BRACES, (1.0, 0.998, 1.002), "1.00"),
        ("no ties", (1.57, 1.57, 1.57), "not sooner"),
        ("ties on every hoop", (1.57, 1.57, 1.57), "1.57"),
        ("hoops of a thicker wall, 4.0 mm", (0.97, 0.96, 1.01), "0.96 to 1.01, undecided"),
    ],
)
def test_no_figure_invites_to_leave_parts_out(
    words: str, three: tuple[float, float, float], cell: str
) -> None:
    shape = found().tried[-1].index and next(iter(found().tried[-1].index))
    assert shape
    one = Tried(words=words, index={shape: three}, sway=1.2, mass_kg=-9.0, cost=None, reason="")
    table = next(g for g in grids(replace(found(), tried=(one,))) if g.key == "changes")
    assert table.rows[0][1] == cell
    assert "no reason to leave it out" in table.note


def test_every_change_that_takes_parts_away_is_known_as_such() -> None:
    """It weighs less, with as many hoops on as deep sockets of the same tube."""
    frame = small_frame(
        tie=[{"every": 2, "webs": 2, "post": "king post"}], bays={"count": 4, "spacing": "1.5 m"}
    )
    tried = [c for c in changes_of(frame, LengthText(lengths_of(frame))) if c.frame is not None]
    mass = total_mass_kg(frame)
    lighter = {c.words for c in tried if c.frame and total_mass_kg(c.frame) < mass}
    not_parts = ("hoops farther apart", "hoops of a thinner", "shallower", "ties on every second")
    parts = {words for words in lighter if not any(one in words for one in not_parts)}
    assert parts == set(LEAVING_OUT)
