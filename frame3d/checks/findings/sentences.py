"""How findings speak of lengths, doors and members."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening, door_name
from frame3d.units import LengthText, Numbers, compared


def lengths(frame: Frame) -> LengthText:
    """What writes a length in mm the way the design wants it, unit included."""
    return LengthText(lengths_of(frame))


def numbers(
    frame: Frame,
    required: float,
    provided: float,
    *,
    unit: str = "mm",
    is_most: bool = False,
    fine: bool = False,
) -> Numbers:
    """Texts of what a finding requires and provides, the same in its sentence as in its figures."""
    return compared(
        required, provided, form=lengths_of(frame), unit=unit, is_most=is_most, fine=fine
    )


def place_of(member: Member) -> str:
    """A member by its mark and its place in the grid: ``B1, left, hoops 2 to 4``."""
    spot = member.spot
    hoops = f"hoop {spot.hoop}"
    if spot.to_hoop is not None and spot.to_hoop != spot.hoop:
        low, high = sorted((spot.hoop, spot.to_hoop))
        hoops = f"hoops {low} to {high}"
    return f"{member.mark}, {spot.side.value}, {hoops}"


def name_of(frame: Frame, door: DoorOpening) -> str:
    """A door of ``frame`` by its end: ``front door``."""
    return door_name(frame.doors, door)
