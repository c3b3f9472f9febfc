"""What no tube can be, told before the kernel would make nonsense of it."""

from __future__ import annotations

import math

from frame3d.errors import SolidError
from frame3d.frame.measure.measures import PRESSED, ProfileStretch, radii_at, stretches
from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.frame.model.end_forms import Flat, Swage, flat_width_mm, overhang_mm
from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc


def refuse(tube: SweptRing) -> None:
    """Refuse what the kernel would make nonsense of.

    Raises
    ------
    SolidError
        If the swages or flats of ``tube`` cannot be drawn, or a hole does not lie on it.
    """
    for end in (tube.start, tube.end):
        if isinstance(end, Swage):
            _refuse_swage(end, tube.section.wall_mm)
        elif isinstance(end, Flat) and not min(end.length_mm, end.transition_mm) > NEGLIGIBLE_MM:
            raise SolidError(
                f"a flat needs a length and a transition longer than 0 mm, got {end.length_mm} "
                f"and {end.transition_mm} mm"
            )
    if any(s.end_mm - s.start_mm <= NEGLIGIBLE_MM for s in stretches(tube)):
        raise SolidError(
            f"the swages, flats and tapers do not fit on a tube of {tube.length_mm} mm; "
            "make it longer or them shorter"
        )
    _refuse_bent_flats(tube)
    _refuse_slants(tube)
    for hole in tube.holes:
        _refuse_hole(tube, hole)


def _refuse_swage(swage: Swage, wall_mm: float) -> None:
    if not swage.taper_mm > NEGLIGIBLE_MM:
        raise SolidError(f"a swage needs a taper longer than 0 mm, got {swage.taper_mm} mm")
    if not swage.od_mm > 2 * wall_mm:
        raise SolidError(
            f"a swage of {swage.od_mm} mm leaves no bore in a wall of "
            f"{wall_mm} mm; it must be wider than two walls"
        )


def _refuse_bent_flats(tube: SweptRing) -> None:
    for stretch in stretches(tube):
        if stretch.kind not in PRESSED:
            continue
        pieces = tube.axis.cut(stretch.start_mm, stretch.end_mm).segments
        if any(isinstance(piece, Arc) for piece in pieces):
            raise SolidError(
                f"a tube is flattened only where it is straight; from {stretch.start_mm} to "
                f"{stretch.end_mm} mm it bends, so make the straight end longer"
            )


def _refuse_slants(tube: SweptRing) -> None:
    for end in (tube.start, tube.end):
        if not isinstance(end, Flat):
            continue
        over = overhang_mm(tube.section, end)
        if over > 0 and over > end.length_mm - NEGLIGIBLE_MM:
            most = math.atan(end.length_mm * 2 / flat_width_mm(tube.section))
            raise SolidError(
                f"a flat of {end.length_mm} mm cut at an angle of "
                f"{math.degrees(abs(end.slant_rad)):.2f}° would be cut {over:.3f} mm back "
                "at its short edge, past the flat; make it longer than that, or the slant "
                f"less than {math.degrees(most):.2f}°"
            )


def _refuse_hole(tube: SweptRing, hole: Hole) -> None:
    if not 0 < hole.at_mm < tube.length_mm:
        raise SolidError(f"a hole at {hole.at_mm} mm is not on a tube of {tube.length_mm} mm")
    in_flat = any(
        s.kind is ProfileStretch.FLAT and s.start_mm <= hole.at_mm <= s.end_mm
        for s in stretches(tube)
    )
    bore = radii_at(tube, hole.at_mm)[1]
    # The straight part of a flat is half the bore's circumference wide, see Flat.
    limit = math.pi * (tube.section.od_mm / 2 - tube.section.wall_mm) if in_flat else 2 * bore
    if not hole.diameter_mm < limit:
        raise SolidError(
            f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm goes right across "
            f"{'the flat' if in_flat else 'the tube'}; it must be narrower than {limit:.2f} mm"
        )
    reach = hole.diameter_mm / 2
    for end, to_end_mm in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(end, Flat) and to_end_mm * math.cos(end.slant_rad) <= reach:
            raise SolidError(
                f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm runs out of the end of the "
                "flat; drill it farther in"
            )
    for stretch in stretches(tube):
        low, high = stretch.start_mm - reach, stretch.end_mm + reach
        if stretch.kind is ProfileStretch.TRANSITION and low < hole.at_mm < high:
            raise SolidError(
                f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm runs into where the tube is "
                f"pressed, from {stretch.start_mm} to {stretch.end_mm} mm; drill the flat or "
                "the round tube"
            )
