"""Frames with one mistake each: the rule that should find it does, and nothing else is found.

Some mistakes are in the design; others are made to the laid-out frame, since a design
that asks for them is refused.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Sequence

import pytest
from finding_links import unlinked
from msgspec.structs import replace
from tampered import at, moved, near, remade, shifted, tampered, with_part

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.checks.assembly.assembly import RULES, find_assembly_faults
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.joints import JointKind
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, Hole
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.paths import Line, PlanePath


def design(**changes) -> dict:
    """A gothic tunnel of six hoops with boards, rails, a brace; hoops in four pieces."""
    mapping = {
        "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "15 ft",
                    "leg_height": "4 ft"},
        "bays": {"count": 5, "spacing": "4 ft"},
        "hoop": {"tube": "1.66 in x 14 ga BWG", "ridge_tube": "2 in x 11 ga BWG", "pieces": 4},
        "socket": {"tube": "2 in x 11 ga BWG"},
        "rail": [{"at": "sides", "fraction": 0.5, "tube": "1.375 in x 14 ga BWG"},
                 {"at": "ridge", "tube": "1.375 in x 14 ga BWG"}],
        "brace": [{"corners": ["front left"], "from_height": "1 ft 6 in", "to_height": "6 ft"}],
        "sill_board": {},
    }  # fmt: skip
    for section, value in changes.items():
        old = mapping.get(section)
        merge = isinstance(value, dict) and isinstance(old, dict)
        mapping[section] = {**old, **value} if merge else value
    return mapping


@functools.cache
def sound() -> Frame:
    return lay_out(design_from_mapping(design()))


def found_in(frame: Frame) -> list[Finding]:
    return find_assembly_faults(frame)


def test_the_frame_that_is_spoilt_is_sound() -> None:
    assert found_in(sound()) == []


SIDE_RAIL = {"at": "sides", "fraction": 0.5, "tube": "1.375 in x 14 ga BWG"}
DESIGNS: dict[str, tuple[dict, str]] = {
    "a rail crosses a brace": (
        {"rail": [{"at": "sides", "height": "2 ft 8 in", "tube": "1.375 in x 14 ga BWG"}]}, "clash"
    ),
    "a rail passes a brace closely": (
        {"rail": [{"at": "sides", "height": "3 ft 2 in", "tube": "1.375 in x 14 ga BWG"}]},
        "narrow-gap",
    ),
    "a brace passes where a rail is bolted": (
        {"rail": [{"at": "sides", "height": "3 ft 8 in", "tube": "1.375 in x 14 ga BWG"}]},
        "bolt-through-solid",
    ),
    "two braces cross": (
        {"brace": [
            {"corners": ["front left"], "from_height": "1 ft 6 in", "to_height": "6 ft"},
            {"corners": ["front left"], "from_hoop": 4, "to_hoop": 2, "from_height": "1 ft 6 in",
             "to_height": "6 ft"},
        ]}, "clash",
    ),
    "a tie strikes a brace": ({"tie": [{"height": "3 ft 10 in", "every": 2}]}, "clash"),
    "sockets rattle": ({"socket": {"tube": "NPS 2 STD"}}, "sliding-fit"),
    "a swage is short": ({"hoop": {"overlap": "3 in"}}, "splice-overlap"),
    "a swage of a rail is short": (
        {"rail": [{**SIDE_RAIL, "stock_length": "10 ft", "overlap": "2 in"}]}, "splice-overlap"
    ),
    "sockets are set out from neighbour to neighbour": (
        {"tolerances": {"set_out": "neighbour", "socket_spacing": "1 in"}}, "rail-holes-off"
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", DESIGNS)
def test_a_mistake_in_the_design_is_found(fault: str) -> None:
    changes, rule = DESIGNS[fault]
    found = found_in(lay_out(design_from_mapping(design(**changes))))
    assert {finding.rule.name for finding in found} == {rule}


def first(frame: Frame, *roles: Role, hoop: int = 3, side: Side = Side.LEFT):
    return next(m for m in frame.of(*roles) if m.spot.hoop == hoop and m.spot.side is side)


def rail_bolt(frame: Frame):
    """The bolt of the side rail on hoop 3, left: it is the highest one there."""
    bolts = [m for m in frame.of(Role.BOLT) if m.spot.hoop == 3 and m.spot.side is Side.LEFT]
    rail = next(m for m in frame.of(Role.RAIL) if m.spot.side is Side.LEFT)
    return min(bolts, key=lambda m: abs(m.placement.origin[2] - rail.placement.origin[2]))


def two_bolts(frame: Frame) -> Frame:
    bolt = rail_bolt(frame)
    return tampered(frame, lambda m: m is bolt, lambda m: [m, m])


def side_rail(frame: Frame, change: Callable) -> Frame:
    return tampered(frame, at(Role.RAIL, side=Side.LEFT), change)


def without_hole(frame: Frame) -> Frame:
    return side_rail(frame, lambda m: remade(m, holes=m.part.holes[:2] + m.part.holes[3:]))


def hole_off(frame: Frame) -> Frame:
    def change(member):
        holes = list(member.part.holes)
        holes[2] = replace(holes[2], at_mm=holes[2].at_mm + 4)
        return remade(member, holes=tuple(holes))

    return side_rail(frame, change)


def bolt_length(length: Callable[[Bolt], float]) -> Callable[[Frame], Frame]:
    def spoil(frame: Frame) -> Frame:
        bolt = rail_bolt(frame)
        return tampered(frame, lambda m: m is bolt, lambda m: remade(m, length_mm=length(m.part)))

    return spoil


def stocked(part: Bolt, steps: int) -> float:
    return part.size.lengths_mm[part.size.lengths_mm.index(part.length_mm) + steps]


def no_bolt(frame: Frame) -> Frame:
    bolt = rail_bolt(frame)
    picks = [near(bolt, role, 120.0) for role in (Role.BOLT, Role.NUT, Role.WASHER)]
    return tampered(frame, lambda m: any(pick(m) for pick in picks), lambda m: None)


def no_nut(frame: Frame) -> Frame:
    return tampered(frame, near(rail_bolt(frame), Role.NUT, 120.0), lambda m: None)


def nut_off_its_bolt(frame: Frame) -> Frame:
    nut = next(m for m in frame.members if near(rail_bolt(frame), Role.NUT, 120.0)(m))
    return tampered(frame, lambda m: m is nut, lambda m: moved(m, dy=60))


def short_leg(frame: Frame) -> Frame:
    """The lowest 2 in of a leg cut off: one hole has 10 mm of tube below it."""

    def change(member):
        part = member.part
        low = min(h.at_mm for h in part.holes)
        off = low - 10.0
        holes = tuple(replace(h, at_mm=h.at_mm - off) for h in part.holes)
        cut = remade(member, axis=part.axis.cut(off, part.length_mm), holes=holes)
        return shifted(cut, (off, 0.0, 0.0))

    leg = first(frame, Role.HOOP)
    return tampered(frame, lambda m: m is leg, change)


def no_leg(frame: Frame) -> Frame:
    """A socket beside the last hoop, with nothing in it and no holes."""

    def change(member):
        return [member, moved(remade(member, holes=()), dy=200.0)]

    return tampered(frame, at(Role.SOCKET, hoop=6, side=Side.RIGHT), change)


def sunk(frame: Frame) -> Frame:
    return tampered(frame, lambda m: True, lambda m: moved(m, dz=-55.0))


def rail_off_hoops(frame: Frame) -> Frame:
    """A side rail 2 mm off the hoops, its nuts after it and its bolts a size longer."""
    rail = next(m for m in frame.of(Role.RAIL) if m.spot.side is Side.LEFT)
    inward = rail.placement.y
    offset = tuple(2.0 * c for c in inward)
    bolts = [m for m in frame.of(Role.BOLT) if m.spot.side is Side.LEFT
             and abs(m.placement.origin[2] - rail.placement.origin[2]) < 60]  # fmt: skip
    assert len(bolts) == 6
    beyond = rail.placement.origin

    def is_behind(member) -> bool:
        if member.role not in (Role.NUT, Role.WASHER) or member.spot.side is not Side.LEFT:
            return False
        gap = [a - b for a, b in zip(member.placement.origin, beyond, strict=True)]
        return abs(gap[2]) < 60 and 0 < sum(a * b for a, b in zip(gap, inward, strict=True)) < 60

    def change(member):
        if member in bolts:
            return remade(member, length_mm=stocked(member.part, 1))
        return moved(member, *offset)

    return tampered(frame, lambda m: m is rail or m in bolts or is_behind(m), change)


def clamp_slid(frame: Frame) -> Frame:
    """The half on the hoop with its bolt, nut and washers 20 mm up the leg."""
    clamp = first(frame, Role.CLAMP, hoop=2)
    leg = first(frame, Role.HOOP, hoop=2)
    on_hoop = min(
        (m for m in frame.of(Role.CLAMP) if m.spot.hoop == 2),
        key=lambda m: abs(m.placement.origin[0] - leg.placement.origin[0]),
    )
    picks = [near(on_hoop, role, 60.0) for role in (Role.BOLT, Role.NUT)]
    assert clamp.role is Role.CLAMP

    def with_clamp(member) -> bool:
        return member is on_hoop or any(pick(member) for pick in picks)

    own = [m for m in frame.members if with_clamp(m)]
    # Of the two bolts there, the one through this half's ears.
    ear = on_hoop.placement.point((0.0, on_hoop.part.ear_bolt_mm, 0.0))
    kept = [
        m
        for m in own
        if m is on_hoop
        or sum((a - b) ** 2 for a, b in zip(m.placement.origin, ear, strict=True)) < 30**2
    ]
    return tampered(frame, lambda m: any(m is k for k in kept), lambda m: moved(m, dz=20.0))


def brace_short(frame: Frame) -> Frame:
    """The brace ends before its upper clamp."""

    def change(member):
        length = member.part.length_mm - 85.0
        return remade(member, axis=PlanePath((Line(length),)))

    return tampered(frame, at(Role.BRACE), change)


def wide_swage(frame: Frame) -> Frame:
    def change(member):
        swage = member.part.end or member.part.start
        end = replace(swage, od_mm=member.part.section.inside_mm + 1.0)
        return remade(member, **({"end": end} if member.part.end else {"start": end}))

    hoops = [m for m in frame.of(Role.HOOP) if m.part.end or m.part.start]
    return tampered(frame, lambda m: m is hoops[4], change)


def narrow_socket(frame: Frame) -> Frame:
    def change(member):
        section = TubeSection(name="thick", od_mm=member.part.section.od_mm, wall_mm=5.5)
        return remade(member, section=section)

    return tampered(frame, at(Role.SOCKET, hoop=4, side=Side.RIGHT), change)


def cut_socket(frame: Frame) -> Frame:
    """The top of a socket cut down to 8 mm above its upper hole."""

    def change(member):
        part = member.part
        off = min(h.at_mm for h in part.holes) - 8.0
        holes = tuple(replace(h, at_mm=h.at_mm - off) for h in part.holes)
        cut = remade(member, axis=part.axis.cut(off, part.length_mm), holes=holes)
        return shifted(cut, (off, 0.0, 0.0))

    return tampered(frame, at(Role.SOCKET, hoop=2, side=Side.RIGHT), change)


def narrow_board(frame: Frame) -> Frame:
    def change(member):
        deep = max(h.up_mm for h in member.part.holes) + 8.0
        section = TimberSection(name="narrow", depth_mm=deep,
                                thickness_mm=member.part.section.thickness_mm)  # fmt: skip
        return remade(member, section=section)

    boards = [m for m in frame.of(Role.SILL_BOARD) if m.spot.side is Side.RIGHT]
    return tampered(frame, lambda m: m is boards[0], change)


def long_block(clear_mm: float) -> Callable[[Frame], Frame]:
    """A joint block that reaches to ``clear_mm`` from the next socket."""

    def spoil(frame: Frame) -> Frame:
        block = next(frame.of(Role.JOINT_BLOCK))
        radius = next(frame.of(Role.SOCKET)).part.section.od_mm / 2
        low = block.placement.origin[1]
        way = block.placement.x[1]
        ahead = [y for y in frame.grid.hoop_y_mm if (y - low) * way > block.part.length_mm]
        nearest = min(abs(y - low) for y in ahead)

        def change(member):
            return remade(member, length_mm=nearest - radius - clear_mm)

        return tampered(frame, lambda m: m is block, change)

    return spoil


def splice_without_hole(frame: Frame) -> Frame:
    """The swage of a hoop piece has no hole where the bolt of the splice goes."""
    piece = next(m for m in frame.of(Role.HOOP) if m.part.end or m.part.start)

    def in_swage(member, hole: Hole) -> bool:
        part = member.part
        if part.end:
            return hole.at_mm > part.length_mm - part.end.length_mm
        return hole.at_mm < part.start.length_mm

    return tampered(
        frame, lambda m: m is piece,
        lambda m: remade(m, holes=tuple(h for h in m.part.holes if not in_swage(m, h))),
    )  # fmt: skip


def tube_beside_rail(frame: Frame) -> Frame:
    """A second tube 1.5 mm below the left rail, which it should not touch, in one bay."""

    def change(member):
        part = member.part
        length = 700.0
        extra = with_part(member, replace(part, axis=PlanePath((Line(length),)), holes=()))
        across = member.placement.z
        step = part.section.od_mm + 1.5
        place = tuple(step * c for c in across)
        start = 300.0
        return [member, moved(extra, place[0], place[1] + start, place[2])]

    return side_rail(frame, change)


def bolts_crowded(frame: Frame) -> Frame:
    """Another bolt with a nut, 8 mm from the rail's, through holes of its own."""
    bolt = rail_bolt(frame)
    return tampered(frame, near(bolt, Role.NUT, 120.0), lambda m: [m, moved(m, dy=8.0)])


