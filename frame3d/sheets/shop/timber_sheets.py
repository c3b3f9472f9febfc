"""Sheets of boards: sill and hip boards with their blocks, timber of end walls, leaves."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.model.canonical import are_alike, canonical, shape_key
from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.members import PartCount
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotated_view import PlacedView, place
from frame3d.sheets.annotation.annotations import View
from frame3d.sheets.layout.compose import DrawingArea
from frame3d.sheets.layout.sheet_set_builder import PART, SheetSetBuilder
from frame3d.sheets.layout.shelves import GAP_MM, has_one_spare, shelved
from frame3d.sheets.primitives.paper import scales
from frame3d.sheets.shop.board_pieces import board_view
from frame3d.sheets.shop.board_runs import NOTES as RUN_NOTES
from frame3d.sheets.shop.board_runs import board_runs
from frame3d.sheets.shop.make_note import MAKE_NOTE


class PieceSize(Struct, frozen=True, kw_only=True):
    """How large a piece may be drawn: at most 1 to ``largest``; paper mm without its sizes."""

    largest: int = 4
    deepest_mm: float = 26.0
    widest_mm: float = 1e9


BOARD = PieceSize()
Hands = tuple[PartCount[Board], PartCount[Board] | None]
"""A board and its mirror image, if there is such."""

SIDE_ROLES = (Role.SILL_BOARD, Role.SKIRT_BOARD, Role.HIP_BOARD, Role.JOINT_BLOCK, Role.END_STOP)
WALL_ROLES = (
    Role.STUD,
    Role.DOOR_JAMB,
    Role.GIRT,
    Role.WALL_SILL,
    Role.WALL_SKIRT,
    Role.WALL_ANCHOR,
    Role.DOOR_HEADER,
    Role.THRESHOLD,
)

NOTES = (
    "Each different piece is drawn once, lying down, with its mark and quantity below. "
    f"Lengths are overall, between the longest points. {MAKE_NOTE}",
    "Running dimensions start at the left end and the lower edge, to hole centres and "
    "notches; end cuts are angles off square. Drill the holes before putting the pieces up.",
)


def board_views(builder: SheetSetBuilder, roles: Sequence[Role]) -> list[View]:
    """Every distinct board of ``roles``, in their order, mirror images together."""
    return [
        board_view(builder.frame, one, builder.lengths, other)
        for one, other in hands(boards(builder, roles))
    ]


def boards(builder: SheetSetBuilder, roles: Sequence[Role]) -> list[PartCount[Board]]:
    """The distinct boards of ``roles``, each role's after the other's."""
    counts = [c for c in builder.frame.parts_of_kind(Board) if c.role in roles]
    return sorted(counts, key=lambda count: list(roles).index(count.role))


def hands(counts: Sequence[PartCount[Board]]) -> list[Hands]:
    """``counts``, those that are mirror images of each other together."""
    pairs: list[Hands] = []
    for count in counts:
        image = shape_key(canonical(mirrored(count.part))[0])
        for index, (first, other) in enumerate(pairs):
            alike = (
                other is None
                and first.role is count.role
                and (gist_alike(image, shape_key(first.part)))
            )
            if alike:
                pairs[index] = (first, count)
                break
        else:
            pairs.append((count, None))
    return pairs


def gist_alike(
    one: tuple[Hashable, tuple[float, ...]], other: tuple[Hashable, tuple[float, ...]]
) -> bool:
    """Whether two parts, by their kinds and numbers, are made the same way."""
    return one[0] == other[0] and are_alike(one[1], other[1])


def mirrored(part: Board) -> Board:
    """The mirror image of ``part``, its faces exchanged."""
    thick = part.section.thickness_mm

    def end(one: BoardEnd | None) -> BoardEnd | None:
        return one and replace(one, bevel_rad=-one.bevel_rad)

    holes = tuple(replace(h, across_mm=thick - h.across_mm) for h in part.edge_holes)
    return replace(part, start=end(part.start), end=end(part.end), edge_holes=holes)


def add_pieces(
    builder: SheetSetBuilder,
    title: str,
    views: Sequence[View],
    notes: Sequence[str],
    most: PieceSize = BOARD,
    before: Sequence[PlacedView] = (),
) -> None:
    """Views of pieces on as many sheets as they need; what fits on none becomes a finding."""
    add_fitted(builder, title, [(view, most) for view in views], notes, before=before)


def add_fitted(
    builder: SheetSetBuilder,
    title: str,
    wanted: Sequence[tuple[View, PieceSize]],
    notes: Sequence[str],
    kind: str = PART,
    before: Sequence[PlacedView] = (),
) -> None:
    """Views, each no larger than is said beside it, on as many sheets as they need."""
    ground = builder.ground(notes)
    views: list[View] = []
    drawn: list[PlacedView] = []
    for view, most in wanted:
        placed = fitted(builder, view, ground.view_size, most)
        if placed:
            views.append(view)
            drawn.append(placed)
        else:
            builder.missing(f"{title}: {view.title}")
    sheets = fewest(builder, views, drawn, ground, before)
    for name, rows in named(title, sheets):
        builder.add_rows(name, rows, notes, kind)


def fewest(
    builder: SheetSetBuilder,
    views: Sequence[View],
    placed: Sequence[PlacedView],
    ground: DrawingArea,
    before: Sequence[PlacedView] = (),
) -> list[list[list[PlacedView]]]:
    """Sheets of rows of ``placed``, which are ``views``, each at its scale.

    Where one of the sheets would be nearly empty, the largest of them are drawn a scale smaller,
    as many as it takes to do without it.
    """
    drawn = list(placed)
    sheets = shelved([*before, *drawn], ground, builder.lengths)
    if has_one_spare(sheets, ground, builder.lengths):
        for at in sorted(range(len(drawn)), key=lambda at: -math.prod(drawn[at].paper_size)):
            drawn[at] = _smaller(builder, views[at], drawn[at])
            fewer = shelved([*before, *drawn], ground, builder.lengths)
            if len(fewer) < len(sheets):
                return fewer
    return sheets


def _smaller(builder: SheetSetBuilder, view: View, placed: PlacedView) -> PlacedView:
    """``view`` at the next smaller scale, if it is as clear there."""
    scale = next((one for one in scales(builder.lengths.system) if one > placed.scale), 0)
    smaller = place(view, scale, builder.lengths) if scale else placed
    return placed if len(smaller.problems) > len(placed.problems) else smaller


def named(
    title: str, sheets: Sequence[list[list[PlacedView]]]
) -> Iterator[tuple[str, list[list[PlacedView]]]]:
    """Sheets of rows, each with its title."""
    for number, rows in enumerate(sheets, start=1):
        part = f", {number} of {len(sheets)}" if len(sheets) > 1 else ""
        yield f"{title}{part}", rows


def fitted(
    builder: SheetSetBuilder, view: View, size: tuple[float, float], most: PieceSize
) -> PlacedView | None:
    """``view`` no wider than it must be to be clear, at the largest scale for that.

    None where it fits at none.
    """
    best = None
    for width in ((size[0] - GAP_MM) / 2, size[0]):
        placed = largest(view, (width, size[1] - 20.0), builder, most)
        if placed and (best is None or len(placed.problems) < len(best.problems)):
            best = placed
        if best and not best.problems:
            break
    return best


def largest(
    view: View, size: tuple[float, float], builder: SheetSetBuilder, most: PieceSize = BOARD
) -> PlacedView | None:
    """``view`` at the largest scale allowed for pieces at which it fits into ``size``, mm."""
    left, bottom, right, top = view.bounds
    for scale in scales(builder.lengths.system):
        wide, high = (right - left) / scale, (top - bottom) / scale
        if scale < most.largest or wide > min(size[0], most.widest_mm) or high > most.deepest_mm:
            continue
        placed = place(view, scale, builder.lengths)
        width, height = placed.paper_size
        if width <= size[0] and height <= size[1]:
            return placed
    return None


def side_boards(builder: SheetSetBuilder) -> None:
    """The runs of sill and hip boards, then these, their blocks and end stops."""
    notes = (*_lacks(builder, SIDE_ROLES), *RUN_NOTES, *NOTES)
    views = board_views(builder, SIDE_ROLES)
    add_pieces(builder, "Side boards", views, notes, before=board_runs(builder, notes))


def wall_timber(builder: SheetSetBuilder) -> None:
    """Studs, jambs, girts, sills, headers, thresholds, and every board that no other sheet has."""
    others = [role for role in Role if role not in (*SIDE_ROLES, *WALL_ROLES, Role.DOOR_LEAF)]
    roles = (*WALL_ROLES, *others)
    notes = (*_lacks(builder, roles), *NOTES)
    add_pieces(builder, "End wall lumber", board_views(builder, roles), notes)


def _lacks(builder: SheetSetBuilder, roles: Sequence[Role]) -> tuple[str, ...]:
    return builder.lacks(count.mark for count in boards(builder, roles))
