"""How findings speak of lengths, doors and members."""

from __future__ import annotations

from frame3d.frame.clear import DoorOpening
from frame3d.frame.members import Frame, Member
from frame3d.frame.plan import Say
from frame3d.units import LengthFormat


def lengths(frame: Frame) -> Say:
    """What writes a length in mm the way the design wants it, unit included."""
    output = frame.design.output
    form = LengthFormat(
        system=output.units, denominator=output.fraction, decimals=output.decimals
    )

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    return say


def place_of(member: Member) -> str:
    """A member by its mark and its place in the grid: ``B1, left, hoops 2 to 4``."""
    spot = member.spot
    hoops = f"hoop {spot.hoop}"
    if spot.to_hoop is not None and spot.to_hoop != spot.hoop:
        low, high = sorted((spot.hoop, spot.to_hoop))
        hoops = f"hoops {low} to {high}"
    return f"{member.mark}, {spot.side.value}, {hoops}"


def name_of(door: DoorOpening) -> str:
    """A door by its table and its end: ``door[1], front``."""
    return f"{door.where}, {door.end.value}"


__all__ = ["lengths", "name_of", "place_of"]
