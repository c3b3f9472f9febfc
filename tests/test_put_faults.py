"""The faults that are put into the code one by one still have their places there."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_SPEC = importlib.util.spec_from_file_location("put_faults", ROOT / "tests/tools/put_faults.py")
put_faults = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(put_faults)
FAULTS, ROOMS = put_faults.faults()


def test_there_are_many_of_all_rooms() -> None:
    assert len(FAULTS) >= 60
    assert {fault["room"] for fault in FAULTS} == set(ROOMS)
    assert [name for tests in ROOMS.values() for name in tests if not (ROOT / name).exists()] == []


@pytest.mark.parametrize("fault", FAULTS, ids=[str(n) for n in range(1, len(FAULTS) + 1)])
def test_a_fault_has_its_place(fault: dict) -> None:
    sound = (ROOT / fault["file"]).read_text("utf-8")
    assert put_faults.spoilt(sound, fault) != sound
