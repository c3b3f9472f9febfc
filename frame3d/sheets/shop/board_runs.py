"""Lines of boards along the sides: which board goes where, and where they are joined."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import ALONG, UP
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    GridBubbles,
    Mark,
    MarkRow,
    Running,
    View,
    ViewEdge,
)
from frame3d.sheets.layout.compose import broken
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder, run_of
from frame3d.sheets.primitives.primitives import Layer, Primitive, Stroke
from frame3d.sheets.projection.projection import LEFT_SIDE, RIGHT_SIDE, Projection
from frame3d.sheets.projection.silhouettes import Lines, board_outline, reach_of
from frame3d.sheets.projection.stretch import HoopRange, cut, marked, match_lines, shown, stretches
from frame3d.sheets.views.socket_plan import bay_middle

NOTES = (
    "Board lines are seen from outside. Dimensions run from the first hoop to the ends and "
    "joints of the boards; circled numbers are hoops; dashed blocks are behind the joints. "
    "Leave bolts hand tight until the whole line is up.",
)
_ROLES = (Role.SILL_BOARD, Role.HIP_BOARD)
_SAME_MM = 0.01
_STUB = 0.35
"""How far the lines of the hoops reach beyond the boards, as a share of their depth."""


class BoardRun(Struct, frozen=True, kw_only=True):
    """One line of boards with the blocks behind it, on one side.

    ``alike`` is true when the other side is its mirror image and is not drawn.
    """

    role: Role
    side: Side
    boards: tuple[Member[Board], ...]
    blocks: tuple[Member[Board], ...]
    alike: bool

    @property
    def projection(self) -> Projection:
        """From outside."""
        return LEFT_SIDE if self.side is Side.LEFT else RIGHT_SIDE

    @property
    def title(self) -> str:
        """Which boards, of which side."""
        name = f"{self.role.value.capitalize()}s"
        if self.alike:
            return f"{name}, right side; the left side is its mirror image"
        return f"{name} of the {self.side.value} side"


def lines_of(frame: Frame) -> list[BoardRun]:
    """The lines of sill and hip boards; that of the right side alone where both are alike."""
    lines = []
    for role in _ROLES:
        right, left = (_line(frame, role, side) for side in (Side.RIGHT, Side.LEFT))
        if _gist(right) == _gist(left):
            lines.append(_line(frame, role, Side.RIGHT, alike=True))
        else:
            lines += [right, left]
    return [line for line in lines if line.boards]


def _line(frame: Frame, role: Role, side: Side, alike: bool = False) -> BoardRun:
    boards = tuple(m for m in frame.of_kind(Board, role) if m.spot.side is side)
    blocks: tuple[Member[Board], ...] = ()
    if boards:
        low, high = reach_of(boards[0], UP)
        blocks = tuple(
            m
            for m in frame.of_kind(Board, Role.JOINT_BLOCK)
            if m.spot.side is side and low - 1.0 < sum(reach_of(m, UP)) / 2 < high + 1.0
        )
    return BoardRun(role=role, side=side, boards=boards, blocks=blocks, alike=alike)


def _gist(line: BoardRun) -> set[tuple[str, int]]:
    return {(m.mark, round(reach_of(m, ALONG)[0] / _SAME_MM)) for m in line.boards}


def run_view(frame: Frame, line: BoardRun, stretch: HoopRange) -> View:
    """A stretch of a line of boards, from outside."""
    projection = line.projection
    low = min(reach_of(m, UP)[0] for m in line.boards)
    high = max(reach_of(m, UP)[1] for m in line.boards)
    reach = [reach_of(m, ALONG) for m in line.boards]
    run = (
        max(min(a for a, _ in reach), stretch.low_mm),
        min(max(b for _, b in reach), stretch.high_mm),
    )
    ends = sorted(projection.flat((0.0, y, 0.0))[0] for y in run)
    stub = _STUB * (high - low)
    seams, texts = match_lines(stretch, projection, low - stub, high + stub)
    primitives: list[Primitive] = [*cut(_lines(line), stretch, projection), *seams]
    hoops = [(n, projection.flat((0.0, y, 0.0))[0]) for n, y in stretch.hoops(frame.grid)]
    primitives += [
        Stroke(start=(u, low - stub), end=(u, high + stub), layer=Layer.GRID) for _, u in hoops
    ]
    places = tuple((str(n), (u, high + stub)) for n, u in hoops)
    joints = tuple((projection.flat((0.0, y, 0.0))[0], low) for y in _joints(line, stretch))
    annotations: list[Annotation] = [
        GridBubbles(places=places, edge=ViewEdge.TOP),
        *([Running(datum=(0.0, low), edge=ViewEdge.BOTTOM, points=joints)] if joints else []),
        *_marks(frame, line, stretch, shown(frame.of(line.role), stretch)),
        *(Mark(text=text, at=at, ways=((way, 0, 1.5),)) for text, at, way in texts),
    ]
    if stretch.parts == 1:
        points = ((ends[0], low), (ends[1], low))
        annotations.append(Chain(points=points, edge=ViewEdge.BOTTOM, names=("overall",), rank=3))
    return View(
        title=f"{line.title}{stretch.title}",
        primitives=tuple(primitives),
        bounds=(ends[0], low - stub, ends[1], high + stub),
        annotations=tuple(annotations),
    )


def _lines(line: BoardRun) -> list[Lines]:
    made: list[Lines] = []
    for board in line.boards:
        made += board_outline(board, board.part, line.projection).lines
    for block in line.blocks:
        made += [
            replace(edge, layer=Layer.HIDDEN)
            for edge in board_outline(block, block.part, line.projection).lines
            if isinstance(edge, Stroke) and abs(edge.start[0] - edge.end[0]) < _SAME_MM
        ]
    return made


def _joints(line: BoardRun, stretch: HoopRange) -> list[float]:
    """Ends and joints of the line that are shown, along the tunnel, mm."""
    found: list[float] = []
    for y in sorted(end for board in line.boards for end in reach_of(board, ALONG)):
        if stretch.holds(y) and (not found or y - found[-1] > _SAME_MM):
            found.append(y)
    return found


def _marks(
    frame: Frame, line: BoardRun, stretch: HoopRange, members: list[Member]
) -> list[Annotation]:
    row = []
    for board in members:
        if board.spot.side is not line.side or not marked(frame, stretch, board):
            continue
        low, high = reach_of(board, ALONG)
        middle = (max(low, stretch.low_mm) + min(high, stretch.high_mm)) / 2
        y = bay_middle(frame, stretch, low, high, middle)
        bottom, top = reach_of(board, UP)
        ways = ((0, 1, 0.8), (0, 1, 2.0), (0, -1, 1.2), (0, -1, 3.0))
        at = line.projection.flat((0.0, y, (bottom + top) / 2))
        row.append(Mark(text=board.mark, at=at, ways=ways, half=(0.0, (top - bottom) / 2)))
    return [MarkRow(marks=tuple(sorted(row, key=lambda mark: mark.at)))]


def board_runs(builder: SheetSetBuilder, notes: Sequence[str]) -> list[PlacedView]:
    """Every line of boards, for sheets with ``notes`` on them."""
    size = builder.ground(notes).view_size
    views = []
    for line in lines_of(builder.frame):
        run = _placed(builder, line, size)
        if not run:
            builder.missing(line.title)
        views += run
    return views


def _placed(
    builder: SheetSetBuilder, line: BoardRun, size: tuple[float, float]
) -> list[PlacedView]:
    frame, grid = builder.frame, builder.frame.grid
    return broken(
        lambda parts: (run_view(frame, line, s) for s in stretches(grid, parts)),
        run_of(grid),
        size,
        builder.lengths,
    )
