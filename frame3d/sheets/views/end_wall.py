"""The elevations of the end walls, each as seen from outside."""

from __future__ import annotations

import math
from collections.abc import Hashable

from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.describe.wall_feet import sentences_of_end
from frame3d.frame.model.roles import Role
from frame3d.frame.space.crown import crown_of
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    LengthCell,
    Running,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.annotation.pieces import END_CUT, NOTCH, piece_table
from frame3d.sheets.primitives.primitives import Layer, Primitive, Stroke, around
from frame3d.sheets.projection.ground_line import ground_before, ground_line, sink
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.views.door_hardware import bracket_tables, hardware_notes
from frame3d.sheets.views.door_signs import door_notes, door_signs
from frame3d.sheets.views.end_wall_marks import wall_marks
from frame3d.sheets.views.seen_wall import CUT, UPRIGHTS, WallSeen
from frame3d.site.earthwork.end_walls import anchored
from frame3d.site.survey import site_of
from frame3d.site.write.door_words import door_sentences
from frame3d.site.write.wall_words import sill_sentences


def notes(seen: WallSeen) -> tuple[str, ...]:
    """What is to be said about the elevation of an end wall."""
    table = pieces(seen)
    girts = bool(seen.of(Role.GIRT))
    figures = "Running dimensions at the top are from the tunnel centreline to the centres "
    figures += "of the uprights"
    figures += "; at the left, from the ground to the girt centres." if girts else "."
    lengths = "Lengths are overall."
    if END_CUT in table.head:
        lengths += " End cuts are angles off square."
    if NOTCH in table.head:
        lengths += " A notch is given by its height; it is as deep as the hoop is thick."
    return (
        "Seen from outside. Parts behind the wall, braces, bolts, screws and clamps are "
        f"not shown. {figures}" + (" Heights of doors are to the header." if seen.doors else ""),
        lengths,
        *door_notes(sorted(seen.doors, key=seen.reveals)),
        *hardware_notes(seen),
        *ground_notes(seen),
    )


def ground_notes(seen: WallSeen) -> list[str]:
    """What holds the sill; leaves and steps over the ground that was measured."""
    site = site_of(seen.frame)
    gaps = (wall for wall in site.walls if wall.end is seen.end)
    return [
        *sentences_of_end(seen.frame, seen.end),
        *(text for wall in gaps for text in sill_sentences(site, wall)),
        *(text for door in sorted(seen.doors, key=seen.reveals)
          for text in door_sentences(site, door)),
    ]  # fmt: skip


def tables(seen: WallSeen) -> tuple[Table, ...]:
    """The pieces of an end wall, and where the brackets of a track sit."""
    return (pieces(seen), *bracket_tables(seen), *_anchor_tables(seen))


def _anchor_tables(seen: WallSeen) -> tuple[Table, ...]:
    """Where anchors stand, and how far above and in their own ground; none without them."""
    pieces = anchored(seen.frame, seen.end)
    if not pieces:
        return ()
    rows = tuple(
        (
            one.member.mark,
            LengthCell(mm=abs(x), word="left" if x < 0 else "right" if x else ""),
            LengthCell(mm=one.above_mm), LengthCell(mm=one.embedded_mm or 0.0),
        )
        for one in pieces
        for x in [round(seen.across((one.low_x_mm + one.high_x_mm) / 2), 2)]
    )  # fmt: skip
    head = ("Mark", "From the centreline", "Above the ground", "In the ground")
    return (Table(title="What holds the sill", head=head, rows=rows),)


def pieces(seen: WallSeen) -> Table:
    """The pieces of an end wall."""
    return piece_table("Pieces of this wall", (shape.member for shape in seen.shapes), CUT)


def end_wall(seen: WallSeen, title: str) -> View:
    """The elevation of an end wall."""
    shapes = list(seen.shapes)
    left, bottom, right, top = around(shape.area.bounds for shape in shapes)
    high = crown_of(seen.frame).over_all_mm
    top = max(top, high)
    margin = 0.015 * (right - left)
    under = ground_before(seen.frame, seen.end, seen.projection)
    ground, soil = ground_line(left - margin, right + margin, under)
    axis = Stroke(start=(0.0, bottom), end=(0.0, 1.03 * top), layer=Layer.CENTRE)
    primitives: tuple[Primitive, ...] = (
        *sink(visible(shapes), under),
        *ground,
        *soil,
        axis,
        *door_signs(seen.doors, seen.across),
    )
    return View(
        title=title,
        primitives=primitives,
        bounds=(left, bottom, right, top),
        annotations=(
            *_across(seen, bottom, top),
            *_heights(seen, left, high),
            *wall_marks(seen),
        ),
    )


