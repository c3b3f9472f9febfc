"""Clear openings: what is left open of a frame for people, machines and air.

They follow from the design like the members do and are kept with them, so that
checks, sheets and lists speak of the same openings.

Glossary
--------
clear : between the finished faces that bound an opening, not between centres.
reveal : the face of a jamb that looks into the opening.
leaf : the part of a door that moves.
pin : the axis that a hinged leaf turns about.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from frame3d.catalog.sections import TubeSection
from frame3d.design.tables.whole_design import DoorKind, End, Swing
from frame3d.errors import present
from frame3d.frame.model.roles import Side


class Leaf(Struct, frozen=True, kw_only=True):
    """One leaf of a door, in the frame's axes, mm.

    Parameters
    ----------
    low_x_mm, high_x_mm : float
        Its edges across the tunnel when it is shut.
    bottom_mm, top_mm : float
        Its heights above the ground.
    near_y_mm, far_y_mm : float
        Its faces along the tunnel when it is shut, the lower one first.
    pin_x_mm : float or None
        Of a hinged leaf: the edge that it hangs at.
    axis_mm : (float, float) or None
        X and Y of the pin that a hinged leaf turns about.
    slide_mm : float
        How far a sliding leaf moves along +x to be open; 0 for a hinged one.
    """

    low_x_mm: float
    high_x_mm: float
    bottom_mm: float
    top_mm: float
    near_y_mm: float
    far_y_mm: float
    pin_x_mm: float | None = None
    axis_mm: tuple[float, float] | None = None
    slide_mm: float = 0.0

    @property
    def width_mm(self) -> float:
        """Width of the leaf, mm."""
        return self.high_x_mm - self.low_x_mm

    @property
    def hung_at(self) -> tuple[float, tuple[float, float]]:
        """``pin_x_mm`` and ``axis_mm`` of a hinged leaf; ValueError for any other."""
        return present(self.pin_x_mm, "pin of a leaf"), present(self.axis_mm, "axis of a leaf")


class RollTube(Struct, frozen=True, kw_only=True):
    """The tube over a roll-up door, in the frame's axes, mm.

    Parameters
    ----------
    section : TubeSection
    start_x_mm, end_x_mm, y_mm, z_mm : float
        The ends of its axis, which is level and square to the tunnel.
    out : float
        -1 or +1: the way along the tunnel that is away from it.
    between_mm : (float, float)
        X of the arms of its bearings and guides, which the curtain runs between.
    """

    section: TubeSection
    start_x_mm: float
    end_x_mm: float
    y_mm: float
    z_mm: float
    out: float
    between_mm: tuple[float, float]


class DoorOpening(Struct, frozen=True, kw_only=True):
    """A door's clear opening with its leaves, in the frame's axes, mm.

    Parameters
    ----------
    end : End
        The end wall that it is in.
    where : str
        The section of the design that it comes from, for example ``door[1]``.
    kind : DoorKind
    swing : Swing
        Only a hinged door has one in truth.
    left_x_mm, right_x_mm : float
        Reveals, x rising: clear width is between them.
    bottom_mm, top_mm : float
        Top of the threshold (or ground) and underside of the header.
    wall_y_mm : float
        The outer face of the door's frame.
    leaves : tuple of Leaf
        None for a roll-up door.
    roll : RollTube or None
        Of a roll-up door.
    """

    end: End
    where: str
    kind: DoorKind
    swing: Swing
    left_x_mm: float
    right_x_mm: float
    bottom_mm: float
    top_mm: float
    wall_y_mm: float
    leaves: tuple[Leaf, ...] = ()
    roll: RollTube | None = None

    @property
    def width_mm(self) -> float:
        """Clear width, mm."""
        return self.right_x_mm - self.left_x_mm

    @property
    def height_mm(self) -> float:
        """Clear height, mm."""
        return self.top_mm - self.bottom_mm


class SideVent(Struct, frozen=True, kw_only=True):
    """The opening along one side, from the sill board (or ground) to the hip.

    Parameters
    ----------
    side : Side
    start_y_mm, end_y_mm : float
        Ends of the opening along the tunnel.
    bottom_mm, top_mm : float
        Heights above the ground of its lower and upper edge.
    girth_mm : float
        Between those edges along the outside of the hoops.
    """

    side: Side
    start_y_mm: float
    end_y_mm: float
    bottom_mm: float
    top_mm: float
    girth_mm: float

    @property
    def area_mm2(self) -> float:
        """Free area, mm²: along the hoops, less nothing for the hoops themselves."""
        return (self.end_y_mm - self.start_y_mm) * self.girth_mm


def door_name(doors: Sequence[DoorOpening], door: DoorOpening) -> str:
    """A door by its end, ``front door``; where there are several, by its table in the design too.

    Parameters
    ----------
    doors : sequence of DoorOpening
        All of the frame.
    door : DoorOpening
    """
    name = f"{door.end.value} door"
    alone = sum(one.end is door.end for one in doors) == 1
    return name if alone else f"{name} ({door.where})"
