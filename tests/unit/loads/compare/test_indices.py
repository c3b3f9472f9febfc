from __future__ import annotations

import functools

import pytest
from load_frames import changed, small_frame
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.loads import LoadShape
from frame3d.frame.lay_out import lay_out
from frame3d.loads.compare.changes import changes_of
from frame3d.loads.compare.differences import differences, is_of_another_kind
from frame3d.loads.compare.indices import Index, Order, indices, order_of
from frame3d.loads.compare.measuring import Ending, Measured, measured
from frame3d.loads.comparison import compared
from frame3d.loads.model.assumed import HINGED, USUAL, assumptions
from frame3d.units import LengthFormat, LengthText, UnitSystem

SHAPES = {"shapes": ["even snow", "wind across"]}
SAY = LengthText(LengthFormat(system=UnitSystem.METRIC, decimals=0))


def quiet(what: str, done: int, total: int) -> None:
    """Progress that nobody looks at."""


@functools.cache
def usual() -> Measured:
    frame = small_frame(loads=SHAPES)
    return measured(frame, frame.design.loads, quiet)


def thicker(factor: float) -> Measured:
    design = design_from_mapping(changed(loads=SHAPES))
    tube = design.hoop.tube
    wall = replace(tube, name="other wall", wall_mm=factor * tube.wall_mm)
    hoop = design.hoop.model_copy(update={"tube": wall})
    frame = lay_out(design.model_copy(update={"hoop": hoop}))
    return measured(frame, design.loads, quiet)


def test_a_design_beside_itself_is_one_all_over_the_band() -> None:
    for index in indices(usual(), usual()):
        assert (index.value, index.low, index.high) == (1.0, 1.0, 1.0)
        assert index.verdict == "as the other"


def test_the_band_goes_through_all_that_is_assumed() -> None:
    wind = indices(usual(), usual())[1]
    every = assumptions(small_frame().design.loads)
    assert set(wind.by) >= set(every) | {"a lower common stress", "a higher common stress"}
    assert len(wind.by) == len(every) + 2 + 2  # two stresses, two pressures inside
    known = small_frame(loads={"soil": "dense", "foot": "hinged"}).design.loads
    assert list(assumptions(known)) == [USUAL]
    assert assumptions(known)[USUAL].hinged


def test_a_thicker_wall_is_later_and_a_thinner_one_sooner() -> None:
    for factor, verdict in ((1.25, "later than the other"), (0.8, "sooner than the other")):
        found = indices(thicker(factor), usual())
        assert [index.verdict for index in found] == [verdict, verdict]
        assert all(index.by[HINGED] for index in found)


def test_the_other_way_round_is_the_reciprocal() -> None:
    one, other = usual(), thicker(1.25)
    for there, back in zip(indices(other, one), indices(one, other), strict=True):
        assert there.value == pytest.approx(1 / (back.value or 0), rel=1e-9)


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (1.1, 1.3, Order.LATER), (0.7, 0.9, Order.SOONER), (0.9, 1.1, Order.UNDECIDED),
        (0.998, 1.003, Order.ALIKE), (1.0, 1.2, Order.UNDECIDED), (0.0, 0.5, Order.SOONER),
    ],
)  # fmt: skip
def test_what_a_band_tells(low: float, high: float, told: Order) -> None:
    assert order_of(low, high) is told
    index = Index(shape=LoadShape.CROP, value=low, low=low, high=high, by={USUAL: low})
    assert (index.verdict == "undecided") is (told is Order.UNDECIDED)


def with_ending(one: Measured, shape: LoadShape, words: str, factor: float) -> Measured:
    name = one.worse[shape]
    ending = Ending(factor=factor, by_stress=True, amplified=1.0, sway_mm=1.0)
    return replace(one, endings={**one.endings, (name, words): ending})


def test_one_assumption_that_turns_the_order_makes_it_undecided() -> None:
    better = thicker(1.25)
    assert indices(better, usual())[0].verdict == "later than the other"
    worse = with_ending(better, LoadShape.SNOW_EVEN, HINGED, 1e-3)
    found = indices(worse, usual())[0]
    assert found.verdict == "undecided"
    assert found.low is not None and found.low < 0.1


