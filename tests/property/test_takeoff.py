"""Properties of the take-off of whole designs: nothing is lost between frame, lists and plans."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from odd_designs import frame_within, odd_designs
from whole_designs import designs

from frame3d.frame.describe.bought import in_sets
from frame3d.frame.describe.flat_bars import flat_blanks
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Bolt, Tube
from frame3d.takeoff.quantities.handling import LEAST_TO_RAISE, RAISED
from frame3d.takeoff.take_off import Takeoff, take_off
from frame3d.takeoff.write.cut_lists import bar_groups, left_after
from frame3d.takeoff.write.part_lists import tables_of
from frame3d.units.data_tables import SI

orders = settings(
    max_examples=examples(40),
    deadline=None,
    derandomize=True,
    database=None,
    # Shrinking whole designs takes minutes; the one that fails is printed in any case.
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
ORDER = {"straight_end": "400 mm", "end_trim": "10 mm", "planning_time": 0.5}


def frame_of(mapping: dict, order: dict) -> Frame:
    made = frame_within({**mapping, "order": order})
    assume(made is not None)
    return made[0]


@orders
@given(st.one_of(designs(most_bays=20), odd_designs(most_bays=8)))
def test_nothing_is_lost(mapping: dict) -> None:
    frame = frame_of(mapping, ORDER)
    takeoff = take_off(frame)
    tables = {table.key: table for table in tables_of(takeoff)}
    _counts_are_the_frames(frame, takeoff, tables)
    _plans_supply_every_piece(frame, takeoff)
    _joints_hold_every_bolt(frame, takeoff)
    for hoop in takeoff.hoops:
        assert hoop.hands >= LEAST_TO_RAISE
    hoops = [n for hoop in takeoff.hoops for n in hoop.hoops]
    assert sorted(hoops) == list(range(1, len(frame.grid.hoop_y_mm) + 1))
    # Each weighs what its tubes and joints do, and some of the hardware at it besides.
    for hoop in takeoff.hoops:
        here = [member for member in frame.members if member.spot.hoop == hoop.hoops[0]]
        bare = math.fsum(mass_kg(m.part) for m in here if m.role in RAISED)
        most = bare + math.fsum(mass_kg(m.part) for m in here if m.part.is_bought)
        assert bare - 1e-9 <= hoop.mass_kg <= most + 1e-9
    assert all(abs(hoop.centre_mm[0]) < 50 for hoop in takeoff.hoops)


def _counts_are_the_frames(frame: Frame, takeoff: Takeoff, tables: dict) -> None:
    parts, sums = tables["parts"], tables["sums"]
    assert {row["mark"]: row["count"] for row in parts.rows} == dict(
        Counter(member.mark for member in frame.members)
    )
    mass = parts.total(parts.column("mass_total"), SI)
    assert mass == pytest.approx(takeoff.mass_kg, abs=1e-6 * len(frame.members))
    assert sums.total(sums.column("mass"), SI) == pytest.approx(mass, abs=1e-4)
    assert sum(row["pieces"] for row in sums.rows) == len(frame.members)
    # Pins and bolts of door fittings that are bought complete have no line of their own.
    sets = in_sets(frame)
    bought = sum(1 for m in frame.members if m.part.is_bought and id(m) not in sets)
    rows = {row.item: row for row in takeoff.hardware}
    # What is sold complete holds several pieces.
    assert sum(len(row.members) for row in rows.values()) == bought
    assert len({id(m) for row in rows.values() for m in row.members}) == bought
    for row in takeoff.hardware:
        assert row.buy >= row.needed + row.spares > row.needed
        assert row.buy - row.pack < row.needed + row.spares


def _plans_supply_every_piece(frame: Frame, takeoff: Takeoff) -> None:
    lengths = {
        count.mark: count.part.over_all_mm
        if isinstance(count.part, Channel)
        else count.part.length_mm
        for count in frame.parts()
        if isinstance(count.part, (Tube, Board, Channel))
    }
    counts = Counter(m.mark for m in frame.members if isinstance(m.part, (Tube, Board, Channel)))
    for blank in flat_blanks(frame):
        lengths[blank.name] = blank.length_mm
        counts[blank.name] += blank.count
    supplied: Counter[str] = Counter()
    for section in takeoff.sections:
        for piece in section.unplanned:
            supplied[piece.mark] += piece.count
        # What is left out is told.
        assert bool(section.unplanned) == any(
            piece.mark in finding for piece in section.unplanned for finding in section.findings
        )
        assert sum(group.count for group in bar_groups(section)) == len(
            section.plan.bars if section.plan else ()
        )
        for bar in section.plan.bars if section.plan else ():
            supplied.update(cut.mark for cut in bar.cuts)
            saw = math.fsum(cut.length_mm for cut in bar.cuts)
            saw += (len(bar.cuts) - 1) * section.kerf_mm + 10
            assert saw <= bar.stock.length_mm + 1e-3
            after = left_after(bar, section.kerf_mm, 10)
            assert after == sorted(after, reverse=True)
            for cut in bar.cuts:
                assert -1e-6 <= cut.length_mm - lengths[cut.mark] <= 800 + 1e-6
    assert supplied == counts


def _joints_hold_every_bolt(frame: Frame, takeoff: Takeoff) -> None:
    bolts = sum(1 for member in frame.members if isinstance(member.part, Bolt))
    assert sum(len(joint.members) for joint in takeoff.joints) == bolts
    for joint in takeoff.joints:
        assert joint.held
        if joint.is_clash:
            assert any("clamps overlap" in finding for finding in takeoff.findings)
            continue
        assert joint.can_tighten
        # No longer bolt is missed that would have kept the thread out.
        assert joint.better_mm is None
        assert joint.bolt.length_mm > joint.grip_mm
