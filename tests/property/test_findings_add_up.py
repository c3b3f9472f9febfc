"""Findings of random designs, read back true to scale printed: the numbers add up.

In each system of units and at each fraction and number of decimals that a design can ask for.
"""

from __future__ import annotations

from collections.abc import Iterator

from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from msgspec import structs
from odd_designs import frame_within, odd_designs
from printed import value_of

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import finding_row, report_of
from frame3d.checks.rules import headroom_rules as headroom
from frame3d.checks.rules import practice
from frame3d.checks.rules import site_rules as site
from frame3d.frame.model.members import Frame
from frame3d.units import UnitSystem

FORMS = [
    *((UnitSystem.IMPERIAL, {"fraction": 2**k}) for k in range(1, 7)),
    *((UnitSystem.METRIC, {"decimals": k}) for k in range(3)),
]
TOLD = {rule.name for rule in (*headroom.RULES, *practice.RULES, *site.RULES)} - {
    practice.PIECES.name, practice.SETS.name, site.LINE.name, site.FACING.name,
}  # fmt: skip
"""Rules whose sentence always has the number that is provided."""
LITTLE = 0.005


def printed_as(frame: Frame, system: UnitSystem, fields: dict[str, int]) -> Frame:
    """The same frame, written otherwise."""
    output = frame.design.output.model_copy(update={"units": system, **fields})
    return structs.replace(frame, design=frame.design.model_copy(update={"output": output}))


def read_back(frame: Frame, finding: Finding) -> Iterator[str]:
    """What is wrong with the figures of a finding, on the terminal and in the report."""
    _, _, told = finding_row(frame, finding)
    row = report_of(frame, [finding])["findings"][0]
    texts = row["text"]
    if finding.required is None:
        assert not any(texts.values())
        return
    required, provided, margin = (
        value_of(texts[name]) for name in ("required", "provided", "margin")
    )
    limit = "At most" if finding.is_most else "Required"
    line = f"{limit} {texts['required']}, provided {texts['provided']}, margin {texts['margin']}."
    if line not in told:
        yield f"not on the terminal: {line}"
    if margin != (required - provided if finding.is_most else provided - required):
        yield f"does not add up: {line}"
    if finding.margin < -LITTLE and margin >= 0:
        yield f"looks as if it were kept: {line}"
    if any(text.startswith("-") and value_of(text) == 0 for text in texts.values()):
        yield f"less than nothing: {line}"
    is_told = finding.accepted is None and finding.rule.name in TOLD
    if is_told and texts["provided"] not in finding.message:
        yield f"{finding.message} is not {line}"


@settings(
    max_examples=examples(20), phases=[Phase.explicit, Phase.generate], deadline=None,
    derandomize=True, database=None, suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(odd_designs(most_bays=6), st.sampled_from(FORMS))
def test_required_provided_and_margin_add_up(mapping: dict, form: tuple) -> None:
    made = frame_within(mapping)
    assume(made is not None)
    frame = printed_as(made[0], *form)
    found = check_frame(frame)
    assert not [wrong for finding in found for wrong in read_back(frame, finding)]
    # The same numbers, written in all other ways; the sentences are those of the first.
    bare = [structs.replace(finding, message="As above.", accepted="so") for finding in found]
    for other in FORMS:
        again = printed_as(frame, *other)
        assert not [wrong for finding in bare for wrong in read_back(again, finding)]
