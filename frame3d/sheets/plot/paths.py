"""Where machines drive in and out, as seen from above.

Glossary
--------
path : the strip that a machine with its margin takes, from outside an end into the tunnel.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.whole_design import End, Passes
from frame3d.frame.model.members import Frame
from frame3d.frame.space.passage import Stretch, Way, own_ways

_OUT_MM = 2000.0
"""How far at least a path is drawn outside; turning takes more."""


class MachinePath(Struct, frozen=True, kw_only=True):
    """A strip along the tunnel, in the axes of the frame, mm; ``names`` of those that take it."""

    names: tuple[str, ...]
    left_mm: float
    right_mm: float
    from_mm: float
    to_mm: float


def machine_paths(frame: Frame) -> tuple[MachinePath, ...]:
    """The paths of all machines that come in, the same strip once."""
    found: dict[tuple[float, float, float, float], list[str]] = {}
    for way in own_ways(frame):
        if way.machine.passes is Passes.NONE:
            continue
        for strip in _strips(frame, way):
            found.setdefault(strip, []).append(way.machine.name)
    return tuple(
        MachinePath(names=tuple(names), left_mm=left, right_mm=right, from_mm=start, to_mm=end)
        for (left, right, start, end), names in found.items()
    )


def _strips(frame: Frame, way: Way) -> list[tuple[float, float, float, float]]:
    """Left, right, from and to of each strip; both ends in one where it goes straight through."""
    machine, length = way.machine, frame.grid.length_mm
    across = [x for x, _ in machine.outline]
    out = max(_OUT_MM, frame.design.surroundings.clear_way)
    walled = {end for wall in frame.design.end_wall for end in wall.at.each}
    places: dict[float, set[End]] = {}
    for end in End:
        if end not in walled:
            places.setdefault(_nearest_middle(way.inside), set()).add(end)
    for index, door in enumerate(frame.doors):
        free = _common(way.inside, way.doors[index])
        if free:
            places.setdefault(
                _nearest_middle(free, (door.left_x_mm + door.right_x_mm) / 2), set()
            ).add(door.end)
    strips = []
    for middle, ends in places.items():
        start = -out if End.FRONT in ends else length / 2 if ends else 0.0
        stop = length + out if End.BACK in ends else length / 2
        strips.append((middle + min(across) - machine.margin, middle + max(across) + machine.margin,
                       start, stop))  # fmt: skip
    return strips if way.inside else []


def _common(some: tuple[Stretch, ...], others: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    pairs = ((max(a, c), min(b, d)) for a, b in some for c, d in others)
    return tuple((low, high) for low, high in pairs if low <= high)


def _nearest_middle(free: tuple[Stretch, ...], wanted: float = 0.0) -> float:
    """The place in free stretches that is nearest to the wanted one."""
    places = (min(max(wanted, low), high) for low, high in free)
    return min(places, key=lambda place: abs(place - wanted), default=wanted)
