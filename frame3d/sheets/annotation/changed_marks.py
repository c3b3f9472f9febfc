"""Boxes round the marks of parts that changed since an older build."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.primitives.occupancy import text_box
from frame3d.sheets.primitives.primitives import Label, Layer, Stroke, polyline

_CLEAR_MM = 0.6


def boxed(view: PlacedView, marks: Collection[str]) -> PlacedView:
    """``view`` with a box round each of ``marks`` in it."""
    boxes: list[Stroke] = []
    for item in view.primitives:
        if not isinstance(item, Label) or item.layer is not Layer.MARKS:
            continue
        if marks and item.text.split(" ")[0] in marks:
            box = text_box(
                item.text, item.at, item.height, item.angle_rad, view.scale,
                align=item.align, clear=_CLEAR_MM,
            )  # fmt: skip
            boxes += polyline([(x, y) for x, y in box.exterior.coords], Layer.MARKS)
    return replace(view, primitives=(*view.primitives, *boxes)) if boxes else view
