"""Cutting stock and bin packing with known optima.

Where all patterns can be listed, HiGHS (through scipy) proves the optimum here too.
"""

from __future__ import annotations

import math
import random
from collections import Counter

import numpy as np
import pytest
from cutting_judge import faults
from recounted_designs import RECOUNTED
from scipy.optimize import LinearConstraint, milp

from frame3d.catalog.sections import ChannelSection, FlatBarSection
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock
from frame3d.takeoff.cutting.plan_cuts import CuttingPlan, plan_cuts
from frame3d.takeoff.quantities.cuts import SectionPlan, section_plans
from frame3d.takeoff.quantities.prices import Prices

# Falkenauer's uniform class, u120_00, OR-Library file binpack1: capacity 150, best known and
# proven optimum 48 (E. Falkenauer, "A hybrid grouping genetic algorithm for bin packing",
# Journal of Heuristics 2 (1996), 5-30; J. E. Beasley, OR-Library; the citation from memory).
U120_00 = """
42 69 67 57 93 90 38 36 45 42 33 79 27 57 44 84 86 92 46 38 85 33 82 73 49 70 59 23 57 72 74 69
33 42 28 46 30 64 29 74 41 49 55 98 80 32 25 38 82 30 35 39 57 84 62 50 55 27 30 36 20 78 47 26
45 41 58 98 91 96 73 84 37 93 91 43 73 85 81 79 71 80 76 83 41 78 70 23 42 87 43 84 60 55 49 78
73 62 36 44 94 69 32 96 70 84 58 78 25 80 58 66 83 24 98 60 42 43 43 39
"""
# N1C1W1_A, capacity 100, optimum 25 (A. Scholl, R. Klein and C. Juergens, "BISON: a fast hybrid
# procedure for exactly solving the one-dimensional bin packing problem", Computers & Operations
# Research 24 (1997), 627-645, data set 1; the citation from memory).
N1C1W1_A = """
99 99 96 96 92 92 91 88 87 86 85 76 74 72 69 67 67 62 61 56 52 51 49 46 44 42 40 40 33 33 30 30 29
28 28 27 25 24 23 22 21 20 17 14 13 11 10 7 7 3
"""
# Paper rolls 5600 mm wide, 73 of them: derived, proven below over all patterns.
ROLLS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
    2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
# Rolls 100 in wide, 453 of them: V. Chvatal, Linear Programming (1983), chapter 13 (the citation
# from memory); proven below over all patterns.
CHVATAL = {45: 97, 36: 610, 31: 395, 14: 211}


def first_fit_decreasing(lengths: list[int], capacity: int) -> int:
    """Bars that first-fit decreasing takes, by the book."""
    rooms: list[int] = []
    for length in sorted(lengths, reverse=True):
        for number, room in enumerate(rooms):
            if room >= length:
                rooms[number] -= length
                break
        else:
            rooms.append(capacity - length)
    return len(rooms)


def solved(amounts: dict[int, int], capacity: int, kerf: int = 0) -> CuttingPlan:
    """The plan, after the judge has looked at it."""
    pieces = [Piece(mark=f"L{length}", length_mm=length, count=n) for length, n in amounts.items()]
    stocks = [Stock(name="bar", length_mm=capacity)]
    rules = CuttingRules(kerf_mm=kerf)
    plan = plan_cuts(pieces, stocks, rules)
    assert faults(plan, pieces, stocks, rules) == []
    return plan


@pytest.mark.parametrize(
    ("amounts", "capacity", "optimum", "greedy"),
    [
        pytest.param(ROLLS, 5600, 73, None, id="rolls"),
        pytest.param(CHVATAL, 100, 453, None, id="chvatal"),
        # By hand: 5 + 3 + 2 and 4 + 4 + 2 fill both bars; first-fit decreasing pairs 5 with 4.
        pytest.param({5: 1, 4: 2, 3: 1, 2: 2}, 10, 2, 3, id="by hand"),
        pytest.param(Counter(map(int, U120_00.split())), 150, 48, 49, id="u120_00"),
        pytest.param(Counter(map(int, N1C1W1_A.split())), 100, 25, 25, id="N1C1W1_A"),
    ],
)
def test_published_optima(
    amounts: dict[int, int], capacity: int, optimum: int, greedy: int | None
) -> None:
    plan = solved(amounts, capacity)
    assert len(plan.bars) == optimum
    assert plan.proven
    assert plan.aims[0].bound == optimum * capacity
    assert plan.gap == 0
    if greedy is not None:
        lengths = list(Counter(amounts).elements())
        assert first_fit_decreasing(lengths, capacity) == greedy


