"""The bolt of a board: a carriage bolt, its round head outside."""

from __future__ import annotations

from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.model.joints import Place
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Spot
from frame3d.geometry.placement import Placement, Vector


def carriage(
    plan: LayoutContext,
    seat: Vector,
    bed: Placement,
    thickness_mm: float,
    spot: Spot,
    joins: tuple[Place, ...],
    plane_mm: float,
) -> list[UnmarkedMember]:
    """A carriage bolt from the outer face of a board, its nut on the inside."""
    return bolt_up(
        plan.fasteners,
        plan.fasteners.carriage,
        seat=seat,
        direction=(-bed.z[0], -bed.z[1], -bed.z[2]),
        thickness_mm=thickness_mm,
        spot=spot,
        where="hardware.board_bolt",
        joins=joins,
        plane_mm=plane_mm,
    )


__all__ = ["carriage"]
