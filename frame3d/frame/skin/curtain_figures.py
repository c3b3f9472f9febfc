"""Curtains in figures: lengths, the roll, what it takes to turn it, cords.

Nothing here is about wind: film under wind is for its supplier.

Glossary
--------
roll : the tube with the film that is wound on it.
"""

from __future__ import annotations

import itertools
import math

from msgspec import Struct

from frame3d.design.tables.curtain import Hangs, Winder
from frame3d.design.tables.whole_design import Design, End
from frame3d.errors import present
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import SideVent
from frame3d.frame.model.roles import Grid
from frame3d.frame.skin.curtain_section import CurtainSection, curtain_section
from frame3d.geometry.arch.arch import Arch

GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s² (ISO 80000-3)."""
_SHEAR_MPA = 81_000.0
"""Shear modulus of steel, N/mm² (EN 1993-1-1, 3.2.6)."""
_IN_CHANNEL_MM = 100.0
"""Film that the channel at the hip takes (common practice, no source)."""
_TIED_MM = 500.0
"""Cord at each end to tie it with (common practice, no source)."""
_PAST_BOARDS_MM = 120.0
"""How far the tube stands past the ends of the boards where it is wound (common practice)."""


class Curtains(Struct, frozen=True, kw_only=True):
    """The curtains of both sides, which are alike.

    Parameters
    ----------
    section : CurtainSection
    film_span_mm, tube_span_mm : (float, float)
        Where film and tube begin and end along the tunnel.
    hangs_mm : float
        From the channel to the tube, along the shut curtain.
    across_mm : float
        Film of one curtain from edge to edge, with what tube and channel take.
    rolled_mm : float
        Diameter of the roll when the side is open.
    turns : float
        Of the tube, from shut to open.
    tube_kg, film_kg : float
    torque_nm : float
        At the tube when the roll is largest; friction not counted.
    crank_torque_nm, crank_force_n : float
        At the crank, and square to it at its handle.
    crank_turns : float
    twist_rad : float
        By how much the far end of the tube lags behind.
    cord : tuple of (float, bool)
        Eyes of one side's cord: place along the tunnel, and whether at the hip.
    cord_mm : float
        Length of one side's cord.
    """

    section: CurtainSection
    film_span_mm: tuple[float, float]
    tube_span_mm: tuple[float, float]
    hangs_mm: float
    across_mm: float
    rolled_mm: float
    turns: float
    tube_kg: float
    film_kg: float
    torque_nm: float
    crank_torque_nm: float
    crank_force_n: float
    crank_turns: float
    twist_rad: float
    cord: tuple[tuple[float, bool], ...]
    cord_mm: float

    @property
    def film_mm(self) -> float:
        """Length of one curtain along the tunnel, mm."""
        return self.film_span_mm[1] - self.film_span_mm[0]

    @property
    def tube_mm(self) -> float:
        """Length of one roll tube, mm."""
        return self.tube_span_mm[1] - self.tube_span_mm[0]


def rolled_diameter_mm(tube_mm: float, film_mm: float, thickness_mm: float) -> float:
    """Diameter of a roll: the area of the film's edge lies round the tube.

    π/4 (D² - d²) = t L for a film of length L and thickness t on a tube of diameter d.

    Examples
    --------
    >>> round(rolled_diameter_mm(32.0, 1300.0, 0.15), 2)
    35.67
    """
    return math.sqrt(tube_mm**2 + 4 * thickness_mm * film_mm / math.pi)


def twist_rad(torque_nmm: float, length_mm: float, od_mm: float, inside_mm: float) -> float:
    """Twist of a tube turned at one end with a load even along it: T L / (2 G J).

    J = π/32 (D⁴ - d⁴) (any text on the strength of materials).
    """
    polar = math.pi / 32 * (od_mm**4 - inside_mm**4)
    return torque_nmm * length_mm / (2 * _SHEAR_MPA * polar)


def film_span(design: Design, arch: Arch, grid: Grid, vent: SideVent) -> tuple[float, float]:
    """Where a curtain begins and ends along the tunnel, mm: in its pockets, not past the hoops."""
    pocket, half = present(design.curtain, "curtain").pocket, arch.tube_od_mm / 2
    return (
        max(vent.start_y_mm - pocket, -half),
        min(vent.end_y_mm + pocket, grid.length_mm + half),
    )


def tube_span(design: Design, arch: Arch, grid: Grid, vent: SideVent) -> tuple[float, float]:
    """Where a roll tube begins and ends along the tunnel, mm: past the boards where it is wound."""
    low, high = film_span(design, arch, grid, vent)
    sill = present(design.sill_board, "sill board")
    past = max(sill.overhang, present(design.side_opening, "opening").overhang) + _PAST_BOARDS_MM
    if present(design.curtain, "curtain").winder_end is End.FRONT:
        return (-past, high)
    return (low, grid.length_mm + past)


def cord_points(design: Design, grid: Grid, vent: SideVent) -> tuple[tuple[float, bool], ...]:
    """Eyes of a cord at the hoops of an opening, by turns at sill and hip."""
    every = present(design.curtain, "curtain").cord_every
    there = [y for y in grid.hoop_y_mm if vent.start_y_mm <= y <= vent.end_y_mm]
    return tuple((y, number % 2 == 1) for number, y in enumerate(there[::every]))


def curtains_of(frame: Frame) -> Curtains | None:
    """The curtains of ``frame``; None where it has none."""
    design = frame.design
    if design.curtain is None or not frame.vents:
        return None
    curtain, vent = design.curtain, frame.vents[0]
    section = curtain_section(design, frame.arch, frame.ground)
    tube, thick = curtain.tube, curtain.film_thickness
    hangs = section.drop_mm + curtain.overlap
    film = film_span(design, frame.arch, frame.grid, vent)
    span = tube_span(design, frame.arch, frame.grid, vent)
    rolled = rolled_diameter_mm(tube.od_mm, hangs, thick)
    tube_kg = tube.mass_kg_per_m * (span[1] - span[0]) / 1000
    film_kg = hangs * (film[1] - film[0]) * thick * curtain.film_density * 1e-9
    torque = (tube_kg + film_kg) * GRAVITY * rolled / 2 / 1000
    ratio = curtain.gear_ratio if curtain.winder is Winder.GEAR else 1.0
    turns = (rolled - tube.od_mm) / (2 * thick)
    cord = cord_points(design, frame.grid, vent)
    high = math.dist(section.hip_edge, section.sill_top)
    bound = math.pi * tube.od_mm
    return Curtains(
        section=section, film_span_mm=film, tube_span_mm=span, hangs_mm=hangs,
        across_mm=hangs + bound + (_IN_CHANNEL_MM if curtain.hangs is Hangs.SEPARATE else 0.0),
        rolled_mm=rolled, turns=turns, tube_kg=tube_kg, film_kg=film_kg, torque_nm=torque,
        crank_torque_nm=torque / ratio,
        crank_force_n=torque / ratio / (curtain.crank_radius / 1000),
        crank_turns=turns * ratio,
        twist_rad=twist_rad(torque * 1000, span[1] - span[0], tube.od_mm, tube.inside_mm),
        cord=cord,
        cord_mm=math.fsum(
            math.hypot(b - a, high) for (a, _), (b, _) in itertools.pairwise(cord)
        ) + (2 * _TIED_MM if len(cord) > 1 else 0.0),
    )  # fmt: skip
