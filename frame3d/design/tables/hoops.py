"""Tables of the design for what stands at every bay: hoops and sockets."""

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
    """The hoops (bows): bent tube."""

    tube: Tube = field("Hoop tube", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    pieces: Whole = field(
        "Pieces in one hoop; an even number for gothic",
        ge=1,
        le=5,
        default=2,
        why="two halves fit a truck and a bender",
    )
    splice: Splice = field(
        "How pieces are joined: one end swaged (reduced) to slip into the next, or a sleeve",
        default="swage",
    )
    splice_tube: Tube | None = field(
        "Splice sleeve tube, over or inside the hoop tube", optional=True
    )
    overlap: LengthMm = field(
        "Overlap of the tubes at each splice",
        imperial="5 in",
        metric="130 mm",
        ge=30,
        le=600,
        why="about three outside diameters (common practice)",
    )
    splice_fastener: SpliceFastener = field("What fastens a splice", default="bolts")
    ridge_joint: RidgeJoint = field(
        "Gothic: how the halves join at the ridge: a bent sleeve or a pair of plates",
        default="sleeve",
    )
    ridge_tube: Tube | None = field(
        "Gothic: ridge sleeve tube; the hoop tube must slide into it", optional=True
    )
    ridge_bend_radius: LengthMm = field(
        "Gothic: bend radius of the ridge sleeve",
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
        "Tightest centreline radius of your bender, in tube diameters",
        default=5.0,
        ge=1.5,
        le=100,
        why="tighter than about 5 the tube flattens (EN 13480-4 limits ovality for R of 5 D)",
    )


class Socket(DesignTable):
    """The sockets (ground posts) that the hoop legs slide into."""

    tube: Tube = field(
        "Socket (ground post) tube; the hoop tube must slide into it",
        imperial="2 in x 11 ga BWG",
        metric="50 x 3 mm",
        why="about 0.1 in or 1.6 mm of play round the default hoop tube; 0.5 to 3 mm slides "
        "without rattling (common practice)",
    )
    length: LengthMm = field(
        "Length of a socket (ground post)", imperial="42 in", metric="1000 mm", ge=300, le=4000
    )
    exposed: LengthMm = field(
        "Length above the ground",
        imperial="12 in",
        metric="300 mm",
        ge=50,
        le=2000,
        why="about 12 in or 300 mm (common practice)",
    )
    upper_hole: LengthMm = field(
        "Upper hole, distance from the top", imperial="5 in", metric="125 mm", ge=20, le=2000
    )
    lower_hole: LengthMm = field(
        "Lower hole, distance from the top; must stay above ground",
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
