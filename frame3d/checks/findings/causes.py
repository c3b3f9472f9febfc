"""What makes two members meet: the fields that they stand where they do for, each pair told once.

Two braces that cross bring their clamps, bolts and nuts with them; all of that is one cause.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypedDict

from msgspec.structs import replace

from frame3d.checks.findings.equal_findings import Found, told_once, where_of
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.design.tables.fields import DesignTable as Table
from frame3d.design.tables.whole_design import End, Rail, SideOpening, SillBoard
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role

_FINER: dict[str, tuple[str, ...]] = {"door": (), "end_wall": (), "sill_board": ()}
"""Sections whose members stand where several fields say; others stand at their height."""
_TO_ITSELF = {"brace": ("to_hoop", "corners")}
"""The fields that bring members of one section together."""
_ALONG = (Role.RAIL, Role.HIP_RAIL, Role.SILL_BOARD, Role.SKIRT_BOARD, Role.HIP_BOARD)
_SAME_MM = 0.01

Rank = tuple[float | str, ...]
"""What findings are sorted by."""


def field_of(frame: Frame, member: Member) -> str:
    """The field that says where ``member`` stands, or its section where several do.

    Empty for a member of no section, such as one of a frame put together by hand.
    """
    if "." in member.source:
        return member.source
    name, table = member.source.partition("[")[0], _table_of(frame, member.source)
    if table is None:
        return ""
    finer = _FINER.get(name, ("height", "fraction"))
    if member.role is Role.END_STOP:
        finer = ("end_stop",)
    given = next((one for one in finer if getattr(table, one, None) is not None), None)
    return member.source if given is None else f"{member.source}.{given}"


def _table_of(frame: Frame, source: str) -> Table | tuple[Table, ...] | None:
    """The table of the design that a source such as ``rail[2]`` names; None for none."""
    name, _, number = source.partition("[")
    table: Table | tuple[Table, ...] | None = getattr(frame.design, name, None) if name else None
    if number and table and isinstance(table, tuple):
        return table[int(number.rstrip("]")) - 1]
    return table


class Fields(TypedDict):
    """What a finding says of the design: its ``field`` and ``against``."""

    field: str
    against: str


def fields_of(frame: Frame, first: Member, second: Member) -> Fields:
    """``field`` and ``against`` of a finding about two members."""
    one, two = field_of(frame, first), field_of(frame, second)
    if one == two and one.endswith(".girts"):
        # Two heights of one list, too near for what the girts are made of.
        where, number = one.removesuffix(".girts"), int(one.partition("[")[2].partition("]")[0])
        return {"field": one, "against": f"{where}.{frame.design.end_wall[number - 1].studs.value}"}
    if one == two and (pair := _TO_ITSELF.get(first.source.partition("[")[0])):
        return {"field": f"{one}.{pair[0]}", "against": f"{one}.{pair[1]}"}
    return {"field": one or two, "against": two if one and two != one else ""}


def edge_fields(frame: Frame, member: Member, end_mm: float) -> Fields:
    """``field`` and ``against`` of a finding about a hole ``end_mm`` from an end or edge."""
    if member.role in (Role.STUD, Role.DOOR_JAMB) and member.source:
        # Its top is held by one bolt of the frame's, however the stud came to its place.
        end = End.FRONT if member.spot.hoop == 1 else End.BACK
        for number, wall in enumerate(frame.design.end_wall, start=1):
            if end in wall.at.each:
                return {
                    "field": f"end_wall[{number}].{wall.studs.value}",
                    "against": "hardware.frame_bolt",
                }
    one = field_of(frame, member)
    if member.role not in _ALONG or not one:
        return {"field": one, "against": "hardware" if one else ""}
    board = isinstance(member.part, Board)
    table = _table_of(frame, member.source)
    line = table if isinstance(table, (Rail, SillBoard, SideOpening)) else None
    if line is not None and abs(end_mm - line.overhang) < _SAME_MM:
        bolt = "hardware.board_bolt" if board else "hardware.frame_bolt"
        return {"field": f"{member.source}.overhang", "against": bolt}
    # Not at the end of the line: at a joint, or at the edge of a board.
    return {"field": f"{member.source}.stock_length", "against": "bays"}


def told_by_cause(
    found: Iterable[Found],
    rank: Callable[[Finding], Rank],
    more: str = "{} more pair{s} of parts overlap for the same reason.",
) -> list[Finding]:
    """The findings told once: those of one severity about the same two fields as one.

    Parameters
    ----------
    found : iterable of Found
    rank : callable
        Finding -> what sorts the one first that stands for all of a cause.
    more : str
        What is said of the others, with {} for their number and {s} for the plural.
    """
    causes: dict[tuple[Severity, frozenset[str]], list[Found]] = {}
    alone = []
    for one in found:
        if one.finding.against:
            key = (one.finding.severity, frozenset(one.finding.fields))
            causes.setdefault(key, []).append(one)
        else:
            alone.append(one)
    return [*told_once(alone), *(_merged(group, rank, more) for group in causes.values())]


def _merged(group: list[Found], rank: Callable[[Finding], Rank], more: str) -> Finding:
    first = min(group, key=lambda one: rank(one.finding)).finding
    # The places of the pair that is named stand first.
    ordered = sorted(group, key=lambda one: one.finding.where != first.where)
    others = {one.finding.where for one in group} - {first.where}
    members = {id(member): member for one in ordered for member in one.finding.members}
    message = first.message
    if others:
        message += f" {more.format(len(others), s='s' * (len(others) > 1))}"
    # Of one pair of parts there may be several at a place; of many pairs places are counted.
    count = len({one.place for one in group}) if others else sum(one.count for one in group)
    where = where_of(first.where, ordered, count)
    return replace(first, where=where, members=tuple(members.values()), message=message)
