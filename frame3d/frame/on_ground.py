"""What is done about the sill boards of a frame on the ground that was measured under it."""

from __future__ import annotations

from frame3d.frame.lay_out import make_plan
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame
from frame3d.frame.sides.ground_answers import BoardsOnGround
from frame3d.frame.sides.sills import sill_line
from frame3d.frame.sides.skirts import answer_of


@cached_per_frame
def boards_on_ground(frame: Frame) -> BoardsOnGround | None:
    """The answers with their figures; None on level ground, or without sill boards."""
    if frame.ground is None or frame.design.sill_board is None:
        return None
    plan = make_plan(frame.design, frame.ground, frame.grid.driven_mm)
    return answer_of(plan, sill_line(plan))
