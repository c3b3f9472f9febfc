"""Tables of the design for the skin: side openings and the cover."""

import enum
from typing import Annotated

from annotated_types import Ge, Le

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.tables.fields import DesignTable, LengthMm, Text, Timber, Tube, Whole, field
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


class CoverListed(enum.Enum):
    """What film and channel are to lists, drawings and the model."""

    FIGURES = "figures"
    PARTS = "parts"


class WallCover(enum.Enum):
    """What closes the end walls."""

    FILM = "film"
    BOARD = "board"
    TWIN_WALL = "twin-wall"
    NONE = "none"

    @property
    def is_sheet(self) -> bool:
        """Whether it comes in stiff sheets."""
        return self in (WallCover.BOARD, WallCover.TWIN_WALL)


class Cover(DesignTable):
    """The film over the frame, and how much extra it takes to fix it."""

    listed_as: CoverListed = field(
        "Film and channel: parts, in every list, drawing and the model, or figures in the "
        "summary and the guide only",
        default="figures",
    )
    layers: Whole = field("Layers of film over the hoops", default=1, ge=1, le=2)
    film_widths: tuple[Annotated[LengthMm, Ge(500), Le(30000)], ...] = field(
        "Widths in which film is sold; the narrowest that does is taken, and widths are joined "
        "where none does",
        default=[],
        max_length=20,
        why="film is listed as wide as it is needed; ask your supplier",
    )
    film_seam: LengthMm = field(
        "Overlap where two widths of film are joined",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=2000,
        why="common practice, no source; ask your supplier",
    )
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
    channel_width: LengthMm = field(
        "Channel: width of its face on the frame",
        imperial="1 1/4 in",
        metric="32 mm",
        ge=10,
        le=100,
    )
    channel_depth: LengthMm = field(
        "Channel: how far it stands out", imperial="1/2 in", metric="12 mm", ge=3, le=50
    )
    channel_thickness: LengthMm = field(
        "Channel: thickness of its metal", imperial="1/16 in", metric="1.5 mm", ge=0.3, le=3
    )
    channel_spacing: LengthMm = field(
        "Channel: largest distance between its screws",
        imperial="18 in",
        metric="450 mm",
        ge=50,
        le=1500,
        why="12 to 24 in (300 to 600 mm) is common practice, no source; ask your supplier",
    )
    channel_screw: Text = field(
        "Channel: size of its self-drilling screws",
        imperial="#12-14",
        metric="ST5.5",
        min_length=1,
        max_length=40,
    )
    wire_length: LengthMm = field(
        "Length of one piece of the wire that holds the film in the channel",
        imperial="6 ft 6 in",
        metric="2 m",
        ge=200,
        le=12000,
    )
    wall_cover: WallCover = field(
        "What closes the end walls: film, sheets of board, sheets of twin-wall, or none",
        default="film",
    )
    sheet_width: LengthMm = field(
        "Sheets on the end walls: width as sold", imperial="4 ft", metric="1200 mm", ge=200, le=3000
    )
    sheet_length: LengthMm = field(
        "Sheets on the end walls: length as sold",
        imperial="8 ft",
        metric="2400 mm",
        ge=500,
        le=15000,
    )