def test_a_design_that_does_not_stand_is_not_compared_with() -> None:
    none = with_ending(usual(), LoadShape.SNOW_EVEN, USUAL, 0.0)
    found = indices(usual(), none)[0]
    assert found.value is None
    assert found.verdict == "not compared"
    assert "the other design has no stable position" in found.reason
    fallen = indices(none, usual())[0]
    assert fallen.value is None
    assert "this design has no stable position" in fallen.reason


def test_a_crop_needs_ties_on_both() -> None:
    tied = small_frame(tie=[{}], loads={"shapes": ["crop"]})
    one = measured(tied, tied.design.loads, quiet)
    plain = small_frame()
    found = indices(one, measured(plain, tied.design.loads, quiet))
    assert [index.reason for index in found] == ["the other design has no ties for it to hang from"]


def test_changes_are_laid_out_or_told_why_not() -> None:
    frame = small_frame(
        bays={"count": 4, "spacing": "1.5 m"}, tie=[{"webs": 2, "post": "king post"}]
    )
    found = changes_of(frame, SAY)
    words = [change.words for change in found]
    assert len(set(words)) == len(words)
    for part in ("closer", "thicker wall", "larger", "no ties", "rails more", "no braces", "deeper",
                 "without posts and webs", "four corners"):  # fmt: skip
        assert any(part in one for one in words), part
    for change in found:
        assert (change.frame is None) is bool(change.reason)
        if change.frame is not None:
            assert change.frame.members != frame.members
    # A frame of one bay cannot have fewer: the change is not offered.
    one_bay = small_frame(bays={"count": 1, "spacing": "1.5 m"}, brace=None)
    assert not any("farther" in change.words for change in changes_of(one_bay, SAY))


def test_what_differs_is_told() -> None:
    own, other = small_frame(), small_frame(bays={"count": 3, "spacing": "1 m"}, brace=None)
    found = differences(own, other)
    assert "hoops: 3 at 1500 mm here, 4 at 1000 mm there" in found
    assert "braces: 2 here, 0 there" in found
    assert differences(own, own) == ()
    assert not is_of_another_kind(own, other)
    assert is_of_another_kind(own, small_frame(profile={"style": "quonset", "width": "8 m"}))


def test_a_frame_without_braces_is_told_where_it_gives_and_which_way() -> None:
    frame = small_frame(brace=None, loads={"shapes": ["even snow"]})
    notes = measured(frame, frame.design.loads, quiet, only=("even snow",)).notes
    assert len(notes) == 1
    assert "No brace" in notes[0]
    assert notes[0].endswith("along the tunnel.")


def test_a_frame_that_nothing_joins_moves_freely_once_its_legs_turn() -> None:
    frame = small_frame(brace=None, rail=None, loads={"shapes": ["even snow"]})
    found = measured(frame, frame.design.loads, quiet)
    assert any("moves freely" in note and "along the tunnel" in note for note in found.notes)
    assert found.endings["even snow", HINGED].factor == 0.0
    assert found.endings["even snow", USUAL].factor > 0.0


def test_what_moves_freely_is_told_once_and_compared_with_nothing() -> None:
    """In loose and dense ground it does so too; and no change of it has anything to be told."""
    given = {"shapes": ["even snow"], "foot": "hinged"}
    loose = small_frame(rail=None, brace=None, loads=given)
    found = compared(loose, small_frame(loads=given), workers=1)
    assert len([note for note in found.notes if "moves freely" in note]) == 1
    assert found.tried == ()
    (index,) = found.indices
    assert index.value is None
    assert index.verdict == "not compared"
    assert "no stable position" in index.reason
    turned = compared(small_frame(loads=given), loose, workers=1, changes=False)
    assert turned.indices[0].value is None
    assert turned.notes[0].startswith("The other design: It moves freely")
