"""Designs by number: which kind, which number and which seed say what a design is.

Designs of the whole schema and odd ones come from Hypothesis in batches, each from a seed of
its own, so that design 7,000 does not need the 6,999 before it.
"""

from __future__ import annotations

import functools
import hashlib

from hypothesis import HealthCheck, Phase, given, seed, settings
from odd_designs import odd_designs
from whole_designs import designs

from campaigning.walks import walk

KINDS = ("random", "odd", "walk")
MOST_BAYS = 8
PLANNING_S = 0.3
"""Time for the cutting plan of each section: a good plan, not the best, is enough here."""
_BATCH = 40
_STRATEGIES = {
    "random": lambda: designs(most_bays=MOST_BAYS, furnished=True),
    "odd": lambda: odd_designs(most_bays=MOST_BAYS),
}


def design_of(name: str, run_seed: int) -> dict:
    """The design that ``name`` (``odd-17``) means under ``run_seed``; always the same one.

    The same for the same version of Hypothesis: a row of the record keeps the whole design.
    """
    kind, _, number = name.rpartition("-")
    place = int(number) - 1
    if kind == "walk":
        design, _ = walk(run_seed, place)
    else:
        design = _batch(kind, run_seed, place // _BATCH)[place % _BATCH]
    return design | {"order": {**design.get("order", {}), "planning_time": PLANNING_S}}


def names(kinds: tuple[str, ...], count: int) -> list[str]:
    """The names of ``count`` designs, the kinds taking turns."""
    return [f"{kinds[i % len(kinds)]}-{i // len(kinds) + 1}" for i in range(count)]


@functools.lru_cache(maxsize=4)
def _batch(kind: str, run_seed: int, batch: int) -> list[dict]:
    found: list[dict] = []
    attempt = 0
    while len(found) < _BATCH:
        text = f"{kind} {run_seed} {batch} {attempt}".encode()
        found += _drawn(kind, int.from_bytes(hashlib.sha256(text).digest()[:8], "big"))
        attempt += 1
    return found[:_BATCH]


def _drawn(kind: str, batch_seed: int) -> list[dict]:
    """Some designs; without the first, which is the simplest one in every batch."""
    found: list[dict] = []

    @seed(batch_seed)
    @settings(
        max_examples=_BATCH + 1, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(_STRATEGIES[kind]())
    def collect(mapping: dict) -> None:
        found.append(mapping)

    collect()
    return found[1:]


__all__ = ["KINDS", "design_of", "names"]
