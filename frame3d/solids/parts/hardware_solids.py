"""Round bodies as solids: what is turned, and the split rings of couplers."""

from __future__ import annotations

import math

from OCP.TopoDS import TopoDS_Shape

from frame3d.errors import SolidError
from frame3d.frame.model.bodies import SplitRing, TurnedProfile
from frame3d.geometry.placement import UP
from frame3d.solids.kernel import kernel


def turned_shape(body: TurnedProfile) -> TopoDS_Shape:
    """The shape of ``body`` in its part's own axes, unchecked."""
    bore = body.bore_mm / 2
    corners = [(radius, z) for radius, z, _ in body.profile]
    middles = [
        (place.real, place.imag) if bulge else None
        for (place, _), (_, _, bulge) in zip(
            (piece(0.5) for piece in body.pieces), body.profile, strict=False
        )
    ]
    inside = [(bore, body.high_mm), (bore, body.low_mm)]
    return kernel.turned([*corners, *inside], [*middles, None, None, None])


def split_ring_shape(half: SplitRing) -> TopoDS_Shape:
    """The shape of a clamp half: split ring, boss with its half of the rivet, bored ears.

    Raises
    ------
    SolidError
        If the boss is wider than the tube or runs into the ears, or the ears are
        too short for their bolt.
    """
    _refuse_ring(half)
    inside, wide = half.tube_od_mm / 2, half.width_mm / 2
    outside, tip = half.ring_mm, half.tip_mm
    slit, back = half.gap_mm / 2, half.back_mm
    ring = kernel.cylinder((-wide, 0, 0), (1, 0, 0), outside, half.width_mm)
    ears = kernel.box((-wide, 0, -back), (wide, tip, back))
    boss = kernel.cylinder((0, 0, 0), UP, half.boss_diameter_mm / 2, half.face_mm)
    reach = max(wide, half.boss_diameter_mm / 2) + 1
    bore = kernel.cylinder((-reach, 0, 0), (1, 0, 0), inside, 2 * reach)
    split = kernel.box((-reach, 0, -slit), (reach, tip + 1, slit))
    hole = kernel.cylinder(
        (0, half.ear_bolt_mm, -back - 1), UP, half.bolt.hole_mm / 2, 2 * (back + 1)
    )
    return kernel.cut(kernel.fuse(ring, [ears, boss]), [bore, split, hole])


def _refuse_ring(half: SplitRing) -> None:
    outside, back = half.ring_mm, half.back_mm
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
