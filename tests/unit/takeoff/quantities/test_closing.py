"""What film, wire and sheets cost, by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from curtain_designs import BASE

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.channel import Channel
from frame3d.takeoff.quantities.closing import closing_lines
from frame3d.takeoff.quantities.prices import Prices, read_prices
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.closing_list import closing_table

LISTED = BASE | {"cover": {"listed_as": "parts"}, "curtain": {"hangs": "separate"}}


def test_film_by_the_piece_and_by_the_metre(tmp_path: Path) -> None:
    frame = lay_out(design_from_mapping(LISTED))
    over, *_ = bought_cover(frame)
    cord = next(one for one in bought_cover(frame) if one.item.startswith("cord"))
    wire = next(one for one in bought_cover(frame) if one.item.startswith("wire"))
    path = tmp_path / "prices.csv"
    path.write_text(
        f'item,price,per\n"{over.item}",400,each\n"{cord.item}",0.5,m\n"{wire.item}",0.9,m\n',
        encoding="utf-8",
    )
    lines = {line.item: line for line in closing_lines(frame, read_prices(path))}
    assert lines[over.item].amount == 400.0
    # Two cords, priced by their length in metres.
    assert lines[cord.item].amount == pytest.approx(2 * cord.length_mm / 1000 * 0.5, abs=1e-3)
    # Wire is sold by the piece: a price by the metre says nothing.
    assert lines[wire.item].price is None


def test_things_of_one_name_are_one_line() -> None:
    frame = lay_out(design_from_mapping(LISTED | {"end_wall": [{"at": "both"}]}))
    lines = list(closing_lines(frame, Prices()))
    assert len({line.item for line in lines}) == len(lines)
    assert sum(line.quantity for line in lines) == sum(one.count for one in bought_cover(frame))


def test_order_and_table_say_the_same() -> None:
    takeoff = take_off(lay_out(design_from_mapping(LISTED)))
    rows = {row["item"]: row["count"] for row in closing_table(takeoff).rows}
    costed = {line.item: line.quantity for line in takeoff.cost if line.item in rows}
    assert costed == rows
    channel = takeoff.frame.parts_of_kind(Channel)[0].part.section.name
    (plan,) = [one for one in takeoff.sections if one.section.name == channel]
    assert plan.plan is not None and plan.plan.proven
    wanted = sum(g.count for g in takeoff.frame.parts_of_kind(Channel))
    assert sum(len(bar.cuts) for bar in plan.plan.bars) == wanted


def test_figures_are_in_the_table_and_not_in_the_cost() -> None:
    takeoff = take_off(lay_out(design_from_mapping(BASE)))
    items = {row["item"] for row in closing_table(takeoff).rows}
    assert any("channel" in item for item in items) and any("film," in item for item in items)
    assert not items & {line.item for line in takeoff.cost}
