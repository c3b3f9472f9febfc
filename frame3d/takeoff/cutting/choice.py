"""How often each column is used, by OR-Tools CP-SAT. The only module that loads the solver.

The same input gives the same answer: one worker, a fixed seed, and a limit on counted work
(the solver's deterministic time) in place of a clock.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from frame3d.takeoff.cutting.bound import step_of_prices
from frame3d.takeoff.cutting.problem import BarKind, Column, Plan, Problem

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

_SEED = 1
_WORK_A_SECOND = 0.5
"""Deterministic time of the solver in a second of an ordinary machine, about (measured)."""


class Choice(Struct, frozen=True, kw_only=True):
    """What the solver found: a plan, if any, and what none of the columns' plans goes below.

    Parameters
    ----------
    bound : int
        On the price, or on the waste.
    optimal : bool
        The plan is the best of these columns.
    """

    plan: Plan | None
    bound: int
    optimal: bool


def choose_covering(
    problem: Problem,
    columns: Sequence[Column],
    surplus: Sequence[int | None],
    price: int,
    lowest: int,
    seconds: float,
) -> Choice:
    """Return the cheapest choice that cuts at least the pieces asked for.

    Parameters
    ----------
    surplus : sequence of int or None
        For each size how many pieces too many may be cut; None for any number.
    price, lowest : int
        The highest price looked for, and a lower bound on it.
    seconds : float
        Of the deterministic clock.
    """
    step = step_of_prices(problem)
    nothing = Choice(plan=None, bound=price + step, optimal=True)
    most = [
        None if over is None else count + over
        for count, over in zip(problem.counts, surplus, strict=True)
    ]
    if {item for _, pattern in columns for item, _ in pattern} < set(range(len(most))):
        return nothing
    model, uses = _model(problem, columns, most)
    cost = sum(
        (kind.price // step) * use
        for (kind, _), use in zip(columns, uses, strict=True) if kind.price
    )  # fmt: skip
    model.add(cost >= -(-lowest // step))
    model.add(cost <= price // step)
    model.minimize(cost)
    plan, bound, optimal, impossible = _run(model, columns, uses, seconds)
    if impossible:
        return nothing
    least = max(lowest, math.ceil(bound - 1e-6) * step)
    return Choice(plan=plan, bound=least, optimal=optimal)


def choose_exact(
    problem: Problem, columns: Sequence[Column], start: Plan, seconds: float
) -> Choice:
    """Return the choice of least waste, then fewest bars, that is no dearer than a plan.

    Every piece is cut as often as it is asked for, not more.
    """
    columns = list(dict.fromkeys([*columns, *start]))
    score = problem.score(start)
    model, uses = _model(problem, columns, problem.counts)
    model.add(
        sum(kind.price * use for (kind, _), use in zip(columns, uses, strict=True)) <= score.price
    )
    for column, use in zip(columns, uses, strict=True):
        model.add_hint(use, start.get(column, 0))
    wastes = [problem.waste(*column) for column in columns]
    unit = math.gcd(*wastes) or 1
    # One bar weighs less than the least difference in waste.
    weight = problem.total + 1
    model.minimize(
        sum((waste // unit * weight + 1) * use for waste, use in zip(wastes, uses, strict=True))
    )
    plan, bound, optimal, _ = _run(model, columns, uses, seconds)
    least = max(0, math.ceil(bound - 1e-6)) // weight * unit
    return Choice(plan=plan, bound=least, optimal=optimal)


def _model(
    problem: Problem, columns: Sequence[Column], most: Sequence[int | None]
) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    """A model with one whole number for each column, and the pieces and bars they take."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    uses: list[cp_model.IntVar] = []
    cut: dict[int, list[cp_model.LinearExpr]] = defaultdict(list)
    taken: dict[BarKind, list[cp_model.IntVar]] = defaultdict(list)
    for place, (kind, pattern) in enumerate(columns):
        often = kind.available
        for item, count in pattern:
            limit = most[item]
            if limit is not None:
                often = min(often, limit // count)
        use = model.new_int_var(0, often, f"use{place}")
        uses.append(use)
        taken[kind].append(use)
        for item, count in pattern:
            cut[item].append(count * use)
    for item, count in enumerate(problem.counts):
        limit = most[item]
        if limit == count:
            model.add(sum(cut[item]) == count)
        else:
            model.add(sum(cut[item]) >= count)
            if limit is not None:
                model.add(sum(cut[item]) <= limit)
    for kind, used in taken.items():
        if kind.limited:
            model.add(sum(used) <= kind.available)
    return model, uses


def _run(
    model: cp_model.CpModel,
    columns: Sequence[Column],
    uses: Sequence[cp_model.IntVar],
    seconds: float,
) -> tuple[Plan | None, float, bool, bool]:
    """Plan or None, bound on the objective, whether optimal, whether there is no plan at all."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = _SEED
    # It would take Ctrl-C for itself and leave the process without a handler afterwards.
    solver.parameters.catch_sigint_signal = False
    solver.parameters.max_deterministic_time = seconds * _WORK_A_SECOND
    # Bounds of covering problems come from their linear relaxation, so all of it is used.
    solver.parameters.linearization_level = 2
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None, 0.0, True, True
    plan: Plan | None = None
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        plan = Counter()
        for column, use in zip(columns, uses, strict=True):
            if times := solver.value(use):
                plan[column] = times
    return plan, solver.best_objective_bound, status == cp_model.OPTIMAL, False
