"""One part in its place, with its mark.

Glossary
--------
member : a part placed, with its mark and where it stands in the grid.
mark : the short name that stands on the part, the drawings and the lists; equal
    parts have equal marks.
"""

from __future__ import annotations

from typing import Generic

from msgspec import Struct
from typing_extensions import TypeVar

from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Placement

P = TypeVar("P", bound=Part, covariant=True, default=Part)
K = TypeVar("K", bound=Part)


class Member(Struct, Generic[P], frozen=True, kw_only=True, gc=False):
    """A part placed.

    ``Member[Tube]`` is one whose part is a tube; ``Member`` alone has a part of any kind.

    Parameters
    ----------
    mark : str
        For example ``H1``; equal parts have equal marks.
    role : Role
    part : Part
    placement : Placement
        The part's own axes in the frame's axes, mm.
    spot : Spot
    source : str
        The section of the design that asks for it, such as ``rail[2]``; hardware has that of
        what it holds.
    """

    mark: str
    role: Role
    part: P
    placement: Placement
    spot: Spot
    source: str = ""


def with_part(member: Member, kind: type[K]) -> Member[K]:
    """``member``, whose part is known to be of ``kind``.

    Raises
    ------
    TypeError
        If it is of another.
    """
    if not isinstance(member.part, kind):
        raise TypeError(f"{member.mark}: {type(member.part).__name__}, not {kind.__name__}")
    return member  # type: ignore[return-value]  # the part has just been looked at
