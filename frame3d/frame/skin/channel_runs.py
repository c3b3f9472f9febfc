"""Where channel for the film runs, how long, and in what pieces.

Glossary
--------
run : channel end to end along one line: an end hoop, a hip, a sill board, round a door.
usable : what a stock length gives, its end trim off.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.design.tables.whole_design import CoverListed, Design, StudMaterial
from frame3d.frame.model.openings import DoorOpening, SideVent, door_name
from frame3d.frame.model.roles import Grid
from frame3d.frame.model.surveyed import GroundUnder, rises_of
from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.arch.arch_curve import HalfCurve, distance_at_height

_BESIDE_HOOP_MM = 50.0
"""From a hoop's tube to a joint of the channel (common practice, no source)."""
_SHORTEST_MM = 300.0
"""No piece of a run is made shorter than this where it can be longer (common practice)."""
_BESIDE_LEAF_MM = 5.0
_CROWN_MM = 6.0
"""Either side of a tube's crown a screw goes in well (common practice, no source)."""


class RunKind(enum.Enum):
    """What a run lies on."""

    END_HOOPS = "end hoops"
    HIPS = "hips"
    SILLS = "sill boards"
    DOOR = "door"


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
        For one run, each run with pieces of its own.
    kind : RunKind
    spans_mm : tuple of (float, float)
        Along the tunnel, of those that lie along it: the runs of one side.
    door : DoorOpening or None
    """

    along: str
    length_mm: float
    count: int
    pieces: int
    kind: RunKind
    spans_mm: tuple[tuple[float, float], ...] = ()
    door: DoorOpening | None = None


def outer_half(arch: Arch) -> HalfCurve:
    """The outer face of the left half of a hoop."""
    return arch.half_offset(-arch.tube_od_mm / 2)


def film_foot_mm(design: Design, ground: GroundUnder | None) -> float:
    """Height from which the film is counted: the sill board's upper edge, or the ground; mm.

    Where boards follow the ground, that of the lowest: the film's edge stays straight.
    """
    sill = design.sill_board
    low, _ = rises_of(ground)
    return 0.0 if sill is None else sill.bottom + sill.timber.depth_mm + min(0.0, low)


def channel_foot_mm(design: Design, ground: GroundUnder | None) -> float:
    """Height from which channel runs up the end hoops: over the highest sill board, mm."""
    low, high = rises_of(ground)
    sill = design.sill_board is not None
    return film_foot_mm(design, ground) + (max(0.0, high) - min(0.0, low) if sill else 0.0)


def usable_mm(design: Design) -> float:
    """What one stock length of channel gives, mm."""
    return design.cover.channel_length - design.order.end_trim


def door_edge_mm(design: Design, door: DoorOpening) -> float:
    """How far outside of a door's opening its channel lies, mm: past the edges of the leaves."""
    if design.cover.listed_as is CoverListed.FIGURES or not door.leaves:
        return 0.0
    left = min(leaf.low_x_mm for leaf in door.leaves)
    right = max(leaf.high_x_mm for leaf in door.leaves)
    return max(0.0, door.left_x_mm - left, right - door.right_x_mm) + _BESIDE_LEAF_MM


def jamb_face(design: Design, door: DoorOpening) -> tuple[float, float]:
    """From where to where beside a door's opening its jamb gives channel a face, mm.

    A tube gives it along its crown, wide enough for a screw.
    """
    wall = next(one for one in design.end_wall if door.end in one.at.each)
    if wall.studs is StudMaterial.TIMBER:
        return 0.0, wall.timber.thickness_mm
    middle = wall.tube.od_mm / 2
    return middle - _CROWN_MM, middle + _CROWN_MM


def channel_runs(
    design: Design,
    arch: Arch,
    grid: Grid,
    doors: Sequence[DoorOpening],
    vents: Sequence[SideVent],
    ground: GroundUnder | None,
) -> tuple[ChannelRun, ...]:
    """Every run of channel, those alike once."""
    curve, length = outer_half(arch), grid.length_mm + arch.tube_od_mm
    foot = channel_foot_mm(design, ground) * math.cos(arch.leg_lean_rad)
    girth = 2 * (curve.path.length_mm - distance_at_height(curve, foot))
    half = arch.tube_od_mm / 2
    whole = ((-half, grid.length_mm + half),)
    made = _Runs(design, arch, grid)
    found = [made.run("end hoops", girth, 2, RunKind.END_HOOPS)]
    if design.side_opening is not None:
        found.append(made.run("hips", length, 2, RunKind.HIPS, spans=whole))
    if design.sill_board is not None:
        found += [
            made.run(along, run, count, RunKind.SILLS, spans=spans)
            for along, run, count, spans in _along_sills(vents, half, grid.length_mm)
        ]
    for door in doors:
        run = door.width_mm + 2 * door.height_mm + 4 * door_edge_mm(design, door)
        found.append(made.run(door_name(doors, door), run, 1, RunKind.DOOR, door=door))
    return tuple(found)