def board_alone(frame: Frame) -> Frame:
    """A joint of boards without its block, whose bolts are shorter by that."""
    block = next(frame.of(Role.JOINT_BLOCK))
    thick = block.part.section.thickness_mm
    assert thick == pytest.approx(38.1)  # six steps of 1/4 in
    bolt = next(m for m in frame.of(Role.BOLT) if m.spot == block.spot)

    def change(member):
        if member is block:
            return None
        if member.role is Role.BOLT:
            return remade(member, length_mm=stocked(member.part, -6))
        return moved(member, *(-thick * c for c in bolt.placement.z))

    hardware = (Role.BOLT, Role.NUT, Role.WASHER)
    return tampered(
        frame, lambda m: m is block or m.role in hardware and m.spot == block.spot, change
    )


def short_screw(_: Frame) -> Frame:
    """A screw of a splice that ends in the outer of the two tubes."""
    frame = lay_out(design_from_mapping(design(hoop={"splice_fastener": "screws"})))
    assert found_in(frame) == []
    screw = next(frame.of(Role.SCREW))
    return tampered(frame, lambda m: m is screw, lambda m: remade(m, length_mm=2.0))


def rejoined(frame: Frame, kind: JointKind, *roles: Role, members: Sequence[Member]) -> Frame:
    """The first joint of these roles at the third hoop, told as one of ``members``."""
    joints = list(frame.joints)
    number = next(
        number
        for number, joint in enumerate(joints)
        if joint.kind is kind
        and tuple(member.role for member in joint.members) == roles
        and joint.placement.origin[1] > frame.grid.hoop_y_mm[1]
    )
    joints[number] = replace(joints[number], members=tuple(members))
    return replace(frame, joints=tuple(joints))


