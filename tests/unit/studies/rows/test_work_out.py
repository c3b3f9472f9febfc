"""One design worked out: its row, its key, its refusal."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from small_study import ASK, SMALL

from frame3d.design.reading.user_lists import GivenList
from frame3d.errors import OutputError
from frame3d.studies.rows.row import _NO_MATTER, State, program_key, row_key
from frame3d.studies.rows.work_out import Task, rows_of, work_out, worked

LOW = {**SMALL, "profile": {**SMALL["profile"], "ridge_height": "1 m"}}
PRICES = "item,length,price,per,pack,currency\n42.4 x 3.2 mm,6 m,41.50,each,,EUR\n"


def task(*designs: object, program: str | None = None, lists: object = None) -> Task:
    return Task(
        designs=tuple(json.dumps(design) for design in designs),
        lists=lists or {},
        figures=tuple(ASK),
        program=program or program_key(),
    )


def test_a_design_is_worked_out() -> None:
    row = work_out(SMALL, {}, ASK)
    assert row.state is State.MADE
    assert list(row.figures) == ASK
    assert row.figures["ridge_height_mm"] == 3000
    assert row.has(["hoops", "headroom_mm"]) and not row.has(["cost"])


def test_a_design_that_is_refused_says_why() -> None:
    row = work_out(LOW, {}, ASK)
    assert (row.state, row.figures) == (State.REFUSED, {})
    assert row.reason.startswith("profile.ridge_height: ")
    assert row.has(["cost"])  # nothing that is asked could be answered
    row = work_out({**SMALL, "hoop": dict.fromkeys("abcde", 1)}, {}, ASK)
    assert row.reason.startswith("hoop.a: is not a field") and row.reason.endswith("; and 2 more")


def test_workers_send_lines() -> None:
    lines, seconds = worked(task(SMALL, LOW))
    assert rows_of(lines) == [work_out(SMALL, {}, ASK), work_out(LOW, {}, ASK)]
    assert seconds > 0
    assert all(isinstance(line, str) for line in lines)


def test_another_program_does_not_answer() -> None:
    with pytest.raises(OutputError, match="install the same on all machines"):
        worked(task(SMALL, program="0.0.1-of-yesterday"))


def test_a_key_follows_from_everything_a_row_follows_from() -> None:
    key = row_key(SMALL, {}, "one")
    assert key == row_key(dict(reversed(SMALL.items())), {}, "one")  # order says nothing
    lists = {"prices": GivenList(name="p.csv", text=PRICES)}
    keys = {
        key, row_key(LOW, {}, "one"), row_key(SMALL, {}, "two"), row_key(SMALL, lists, "one"),
        row_key(SMALL, {"prices": GivenList(name="p.csv", text=PRICES + "\n")}, "one"),
        row_key(SMALL, {"stock": lists["prices"]}, "one"),
        row_key(SMALL, {}, "one", json.dumps(SMALL)), row_key(SMALL, {}, "one", json.dumps(LOW)),
    }  # fmt: skip
    assert len(keys) == 8
    turned = json.dumps(dict(reversed(SMALL.items())))
    assert row_key(SMALL, {}, "one", turned) in keys
    assert row_key(SMALL, {"prices": GivenList(name="q.csv", text=PRICES)}, "one") in keys


def test_a_row_comes_of_no_room_that_its_key_leaves_out() -> None:
    program = (
        "import json, sys; from small_study import SMALL\n"
        "from frame3d.studies.figures.known import known_figures\n"
        "from frame3d.studies.rows.work_out import work_out\n"
        "names, base = list(known_figures()), json.dumps(SMALL)\n"
        "row = work_out(SMALL, {}, names, base)\n"
        "assert row.figures['index_even_snow'] == 1.0\n"
        "print(row.state.value)\n"
        "print(*{name.split('.')[1] for name in sys.modules if name.startswith('frame3d.')})"
    )
    places = os.pathsep.join(str(Path(__file__).parents[n]) for n in (3, 4))
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=120,
        check=False, env={**os.environ, "PYTHONPATH": places},
    )  # fmt: skip
    state, rooms = run.stdout.splitlines()
    assert state == "made", run.stderr
    assert {"frame", "takeoff", "checks", "loads"} <= set(rooms.split())
    assert set(rooms.split()) & _NO_MATTER == set()


def test_prices_come_as_text_and_count() -> None:
    design = {**SMALL, "hoop": {"tube": "42.4 x 3.2 mm"}, "order": {"price_file": "prices.csv"}}
    row = work_out(
        design, {"prices": GivenList(name="prices.csv", text=PRICES)}, ["cost", "unpriced"]
    )
    assert row.state is State.MADE, row.reason
    assert row.figures["cost"] > 0
    assert row.figures["cost"] % 41.5 == pytest.approx(0.0)
