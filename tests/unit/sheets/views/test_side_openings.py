"""Side elevations with hips, end stops and braces of end walls; what the plan leaves out."""

from __future__ import annotations

import pytest
from walled_designs import walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role, Side
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.primitives.primitives import Label, Layer, LinearDimension, RunningDimension
from frame3d.sheets.projection.stretch import whole
from frame3d.sheets.views import side_elevation as sides
from frame3d.sheets.views import socket_plan as plan
from frame3d.sheets.views.end_elevation import hoop_kinds
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
PLUMB = {"style": "quonset", "width": "6 m", "ridge_height": "4 m", "leg_height": "2 m"}


def frame_of(**more):
    return lay_out(design_from_mapping(walled(**more)))


def shown(frame, side=Side.RIGHT):
    view = sides.side_elevation(frame, side, whole(frame.grid), sides.seen(frame, side))
    return place(view, 20, MM)


def texts(placed, kind) -> list[str]:
    return [item.text for item in placed.primitives if isinstance(item, kind)]


def marks(placed) -> set[str]:
    return {i.text for i in placed.primitives if isinstance(i, Label) and i.layer is Layer.MARKS}


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_the_opening_is_given_by_its_edges_and_its_run(side):
    """Sill boards of 47x200 from 20 mm; a hip board of 47x150 whose middle is at 1400.

    The legs are plumb there. End stops of 100 mm stand 300 mm from the end hoops, which
    are 9 m apart.
    """
    frame = frame_of(
        profile=PLUMB,
        side_opening={"height": "1400 mm"},
        end_wall=[],
        door=[],
        sill_board={"timber": "47x200", "bottom": "20 mm"},
    )
    placed = shown(frame, side)
    assert {"220", "1325"} <= set(texts(placed, RunningDimension))
    assert "8300 open" in texts(placed, LinearDimension)
    wanted = {m.mark for m in frame.of(Role.HIP_BOARD, Role.END_STOP) if m.spot.side is side}
    assert wanted <= marks(placed)


def test_an_opening_from_end_to_end_is_not_said_twice():
    frame = frame_of(side_opening={"end_stop": "0 mm"})
    found = texts(shown(frame), LinearDimension)
    assert not [text for text in found if "open" in text]
    assert "(9000) between the end hoops" in found


def test_hip_rails_are_marked():
    frame = frame_of(side_opening={"hip": "rail"})
    assert {m.mark for m in frame.of(Role.HIP_RAIL) if m.spot.side is Side.LEFT} <= marks(
        shown(frame, Side.LEFT)
    )


def test_braces_of_end_walls_are_shown_by_the_bolt_on_their_stud():
    frame = frame_of(end_wall=[{"brace_height": "1100 mm"}], door=[])
    placed = shown(frame)
    assert {m.mark for m in frame.of(Role.WALL_BRACE) if m.spot.side is Side.RIGHT} <= marks(placed)
    assert "1100" in texts(placed, RunningDimension)


def test_the_notes_name_what_is_left_out_and_the_blocks():
    bare = " ".join(sides.notes(frame_of(end_wall=[], door=[], sill_board={})))
    assert "ties" not in bare and "end walls" not in bare and "opening" not in bare
    full = frame_of(side_opening={}, tie=[{"height": "2.3 m"}])
    said = " ".join(sides.notes(full))
    assert "ties, and end walls except their braces, are not shown" in said
    for member in full.of(Role.JOINT_BLOCK):
        assert f"{member.mark} behind" in said
    assert "behind sill boards" in said and "behind hip boards" in said


def test_the_plan_leaves_out_the_blocks_of_the_hip():
    """Where the hip is far inside the sockets, all that is drawn lies at the boards."""
    frame = frame_of(side_opening={"height": "2.6 m", "end_stop": "0 mm"})
    inner = min(abs(m.placement.origin[0]) for m in frame.of(Role.JOINT_BLOCK))
    assert inner < 2700  # the hoop leans in at the hip
    what = plan.seen(frame)
    across = [abs(p[1]) for line in what.lines if hasattr(line, "start")
              for p in (line.start, line.end)]  # fmt: skip
    assert min(across) > 2900


def test_a_crown_piece_that_reaches_over_is_seen_from_both_sides():
    """Three pieces a hoop, or a joint off the middle: both sides are as high as the crown."""
    frame = frame_of(tie=[{"height": "2.3 m", "webs": 2}])
    heights = [sides.seen(frame, side).high for side in (Side.LEFT, Side.RIGHT)]
    # 3200 and half of 48; bands seen from their edge are drawn within 0.2 mm
    assert heights == pytest.approx([3224, 3224], abs=0.2)


def test_the_pieces_of_each_hoop_are_named_from_left_to_right():
    frame = frame_of()
    for pieces, hoops in hoop_kinds(frame):
        for hoop in hoops:
            row = [m for m in frame.of(Role.HOOP) if m.spot.hoop == hoop]
            row.sort(key=lambda m: m.placement.point((m.part.axis.at(1.0).x_mm, 0, 0))[0])
            assert sorted(m.mark for m in row) == sorted(pieces)
    assert sum(len(hoops) for _, hoops in hoop_kinds(frame)) == 7
