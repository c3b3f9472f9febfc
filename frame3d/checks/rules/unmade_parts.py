"""What the model files do not show as it is made."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.frame.describe.unmade import Lack, Unmade
from frame3d.frame.model.members import Frame

RULES = (
    Rule(
        name="model-not-bored",
        severity=Severity.ERROR,
        meaning="A part is in model.step, model.stl and model.glb without its holes, because its "
        "solid cannot be made with them; checked when files are made.",
        source=COMMON_PRACTICE,
    ),
    Rule(
        name="model-not-made",
        severity=Severity.ERROR,
        meaning="A part is missing from model.step, model.stl and model.glb, because its solid "
        "cannot be made; checked when files are made.",
        source=COMMON_PRACTICE,
    ),
)
_RULE_OF = dict(zip((Lack.NOT_BORED, Lack.NOT_MADE), RULES, strict=True))


def told_of_model(frame: Frame, unmade: Iterable[Unmade]) -> list[Finding]:
    """A finding for each part that the model files of ``frame`` lack."""
    members = {count.mark: count.members for count in frame.parts()}
    return [
        Finding(
            rule=_RULE_OF[one.lack],
            where=one.mark,
            message=f"{one.words} Reason: {one.reason}.",
            advice="Report it with the design file; until it is fixed, give the model to "
            "nobody who cuts or drills from it.",
            members=members[one.mark],
        )
        for one in unmade
    ]
