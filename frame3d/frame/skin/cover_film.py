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

from frame3d.design.tables.whole_design import End, WallCover
from frame3d.frame.model.members import Frame
from frame3d.frame.skin.channel_runs import (
    ChannelRun,
    channel_runs,
    film_foot_mm,
    outer_half,
)
from frame3d.frame.skin.curtain_section import below_channel_mm
from frame3d.geometry.arch.arch_curve import HalfCurve, area_under_half, distance_at_height


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
    return outer_half(frame.arch)


def cover_lines(frame: Frame) -> CoverLines:
    """The cover of ``frame`` with the allowances of its design."""
    design, arch, grid = frame.design, frame.arch, frame.grid
    cover, curve = design.cover, outer_face(frame)
    foot = film_foot_mm(design, frame.ground) * math.cos(arch.leg_lean_rad)
    girth = 2 * (curve.path.length_mm - distance_at_height(curve, foot))
    length = grid.length_mm + arch.tube_od_mm
    below = below_channel_mm(design, arch, frame.ground)
    return CoverLines(
        girth_mm=girth,
        film_width_mm=girth - 2 * below + 2 * cover.side_allowance,
        film_length_mm=length + 2 * cover.end_allowance,
        walls=_walls(frame, curve),
        channel=channel_runs(design, arch, grid, frame.doors, frame.vents, frame.ground),
        channel_stock_mm=cover.channel_length,
        floor_mm2=arch.width_mm * grid.length_mm,
        covered_mm2=-2 * curve.x_mm * length,
        volume_mm3=2 * area_under_half(curve) * length,
        vent_mm2=math.fsum(vent.area_mm2 for vent in frame.vents),
    )


def _walls(frame: Frame, curve: HalfCurve) -> tuple[WallFilm, ...]:
    if frame.design.cover.wall_cover is not WallCover.FILM:
        return ()
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


__all__ = ["ChannelRun", "CoverLines", "WallFilm", "cover_lines", "film_foot_mm", "outer_face"]
