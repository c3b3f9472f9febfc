"""What a campaign draws: the same for the same number, and of every kind."""

from __future__ import annotations

import json

import pytest
from campaigning.drawn import KINDS, design_of, names
from campaigning.shrinking import shrunk
from campaigning.walks import starters, walk

from frame3d.design.values.field_info import sections


@pytest.mark.parametrize("kind", KINDS)
def test_a_number_is_always_the_same_design_and_json_can_hold_it(kind: str) -> None:
    design = design_of(f"{kind}-42", 7)
    assert design_of(f"{kind}-42", 7) == design
    assert json.loads(json.dumps(design)) == design
    assert design_of(f"{kind}-42", 8) != design
    assert design_of(f"{kind}-43", 7) != design


@pytest.mark.parametrize("kind", KINDS)
def test_no_two_are_alike(kind: str) -> None:
    """Hypothesis may draw variants of one design in a row; each here is drawn by itself."""
    drawn = [json.dumps(design_of(f"{kind}-{n}", 1)["profile"]) for n in range(1, 21)]
    # Many walks leave the profile as it is.
    assert len(set(drawn)) > (6 if kind == "walk" else 18)


def test_kinds_take_turns() -> None:
    assert names(("random", "walk"), 5) == ["random-1", "walk-1", "random-2", "walk-2", "random-3"]


def test_walks_begin_at_all_starters_and_change_one_to_four_things() -> None:
    told = [walk(3, number)[1] for number in range(200)]
    assert {start for start, *_ in told} == set(starters())
    assert len(starters()) == 6
    assert {len(changes) for _, *changes in told} == {1, 2, 3, 4}


def test_walks_change_what_they_tell_and_nothing_else() -> None:
    for number in range(60):
        design, (start, *changes) = walk(5, number)
        before = starters()[start]
        changed = {name for name in {*before, *design} if before.get(name) != design.get(name)}
        told = {change.split(" = ")[0].split(".")[0].split("[")[0] for change in changes}
        # A door goes with its wall, sockets and ridge sleeve with the hoop's tube.
        assert changed <= told | {"door", "socket"}
        assert told & changed
        assert set(design) <= set(sections())


def test_walks_take_whole_feet_and_decimetres() -> None:
    lengths = [
        change.split(" = ")[1]
        for number in range(300)
        for change in walk(9, number)[1][1:]
        if change.split(" = ")[0].endswith(("width", "height", "spacing"))
    ]
    assert len(lengths) > 100
    assert {text.split()[1] for text in lengths} == {"ft", "mm"}
    for text in lengths:
        number, unit = text.split()
        assert int(number) % (100 if unit == "mm" else 1) == 0


def test_a_design_is_made_smaller_only_while_it_fails() -> None:
    def fails(mapping: dict) -> bool:
        count = mapping.get("bays", {}).get("count", 0)
        return len(mapping.get("rail", [])) >= 2 and count >= 5

    start = {"bays": {"count": 23, "spacing": "1.5 m"}, "tie": [{"height": "9 ft"}],
             "rail": [{"at": "ridge"}, {"at": "sides"}, {"fraction": 0.25}]}  # fmt: skip

    small = shrunk(start, fails, 30.0)
    assert small == {"bays": {"count": 5}, "rail": [{}, {}]}
    assert start["bays"]["count"] == 23


def test_making_smaller_ends_in_time() -> None:
    now = iter(range(1000))
    start = {"rail": [{"fraction": 0.25}] * 50}
    asked = []
    shrunk(start, lambda mapping: bool(asked.append(mapping)), 8.0, clock=lambda: next(now))
    assert len(asked) <= 8
