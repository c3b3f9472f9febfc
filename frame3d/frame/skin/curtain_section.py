"""A side opening with its curtain, seen along the tunnel: the left side, x below 0.

Glossary
--------
drop : along the taut curtain, from the channel at the hip to the top edge of the sill board.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.curtain import Curtain, Hangs
from frame3d.design.tables.whole_design import Design, Fixing, Hip, SideOpening, SillBoard
from frame3d.errors import DesignError, present
from frame3d.frame.joining.clamps import axis_distance_mm
from frame3d.frame.model.surveyed import GroundUnder, rises_of
from frame3d.frame.skin.channel_runs import film_foot_mm, outer_half
from frame3d.geometry.arch.arch import Arch
from frame3d.geometry.arch.arch_curve import ArchPoint, distance_at_height

Point = tuple[float, float]
_STEP_MM = 20.0
_UNDER_HIP_MM = 20.0
"""From the hip to the rolled curtain under it (common practice, no source)."""


class CurtainSection(Struct, frozen=True, kw_only=True):
    """The lines of a curtain in the plane across the tunnel, mm; left side.

    Parameters
    ----------
    channel, hip_edge, sill_top : Point
        The middle of the channel at the hip, the lower outer edge of the hip, the top outer edge
        of the sill board.
    sill_out, sill_up : Point
        Unit vectors out of the sill board's face, and up it.
    taut : tuple of Point
        The shut curtain from the channel to the sill board's edge, over what it lies on.
    shut : Point
        The axis of the roll tube when the curtain is shut.
    """

    channel: Point
    hip_edge: Point
    sill_top: Point
    sill_out: Point
    sill_up: Point
    taut: tuple[Point, ...]
    shut: Point

    @property
    def drop_mm(self) -> float:
        """Length of the taut curtain down to the sill board's edge, mm."""
        pairs = zip(self.taut, self.taut[1:], strict=False)
        return math.fsum(math.dist(a, b) for a, b in pairs)

    def opened(self, rolled_mm: float) -> Point:
        """The axis of the tube with a curtain of that diameter on it, rolled up under the hip."""
        x, z = self.hip_edge
        return (x - rolled_mm / 2, z - rolled_mm / 2 - _UNDER_HIP_MM)


def curtain_section(design: Design, arch: Arch, ground: GroundUnder | None) -> CurtainSection:
    """The section of the left side; with boards that follow the ground, at the lowest of them.

    Raises
    ------
    DesignError
        If the design has no side opening or no sill board to close.
    """
    curtain, opening, sill = _needed(design)
    hip = arch.point_at(arch.distance_at_height(opening.height))
    leg = arch.point_at(sill.bottom * math.cos(arch.leg_lean_rad))
    off, half, up = hip_sizes(design, opening)
    channel = _moved(hip, off, up)
    edge = _moved(hip, off, -half)
    face = design.socket.tube.od_mm / 2 + sill.timber.thickness_mm
    lowest, _ = rises_of(ground)
    top = _moved(leg, face, sill.timber.depth_mm + min(0.0, lowest))
    out, along = _out(leg), (math.cos(leg.heading_rad), math.sin(leg.heading_rad))
    radius, low = curtain.tube.od_mm / 2, curtain.overlap
    shut = (
        top[0] - low * along[0] + radius * out[0],
        top[1] - low * along[1] + radius * out[1],
    )
    return CurtainSection(
        channel=channel, hip_edge=edge, sill_top=top, sill_out=out, sill_up=along,
        taut=_taut(arch, (channel, edge, top)), shut=shut,
    )  # fmt: skip


def _needed(design: Design) -> tuple[Curtain, SideOpening, SillBoard]:
    curtain = present(design.curtain, "curtain")
    if design.side_opening is None:
        raise DesignError(
            "a curtain closes a side opening or a roll-up door, and there is neither; add "
            "[side_opening], make a door roll-up, or remove [curtain]",
            "curtain",
        )
    if design.sill_board is None:
        raise DesignError(
            "a curtain closes against a sill board, and there is none; add [sill_board] or remove "
            "[curtain]",
            "curtain",
        )
    return curtain, design.side_opening, design.sill_board


def hip_sizes(design: Design, opening: SideOpening) -> tuple[float, float, float]:
    """From the hoop's axis to the hip's outer face, half its height, and up to the channel; mm."""
    radius = design.hoop.tube.od_mm / 2
    if opening.hip is Hip.BOARD:
        deep = opening.timber.depth_mm
        # Above the bolts, which are in the middle.
        up = max(0.0, min(deep / 4, (deep - design.cover.channel_width) / 2))
        return radius + opening.timber.thickness_mm, deep / 2, up
    off = radius + opening.tube.od_mm
    if opening.fixing is Fixing.CLAMPED:
        off = axis_distance_mm(2 * radius, opening.tube.od_mm) + opening.tube.od_mm / 2
    return off, opening.tube.od_mm / 2, 0.0


def _out(at: ArchPoint) -> Point:
    return (-math.sin(at.heading_rad), math.cos(at.heading_rad))


def _moved(at: ArchPoint, out_mm: float, along_mm: float) -> Point:
    sin, cos = math.sin(at.heading_rad), math.cos(at.heading_rad)
    return (
        at.x_mm - out_mm * sin + along_mm * cos,
        at.z_mm + out_mm * cos + along_mm * sin,
    )


def _taut(arch: Arch, points: tuple[Point, Point, Point]) -> tuple[Point, ...]:
    """A string from the first point to the last, outside of the second and of the hoops."""
    first, edge, last = points
    curve = outer_half(arch)
    low, high = (
        distance_at_height(curve, min(max(z, 0.0), curve.end.z_mm)) for z in (last[1], first[1])
    )
    count = max(2, math.ceil((high - low) / _STEP_MM))
    face = [curve.point_at(low + (high - low) * k / count)[:2] for k in range(count + 1)]
    between = [p for p in (edge, *face) if last[1] < p[1] < first[1]]
    string: list[Point] = []
    # From the top down, each point that would lie inside of the string is left out.
    for point in [first, *sorted(between, key=lambda p: -p[1]), last]:
        while len(string) > 1 and _is_inside(string[-2], string[-1], point):
            string.pop()
        string.append(point)
    return tuple(string)


def _is_inside(a: Point, b: Point, c: Point) -> bool:
    """Whether ``b`` lies on the inner side of the line from ``a`` down to ``c``, or on it."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) <= 1e-9


def below_channel_mm(design: Design, arch: Arch, ground: GroundUnder | None) -> float:
    """Film over the hoops that a separate curtain takes the place of, at one side, mm.

    Along the outer face, from the film's foot to the channel at the hip.
    """
    if design.curtain is None or design.side_opening is None:
        return 0.0  # curtains of doors alone
    if design.curtain.hangs is Hangs.ONE_SHEET:
        return 0.0
    _, opening, _ = _needed(design)
    hip = arch.point_at(arch.distance_at_height(opening.height))
    _, _, up = hip_sizes(design, opening)
    curve = outer_half(arch)
    at = _moved(hip, arch.tube_od_mm / 2, up)
    foot = film_foot_mm(design, ground) * math.cos(arch.leg_lean_rad)
    return distance_at_height(curve, min(at[1], curve.end.z_mm)) - distance_at_height(curve, foot)
