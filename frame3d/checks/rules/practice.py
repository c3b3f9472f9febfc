"""Shape and practice: bending, pieces, braces, sockets, boards, vents and proportions."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import numbers, place_of
from frame3d.design.reading.reader import is_left_out
from frame3d.design.tables.whole_design import End, EndWall, StudFoot, WallBraces
from frame3d.frame.model.members import Frame, Member, PartCount
from frame3d.frame.model.parts import Board, Part, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.geometry.paths import Arc


def _rule(name: str, severity: Severity, meaning: str, source: str = COMMON_PRACTICE) -> Rule:
    return Rule(name=name, severity=severity, meaning=meaning, source=source)


BEND = _rule(
    "bend-radius", Severity.ERROR,
    "A tube is bent tighter than the bender can bend it.",
    "EN 13480-4 limits ovality for radii of 5 outside diameters and more (default); the design's "
    "smallest_bend",
)  # fmt: skip
PIECES = _rule(
    "hoop-pieces", Severity.WARNING, "A hoop has more pieces than is usual.",
    "USDA NRCS Maine, bulletin on seasonal high tunnels, 2013: at most five",
)  # fmt: skip
STOCK = _rule("piece-stock", Severity.ERROR, "A hoop piece is longer than the tube you can buy.")
TRANSPORT = _rule("piece-transport", Severity.WARNING, "A part is too long to get to the site.")
ANGLE = _rule("brace-angle", Severity.WARNING, "A brace is flatter or steeper than is usual.")
SETS = _rule(
    "brace-sets", Severity.WARNING, "A side has fewer braces than is usual for the tunnel's length."
)
WALL_BRACES = _rule(
    "wall-braces", Severity.ERROR,
    "An end wall has fewer braces than the design asks for.",
)  # fmt: skip
UNBRACED = _rule(
    "wall-unbraced",
    Severity.WARNING,
    "An end wall with automatic braces has fewer than two, because no more fit.",
)
EMBEDMENT = _rule("embedment", Severity.WARNING, "Sockets or studs are set less deep than usual.")
JOINTS = _rule("board-joints", Severity.WARNING, "A board joint is too close to a hoop.")
VENTS = _rule(
    "side-vents", Severity.WARNING, "The open side area is too small a share of the floor.",
    "ASABE EP406.4, second hand (the standard was not read): 15 to 20 % of the floor",
)  # fmt: skip
RATIO = _rule(
    "length-to-width", Severity.WARNING, "The tunnel is unusually short or long for its width."
)
RULES = (
    BEND, PIECES, STOCK, TRANSPORT, ANGLE, SETS, WALL_BRACES, UNBRACED, EMBEDMENT, JOINTS, VENTS,
    RATIO,
)  # fmt: skip
_NEGLIGIBLE = 0.01
_FEW_BAYS = 3
"""In fewer, the braces of both ends share a bay or a hoop."""


def check_practice(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    parts = frame.parts()
    return [
        *_bends(frame, parts), *_pieces(frame), *_stock(frame, parts), *_transport(frame, parts),
        *_angles(frame), *_sets(frame), *_wall_braces(frame), *_embedment(frame), *_joints(frame),
        *_vents(frame), *_ratio(frame),
    ]  # fmt: skip


def _bends(frame: Frame, parts: tuple[PartCount, ...]) -> Iterable[Finding]:
    most = frame.design.hoop.smallest_bend
    for group in parts:
        if not isinstance(group.part, Tube):
            continue
        radii = [s.radius_mm for s in group.part.axis.segments if isinstance(s, Arc)]
        needed = most * group.part.section.od_mm
        if radii and min(radii) < needed - _NEGLIGIBLE:
            said = numbers(frame, needed, min(radii))
            yield Finding(
                rule=BEND,
                where=f"{group.mark}, {group.role.value}",
                members=group.members,
                field="hoop.splice_tube" if group.role is Role.SPLICE else "hoop.tube",
                against="hoop.smallest_bend",
                required=needed,
                provided=min(radii),
                unit="mm",
                message=f"It is bent to a radius of {said.provided}; the bender's limit is "
                f"{said.required}.",
                advice="Use a larger radius, a smaller tube, or another bender (smallest_bend).",
            )


def _pieces(frame: Frame) -> Iterable[Finding]:
    most = frame.design.practice.hoop_pieces
    count = sum(1 for member in frame.of(Role.HOOP) if member.spot.hoop == 1)
    if count > most:
        yield Finding(
            rule=PIECES,
            where="hoop.pieces",
            members=tuple(frame.of(Role.HOOP)),
            field="hoop.pieces",
            required=most,
            provided=count,
            is_most=True,
            message=f"A hoop has {count} pieces; the limit is {most}.",
            advice="Use fewer, longer pieces.",
        )


def _stock(frame: Frame, parts: tuple[PartCount, ...]) -> Iterable[Finding]:
    stock = frame.design.practice.hoop_stock
    for group in parts:
        if group.role is not Role.HOOP or not isinstance(group.part, Tube):
            continue
        long = group.part.length_mm
        if long > stock + _NEGLIGIBLE:
            said = numbers(frame, stock, long, is_most=True)
            yield Finding(
                rule=STOCK,
                where=f"{group.mark}, {group.role.value}",
                members=group.members,
                field="practice.hoop_stock",
                against="hoop.pieces",
                required=stock,
                provided=long,
                unit="mm",
                is_most=True,
                message=f"A piece is {said.provided} long; the longest tube is {said.required}.",
                advice="Use more pieces, or find longer tube (hoop_stock).",
            )


def _transport(frame: Frame, parts: tuple[PartCount, ...]) -> Iterable[Finding]:
    most = frame.design.practice.transport_length
    for group in parts:
        long = _extent(group.part)
        if long > most + _NEGLIGIBLE:
            said = numbers(frame, most, long, is_most=True)
            yield Finding(
                rule=TRANSPORT,
                where=f"{group.mark}, {group.role.value}",
                members=group.members,
                field="practice.transport_length",
                required=most,
                provided=long,
                unit="mm",
                is_most=True,
                message=f"It is {said.provided} long as made; the longest that can be hauled is "
                f"{said.required}.",
                advice="Use more pieces, or arrange other transport (transport_length).",
            )


def _extent(part: Part) -> float:
    """The largest distance between the ends and joints of a tube's axis, or a board's length."""
    if isinstance(part, Board):
        return part.length_mm
    if not isinstance(part, Tube):
        return 0.0
    axis = part.axis
    stations = [station for _, station in axis.starts] + [axis.end]
    middles = [
        axis.at(along + segment.length_mm / 2)
        for (along, _), segment in zip(axis.starts, axis.segments, strict=True)
    ]
    points = [(s.x_mm, s.y_mm) for s in (*stations, *middles)]
    return max(math.dist(a, b) for a in points for b in points)


def _angles(frame: Frame) -> Iterable[Finding]:
    practice, told = frame.design.practice, set()
    for member in frame.of(Role.BRACE):
        # As the side elevation shows it: how it leans inward does nothing along the tunnel.
        angle = _rise_deg(member)
        low, high = practice.least_brace_angle, practice.most_brace_angle
        if low - 1e-6 <= angle <= high + 1e-6 or member.mark in told:
            continue
        told.add(member.mark)
        flat = angle < low
        said = numbers(frame, low if flat else high, angle, unit="deg", is_most=not flat)
        yield Finding(
            rule=ANGLE,
            where=place_of(member),
            members=tuple(
                m
                for m in frame.of(Role.BRACE)
                if m.mark == member.mark and abs(_rise_deg(m) - angle) < 1e-3
            ),
            field="brace",
            required=low if flat else high,
            provided=angle,
            unit="deg",
            is_most=not flat,
            message=f"It rises at {said.provided}; {low:g} to {high:g} deg is usual.",
            advice="Span fewer bays or raise its high end."
            if flat
            else "Span more bays or lower its high end.",
        )


def _rise_deg(brace: Member) -> float:
    return math.degrees(math.atan2(abs(brace.placement.x[2]), abs(brace.placement.x[1])))


def _sets(frame: Frame) -> Iterable[Finding]:
    reach = frame.design.practice.brace_reach
    needed = max(1, math.ceil(frame.grid.length_mm / reach - 1e-9))
    for side in (Side.LEFT, Side.RIGHT):
        braces = tuple(member for member in frame.of(Role.BRACE) if member.spot.side is side)
        count = len(braces)
        if count < needed:
            yield Finding(
                rule=SETS,
                where=f"{side.value} side",
                members=braces,
                field="brace",
                required=needed,
                provided=count,
                message=f"This side has {count} brace{'' if count == 1 else 's'}; {needed} "
                f"{'is' if needed == 1 else 'are'} usual for this length.",
                advice="Brace more corners.",
            )


def _wall_braces(frame: Frame) -> Iterable[Finding]:
    bays, middle = len(frame.grid.hoop_y_mm) - 1, frame.grid.length_mm / 2
    for index, wall in enumerate(frame.design.end_wall, start=1):
        where = f"end_wall[{index}]"
        free = is_left_out(frame.design, f"{where}.braces")
        asked = {WallBraces.NONE: 0, WallBraces.PAIR: 2, WallBraces.ALL: 1}[wall.braces]
        feet = [
            min(
                (m.placement.origin, m.placement.point((m.part.length_mm, 0.0, 0.0))),
                key=lambda end: end[2],
            )
            for m in frame.of_kind(Tube, Role.WALL_BRACE)
            if m.source.startswith(where)
        ]
        at_front = [foot[1] < middle for foot in feet]
        made = {end: at_front.count(end is End.FRONT) for end in wall.at.each}
        few = [end.value for end in made if made[end] < asked]
        if few:
            yield Finding(
                rule=UNBRACED if free else WALL_BRACES,
                where=f"{where}, {' and '.join(few)}",
                field=f"{where}.braces",
                against=_against(frame, where, bays),
                required=asked,
                provided=min(made.values()),
                message=f"At the {' and the '.join(few)}, only {min(made.values())} of {asked} "
                f"braces to the next hoop fit: {_in_their_way(free, bays)}.",
                advice='Brace that end another way and set braces = "none" for it, or add bays.'
                if bays < _FEW_BAYS
                else "Change brace_height or the studs, or brace that end another way and "
                'set braces = "none".',
            )


def _against(frame: Frame, where: str, bays: int) -> str:
    if bays >= _FEW_BAYS:
        return f"{where}.brace_height"
    return "bays.count" if frame.design.bays.count is not None else "bays"


def _in_their_way(free: bool, bays: int) -> str:
    if bays >= _FEW_BAYS:
        return "no other stud can be braced clear of doors, rails, ties and the ridge joint"
    if free:
        return f"in {bays} bay{'s' * (bays > 1)} no other stud can be braced clear of what is there"
    return f"in {bays} bay{'s' * (bays > 1)} the other end's braces are in the way"


def _embedment(frame: Frame) -> Iterable[Finding]:
    design = frame.design
    needed = design.practice.embedment
    deep = [("socket.length", design.socket.length - design.socket.exposed, _sockets(frame))]
    deep += [
        (f"end_wall[{number}].embedment", wall.embedment, _studs(frame, wall))
        for number, wall in enumerate(design.end_wall, start=1)
        if wall.stud_foot is StudFoot.GROUND
    ]
    for where, depth, members in deep:
        # An end wall so narrow that it has no stud has none too shallow either.
        if members and depth < needed - _NEGLIGIBLE:
            said = numbers(frame, needed, depth)
            yield Finding(
                rule=EMBEDMENT,
                where=where,
                members=members,
                field=where,
                required=needed,
                provided=depth,
                unit="mm",
                message=f"It is {said.provided} in the ground; {said.required} is usual in firm "
                "soil.",
                advice="Make it longer, or leave less above ground; local soil, frost and "
                "uplift decide.",
            )


def _sockets(frame: Frame) -> tuple[Member, ...]:
    return tuple(frame.of(Role.SOCKET))


def _studs(frame: Frame, wall: EndWall) -> tuple[Member, ...]:
    hoops = {1 if end is End.FRONT else len(frame.grid.hoop_y_mm) for end in wall.at.each}
    # Between doors that stand beside each other there may be jambs alone.
    return tuple(m for m in frame.of(Role.STUD, Role.DOOR_JAMB) if m.spot.hoop in hoops)


def _ends_along(member: Member[Board]) -> tuple[float, float]:
    start = member.placement.origin[1]
    end = start + member.placement.x[1] * member.part.length_mm
    return min(start, end), max(start, end)


def _joints(frame: Frame) -> Iterator[Finding]:
    needed = frame.design.practice.joint_share * frame.grid.spacing_mm
    for role in (Role.SILL_BOARD, Role.HIP_BOARD):
        for side in (Side.LEFT, Side.RIGHT):
            boards = sorted(
                (m for m in frame.of_kind(Board, role) if m.spot.side is side), key=_ends_along
            )
            worst: tuple[float, Member] | None = None
            for board in boards[1:]:
                joint = _ends_along(board)[0]
                near = min(abs(joint - y) for y in frame.grid.hoop_y_mm)
                if worst is None or near < worst[0]:
                    worst = (near, board)
            if worst is not None and worst[0] < needed - _NEGLIGIBLE:
                said = numbers(frame, needed, worst[0])
                yield Finding(
                    rule=JOINTS,
                    where=place_of(worst[1]),
                    members=(worst[1],),
                    required=needed,
                    provided=worst[0],
                    unit="mm",
                    message=f"A board joint is {said.provided} from a hoop; {said.required} is "
                    "usual.",
                    advice="Choose another stock length, so that joints fall between hoops.",
                )


def _vents(frame: Frame) -> Iterable[Finding]:
    needed = frame.design.practice.vent_share
    share = cover_lines(frame).vent_share
    if share < needed - 1e-9:
        said = numbers(frame, needed, share, unit="share")
        yield Finding(
            rule=VENTS,
            where="side_opening",
            field="side_opening",
            required=needed,
            provided=share,
            unit="share",
            message=f"The open side area is {said.provided} of the floor; {said.required} is "
            "recommended.",
            advice="Open the sides, raise the hip or close less of the ends; or say in "
            "[[accept]] how else the tunnel is ventilated.",
        )


def _ratio(frame: Frame) -> Iterable[Finding]:
    practice, ratio = frame.design.practice, frame.grid.length_mm / frame.arch.width_mm
    if practice.least_ratio - 1e-9 <= ratio <= practice.most_ratio + 1e-9:
        return
    short = ratio < practice.least_ratio
    limit = practice.least_ratio if short else practice.most_ratio
    said = numbers(frame, limit, ratio, unit="", is_most=not short)
    yield Finding(
        rule=RATIO,
        where="bays",
        field="bays",
        required=limit,
        provided=ratio,
        is_most=not short,
        message=f"It is {said.provided} times as long as wide; usual is {practice.least_ratio:g} "
        f"to {practice.most_ratio:g}.",
        advice="Make it longer or narrower."
        if short
        else "Make it shorter or wider, or build two tunnels.",
    )
