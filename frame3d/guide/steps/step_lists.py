"""What a step takes: its parts, its hardware, tools, people and hours."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.wording import describe, fine_lengths, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Part, Screw, Washer
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.guide.steps import labour
from frame3d.guide.steps.figures import axis_points
from frame3d.guide.steps.labour import Hours, Rate, hours_of, rates
from frame3d.guide.steps.phases import Phase, made_members
from frame3d.guide.steps.step_content import FixingLine, PartLine
from frame3d.guide.steps.steps import HeldHardware, Step
from frame3d.takeoff.quantities.handling import Carried, carried_parts, raised_hoops
from frame3d.units import LengthFormat, UnitSystem

_MOST_MARKS = 4
_WAYS = {Bolt: "through", ClampHalf: "on", Screw: "into"}
_KINDS = (ClampHalf, Bolt, Washer, Nut, Screw)

Carriers = dict[str, Carried]
"""What each mark weighs and how many carry it."""


def carriers_of(frame: Frame) -> Carriers:
    """Masses and hands of every made part, by its mark."""
    return {carried.group.mark: carried for carried in carried_parts(frame)}


def part_lines(frame: Frame, step: Step, carriers: Carriers) -> tuple[PartLine, ...]:
    """The made parts of a step by their marks; before anything, those of the whole frame."""
    form = lengths_of(frame)
    members = made_members(frame) if step.phase is Phase.PREPARE else step.members
    found: dict[str, list[Member]] = {}
    for member in members:
        found.setdefault(member.mark, []).append(member)
    lines = []
    for mark, group in found.items():
        part, length = group[0].part, group[0].part.over_all_mm
        lines.append(PartLine(
            mark=mark, role=group[0].role.value, what=describe(part, form),
            length="" if length is None else form.text(length, unit=True),
            mass=form.mass(carriers[mark].mass_kg), count=len(group),
            hands=carriers[mark].hands,
            where=_where(frame, step, group),
        ))  # fmt: skip
    return tuple(lines)


def fixing_lines(frame: Frame, step: Step) -> tuple[FixingLine, ...]:
    """The hardware of a step by what it holds; before anything, that of the whole frame."""
    form = lengths_of(frame)
    if step.phase is Phase.PREPARE:
        return _all_hardware(frame)
    found: dict[tuple[int, str, tuple[str, ...]], list[HeldHardware]] = {}
    for fixing in step.fixings:
        loose = fixing.in_clamp or isinstance(fixing.member.part, (Nut, Washer))
        held = () if loose else tuple(sorted({m.role.value for m in fixing.held}))
        found.setdefault((_rank(fixing.member.part), fixing.member.mark, held), []).append(fixing)
    lines = []
    for (_, mark, held), group in sorted(found.items(), key=lambda item: item[0][0]):
        members = [fixing.member for fixing in group]
        lines.append(FixingLine(
            mark=mark, what=describe(members[0].part, form), count=len(group),
            holds=_holds(group) if held else _loose(group[0]), where=grid_text(members),
        ))  # fmt: skip
    return tuple(lines)


def _all_hardware(frame: Frame) -> tuple[FixingLine, ...]:
    groups = [g for g in frame.parts() if g.part.is_bought]
    form = lengths_of(frame)
    return tuple(
        FixingLine(mark=group.mark, what=describe(group.part, form), holds="", where="",
                   count=group.count)
        for group in sorted(groups, key=lambda group: _rank(group.part))
    )  # fmt: skip


def tools_of(frame: Frame, step: Step) -> tuple[str, ...]:
    """The tools of a step, with wrenches that fit its nuts and drivers that fit its screws."""
    fine = fine_lengths(lengths_of(frame))
    parts = [fixing.member.part for fixing in step.fixings]
    nuts = sorted({part.size.flats_mm for part in parts if isinstance(part, Nut)})
    screws = sorted({part.flats_mm for part in parts if isinstance(part, Screw)})
    tools = [f"two {fine.text(flats, unit=True)} wrenches" for flats in nuts]
    tools += [f"driver with {fine.text(flats, unit=True)} socket" for flats in screws]
    return (*rates()[step.phase].tools, *tools)


def people_of(frame: Frame, step: Step, steps: Sequence[Step], carriers: Carriers) -> str:
    """How many people, and what asks for them."""
    if step.phase is Phase.PREPARE:
        most = max(_people(frame, one, carriers)[0] for one in steps)
        return f"1 or more; later steps need up to {most}"
    count, why = _people(frame, step, carriers)
    return f"{count}{f' ({why})' if why else ''}"


def people_count(frame: Frame, step: Step, carriers: Carriers) -> int:
    """How many people a step takes at least."""
    return _people(frame, step, carriers)[0]


def _people(frame: Frame, step: Step, carriers: Carriers) -> tuple[int, str]:
    rate, form = rates()[step.phase], lengths_of(frame)
    if step.phase is Phase.RAISE:
        hoop = max(raised_hoops(frame), key=lambda one: one.mass_kg)
        return max(rate.people, hoop.hands), f"a hoop is {form.mass(hoop.mass_kg)}"
    heaviest = max(
        (carriers[member.mark] for member in step.members),
        key=lambda one: (one.hands, one.mass_kg),
        default=None,
    )
    if heaviest is None or heaviest.hands < rate.people:
        return rate.people, ""
    return heaviest.hands, f"{heaviest.group.mark} is {form.mass(heaviest.mass_kg)}"


def hours_of_step(frame: Frame, step: Step) -> Hours:
    """Hours of work of a step, rough."""
    count = count_of(frame, step)
    imperial = frame.design.output.units is UnitSystem.IMPERIAL
    return hours_of(step.phase, count, imperial=imperial)


def count_of(frame: Frame, step: Step) -> int:
    """How many there are of what the rate of a step counts."""
    return _counted(frame, step, rates()[step.phase])


def _counted(frame: Frame, step: Step, rate: Rate) -> int:
    """How many there are of what the rate of a step counts."""
    hoops = len(frame.grid.hoop_y_mm)
    cover = cover_lines(frame)
    match rate.each:
        case "socket":
            return 2 * hoops
        case "hoop":
            return hoops
        case "hoop on a rail":
            return hoops * len({_line(member) for member in step.members})
        case "door":
            return sum(door.end is step.end for door in frame.doors)
        case "bolt":
            return sum(isinstance(member.part, Bolt) for member in frame.members)
        case "piece of channel":
            return cover.channel_pieces
        case labour.FILM:
            area = cover.film_mm2 + math.fsum(w.width_mm * w.height_mm for w in cover.walls)
            return math.ceil(area * 1e-7)
    return _counted_members(frame, step, rate)


def _counted_members(frame: Frame, step: Step, rate: Rate) -> int:
    """How many of the members of a step its rate counts."""
    match rate.each:
        case "brace":
            return len(step.members)
        case "board":
            return sum(member.role is not Role.JOINT_BLOCK for member in step.members)
        case "tie":
            return len({(m.spot.hoop, round(m.placement.origin[2]))
                        for m in step.members if m.role is Role.TIE})  # fmt: skip
        case "piece":
            return len(step.members or made_members(frame))
    raise ValueError(f"nothing is known that counts {rate.each!r}")


def _line(member: Member) -> tuple[int, int]:
    x, _, z = member.placement.origin
    return round(x), round(z)


def _rank(part: Part) -> int:
    return _KINDS.index(type(part)) if type(part) in _KINDS else len(_KINDS)


def _holds(group: list[HeldHardware]) -> str:
    """What hardware holds, each role with its marks while they are few."""
    marks: dict[str, list[str]] = {}
    for fixing in group:
        for member in fixing.held:
            # H2 is the mark of a piece, and not the second hoop.
            role = "hoop piece" if member.role is Role.HOOP else member.role.value
            known = marks.setdefault(role, [])
            if member.mark not in known:
                known.append(member.mark)
    said = [
        f"{role} {'/'.join(found)}"
        if len(found) <= _MOST_MARKS
        else f"{role} {found[0]} and others"
        for role, found in marks.items()
    ]
    way = _WAYS.get(type(group[0].member.part), "on")
    return f"{way} {' and '.join(said)}"


def _loose(fixing: HeldHardware) -> str:
    if isinstance(fixing.member.part, (Nut, Washer)):
        return "with the bolts above"
    return "with the clamps above" if fixing.in_clamp else ""


def _where(frame: Frame, step: Step, group: list[Member]) -> str:
    if step.phase is Phase.PREPARE:
        return ""
    return _across(frame, group) if step.phase is Phase.WALLS else grid_text(group)


def _across(frame: Frame, group: list[Member]) -> str:
    """Where in an end wall members stand: from the middle of the tunnel, and how high."""
    form, told = lengths_of(frame), []
    for member in group:
        points = axis_points(member, 2)
        first, last = points[0], points[-1]
        if abs(first[0] - last[0]) < 0.2 * math.dist(first, last):
            told.append(_beside_middle(form, float(first[0] + last[0]) / 2))
        else:
            height = form.text(float(first[2] + last[2]) / 2, unit=True)
            told.append(f"centre {height} above ground")
    return ", ".join(dict.fromkeys(told))


def _beside_middle(form: LengthFormat, x_mm: float) -> str:
    if abs(x_mm) < 0.5:
        return "in the middle"
    return f"{form.text(abs(x_mm), unit=True)} {'left' if x_mm < 0 else 'right'}"
