"""Tables of the design for what stands at every bay: hoops and sockets."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import DesignTable, LengthMm, Number, Tube, Whole, field


class Splice(enum.Enum):
    """How the pieces of a hoop are joined."""

    SWAGE = "swage"
    SLEEVE = "sleeve"


class SpliceFastener(enum.Enum):
    """What holds a splice."""

    BOLTS = "bolts"
    SCREWS = "screws"


class RidgeJoint(enum.Enum):
    """How the two halves of a gothic hoop are joined."""

    SLEEVE = "sleeve"
    PLATES = "plates"


class Hoop(DesignTable):
    """The bent tubes."""

    tube: Tube = field("Tube of the hoops", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    pieces: Whole = field(
        "Pieces that one hoop is made of; even for a gothic hoop",
        ge=1,
        le=5,
        default=2,
        why="two halves fit a lorry and a bender",
    )
    splice: Splice = field(
        "How pieces are joined: one end reduced to slip into the next (swage), or a sleeve",
        default="swage",
    )
    splice_tube: Tube | None = field(
        "Tube of the splice sleeve, outside or inside the hoop tube", optional=True
    )
    overlap: LengthMm = field(
        "Length over which one tube is inside the other, at each splice",
        imperial="5 in",
        metric="130 mm",
        ge=30,
        le=600,
        why="about three outside diameters (common practice)",
    )
    splice_fastener: SpliceFastener = field("What holds a splice", default="bolts")
    ridge_joint: RidgeJoint = field(
        "Gothic: how the halves are joined at the ridge, by a bent sleeve or a pair of plates",
        default="sleeve",
    )
    ridge_tube: Tube | None = field(
        "Gothic: tube of the ridge sleeve; hoop tube must slide into it", optional=True
    )
    ridge_bend_radius: LengthMm = field(
        "Gothic: radius of the bend in the ridge sleeve",
        imperial="12 in",
        metric="300 mm",
        ge=50,
        le=5000,
    )
    ridge_overlap: LengthMm = field(
        "Gothic: length of each half inside the ridge sleeve, or along the plates",
        imperial="8 in",
        metric="200 mm",
        ge=60,
        le=1000,
    )
    smallest_bend: Number = field(
        "Smallest centreline radius of the bender, in outside diameters of the tube",
        default=5.0,
        ge=1.5,
        le=100,
        why="below about 5 the tube flattens (EN 13480-4 limits ovality for R of 5 D)",
    )


class Socket(DesignTable):
    """The ground posts that the hoop legs slide into."""

    tube: Tube = field(
        "Tube of the sockets; the hoop tube must slide into it",
        imperial="2 in x 11 ga BWG",
        metric="50 x 3 mm",
        why="about 0.1 in or 1.6 mm of play round the default hoop tube; 0.5 to 3 mm slides "
        "without rattling (common practice)",
    )
    length: LengthMm = field(
        "Length of a socket", imperial="42 in", metric="1000 mm", ge=300, le=4000
    )
    exposed: LengthMm = field(
        "Length that stays out of the ground",
        imperial="12 in",
        metric="300 mm",
        ge=50,
        le=2000,
        why="about 12 in or 300 mm (common practice)",
    )
    upper_hole: LengthMm = field(
        "Distance of the upper hole from the top", imperial="5 in", metric="125 mm", ge=20, le=2000
    )
    lower_hole: LengthMm = field(
        "Distance of the lower hole from the top; must stay above the ground",
        imperial="9 1/2 in",
        metric="240 mm",
        ge=30,
        le=2000,
    )
    insertion: LengthMm = field(
        "Length of the hoop leg inside the socket",
        imperial="12 in",
        metric="300 mm",
        ge=50,
        le=3000,
        why="past the lower hole by several bolt diameters",
    )
