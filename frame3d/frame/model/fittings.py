"""Bought things of the curtains: rings round a tube, eyes, cranks and gear boxes.

Their shapes are plain and their sizes over all are true; what a supplier sells looks otherwise.
"""

from __future__ import annotations

import math
from typing import ClassVar

from frame3d.frame.model.bodies import Body, ExtrudedOutline, TurnedProfile
from frame3d.frame.model.parts import Part, Say
from frame3d.frame.model.snapping import put, snap_mm

_CORNERS = 12
"""Of what is round and off the axis."""
_SHAFT_MM, _ARM_MM, _GRIP_MM = 16.0, 8.0, 30.0
_SHAFT_LONG_MM, _GRIP_LONG_MM = 60.0, 120.0
_CAP_MM, _COLLAR_MM = 8.0, 80.0
BOX_MM = 100.0
"""A side of a gear box, across the tube and along it."""


class Ring(Part, frozen=True, kw_only=True):
    """A ring. Own axes: hole along z, from 0 to its length."""

    is_bought: ClassVar[bool] = True
    name: str
    outside_mm: float
    bore_mm: float
    length_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, outside_mm=snap_mm(self.outside_mm), bore_mm=snap_mm(self.bore_mm))
        put(self, length_mm=snap_mm(self.length_mm))

    @property
    def bodies(self) -> tuple[Body, ...]:
        """A plain ring."""
        return (TurnedProfile.bar(self.outside_mm, 0.0, self.length_mm, self.bore_mm),)

    def words(self, say: Say) -> str:
        """Its name, and the size of its hole."""
        return f"{self.name}, {say(self.bore_mm)} inside"


class CrankHandle(Part, frozen=True, kw_only=True):
    """A crank that is put over the end of a tube, by itself or through a gear box.

    Own axes: the tube's axis along z; it ends at z = 0 and lies below. The arm points along +x.

    Parameters
    ----------
    tube_od_mm, radius_mm : float
    shaft_mm : float
        Of a jointed shaft before the crank, drawn straight; 0 for none.
    box : bool
        Whether there is a gear box between the tube and the crank.
    """

    is_bought: ClassVar[bool] = True
    tube_od_mm: float
    radius_mm: float
    shaft_mm: float = 0.0
    box: bool = False

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, tube_od_mm=snap_mm(self.tube_od_mm), radius_mm=snap_mm(self.radius_mm))
        put(self, shaft_mm=snap_mm(self.shaft_mm))

    @property
    def arm_mm(self) -> float:
        """From the end of the tube to the arm, mm."""
        return _CAP_MM + (BOX_MM if self.box else 0.0) + _SHAFT_LONG_MM + self.shaft_mm

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Collar, cap, box, shaft, arm and grip, one before the other."""
        wide = self.tube_od_mm + 8.0
        found: list[Body] = [
            TurnedProfile.bar(wide, -_COLLAR_MM, 0.0, self.tube_od_mm),
            TurnedProfile.bar(wide, 0.0, _CAP_MM),
        ]
        at = _CAP_MM
        if self.box:
            half = BOX_MM / 2
            square = ((-half, -half), (half, -half), (half, half), (-half, half))
            found.append(ExtrudedOutline(outline=square, low_mm=at, high_mm=at + BOX_MM))
            at += BOX_MM
        arm = self.arm_mm
        low, high, half = -_GRIP_MM / 2, self.radius_mm + _GRIP_MM / 2, _GRIP_MM / 2
        found += [
            TurnedProfile.bar(_SHAFT_MM, at, arm),
            ExtrudedOutline(
                outline=((low, -half), (high, -half), (high, half), (low, half)),
                low_mm=arm, high_mm=arm + _ARM_MM,
            ),
            ExtrudedOutline(
                outline=self._grip(), low_mm=arm + _ARM_MM, high_mm=arm + _ARM_MM + _GRIP_LONG_MM
            ),
        ]  # fmt: skip
        return tuple(found)

    def _grip(self) -> tuple[tuple[float, float], ...]:
        turns = (2 * math.pi * k / _CORNERS for k in range(_CORNERS))
        return tuple(
            (
                snap_mm(self.radius_mm + 0.45 * _GRIP_MM * math.cos(turn)),
                snap_mm(0.45 * _GRIP_MM * math.sin(turn)),
            )
            for turn in turns
        )

    def words(self, say: Say) -> str:
        """Kind, radius, and the tube that it is for."""
        kind = "gear box with crank" if self.box else "hand crank"
        shaft = f", jointed shaft {say(self.shaft_mm)}" if self.shaft_mm else ""
        return f"{kind}, radius {say(self.radius_mm)}{shaft}, for {say(self.tube_od_mm)} tube"
