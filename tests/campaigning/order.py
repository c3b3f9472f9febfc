"""The stages that a design goes through, in their order; here, as naming them loads nothing."""

from __future__ import annotations

STAGES = ("layout", "checks", "takeoff", "sheets", "guide", "page", "solids", "files")
LASTS = (*STAGES[:-1], "all")
"""What a campaign can go through to."""


def through(last: str, *, only: bool = False) -> tuple[str, ...]:
    """The stages up to ``last``, or the layout and ``last`` alone; ``all`` are all of them."""
    if last == "all":
        return STAGES
    return ("layout", last) if only else STAGES[: STAGES.index(last) + 1]


__all__ = ["LASTS", "STAGES", "through"]
