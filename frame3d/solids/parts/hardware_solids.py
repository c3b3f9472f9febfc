"""Bolts, nuts, washers, screws and clamps as solids.

Threads are not cut: a shank is a plain bar of the nominal diameter, and so is the
hole of a nut.
"""

from __future__ import annotations

import math

from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Ax2, gp_Pnt
from OCP.TopoDS import TopoDS_Shape, TopoDS_Wire

from frame3d.catalog.sections import Head
from frame3d.errors import SolidError
from frame3d.frame.measure.measures import neck_mm
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Screw, Washer
from frame3d.solids.kernel import kernel

_UP = (0.0, 0.0, 1.0)
_OUT = (1.0, 0.0, 0.0)


def bolt_shape(bolt: Bolt) -> TopoDS_Shape:
    """The shape of ``bolt``: hexagon head, or dome and square neck, and its shank."""
    size = bolt.size
    if size.head is Head.HEX:
        return _headed(size.flats_mm, size.head_height_mm, size.diameter_mm, bolt.length_mm)
    neck, half = neck_mm(bolt), size.diameter_mm / 2
    pieces = [kernel.box((-half, -half, 0.0), (half, half, neck))]
    if bolt.length_mm > neck:
        pieces.append(kernel.cylinder((0, 0, neck), _UP, half, bolt.length_mm - neck))
    return kernel.fuse(_dome(size.flats_mm / 2, size.head_height_mm), pieces)


def nut_shape(nut: Nut) -> TopoDS_Shape:
    """The shape of ``nut``: a hexagon with a plain hole."""
    size = nut.size
    hole = kernel.circle((0, 0, 0), _UP, _OUT, size.diameter_mm / 2)
    face = kernel.flat_face(_hexagon(size.flats_mm, 0.0), [hole])
    return kernel.raised(face, size.height_mm)


def washer_shape(washer: Washer) -> TopoDS_Shape:
    """The shape of ``washer``: a flat ring."""
    size = washer.size
    rim = kernel.circle((0, 0, 0), _UP, _OUT, size.outside_mm / 2)
    hole = kernel.circle((0, 0, 0), _UP, _OUT, size.inside_mm / 2)
    return kernel.raised(kernel.flat_face(rim, [hole]), size.thickness_mm)


def screw_shape(screw: Screw) -> TopoDS_Shape:
    """The shape of ``screw``: hexagon head and plain shank."""
    return _headed(screw.flats_mm, screw.head_height_mm, screw.diameter_mm, screw.length_mm)


def clamp_shape(half: ClampHalf) -> TopoDS_Shape:
    """The shape of a clamp half: split ring, boss with its half of the rivet, bored ears.

    Raises
    ------
    SolidError
        If the boss is wider than the tube or runs into the ears, or the ears are
        too short for their bolt.
    """
    _refuse_clamp(half)
    inside, wide = half.tube_od_mm / 2, half.width_mm / 2
    outside, tip = inside + half.band_mm, inside + half.band_mm + half.ear_mm
    slit, back = half.gap_mm / 2, half.gap_mm / 2 + half.band_mm
    ring = kernel.cylinder((-wide, 0, 0), (1, 0, 0), outside, half.width_mm)
    ears = kernel.box((-wide, 0, -back), (wide, tip, back))
    boss = kernel.cylinder((0, 0, 0), _UP, half.boss_diameter_mm / 2, half.face_mm)
    reach = max(wide, half.boss_diameter_mm / 2) + 1
    bore = kernel.cylinder((-reach, 0, 0), (1, 0, 0), inside, 2 * reach)
    split = kernel.box((-reach, 0, -slit), (reach, tip + 1, slit))
    hole = kernel.cylinder(
        (0, half.ear_bolt_mm, -back - 1), _UP, half.bolt.hole_mm / 2, 2 * (back + 1)
    )
    return kernel.cut(kernel.fuse(ring, [ears, boss]), [bore, split, hole])


def _refuse_clamp(half: ClampHalf) -> None:
    outside = half.tube_od_mm / 2 + half.band_mm
    back = half.gap_mm / 2 + half.band_mm
    boss = half.boss_diameter_mm / 2
    if half.boss_diameter_mm > half.tube_od_mm:
        raise SolidError(
            f"a boss of {half.boss_diameter_mm} mm is wider than the tube of "
            f"{half.tube_od_mm} mm that it stands on; make it narrower"
        )
    if back >= outside or math.sqrt(outside**2 - back**2) < boss:
        raise SolidError(
            f"a boss of {half.boss_diameter_mm} mm runs into the ears of a clamp for a tube of "
            f"{half.tube_od_mm} mm; make the boss, the gap or the band smaller"
        )
    if half.ear_mm <= half.bolt.hole_mm:
        raise SolidError(
            f"ears of {half.ear_mm} mm are too short for a hole of {half.bolt.hole_mm} mm; "
            "make them longer than the hole is wide"
        )


def _headed(flats_mm: float, head_mm: float, diameter_mm: float, length_mm: float) -> TopoDS_Shape:
    """A hexagon head below z = 0 with a plain shank above."""
    head = kernel.raised(kernel.flat_face(_hexagon(flats_mm, -head_mm)), head_mm)
    return kernel.fuse(head, [kernel.cylinder((0, 0, 0), _UP, diameter_mm / 2, length_mm)])


def _hexagon(flats_mm: float, z_mm: float) -> TopoDS_Wire:
    """A hexagon whose flats face ±y."""
    corner = flats_mm / math.sqrt(3)
    angles = [k * math.pi / 3 for k in range(6)]
    return kernel.polygon([(corner * math.cos(a), corner * math.sin(a), z_mm) for a in angles])


def _dome(edge_mm: float, height_mm: float) -> TopoDS_Shape:
    """A cap of a sphere below z = 0, ``edge_mm`` in radius there."""
    radius = (edge_mm**2 + height_mm**2) / (2 * height_mm)
    axes = gp_Ax2(gp_Pnt(0, 0, radius - height_mm), kernel.UP)
    rim = math.asin((height_mm - radius) / radius)
    return BRepPrimAPI_MakeSphere(axes, radius, -math.pi / 2, rim).Shape()