def patterns(lengths: list[int], room: int) -> list[tuple[int, ...]]:
    """Every way to cut one bar: how often each length comes from it."""
    if not lengths:
        return [()]
    first, rest = lengths[0], lengths[1:]
    return [
        (count, *others)
        for count in range(room // first + 1)
        for others in patterns(rest, room - count * first)
    ]


@pytest.mark.parametrize(
    ("amounts", "capacity", "optimum"),
    [pytest.param(ROLLS, 5600, 73, id="rolls"), pytest.param(CHVATAL, 100, 453, id="chvatal")],
)
def test_optima_over_all_patterns(amounts: dict[int, int], capacity: int, optimum: int) -> None:
    """The relaxed problem needs more than one bar less, and whole numbers do with the optimum."""
    ways = np.array(patterns(list(amounts), capacity)).T
    enough = LinearConstraint(ways, lb=list(amounts.values()))
    bars = np.ones(ways.shape[1])
    assert optimum - 1 < milp(bars, constraints=enough).fun <= optimum
    whole = milp(bars, constraints=enough, integrality=bars)
    assert whole.success and round(whole.fun) == optimum


@pytest.mark.parametrize("kerf", [0, 3])
@pytest.mark.parametrize("bars", [10, 20, 40])
def test_triplets_fill_every_bar(bars: int, kerf: int) -> None:
    # Falkenauer's triplets: three pieces fill each bar exactly, so the optimum is a third of
    # their number. With a kerf k, (a + k) + (b + k) + (c + k) = capacity + k, two cuts a bar.
    draw = random.Random(bars)
    capacity = 1000 + 2 * kerf
    lengths: list[int] = []
    for _ in range(bars):
        long = draw.randint(380, 490)
        middle = draw.randint(251, min(379, 750 - long))
        lengths += [long, middle, 1000 - long - middle]
    plan = solved(Counter(lengths), capacity, kerf)
    assert len(plan.bars) == bars
    assert plan.proven
    assert plan.waste_mm == bars * 2 * kerf
    assert first_fit_decreasing([length + kerf for length in lengths], capacity + kerf) > bars


@pytest.mark.parametrize("name", ["gothic, cover as parts, hip boards", "curtains, crank"])
def test_channel_is_cut_from_the_fewest_stock_lengths(name: str) -> None:
    """Its plan against a choice of all patterns by another solver; saw cuts, end trim counted."""
    frame = lay_out(design_from_mapping(RECOUNTED[name]))
    (found,) = (s for s in section_plans(frame, (), Prices())
                if isinstance(s.section, ChannelSection))  # fmt: skip
    lengths = [m.part.over_all_mm for m in frame.of_kind(Channel, Role.CHANNEL)]
    hold_fewest(frame, found, lengths)


# Plates as they are laid out and what they are bent to, from end to end, by their names.
BENT = (
    ("hinge band",), ("hanger strap", "hanger hook", "hanger lip"),
    ("track bracket, back", "track bracket, shelf"),
    ("floor guide, back", "floor guide, foot", "floor guide, lip"),
)  # fmt: skip


@pytest.mark.parametrize("bar", ["24 in", "40 in", "1.3 m"])
@pytest.mark.parametrize("trim", ["0 mm", "7 mm"])
def test_flat_bar_is_cut_from_the_fewest_stock_lengths(bar: str, trim: str) -> None:
    """Its plan against a choice of all patterns, its lengths against the closed form.

    Bent at right angles n times from straps that are laid out edge to face, L long in all: each
    bend reaches out one thickness t, takes r + t off both legs, and its neutral line is
    pi/2 (r + k t) long. So L + n t - 2 n (r + t) + n pi/2 (r + k t).
    """
    design = RECOUNTED["sliding door"] | {
        "door": [{"at": "front", "kind": "sliding", "width": "4 ft"},
                 {"at": "back", "kind": "hinged", "width": "4 ft"}],
        "end_wall": [{"at": "both"}], "order": {"flat_bar_lengths": [bar], "end_trim": trim},
    }  # fmt: skip
    frame = lay_out(design_from_mapping(design))
    (found,) = (s for s in section_plans(frame, (), Prices())
                if isinstance(s.section, FlatBarSection))  # fmt: skip
    make = frame.design.make
    straps = {name: [m.part for m in frame.of_kind(Plate, Role.HINGE, Role.BRACKET,
                                                    Role.FLOOR_GUIDE) if m.part.name == name]
              for names in BENT for name in names}  # fmt: skip
    lengths = []
    for names in BENT:
        bends, thick = len(names) - 1, straps[names[0]][0].thickness_mm
        long = sum(along(straps[name][0], found.section.width_mm) for name in names)
        allowance = math.pi / 2 * (make.inside_radius + make.k_factor * thick)
        flat = long + bends * (thick - 2 * (make.inside_radius + thick) + allowance)
        assert len({len(straps[name]) for name in names}) == 1
        lengths += [flat] * len(straps[names[0]])
    hold_fewest(frame, found, lengths)


def along(plate: Plate, width_mm: float) -> float:
    """The side of a rectangle that is not the bar's width."""
    sides = [max(c[k] for c in plate.outline) - min(c[k] for c in plate.outline) for k in (0, 1)]
    assert min(abs(side - width_mm) for side in sides) < 0.01
    return sum(sides) - width_mm


def hold_fewest(frame: Frame, found: SectionPlan, lengths: list[float]) -> None:
    """The plan of a section takes as few bars as another solver finds for these pieces."""
    pieces = Counter[int]()
    for length in lengths:
        pieces[math.ceil((length + found.kerf_mm) * 1600 - 1e-3)] += 1
    (stock,) = found.stocks
    room = stock.length_mm - frame.design.order.end_trim + found.kerf_mm
    ways = np.array(patterns(sorted(pieces, reverse=True), math.floor(room * 1600 + 1e-3))).T
    enough = LinearConstraint(ways, lb=[pieces[long] for long in sorted(pieces, reverse=True)])
    bars = np.ones(ways.shape[1])
    least = milp(bars, constraints=enough, integrality=bars)
    assert found.plan is not None and found.plan.proven and not found.unplanned
    assert least.success and len(found.plan.bars) == round(least.fun)
    assert sum(len(bar.cuts) for bar in found.plan.bars) == sum(pieces.values())
