"""A side opening cut across the tunnel, with its curtain shut and rolled up."""

from __future__ import annotations

import math

from frame3d.design.tables.curtain import Curtain
from frame3d.errors import present
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.curtain_figures import Curtains, curtains_of
from frame3d.frame.skin.curtain_section import Point
from frame3d.frame.skin.door_curtains import DoorCurtain, door_curtains
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    LengthCell,
    Note,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import CircleStroke, Layer, Primitive, Stroke
from frame3d.sheets.projection.ground_line import ground_line, sink
from frame3d.sheets.projection.hiding import inside, visible
from frame3d.sheets.projection.projection import RIGHT_SIDE
from frame3d.sheets.projection.silhouettes import FRONT, Lines, reach_of, silhouette

NOTES = (
    "Seen along the tunnel. Shut in full lines, open in dashed lines; the other side is its mirror "
    "image.",
    "The film lies over what it touches. Nothing here is about wind: film under wind is for its "
    "supplier.",
)
DOOR_NOTES = (
    "Seen along the wall, cut through the middle of the door. Shut in full lines, open in dashed "
    "lines.",
    "Nothing here is about wind: film under wind is for its supplier.",
)
_ROLES = (
    Role.SOCKET, Role.HOOP, Role.SILL_BOARD, Role.HIP_BOARD, Role.HIP_RAIL, Role.CHANNEL,
)  # fmt: skip
_DOOR_ROLES = (
    Role.DOOR_HEADER, Role.THRESHOLD, Role.HOOP, Role.TRACK_NAILER, Role.GIRT, Role.WALL_SILL,
)  # fmt: skip
_ROUND_MM = 350.0
_CURTAIN_ROLES = (
    Role.CURTAIN_TUBE, Role.CURTAIN_SCREW, Role.CURTAIN_CLIP, Role.CORD_EYE, Role.WINDER,
    Role.GUIDE_POST,
)  # fmt: skip


def curtain_view(frame: Frame) -> View:
    """The left side at the second hoop, or the first of a frame of two."""
    curtains = present(curtains_of(frame), "curtains")
    design, section = present(frame.design.curtain, "curtain"), curtains.section
    left = min(section.shut[0], section.channel[0]) - _ROUND_MM
    window = (left, 0.0, section.channel[0] + 2 * _ROUND_MM, section.channel[1] + _ROUND_MM)
    ground, soil = ground_line(window[0], window[2])
    lines = [one for line in _frame_lines(frame) for one in inside(line, window)]
    return View(
        title="Side opening with its curtain",
        primitives=(*sink(lines), *_film(design, curtains), *ground, *soil),
        bounds=window,
        annotations=tuple(_annotations(frame, design, curtains, window)),
    )


def _frame_lines(frame: Frame) -> list[Lines]:
    hoop = min(2, len(frame.grid.hoop_y_mm))
    y = frame.grid.hoop_y_mm[hoop - 1]
    members = []
    for member in frame.of(*_ROLES):
        low, high = reach_of(member, (0.0, 1.0, 0.0))
        lengthwise = high - low > 2 * frame.arch.tube_od_mm
        here = low <= y <= high if lengthwise else member.spot.hoop == hoop
        if here and member.spot.side is not Side.RIGHT:
            members.append(member)
    shapes = [one for one in (silhouette(member, FRONT) for member in members) if one]
    return list(visible(shapes))


def _film(design: Curtain, curtains: Curtains) -> list[Primitive]:
    """Film and tube shut, and the roll open."""
    section, tube = curtains.section, design.tube.od_mm / 2
    opened = section.opened(curtains.rolled_mm)
    end = (section.shut[0] - tube * section.sill_out[0], section.shut[1])
    shut = [*section.taut, end]
    edge = section.hip_edge
    hanging = [section.channel, edge, (edge[0], opened[1])]
    lines: list[Primitive] = [
        Stroke(start=a, end=b, layer=Layer.OUTLINE) for a, b in zip(shut, shut[1:], strict=False)
    ]
    lines += [
        Stroke(start=a, end=b, layer=Layer.HIDDEN)
        for a, b in zip(hanging, hanging[1:], strict=False)
    ]
    return [
        *lines,
        CircleStroke(centre=section.shut, radius=tube, layer=Layer.OUTLINE),
        CircleStroke(centre=section.shut, radius=tube - design.tube.wall_mm, layer=Layer.FINE),
        CircleStroke(centre=opened, radius=curtains.rolled_mm / 2, layer=Layer.HIDDEN),
    ]


