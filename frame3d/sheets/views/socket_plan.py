"""The socket plan: what the people on site stake out."""

from __future__ import annotations

import enum

from msgspec import Struct

from frame3d.frame.describe.wording import lengths_of, limit_text
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    GridBubbles,
    Mark,
    MarkRow,
    Running,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import Layer, Primitive, Stroke, around
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.silhouettes import ABOVE, Lines, reach_of, silhouette
from frame3d.sheets.projection.stretch import HoopRange, cut, marked, match_lines, shown
from frame3d.site.staking.socket_names import axes_of, socket_name
from frame3d.site.survey import site_of
from frame3d.site.write.built_words import as_built_note
from frame3d.site.write.ground_words import ground_statement

_ROLES = (Role.SOCKET, Role.SILL_BOARD, Role.JOINT_BLOCK)
_SOCKET_WAYS = ((1, 1.6), (0.5, 3.2), (0.35, 4.8), (0.28, 6.0), (0.24, 7.2), (-1, 1.6))
"""Where a socket's mark may stand: how far to the right for each step inward, and steps, mm."""


class Told(enum.Enum):
    """What stands beside each socket of the plan."""

    PART = "the mark of its part"
    MARK = "its name, and from the top to its driving mark"
    DRIVING = "its name, from the top to its driving mark, then what is dug or filled"


def ways_to_tell(frame: Frame) -> tuple[Told, ...]:
    """What can stand beside the sockets, the most first: on level ground no more than the part."""
    if site_of(frame).driving is None:
        return (Told.PART,)
    return (Told.DRIVING, Told.MARK, Told.PART)


def notes(frame: Frame, shown_beside: Told) -> tuple[str, ...]:
    """What is to be said on the plan: where to measure from, how square, on what ground."""
    site, form = site_of(frame), lengths_of(frame)
    corner = site.setting_out.axes
    told = [
        f"Measure from socket {corner.name}, at the {corner.corner.value} corner. Running "
        "dimensions are from its hoop to the socket centres; measure each from there, never from "
        "the next socket.",
        "The four corner sockets are square when both diagonals are equal; they may differ by "
        f"{limit_text(form, site.setting_out.difference_mm)}.",
        ground_statement(site),
    ]
    if site.driving is not None:
        told.append(f"Beside each socket ({_kinds(frame)}): {shown_beside.value}.")
        if shown_beside is not Told.DRIVING:
            told.append("How each socket is driven is told whole on the sheets of driving.")
    return (*told, *as_built_note(frame), "Hoops, rails and hardware are not shown.")


class Seen(Struct, frozen=True, kw_only=True):
    """The lines of the whole tunnel that can be seen, and the lowest and highest of them, mm."""

    lines: tuple[Lines, ...]
    low: float
    high: float


def seen(frame: Frame) -> Seen:
    """Sockets, sill boards and joint blocks of the whole tunnel from above."""
    shapes = [s for s in (silhouette(member, ABOVE) for member in _members(frame)) if s]
    _, low, _, high = around(shape.area.bounds for shape in shapes)
    return Seen(
        lines=tuple(visible(shapes)),
        low=low,
        high=high,
    )


def _members(frame: Frame) -> list[Member]:
    """Sockets, sill boards and the blocks behind these, not those behind hip boards."""
    highest = max(
        (
            m.placement.point((0.0, m.part.section.depth_mm, 0.0))[2]
            for m in frame.of_kind(Board, Role.SILL_BOARD)
        ),
        default=0.0,
    )
    return [
        member
        for member in frame.of(*_ROLES)
        if member.role is not Role.JOINT_BLOCK or member.placement.origin[2] < highest
    ]


def socket_plan(
    frame: Frame,
    stretch: HoopRange,
    what: Seen,
    told: Told = Told.PART,
    *,
    brief: bool = False,
) -> View:
    """The plan of sockets and sill boards over a stretch of the tunnel.

    Parameters
    ----------
    frame : Frame
    stretch : HoopRange
    what : Seen
        From :func:`seen`.
    told : Told
        What stands beside the sockets.
    brief : bool
        Sizes over all and diagonals only, for a plan of the whole of a long tunnel
        whose sockets stand on sheets of their own.
    """
    low, high = what.low, what.high
    x = frame.grid.socket_x_mm
    stub = min(0.12 * x, 500.0)
    left, right = _ends(frame, stretch)
    primitives: list[Primitive] = list(cut(what.lines, stretch, ABOVE))
    if not brief:
        for _, y in stretch.hoops(frame.grid):
            primitives.append(Stroke(start=(y, high), end=(y, x - stub), layer=Layer.GRID))
            primitives.append(Stroke(start=(y, -x + stub), end=(y, low), layer=Layer.GRID))
    seams, texts = match_lines(stretch, ABOVE, low, high)
    annotations = _sizes(frame, stretch, low, high)
    if stretch.parts == 1:
        annotations += _diagonals(frame)
    if not brief:
        annotations += _grid(frame, stretch) + _marks(frame, stretch, told)
    annotations += [Mark(text=text, at=at, ways=((way, 0, 1.5),)) for text, at, way in texts]
    return View(
        title=f"Socket plan{', whole' if brief else stretch.title}",
        primitives=(*primitives, *seams),
        bounds=(left, low, right, high),
        annotations=tuple(annotations),
    )


def _ends(frame: Frame, stretch: HoopRange) -> tuple[float, float]:
    """The ends along the tunnel of what is shown, mm."""
    reaches = [
        reach_of(m, (0.0, 1.0, 0.0)) for m in shown(frame.of(Role.SOCKET, Role.SILL_BOARD), stretch)
    ]
    od = max((m.part.section.od_mm for m in frame.of_kind(Tube, Role.SOCKET)), default=0.0)
    low = min(reach[0] for reach in reaches) - od / 2
    high = max(reach[1] for reach in reaches) + od / 2
    return max(low, stretch.low_mm), min(high, stretch.high_mm)


