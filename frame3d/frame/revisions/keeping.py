"""A frame with the marks of an older build, where its parts are the same.

What is changed or new has a number that no part of its letters ever had.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec.structs import replace

from frame3d.errors import OutputError
from frame3d.frame.model.joints import Joint
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.part_records import PartRecord, Since
from frame3d.frame.revisions.former import Former, read_former
from frame3d.frame.revisions.pairing import changes_between, matched
from frame3d.frame.revisions.records import records_of, same_shape
from frame3d.staging import SUMMARY

_MARK = re.compile(r"([A-Z]+)([0-9]+)")


def with_marks_of(frame: Frame, place: str | Path | None) -> Frame:
    """``frame`` with the marks of the build in a folder or of a summary; as it is without one.

    Raises
    ------
    OutputError
        If there is no build that marks can be taken from.
    """
    return frame if place is None else kept_marks(frame, read_former(place))


def refuse_other_marks(frame: Frame, folder: Path) -> None:
    """Nothing, if files of ``frame`` can lie beside those of the build in ``folder``, if any.

    Raises
    ------
    OutputError
        If a mark would stand for two parts there, or it cannot be told.
    """
    if not (folder / SUMMARY).exists():
        return
    there = {record.mark: record for record in read_former(folder).parts}
    for new in records_of(frame):
        old = there.get(new.mark)
        if old and not same_shape(old.shape, new.shape):
            raise OutputError(
                f"{folder} holds files in which {new.mark} is another part than with these kept "
                "marks; build everything there with --since and without --only, or name another "
                "folder by --out"
            )


def kept_marks(frame: Frame, former: Former) -> Frame:
    """``frame`` with the marks that ``former`` gave, and what differs from it in ``since``."""
    fresh = records_of(frame)
    known = (*former.parts, *former.retired)
    found = matched(known, fresh)
    names = _names(fresh, {n: known[other].mark for n, other in found.items()}, known)
    named = _renamed(frame, names)
    records = records_of(named)
    changes = changes_between(former.parts, records)
    there = {record.mark for record in records}
    retired = [replace(r, count=0) for r in known if r.mark not in there]
    return replace(
        named,
        since=Since(
            revision=former.revision, changes=changes, retired=tuple(retired), name=former.name
        ),
    )


def _names(
    records: Sequence[PartRecord], kept: Mapping[int, str], known: Sequence[PartRecord]
) -> dict[str, str]:
    """For each mark of ``records`` the mark that it gets."""
    last: dict[str, int] = {}
    for record in known:
        letters, number = _split(record.mark)
        last[letters] = max(last.get(letters, 0), number)
    names = {}
    for number, record in enumerate(records):
        if number in kept:
            names[record.mark] = kept[number]
            continue
        letters, _ = _split(record.mark)
        last[letters] = last.get(letters, 0) + 1
        names[record.mark] = f"{letters}{last[letters]}"
    return names


def _split(mark: str) -> tuple[str, int]:
    found = _MARK.fullmatch(mark)
    if found is None:
        raise ValueError(f"{mark!r} is no mark of letters and a number")
    return found[1], int(found[2])


def _renamed(frame: Frame, names: Mapping[str, str]) -> Frame:
    """``frame`` with other marks, its joints between the members that it then has."""
    if all(old == new for old, new in names.items()):
        return frame
    members = [replace(member, mark=names[member.mark]) for member in frame.members]
    now = {id(old): new for old, new in zip(frame.members, members, strict=True)}

    def of(those: Sequence[Member]) -> tuple[Member, ...]:
        return tuple(now[id(member)] for member in those)

    joints: list[Joint] = [
        replace(joint, members=of(joint.members), fasteners=of(joint.fasteners))
        for joint in frame.joints
    ]
    return replace(frame, members=tuple(members), joints=tuple(joints))
