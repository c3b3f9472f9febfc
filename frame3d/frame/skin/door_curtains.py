"""Curtains of roll-up doors in figures: film between a tube over the header and a bar below it.

The tube turns in its bearings and winds the film up; the bar keeps the film straight. Nothing here
is about wind: film under wind is for its supplier.

Glossary
--------
bar : the tube in the lower hem of a door's curtain.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.whole_design import Design, End, Hand
from frame3d.errors import present
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening, RollTube
from frame3d.frame.skin.curtain_figures import GRAVITY, rolled_diameter_mm, twist_rad

_BESIDE_ARM_MM = 5.0
"""From the film to the arms of the guides, and from the bar to the reveals (common practice)."""
_ABOVE_GROUND_MM = 10.0
"""Under the bar of a shut curtain (common practice, no source)."""
_UNDER_ROLL_MM = 5.0
"""From the roll to the bar of an open curtain (common practice, no source)."""


CRANK_OUT_MM = 40.0
"""From the end of the tube to the axis of the crank that hangs there (common practice)."""


class DoorCurtain(Struct, frozen=True, kw_only=True):
    """The curtain of one roll-up door.

    Parameters
    ----------
    door : DoorOpening
    roll : RollTube
    width_mm : float
        Of the film, whose edges run behind the guides.
    bar_mm : float
        Length of the bar, which rises between the guides.
    shut_z_mm, open_z_mm : float
        Heights of the bar's axis, shut and open.
    film_mm : float
        Length of the film, with a turn round the tube and one round the bar.
    rolled_mm : float
        Diameter of the roll when the door is open.
    turns : float
        From shut to open.
    tube_kg, bar_kg, film_kg : float
    torque_nm, force_n : float
        The most at the tube on the way up, and square to the crank at its handle; friction not
        counted.
    twist_rad : float
        By how much the far end of the tube lags behind.
    crank_x_mm : float
        The end of the tube that the crank is on.
    """

    door: DoorOpening
    roll: RollTube
    width_mm: float
    bar_mm: float
    shut_z_mm: float
    open_z_mm: float
    film_mm: float
    rolled_mm: float
    turns: float
    tube_kg: float
    bar_kg: float
    film_kg: float
    torque_nm: float
    force_n: float
    twist_rad: float
    crank_x_mm: float

    @property
    def hangs_mm(self) -> float:
        """From the axis of the tube to that of the bar when the door is shut, mm."""
        return self.roll.z_mm - self.shut_z_mm

    @property
    def film_y_mm(self) -> float:
        """Where the film hangs along the tunnel: on the side of the tube that is at the wall."""
        return self.roll.y_mm - self.roll.out * self.roll.section.od_mm / 2


def door_curtains(frame: Frame) -> tuple[DoorCurtain, ...]:
    """Those of all roll-up doors; none where the design has no table of curtains."""
    found = (door_curtain(frame.design, door) for door in frame.doors)
    return tuple(one for one in found if one is not None)


def door_curtain(design: Design, door: DoorOpening) -> DoorCurtain | None:
    """The curtain of a door; None where it does not roll up or the design has no curtains."""
    curtain, roll = design.curtain, door.roll
    if curtain is None or roll is None:
        return None
    bar, tube, thick = curtain.tube, roll.section, curtain.film_thickness
    width = roll.between_mm[1] - roll.between_mm[0] - 2 * _BESIDE_ARM_MM
    shut = door.bottom_mm + _ABOVE_GROUND_MM + bar.od_mm / 2
    opened, rolled = wound_at(roll.z_mm, shut, tube.od_mm, bar.od_mm, thick)
    hangs = roll.z_mm - shut
    film = hangs + math.pi * (tube.od_mm + bar.od_mm)
    film_kg = hangs * width * thick * curtain.film_density * 1e-9
    bar_mm = door.width_mm - 2 * _BESIDE_ARM_MM
    bar_kg = bar.mass_kg_per_m * bar_mm / 1000
    # Of the film only what hangs pulls at the tube.
    torque = most_torque_nmm(bar_kg, film_kg, hangs, opened - shut, tube.od_mm, thick)
    long = roll.end_x_mm - roll.start_x_mm
    return DoorCurtain(
        door=door, roll=roll, width_mm=width, bar_mm=bar_mm, shut_z_mm=shut, open_z_mm=opened,
        film_mm=film, rolled_mm=rolled, turns=(rolled - tube.od_mm) / (2 * thick),
        tube_kg=tube.mass_kg_per_m * long / 1000, bar_kg=bar_kg, film_kg=film_kg,
        torque_nm=torque / 1000, force_n=torque / curtain.crank_radius,
        twist_rad=twist_rad(torque, long, tube.od_mm, tube.inside_mm),
        crank_x_mm=_crank_x(design, door, roll),
    )  # fmt: skip


def wound_at(
    tube_z_mm: float, shut_z_mm: float, tube_mm: float, bar_mm: float, thick_mm: float
) -> tuple[float, float]:
    """Height of the bar under the roll of an open door, and the roll's diameter, mm.

    What is wound is what the bar has risen: a quadratic in the diameter.
    """
    # D² = d² + 4 t (z - shut) / π, with z = tube - D/2 - bar/2 - gap.
    share = 4 * thick_mm / math.pi
    rise = tube_z_mm - bar_mm / 2 - _UNDER_ROLL_MM - shut_z_mm
    half = share / 4
    rolled = -half + math.sqrt(half**2 + tube_mm**2 + share * max(0.0, rise))
    return tube_z_mm - rolled / 2 - bar_mm / 2 - _UNDER_ROLL_MM, rolled


def most_torque_nmm(
    bar_kg: float, film_kg: float, hangs_mm: float, wound_mm: float, tube_mm: float, thick_mm: float
) -> float:
    """The most that the tube takes while a door is wound up, N mm.

    The film that hangs gets less while the roll grows: (bar + film (1 - s/L)) g D(s)/2 over the
    length s that is wound, which has one place at most where it is level.
    """
    each = film_kg / hangs_mm

    def torque(wound: float) -> float:
        kg = bar_kg + film_kg - each * wound
        return kg * GRAVITY * rolled_diameter_mm(tube_mm, wound, thick_mm) / 2

    # d/ds of the above is 0 where m (d² + 4ts/π) = (B + mL - ms) 2t/π.
    level = ((bar_kg + film_kg) / each * 2 * thick_mm / math.pi - tube_mm**2) / (
        6 * thick_mm / math.pi
    )
    places = (0.0, min(max(level, 0.0), wound_mm), wound_mm)
    return max(torque(place) for place in places)


def _crank_x(design: Design, door: DoorOpening, roll: RollTube) -> float:
    """The end of the tube at the door's hand, as seen from outside."""
    number = int(door.where.partition("[")[2].rstrip("]") or 1)
    hand = present(design.door[number - 1], "door").hand
    at_left = (hand is Hand.LEFT) is (door.end is End.FRONT)
    return roll.start_x_mm if at_left else roll.end_x_mm