class _Runs(Struct, frozen=True):
    """Makes runs, with the pieces that the design asks to be counted."""

    design: Design
    arch: Arch
    grid: Grid

    def run(
        self,
        along: str,
        length: float,
        count: int,
        kind: RunKind,
        *,
        spans: tuple[tuple[float, float], ...] = (),
        door: DoorOpening | None = None,
    ) -> ChannelRun:
        cover, usable = self.design.cover, usable_mm(self.design)
        pieces = math.ceil(length / cover.channel_length - 1e-9)
        if cover.listed_as is CoverListed.PARTS:
            if kind is RunKind.END_HOOPS:
                pieces = len(hoop_pieces(self.arch, length, usable, cover.channel_depth))
            elif door is not None:
                edge = door_edge_mm(self.design, door)
                sides = (door.height_mm + edge, door.width_mm + 2 * edge, door.height_mm + edge)
                mitres = (cover.channel_width, 2 * cover.channel_width, cover.channel_width)
                pieces = sum(
                    math.ceil((long + more) / usable - 1e-9)
                    for long, more in zip(sides, mitres, strict=True)
                )
            else:
                stops = straight_pieces(*spans[0], usable, self.grid, self.arch.tube_od_mm)
                pieces = len(stops) - 1
        return ChannelRun(along=along, length_mm=length, count=count, pieces=pieces, kind=kind,
                          spans_mm=spans, door=door)  # fmt: skip


def _along_sills(
    vents: Sequence[SideVent], half: float, length: float
) -> list[tuple[str, float, int, tuple[tuple[float, float], ...]]]:
    """Runs along both sill boards; where a side opens the film hangs free over the board there."""
    if not vents:
        return [("sill boards", length + 2 * half, 2, ((-half, length + half),))]
    vent = vents[0]
    spans = ((-half, vent.start_y_mm), (vent.end_y_mm, length + half))
    past: list[tuple[str, float, int, tuple[tuple[float, float], ...]]] = [
        ("sill boards, past the side openings", to - start, 2, ((start, to),))
        for start, to in spans
        if to - start > half + 1.0
    ]
    if len(past) == 2 and abs(past[0][1] - past[1][1]) < 0.5:
        along, run, _, _ = past[0]
        return [(along, run, 4, spans)]
    return past


def hoop_pieces(
    arch: Arch, girth_mm: float, usable: float, depth_mm: float
) -> tuple[tuple[float, float], ...]:
    """Where on the outer face the pieces of an end hoop's run begin and end, mm from its left foot.

    Equal pieces, so that few are different. Those of a gothic hoop meet in a mitre at its ridge.
    """
    if arch.style is not ArchStyle.GOTHIC:
        count = math.ceil(girth_mm / usable - 1e-9)
        long = girth_mm / count
        return tuple((k * long, (k + 1) * long) for k in range(count))
    half = girth_mm / 2
    mitre = depth_mm * math.tan(max(0.0, outer_half(arch).end.heading_rad))
    count = math.ceil(half / usable - 1e-9)
    if half / count + mitre > usable:
        count += 1
    long = half / count
    return tuple((k * long, (k + 1) * long) for k in range(2 * count))


def straight_pieces(
    start_mm: float, end_mm: float, usable: float, grid: Grid, tube_od_mm: float
) -> tuple[float, ...]:
    """Ends and joints of a run along the tunnel, mm: whole stock lengths, joints off the hoops."""
    clear = tube_od_mm / 2 + _BESIDE_HOOP_MM
    stops = [start_mm]
    while end_mm - stops[-1] > usable + 1e-6:
        last = stops[-1]
        joint = last + usable
        if end_mm - joint < _SHORTEST_MM:
            joint = max(end_mm - _SHORTEST_MM, last + usable / 2)
        hoop = next((y for y in grid.hoop_y_mm if abs(joint - y) < clear), None)
        if hoop is not None and hoop - clear > last + usable / 2:
            joint = hoop - clear
        stops.append(joint)
    return (*stops, end_mm)
