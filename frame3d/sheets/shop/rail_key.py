"""A key to the rail lines: the pieces of each, in order, laid beside each other. Not to scale."""

from __future__ import annotations

import math
from collections import defaultdict

from msgspec import Struct

from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.sheets.annotation.annotations import (
    Annotation,
    GridBubbles,
    Mark,
    MarkRow,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import Layer, Primitive, Stroke
from frame3d.units import LengthFormat

RAIL_ROLES = (Role.RAIL, Role.HIP_RAIL)
_Place = tuple[Role, float, float]
"""Of a line: which role, how far across the tunnel, and how high, mm."""
_ROW_MM, _BUBBLE_MM = 10.0, 8.5
"""Between the lines, and for each grid bubble, paper mm."""
_NAMES_MM = 68.0
"""What the names of the lines take of the width, paper mm."""


class RailLineKey(Struct, frozen=True, kw_only=True):
    """A rail line: its name and its pieces from the first hoop on."""

    name: str
    pieces: tuple[Member[Tube], ...]


def rail_lines(frame: Frame, lengths: LengthFormat) -> list[RailLineKey]:
    """Every rail line, round the hoop from the foot at the left to that at the right."""
    found: dict[_Place, list[Member[Tube]]] = defaultdict(list)
    for member in frame.of_kind(Tube, *RAIL_ROLES):
        x, _, z = member.placement.origin
        found[member.role, round(x, 2), round(z, 2)].append(member)
    order = {Side.LEFT: 0, Side.MIDDLE: 1, Side.RIGHT: 2}

    def key(item: tuple[_Place, list[Member[Tube]]]) -> tuple[int, float]:
        (_, _, z), pieces = item
        side = pieces[0].spot.side
        return order[side], -z if side is Side.RIGHT else z

    return [
        RailLineKey(
            name=f"{pieces[0].spot.side.value}, centre {lengths.text(z, unit=True)} up",
            pieces=tuple(sorted(pieces, key=lambda m: _reach(m)[0])),
        )
        for (_, _, z), pieces in sorted(found.items(), key=key)
    ]


def rail_key(frame: Frame, lengths: LengthFormat, width_mm: float) -> View:
    """The rail lines one above the other, the first hoop at the left.

    Parameters
    ----------
    frame : Frame
    lengths : LengthFormat
    width_mm : float
        How wide the view may become, paper mm.
    """
    lines = rail_lines(frame, lengths)
    spans = [_reach(m) for line in lines for m in line.pieces]
    left, right = min(a for a, _ in spans), max(b for _, b in spans)
    paper = (right - left) / max(1.0, width_mm - _NAMES_MM)
    pitch = _ROW_MM * paper
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    hoops = frame.grid.hoop_y_mm
    top = (len(lines) - 1) * pitch
    for row, line in enumerate(lines):
        level = top - row * pitch
        for y in hoops:
            primitives.append(_tick(y, level, 0.1 * pitch, Layer.FINE))
        primitives += _drawn(line, level, 0.25 * pitch)
        annotations.append(MarkRow(marks=tuple(_mark(m, level, hoops) for m in line.pieces)))
        annotations.append(
            Mark(
                text=line.name,
                at=(left, level),
                ways=((-1, 0, 2.5), (-1, 0, 4.0)),
                layer=Layer.TEXT,
            )
        )
    each = max(1, math.ceil(_BUBBLE_MM * len(hoops) * paper / (hoops[-1] + 1e-9)))
    places = tuple(
        (str(number), (y, top))
        for number, y in enumerate(hoops, start=1)
        if (number - 1) % each == 0
    )
    return View(
        title="Rail lines and their pieces, not to scale",
        primitives=tuple(primitives),
        bounds=(left, -0.3 * pitch, right, top + 0.6 * pitch),
        annotations=(*annotations, GridBubbles(places=places, edge=ViewEdge.TOP)),
        to_scale=False,
    )


def _reach(member: Member[Tube]) -> tuple[float, float]:
    """The stretch of the tunnel over which a piece shows, without what slides into the next."""
    part, start = member.part, member.placement.origin[1]
    way = 1.0 if member.placement.x[1] > 0 else -1.0
    ends = [start, start + way * part.length_mm]
    for index, (end, inward) in enumerate(((part.start, way), (part.end, -way))):
        if isinstance(end, Swage):
            ends[index] += inward * end.length_mm
    return min(ends), max(ends)


def _tick(y: float, level: float, half: float, layer: Layer) -> Stroke:
    return Stroke(start=(y, level - half), end=(y, level + half), layer=layer)


def _drawn(line: RailLineKey, level: float, half: float) -> list[Primitive]:
    made: list[Primitive] = []
    for member in line.pieces:
        low, high = _reach(member)
        made.append(Stroke(start=(low, level), end=(high, level)))
        made += [_tick(y, level, half, Layer.OUTLINE) for y in (low, high)]
    return made


def _mark(member: Member[Tube], level: float, hoops: tuple[float, ...]) -> Mark:
    """Above a piece, in the bay nearest to its middle."""
    low, high = _reach(member)
    middle = (low + high) / 2
    bays = [(a + b) / 2 for a, b in zip(hoops, hoops[1:], strict=False)]
    inside = [bay for bay in bays if low < bay < high]
    at = min(inside, key=lambda bay: (round(abs(bay - middle), 3), bay), default=middle)
    return Mark(text=member.mark, at=(at, level), ways=((0, 1, 1.0), (0, 1, 2.5), (0, -1, 1.0)))
