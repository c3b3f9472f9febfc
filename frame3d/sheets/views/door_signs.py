"""How doors are shown to open, and what the signs mean.

Dashed lines from the corners of a hinged leaf meet in the middle of its hinge side; an
arrow shows the run of a sliding leaf or of a curtain (general drawing practice for
buildings; which way the dashed lines point is not the same everywhere, so the notes
say it).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from frame3d.design.tables.whole_design import DoorKind
from frame3d.frame.model.openings import DoorOpening, Leaf
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke

_RUN, _HEAD = 0.5, 0.12
"""Length of an arrow, and of its head, as shares of what it stands in."""


def door_notes(doors: Sequence[DoorOpening]) -> tuple[str, ...]:
    """What the signs on ``doors``, from left to right, mean; nothing of signs not there."""
    said = []
    hinged = [door for door in doors if door.kind is DoorKind.HINGED]
    if hinged:
        ways = [door.swing.value for door in hinged]
        text = "Dashed lines on a hinged leaf meet at the hinge side. "
        if len(set(ways)) == 1:
            text += f"The leaves open {ways[0]}."
        else:
            text += f"The hinged doors open, from left to right: {', '.join(ways)}."
        said.append(text)
    if any(door.kind is DoorKind.SLIDING for door in doors):
        said.append("The arrow on a sliding leaf, drawn shut, shows which way it opens.")
    if any(door.kind is DoorKind.ROLL_UP for door in doors):
        said.append("The arrow in an opening shows that its curtain rolls up.")
    return (" ".join(said),) if said else ()


def door_signs(doors: Sequence[DoorOpening], across: Callable[[float], float]) -> list[Primitive]:
    """The signs on all leaves and openings; ``across`` gives x as the sheet has it."""
    primitives: list[Primitive] = []
    for door in doors:
        if door.kind is DoorKind.ROLL_UP:
            primitives += _rolls(door, across)
        for leaf in door.leaves:
            pin = leaf.pin_x_mm
            primitives += (
                _slides(leaf, across) if pin is None else _swings(leaf, across(pin), across)
            )
    return primitives


def _swings(leaf: Leaf, pin: float, across: Callable[[float], float]) -> list[Primitive]:
    far = max((across(x) for x in (leaf.low_x_mm, leaf.high_x_mm)), key=lambda u: abs(u - pin))
    apex = (pin, (leaf.bottom_mm + leaf.top_mm) / 2)
    return [
        Stroke(start=(far, z), end=apex, layer=Layer.OPENING) for z in (leaf.bottom_mm, leaf.top_mm)
    ]


def _slides(leaf: Leaf, across: Callable[[float], float]) -> list[Primitive]:
    u0, u1 = across(leaf.low_x_mm), across(leaf.high_x_mm)
    way = across(leaf.low_x_mm + leaf.slide_mm) - u0
    middle, z = (u0 + u1) / 2, leaf.bottom_mm + 0.62 * (leaf.top_mm - leaf.bottom_mm)
    half = _RUN * abs(u1 - u0) / 2
    half = half if way > 0 else -half
    return _arrow((middle - half, z), (middle + half, z))


def _rolls(door: DoorOpening, across: Callable[[float], float]) -> list[Primitive]:
    u = (across(door.left_x_mm) + across(door.right_x_mm)) / 2 + 0.2 * door.width_mm
    middle, half = (door.bottom_mm + door.top_mm) / 2, _RUN * door.height_mm / 2
    return _arrow((u, middle - half), (u, middle + half))


def _arrow(start: Point, tip: Point) -> list[Primitive]:
    """A line with an open head of 30 degrees at ``tip``."""
    du, dv = (_HEAD * (tip[i] - start[i]) for i in (0, 1))
    sides = [(tip[0] - du - 0.27 * s * dv, tip[1] - dv + 0.27 * s * du) for s in (1, -1)]
    return [
        Stroke(start=a, end=tip, layer=Layer.FINE) for a in (start, *sides)
    ]  # fmt: skip