def _annotations(
    frame: Frame, design: Curtain, curtains: Curtains, window: tuple[float, float, float, float]
) -> list[Annotation]:
    section, say = curtains.section, lengths_of(frame)
    opened = section.opened(curtains.rolled_mm)
    heights = sorted({section.shut[1], section.sill_top[1], opened[1], section.channel[1]})
    found: list[Annotation] = [
        Chain(points=((window[0], 0.0), (window[0], high)), edge=ViewEdge.LEFT, rank=rank)
        for rank, high in enumerate(heights, start=1)
    ]
    notes = (
        (section.channel, "Channel at the hip"),
        (opened, f"Open: roll {say.text(curtains.rolled_mm, unit=True)} in diameter, after "
                 f"{curtains.turns:.0f} turns"),
        (_middle(section.taut), f"Shut: {say.text(curtains.hangs_mm, unit=True)} from the channel "
                                "to the tube"),
        (section.sill_top, f"{say.text(design.overlap, unit=True)} past the top of the sill board"),
        (section.shut, f"Roll tube {design.tube.name}, clips at most "
                       f"{say.text(design.clip_spacing, unit=True)} apart"),
    )  # fmt: skip
    found += [Note(text=text, at=at, edge=ViewEdge.RIGHT) for at, text in notes]
    return found


def _middle(points: tuple[Point, ...]) -> Point:
    (x0, z0), (x1, z1) = points[-2], points[-1]
    return ((x0 + x1) / 2, (z0 + z1) / 2)


def curtain_tables(frame: Frame) -> tuple[Table, ...]:
    """Parts and figures of the curtains of both sides."""
    curtains, form = present(curtains_of(frame), "curtains"), lengths_of(frame)
    rows: list[tuple[str, str]] = [
        (describe(group.part, form), f"{group.mark} × {group.count}")
        for group in frame.parts()
        if group.role in _CURTAIN_ROLES
    ]
    rows += [
        (one.item, str(one.count)) for one in bought_cover(frame) if "curtain" in one.use
        or one.use == "end pockets"
    ]  # fmt: skip
    title = "Parts of sides and doors" if door_curtains(frame) else "Parts of both sides"
    figures = (
        ("Roll when open, diameter", LengthCell(curtains.rolled_mm, fine=True)),
        ("Turns of the tube, of the crank", f"{curtains.turns:.1f}, {curtains.crank_turns:.0f}"),
        ("One tube, its film", f"{form.mass(curtains.tube_kg)}, {form.mass(curtains.film_kg)}"),
        ("Torque at the tube, at the crank",
         f"{curtains.torque_nm:.1f} Nm, {curtains.crank_torque_nm:.1f} Nm"),
        ("Force at the crank", f"{curtains.crank_force_n:.0f} N"),
        ("Twist of the tube", f"{math.degrees(curtains.twist_rad):.1f}°"),
        ("Cord of one side", LengthCell(curtains.cord_mm)),
    )  # fmt: skip
    return (
        Table(title=title, head=("Part", "Mark and quantity"), rows=tuple(rows),
              words=(1,)),
        Table(title="One side, friction not counted", head=("Figure", "Value"), rows=figures),
    )  # fmt: skip


def door_curtain_view(frame: Frame, one: DoorCurtain) -> View:
    """A roll-up door cut through its middle, seen from the left of the tunnel."""
    bar, roll = present(frame.design.curtain, "curtain").tube, one.roll
    wheres = {door.where for door in frame.doors if door.roll is not None}
    named = f" ({one.door.where})" if len(wheres) > 1 else ""
    window = _door_window(one)
    ground, soil = ground_line(window[0], window[2])
    middle = (one.door.left_x_mm + one.door.right_x_mm) / 2
    members = [m for m in frame.of(*_DOOR_ROLES) if _is_at(m, middle, roll.y_mm)]
    shapes = [s for s in (silhouette(m, RIGHT_SIDE) for m in members) if s]
    lines = [line for shape in visible(shapes) for line in inside(shape, window)]
    tube, y = (roll.y_mm, roll.z_mm), one.film_y_mm
    shut, opened = (y, one.shut_z_mm), (y, one.open_z_mm)
    film = y + roll.out * (roll.section.od_mm - one.rolled_mm) / 4
    drawn: list[Primitive] = [
        Stroke(start=(y, tube[1]), end=shut, layer=Layer.OUTLINE),
        CircleStroke(centre=tube, radius=roll.section.od_mm / 2, layer=Layer.OUTLINE),
        CircleStroke(centre=shut, radius=bar.od_mm / 2, layer=Layer.OUTLINE),
        CircleStroke(centre=tube, radius=one.rolled_mm / 2, layer=Layer.HIDDEN),
        CircleStroke(centre=opened, radius=bar.od_mm / 2, layer=Layer.HIDDEN),
        Stroke(start=(film, tube[1]), end=opened, layer=Layer.HIDDEN),
    ]
    return View(
        title=f"Roll-up door with its curtain{named}",
        primitives=(*sink(lines), *drawn, *ground, *soil),
        bounds=window,
        annotations=tuple(_door_annotations(frame, one, window)),
    )


