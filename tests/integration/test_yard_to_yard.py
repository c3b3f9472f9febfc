"""Offcuts of one order are the stock of the next; a stock list that sets lengths aside says so."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from typer.testing import CliRunner

from frame3d.building import taken_off
from frame3d.cli import app
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.single_builds import build_takeoff
from frame3d.takeoff.take_off import Takeoff

STOCK = """section,length,count,owned,price
50 x 3 mm,1300 mm,4,yes,
EN 10255 DN32 medium,6 m,30,,31.5
EN 10255 DN32 medium,2.4 m,3,yes,
32 x 2 mm,5 m,7,yes,
"""


def design(bays: int = 3, **more) -> dict:
    return {
        "project": {"number": "T-7"},
        "output": {"units": "metric"},
        "profile": {
            "style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m",
        },
        "bays": {"count": bays, "spacing": "1.2 m"},
        "hoop": {"tube": "EN 10255 DN32 medium"},
        "socket": {"tube": "50 x 3 mm"},
        "rail": [{"at": "ridge", "tube": "EN 10255 DN25 medium", "stock_length": "6 m"}],
        "order": {"stock_file": "stock.csv", "shortest_offcut": "600 mm", **more},
    }  # fmt: skip


def taken(folder: Path, **more) -> Takeoff:
    return taken_off(lay_out(design_from_mapping(design(**more), folder=folder)))


def rows(path: Path) -> list[dict[str, str]]:
    lines = path.read_text("utf-8-sig").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def mm(text: str) -> float:
    number, unit = text.split()
    return float(number) * {"mm": 1.0, "m": 1000.0}[unit]


def test_no_metre_is_lost_and_the_next_design_cuts_from_it(tmp_path: Path) -> None:
    """What lay there and is bought is what is cut, wasted, and lies there afterwards."""
    (tmp_path / "stock.csv").write_text(STOCK)
    first = taken(tmp_path)
    build_takeoff(first, tmp_path / "out")
    after = rows(tmp_path / "out" / "takeoff-yard.csv")
    for section in first.sections:
        name = section.section.name
        before = sum(mm(r["length"]) * int(r["count"]) for r in csv.DictReader(STOCK.splitlines())
                     if r["section"] == name and r["owned"])  # fmt: skip
        plan = section.plan
        bought = math.fsum(stock.length_mm * count for stock, count in plan.bought)
        pieces = math.fsum(piece.length_mm * piece.count for piece in section.pieces)
        left = [(mm(r["length"]), int(r["count"])) for r in after
                if r["section"] == name and r["owned"] == "yes"]  # fmt: skip
        lying = sum(length * count for length, count in left)
        # Offcuts are rounded down to 0.1 mm each.
        assert before + bought == pytest.approx(
            pieces + plan.waste_mm + lying, abs=0.1 * sum(n for _, n in left) + 1e-6
        )
    other = [r for r in after if r["section"] == "32 x 2 mm"]
    assert [(r["length"], r["count"], r["owned"]) for r in other] == [("5000 mm", "7", "yes")]
    for_sale = next(r for r in after if not r["owned"])
    (hoops,) = [s for s in first.sections if s.section.name == "EN 10255 DN32 medium"]
    assert int(for_sale["count"]) == 30 - sum(count for _, count in hoops.plan.bought)
    assert float(for_sale["price"]) == 31.5
    notes = {r["note"] for r in after}
    assert notes <= {"", "offcut of T-7"} and "offcut of T-7" in notes
    # A shorter tunnel from what is left: owned bars are those of the list.
    (tmp_path / "stock.csv").write_bytes((tmp_path / "out" / "takeoff-yard.csv").read_bytes())
    again = taken(tmp_path, bays=1)
    offered = {(s.section.name, round(one.length_mm, 1)): one.available
               for s in again.sections for one in s.stocks if one.owned}  # fmt: skip
    listed = {(r["section"], mm(r["length"])): int(r["count"]) for r in after if r["owned"]}
    names = {s.section.name for s in again.sections}
    assert offered == {key: count for key, count in listed.items() if key[0] in names}
    used = sum(bar.stock.owned for s in again.sections for bar in s.plan.bars)
    assert used > 0


def test_lengths_that_a_stock_list_sets_aside_are_told(tmp_path: Path) -> None:
    (tmp_path / "stock.csv").write_text(
        "section,length,count,owned\nEN 10255 DN25 medium,5 m,,\n50 x 3 mm,6 m,2,yes\n"
    )
    told = [f for f in taken(tmp_path).findings if "drop out" in f]
    assert told == [
        "EN 10255 DN25 medium: cut from the lengths that stock.csv offers, 5000 mm; the design's "
        "own drop out: 6000 mm (rail[1].stock_length)"
    ]
    (tmp_path / "stock.csv").write_text("section,length\nEN 10255 DN25 medium,6 m\n")
    assert not any("drop out" in f for f in taken(tmp_path).findings)
    # What lies in the yard sets nothing aside.
    (tmp_path / "stock.csv").write_text(
        "section,length,count,owned\nEN 10255 DN25 medium,5 m,9,yes\n"
    )
    assert not any("drop out" in f for f in taken(tmp_path).findings)


def test_bar_lengths_are_those_that_tube_is_cut_from(tmp_path: Path) -> None:
    (tmp_path / "stock.csv").write_text("section,length\n50 x 3 mm,5.5 m\n")
    order = taken(tmp_path, bar_lengths=["5 m", "7 m"])
    lengths = {s.section.name: {one.length_mm for one in s.stocks} for s in order.sections}
    assert lengths["EN 10255 DN32 medium"] == lengths["EN 10255 DN25 medium"] == {5000.0, 7000.0}
    assert lengths["50 x 3 mm"] == {5500.0}
    assert any("50 x 3 mm: cut from the lengths" in f and "(order.bar_lengths)" in f
               for f in order.findings)  # fmt: skip


@pytest.mark.parametrize("command", ["takeoff", "build"])
def test_what_cannot_be_cut_ends_with_1(command: str, tmp_path: Path) -> None:
    text = (
        '[output]\nunits = "metric"\n[profile]\nstyle = "quonset"\nwidth = "4 m"\n'
        'ridge_height = "2.6 m"\nleg_height = "0.6 m"\n[bays]\ncount = 2\nspacing = "1.2 m"\n'
        "[order]\nbar_lengths = [{}]\n"
    )
    more = ["--out", str(tmp_path / "out")]
    more += ["--only", "takeoff"] if command == "build" else []
    for lengths, status in (('"6 m"', 0), ('"2 m"', 1)):
        (tmp_path / "design.toml").write_text(text.format(lengths))
        found = CliRunner().invoke(app, [command, str(tmp_path / "design.toml"), *more])
        assert found.exit_code == status, found.output
        assert ("of the order cannot be cut from the stock there is" in found.output) == bool(
            status
        )
