"""All checks of a frame, their rules, and which findings the design accepts.

A finding is no verdict on strength: a frame without findings is one in which these
rules found nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import structs

from frame3d.checks.assembly import assembly
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.rules import boards, curtains, door_curtains, doors, machines, making, practice
from frame3d.checks.rules import headroom_rules as headroom
from frame3d.checks.rules import plot_rules as plot
from frame3d.checks.rules import site_rules as site
from frame3d.checks.rules import survey_rules as survey
from frame3d.checks.rules import unmade_parts as model
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.model.members import Frame

Check = Callable[[Frame], list[Finding]]

_CHECKS: tuple[tuple[Check, tuple[Rule, ...]], ...] = (
    (headroom.check_headroom, headroom.RULES),
    (machines.check_machines, machines.RULES),
    (doors.check_doors, doors.RULES),
    (assembly.find_assembly_faults, assembly.RULES),
    (practice.check_practice, practice.RULES),
    (boards.check_boards, boards.RULES),
    (curtains.check_curtains, curtains.RULES),
    (door_curtains.check_door_curtains, door_curtains.RULES),
    (making.check_making, making.RULES),
    (site.check_site, site.RULES),
    (survey.check_survey, survey.RULES),
    (plot.check_plot, plot.RULES),
)
"""Every check with the rules that it goes by; a new one needs no more than a line here."""

UNKNOWN = Rule(
    name="accept-unknown",
    severity=Severity.WARNING,
    meaning="The design accepts a rule that does not exist.",
    source=COMMON_PRACTICE,
)
UNUSED = Rule(
    name="accept-unused",
    severity=Severity.NOTE,
    meaning="The design accepts a finding that does not occur.",
    source=COMMON_PRACTICE,
)
_ORDER = {severity: place for place, severity in enumerate(Severity)}


def rules() -> tuple[Rule, ...]:
    """Every rule, in the order in which the checks go through them."""
    return (*(rule for _, group in _CHECKS for rule in group), *model.RULES, UNKNOWN, UNUSED)


def check_frame(frame: Frame, unmade: Iterable[Unmade] = ()) -> tuple[Finding, ...]:
    """What all checks find in ``frame``: errors first, accepted findings as notes.

    Parameters
    ----------
    frame : Frame
    unmade : iterable of Unmade
        What its model lacks, once that has been made. No design accepts it.

    Returns
    -------
    tuple of Finding
        Within one severity in the order of :func:`rules`, then by place; the same
        frame gives the same findings in the same order.
    """
    found = [finding for check, _ in _CHECKS for finding in check(frame)]
    judged = [*(_judged(frame, finding) for finding in found), *_idle(frame, found)]
    judged += model.told_of_model(frame, unmade)
    places = {rule.name: place for place, rule in enumerate(rules())}
    return tuple(sorted(judged, key=lambda f: (_ORDER[f.severity], places[f.rule.name], f.where)))


def _judged(frame: Frame, finding: Finding) -> Finding:
    for accept in frame.design.accept:
        if accept.rule == finding.rule.name and accept.where in finding.where:
            return structs.replace(finding, accepted=accept.reason)
    return finding


def _idle(frame: Frame, found: list[Finding]) -> list[Finding]:
    """What is accepted without being there."""
    names, idle = {rule.name for rule in rules()}, []
    for number, accept in enumerate(frame.design.accept, start=1):
        where = f"accept[{number}], {accept.rule}"
        if accept.rule not in names:
            idle.append(
                Finding(
                    rule=UNKNOWN,
                    where=where,
                    field=f"accept[{number}]",
                    message="There is no rule with this name.",
                    advice="Run frame3d rules for the names.",
                )
            )
        elif not any(f.rule.name == accept.rule and accept.where in f.where for f in found):
            idle.append(
                Finding(
                    rule=UNUSED,
                    where=where,
                    field=f"accept[{number}]",
                    message="There is no such finding.",
                    advice="Remove it, so that it hides nothing later.",
                )
            )
    return idle
