"""Both end walls are drawn at one scale."""

from __future__ import annotations

from revised_frames import revised

from frame3d.sheets.sets.end_wall_sheets import end_walls
from frame3d.sheets.sets.numbered import builder_for

FRONT = {"at": "front", "largest_spacing": "9 ft"}
BACK = {"at": "back", "largest_spacing": "3 ft"}


def scales(*wanted: dict) -> list[int]:
    frame = revised(
        output={"units": "imperial", "sheet_size": "B"},
        profile={"style": "quonset", "width": "26 ft"},
        bays={"count": 2, "spacing": "4 ft"},
        rail=[], tie=[], end_wall=list(wanted),
    )  # fmt: skip
    builder = builder_for(frame)
    end_walls(builder)
    assert builder.findings == []
    return [view.scale for draft in builder.drafts for view in draft.views if view.to_scale]


def test_the_wall_that_would_be_larger_is_as_small_as_the_other() -> None:
    (alone,) = scales(FRONT)
    (other,) = scales(BACK)
    assert alone < other
    assert scales(FRONT, BACK) == [other, other]
