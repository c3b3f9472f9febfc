"""What an end wall's notes say of the brackets and guides of its doors: where they sit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.frame.members import Member, Role
from frame3d.frame.parts import Plate
from frame3d.frame.wording import lengths_of
from frame3d.sheets.eye import Silhouette

if TYPE_CHECKING:
    from frame3d.sheets.end_wall import WallSeen

_PLATED = (Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE)


def hardware_notes(seen: WallSeen) -> tuple[str, ...]:
    """Places of what carries tracks and curtains, and how plates are joined; or nothing."""
    if not seen.of(*_PLATED):
        return ()
    text = lengths_of(seen.frame).text
    said = [
        "Plates of hinges, brackets and guides that meet at an edge are bent from one piece or "
        "welded to each other."
    ]
    shelves = _named(seen, "shelf")
    if shelves:
        places = sorted({round(_middle(shape), 2) for shape in shelves})
        track = shelves[0].area.bounds[3]
        said.append(
            "The brackets under the track have their middles at these distances from the "
            f"centreline, to the left with a minus sign: {', '.join(map(text, places))}; the "
            f"track lies on them {text(track)} above the ground."
        )
    feet = [shape for name in ("bearing, foot", "guide, foot") for shape in _named(seen, name)
            if shape.member.role is Role.BRACKET]
    if feet:
        heights = sorted({
            round((shape.area.bounds[1] + shape.area.bounds[3]) / 2, 2) for shape in feet
        })
        said.append(
            "The feet of the roll tube's bearings and of the curtain's guides have their middles "
            f"{', '.join(map(text, heights))} above the ground."
        )
    return (" ".join(said),)


def _named(seen: WallSeen, name: str) -> list[Silhouette]:
    return [shape for shape in seen.of(*_PLATED) if _is_named(shape.member, name)]


def _is_named(member: Member, name: str) -> bool:
    return isinstance(member.part, Plate) and member.part.name.endswith(name)


def _middle(shape: Silhouette) -> float:
    left, _, right, _ = shape.area.bounds
    return (left + right) / 2
