"""Designs by number: which kind, which number and which seed say what a design is.

Designs of the whole schema and odd ones come from Hypothesis, each from a seed of its own: design
7,000 does not need the 6,999 before it, and is no variant of its neighbour.
"""

from __future__ import annotations

import hashlib

from hypothesis import HealthCheck, Phase, given, seed, settings
from odd_designs import odd_designs
from whole_designs import designs

from campaigning.walks import walk

KINDS = ("random", "odd", "walk")
MOST_BAYS = 8
PLANNING_S = 0.3
"""Time for the cutting plan of each section: a good plan, not the best, is enough here."""
_STRATEGIES = {
    "random": designs(most_bays=MOST_BAYS, furnished=True),
    "odd": odd_designs(most_bays=MOST_BAYS),
}


def design_of(name: str, run_seed: int) -> dict:
    """The design that ``name`` (``odd-17``) means under ``run_seed``; always the same one.

    The same for the same version of Hypothesis: a row of the record keeps the whole design.
    """
    kind, _, number = name.rpartition("-")
    if kind == "walk":
        design, _ = walk(run_seed, int(number))
    else:
        design = _drawn(kind, f"{kind} {run_seed} {number}")
    return design | {"order": {**design.get("order", {}), "planning_time": PLANNING_S}}


def names(kinds: tuple[str, ...], count: int) -> list[str]:
    """The names of ``count`` designs, the kinds taking turns."""
    return [f"{kinds[i % len(kinds)]}-{i // len(kinds) + 1}" for i in range(count)]


def _drawn(kind: str, key: str) -> dict:
    """One design at random; not the first that is drawn, which is the simplest of all."""
    found: list[dict] = []

    @seed(int.from_bytes(hashlib.sha256(key.encode()).digest()[:8], "big"))
    @settings(
        max_examples=2, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(_STRATEGIES[kind])
    def collect(mapping: dict) -> None:
        found.append(mapping)

    collect()
    return found[-1]


__all__ = ["KINDS", "design_of", "names"]
