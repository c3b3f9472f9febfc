"""The geometry of a tie with its post and webs, the same for every hoop that has it."""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.whole_design import Tie
from frame3d.errors import present
from frame3d.frame.model.joints import Place, RunName
from frame3d.frame.model.roles import Role
from frame3d.frame.sides.rails import RailLine


class Truss(Struct, frozen=True, kw_only=True):
    """A tie in its place on a hoop.

    Parameters
    ----------
    tie : Tie
    where : str
        The section of the design that it comes from.
    hoops : tuple of int
        Numbers of the hoops that have it.
    node_mm : float
        Distance from the leg end at which tie and hoop meet.
    half_mm : float
        Half the distance between the two nodes.
    web_at_mm : float or None
        Distance from the leg end at which a web meets the hoop.
    web_x_mm : float
        Distance from the middle at which it meets the tie.
    post_x_mm : float or None
        Distance of the king post from the middle; it stands beside a ridge rail.
    ridge_rail : RailLine or None
        What the king post is clamped to; None for the crown of a quonset hoop.
    near : tuple of RailLine
        Rail lines so near to a node that clamps of the two turn away from each other.
    """

    tie: Tie
    where: str
    hoops: tuple[int, ...]
    node_mm: float
    half_mm: float
    web_at_mm: float | None
    web_x_mm: float
    post_x_mm: float | None
    ridge_rail: RailLine | None
    near: tuple[RailLine, ...] = ()

    def on_tie(self, hoop: int, x_mm: float) -> Place:
        """A place on the tie at a hoop."""
        return Place(RunName(Role.TIE, hoop, self.where), x_mm)

    def post(self, hoop: int) -> Place:
        """The king post at a hoop."""
        return Place(RunName(Role.KING_POST, hoop, self.where))

    @property
    def web_top_mm(self) -> float:
        """``web_at_mm`` of a tie that has webs; ValueError for any other."""
        return present(self.web_at_mm, "web of a tie")

    @property
    def post_mm(self) -> float:
        """``post_x_mm`` of a tie that has a king post; ValueError for any other."""
        return present(self.post_x_mm, "king post of a tie")
