"""Table of the design for how exactly it is built: setting out, drilling, fitting."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import DesignTable, LengthMm, Number, field


class SetOut(enum.Enum):
    """How the places of the sockets are measured."""

    TAPE = "tape"
    NEIGHBOUR = "neighbour"


class Spread(enum.Enum):
    """How errors are spread within a tolerance."""

    NORMAL = "normal"
    UNIFORM = "uniform"


class Tolerances(DesignTable):
    """How far places may be off when the frame is built, and what still goes together."""

    socket_spacing: LengthMm = field(
        "How far a socket may be off along the tunnel, to either side",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="a driven post drifts about so much (common practice)",
    )
    set_out: SetOut = field(
        "How sockets are set out: all from one end along a tape, or each from its neighbour, "
        "which adds the errors up",
        default="tape",
    )
    drilling: LengthMm = field(
        "How far a hole in a rail may be off along it, to either side",
        imperial="1/16 in",
        metric="1.5 mm",
        ge=0,
        le=50,
        why="a centre punch on a tape mark (common practice)",
    )
    spread: Spread = field(
        "How errors are spread: normal, with 19 out of 20 within the tolerance, or uniform, "
        "with none outside",
        default="normal",
    )
    persuasion: LengthMm = field(
        "How far a hoop can be drawn along the tunnel to bring a hole in",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=200,
        why="by hand and a wrench on the rail (common practice)",
    )
    most_lost: Number = field(
        "Largest share of holes in the rails that may be expected not to go in",
        default=0.02,
        ge=0,
        le=1,
    )
    gap: LengthMm = field(
        "Smallest gap between tubes that should not touch",
        imperial="1/8 in",
        metric="3 mm",
        ge=0,
        le=100,
        why="galvanizing and a hoop that is a little out of true (common practice)",
    )
    across: LengthMm = field(
        "How far a socket may be off its line across the tunnel, to either side",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="a driven post drifts about so much (common practice)",
    )
    top_height: LengthMm = field(
        "How far the top of a socket may be above or below its string",
        imperial="1/4 in",
        metric="6 mm",
        ge=0,
        le=200,
        why="common practice",
    )
    diagonals: LengthMm = field(
        "How much the two diagonals of the corner sockets may differ",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=500,
        why="common practice",
    )
    spring: LengthMm = field(
        "How far the legs of a hoop can be sprung apart or drawn together by hand",
        imperial="1 in",
        metric="25 mm",
        ge=0,
        le=500,
        why="common practice",
    )


__all__ = ["SetOut", "Spread", "Tolerances"]
