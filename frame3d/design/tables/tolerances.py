"""Table of the design for how exactly it is built: setting out, drilling, fitting."""

import enum

from frame3d.design.tables.fields import AngleRad, DesignTable, LengthMm, Number, field


class SetOut(enum.Enum):
    """How the places of the sockets are measured."""

    TAPE = "tape"
    NEIGHBOUR = "neighbour"


class Spread(enum.Enum):
    """How errors are spread within a tolerance."""

    NORMAL = "normal"
    UNIFORM = "uniform"


class GeneralClass(enum.Enum):
    """The tolerance class of ISO 2768-1: fine, medium, coarse or very coarse."""

    FINE = "f"
    MEDIUM = "m"
    COARSE = "c"
    VERY_COARSE = "v"


class Tolerances(DesignTable):
    """How far positions may be off when the frame is built, and what still fits."""

    socket_spacing: LengthMm = field(
        "Socket position along the tunnel, plus or minus",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="a driven post drifts about this much (common practice)",
    )
    set_out: SetOut = field(
        "How sockets are measured: all from one end of a tape, or each from the last, "
        "which adds up the errors",
        default="tape",
    )
    drilling: LengthMm = field(
        "Rail hole position along the rail, plus or minus",
        imperial="1/16 in",
        metric="1.5 mm",
        ge=0,
        le=50,
        why="a centre punch on a tape mark (common practice)",
    )
    spread: Spread = field(
        "How errors are spread: normal, with 19 out of 20 inside the tolerance, or "
        "uniform, with none outside",
        default="normal",
    )
    persuasion: LengthMm = field(
        "Pull-in allowance: how far a hoop can be pulled along the tunnel to line up a hole",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=200,
        why="by hand, with a wrench on the rail (common practice)",
    )
    most_lost: Number = field(
        "Largest share of rail holes that may be expected not to line up",
        default=0.02,
        ge=0,
        le=1,
    )
    gap: LengthMm = field(
        "Least gap between tubes that should not touch",
        imperial="1/8 in",
        metric="3 mm",
        ge=0,
        le=100,
        why="for galvanizing and a slightly untrue hoop (common practice)",
    )
    across: LengthMm = field(
        "Socket position across the tunnel, plus or minus",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="a driven post drifts about this much (common practice)",
    )
    top_height: LengthMm = field(
        "Socket top height from its string, plus or minus",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="common practice",
    )
    diagonals: LengthMm = field(
        "Largest difference between the two corner diagonals",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=500,
        why="common practice",
    )
    spring: LengthMm = field(
        "How far the legs of a hoop can be sprung apart or pulled together by hand",
        imperial="1 in",
        metric="25 mm",
        ge=0,
        le=500,
        why="common practice",
    )
    general: GeneralClass = field(
        "Class of ISO 2768-1 for sizes of parts that have no tolerance of their own: f fine, "
        "m medium, c coarse, v very coarse",
        default="c",
        why="a class for sawn, bent and drilled steel (common practice)",
    )
    cut_length: LengthMm | None = field(
        "Cut length of a part, plus or minus. Default: by the class of ISO 2768-1",
        optional=True,
        ge=0,
        le=50,
    )
    hole_diameter: LengthMm | None = field(
        "How much larger than drawn a hole may be. Default: H13, the medium series of ISO 273",
        optional=True,
        ge=0,
        le=5,
    )
    bend_angle: AngleRad | None = field(
        "Angle of a bend, plus or minus. Default: by the fabricator",
        optional=True,
        ge=0,
        le=0.2,
    )
    bend_radius: LengthMm | None = field(
        "Radius of a bend, plus or minus. Default: by the fabricator",
        optional=True,
        ge=0,
        le=1000,
    )
    swage: LengthMm = field(
        "Outside diameter of a swaged end, plus or minus",
        imperial="0.012 in",
        metric="0.3 mm",
        ge=0,
        le=0.7,
        why="at the upper limit 0.5 mm of play is left, with which tubes slide (common practice)",
    )
