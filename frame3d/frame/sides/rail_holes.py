"""The holes of bolted rails that come to hoops: which piece has them where, and their play."""

from __future__ import annotations

from msgspec import Struct

from frame3d.catalog import bolt_size
from frame3d.catalog.sections import Head
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side

_ON_HOOP_MM = 1.0


class BoredPiece(Struct, frozen=True, kw_only=True):
    """A piece of bolted rail: its mark, side, and the hoops that have a hole of it, rising."""

    mark: str
    side: Side
    hoops: tuple[int, ...]


def bored_pieces(frame: Frame) -> tuple[BoredPiece, ...]:
    """The pieces of bolted rail that have holes at two hoops or more."""
    hoops = frame.grid.hoop_y_mm
    found = []
    for member in frame.of_kind(Tube, Role.RAIL, Role.HIP_RAIL):
        start, way = member.placement.origin[1], member.placement.x[1]
        numbers = []
        for hole in member.part.holes:
            y = start + way * hole.at_mm
            # Hoops stand at equal spacing by the design, so the nearest is known without a search.
            number = round(frame.grid.designed_at(y) / frame.grid.even.spacing_mm)
            number = min(max(number, 0), len(hoops) - 1)
            if abs(hoops[number] - y) < _ON_HOOP_MM:
                numbers.append(number + 1)
        if len(numbers) > 1:
            found.append(
                BoredPiece(mark=member.mark, side=member.spot.side, hoops=tuple(sorted(numbers)))
            )
    return tuple(found)


def hole_play_mm(frame: Frame) -> float:
    """Play of the frame bolt in the holes of rail and hoop, to either side, mm."""
    bolt = bolt_size(frame.design.hardware.frame_bolt, Head.HEX)
    rails = frame.of_kind(Tube, Role.RAIL, Role.HIP_RAIL)
    holes = [hole.diameter_mm for rail in rails for hole in rail.part.holes]
    return 2 * (min(holes) - bolt.diameter_mm) / 2
