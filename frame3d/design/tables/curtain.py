"""Table of the design for the curtains of side openings and roll-up doors."""

import enum

from frame3d.design.tables.ends import End
from frame3d.design.tables.fields import DesignTable, LengthMm, Number, Tube, Whole, field


class Hangs(enum.Enum):
    """What a curtain is of."""

    ONE_SHEET = "one sheet"
    SEPARATE = "separate"


class Winder(enum.Enum):
    """What turns the roll tube."""

    CRANK = "crank"
    GEAR = "gear"


class Curtain(DesignTable):
    """Curtains of side openings, rolled up from below, and of roll-up doors, on their tubes."""

    hangs: Hangs = field(
        "What the curtain is of: one sheet with the film over the hoops, or a separate one in the "
        "channel at the hip",
        default="separate",
        why="it can be replaced alone (common practice)",
    )
    film_thickness: LengthMm = field(
        "Thickness of the curtain's film", imperial="0.006 in", metric="0.15 mm", ge=0.03, le=3
    )
    film_density: Number = field(
        "Density of the film, kg/m³",
        default=920.0,
        ge=100,
        le=3000,
        why="polyethylene, from memory",
    )
    tube: Tube = field(
        "Roll tube; the bar in the hem of a roll-up door's curtain",
        imperial="1.375 in x 14 ga BWG",
        metric="32 x 2 mm",
    )
    overlap: LengthMm = field(
        "How far the shut curtain reaches below the top edge of the sill boards",
        imperial="5 in",
        metric="125 mm",
        ge=0,
        le=1000,
        why="4 to 6 in (100 to 150 mm) is common practice, no source",
    )
    pocket: LengthMm = field(
        "Width of the pockets that the curtain's ends tuck behind, past each end of an opening",
        imperial="12 in",
        metric="300 mm",
        ge=0,
        le=2000,
        why="common practice, no source",
    )
    clip_spacing: LengthMm = field(
        "Largest distance between the clips that hold the film on the tube",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=2000,
        why="common practice, no source",
    )
    cord_every: Whole = field(
        "Cords run zigzag between eyes at hip and sill, at every such hoop",
        default=1,
        ge=1,
        le=6,
        why="1 is every hoop, 2 every second (common practice)",
    )
    winder: Winder = field(
        "What turns the tube: a hand crank on it, or a gear box that slides on a guide post",
        default="crank",
    )
    winder_end: End = field("The end at which both sides are wound", default="front")
    crank_radius: LengthMm = field(
        "Crank: from its axis to the middle of its handle",
        imperial="8 in",
        metric="200 mm",
        ge=50,
        le=600,
    )
    shaft: LengthMm = field(
        "Crank: length of the jointed shaft that it stands on, so that people can turn it upright; "
        "0 in or 0 mm for a crank straight on the tube or the gear box",
        imperial="4 ft",
        metric="1200 mm",
        ge=0,
        le=3000,
        why="a shut curtain's tube is too near the ground to crank there (common practice)",
    )
    gear_ratio: Number = field(
        "Gear box: turns of the crank for one of the tube", default=5.0, ge=1, le=100
    )
    post_tube: Tube = field(
        "Gear box: tube of the guide post", imperial="1.66 in x 14 ga BWG", metric="42 x 2 mm"
    )
    post_depth: LengthMm = field(
        "Gear box: how deep the guide post stands in the ground",
        imperial="24 in",
        metric="600 mm",
        ge=200,
        le=2000,
    )
