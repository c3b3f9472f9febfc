"""How the ends of tubes and boards are made: swaged, pressed flat, cut on a slant, lapped.

Glossary
--------
swage : an end of a tube reduced so that it slides into the next tube.
flat : an end of a tube pressed flat, to be bolted against another part.
slant : of a flat's end, how far its cut leans from square, in the plane of the flat.
mitre : a slanting cut across the depth (the wide face) of a board.
bevel : a slanting cut through the thickness of a board.
lap : an end of a board from which part of the depth is taken away.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.snapping import put, snap_clock, snap_mm, snap_rad


class Swage(Struct, frozen=True, kw_only=True):
    """A tube's end reduced to an outside diameter over a length; the wall is kept.

    Parameters
    ----------
    od_mm : float
        Outside diameter of the reduced part.
    length_mm : float
        Length of the reduced part, without the taper.
    taper_mm : float
        Length of the taper between the full and the reduced tube.
    """

    od_mm: float
    length_mm: float
    taper_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, od_mm=snap_mm(self.od_mm), length_mm=snap_mm(self.length_mm))
        put(self, taper_mm=snap_mm(self.taper_mm))


class Flat(Struct, frozen=True, kw_only=True):
    """A tube's end pressed flat about its axis, cut square or on a slant; at a straight end.

    The bore closes to a line, the wall is kept: the flat is two walls thick with
    rounded edges, and the steel's area is that of the tube all the way. Between
    round and flat, at a share ``s`` of the transition, the outside is an oblong of
    half length ``s a`` and edge radius ``R + s (t - R)``, the bore one of ``s a`` and
    ``(1 - s) (R - t)``, with ``a = π (R - t) / 2``, R and t the tube's radius and wall.

    A slanting cut meets the axis where the tube's length ends, so what one half of the
    flat is longer the other is shorter. Look at the flat with its normal (the direction of
    its clock angle) toward you and the tube's axis running upward: a positive slant
    leaves the right edge longer, at the start of a tube and at its end alike. Said by
    clock angles, that edge lies a quarter turn on from the normal. The same flat can be
    named by the opposite normal, with the opposite slant.

    Parameters
    ----------
    length_mm : float
        Length of the flat itself.
    transition_mm : float
        Length over which the round tube becomes flat.
    clock_rad : float
        Clock angle of the direction square to the flat, its normal. Kept in [0, π):
        given one half a turn away, the slant changes its sign.
    slant_rad : float
        Slant of the end's cut in the plane of the flat, between -π/2 and π/2; 0 is square.
    """

    length_mm: float
    transition_mm: float
    clock_rad: float = 0.0
    slant_rad: float = 0.0

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        if not abs(self.slant_rad) < math.pi / 2:
            raise ValueError(f"a cut at an angle of {self.slant_rad} rad does not cross the flat")
        clock = snap_clock(self.clock_rad)
        other_face = round((self.clock_rad - clock) / math.pi) % 2 == 1
        slant = -self.slant_rad if other_face else self.slant_rad
        put(self, length_mm=snap_mm(self.length_mm), clock_rad=clock, slant_rad=snap_rad(slant))
        put(self, transition_mm=snap_mm(self.transition_mm))


def flat_width_mm(section: TubeSection) -> float:
    """Width over all of the flat that ``section`` is pressed to, mm."""
    return math.pi * (section.od_mm / 2 - section.wall_mm) + 2 * section.wall_mm


def overhang_mm(section: TubeSection, end: Swage | Flat | None) -> float:
    """How far an end's longest point reaches past the end of the tube's axis, mm.

    The shortest point of a slanting cut lies as far before it.
    """
    if not isinstance(end, Flat):
        return 0.0
    return flat_width_mm(section) / 2 * math.tan(abs(end.slant_rad))


class BoardEnd(Struct, frozen=True, kw_only=True):
    """An end of a board that is not simply cut square: mitred, bevelled, bevelled and lapped.

    Parameters
    ----------
    mitre_rad : float
        Slant of the cut across the depth. Positive: the board is longest at its edge
        y = 0; negative: at y = depth.
    bevel_rad : float
        Slant through the thickness. Positive: longest at the face z = 0; negative: at
        z = thickness. Not together with a mitre.
    lap_mm : float
        Length of the lap, along the board; its shoulder is parallel to the end. 0 for none.
    lap_depth_mm : float
        How much of the depth is taken away over the lap.
    lap_from_top : bool
        True when it is taken from the edge y = depth, False from y = 0.
    """

    mitre_rad: float = 0.0
    bevel_rad: float = 0.0
    lap_mm: float = 0.0
    lap_depth_mm: float = 0.0
    lap_from_top: bool = False

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, mitre_rad=snap_rad(self.mitre_rad), bevel_rad=snap_rad(self.bevel_rad))
        put(self, lap_mm=snap_mm(self.lap_mm), lap_depth_mm=snap_mm(self.lap_depth_mm))
        if self.mitre_rad and (self.bevel_rad or self.lap_mm):
            raise ValueError("an end with a mitre has neither bevel nor lap")
        if bool(self.lap_mm) is not bool(self.lap_depth_mm):
            raise ValueError("a lap needs both a length and a depth")


def tube_end_words(end: Swage | Flat) -> str:
    """What was done to the end of a tube."""
    slanting = isinstance(end, Flat) and end.slant_rad
    return "flat, cut at an angle" if slanting else "flat" if isinstance(end, Flat) else "swaged"


def board_end_words(end: BoardEnd) -> str:
    """What was done to the end of a board; empty where it is cut square."""
    done = {"mitred": end.mitre_rad, "bevelled": end.bevel_rad, "notched": end.lap_mm}
    return " and ".join(word for word, size in done.items() if size)
