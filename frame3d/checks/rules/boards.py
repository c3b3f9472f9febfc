"""Sill boards on the ground that was measured: what hangs, and what would close it."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import numbers
from frame3d.design.tables.staking import GroundBoards
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.frame.on_ground import boards_on_ground
from frame3d.frame.sides.ground_answers import CLOSED_MM, MOST_FILL_MM, BoardsOnGround
from frame3d.frame.sides.skirts import bays_text, what_would

GAP = Rule(
    name="board-gap", severity=Severity.WARNING,
    meaning="A sill board hangs above the ground, or stands on more fill than is usual.",
    source=COMMON_PRACTICE,
)  # fmt: skip
STEEP = Rule(
    name="ground-too-steep", severity=Severity.ERROR,
    meaning="None of the answers closes the gaps under the sill boards.", source=COMMON_PRACTICE,
)  # fmt: skip
RULES = (GAP, STEEP)


def check_boards(frame: Frame) -> list[Finding]:
    """Gaps that are left under the boards; nothing on level ground."""
    return list(_boards(frame))


def _boards(frame: Frame) -> Iterator[Finding]:
    found = boards_on_ground(frame)
    if found is None or not found.taken.unfit:
        return
    unfit, rule = found.taken.unfit, GAP if found.fitting else STEEP
    worst = max(gap.gap_mm for gap in unfit)
    filled = found.kind is GroundBoards.FILL
    bottom = 0.0 if frame.design.sill_board is None else frame.design.sill_board.bottom
    most = bottom + (MOST_FILL_MM if filled else CLOSED_MM)
    said = numbers(frame, most, worst)
    what = "must be filled" if filled else "stays open"
    yield Finding(
        rule=rule,
        where=bays_text(unfit),
        field="staking.boards",
        against="staking.levels",
        members=tuple(frame.of(Role.SILL_BOARD)),
        required=most,
        provided=worst,
        unit="mm",
        is_most=True,
        message=f"Up to {said.provided} {what} under the sill boards; {said.required} is usual.",
        advice=_advice(frame, found),
    )


def _advice(frame: Frame, found: BoardsOnGround) -> str:
    would = what_would(found, frame.design)
    text = f"{would[0].upper()}{would[1:]}."
    if found.fitting:
        return text
    skirt = found.of(GroundBoards.SKIRT)
    over = bays_text(skirt.unfit)
    most = lengths_of(frame).text(MOST_FILL_MM, unit=True)
    return f"{text} A skirt board is too small in {over}; more than {most} of fill is a pad."
