"""Findings become numbers of members, by which a viewer knows them."""

from __future__ import annotations

from walled_designs import walled

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.view.links import numbers_of

RULE = Rule(name="a-rule", severity=Severity.NOTE, meaning="It is.", source=COMMON_PRACTICE)


def finding(members: tuple) -> Finding:
    return Finding(rule=RULE, where="here", message="So.", advice="Do.", members=members)


def test_members_are_found_by_what_they_are_and_rise() -> None:
    frame = lay_out(design_from_mapping(walled()))
    sockets = tuple(frame.of(Role.SOCKET))
    about = [finding(sockets[:1]), finding(sockets[::-1]), finding(())]
    one, many, none = numbers_of(frame, about)
    assert [frame.members[number] for number in one] == [sockets[0]]
    assert many == sorted(many) and {frame.members[n].role for n in many} == {Role.SOCKET}
    assert len(many) == len(sockets) and none == []
    assert about[1].marks == tuple(dict.fromkeys(member.mark for member in sockets[::-1]))
