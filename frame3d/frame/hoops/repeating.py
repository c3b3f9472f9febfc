"""What stands alike in several places along the tunnel: laid out in one and put in the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.roles import Spot
from frame3d.geometry.placement import Placement


def at_hoop(
    drafts: Sequence[UnmarkedMember], hoop: int, along_mm: float
) -> Iterator[UnmarkedMember]:
    """``drafts``, whose spots name one hoop and no second, as they stand at another.

    Parameters
    ----------
    hoop : int
        Number of the other hoop.
    along_mm : float
        How far along Y it is from where the drafts were laid out.
    """
    # A bolt and all that goes with it share one spot, here as there.
    spots: dict[int, Spot] = {}
    for draft in drafts:
        spot = spots.get(id(draft.spot))
        if spot is None:
            spot = spots[id(draft.spot)] = replace(draft.spot, hoop=hoop)
        yield _moved(draft, along_mm, spot)


def at_spot(
    drafts: Sequence[UnmarkedMember], spot: Spot, along_mm: float
) -> Iterator[UnmarkedMember]:
    """``drafts``, which share one spot, as they stand at another, so far along Y from there."""
    for draft in drafts:
        yield _moved(draft, along_mm, spot)


def _moved(draft: UnmarkedMember, along_mm: float, spot: Spot) -> UnmarkedMember:
    place = draft.placement
    x, y, z = place.origin
    moved = Placement(origin=(x, y + along_mm, z), x=place.x, y=place.y, z=place.z)
    return UnmarkedMember(
        role=draft.role, part=draft.part, placement=moved, spot=spot, source=draft.source
    )


__all__ = ["at_hoop", "at_spot"]