def _across(seen: WallSeen, bottom: float, top: float) -> list[Annotation]:
    """Centres of the uprights above; doors and widths below."""
    annotations: list[Annotation] = []
    uprights = [_middle(shape) for shape in seen.of(*UPRIGHTS)]
    if uprights:
        points = tuple(sorted((u, v) for u, _, v in uprights))
        annotations.append(Running(datum=(0.0, top), points=points, edge=ViewEdge.TOP))
    ends: list[float] = []
    for door in sorted(seen.doors, key=seen.reveals):
        ends += seen.reveals(door)
    if ends:
        names = tuple("opening" if i % 2 == 0 else "" for i in range(len(ends) - 1))
        points = tuple((u, max(0.0, seen.doors[0].bottom_mm)) for u in ends)
        annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM, names=names))
    for door in seen.doors:
        middle = sum(seen.reveals(door)) / 2
        if abs(middle) > 0.5:
            name = "to middle of door"
            points = ((0.0, 0.0), (middle, 0.0))
            annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM, names=(name,), rank=2))
    widths = seen.frame.arch.widths()
    for rank, (width, name) in enumerate(
        ((widths.centres_mm, "between centres"), (widths.outside_mm, "outside of the hoop")), 3
    ):
        annotations.append(
            Chain(
                points=((-width / 2, bottom), (width / 2, bottom)),
                edge=ViewEdge.BOTTOM,
                names=(name,),
                rank=rank,
            )
        )
    return annotations


def _middle(shape: Silhouette) -> tuple[float, float, float]:
    """Middle across, foot and top of an upright, mm."""
    left, bottom, right, top = shape.area.bounds
    return (left + right) / 2, bottom, top


def _heights(seen: WallSeen, left: float, high: float) -> list[Annotation]:
    """Girts at the left; doors and over all at the right."""
    annotations: list[Annotation] = []
    girts: dict[float, tuple[float, float]] = {}
    for shape in seen.of(Role.GIRT):
        u0, v0, _, v1 = shape.area.bounds
        z = round((v0 + v1) / 2, 3)
        girts[z] = min(girts.get(z, (u0, z)), (u0, z))
    if girts:
        points = tuple(point for _, point in sorted(girts.items()))
        annotations.append(Running(datum=(left, 0.0), points=points, edge=ViewEdge.LEFT))
    ground = seen.frame.arch.width_mm / 2
    done: set[tuple[float, float]] = set()
    for door in sorted(seen.doors, key=lambda door: -seen.reveals(door)[1]):
        key = (round(door.bottom_mm, 2), round(door.top_mm, 2))
        if key in done:
            continue
        done.add(key)
        u = seen.reveals(door)[1]
        points = ((ground, 0.0), (u, door.bottom_mm), (u, door.top_mm))
        names: tuple[str, ...] = ("", "clear")
        if door.bottom_mm <= 0.0:
            points, names = points[::2], names[1:]
        annotations.append(Chain(points=points, edge=ViewEdge.RIGHT, names=names))
        if door.bottom_mm > 0.0:
            annotations.append(
                Chain(points=points[::2], edge=ViewEdge.RIGHT, names=("to the header",), rank=2)
            )
    annotations.append(
        Chain(points=((ground, 0.0), (0.0, high)), edge=ViewEdge.RIGHT, names=("overall",), rank=4)
    )
    return annotations


def are_alike(first: WallSeen, second: WallSeen) -> bool:
    """Whether the elevations and pieces of two walls show and say the same."""
    return _gist(first) == _gist(second)


def _gist(seen: WallSeen) -> set[str]:
    view = end_wall(seen, "")
    items = (_one_way(item) if isinstance(item, Stroke) else item for item in view.primitives)
    told = (*view.annotations, *tables(seen))
    # Which end it is stands in each of these sentences.
    ground = {text.replace(seen.end.value, "") for text in ground_notes(seen)}
    return {_rounded(item) for item in (*items, *told)} | ground


def _one_way(stroke: Stroke) -> Stroke:
    """``stroke`` from the left to the right, or upward: a line has no direction."""
    start, end = sorted((stroke.start, stroke.end), key=lambda p: (round(p[0], 1), p[1]))
    return replace(stroke, start=start, end=end)


def _rounded(value: Hashable) -> str:
    """``value`` with its figures to a tenth, so that those that differ by nothing agree.

    Steps fall between tidy figures, so that no half inch lies on the edge of one.
    """
    if isinstance(value, float):
        return f"{math.floor(10 * value + 0.3717)}"
    if isinstance(value, tuple):
        return f"({', '.join(_rounded(item) for item in value)})"
    if isinstance(value, Struct):
        inner = ", ".join(_rounded(getattr(value, name)) for name in value.__struct_fields__)
        return f"{type(value).__name__}({inner})"
    return str(value)
