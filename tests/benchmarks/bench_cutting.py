"""Time of cutting plans for 100 to 2,000 pieces, and how near to the bound they come.

    python tests/benchmarks/bench_cutting.py --seconds 5

Pieces are drawn with a fixed seed: ten lengths as a frame has them, or every piece of its own
length, which no frame has. Stock is one length; or three with prices, one of them limited,
and offcuts in the yard. Printed are seconds of wall time, bars, first-fit decreasing's bars
where stock is one length, and the gap that is left.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from frame3d.takeoff.cutting.pieces_and_bars import (
    CuttingRules,
    Piece,
    Stock,
)
from frame3d.takeoff.cutting.plan_cuts import Goal, plan_cuts  # noqa: E402 - the path is set above

RULES = CuttingRules(kerf_mm=3, end_trim_mm=10, shortest_kept_mm=600)


def pieces_like_a_frame(number: int) -> list[Piece]:
    """So many pieces of ten lengths."""
    draw = random.Random(number)
    return [
        Piece(mark=f"P{n}", length_mm=round(draw.uniform(400, 3500), 1), count=number // 10)
        for n in range(10)
    ]


def pieces_all_different(number: int) -> list[Piece]:
    """So many pieces, hardly two of one length."""
    draw = random.Random(number)
    return [
        Piece(mark=f"P{n}", length_mm=round(draw.uniform(400, 3500), 1), count=1)
        for n in range(number)
    ]


def one_stock(_: int) -> list[Stock]:
    return [Stock(name="6 m", length_mm=6000, price=20)]


def several_stocks(number: int) -> list[Stock]:
    return [
        Stock(name="6 m", length_mm=6000, price=20),
        Stock(name="7.3 m", length_mm=7300, price=25),
        Stock(name="6.5 m", length_mm=6500, price=21.2, available=number // 20),
        Stock(name="offcut", length_mm=2100, owned=True, available=3),
        Stock(name="short offcut", length_mm=1450, owned=True, available=1),
        Stock(name="old bar", length_mm=6000, owned=True, available=2),
    ]


def first_fit_decreasing(pieces: list[Piece]) -> int:
    """Bars of 6 m by first-fit decreasing."""
    rooms: list[float] = []
    for size in sorted((p.length_mm + 3 for p in pieces for _ in range(p.count)), reverse=True):
        for number, room in enumerate(rooms):
            if room >= size:
                rooms[number] -= size
                break
        else:
            rooms.append(6000 - 10 + 3 - size)
    return len(rooms)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=float, default=5.0)
    seconds = parser.parse_args().seconds
    plan_cuts([Piece(mark="A", length_mm=1, count=1)], one_stock(1))  # loads the solver
    print(f"{'pieces':>6} {'lengths':<10} {'stock':<8} {'goal':<12} "
          f"{'time s':>7} {'bars':>5} {'FFD':>5} {'gap %':>7}")  # fmt: skip
    for number in (100, 300, 1000, 2000):
        for label, make in (("ten", pieces_like_a_frame), ("all differ", pieces_all_different)):
            for stock_label, stock, goal in (
                ("one", one_stock, Goal.LEAST_WASTE),
                ("several", several_stocks, Goal.LEAST_WASTE),
                ("several", several_stocks, Goal.LEAST_COST),
            ):
                pieces = make(number)
                begun = time.perf_counter()
                plan = plan_cuts(pieces, stock(number), RULES, goal=goal, seconds=seconds)
                took = time.perf_counter() - begun
                greedy = first_fit_decreasing(pieces) if stock is one_stock else ""
                print(f"{number:>6} {label:<10} {stock_label:<8} {goal.value:<12} "
                      f"{took:>7.2f} {len(plan.bars):>5} {greedy:>5} {100 * plan.gap:>7.3f}",
                      flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