def _door_window(one: DoorCurtain) -> tuple[float, float, float, float]:
    return (
        one.roll.y_mm - _ROUND_MM, 0.0, one.roll.y_mm + _ROUND_MM, one.roll.z_mm + _ROUND_MM
    )  # fmt: skip


def _is_at(member: Member, x: float, y: float) -> bool:
    """Whether a member is cut by the plane across its door, and at that end."""
    low, high = reach_of(member, (1.0, 0.0, 0.0))
    return low <= x <= high and abs(member.placement.origin[1] - y) < 2 * _ROUND_MM


def _door_annotations(
    frame: Frame, one: DoorCurtain, window: tuple[float, float, float, float]
) -> list[Annotation]:
    say, bar = lengths_of(frame), present(frame.design.curtain, "curtain").tube
    heights = sorted({one.shut_z_mm, one.open_z_mm, one.door.top_mm, one.roll.z_mm})
    found: list[Annotation] = [
        Chain(points=((window[0], 0.0), (window[0], high)), edge=ViewEdge.LEFT, rank=rank)
        for rank, high in enumerate(heights, start=1)
    ]
    y = one.film_y_mm
    notes = (
        ((one.roll.y_mm, one.roll.z_mm), f"Roll tube {one.roll.section.name}; open: roll "
         f"{say.text(one.rolled_mm, unit=True)} in diameter, after {one.turns:.0f} turns"),
        ((y, one.open_z_mm), "Bar, open"),
        ((y, (one.shut_z_mm + one.open_z_mm) / 2),
         f"Film {say.text(one.width_mm, unit=True)} wide, its edges behind the guides"),
        ((y, one.shut_z_mm), f"Bar {bar.name}, {say.text(one.bar_mm, unit=True)} long, shut"),
    )  # fmt: skip
    found += [Note(text=text, at=at, edge=ViewEdge.RIGHT) for at, text in notes]
    return found


def door_curtain_tables(frame: Frame, one: DoorCurtain) -> tuple[Table, ...]:
    """Figures of a roll-up door's curtain."""
    form = lengths_of(frame)
    return (Table(
        title="Curtain of the door, friction not counted", head=("Figure", "Value"),
        rows=(
            ("Film, width", LengthCell(one.width_mm)),
            ("Film, length, with a turn round tube and bar", LengthCell(one.film_mm)),
            ("Roll when open, diameter", LengthCell(one.rolled_mm, fine=True)),
            ("Turns of the tube", f"{one.turns:.1f}"),
            ("Tube, bar, film",
             ", ".join(form.mass(kg) for kg in (one.tube_kg, one.bar_kg, one.film_kg))),
            ("Torque at the tube, most", f"{one.torque_nm:.1f} Nm"),
            ("Force at the crank, most", f"{one.force_n:.0f} N"),
            ("Twist of the tube", f"{math.degrees(one.twist_rad):.1f}°"),
        ),
    ),)  # fmt: skip


def cord_lines(frame: Frame, side: Side) -> list[tuple[tuple[float, float, float], ...]]:
    """The cord of a side from eye to eye, as pairs of points of the frame."""
    curtains = curtains_of(frame)
    if curtains is None:
        return []
    sign = 1.0 if side is Side.LEFT else -1.0
    section = curtains.section
    points = []
    for y, at_hip in curtains.cord:
        x, z = section.hip_edge if at_hip else section.sill_top
        points.append((sign * x, y, z))
    return [pair for pair in zip(points, points[1:], strict=False)]
