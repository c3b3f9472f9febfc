"""Walks from the designs that a user starts from: what two values bring together names both."""

from __future__ import annotations

import copy
import re
from collections import Counter

import pytest
from campaign import examples
from campaigning.walks import walk as any_walk
from finding_links import unlinked
from walks import Walk

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.field_info import sections
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role

BATCHES, EACH = 6, examples(12)
ANY = 200
_OURS = {Role.JOINT_BLOCK, Role.SPLICE, Role.SCREW}
"""What the layout places by itself, and so moves out of the way by itself."""
_TABLE = re.compile(r"([a-z_]+)(?:\[(\d+)\])?(?:\.\w+)?")
_OPTIONAL = {"rail", "brace", "tie", "side_opening", "sill_board"}


def severe(findings: list[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity is Severity.ERROR]


def without(design: dict, field: str) -> dict | None:
    """The design without the table that a field is in; None where it cannot do without."""
    name, number = _TABLE.fullmatch(field).groups()
    if name not in _OPTIONAL:
        return None
    changed = copy.deepcopy(design)
    if number:
        del changed[name][int(number) - 1]
    else:
        del changed[name]
    return changed


def wrong_with(walk: Walk, frame: Frame) -> list[str]:
    """What is wrong with the errors of a walk, in words."""
    findings = check_frame(frame)
    found, told = severe(findings), unlinked(frame, findings)
    causes = Counter(frozenset(f.fields) for f in found if f.rule.name == "clash")
    told += [f"{set(cause)} told {count} times" for cause, count in causes.items() if count > 1]
    for finding in found:
        name = f"{finding.rule.name} at {finding.where}: {finding.fields}"
        if len(finding.fields) != 2:
            told.append(f"{name}: does not name two fields")
        pair = {member.role for member in frame.members
                if member.mark in finding.where.split(":")[0].split(" and ")}  # fmt: skip
        if pair & _OURS:
            told.append(f"{name}: about {pair & _OURS}, which the layout places by itself")
        for field in finding.fields:
            left = without(walk.design, field)
            if left is not None and finding.rule.name == "clash":
                # Without one of the two there is one error less: they are what causes it.
                fewer = severe(check_frame(lay_out(design_from_mapping(left))))
                if len(fewer) >= len(found):
                    told.append(f"{name}: stays without {field}")
    return told


@pytest.mark.parametrize("batch", range(BATCHES))
def test_errors_of_walks_are_due_to_the_two_fields_that_they_name(batch: int) -> None:
    laid, refused = 0, []
    for seed in range(batch * EACH, (batch + 1) * EACH):
        walk = Walk(seed, walls=False)
        try:
            frame = lay_out(design_from_mapping(walk.design))
        except (DesignError, DesignFaults) as error:
            refused.append((seed, walk.told, str(error)))
            continue
        laid += 1
        assert wrong_with(walk, frame) == [], (seed, walk.told)
    # One in twenty, and one in a batch that is smaller than that.
    assert len(refused) <= max(1, 0.05 * (laid + len(refused))), refused
    for seed, told, message in refused:
        field = message.split(":")[0].split(".")[0].split("[")[0]
        assert field in sections(), (seed, told, message)


def test_few_walks_of_any_field_from_a_starter_are_refused() -> None:
    """At most one in twenty, each for values that it gives. Those from the examples are not
    counted: they give nearly every field, so that what is changed contradicts what is left."""
    tried, refused = 0, []
    for number in range(1, ANY + 1):
        design, told = any_walk(2, number)
        if told[0].startswith("long_meadow"):
            continue
        tried += 1
        try:
            lay_out(design_from_mapping(design))
        except DesignFaults as error:
            refused.append((number, told, [(f.where, f.message) for f in error.faults]))
        except DesignError as error:
            refused.append((number, told, [(error.where, error.message)]))
    assert tried > ANY / 2
    assert len(refused) <= 0.05 * tried, refused
    for number, told, faults in refused:
        for where, message in faults:
            assert where.partition(".")[0].partition("[")[0] in sections(), (number, told)
            assert "is not given and follows from this" not in message, (number, told, message)
