"""What holds the sills of end walls to the ground, in words: the same on every list and sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from frame3d.design.tables.ends import StudFoot, WallAnchors
from frame3d.design.tables.whole_design import End
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.units import LengthText

_ONE = {
    WallAnchors.STAKES: "stake",
    WallAnchors.POSTS: "post",
    WallAnchors.GROUND_ANCHORS: "ground anchor",
}


def anchors_at(frame: Frame, end: End) -> list[Member]:
    """The anchors of an end wall, from the left."""
    hoop = 1 if end is End.FRONT else len(frame.grid.hoop_y_mm)
    found = (m for m in frame.of(Role.WALL_ANCHOR) if m.spot.hoop == hoop)
    return sorted(found, key=lambda member: member.spot.order)


def sentences_of_frame(frame: Frame) -> Iterator[str]:
    """For each end wall that stands on a sill."""
    for end in End:
        yield from sentences_of_end(frame, end)


def sentences_of_end(frame: Frame, end: End) -> Iterator[str]:
    """What holds the sill of one end wall, or that it is by others; nothing without such a sill."""
    specs = [spec for spec in frame.design.end_wall if end in spec.at.each]
    if not specs or specs[0].stud_foot is not StudFoot.SILL:
        return
    spec, wall = specs[0], f"the sill of the {end.value} wall"
    if spec.anchors is WallAnchors.NONE:
        yield f"What holds {wall} to the ground is by others; none of it is listed."
        return
    say, found = LengthText(lengths_of(frame)), anchors_at(frame, end)
    marks = Counter(member.mark for member in found)
    listed = ", ".join(f"{count} x {mark}" for mark, count in marks.items())
    name = _ONE[spec.anchors] + ("" if len(found) == 1 else "s")
    yield (
        f"{len(found)} {name} hold {wall} ({listed}), each at least {say(spec.anchor_depth)} in "
        "its ground. What they hold is not known here: it is for a licensed professional."
    )
