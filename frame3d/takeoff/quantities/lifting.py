"""The NIOSH lifting equation, and how many hands share a mass.

The equation is for one person who lifts with both hands. That a mass shared evenly by
several may be as many times as large is our assumption, and it is shown with the result.

References
----------
T. R. Waters, V. Putz-Anderson, A. Garg, Applications Manual for the Revised NIOSH Lifting
Equation, DHHS (NIOSH) 94-110, 1994: load constant and multipliers, chapter 1.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.units import MM_PER_INCH, LengthFormat, UnitSystem

LOAD_CONSTANT_KG = 23.0
"""What an ideal lift may weigh, kg."""


def horizontal_factor(reach_cm: float) -> float:
    """HM = 25 / H for the distance of the hands from the ankles; 1 below 25 cm, 0 above 63."""
    if reach_cm > 63:
        return 0.0
    return 25 / max(reach_cm, 25.0)


def vertical_factor(height_cm: float) -> float:
    """VM = 1 - 0.003 |V - 75| for the height of the hands at the start; 0 above 175 cm."""
    if not 0 <= height_cm <= 175:
        return 0.0
    return 1 - 0.003 * abs(height_cm - 75)


def distance_factor(travel_cm: float) -> float:
    """DM = 0.82 + 4.5 / D for the way up; 1 below 25 cm, 0 above 175."""
    if travel_cm > 175:
        return 0.0
    return 0.82 + 4.5 / max(travel_cm, 25.0)


def angle_factor(turn_deg: float) -> float:
    """AM = 1 - 0.0032 A for the twist of the body; 0 above 135 degrees."""
    if not 0 <= turn_deg <= 135:
        return 0.0
    return 1 - 0.0032 * turn_deg


class Lift(Struct, frozen=True, kw_only=True):
    """What is assumed of a lift.

    Parameters
    ----------
    name : str
    reach_cm, height_cm, travel_cm : float
        H, V and D of the equation.
    turn_deg : float
        A of the equation.
    often, grip : float
        Multipliers FM, for how often, and CM, for how well it can be held.
    """

    name: str
    reach_cm: float
    height_cm: float
    travel_cm: float
    turn_deg: float = 0.0
    often: float = 1.0
    grip: float = 1.0

    @property
    def limit_kg(self) -> float:
        """The recommended weight limit for one person, kg."""
        return (
            LOAD_CONSTANT_KG
            * horizontal_factor(self.reach_cm)
            * vertical_factor(self.height_cm)
            * distance_factor(self.travel_cm)
            * angle_factor(self.turn_deg)
            * self.often
            * self.grip
        )

    def text(self, form: LengthFormat) -> str:
        """The assumptions and the limit, as one line, in the units of ``form``."""

        def say(length_cm: float) -> str:
            if form.system is UnitSystem.METRIC:
                return f"{length_cm:g} cm"
            return f"{10 * length_cm / MM_PER_INCH:.0f} in"

        return (
            f"{self.name}: hands {say(self.reach_cm)} ahead of the ankles (H), "
            f"{say(self.height_cm)} up at the start (V), lifted {say(self.travel_cm)} (D), "
            f"turn of {self.turn_deg:g} deg (A), FM {self.often:g}, CM {self.grip:g}: "
            f"{form.mass(self.limit_kg)} per person"
        )


CARRY = Lift(name="To pick up and carry", reach_cm=30.0, height_cm=25.0, travel_cm=50.0)
"""A tube off low bearers, up to the hanging hands, close to the body."""
RAISE = Lift(name="To raise", reach_cm=45.0, height_cm=25.0, travel_cm=150.0)
"""A hoop from low bearers up to head height, with the arms out."""


def hands_for(mass_kg: float, lift: Lift, least: int) -> int:
    """How many people share ``mass_kg``, at least ``least``."""
    return max(least, math.ceil(mass_kg / lift.limit_kg - 1e-9))
