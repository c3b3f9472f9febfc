"""The sheets of end walls: each on its own, or front and back on one."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import View, ViewEdge
from frame3d.sheets.annotation.detail_places import Home, called_out
from frame3d.sheets.layout.joining import joined_notes
from frame3d.sheets.layout.sheet_set_builder import (
    SheetSetBuilder,
    UnnumberedSheet,
    add_with_tables,
)
from frame3d.sheets.layout.shelves import on_one_sheet
from frame3d.sheets.views import end_wall as walls
from frame3d.sheets.views.seen_wall import WallSeen, wall_seen, walled_ends

_EDGES = (ViewEdge.RIGHT, ViewEdge.BOTTOM)


def end_walls(builder: SheetSetBuilder) -> None:
    """Front and back on one sheet where they are alike or have room there, else on one each.

    Both have one scale, unless the larger of the two becomes less clear by it.
    """
    seen = [wall_seen(builder.frame, at) for at in walled_ends(builder.frame)]
    if len(seen) == 2 and walls.are_alike(*seen):
        named = [(seen[0], "End walls, front and back")]
    else:
        named = [(one, f"{one.end.value.capitalize()} end wall") for one in seen]
    views = [walls.end_wall(one, f"{title}, from outside") for one, title in named]
    notes = [walls.notes(one) for one in seen]
    if len(named) < len(seen):
        notes = [joined_notes(*map(_of_each, seen))]
    if views:
        places = builder.details_in(Home.WALL)
        views[0] = called_out(views[0], named[0][0].projection, places)

    def add(largest: float = 0.0) -> list[int]:
        """Put them on the builder; the scales that they then have."""
        first = len(builder.drafts)
        for (one, title), view, told in zip(named, views, notes, strict=True):
            add_with_tables(builder, title, view, walls.tables(one), told, largest=largest)
        return _scales(builder.drafts[first:])

    first, found = len(builder.drafts), len(builder.findings)
    scales = add()
    apart = list(builder.drafts), list(builder.findings)
    if len(set(scales)) > 1:
        del builder.drafts[first:], builder.findings[found:]
        together = add(max(scales))
        if len(set(together)) > 1 or len(builder.findings) > len(apart[1]):
            builder.drafts, builder.findings = apart
    scales = _scales(builder.drafts[first:])
    if len(views) == 2 and len(set(scales)) == 1:
        both = _on_one(builder, [one for one, _ in named], views, scales[0])
        if both:
            del builder.drafts[first:], builder.findings[found:]
            builder.add_rows("Front and back end walls", both.rows, both.notes)


def _of_each(seen: WallSeen) -> list[str]:
    """The notes of a wall that another is like, told of both; what names a door stays."""
    return [text.replace(f"the {seen.end.value} wall", "each wall") for text in walls.notes(seen)]


def _scales(drafts: Sequence[UnnumberedSheet]) -> list[int]:
    return [view.scale for draft in drafts for view in draft.views if view.to_scale]


def _on_one(
    builder: SheetSetBuilder, seen: Sequence[WallSeen], views: Sequence[View], scale: int
) -> UnnumberedSheet | None:
    """Both walls with their tables on one sheet at ``scale``; None where they have no room."""
    notes = joined_notes(*map(walls.notes, seen))
    for edge in _EDGES:
        placed = [
            place(
                replace(
                    view,
                    annotations=(
                        *view.annotations,
                        *(replace(table, edge=edge) for table in walls.tables(one)),
                    ),
                ),
                scale,
                builder.lengths,
            )
            for one, view in zip(seen, views, strict=True)
        ]
        if any(view.problems for view in placed):
            continue
        if rows := on_one_sheet(placed, builder.ground(notes), builder.lengths):
            return UnnumberedSheet(title="", rows=tuple(map(tuple, rows)), notes=notes)
    return None
