"""Tables of the design for the skin: side openings and the cover."""

from __future__ import annotations

import enum

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.tables.fields import DesignTable, LengthMm, Timber, Tube, field
from frame3d.design.tables.lengthwise import Fixing


class Hip(enum.Enum):
    """What bounds a side opening at its top."""

    BOARD = "board"
    RAIL = "rail"


class SideOpening(DesignTable):
    """Openings for air along both sides, from the sill board up to a board or rail, the hip."""

    hip: Hip = field("What the opening ends at, at its top", default="board")
    height: LengthMm = field(
        "Height of the hip above the ground, on the hoop's centreline, to the middle of the board "
        "or rail",
        imperial="4 ft 6 in",
        metric="1400 mm",
        ge=300,
        le=6000,
        why="it lets the air in at the height of most crops (common practice)",
    )
    timber: Timber = field("Hip board: its section", imperial="2x6", metric="47x150")
    tube: Tube = field(
        "Hip rail: its tube", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium"
    )
    fixing: Fixing = field(
        "Hip rail: how it is held on the outside of the hoops, by a bolt through rail and hoop, or "
        "a clamp",
        default="bolted",
    )
    stock_length: LengthMm = field(
        "Length of board or tube that can be bought",
        imperial="12 ft",
        metric="4.8 m",
        ge=600,
        le=15000,
    )
    overhang: LengthMm = field(
        "Length past the centre of the first and the last hoop",
        imperial="2 in",
        metric="50 mm",
        ge=20,
        le=1000,
    )
    block_length: LengthMm = field(
        "Hip board: length of the block behind each joint",
        imperial="12 in",
        metric="300 mm",
        ge=150,
        le=1000,
        why="as for the sill boards",
    )
    overlap: LengthMm = field(
        "Hip rail: length of the swage at each joint",
        imperial="4 1/2 in",
        metric="110 mm",
        ge=20,
        le=400,
    )
    end_stop: LengthMm = field(
        "Length at each end of a side that stays closed, as far as an upright board from sill to "
        "hip, beside a hoop that it would stand in; 0 in or 0 mm for none",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=10000,
        why="the curtain needs a face to close against (common practice)",
    )
    stop: Timber = field("Section of that upright board", imperial="2x4", metric="47x100")

    @property
    def stocked(self) -> TimberSection | TubeSection:
        """What ``stock_length`` is a length of: the hip, not the boards that stand under it."""
        return self.timber if self.hip is Hip.BOARD else self.tube


class Cover(DesignTable):
    """The film over the frame: how much of it is needed beyond the frame to hold it."""

    side_allowance: LengthMm = field(
        "Film below the upper edge of the sill boards or, where there are none, on the ground, "
        "at each side",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=3000,
    )
    end_allowance: LengthMm = field(
        "Film past the outside of the end hoop, at each end",
        imperial="24 in",
        metric="600 mm",
        ge=0,
        le=5000,
    )
    wall_allowance: LengthMm = field(
        "End walls: film past the hoop and the ground, all round",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=3000,
    )
    channel_length: LengthMm = field(
        "Length in which the channel that holds the film is bought",
        imperial="12 ft",
        metric="4 m",
        ge=500,
        le=12000,
    )


__all__ = ["Cover", "Hip", "SideOpening"]
