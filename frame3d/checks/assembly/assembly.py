"""Whether the parts go together: clashes, fits and the stack-up of rail holes in one look."""

from __future__ import annotations

from frame3d.checks.assembly import clashes, cover_clashes, fit, stack_up
from frame3d.checks.findings.finding import Finding, Rule
from frame3d.checks.measured.near_pairs import survey
from frame3d.frame.model.members import Frame

RULES: tuple[Rule, ...] = (*clashes.RULES, *fit.RULES, *stack_up.RULES, *cover_clashes.RULES)


def find_assembly_faults(frame: Frame) -> list[Finding]:
    """Everything that keeps the parts of ``frame`` from going together.

    The members are looked at once for clashes and fits.
    """
    seen = survey(frame, clashes.reach_of(frame))
    return [
        *clashes.find_clashes(frame, seen),
        *fit.find_misfits(frame, seen),
        *stack_up.find_holes_off(frame),
        *cover_clashes.find_cover_clashes(frame),
    ]
