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


def view(high: float, *, wide: float = 100.0, scale: int = 1, words: bool = False) -> PlacedView:
    return PlacedView(
        title="" if words else "A view", scale=scale, primitives=(), problems=(),
        bounds=(0.0, 0.0, wide * scale, high * scale), to_scale=not words,
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
        # 60 and 170 mm with their titles are more than A3 has, and so are 100 and 300 mm beside
        # each other.
        ("Plates", PART, [view(170, wide=300)]),
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
    crowded = replace(view(180, wide=300), problems=("no room for the mark H1",))
    made.add("Four", [crowded], [], PART)
    join_sheets(made)
    assert titles(made) == ["One and two", "Three", "Four"]
    assert made.details_from == 1
    assert [one.sheet for one in made.findings] == [3, 3]


def test_what_is_nearly_empty_goes_past_others_of_its_kind(empty):
    full = [view(200, wide=370)]
    made = builder(
        empty, ("Rails", PART, [view(90, wide=370)]), ("Hoop", PART, full), ("Doors", PART, full),
        ("Leaves", ASSEMBLY, [view(20)]), ("Plates", PART, [view(40)]),
    )  # fmt: skip
    join_sheets(made)
    assert titles(made) == ["Rails and plates", "Hoop", "Doors", "Leaves"]


def test_what_is_counted_has_its_right_number(empty):
    full = [view(200, wide=370)]
    made = builder(
        empty, ("Doors, 1 of 3", PART, full), ("Doors, 2 of 3", PART, [view(90, wide=370)]),
        ("Doors, 3 of 3", PART, [view(40)]), ("Plates", PART, full),
    )  # fmt: skip
    join_sheets(made)
    assert titles(made) == ["Doors, 1 of 2", "Doors, 2 of 2", "Plates"]


def test_what_is_counted_stands_in_the_order_of_its_numbers(empty):
    """The last sheet of plates goes to the rails, before the others."""
    full = [view(200, wide=370)]
    made = builder(
        empty, ("Rails", PART, [view(90, wide=370)]), ("Plates, 1 of 3", PART, full),
        ("Plates, 2 of 3", PART, full), ("Plates, 3 of 3", PART, [view(40)]),
    )  # fmt: skip
    join_sheets(made)
    assert titles(made) == ["Rails, plates, 1 of 3", "Plates, 2 of 3", "Plates, 3 of 3"]


def test_general_drawings_of_a_family_and_a_scale_share_a_sheet(empty):
    made = replace(empty, drafts=[], findings=[])
    for title, scale in (("Clearance, back wall", 20), ("Clearance, front wall", 20), ("X", 50)):
        made.add(title, [view(90, wide=300, scale=scale)], [], GENERAL, "clearances")
    join_sheets(made)
    assert titles(made) == ["Clearance, back wall and front wall", "X"]


def test_tables_that_name_what_they_are_of_may_meet(empty):
    made = replace(empty, drafts=[], findings=[])
    for number in (1, 2):
        views = [view(40), view(20, words=True)]
        made.add(f"Hoop assembly, hoop {number}", views, [], ASSEMBLY, "hoops")
    join_sheets(made)
    assert titles(made) == ["Hoop assembly, hoop 1 and hoop 2"]


def test_names_of_what_is_joined():
    assert joined_title("Hoop piece H1", "Hoop piece H2") == "Hoop pieces H1 and H2"
    assert joined_title("Sockets", "Straight tubes") == "Sockets and straight tubes"
    assert joined_title("Doors, 1 of 2", "Doors, 2 of 2") == "Doors, 1 of 2"
    assert joined_title("Rails and sockets", "Boards, 1 of 2") == "Rails, sockets, boards, 1 of 2"
    assert joined_title("Clearance, Cart", "Clearance, front wall, Cart") == (
        "Clearance, Cart and front wall"
    )
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