def told_of_another_rail(frame: Frame) -> Frame:
    """The bolt of one rail, told as that of the rail on the other side."""
    rails = [m for m in frame.of(Role.RAIL) if m.spot.side is Side.RIGHT]
    return rejoined(
        frame, JointKind.BOLTED, Role.HOOP, Role.RAIL,
        members=[first(frame, Role.HOOP, hoop=3, side=Side.LEFT), *rails[:1]],
    )  # fmt: skip


def told_of_too_little(frame: Frame) -> Frame:
    """The bolts through board, socket and leg, one of them told without the leg."""
    pair = [
        next(frame.of(Role.SILL_BOARD)),
        first(frame, Role.SOCKET, hoop=3, side=Side.LEFT),
    ]
    return rejoined(frame, JointKind.BOLTED, Role.SILL_BOARD, Role.SOCKET, Role.HOOP, members=pair)


def told_of_two_sockets(frame: Frame) -> Frame:
    """A leg told as standing in the next socket."""
    leg = first(frame, Role.HOOP, hoop=3, side=Side.LEFT)
    beside = first(frame, Role.SOCKET, hoop=4, side=Side.LEFT)
    return rejoined(frame, JointKind.NESTED, Role.SOCKET, Role.HOOP, members=[beside, leg])


def told_of_crossed_clamps(frame: Frame) -> Frame:
    """A coupler whose halves are told as sitting each on the other's tube."""
    joint = next(j for j in frame.joints if j.kind is JointKind.CLAMPED)
    joints = tuple(replace(j, members=j.members[::-1]) if j is joint else j for j in frame.joints)
    return replace(frame, joints=joints)


