"""The cover of a frame: film, fixing channel, covered area, enclosed volume, ventilation.

All of it follows from the outer face of the hoops; what the fixing takes beyond is what
the design gives as allowances.

Glossary
--------
girth : length along the outer face of a hoop, square to the tunnel.
channel : the rail that film is fixed in; it runs along hips, end hoops and round the doors,
    and along sills where the side above does not open: there the film, in one sheet over the
    hips, is the curtain that rolls up.
floor : nominal, between centres of the sockets and of the end hoops.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.whole_design import Design, End
from frame3d.frame.describe.places import door_name
from frame3d.frame.model.members import Frame
from frame3d.geometry.arch.arch_curve import HalfCurve, area_under_half, distance_at_height


class ChannelRun(Struct, frozen=True, kw_only=True):
    """Fixing channel along one kind of place.

    Parameters
    ----------
    along : str
    length_mm : float
        Of one run.
    count : int
        Runs alike.
    pieces : int
        Stock pieces for one run, each run with pieces of its own.
    """

    along: str
    length_mm: float
    count: int
    pieces: int


class WallFilm(Struct, frozen=True, kw_only=True):
    """Film of an end wall: the rectangle to cut it from, and what it covers.

    ``covered_mm2`` is the area within the hoop's outer face, doors left out.
    """

    end: End
    width_mm: float
    height_mm: float
    covered_mm2: float


class CoverLines(Struct, frozen=True, kw_only=True):
    """The cover in figures.

    Parameters
    ----------
    girth_mm : float
        From sill board to sill board (or ground to ground) over the hoops.
    film_width_mm, film_length_mm : float
        Of the film over the hoops, allowances included.
    walls : tuple of WallFilm
    channel : tuple of ChannelRun
    channel_stock_mm : float
    floor_mm2, covered_mm2 : float
        Nominal floor, and ground covered over the outside of the frame.
    volume_mm3 : float
        Under the outer face of the hoops, over the outside length.
    vent_mm2 : float
        Free area of the side openings, 0 for none.
    """

    girth_mm: float
    film_width_mm: float
    film_length_mm: float
    walls: tuple[WallFilm, ...]
    channel: tuple[ChannelRun, ...]
    channel_stock_mm: float
    floor_mm2: float
    covered_mm2: float
    volume_mm3: float
    vent_mm2: float

    @property
    def film_mm2(self) -> float:
        """Area of the film over the hoops, mm²."""
        return self.film_width_mm * self.film_length_mm

    @property
    def channel_mm(self) -> float:
        """Length of all channel, mm."""
        return math.fsum(run.length_mm * run.count for run in self.channel)

    @property
    def channel_pieces(self) -> int:
        """Stock pieces of channel for all runs."""
        return sum(run.pieces * run.count for run in self.channel)

    @property
    def vent_share(self) -> float:
        """Free area of the side openings as a share of the floor."""
        return self.vent_mm2 / self.floor_mm2


def outer_face(frame: Frame) -> HalfCurve:
    """The outer face of the left half of a hoop."""
    return frame.arch.half_offset(-frame.arch.tube_od_mm / 2)


def film_foot_mm(design: Design) -> float:
    """Height from which the film is counted: the sill board's upper edge, or the ground; mm."""
    sill = design.sill_board
    return 0.0 if sill is None else sill.bottom + sill.timber.depth_mm


def cover_lines(frame: Frame) -> CoverLines:
    """The cover of ``frame`` with the allowances of its design."""
    design, arch, grid = frame.design, frame.arch, frame.grid
    cover, curve = design.cover, outer_face(frame)
    foot = film_foot_mm(design) * math.cos(arch.leg_lean_rad)
    girth = 2 * (curve.path.length_mm - distance_at_height(curve, foot))
    length = grid.length_mm + arch.tube_od_mm
    return CoverLines(
        girth_mm=girth,
        film_width_mm=girth + 2 * cover.side_allowance,
        film_length_mm=length + 2 * cover.end_allowance,
        walls=_walls(frame, curve),
        channel=_channel(frame, girth, length),
        channel_stock_mm=cover.channel_length,
        floor_mm2=arch.width_mm * grid.length_mm,
        covered_mm2=-2 * curve.x_mm * length,
        volume_mm3=2 * area_under_half(curve) * length,
        vent_mm2=math.fsum(vent.area_mm2 for vent in frame.vents),
    )


def _walls(frame: Frame, curve: HalfCurve) -> tuple[WallFilm, ...]:
    more, area = frame.design.cover.wall_allowance, 2 * area_under_half(curve)
    ends = [end for wall in frame.design.end_wall for end in wall.at.each]
    widest = -2 * curve.x_mm
    return tuple(
        WallFilm(
            end=end,
            width_mm=widest + 2 * more,
            height_mm=curve.end.z_mm + 2 * more,
            covered_mm2=area - math.fsum(
                door.width_mm * door.height_mm for door in frame.doors if door.end is end
            ),
        )
        for end in End if end in ends
    )  # fmt: skip


def _along_sills(frame: Frame, length: float) -> list[tuple[str, float, int]]:
    """Runs along both sill boards; where a side opens the film hangs free over the board there."""
    if not frame.vents:
        return [("sill boards", length, 2)]
    vent, half = frame.vents[0], frame.arch.tube_od_mm / 2
    ends = (vent.start_y_mm + half, frame.grid.length_mm + half - vent.end_y_mm)
    past = [("sill boards, past the side openings", end, 2) for end in ends if end > half + 1.0]
    if len(past) == 2 and abs(ends[0] - ends[1]) < 0.5:
        return [(past[0][0], ends[0], 4)]
    return past


def _channel(frame: Frame, girth: float, length: float) -> tuple[ChannelRun, ...]:
    design, stock = frame.design, frame.design.cover.channel_length
    runs: list[tuple[str, float, int]] = [("end hoops", girth, 2)]
    if design.side_opening is not None:
        runs.append(("hips", length, 2))
    if design.sill_board is not None:
        runs += _along_sills(frame, length)
    for door in frame.doors:
        runs.append((door_name(frame.doors, door), door.width_mm + 2 * door.height_mm, 1))
    return tuple(
        ChannelRun(along=along, length_mm=run, count=count,
                   pieces=math.ceil(run / stock - 1e-9))
        for along, run, count in runs
    )  # fmt: skip
