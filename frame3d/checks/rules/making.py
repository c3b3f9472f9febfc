"""Making: what a shop cannot be expected to do with a tube."""

from __future__ import annotations

from collections.abc import Sequence

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
_OWN_TUBE = (Role.RAIL, Role.HIP_RAIL, Role.TIE)
"""Whose section of the design names the tube."""


def check_making(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`: one for each section that is to be changed."""
    found: dict[str, list[PartCount[Tube]]] = {}
    for group in frame.parts_of_kind(Tube):
        if _reduced(group.part):
            found.setdefault(_field(group), []).append(group)
    return [_swage(field, groups) for field, groups in found.items()]


def _reduced(tube: Tube) -> list[float]:
    """By which shares ends are reduced, where that is too much."""
    ends = [end for end in (tube.start, tube.end) if isinstance(end, Swage)]
    return [reduction(tube.section, end) for end in ends if reduction_trouble(tube.section, end)]


def _field(group: PartCount[Tube]) -> str:
    """What to change in the design."""
    if group.role is Role.HOOP:
        return "hoop.splice"
    source = group.members[0].source
    return f"{source}.tube" if group.role in _OWN_TUBE else source or "end_wall"


def _swage(field: str, groups: Sequence[PartCount[Tube]]) -> Finding:
    share = max(max(_reduced(group.part)) for group in groups)
    marks = ", ".join(group.mark for group in groups)
    return Finding(
        rule=SWAGE,
        where=f"{marks}, {groups[0].role.value}",
        members=tuple(member for group in groups for member in group.members),
        field=field,
        against="hoop.tube" if field == "hoop.splice" else "",
        required=MOST_REDUCED,
        provided=share,
        unit="share",
        is_most=True,
        message=f"An end is to be made {share:.0%} narrower; with so thick a wall more than "
        f"{MOST_REDUCED:.0%} can split or fold it.",
        advice="Choose a thinner wall, join the pieces by a sleeve, or ask the fabricator.",
    )
