"""Making: what a shop cannot be expected to do with a tube."""

from __future__ import annotations

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.frame.joining.swaging import MOST_REDUCED, reduction, reduction_trouble
from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role

SWAGE = Rule(
    name="swage-reduction",
    severity=Severity.WARNING,
    meaning="The end of a tube is to be made narrower than its wall lets it be in one go.",
    source=COMMON_PRACTICE,
)
RULES = (SWAGE,)

__all__ = ["RULES", "check_making"]


def check_making(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    return [
        _swage(group, max(shares))
        for group in frame.parts_of_kind(Tube)
        if (shares := _reduced(group.part))
    ]


def _reduced(tube: Tube) -> list[float]:
    """By which shares ends are reduced, where that is too much."""
    ends = [end for end in (tube.start, tube.end) if isinstance(end, Swage)]
    return [reduction(tube.section, end) for end in ends if reduction_trouble(tube.section, end)]


def _swage(group: PartCount[Tube], share: float) -> Finding:
    hoop = group.role is Role.HOOP
    return Finding(
        rule=SWAGE,
        where=f"{group.mark}, {group.role.value}",
        members=group.members,
        field="hoop.splice" if hoop else f"{group.members[0].source}.tube",
        against="hoop.tube" if hoop else "",
        required=MOST_REDUCED,
        provided=share,
        unit="share",
        is_most=True,
        message=f"Its end is to be made {share:.0%} narrower; with so thick a wall more than "
        f"{MOST_REDUCED:.0%} can split or fold it.",
        advice="Choose a thinner wall, join the pieces by a sleeve, or ask the fabricator.",
    )