def _sizes(frame: Frame, stretch: HoopRange, low: float, high: float) -> list[Annotation]:
    ys, x = frame.grid.hoop_y_mm, frame.grid.socket_x_mm
    first, last = ys[stretch.first - 1], ys[stretch.last - 1]
    annotations: list[Annotation] = []
    if last > first:
        name = (
            "between centres of the end sockets"
            if stretch.parts == 1
            else (f"hoop {stretch.first} to hoop {stretch.last}")
        )
        annotations.append(
            Chain(points=((first, -x), (last, -x)), edge=ViewEdge.BOTTOM, names=(name,), rank=3)
        )
    if stretch.is_first:
        annotations.append(
            Chain(points=((0.0, -x), (0.0, x)), edge=ViewEdge.LEFT, names=("between centres",))
        )
        end = max((0.0, *(-reach_of(m, (0.0, 1.0, 0.0))[0] for m in frame.of(Role.SILL_BOARD))))
        if any(True for _ in frame.of(Role.SILL_BOARD)):
            annotations.append(
                Chain(
                    points=((-end, low), (-end, high)),
                    edge=ViewEdge.LEFT,
                    names=("over the boards",),
                    rank=2,
                )
            )
    return annotations


def _diagonals(frame: Frame) -> list[Annotation]:
    last, x = frame.grid.length_mm, frame.grid.socket_x_mm
    return [
        Aligned(first=(0.0, -x), second=(last, x), name="diagonal", share=0.3),
        Aligned(first=(last, -x), second=(0.0, x), name="diagonal", share=0.3),
    ]


def _grid(frame: Frame, stretch: HoopRange) -> list[Annotation]:
    x = frame.grid.socket_x_mm
    hoops = stretch.hoops(frame.grid)
    start = axes_of(frame).y_mm
    return [
        Running(datum=(start, x), points=tuple((y, x) for _, y in hoops), edge=ViewEdge.TOP),
        GridBubbles(places=tuple((str(n), (y, x)) for n, y in hoops), edge=ViewEdge.TOP),
    ]


def _marks(frame: Frame, stretch: HoopRange, told: Told) -> list[Annotation]:
    rows: dict[Side, list[Mark]] = {}
    for member in shown(frame.of_kind(Tube, Role.SOCKET), stretch):
        x, y, _ = member.placement.origin
        inward = -1 if member.spot.side is Side.LEFT else 1
        ways = tuple((right, inward, d) for right, d in _SOCKET_WAYS)
        half = member.part.section.od_mm / 2
        rows.setdefault(member.spot.side, []).append(
            Mark(
                text=_socket_text(frame, member, told),
                at=ABOVE.flat((x, y, 0.0)),
                ways=ways,
                half=(half / 2, half),
            )
        )
    annotations: list[Annotation] = [MarkRow(marks=tuple(row)) for row in rows.values()]
    for board in shown(frame.of_kind(Board, Role.SILL_BOARD), stretch):
        if not marked(frame, stretch, board):
            continue
        outward = 1 if board.spot.side is Side.LEFT else -1
        annotations.append(
            Mark(
                text=board.mark,
                at=_board_place(frame, stretch, board),
                ways=((0, outward, 1.2), (0, -outward, 2.0), (0, -outward, 4.5)),
                half=(0.0, board.part.section.thickness_mm / 2),
            )
        )
    return annotations


def _kinds(frame: Frame) -> str:
    return ", ".join(dict.fromkeys(member.mark for member in frame.of(Role.SOCKET)))


def _socket_text(frame: Frame, member: Member, told: Told) -> str:
    """The mark of a socket; on real ground with the figures that it is driven by."""
    if told is Told.PART:
        return member.mark
    site = site_of(frame)
    form, name = lengths_of(frame), socket_name(member.spot.hoop, member.spot.side)
    driven = next(one for one in site.sockets if one.place.name == name)
    text = f"{name} {form.text(driven.mark_mm, unit=True)}"
    if told is Told.MARK:
        return text
    for word, size in (("dig", driven.dig_mm), ("fill", driven.fill_mm)):
        if size:
            text += f" {word} {form.text(size, unit=True)}"
    return text


def _board_place(frame: Frame, stretch: HoopRange, member: Member[Board]) -> tuple[float, float]:
    """The middle of the bay nearest to the middle of what is shown of a board."""
    low, high = reach_of(member, (0.0, 1.0, 0.0))
    middle = (max(low, stretch.low_mm) + min(high, stretch.high_mm)) / 2
    thick = member.part.section.thickness_mm
    across = member.placement.point((0.0, 0.0, thick / 2))[0]
    return (bay_middle(frame, stretch, low, high, middle), -across)


def bay_middle(frame: Frame, stretch: HoopRange, low: float, high: float, wanted: float) -> float:
    """A place between two hoops near ``wanted`` on a member from ``low`` to ``high``, mm.

    That is where the member's mark can stand clear of the hoops.
    """
    ys = frame.grid.hoop_y_mm
    middles = [
        (max(a, low, stretch.low_mm) + min(b, high, stretch.high_mm)) / 2
        for a, b in zip(ys, ys[1:], strict=False)
        if min(b, high, stretch.high_mm) - max(a, low, stretch.low_mm) > 0.6 * (b - a)
    ]
    return min(middles, key=lambda middle: abs(middle - wanted), default=wanted)
