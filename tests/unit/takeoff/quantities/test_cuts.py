"""Pieces and stock: what is sawn off for a part, and which lengths it can come from."""

from __future__ import annotations

import math

import pytest

from frame3d.catalog.sections import TubeSection
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.cut_lengths import cut_length_mm
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import Tube
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.takeoff.quantities.hardware import spares_for
from frame3d.takeoff.take_off import Takeoff, take_off
from frame3d.takeoff.write.records import figures

SECTION = TubeSection(name="42 x 2 mm", od_mm=42.0, wall_mm=2.0)


def tube(*segments: Line | Arc) -> Tube:
    return Tube(section=SECTION, axis=PlanePath(segments))


def taken(**changes: dict) -> Takeoff:
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
    }
    for section, fields in changes.items():
        both = isinstance(fields, dict)
        mapping[section] = {**mapping.get(section, {}), **fields} if both else fields
    return take_off(lay_out(design_from_mapping(mapping)))


def lengths(takeoff: Takeoff, section: str) -> set[float]:
    plan = next(plan for plan in takeoff.sections if plan.section.name == section)
    return {round(stock.length_mm, 3) for stock in plan.stocks}


@pytest.mark.parametrize(
    ("part", "straight", "length"),
    [
        (tube(Line(1000.0)), 300, 1000),
        # 300 missing at the bent end; 100 more where only 200 are there.
        (tube(Line(400.0), Arc(500.0, 1.0)), 300, 400 + 500 + 300),
        (tube(Arc(500.0, 1.0), Line(200.0)), 300, 500 + 200 + 300 + 100),
        (tube(Line(400.0), Arc(500.0, 1.0), Line(300.0)), 300, 1200),
        (tube(Arc(500.0, 1.0)), 0, 500),
    ],
)
def test_straight_ends_for_the_rolls(part: Tube, straight: float, length: float) -> None:
    assert cut_length_mm(part, straight) == pytest.approx(length)


def test_only_bent_pieces_are_cut_longer() -> None:
    plain, longer = taken(), taken(order={"straight_end": "250 mm"})
    for before, after in zip(plain.sections, longer.sections, strict=True):
        bent = "DN32" in before.section.name
        for short, long in zip(before.pieces, after.pieces, strict=True):
            # One end of each half is a leg that is straight enough by itself.
            assert long.length_mm - short.length_mm == pytest.approx(250 if bent else 0)
    # The frame and its lists stay as they are.
    assert longer.mass_kg == plain.mass_kg


def test_stock_lengths_are_those_of_the_rail_or_else_of_the_catalogue() -> None:
    rail = {"at": "sides", "height": "2 m", "stock_length": "5 m", "tube": "32 x 2 mm"}
    takeoff = taken(rail=[rail], sill_board={"stock_length": "4.2 m"})
    assert lengths(takeoff, "32 x 2 mm") == {5000.0}
    assert lengths(takeoff, "47x200") == {4200.0}
    # What the catalogue's row says, and 6 m for metric tube that has none.
    assert lengths(takeoff, "EN 10255 DN32 medium") == {6000.0, 6400.0}
    assert lengths(takeoff, "50 x 3 mm") == {6000.0}


@pytest.mark.parametrize(("units", "found"), [("metric", {6000.0}), ("imperial", {6096.0, 7315.2})])
def test_tube_with_a_name_of_its_own_has_the_usual_lengths(units: str, found: set) -> None:
    own = {"outside": "42 mm", "wall": "2 mm", "name": "from the barn"}
    takeoff = taken(hoop={"tube": own, "pieces": 3}, output={"units": units})
    assert lengths(takeoff, "from the barn") == found


def test_piece_that_no_stock_gives_is_left_out_and_told() -> None:
    takeoff = taken(hoop={"pieces": 1})
    plan = next(plan for plan in takeoff.sections if "DN32" in plan.section.name)
    assert plan.plan is None
    assert [piece.count for piece in plan.unplanned] == [5]
    (told,) = takeoff.findings
    assert told.startswith("EN 10255 DN32 medium: H1 needs ")
    assert "the longest stock gives 6400 mm; list longer stock in order.stock_file" in told
    # Nothing is bought of it, and nothing priced.
    assert not any("DN32" in line.item for line in takeoff.cost)


def test_end_trim_counts_when_stock_is_chosen() -> None:
    """Six metres less 1 mm do not give a rail that takes the whole bar: the piece is told."""
    rail = {"at": "sides", "height": "2 m", "tube": "32 x 2 mm", "stock_length": "6100 mm"}
    assert not taken(rail=[rail]).findings
    told = taken(rail=[rail], order={"end_trim": "1 mm"}).findings
    assert any("32 x 2 mm: R1 needs 6100 mm" in finding for finding in told)


def test_joint_blocks_come_from_offcuts() -> None:
    """4 bays of 1.5 m and 50 mm at either end in boards of 4.2 m: joints at mid-bay leave two
    boards a side, 3.80 and 2.30 m; a block of 300 mm fits beside either, so four boards do.
    """
    takeoff = taken(sill_board={"stock_length": "4.2 m"})
    plan = next(plan for plan in takeoff.sections if plan.section.name == "47x200")
    assert sum(piece.count for piece in plan.pieces) == 4 + 2
    assert len(plan.plan.bars) == 4


@pytest.mark.parametrize(
    ("needed", "percent", "least", "spares"),
    [
        (100, 5, 2, 5), (101, 5, 2, 6), (4, 5, 2, 2), (1000, 2.3, 0, 23), (140, 5, 0, 7),
        (7, 0, 0, 0),
    ],
)  # fmt: skip
def test_spares(needed: int, percent: float, least: int, spares: int) -> None:
    assert spares_for(needed, percent, least) == spares


def test_shortest_offcut_decides_what_is_kept() -> None:
    """Ten sockets of 1 m from bars of 6 m: five from each, and 6000 - 5 x 1003 = 985 mm over."""

    def kept(shortest: str) -> float:
        plans = taken(order={"shortest_offcut": shortest}).sections
        return next(plan for plan in plans if plan.section.name == "50 x 3 mm").plan.kept_mm

    assert math.isclose(kept("985 mm"), 2 * 985, abs_tol=0.01)
    assert kept("986 mm") == 0


def test_what_is_too_long_is_told_with_what_can_be_done_about_it() -> None:
    """Only hoops and runs can be had in more pieces; a brace is one tube."""
    (hoops,) = taken(hoop={"pieces": 1}).findings
    assert "hoop.pieces" in hoops
    found = taken(brace=[{}], order={"bar_lengths": ["3 m"]}, hoop={"pieces": 4}).findings
    told = [one for one in found if "B1 needs" in one]
    assert told and all("made in one piece" in one for one in told)


def test_hoops_that_weigh_the_same_are_told_in_one_line() -> None:
    lines = [line for line in figures(taken()) if line[0].startswith("A hoop as raised")]
    assert lines == [("A hoop as raised (hoops 1 to 5)", lines[0][1])]
