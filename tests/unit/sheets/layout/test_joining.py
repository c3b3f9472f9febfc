"""Sheets with room for each other are one, by sizes put together by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from sound_design import frame_of

from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.joining import fewest_sheets, join_sheets, joined_title
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, DETAIL, GENERAL, PART
from frame3d.sheets.sets.numbered import builder_for


@pytest.fixture(scope="module")
def empty():
    return builder_for(frame_of(bays={"count": 3}, machine=None))


def view(high: float, *, words: bool = False) -> PlacedView:
    return PlacedView(
        title="" if words else "A view", scale=1, primitives=(), bounds=(0.0, 0.0, 100.0, high),
        problems=(), to_scale=not words,
    )  # fmt: skip


def builder(empty, *sheets):
    made = replace(empty, drafts=[], findings=[])
    for title, kind, views in sheets:
        made.add(title, views, ["A note."], kind)
    return made


def titles(made) -> list[str]:
    return [draft.title for draft in made.drafts]


def test_two_that_fit_are_one_with_each_note_once(empty):
    made = builder(empty, ("Sockets", PART, [view(40)]), ("Plates", PART, [view(60)]))
    join_sheets(made)
    assert titles(made) == ["Sockets and plates"]
    assert len(made.drafts[0].rows) == 2 and made.drafts[0].notes == ("A note.",)


@pytest.mark.parametrize(
    "second",
    [
        ("Plates", PART, [view(170)]),  # 60 and 170 mm with their titles are more than A3 has
        ("Plates", ASSEMBLY, [view(40)]),
        ("A very long title of a sheet of plates", PART, [view(40)]),
    ],
)
def test_what_does_not_belong_or_fit_stays_apart(empty, second):
    made = builder(empty, ("Sockets", PART, [view(60)]), second)
    join_sheets(made)
    assert len(made.drafts) == 2


@pytest.mark.parametrize("kind", [GENERAL, DETAIL])
def test_only_sheets_of_parts_are_joined(empty, kind):
    made = builder(empty, ("One", kind, [view(40)]), ("Two", kind, [view(40)]))
    join_sheets(made)
    assert len(made.drafts) == 2


def test_tables_of_two_sheets_never_meet(empty):
    """Hole a of the one would be hole a of the other."""
    tables = [view(30), view(20, words=True)]
    made = builder(empty, ("One", PART, tables), ("Two", PART, tables))
    join_sheets(made)
    assert len(made.drafts) == 2
    made = builder(empty, ("One", PART, tables), ("Two", PART, [view(30)]))
    join_sheets(made)
    assert len(made.drafts) == 1


def test_findings_and_details_keep_their_sheets(empty):
    made = builder(
        empty, ("One", PART, [view(40)]), ("Two", PART, [view(40)]), ("Three", DETAIL, [view(40)])
    )
    made.details_from = 2
    made.drafts[1] = replace(made.drafts[1], title="Two")
    made.missing("The next")
    crowded = replace(view(30), problems=("no room for the mark H1",))
    made.add("Four", [crowded], [], PART)
    join_sheets(made)
    assert titles(made) == ["One and two", "Three", "Four"]
    assert made.details_from == 1
    assert [one.sheet for one in made.findings] == [3, 3]


def test_names_of_what_is_joined():
    assert joined_title("Hoop piece H1", "Hoop piece H2") == "Hoop pieces H1 and H2"
    assert joined_title("Sockets", "Straight tubes") == "Sockets and straight tubes"
    assert joined_title("Rails, 2 of 2", "Sockets") == "Rails, 2 of 2, and sockets"
    assert joined_title("Rails", "Sockets and straight tubes") == (
        "Rails, sockets and straight tubes"
    )


def test_the_way_with_fewest_faults_then_sheets_is_kept(empty):
    made = builder(empty)

    def two():
        made.add("One", [view(40)], [], GENERAL)
        made.add("Two", [view(40)], [], GENERAL)

    def one():
        made.add("Both", [view(40)], [], GENERAL)

    def faulty():
        made.missing("All")

    fewest_sheets(made, (two, one, faulty))
    assert titles(made) == ["Both"] and made.findings == []
