"""Sill boards on ground that was measured: what is done about their gaps."""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.staking import GroundBoards
from frame3d.frame.on_ground import boards_on_ground
from frame3d.frame.sides.ground_answers import BayGap
from frame3d.frame.sides.skirts import bays_text
from frame3d.guide.steps.step_content import StepContext
from frame3d.guide.steps.steps import given

_NOTHING_MM = 1.0


class Bottom(Struct, frozen=True, kw_only=True):
    """Where the lower edge of the boards is: in a sentence, and as a check with its figure."""

    sentence: str
    what: str
    figure: str


def boards_bottom(site: StepContext) -> Bottom:
    """The lower edge above level ground, or below the sockets' tops on ground that slopes."""
    sill, socket = given(site.frame.design.sill_board), site.frame.design.socket
    found = boards_on_ground(site.frame)
    if found is None:
        figure = site.say(sill.bottom)
        return Bottom(
            sentence=f"Bottom edge {figure} above level ground.",
            what="Bottom edge of the boards above level ground", figure=figure,
        )  # fmt: skip
    rises = [rise for side in found.taken.rises_mm.values() for rise in side] or [0.0]
    below = [site.say(socket.exposed - sill.bottom - rise) for rise in (max(rises), min(rises))]
    figure = below[0] if below[0] == below[1] else f"{below[0]} to {below[1]}"
    return Bottom(
        sentence=f"Bottom edge {figure} below the tops of the sockets.",
        what="Bottom edge of the boards below the tops of the sockets", figure=figure,
    )  # fmt: skip


def boards_on_slopes(site: StepContext) -> list[str]:
    """What is done about gaps and digging; nothing on level ground."""
    found = boards_on_ground(site.frame)
    if found is None:
        return []
    taken, told = found.taken, []
    if found.kind is GroundBoards.FOLLOW:
        steps = max(
            (abs(a - b) for rises in taken.rises_mm.values()
             for a, b in zip(rises, rises[1:], strict=False)),
            default=0.0,
        )  # fmt: skip
        if steps > _NOTHING_MM:
            told.append(
                f"The boards follow the ground: they step by up to {site.say(steps)} at their "
                "joints. Each has its own holes, so put every mark in its place."
            )
    if taken.skirts:
        bays = bays_text(
            [BayGap(side=s.side, bay=s.bay, gap_mm=0.0, dig_mm=0.0) for s in taken.skirts]
        )
        told.append(
            f"Skirt boards close the gap under the sill boards in {bays}: straight edge up "
            "against the sill board, ripped edge down. Blocks on the inside hold each of them "
            "with four bolts; two go through the sill board, two through the skirt board."
        )
    dug = [gap for gap in taken.gaps if gap.dig_mm > _NOTHING_MM]
    if dug:
        told.append(
            f"Dig up to {site.say(taken.dig_mm)} away under the boards in {bays_text(dug)} "
            "before they go on."
        )
    if found.kind is GroundBoards.FILL and taken.fill_mm3:
        wide = [gap for gap in found.level.gaps if gap.gap_mm > taken.gap_mm + _NOTHING_MM]
        told.append(
            f"When the boards are on, fill up under and beside them in {bays_text(wide)}, in "
            "thin layers that are tamped."
        )
    return told
