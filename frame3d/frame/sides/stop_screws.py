"""The screws that hold an end stop to the boards that it stands behind.

A board that leans otherwise than the stop touches it along one edge only, and a wedge is
open between them. The screws go in square to the board, near that edge, where they have
little of the wedge to bridge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.errors import DesignError
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.joints import Place
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import ALONG, Placement, Vector, add, dot
from frame3d.units import compared

_CLOSED_MM = 2.0
"""A gap that a screw draws together (common practice, no source)."""
_FROM_EDGE_MM = 25.0
_MOST_TURN = math.radians(30)


class Backed(Struct, frozen=True, kw_only=True):
    """A board along the tunnel, seen where a stop stands behind it.

    Parameters
    ----------
    low : (3,) float, mm
        The lower edge of its inner face, in the middle of the stop.
    along, inward : (3,) float
        Unit vectors up its inner face, and out of that to the inside of the tunnel.
    deep_mm, thick_mm : float
    place : Place
        On the line of boards that it is of.
    """

    low: Vector
    along: Vector
    inward: Vector
    deep_mm: float
    thick_mm: float
    place: Place


def stop_screws(
    plan: LayoutContext,
    board: Backed,
    bed: Placement,
    size_mm: tuple[float, float],
    shares: Sequence[float],
    spot: Spot,
    stop: Place,
) -> list[UnmarkedMember]:
    """Lag screws through ``board`` into the stop behind it.

    Parameters
    ----------
    board : Backed
    bed : Placement
        Of the stop: up along x, outward along z.
    size_mm : (float, float)
        The stop's width along the tunnel and its thickness.
    shares : sequence of float
        Where the screws go, in shares of the board's depth from its lower edge, if the two
        lie flat on each other.
    spot : Spot
    stop : Place
        On the stop.

    Raises
    ------
    DesignError
        If board and stop lean so differently that no screw holds both, or if no stocked one
        is long enough.
    """
    wide, thick = size_mm
    turn = math.acos(min(1.0, -dot(board.inward, bed.z)))
    if turn > _MOST_TURN:
        said = compared(
            math.degrees(_MOST_TURN), math.degrees(turn), form=plan.say.form, unit="deg"
        )
        raise DesignError(
            f"the {board.place.run.role.value} is {said.provided} out of line with the end "
            f"stop behind it; screws can take up {said.required}; lower the hip, set "
            'end_stop = "0 mm", or set hip = "rail"',
            "side_opening.height",
        )
    # Its upper edge touches where it leans in more than the stop does.
    upper = dot(bed.x, board.inward) < 0
    ups = [(share * board.deep_mm, 0.0) for share in shares]
    if max(_gap(board, up, turn, upper=upper) for up, _ in ups) > _CLOSED_MM:
        edge = min(_FROM_EDGE_MM, board.deep_mm / 2)
        up = board.deep_mm - edge if upper else edge
        step = wide / (len(ups) + 1)
        ups = [(up, (order + 1) * step - wide / 2) for order in range(len(ups))]
    is_sill = board.place.run.role is Role.SILL_BOARD
    drafts: list[UnmarkedMember] = []
    for up, beside in ups:
        seat = add(add(board.low, board.along, up), board.inward, -board.thick_mm)
        through = board.thick_mm + _gap(board, up, turn, upper=upper)
        drafts += lag_into(
            plan,
            add(seat, ALONG, beside),
            board.inward,
            through,
            thick / math.cos(turn),
            spot,
            "sill_board.timber" if is_sill else "side_opening.timber",
            (Place(board.place.run, board.place.at_mm + beside), stop),
        )
    return drafts


def _gap(board: Backed, up_mm: float, turn_rad: float, *, upper: bool) -> float:
    """What is open between board and stop, square to the board, mm."""
    return (board.deep_mm - up_mm if upper else up_mm) * math.tan(turn_rad)
