"""Flat bar for doors in every output: length as on the sheets, order, prices, schedule, yard."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from pathlib import Path

import ezdxf
import pytest

from frame3d.building import taken_off
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import ListFaults
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import Plate
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.part_files import write_parts
from frame3d.single_builds import build_order
from frame3d.takeoff.quantities.supply import Supply
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.cut_lists import sawn_bars

BAR = "flat bar 40 mm x 5 mm"
KG_PER_M = 0.040 * 0.005 * 7850


def taken(folder: Path | None = None, **order) -> Takeoff:
    mapping = {
        "output": {"units": "metric"},
        "profile": {
            "style": "quonset", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "0.6 m",
        },
        "bays": {"count": 2, "spacing": "1.2 m"},
        "end_wall": [{"at": "both"}],
        "door": [{"at": "front", "kind": "sliding", "width": "1.2 m"},
                 {"at": "back", "kind": "hinged", "width": "1.2 m"}],
        "order": {"flat_bar_lengths": ["1 m", "1.5 m"], **order},
    }  # fmt: skip
    return taken_off(lay_out(design_from_mapping(mapping, folder=folder)))


@pytest.fixture(scope="module")
def order(tmp_path_factory) -> tuple[Takeoff, Path]:
    takeoff, folder = taken(), tmp_path_factory.mktemp("order")
    build_order(takeoff, folder)
    return takeoff, folder


def rows(path: Path) -> list[dict[str, str]]:
    lines = path.read_text("utf-8-sig").splitlines()
    return list(csv.DictReader(io.StringIO("\n".join(x for x in lines if not x.startswith("#")))))


def test_a_cut_is_as_long_as_the_flat_pattern_that_the_shop_gets(order, tmp_path: Path) -> None:
    takeoff, folder = order
    names = write_parts(takeoff.frame, tmp_path)
    cuts = json.loads((folder / "takeoff.json").read_text("utf-8"))["tables"]["cuts"]
    bent = {row["mark"]: row["length_mm"] for row in cuts if "-" in row["mark"]}
    assert len(bent) == 2  # a hanger and a track bracket; the floor guide is as wide as no bar
    for mark, length in bent.items():
        assert f"parts/{mark}-flat.dxf" in names
        doc = ezdxf.readfile(tmp_path / f"parts/{mark}-flat.dxf")
        xs = [p[0] for e in doc.modelspace() if e.dxf.layer == "cut"
              for p in (e.get_points() if e.dxftype() == "LWPOLYLINE" else
                        [e.dxf.start, e.dxf.end] if e.dxftype() == "LINE" else [])]  # fmt: skip
        assert max(xs) - min(xs) == pytest.approx(length, abs=1e-3)


def test_every_plate_is_ordered_once(order) -> None:
    """Those cut from bar, and those by the piece, are all the plates of the frame."""
    takeoff, _ = order
    plates = {g.mark: g for g in takeoff.frame.parts_of_kind(Plate)}
    got: Counter[str] = Counter()
    for section in takeoff.sections:
        for bar in section.plan.bars if section.section.name.startswith("flat bar") else ():
            got.update(mark for cut in bar.cuts for mark in cut.mark.split("-"))
    pieces = {line.item: line.pieces for line in takeoff.cost if line.length_mm is None}
    form = lengths_of(takeoff.frame)
    by_piece = Counter[str]()
    for mark, group in plates.items():
        if mark in got:
            assert got[mark] == group.count
        else:
            by_piece[describe(group.part, form)] += group.count
    assert by_piece and {item: pieces[item] for item in by_piece} == by_piece


def test_the_steel_yard_is_asked_for_bars(order) -> None:
    takeoff, folder = order
    lines = {line.length_mm: line for line in takeoff.cost if line.item == BAR}
    assert {line.supply for line in lines.values()} == {Supply.STEEL}
    mine = [row for row in rows(folder / "request-steel.csv") if row["item"] == BAR]
    asked = {row["length"]: int(row["quantity"]) for row in mine}
    assert asked == {f"{length:.0f} mm": line.pieces for length, line in lines.items()}
    assert not any("flat bar" in row["item"] for row in rows(folder / "request-doors.csv"))
    assert f"{BAR}: " in (folder / "takeoff-cuts.svg").read_text("utf-8")


def test_the_schedule_of_cuts_has_it(order) -> None:
    takeoff, _ = order
    sheets = draw_sheets(takeoff.frame, sawn_bars(takeoff))
    texts = {label.text for sheet in sheets.sheets for label in sheet.labels}
    assert BAR in texts
    assert any(re.search(r"\d+ × HI1-HI2-HI3 229", text) for text in texts)
    # Without a plan the pieces alone.
    texts = {label.text for sheet in draw_sheets(takeoff.frame).sheets for label in sheet.labels}
    assert {BAR, "HI1-HI2-HI3"} <= texts


@pytest.mark.parametrize(("per", "of_bar"), [
    ("each", lambda long, price: price), ("m", lambda long, price: price * long),
    ("kg", lambda long, price: price * long * KG_PER_M),
])  # fmt: skip
def test_prices_go_out_blank_and_come_back(order, tmp_path: Path, per: str, of_bar) -> None:
    """The form has both lengths; priced, the plan for least cost buys by them."""
    _, folder = order
    form = rows(folder / "takeoff-prices.csv")
    mine = [row for row in form if row["item"] == BAR]
    assert [(row["length"], row["price"]) for row in mine] == [("1000 mm", ""), ("1500 mm", "")]
    price = {"1000 mm": 4.0, "1500 mm": 9.0} if per == "each" else dict.fromkeys(
        ("1000 mm", "1500 mm"), 2.5)  # fmt: skip
    for row in mine:
        row |= {"price": f"{price[row['length']]}", "per": per, "currency": "EUR"}
    with (tmp_path / "prices.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, list(form[0]))
        writer.writeheader()
        writer.writerows(mine)
    priced = taken(tmp_path, price_file="prices.csv", goal="least cost")
    lines = [line for line in priced.cost if line.item == BAR]
    for line in lines:
        each = of_bar(line.length_mm / 1000, price[f"{line.length_mm:.0f} mm"])
        assert line.price == pytest.approx(each, abs=1e-4)
    if per == "each":  # 2.5 m are needed: three of 1 m for 12 against 13 for one of each
        assert [(line.length_mm, line.pieces) for line in lines] == [(1000.0, 3)]


def test_offcuts_are_stock_of_designs_that_have_no_flat_bar_too(order, tmp_path: Path) -> None:
    _, folder = order
    text = (folder / "takeoff-yard.csv").read_text("utf-8-sig")
    assert "flat bar 70 mm x 5 mm,919 mm,1,yes" in text  # 1000 less 3 x (24 + 3)
    (tmp_path / "stock.csv").write_text(text, "utf-8")
    again = taken(tmp_path, stock_file="stock.csv")
    (plan,) = (s for s in again.sections if s.section.name == "flat bar 70 mm x 5 mm")
    assert [bar.stock.owned for bar in plan.plan.bars] == [True]
    (tmp_path / "stock.csv").write_text(
        "section,length,count,owned\nflat bar 33 mm x 3 mm,2 m,1,yes\n"
        "film channel 32 mm x 12 mm,2 m,1,yes\n"
    )
    assert taken(tmp_path, stock_file="stock.csv").sections
    (tmp_path / "stock.csv").write_text("section,length\nround bar 12 mm,2 m\n")
    with pytest.raises(ListFaults, match="round bar"):
        taken(tmp_path, stock_file="stock.csv")


def test_a_piece_longer_than_every_bar_is_told() -> None:
    told = taken(flat_bar_lengths=["300 mm"]).findings
    assert any(finding.startswith(f"{BAR}: HI4 needs 329 mm, and the longest stock gives 300 mm")
               for finding in told)  # fmt: skip
