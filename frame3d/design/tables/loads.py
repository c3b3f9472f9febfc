"""Table of the design for comparing it with others under the same unit loads."""

import enum

from frame3d.design.tables.fields import DesignTable, field


class LoadShape(enum.Enum):
    """A shape of load that designs are compared under."""

    SNOW_EVEN = "even snow"
    SNOW_HALF = "snow on one half"
    SNOW_DRIFT = "drifted snow"
    WIND_ACROSS = "wind across"
    WIND_ALONG = "wind along"
    CROP = "crop"


class OpenSides(enum.Enum):
    """Whether the sides are closed while the wind blows."""

    CLOSED = "closed"
    OPEN = "open"


class CropHangs(enum.Enum):
    """What a crop hangs from."""

    TIES = "ties"
    NOTHING = "nothing"


class SoilKind(enum.Enum):
    """What the ground is."""

    UNKNOWN = "unknown"
    LOOSE = "loose"
    MEDIUM = "medium"
    DENSE = "dense"


class LegFoot(enum.Enum):
    """How a leg is taken to stand in its socket."""

    UNKNOWN = "unknown"
    FIXED = "fixed"
    HINGED = "hinged"


class BoardsHold(enum.Enum):
    """What sill boards and hip boards hold."""

    NOTHING = "nothing"
    BOLTED = "as bolted"


class Loads(DesignTable):
    """How this design is compared with another. No load size is asked for or calculated."""

    shapes: tuple[LoadShape, ...] = field(
        "The shapes of load that are compared",
        default=[shape.value for shape in LoadShape],
        min_length=1,
        why="which of them matters is not known before",
    )
    open_sides: OpenSides = field(
        "Whether the sides are open in the wind; the pressure inside follows from it",
        default="closed",
        why="sides are closed in a storm where somebody is there to do it",
    )
    crop: CropHangs = field("What the crop hangs from", default="ties")
    soil: SoilKind = field(
        "How dense the ground is",
        default="unknown",
        why="only digging tells; unknown compares in loose and in dense ground",
    )
    foot: LegFoot = field(
        "Whether a leg is taken as fixed in its socket (cannot tilt) or hinged (free to tilt)",
        default="unknown",
        why="the play in the socket decides; unknown compares both",
    )
    boards: BoardsHold = field(
        "What sill boards and hip boards hold; as bolted counts them as bars on bolts that give "
        "way, without the play in their holes",
        default="nothing",
        why="holes have play and timber shrinks and rots, so boards hold less than they seem to",
    )
