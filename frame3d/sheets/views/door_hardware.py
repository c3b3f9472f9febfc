"""What an end wall's notes say of the brackets and guides of its doors: where they sit."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import LengthCell, Table
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.views.seen_wall import WallSeen

_PLATED = (Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE)


def hardware_notes(seen: WallSeen) -> tuple[str, ...]:
    """Places of what carries tracks and curtains, and how plates are joined; or nothing."""
    if not seen.of(*_PLATED):
        return ()
    text = lengths_of(seen.frame).text
    said = [
        "Which plates of hinges, brackets and guides are bent from one piece and which are "
        "welded stands where they are drawn."
    ]
    shelves = _named(seen, "shelf")
    if shelves:
        track = shelves[0].area.bounds[3]
        said.append(f"The track sits on its brackets {text(track)} above ground.")
    feet = [
        shape
        for name in ("bearing, foot", "guide, foot")
        for shape in _named(seen, name)
        if shape.member.role is Role.BRACKET
    ]
    if feet:
        heights = sorted(
            {round((shape.area.bounds[1] + shape.area.bounds[3]) / 2, 2) for shape in feet}
        )
        said.append(
            "The feet of the roll tube bearings and curtain guides are centred "
            f"{', '.join(map(text, heights))} above ground."
        )
    return (" ".join(said),)


def bracket_tables(seen: WallSeen) -> tuple[Table, ...]:
    """Where the brackets under a track sit, by their middles; none without a track."""
    places = sorted({round(_middle(shape), 2) for shape in _named(seen, "shelf")})
    if not places:
        return ()
    rows = tuple(
        (str(number), LengthCell(mm=abs(x), word="left" if x < 0 else "right" if x else ""))
        for number, x in enumerate(places, start=1)
    )
    return (Table(
        title="Track bracket centres",
        head=("Bracket", "From the centreline"), rows=rows,
    ),)  # fmt: skip


def _named(seen: WallSeen, name: str) -> list[Silhouette]:
    return [shape for shape in seen.of(*_PLATED) if _is_named(shape.member, name)]


def _is_named(member: Member, name: str) -> bool:
    return isinstance(member.part, Plate) and member.part.name.endswith(name)


def _middle(shape: Silhouette) -> float:
    left, _, right, _ = shape.area.bounds
    return float(left + right) / 2
