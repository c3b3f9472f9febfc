"""Designs compared with others that differ in one place, and built since them."""

from __future__ import annotations

import copy
import random
from collections import Counter
from collections.abc import Iterator

import pytest
from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from walks import Walk

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.members import Frame
from frame3d.frame.model.part_records import Change
from frame3d.frame.model.parts import Board, Part, Tube
from frame3d.frame.revisions.comparison import Comparison, compared
from frame3d.frame.revisions.former import Former
from frame3d.frame.revisions.keeping import kept_marks
from frame3d.frame.revisions.records import records_of

tried = settings(
    max_examples=examples(10), deadline=None, derandomize=True, database=None,
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip

CHANGES = (
    ("bays", "count", (6, 4)),
    ("hoop", "ridge_joint", ("plates", "sleeve")),
    ("socket", "exposed", ("1 ft", "250 mm")),
    ("profile", "leg_height", ("3 ft", "1.1 m")),
    ("sill_board", None, ()),
    ("brace", None, ()),
    ("rail", None, ()),
    ("tie", "height", ("8 ft", "2.3 m")),
    ("side_opening", "height", ("4 ft", "1.1 m")),
    ("project", "name", ("Another name",)),
)


def pair(seed: int) -> tuple[Frame, Frame] | None:
    """A frame of a walk, and one whose design differs from it in one field or table.

    None where one of the two cannot be laid out.
    """
    walk = Walk(seed, walls=seed % 3 == 0)
    walk.design["bays"]["count"] = 5
    other = copy.deepcopy(walk.design)
    draw = random.Random(seed)
    section, name, values = draw.choice(CHANGES)
    if name is None:
        other.pop(section, None)
    else:
        tables = other.setdefault(section, [{}] if section == "tie" else {})
        (tables[0] if isinstance(tables, list) else tables)[name] = draw.choice(values)
    try:
        return lay_out(design_from_mapping(walk.design)), lay_out(design_from_mapping(other))
    except (DesignError, DesignFaults):
        return None


def look(part: Part) -> tuple:
    """A part by what can be measured of it: nothing here is told by its record."""
    seen: list = [type(part).__name__, part.section_name, round(mass_kg(part), 5)]
    if isinstance(part, Tube):
        # From whichever end it is measured.
        holes = [hole.at_mm for hole in part.holes]
        ends = [sorted(holes), sorted(part.length_mm - at for at in holes)]
        seen += [min(tuple(round(at, 3) for at in one) for one in ends)]
    if isinstance(part, Board):
        seen += [round(part.length_mm, 3), len(part.holes)]
    return tuple(seen)


def of_each(frame: Frame) -> Iterator[tuple[str, str, tuple]]:
    for group in frame.parts():
        yield group.mark, group.role.value, look(group.part)


def told(found: Comparison) -> Counter:
    return Counter(
        (one.change, one.old and one.old.shape.text, one.new and one.new.shape.text, one.moved)
        for one in found.changes
    )


SWAPPED = {Change.NEW: Change.GONE, Change.GONE: Change.NEW}


def check(old: Frame, new: Frame) -> None:
    former = Former(revision="A", parts=records_of(old))
    kept = kept_marks(new, former)
    # No mark is of two parts, in the frame or between it and the older one.
    before = {mark: (role, seen) for mark, role, seen in of_each(old)}
    after = {mark: (role, seen) for mark, role, seen in of_each(kept)}
    assert len(after) == len(new.parts()) == len(list(of_each(new)))
    for mark in before.keys() & after.keys():
        assert before[mark] == after[mark], mark
    # What did not change by its shape kept its mark, and all the rest of the frame is as it was.
    shapes = {(r.role, r.shape.text): r.mark for r in former.parts}
    for record in records_of(kept):
        assert shapes.get((record.role, record.shape.text), record.mark) == record.mark
    assert [(m.part, m.placement) for m in kept.members] == [
        (m.part, m.placement) for m in new.members
    ]
    assert {id(m) for j in kept.joints for m in j.members} <= {id(m) for m in kept.members}
    there, back = compared(old, new), compared(new, old)
    turned = Counter({
        (SWAPPED.get(change, change), b, a): count
        for (change, a, b, _), count in told(back).items()
    })  # fmt: skip
    assert turned == Counter({(c, a, b): n for (c, a, b, _), n in told(there).items()})
    # A build and a comparison say the same of each part.
    said = {one.new.mark: one for one in kept.since.changes if one.new}
    names = dict(zip((m.mark for m in new.members), (m.mark for m in kept.members), strict=True))
    for one in there.changes:
        if one.new:
            other = said[names[one.new.mark]].change
            assert (other is one.change) or (other, one.change) == (Change.SAME, Change.MOVED)
    # Pieces are neither lost nor found.
    for made in there.made:
        assert made.over + sum(count for _, count in made.fits) == made.old.count
    needed = sum(g.count for g in new.parts() if not g.part.is_bought)
    used = sum(count for made in there.made for _, count in made.fits)
    assert used + sum(count for _, count in there.to_make) == needed


@tried
@given(st.integers(0, 10_000))
def test_a_design_and_another_that_differs_in_one_place(seed: int) -> None:
    found = pair(seed)
    assume(found is not None)
    check(*found)


@pytest.mark.parametrize("seed", [1, 6])
def test_a_design_is_the_same_as_itself(seed: int) -> None:
    walk = Walk(seed)
    first, second = (lay_out(design_from_mapping(copy.deepcopy(walk.design))) for _ in range(2))
    assert {one.change for one in compared(first, second).changes} == {Change.SAME}
    check(first, second)


def test_most_of_those_pairs_are_laid_out_and_differ() -> None:
    """Else the test above would try nothing."""
    found = set()
    laid_out = [found for found in map(pair, range(12)) if found]
    assert len(laid_out) >= 6
    for old, new in laid_out:
        found |= {one.change for one in compared(old, new).changes}
    assert found == set(Change)
