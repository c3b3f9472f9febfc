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
LUG_MM, LUG_WIDE_MM, LUG_EDGE_MM, LUG_HOLES_MM = 6.0, 40.0, 20.0, 30.0
"""Of a ground anchor's lug: thickness, width, from a hole to an edge, between its holes."""
_PLATE_MM = 8.0
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


class GroundAnchor(Part, frozen=True, kw_only=True):
    """A rod with a plate near its foot, turned into the ground, and a lug at its head.

    Own axes: the rod along z, from 0 down; the lug lies above z = 0 and reaches along +x.

    Parameters
    ----------
    rod_mm, plate_mm : float
        Diameters.
    length_mm : float
        From the underside of the lug to the foot.
    hole_mm : float
        Of the lug's holes.
    """

    rod_mm: float
    plate_mm: float
    length_mm: float
    hole_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, rod_mm=snap_mm(self.rod_mm), plate_mm=snap_mm(self.plate_mm))
        put(self, length_mm=snap_mm(self.length_mm), hole_mm=snap_mm(self.hole_mm))

    @property
    def holes_x_mm(self) -> tuple[float, float]:
        """The lug's holes, from the rod's axis."""
        first = self.rod_mm / 2 + LUG_EDGE_MM
        return first, first + LUG_HOLES_MM

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Rod, plate and lug."""
        foot, half = self.length_mm, max(self.rod_mm, LUG_WIDE_MM) / 2
        long = self.holes_x_mm[1] + LUG_EDGE_MM
        lug = ((-half, -half), (long, -half), (long, half), (-half, half))
        return (
            TurnedProfile.bar(self.rod_mm, 0.0, foot - 2 * _PLATE_MM),
            TurnedProfile.bar(self.plate_mm, foot - 2 * _PLATE_MM, foot - _PLATE_MM),
            TurnedProfile.bar(self.rod_mm, foot - _PLATE_MM, foot),
            ExtrudedOutline(
                outline=lug, low_mm=-LUG_MM, high_mm=0.0,
                holes=tuple((x, 0.0, self.hole_mm) for x in self.holes_x_mm),
            ),
        )  # fmt: skip

    def words(self, say: Say) -> str:
        """Kind, diameters and length."""
        return (
            f"ground anchor, rod {say(self.rod_mm)}, plate {say(self.plate_mm)}, "
            f"{say(self.length_mm)} long"
        )
