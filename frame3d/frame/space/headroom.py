"""Height and width that are free inside a frame, under hoops and under everything else."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.frame.space.crown import crown_of
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.passage import along_shadows
from frame3d.frame.space.shadows import Shadow

_TIES = (Role.TIE, Role.KING_POST, Role.WEB, Role.GUSSET)


class Over(Struct, frozen=True, kw_only=True):
    """The height that is free at a place, and the member that bounds it; None for the hoops."""

    height_mm: float
    member: Member | None = None


class Headroom(Struct, frozen=True, kw_only=True):
    """What is free inside of a frame, seen along it.

    Parameters
    ----------
    inside : Inside
    shadows : tuple of Shadow
        All members but hoops and end walls.
    ties : tuple of Shadow
        Those of them that belong to ties.
    ridge : tuple of Shadow
        Those of them that are part of the hoops: what joins them at the ridge.
    clear_mm : float
        Height under the hoops on the centreline, as made.
    """

    inside: Inside
    shadows: tuple[Shadow, ...]
    ties: tuple[Shadow, ...]
    ridge: tuple[Shadow, ...]
    clear_mm: float

    def over(self, x_mm: float, *, width_mm: float = 0.0, with_ties: bool = True) -> Over:
        """The height that is free over a strip about ``x_mm`` from the centreline."""
        low, high = x_mm - width_mm / 2, x_mm + width_mm / 2
        # The room narrows upward: the edge of the strip that is farther out decides.
        best = Over(height_mm=self.under_hoops(max(abs(low), abs(high))))
        for shadow in self.shadows:
            if shadow.bottom_mm >= best.height_mm or (not with_ties and shadow in self.ties):
                continue
            height = shadow.lowest(low, high)
            if height is not None and height < best.height_mm:
                best = Over(height_mm=max(0.0, height), member=shadow.member)
        return best

    def under_hoops(self, x_mm: float) -> float:
        """The height under the hoops alone, with what joins them at the ridge, mm."""
        if x_mm == 0.0:
            return self.clear_mm
        profile = self.inside.height_at(x_mm, self.inside.arch.tube_od_mm / 2)
        joints = (shadow.lowest(x_mm, x_mm) for shadow in self.ridge)
        return min((profile, *(height for height in joints if height is not None)))

    def width_between_hoops(self, z_mm: float) -> float:
        """The width between the hoops alone at a height, mm."""
        return 2 * (self.inside.half_width_at(z_mm, self.inside.arch.tube_od_mm / 2) or 0.0)

    def width_at(self, z_mm: float) -> float:
        """The widest stretch that is free at a height, mm."""
        half = self.width_between_hoops(z_mm) / 2
        spans = [span for s in self.shadows if (span := s.span(z_mm)) is not None]
        return widest(-half, half, spans)


def widest(low: float, high: float, taken: Sequence[tuple[float, float]]) -> float:
    """The widest stretch between ``low`` and ``high`` that no span takes."""
    best, at = 0.0, low
    for start, stop in sorted(taken):
        best = max(best, min(start, high) - at)
        at = max(at, stop)
    return max(best, high - at)


@cached_per_frame
def headroom_of(frame: Frame) -> Headroom:
    """What is free inside of ``frame``."""
    shadows = along_shadows(frame)

    def is_tie(shadow: Shadow) -> bool:
        joint = frame.joint_of.get(id(shadow.member))
        members = (shadow.member,) if joint is None else joint.members
        return any(member.role in _TIES for member in members)

    return Headroom(
        inside=Inside(frame.arch),
        shadows=shadows,
        ties=tuple(shadow for shadow in shadows if is_tie(shadow)),
        ridge=tuple(shadow for shadow in shadows if shadow.member.role is Role.RIDGE_JOINT),
        clear_mm=crown_of(frame).clear_mm,
    )