SPOILT: dict[str, tuple[Callable[[Frame], Frame], str]] = {
    "two bolts in one place": (two_bolts, "hardware-clash"),
    "a nut in a nut": (bolts_crowded, "hardware-clash"),
    "no hole in the rail": (without_hole, "bolt-through-solid"),
    "a hole drilled beside its place": (hole_off, "hole-off-line"),
    "a bolt too short": (bolt_length(lambda b: stocked(b, -1)), "bolt-too-short"),
    "a bolt too long": (bolt_length(lambda b: stocked(b, 6)), "nut-on-shank"),
    "a bolt that no one sells": (bolt_length(lambda b: b.length_mm + 2.0), "bolt-not-stocked"),
    "a bolt forgotten": (no_bolt, "hole-without-bolt"),
    "a nut forgotten": (no_nut, "bolt-without-nut"),
    "a nut off its bolt": (nut_off_its_bolt, "bolt-without-nut"),
    "a leg cut short": (short_leg, "leg-in-socket"),
    "a socket without a leg": (no_leg, "leg-in-socket"),
    "sockets driven too deep": (sunk, "hole-in-ground"),
    "a rail off the hoops": (rail_off_hoops, "joint-open"),
    "a clamp slid": (clamp_slid, "clamp-apart"),
    "a brace too short for its clamp": (brace_short, "clamp-off-tube"),
    "a swage too wide": (wide_swage, "tube-too-wide"),
    "a socket too narrow": (narrow_socket, "tube-too-wide"),
    "a socket cut off at its hole": (cut_socket, "hole-near-edge"),
    "a board too narrow for its holes": (narrow_board, "hole-near-edge"),
    "a block at the socket": (long_block(10.0), "block-near-socket"),
    "a block in the socket": (long_block(-15.0), "clash"),
    "a splice over a hole": (splice_without_hole, "splice-over-hole"),
    "bolts through a board alone": (board_alone, "bolt-holds-one"),
    "a screw too short": (short_screw, "screw-holds-one"),
    "a bolt told of another rail": (told_of_another_rail, "joint-holds-others"),
    "a bolt told of too little": (told_of_too_little, "joint-holds-others"),
    "a leg told of another socket": (told_of_two_sockets, "joint-holds-others"),
    "a coupler told crosswise": (told_of_crossed_clamps, "joint-holds-others"),
    "a tube at a rail": (tube_beside_rail, "narrow-gap"),
}


