"""Which parts of two designs are the same, and which take the place of which."""

from __future__ import annotations

import pytest
from revised_frames import revised as frame

from frame3d.frame.model.part_records import Change, PartRecord, Shape, read_shape
from frame3d.frame.model.roles import Role
from frame3d.frame.revisions.comparison import compared
from frame3d.frame.revisions.pairing import changes_between
from frame3d.frame.revisions.records import records_of, same_shape, shape_of
from frame3d.frame.revisions.telling import change_rows


@pytest.fixture(scope="module")
def plain():
    return frame()


def counts(found):
    return {change: found.count(change) for change in Change}


def test_a_design_is_the_same_as_itself(plain) -> None:
    found = compared(plain, frame())
    assert {one.change for one in found.changes} == {Change.SAME}
    assert len(found.changes) == len(plain.parts())
    assert found.to_make == () and all(made.over == 0 for made in found.made)


def test_a_longer_tunnel_has_more_of_the_same(plain) -> None:
    found = compared(plain, frame(bays={"count": 6, "spacing": "1.5 m"}))
    by_role = {}
    for one in found.changes:
        by_role.setdefault((one.new or one.old).role, []).append(one)
    (socket,) = by_role["socket"]
    # 5 hoops and 7, a socket at each foot; those of the first 5 stand where they stood.
    assert (socket.change, socket.old.count, socket.new.count) == (Change.MOVED, 10, 14)
    assert socket.moved == 4
    assert dict(found.to_make)[socket.new.mark] == 4
    assert next(m for m in found.made if m.old.mark == socket.old.mark).over == 0


def test_a_tie_hung_lower_is_changed_and_all_else_as_it_was(plain) -> None:
    lower = frame(tie=[{"height": "2.1 m", "every": 1, "post": "king post", "webs": 0}])
    found = compared(plain, lower)
    changed = [one for one in found.changes if one.change is Change.CHANGED]
    assert {one.new.role for one in changed} == {"tie", "king post"}
    # The chord of a half circle that springs at 1 m and has a radius of 2 m is longer below.
    tie = next(one for one in changed if one.new.role == "tie")
    assert tie.new.length_mm > tie.old.length_mm
    assert all(
        one.change in (Change.SAME, Change.MOVED)
        for one in found.changes
        if not (one.new or one.old).bought and one not in changed
    )
    post = next(one for one in changed if one.new.role == "king post")
    assert dict(found.to_make) == {tie.new.mark: tie.new.count, post.new.mark: post.new.count}


def test_without_ties_they_are_gone_and_turned_round_new(plain) -> None:
    bare = frame(tie=[])
    there, back = compared(plain, bare), compared(bare, plain)
    gone = {one.old.mark for one in there.changes if one.change is Change.GONE}
    assert gone == {one.new.mark for one in back.changes if one.change is Change.NEW} != set()
    assert counts(there)[Change.CHANGED] == counts(back)[Change.CHANGED]
    over = {made.old.role: made.over for made in there.made if made.over}
    assert over["tie"] == 3  # at hoops 1, 3 and 5 there were ties, every second one


def record(mark: str, length: float, role: str = "rail", kind: str = "a" * 16, count: int = 1):
    return PartRecord(
        mark=mark, role=role, description="tube", count=count, bought=False, length_mm=length,
        shape=Shape(kind=kind, sizes=(33.4, 3.4, length)),
    )  # fmt: skip


def told(old, new):
    return {
        (one.change.value, one.old and one.old.mark, one.new and one.new.mark)
        for one in changes_between(old, new)
    }


def test_the_nearest_in_shape_is_what_is_replaced() -> None:
    old = [record("R1", 1000.0), record("R2", 3000.0), record("R3", 500.0)]
    new = [record("R1", 2900.0), record("R2", 500.0)]
    assert told(old, new) == {
        ("same", "R3", "R2"), ("changed", "R2", "R1"), ("gone", "R1", None),
    }  # fmt: skip


def test_another_use_never_takes_its_place() -> None:
    assert told([record("R1", 1000.0)], [record("G1", 1001.0, role="girt")]) == {
        ("gone", "R1", None), ("new", None, "G1"),
    }  # fmt: skip


def test_equal_distances_are_settled_the_same_way_round() -> None:
    old = [record("R1", 1000.0), record("R2", 3000.0)]
    new = [record("R1", 2000.0), record("R2", 4000.0)]
    swap = {"new": "gone", "gone": "new"}
    back = {(swap.get(change, change), b, a) for change, a, b in told(new, old)}
    assert told(old, new) == back


def test_a_piece_fits_where_its_shape_is_wanted_whatever_its_use(plain) -> None:
    from frame3d.frame.revisions.comparison import _still_fit

    old = [record("R1", 1000.0, count=5)]
    new = [record("R1", 1000.0, count=2), record("G1", 1000.0, role="girt", count=4)]
    made, to_make = _still_fit(changes_between(old, new))
    assert made[0].fits == (("R1", 2), ("G1", 3)) and made[0].over == 0
    assert to_make == (("G1", 1),)


def test_a_step_of_the_grid_is_no_other_shape_and_a_hole_is(plain) -> None:
    one, other = record("R1", 1000.0).shape, record("R1", 1000.000001).shape
    assert same_shape(one, other)
    assert not same_shape(one, record("R1", 1000.001).shape)
    shapes = [shape_of(group.part) for group in plain.parts()]
    for shape in shapes:
        assert read_shape(shape.text) == shape  # to the last digit
        assert sum(same_shape(shape, other) for other in shapes) == 1


@pytest.mark.parametrize("text", ["", "rail 1 2", "a" * 16 + " 1 x", "a" * 16 + " nan"])
def test_what_is_no_shape_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_shape(text)


def test_records_are_those_of_the_frame(plain) -> None:
    records = records_of(plain)
    assert sum(one.count for one in records) == len(plain.members)
    assert [one.mark for one in records] == [group.mark for group in plain.parts()]


def test_what_is_changed_is_told_with_both_lengths(plain) -> None:
    """The shop asks: how long was it, and how long is it now."""
    lower = frame(tie=[{"height": "2.1 m", "every": 1, "post": "king post", "webs": 0}])
    rows = change_rows(compared(plain, lower))
    (tie,) = [row for row in rows if row[0] == "changed" and row[3].startswith("tie: ")]
    old, new = (next(m.part.length_mm for m in one.of(Role.TIE)) for one in (plain, lower))
    assert tie[-1] == f"{new:.0f} mm long, was {old:.0f} mm"
    named = [row[3] for row in rows]
    assert not [one for one in named if one.partition(": ")[2].startswith(one.partition(": ")[0])]
