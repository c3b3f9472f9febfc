"""The members that findings are about, by their numbers, as a viewer knows them."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.checks.findings.finding import Finding
from frame3d.frame.model.members import Frame


def numbers_of(frame: Frame, findings: Iterable[Finding]) -> list[list[int]]:
    """For each finding the numbers in ``frame.members`` of the members that it is about, rising.

    Parameters
    ----------
    frame : Frame
        The one that was checked: its members are known as objects.
    findings : iterable of Finding
    """
    # By what they are: members of equal value are in different places of the list.
    numbers = {id(member): number for number, member in enumerate(frame.members)}
    return [sorted(numbers[id(member)] for member in f.members) for f in findings]
