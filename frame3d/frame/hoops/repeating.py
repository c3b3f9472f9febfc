"""What stands alike in several places along the tunnel: laid out in one and put in the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.frame.model.joints import UnmarkedJoint
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
        if id(draft.spot) not in spots:
            spots[id(draft.spot)] = replace(draft.spot, hoop=hoop)
    yield from _moved(drafts, along_mm, spots)


def at_spot(
    drafts: Sequence[UnmarkedMember], spot: Spot, along_mm: float
) -> Iterator[UnmarkedMember]:
    """``drafts``, which share one spot, as they stand at another, so far along Y from there."""
    yield from _moved(drafts, along_mm, dict.fromkeys([id(draft.spot) for draft in drafts], spot))


def _moved(
    drafts: Sequence[UnmarkedMember], along_mm: float, spots: dict[int, Spot]
) -> Iterator[UnmarkedMember]:
    # The fasteners of a joint share it.
    joints: dict[int, UnmarkedJoint] = {}
    for draft in drafts:
        place, joint, spot = draft.placement, draft.joint, spots[id(draft.spot)]
        if joint is not None:
            if id(joint) not in joints:
                joints[id(joint)] = joint.at_hoop(spot.hoop, along_mm)
            joint = joints[id(joint)]
        x, y, z = place.origin
        yield UnmarkedMember(
            role=draft.role,
            part=draft.part,
            placement=Placement(origin=(x, y + along_mm, z), x=place.x, y=place.y, z=place.z),
            spot=spot,
            source=draft.source,
            stretches=draft.stretches
            and tuple([s.at_hoop(spot.hoop, along_mm) for s in draft.stretches]),
            joint=joint,
        )
