"""The same parts modelled the plain way with cadquery, to measure against.

Every member is a workplane of its own, swept and bored one hole after another,
added to an assembly with its place, and exported. It is what a first script for
such a frame does; nothing in it is slow on purpose.
"""

from __future__ import annotations

import math
from pathlib import Path

import cadquery as cq

from frame3d.catalog.sections import Head
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import (
    Board,
    Bolt,
    ClampHalf,
    Nut,
    Part,
    Plate,
    Screw,
    Swage,
    Tube,
    Washer,
)
from frame3d.geometry.paths import Line, PlanePath, advance
from frame3d.geometry.placement import Placement


def model(part: Part) -> cq.Workplane:
    """``part`` in its own axes."""
    return _MODELS[type(part)](part)


def build(frame: Frame, folder: Path) -> list[Path]:
    """Model every member of ``frame`` and write ``naive.step`` and ``naive.stl``."""
    assembly = cq.Assembly(name="frame")
    for number, member in enumerate(frame.members):
        assembly.add(
            model(member.part),
            name=f"{member.mark} {number}",
            loc=location(member.placement),
            color=cq.Color("gray"),
        )
    step, stl = folder / "naive.step", folder / "naive.stl"
    assembly.export(str(step))
    cq.exporters.export(
        cq.Workplane(assembly.toCompound()), str(stl), tolerance=0.5, angularTolerance=0.1
    )
    return [step, stl]


def location(placement: Placement) -> cq.Location:
    """``placement`` as cadquery has it."""
    plane = cq.Plane(origin=placement.origin, xDir=placement.x, normal=placement.z)
    return cq.Location(plane)


def _wire(axis: PlanePath) -> cq.Workplane:
    path = cq.Workplane("XY").moveTo(0, 0)
    for (_, station), segment in zip(axis.starts, axis.segments, strict=True):
        end = advance(station, segment, segment.length_mm)
        if isinstance(segment, Line):
            path = path.lineTo(end.x_mm, end.y_mm)
        else:
            middle = advance(station, segment, segment.length_mm / 2)
            path = path.threePointArc((middle.x_mm, middle.y_mm), (end.x_mm, end.y_mm))
    return path


def _pipe(axis: PlanePath, outside: float, inside: float) -> cq.Workplane:
    return cq.Workplane("YZ").circle(outside).circle(inside).sweep(_wire(axis))


def _placed(part: cq.Workplane, axis: PlanePath, along: float) -> cq.Workplane:
    station = axis.at(along)
    moved = part.rotate((0, 0, 0), (0, 0, 1), math.degrees(station.heading_rad))
    return moved.translate((station.x_mm, station.y_mm, 0))


def _swaged(tube: Tube, swage: Swage, start: float, inward: bool) -> cq.Workplane:
    """Taper and reduced end; ``start`` is where the taper meets the body."""
    wall, small, full = tube.section.wall_mm, swage.od_mm / 2, tube.section.od_mm / 2
    sign = -1 if inward else 1
    end = start + sign * swage.taper_mm
    outer, inner = (
        cq.Workplane("YZ")
        .circle(full - t)
        .workplane(offset=sign * swage.taper_mm)
        .circle(small - t)
        .loft(ruled=True)
        for t in (0.0, wall)
    )
    taper = _placed(outer.cut(inner), tube.axis, start)
    low, high = sorted((end, end + sign * swage.length_mm))
    low, high = max(low, 0.0), min(high, tube.length_mm)
    reduced = _pipe(tube.axis.cut(low, high), small, small - wall)
    return taper.union(_placed(reduced, tube.axis, low))


def _tube(tube: Tube) -> cq.Workplane:
    outside, inside = tube.section.od_mm / 2, tube.section.inside_mm / 2
    low, high, ends = 0.0, tube.length_mm, []
    if tube.start:
        low = tube.start.length_mm + tube.start.taper_mm
        ends.append(_swaged(tube, tube.start, low, True))
    if tube.end:
        high -= tube.end.length_mm + tube.end.taper_mm
        ends.append(_swaged(tube, tube.end, high, False))
    body = _placed(_pipe(tube.axis.cut(low, high), outside, inside), tube.axis, low)
    for end in ends:
        body = body.union(end)
    for hole in tube.holes:
        bar = cq.Workplane("XZ").circle(hole.diameter_mm / 2).extrude(outside * 2, both=True)
        bar = bar.rotate((0, 0, 0), (1, 0, 0), math.degrees(hole.clock_rad))
        body = body.cut(_placed(bar, tube.axis, hole.at_mm))
    return body


