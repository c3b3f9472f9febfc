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
    """Openings for air along both sides, from the sill board up to the hip (a board or rail)."""

    hip: Hip = field(
        "What the opening ends at, at the top: a hip board or a hip rail", default="board"
    )
    height: LengthMm = field(
        "Hip height above ground, to the middle of the board or rail, measured on the "
        "hoop's centreline",
        imperial="4 ft 6 in",
        metric="1400 mm",
        ge=300,
        le=6000,
        why="air comes in at crop height (common practice)",
    )
    timber: Timber = field("Hip board: lumber size", imperial="2x6", metric="47x150")
    tube: Tube = field("Hip rail: tube", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    fixing: Fixing = field(
        "Hip rail: how it is fixed to the outside of the hoops: bolted through rail and "
        "hoop, or clamped",
        default="bolted",
    )
    stock_length: LengthMm = field(
        "Stock length of the board or tube",
        imperial="12 ft",
        metric="4.8 m",
        ge=600,
        le=15000,
    )
    overhang: LengthMm = field(
        "Overhang past the centre of the first and last hoops",
        imperial="2 in",
        metric="50 mm",
        ge=20,
        le=1000,
    )
    block_length: LengthMm = field(
        "Hip board: length of the joint block behind each joint",
        imperial="12 in",
        metric="300 mm",
        ge=150,
        le=1000,
        why="same as the sill boards",
    )
    overlap: LengthMm = field(
        "Hip rail: length of the swage at each joint",
        imperial="4 1/2 in",
        metric="110 mm",
        ge=20,
        le=400,
    )
    end_stop: LengthMm = field(
        "Length that stays closed at each end of a side, up to an upright board from sill "
        "to hip, moved clear of any hoop; 0 in or 0 mm for none",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=10000,
        why="the curtain needs a face to close against (common practice)",
    )
    stop: Timber = field("Lumber size of that upright board", imperial="2x4", metric="47x100")

    @property
    def stocked(self) -> TimberSection | TubeSection:
        """What ``stock_length`` is a length of: the hip, not the boards that stand under it."""
        return self.timber if self.hip is Hip.BOARD else self.tube


class Cover(DesignTable):
    """The film over the frame, and how much extra it takes to fix it."""

    side_allowance: LengthMm = field(
        "Extra film at each side, below the top edge of the sill boards (or on the ground, "
        "where there are none)",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=3000,
    )
    end_allowance: LengthMm = field(
        "Extra film at each end, past the outside of the end hoop",
        imperial="24 in",
        metric="600 mm",
        ge=0,
        le=5000,
    )
    wall_allowance: LengthMm = field(
        "End walls: extra film all round, past the hoop and the ground",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=3000,
    )
    channel_length: LengthMm = field(
        "Stock length of the channel that holds the film",
        imperial="12 ft",
        metric="4 m",
        ge=500,
        le=12000,
    )


__all__ = ["Cover", "Hip", "SideOpening"]
