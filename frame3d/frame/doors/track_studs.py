"""Studs under the ends of tracks: where a track would run far past the last upright.

As builders do: what the track hangs on needs something to be held to at its end. A wall
whose studs stand at given places gets none; a check tells how far the track hangs free.
"""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.design.tables.whole_design import DoorKind
from frame3d.frame.doors.tracks import track_reach
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind, stud_at
from frame3d.frame.joining.clamps import WIDTH_MM

FREE_MM = 500.0
"""How far a track may run past the last upright (common practice, no source)."""
_FROM_END_MM = 40.0
_STEP_MM = 10.0


def with_track_studs(
    wall: Wall, doors: Sequence[DoorPlace], uprights: tuple[Upright, ...]
) -> tuple[Upright, ...]:
    """The uprights of ``wall``, with a stud near each end of a track that has none."""
    if wall.spec.positions:
        return uprights
    found = list(uprights)
    for door in doors:
        if door.door.kind is not DoorKind.SLIDING:
            continue
        for sign, end in zip((-1.0, 1.0), track_reach(wall, door), strict=True):
            x = _place(wall, door, found, sign, sign * end)
            if x is not None:
                found.append(stud_at(wall, sign * x))
    return tuple(sorted(found, key=lambda upright: upright.x_mm))


def _place(
    wall: Wall, door: DoorPlace, uprights: Sequence[Upright], sign: float, end: float
) -> float | None:
    """How far to its side a stud stands under a track's end; None where none is needed."""
    need = door.top_mm + (
        wall.spec.timber.depth_mm if wall.is_timber else wall.spec.tube.od_mm / 2 + WIDTH_MM / 2 + 2
    )
    far = [
        sign * u.x_mm
        for u in uprights
        if u.kind is not UprightKind.CRIPPLE and wall.whole_to(u.x_mm) >= need
    ]
    last = max(far, default=end)
    x = min(end - _FROM_END_MM, wall.farthest_x(need))
    while end - last > FREE_MM and x > last + FREE_MM / 2:
        apart = all(abs(sign * x - u.x_mm) > 3 * wall.upright_mm for u in uprights)
        barred = any(low < sign * x < high for low, high in wall.kept_clear())
        if apart and not barred and wall.whole_to(sign * x) >= need:
            return x
        x -= _STEP_MM
    return None
