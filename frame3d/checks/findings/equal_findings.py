"""Where something is, in words, and equal findings told once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.checks.findings.finding import Finding
from frame3d.frame.model.members import Member

_MOST_PLACES = 3


class Found(Struct, frozen=True, kw_only=True):
    """A finding at one place, or at several, before it is told.

    Parameters
    ----------
    finding : Finding
        Its ``where`` holds the marks only, its ``members`` those at this place.
    place : str
        For example ``hoop 3, left``.
    count : int
        At how many places it is.
    """

    finding: Finding
    place: str
    count: int = 1


def place_of(*members: Member) -> str:
    """The place in the grid of the member that spans the fewest hoops, the first of equals."""
    spots = [member.spot for member in members]
    spot = min(spots, key=lambda s: abs((s.to_hoop or s.hoop) - s.hoop))
    if spot.to_hoop is not None and spot.to_hoop != spot.hoop:
        low, high = sorted((spot.hoop, spot.to_hoop))
        return f"hoops {low} to {high}, {spot.side.value}"
    return f"hoop {spot.hoop}, {spot.side.value}"


def where_of(marks: str, group: Sequence[Found], count: int) -> str:
    """``marks`` with the first places of a group of findings, and that there are ``count``."""
    places = list(dict.fromkeys(one.place for one in group))
    where = f"{marks}: {'; '.join(places[:_MOST_PLACES])}"
    return where if count == 1 else f"{where} ({count} places in all)"


def told_once(found: Iterable[Found]) -> list[Finding]:
    """Equal findings as one that lists its first places and how many there are."""
    groups: dict[tuple[str, str, float | None], list[Found]] = {}
    for one in found:
        finding = one.finding
        provided = None if finding.provided is None else round(finding.provided, 1)
        groups.setdefault((finding.rule.name, finding.where, provided), []).append(one)
    told = []
    for group in groups.values():
        where = where_of(group[0].finding.where, group, sum(one.count for one in group))
        # By what they are and not by value: comparing parts takes longer than all the rest.
        members = {id(member): member for one in group for member in one.finding.members}
        told.append(replace(group[0].finding, where=where, members=tuple(members.values())))
    return told
