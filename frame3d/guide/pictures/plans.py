"""Drawings that are no view of members: staking out, the socket, the hoop on the ground."""

from __future__ import annotations

import math

from frame3d.frame.describe.places import numbers_text
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.guide.pictures.canvas import BOUGHT, INK, LETTER, NEW, NEW_FILL, OLD, Canvas, Point
from frame3d.guide.pictures.overview import ProjectedMembers, mark_kinds
from frame3d.guide.steps.figures import axis_points, hoop_figures, socket_holes_mm
from frame3d.guide.steps.step_content import Picture
from frame3d.sheets.projection.projection import FRONT
from frame3d.site.survey import site_of

_TICK = 0.012


def stake_picture(frame: Frame) -> Picture:
    """The plot from above: corners, diagonals, the triangle, the places of the sockets."""
    form, grid = lengths_of(frame), frame.grid.even
    width, length = 2 * grid.socket_x_mm, grid.length_mm
    # A very long plot is drawn shorter, which is said below it.
    drawn = min(length, 3.2 * width)
    stretch = drawn / length
    canvas, size = Canvas(tallest=300.0), max(width, drawn)

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    corners = [(0.0, 0.0), (drawn, 0.0), (drawn, width), (0.0, width)]
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        canvas.line([a, b], NEW, 1.4)
    canvas.line([corners[0], corners[2]], INK, 0.8, "6 3")
    canvas.line([corners[1], corners[3]], INK, 0.8, "6 3")
    tick = _TICK * size
    for y in grid.hoop_y_mm:
        for x in (0.0, width):
            canvas.line([(y * stretch, x - tick), (y * stretch, x + tick)], NEW, 1.2)
    out = site_of(frame).setting_out
    three, corner = out.square, out.axes
    # From above, the first hoop at the left: the left side of the tunnel is the upper one.
    x, forward = (0.0, 1.0) if corner.y_mm == 0.0 else (drawn, -1.0)
    y, inward = (width, -1.0) if corner.is_left else (0.0, 1.0)
    along = (x + forward * three.along_mm * stretch, y)
    across = (x, y + inward * three.across_mm)
    canvas.line([along, across], BOUGHT, 1.6)
    off = 0.06 * size
    canvas.text(say(length), (0.78 * drawn, -off))
    canvas.text(f"front, {say(width)}", (-off, width / 2), turn_deg=-90.0)
    canvas.text(f"both diagonals {say(out.diagonal_mm)}", (0.72 * drawn, width + off))
    canvas.mark(f"3-4-5: {say(three.slant_mm)}",
                ((along[0] + across[0]) / 2, (along[1] + across[1]) / 2), BOUGHT)  # fmt: skip
    canvas.mark(say(three.along_mm), along, BOUGHT)
    canvas.mark(say(three.across_mm), across, BOUGHT)
    canvas.mark(corner.name, (x, y), BOUGHT)
    caption = (
        f"The layout from above, {len(grid.hoop_y_mm)} sockets on each long side, measured from "
        f"{corner.name}."
    )
    if stretch < 1:
        caption += " Its length is not to scale."
    return canvas.picture(caption)


