"""A view at a scale, with everything that is said about it in its place."""

from __future__ import annotations

import math
from dataclasses import dataclass

from frame3d.sheets.ink import (
    Align,
    AngleDimension,
    Ink,
    Label,
    Layer,
    LinearDimension,
    RadiusDimension,
    Stroke,
)
from frame3d.sheets.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.room import Occupied, extent, text_box
from frame3d.sheets.strips import TEXT_GAP_MM, fill_strips
from frame3d.sheets.wishes import Angle, Mark, Radius, Slanting, View
from frame3d.units import LengthFormat

_LIFT_MM = TEXT_GAP_MM + TEXT_MM / 2
_RADIUS_REACHES_MM = (16.0, 10.0, 24.0, 32.0, 40.0)
_SHARES = (0.0, -0.05, 0.05, -0.1, 0.1, 0.4, 0.45)
_ASIDE_MM = 6.0
_CLEAR_MM = 0.5
"""Free space that is kept around a text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedView:
    """A view with its annotation.

    Parameters
    ----------
    title : str
    scale : int
        The 48 of 1:48.
    ink : tuple of Ink
        Everything, mm in the plane of the view.
    bounds : left, bottom, right, top
        Of everything, mm.
    troubles : tuple of str
        What could not be placed well at this scale, in plain words.
    """

    title: str
    scale: int
    ink: tuple[Ink, ...]
    bounds: tuple[float, float, float, float]
    troubles: tuple[str, ...]

    @property
    def paper_size(self) -> tuple[float, float]:
        """Width and height on paper, mm."""
        left, bottom, right, top = self.bounds
        return ((right - left) / self.scale, (top - bottom) / self.scale)


def place(view: View, scale: int, lengths: LengthFormat) -> PlacedView:
    """``view`` at 1 to ``scale``, with all its wishes in their places."""
    ink: list[Ink] = [
        item for item in view.ink if getattr(item, "smallest", scale) >= scale
    ]
    troubles: list[str] = []
    for strip in fill_strips(view, scale, lengths):
        ink += strip.ink
        troubles += strip.troubles
    # Lines of all slanting dimensions stand before the first text looks for its place.
    slanting = [wish for wish in view.wishes if isinstance(wish, Slanting)]
    lines = [Stroke(start=wish.first, end=wish.second) for wish in slanting]
    taken = Occupied([*ink, *lines], scale, _CLEAR_MM)
    for wish in view.wishes:
        made: Ink | None = None
        if isinstance(wish, Slanting):
            made = _slanting(wish, view, scale, lengths, taken)
        elif isinstance(wish, Radius):
            made = _radius(wish, scale, lengths, taken)
        elif isinstance(wish, Angle):
            made = _angle(wish, scale, lengths)
        if made is not None:
            ink.append(made)
            taken.add(
                text_box(made.text, made.text_at, TEXT_MM, made.text_angle_rad, scale,
                         clear=_CLEAR_MM)
            )
    troubles += _place_marks(view, scale, ink)
    return PlacedView(
        title=view.title,
        scale=scale,
        ink=tuple(ink),
        bounds=extent(ink, scale),
        troubles=tuple(troubles),
    )


def _slanting(
    wish: Slanting, view: View, scale: int, lengths: LengthFormat, taken: Occupied
) -> LinearDimension:
    """On the line where that is free; else level above the view, with a leader to the line."""
    (u0, v0), (u1, v1) = wish.first, wish.second
    angle = math.atan2(v1 - v0, u1 - u0)
    if not -math.pi / 2 < angle <= math.pi / 2:
        angle = math.remainder(angle + math.pi, 2 * math.pi)
    text = f"{lengths.text(math.hypot(u1 - u0, v1 - v0))} {wish.name}".rstrip()
    lift = _LIFT_MM * scale

    def on_line(share: float) -> tuple[float, float]:
        return (u0 + share * (u1 - u0), v0 + share * (v1 - v0))

    common = dict(
        first=wish.first, second=wish.second, line_at=wish.first, angle_rad=angle,
        text=text, name=wish.name, witness=False,
    )
    for change in _SHARES:
        u, v = on_line(wish.share + change)
        at = (u - lift * math.sin(angle), v + lift * math.cos(angle))
        ground = text_box(text, at, TEXT_MM, angle, scale, clear=0.3)
        if not taken.touches_text(ground) and not taken.lines_hit(ground):
            return LinearDimension(**common, text_at=at)
    place_on = on_line(wish.share)
    half = text_width_mm(text, TEXT_MM) / 2
    at = (place_on[0] + (half + 2.0) * scale, view.bounds[3] + _ASIDE_MM * scale)
    return LinearDimension(**common, text_at=at, leader=place_on)


def _radius(
    wish: Radius, scale: int, lengths: LengthFormat, taken: Occupied
) -> RadiusDimension:
    """A line inward from the arc, then a shelf for the text toward the middle of the view."""
    du, dv = wish.centre[0] - wish.on_arc[0], wish.centre[1] - wish.on_arc[1]
    radius = math.hypot(du, dv)
    text = f"R{lengths.text(radius)} {wish.name}".rstrip()
    width = (text_width_mm(text, TEXT_MM) + 1.0) * scale
    way = 1 if du >= 0 else -1
    options = []
    for reach in _RADIUS_REACHES_MM:
        length = min(reach * scale, 0.9 * radius)
        tail = (wish.on_arc[0] + du / radius * length, wish.on_arc[1] + dv / radius * length)
        at = (tail[0] + way * width / 2, tail[1] + _LIFT_MM * scale)
        ground = text_box(text, at, TEXT_MM, 0.0, scale, clear=_CLEAR_MM)
        made = RadiusDimension(
            centre=wish.centre, on_arc=wish.on_arc, tail=tail,
            shelf_end=(tail[0] + way * width, tail[1]),
            text=text, name=wish.name, text_at=at,
        )
        options.append((taken.touches_text(ground), taken.lines_hit(ground), made))
    return min(options, key=lambda option: option[:2])[2]


def _angle(wish: Angle, scale: int, lengths: LengthFormat) -> AngleDimension:
    text = f"{lengths.angle(wish.second_rad - wish.first_rad)} {wish.name}".rstrip()
    middle = (wish.first_rad + wish.second_rad) / 2
    half = text_width_mm(text, TEXT_MM) / 2
    way = 1 if math.cos(middle) >= 0 else -1
    out = wish.reach * scale
    return AngleDimension(
        vertex=wish.vertex,
        first_rad=wish.first_rad,
        second_rad=wish.second_rad,
        radius=out,
        text=text,
        name=wish.name,
        text_at=(
            wish.vertex[0] + out * math.cos(middle) + way * (half + 1.5) * scale,
            wish.vertex[1] + out * math.sin(middle),
        ),
    )


def _place_marks(view: View, scale: int, ink: list[Ink]) -> list[str]:
    """Add every mark of ``view`` to ``ink`` where it is free; return what found no place."""
    troubles = []
    taken = Occupied(ink, scale, _CLEAR_MM)
    for wish in view.wishes:
        if not isinstance(wish, Mark):
            continue
        options = []
        for index, way in enumerate(wish.ways):
            label = _mark(wish, way, scale)
            ground = text_box(
                label.text, label.at, label.height, 0.0, scale, align=label.align, clear=0.3
            )
            touches, hits = taken.touches_text(ground), taken.lines_hit(ground)
            options.append((touches, hits, index, label, ground))
            if not touches and not hits:
                break
        touches, _, index, label, ground = min(options, key=lambda option: option[:3])
        if touches:
            troubles.append(f"no room for the mark {wish.text}")
        ink.append(label)
        taken.add(ground)
        if wish.leader:
            ink.append(_leader(wish, wish.ways[index], scale))
    return troubles


def _mark(wish: Mark, way: tuple[float, float, float], scale: int) -> Label:
    right, up, distance = way
    align = Align.CENTRE if right == 0 else Align.LEFT if right > 0 else Align.RIGHT
    lift = distance + (TEXT_MM / 2 if right == 0 else 0.0)
    return Label(
        text=wish.text,
        at=(wish.at[0] + right * distance * scale, wish.at[1] + up * lift * scale),
        height=TEXT_MM,
        align=align,
        layer=Layer.MARKS,
    )


def _leader(wish: Mark, way: tuple[float, float, float], scale: int) -> Stroke:
    right, up, distance = way
    short = max(distance - 0.8, 0.0)
    return Stroke(
        start=wish.at,
        end=(wish.at[0] + right * short * scale, wish.at[1] + up * short * scale),
        layer=Layer.MARKS,
    )