@pytest.mark.parametrize("fault", SPOILT)
def test_a_spoilt_frame_is_found(fault: str) -> None:
    spoil, rule = SPOILT[fault]
    found = found_in(spoil(sound()))
    assert {finding.rule.name for finding in found} == {rule}


@pytest.mark.parametrize("fault", SPOILT)
def test_findings_are_whole(fault: str) -> None:
    """A number comes with its limit and unit, and what is found is beyond the limit."""
    for finding in found_in(SPOILT[fault][0](sound())):
        assert finding.where and finding.message and finding.advice
        assert finding.message.endswith(".") and finding.advice.endswith(".")
        assert (finding.required is None) == (finding.provided is None) == (finding.unit == "")
        assert finding.margin is None or finding.margin < 0
        # The design is in feet and inches, and so is what is said of it.
        assert " mm" not in finding.message


@pytest.mark.parametrize("fault", [*DESIGNS, *SPOILT])
def test_findings_lead_to_the_members_that_they_name(fault: str) -> None:
    if fault in SPOILT:
        frame = SPOILT[fault][0](sound())
    else:
        frame = lay_out(design_from_mapping(design(**DESIGNS[fault][0])))
    found = found_in(frame)
    assert found and all(finding.members for finding in found)
    assert unlinked(frame, found) == []


def test_every_rule_has_a_frame_that_breaks_it() -> None:
    seeded = {rule for _, rule in (*DESIGNS.values(), *SPOILT.values())}
    rules = {rule.name for rule in RULES}
    assert len(rules) == len(RULES)
    elsewhere = {"holes-too-near", "bolt-holds-nothing"}  # in test_fit.py
    elsewhere |= {"cover-clash", "channel-bearing"}  # in test_cover_clashes.py
    assert rules - seeded == elsewhere
    assert len(DESIGNS) + len(SPOILT) >= 25
    assert all(rule.severity is not Severity.NOTE and rule.source for rule in RULES)