def _board(board: Board) -> cq.Workplane:
    body = cq.Workplane("XY").box(
        board.length_mm, board.section.depth_mm, board.section.thickness_mm, centered=False
    )
    for hole in board.holes:
        bar = cq.Workplane("XY").center(hole.along_mm, hole.up_mm)
        body = body.cut(bar.circle(hole.diameter_mm / 2).extrude(board.section.thickness_mm))
    return body


def _plate(plate: Plate) -> cq.Workplane:
    body = cq.Workplane("XY").polyline(plate.outline).close().extrude(plate.thickness_mm)
    for x, y, diameter in plate.holes:
        bar = cq.Workplane("XY").center(x, y).circle(diameter / 2).extrude(plate.thickness_mm)
        body = body.cut(bar)
    return body


def _headed(flats: float, head: float, diameter: float, length: float) -> cq.Workplane:
    hexagon = cq.Workplane("XY").polygon(6, flats * 2 / math.sqrt(3)).extrude(-head)
    return hexagon.union(cq.Workplane("XY").circle(diameter / 2).extrude(length))


def _bolt(bolt: Bolt) -> cq.Workplane:
    size = bolt.size
    if size.head is Head.HEX:
        return _headed(size.flats_mm, size.head_height_mm, size.diameter_mm, bolt.length_mm)
    edge, height = size.flats_mm / 2, size.head_height_mm
    middle = ((edge**2 + height**2) / (2 * height)) * math.sin(math.atan(height / edge))
    x, radius = middle, (edge**2 + height**2) / (2 * height)
    z = radius - height - math.sqrt(radius**2 - x**2)
    dome = (
        cq.Workplane("XZ")
        .moveTo(0, 0)
        .lineTo(edge, 0)
        .threePointArc((x, z), (0, -height))
        .close()
        .revolve(360, (0, 0, 0), (0, 1, 0))
    )
    neck = cq.Workplane("XY").rect(size.diameter_mm, size.diameter_mm).extrude(bolt.neck_mm)
    shank = cq.Workplane("XY").circle(size.diameter_mm / 2).extrude(bolt.length_mm)
    return dome.union(neck).union(shank)


def _nut(nut: Nut) -> cq.Workplane:
    size = nut.size
    hexagon = cq.Workplane("XY").polygon(6, size.flats_mm * 2 / math.sqrt(3))
    body = hexagon.extrude(size.height_mm)
    return body.cut(cq.Workplane("XY").circle(size.diameter_mm / 2).extrude(size.height_mm))


def _washer(washer: Washer) -> cq.Workplane:
    size = washer.size
    ring = cq.Workplane("XY").circle(size.outside_mm / 2).circle(size.inside_mm / 2)
    return ring.extrude(size.thickness_mm)


def _screw(screw: Screw) -> cq.Workplane:
    return _headed(screw.flats_mm, screw.head_height_mm, screw.diameter_mm, screw.length_mm)


def _clamp(half: ClampHalf) -> cq.Workplane:
    outside = half.tube_od_mm / 2 + half.band_mm
    back, reach = half.gap_mm / 2 + half.band_mm, half.width_mm + half.boss_diameter_mm
    ring = cq.Workplane("YZ").circle(outside).extrude(half.width_mm / 2, both=True)
    ears = cq.Workplane("XY").box(half.width_mm, outside + half.ear_mm, 2 * back)
    ears = ears.translate((0, (outside + half.ear_mm) / 2, 0))
    boss = cq.Workplane("XY").circle(half.boss_diameter_mm / 2).extrude(half.face_mm)
    split = cq.Workplane("XY").box(reach, 4 * outside, half.gap_mm)
    split = split.translate((0, 2 * outside, 0))
    hole = cq.Workplane("XY").center(0, half.ear_bolt_mm).circle(half.bolt.hole_mm / 2)
    bore = cq.Workplane("YZ").circle(half.tube_od_mm / 2).extrude(reach, both=True)
    body = ring.union(ears).union(boss).cut(bore).cut(split)
    return body.cut(hole.extrude(back + 1, both=True))


_MODELS = {
    Tube: _tube,
    Board: _board,
    Plate: _plate,
    Bolt: _bolt,
    Nut: _nut,
    Washer: _washer,
    Screw: _screw,
    ClampHalf: _clamp,
}
