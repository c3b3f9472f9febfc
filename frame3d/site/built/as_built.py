"""Whether hoops and rails will go on the sockets as they were driven, and what to correct.

A hoop goes in by itself while the tops are not farther off their width than the play of its
two legs in the sockets; its legs can be sprung by so much more. It racks when the two tops
differ in height, or when one stands ahead of the other, by more than both tolerances
together. Rails: each piece is laid where most of its holes go in, so that one hole takes its
bolt just so, and the misfit of the others is what their hoops stand off from that one along
the rail. A hoop stands square across, in the middle between its two sockets, and its rails on
either side and at the ridge go by that.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.catalog import clearance_mm
from frame3d.design.tables.staking import StringLine
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.frame.model.surveyed import Top
from frame3d.frame.sides.rail_holes import BoredPiece, bored_pieces, hole_play_mm
from frame3d.site.built.fitting import laid_onto, line_through
from frame3d.site.staking.socket_names import SocketPlace, socket_name, socket_places


class HoopState(enum.Enum):
    """Whether a hoop goes into its sockets."""

    GOES = "goes in"
    SPRUNG = "fits with its legs sprung"
    RACKS = "fits, but racks"
    NOT = "does not fit"


class HoleState(enum.Enum):
    """Whether a bolt goes through a rail and its hoop."""

    FREE = "goes in"
    PERSUADED = "lines up with pulling"
    LOST = "does not fit"


class TopOff(Struct, frozen=True, kw_only=True):
    """How far the top of a socket is off where it should be, mm.

    To the right and along, seen from the first hoop, and up; ``up_mm`` is None where no height
    was measured, ``right_mm`` where the tape does not tell.
    """

    place: SocketPlace
    right_mm: float | None
    along_mm: float
    up_mm: float | None
    is_off: bool


class HoopAsBuilt(Struct, frozen=True, kw_only=True):
    """A hoop both of whose sockets were measured, mm.

    Parameters
    ----------
    number : int
    width_off_mm : float
        Distance between the tops less that of the design.
    up_mm : float or None
        Height of the right top over the left one.
    twist_mm : float
        How far the right top stands ahead of the left one.
    spacing_off_mm : float or None
        Distance from the hoop before, measured too, less that of the design; at the middle.
    ridge_off_mm : float or None
        How far the ridge leans to the left, as the right top is higher.
    state : HoopState
    """

    number: int
    width_off_mm: float
    up_mm: float | None
    twist_mm: float
    spacing_off_mm: float | None
    ridge_off_mm: float | None
    state: HoopState


class RailHole(Struct, frozen=True, kw_only=True):
    """A hole of a rail that comes to a measured hoop: how far it misses, mm."""

    piece: BoredPiece
    hoop: int
    misfit_mm: float
    state: HoleState


class AsBuilt(Struct, frozen=True, kw_only=True):
    """What was driven, against the design.

    Parameters
    ----------
    tops : tuple of TopOff
    hoops : tuple of HoopAsBuilt
    holes : tuple of RailHole
    leg_play_mm : float
        By which the width may be off and a hoop still goes in by itself.
    hole_play_mm : float
        Misfit of a hole that goes in by itself; 0 where no rail is bolted.
    slope_percent : float or None
        Of the line through the tops; None where no heights were measured.
    """

    tops: tuple[TopOff, ...]
    hoops: tuple[HoopAsBuilt, ...]
    holes: tuple[RailHole, ...]
    leg_play_mm: float
    hole_play_mm: float
    slope_percent: float | None


def judge(frame: Frame, tops: Sequence[Top]) -> AsBuilt:
    """What ``tops``, which :mod:`.built` has checked, mean for hoops and rails."""
    places = {place.name: place for place in socket_places(frame)}
    line = _string(frame, places, tops)
    rise = line[1] if line else 0.0
    measured = {off.place.name: off for off in _tops_off(frame, places, tops, line)}
    pieces = bored_pieces(frame)
    play = hole_play_mm(frame) if pieces else 0.0
    hoop = frame.design.hoop.tube
    legs = clearance_mm(outer=frame.design.socket.tube, inner=hoop)
    hoops: list[HoopAsBuilt] = []
    for number in range(1, len(frame.grid.hoop_y_mm) + 1):
        pair = [measured.get(socket_name(number, side)) for side in (Side.LEFT, Side.RIGHT)]
        if None not in pair:
            before = hoops[-1] if hoops and hoops[-1].number == number - 1 else None
            hoops.append(_hoop(frame, tops, measured, number, legs, before))
    return AsBuilt(
        tops=tuple(measured.values()),
        hoops=tuple(hoops),
        holes=tuple(_holes(frame, pieces, measured, play)),
        leg_play_mm=legs,
        hole_play_mm=play,
        slope_percent=100 * math.tan(math.asin(rise)) if line else None,
    )


def _string(
    frame: Frame, places: dict[str, SocketPlace], tops: Sequence[Top]
) -> tuple[float, float] | None:
    """Height at the first hoop and rise for each mm along of the line of the tops."""
    known = [top for top in tops if top.z_mm is not None]
    if len(known) < 2:
        return None
    level = frame.design.staking.string is StringLine.LEVEL
    along = np.array([places[top.name].y_mm for top in known])
    level = level or float(np.ptp(along)) == 0.0
    return line_through(along, np.array([top.z_mm for top in known]), level=level)


def _tops_off(
    frame: Frame,
    places: dict[str, SocketPlace],
    tops: Sequence[Top],
    line: tuple[float, float] | None,
) -> list[TopOff]:
    taped = tops[0].taped
    # Places of a frame on a slope are nearer together, seen from above; a tape lies along it.
    level = 1.0 if taped or line is None else math.sqrt(1 - line[1] ** 2)
    meant = np.array([(places[t.name].top_x_mm, places[t.name].y_mm * level) for t in tops])
    got = laid_onto(np.array([(top.x_mm, top.y_mm) for top in tops]), meant)
    allowed = frame.design.tolerances
    made = []
    for top, (right, along) in zip(tops, got - meant, strict=True):
        up = None
        if top.z_mm is not None and line is not None:
            up = top.z_mm - (line[0] + line[1] * places[top.name].y_mm)
        off = (
            (not taped and abs(right) > allowed.across)
            or abs(along) / level > allowed.socket_spacing
            or (up is not None and abs(up) > allowed.top_height)
        )
        made.append(
            TopOff(place=places[top.name], right_mm=None if taped else float(right),
                   along_mm=float(along) / level, up_mm=up, is_off=bool(off))
        )  # fmt: skip
    return made


def _hoop(
    frame: Frame,
    tops: Sequence[Top],
    measured: dict[str, TopOff],
    number: int,
    legs: float,
    before: HoopAsBuilt | None,
) -> HoopAsBuilt:
    names = [socket_name(number, side) for side in (Side.LEFT, Side.RIGHT)]
    left, right = (measured[name] for name in names)
    raw = {top.name: top for top in tops if top.name in names}
    a, b = (raw[name] for name in names)
    meant = right.place.top_x_mm - left.place.top_x_mm
    # A tape across measures between the tops, whichever of them stands ahead.
    width = b.x_mm - a.x_mm if a.taped else math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)
    off = width - meant
    up = None if left.up_mm is None or right.up_mm is None else right.up_mm - left.up_mm
    twist = right.along_mm - left.along_mm
    spacing = None
    if before is not None:
        earlier = [measured[socket_name(number - 1, side)] for side in (Side.LEFT, Side.RIGHT)]
        spacing = (left.along_mm + right.along_mm - sum(top.along_mm for top in earlier)) / 2
    rise = frame.arch.heights().centres_mm - left.place.top_z_mm
    allowed = frame.design.tolerances
    if abs(off) > legs + allowed.spring:
        state = HoopState.NOT
    elif abs(twist) > 2 * allowed.socket_spacing or (
        up is not None and abs(up) > 2 * allowed.top_height
    ):
        state = HoopState.RACKS
    else:
        state = HoopState.SPRUNG if abs(off) > legs else HoopState.GOES
    return HoopAsBuilt(
        number=number,
        width_off_mm=off,
        up_mm=up,
        twist_mm=twist,
        spacing_off_mm=spacing,
        ridge_off_mm=None if up is None else up * rise / meant,
        state=state,
    )


def _holes(
    frame: Frame, pieces: Sequence[BoredPiece], measured: dict[str, TopOff], play: float
) -> list[RailHole]:
    persuasion = frame.design.tolerances.persuasion
    made = []
    for piece in pieces:
        offs = [(hoop, _along(measured, hoop)) for hoop in piece.hoops]
        known = [(hoop, off) for hoop, off in offs if off is not None]
        if len(known) < 2:
            continue
        seat = _seat([off for _, off in known], play, persuasion)
        for hoop, off in known:
            misfit = off - seat
            state = (
                HoleState.FREE if abs(misfit) <= play
                else HoleState.PERSUADED if abs(misfit) <= play + persuasion
                else HoleState.LOST
            )  # fmt: skip
            made.append(RailHole(piece=piece, hoop=hoop, misfit_mm=misfit, state=state))
    return made


def _seat(offs: list[float], play: float, persuasion: float) -> float:
    """Which of ``offs`` takes its bolt so that most of the others go in, best by themselves."""

    def merit(seat: float) -> tuple[int, int, float]:
        misses = [abs(off - seat) for off in offs]
        return (
            -sum(miss <= play + persuasion for miss in misses),
            -sum(miss <= play for miss in misses),
            sum(misses),
        )

    return min(offs, key=merit)


def _along(measured: dict[str, TopOff], hoop: int) -> float | None:
    """How far a hoop stands off along its rails, mm."""
    tops = [measured.get(socket_name(hoop, one)) for one in (Side.LEFT, Side.RIGHT)]
    offs = [top.along_mm for top in tops if top is not None]
    return sum(offs) / len(tops) if len(offs) == len(tops) else None
