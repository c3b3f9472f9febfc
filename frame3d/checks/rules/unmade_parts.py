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
        meaning="A part stands in the model files without its holes, as its solid cannot be made "
        "with them; looked for when files are made.",
        source=COMMON_PRACTICE,
    ),
    Rule(
        name="model-not-made",
        severity=Severity.ERROR,
        meaning="A part is left out of the model files, as its solid cannot be made; looked for "
        "when files are made.",
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
            message=f"{one.words} What failed: {one.reason}.",
            advice="Send the design file to whoever looks after this program; until then give "
            "the model to nobody who cuts or drills by it.",
            members=members[one.mark],
        )
        for one in unmade
    ]


__all__ = ["RULES", "told_of_model"]
