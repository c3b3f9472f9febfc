"""Walks from the starters with end walls and doors of all kinds: who is told of what."""

from __future__ import annotations

from collections import Counter

import pytest
from campaign import examples
from finding_links import unlinked
from wall_walks import WallWalk

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.field_info import sections
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame

BATCHES, EACH = 6, examples(25)
_ALONE = ("end_wall[1].largest_spacing", "end_wall[1].sill")
"""What the layout spaces and cuts by itself, and so moves out of the way by itself."""


def wrong_with(frame: Frame) -> list[str]:
    """What is wrong with the errors of a frame, in words."""
    findings = check_frame(frame)
    found = [f for f in findings if f.severity is Severity.ERROR]
    told = unlinked(frame, findings)
    causes = Counter(frozenset(f.fields) for f in found if f.rule.name.endswith("clash"))
    told += [f"{set(cause)} told {count} times" for cause, count in causes.items() if count > 1]
    for finding in found:
        name = f"{finding.rule.name} at {finding.where}: {finding.fields}"
        if len(finding.fields) != 2:
            told.append(f"{name}: does not name two fields")
        if all(field in _ALONE or field.endswith(".brace_height") for field in finding.fields):
            told.append(f"{name}: about what the layout places by itself")
    return told


@pytest.mark.parametrize("batch", range(BATCHES))
def test_errors_of_end_walls_are_due_to_two_values_and_name_both(batch: int) -> None:
    laid = 0
    for seed in range(batch * EACH, (batch + 1) * EACH):
        walk = WallWalk(seed)
        try:
            frame = lay_out(design_from_mapping(walk.design))
        except (DesignError, DesignFaults) as error:
            field = str(error).split(":")[0].split(".")[0].split("[")[0]
            assert field in sections(), (seed, error)
            continue
        laid += 1
        assert wrong_with(frame) == [], (seed, walk.design["end_wall"], walk.design["door"])
    assert laid >= EACH / 4
