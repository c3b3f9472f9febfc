"""The room that people and machines need, as see-through bodies along the tunnel."""

from __future__ import annotations

from frame3d.frame.model.members import Frame
from frame3d.frame.space.headroom import headroom_of
from frame3d.frame.space.passage import Way, ways
from frame3d.units.data_tables import Json


def bodies_of(frame: Frame) -> list[dict[str, Json]]:
    """Outlines drawn out along the tunnel, as the viewer takes them.

    Returns
    -------
    list of dict
        ``kind`` is ``headroom`` or ``machine``; ``name``; ``fits``; ``outline``: corners across
        and up, (n, 2) mm; ``from_mm`` and ``to_mm`` along the tunnel.
    """
    clearance, rooms = frame.design.clearance, headroom_of(frame)
    end = frame.grid.length_mm
    found: list[dict[str, Json]] = []
    for x in dict.fromkeys(clearance.walking_lines):
        half, height = max(clearance.walking_width / 2, 1.0), clearance.head_height
        free = rooms.over(x, width_mm=clearance.walking_width).height_mm
        found.append({
            "kind": "headroom", "name": "Walking line", "fits": free >= height,
            "outline": [[x - half, 0.0], [x + half, 0.0], [x + half, height], [x - half, height]],
            "from_mm": 0.0, "to_mm": end,
        })  # fmt: skip
    return found + [_machine(way, end) for way in ways(frame, frame.design.machine)]


def _machine(way: Way, end_mm: float) -> dict[str, Json]:
    """A machine in the middle, or as near to it as it can drive."""
    place = 0.0
    if reached := way.reached() or way.inside:
        place = min((min(max(0.0, low), high) for low, high in reached), key=abs)
    return {
        "kind": "machine", "name": way.machine.name, "fits": bool(way.inside),
        "outline": [[x + place, z] for x, z in way.machine.outline],
        "from_mm": 0.0, "to_mm": end_mm,
    }  # fmt: skip