def socket_picture(frame: Frame) -> Picture:
    """A socket in the ground, seen along the tunnel, with its sizes."""
    form, socket = lengths_of(frame), frame.design.socket
    half, high = socket.tube.od_mm / 2, socket.exposed
    low = high - socket.length
    canvas, wide = Canvas(width=330.0, tallest=420.0, letter=LETTER), socket.length * 0.34

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    canvas.area([(-half, low), (half, low), (half, high), (-half, high)], NEW_FILL, NEW, 1.4)
    canvas.line([(-wide, 0.0), (wide * 1.9, 0.0)], INK, 1.2)
    for k in range(-6, 12):
        start = k * wide / 6
        if abs(start) > half * 1.5:
            canvas.line([(start, 0.0), (start - wide / 9, -wide / 9)], OLD, 0.8)
    hole = max(frame.design.socket.tube.od_mm * 0.09, 6.0)
    for z in socket_holes_mm(frame):
        canvas.line([(-half * 1.6, z), (half * 1.6, z)], BOUGHT, 0.9, "5 2")
        canvas.area(_circle((0.0, z), hole), "#ffffff", INK, 1.0)
    canvas.line([(-half * 1.8, 0.0), (half * 1.8, 0.0)], BOUGHT, 2.4)
    canvas.mark("driving mark", (-half, 0.0), BOUGHT)
    upper, lower = socket_holes_mm(frame)
    for x, (a, b) in (
        (wide * 0.75, (0.0, lower)),
        (wide * 1.2, (0.0, upper)),
        (wide * 1.65, (0.0, high)),
        (wide * 0.75, (low, 0.0)),
    ):
        _size(canvas, x, a, b, say(b - a))
    for z in (upper, lower, high, low):
        canvas.line([(half, z), (wide * 1.75 if z > 0 else wide * 0.85, z)], OLD, 0.5)
    return canvas.picture(
        "A socket with its holes across the tunnel and its driving mark at the ground."
    )


def hoop_pictures(frame: Frame) -> tuple[Picture, ...]:
    """A hoop as it lies on the ground: the most common kind, and that of the first hoop."""
    kinds: dict[tuple[str, ...], list[int]] = {}
    by_hoop: dict[int, list[Member]] = {}
    for member in frame.of(Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT):
        by_hoop.setdefault(member.spot.hoop, []).append(member)
    for number, members in by_hoop.items():
        kinds.setdefault(tuple(sorted(m.mark for m in members)), []).append(number)
    common = max(kinds.values(), key=len)
    shown = [common] if common[0] == 1 else [common, next(n for n in kinds.values() if 1 in n)]
    return tuple(
        _hoop(frame, by_hoop[numbers[0]], numbers, sizes=not index)
        for index, numbers in enumerate(shown)
    )


def _hoop(frame: Frame, members: list[Member], numbers: list[int], *, sizes: bool) -> Picture:
    form, figures = lengths_of(frame), hoop_figures(frame)
    canvas = Canvas(tallest=280.0)
    ProjectedMembers(FRONT).draw(canvas, (), members)
    points = [FRONT.flat(tuple(p)) for m in members for p in axis_points(m, 9)]
    low, high = min(z for _, z in points), max(z for _, z in points)
    for member in members:
        if isinstance(member.part, Tube):
            for end in axis_points(member, 2)[[0, -1]]:
                canvas.area(_circle(FRONT.flat(tuple(end)), figures.foot_mm / 220), INK)
    if sizes:
        half, below = figures.foot_mm / 2, low - 0.07 * (high - low)
        canvas.line([(-half, below), (half, below)], INK, 0.7)
        canvas.text(form.text(figures.foot_mm, unit=True), (0.0, below - 0.05 * (high - low)))
        canvas.line([(0.0, low), (0.0, high)], INK, 0.7)
        canvas.line([(-half, low), (half, low)], INK, 0.5, "4 3")
        canvas.mark(form.text(figures.rise_mm, unit=True), (0.0, (low + high) / 2), INK)
    mark_kinds(canvas, FRONT, members)
    which = f"Hoop{'s' if len(numbers) > 1 else ''} {numbers_text(numbers)}"
    return canvas.picture(f"{which} flat on the ground; dots are the ends of the pieces.")


def _size(canvas: Canvas, x: float, low: float, high: float, text: str) -> None:
    """A size beside the socket: a line with ticks, its text beside it."""
    tick = 0.012 * 1000
    canvas.line([(x, low), (x, high)], INK, 0.7)
    for z in (low, high):
        canvas.line([(x - tick, z), (x + tick, z)], INK, 1.0)
    canvas.mark(text, (x, (low + high) / 2), INK)


def _circle(centre: Point, radius: float) -> list[Point]:
    return [
        (centre[0] + radius * math.cos(k * math.pi / 12),
         centre[1] + radius * math.sin(k * math.pi / 12))
        for k in range(24)
    ]  # fmt: skip
