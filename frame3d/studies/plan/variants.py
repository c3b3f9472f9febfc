"""The designs of a plan, one after the other: all combinations, or a Latin hypercube.

References
----------
McKay, Beckman, Conover: A comparison of three methods for selecting values of input variables in
the analysis of output from a computer code. Technometrics 21 (1979), 239-245, section 2: each
variable's range is cut into as many equal strata as there are points, and each stratum of it is
drawn once.
"""

from __future__ import annotations

import copy
import itertools
import random
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.design.reading.faults import path_of
from frame3d.design.tables.fields import Table, Written
from frame3d.studies.plan.whole_plan import LEFT_OUT, Axis, Choice, Plan


class Variant(Struct, frozen=True, kw_only=True):
    """One design of a plan: its number, from 1, and what its fields are."""

    number: int
    choices: tuple[Choice, ...]

    def values(self, plan: Plan) -> dict[str, Written]:
        """What each field is that varies."""
        pairs = (
            zip(a.fields, c, strict=True) for a, c in zip(plan.axes, self.choices, strict=True)
        )
        return dict(itertools.chain.from_iterable(pairs))


def variants_of(plan: Plan) -> Iterator[Variant]:
    """The designs of ``plan``, each once, made as they are asked for."""
    if plan.sample is None:
        whole = itertools.product(*(axis.choices for axis in plan.axes))
        for number, choices in enumerate(whole, start=1):
            yield Variant(number=number, choices=choices)
        return
    seen: set[tuple[int, ...]] = set()
    for places in hypercube(plan.axes, plan.sample, plan.seed):
        if places not in seen:
            seen.add(places)
            choices = tuple(a.choices[p] for a, p in zip(plan.axes, places, strict=True))
            yield Variant(number=len(seen), choices=choices)


def hypercube(axes: Sequence[Axis], count: int, seed: int) -> Iterator[tuple[int, ...]]:
    """Which choice of each axis each of ``count`` points has; some points may be alike.

    Of an axis with n choices each is drawn count / n times, rounded up or down.
    """
    chance = random.Random(seed)
    columns = []
    for axis in axes:
        strata = list(range(count))
        chance.shuffle(strata)
        # All points lie alike in their strata, so that choices are drawn evenly.
        shift, most = chance.random(), len(axis.choices)
        columns.append([int((stratum + shift) * most / count) for stratum in strata])
    yield from zip(*columns, strict=True)


def changed(base: Table, values: dict[str, Written]) -> Table:
    """``base`` with other values at the places given; a section that is not there is added.

    Raises
    ------
    LookupError
        If a place is in a list that is shorter.
    """
    made = copy.deepcopy(base)
    for place, value in values.items():
        *outer, last = path_of(place)
        table = made
        for step in outer:
            if isinstance(step, str) and isinstance(table, dict):
                table = table.setdefault(step, {})
            else:
                table = table[step]  # type: ignore[index]  # a list, as the plan was checked
        if value == LEFT_OUT:
            table.pop(str(last), None)
        else:
            table[str(last)] = value
    return made
