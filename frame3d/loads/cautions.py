"""What every output of this room says first, and equally loud whatever it shows."""

from __future__ import annotations

CAUTIONS = (
    "Nothing here says what a frame can carry. It compares, and nothing else.",
    "Loads, foundations and permits are for local codes and a licensed professional: see an "
    "engineer before you build.",
)
REFERENCE = (
    "Nobody knows whether the other design stands. To do better than a frame that falls down is "
    "worth nothing."
)
NOT_COVERED = (
    "Not covered: fatigue, welds, swages and their play, corrosion, the film, impact, ice, end "
    "walls as stiffeners, boards unless the design counts them, the play of bolts, how clamps sit "
    "off the plane of a hoop beyond their arm, the bearing of bolts and clamps, sockets that are "
    "pulled out or sink, gusts, and what a real site adds."
)
CAUTION_CELL = "Nothing here says what a frame can carry; see an engineer."
"""The first cell of every row: a row that is copied out of a table still says it."""
UNIT_ONLY = "unit, not a design load"


def cautions_beside(*, other: bool) -> tuple[str, ...]:
    """What stands first beside figures of loads; ``other`` where a design is compared with."""
    return (*CAUTIONS, *((REFERENCE,) if other else ()), NOT_COVERED)
