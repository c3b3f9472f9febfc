"""Which step parts and hardware belong to, for joints whose place is plain."""

from __future__ import annotations

import functools

import pytest
from walled_designs import DESIGNS, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.ends import End
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Screw, Washer
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.labour import hours_of, rates, spoken
from frame3d.guide.steps.phases import PHASE_OF_ROLE, Phase
from frame3d.guide.steps.steps import Step, steps_of


@functools.cache
def frame_of(name: str) -> Frame:
    return lay_out(design_from_mapping(DESIGNS[name]))


def step(steps: tuple[Step, ...], phase: Phase, end: End | None = None) -> Step:
    return next(one for one in steps if one.phase is phase and one.end is end)


def held_roles(one: Step, kind: type) -> set[frozenset[Role]]:
    return {
        frozenset(member.role for member in fixing.held)
        for fixing in one.fixings
        if isinstance(fixing.member.part, kind)
    }


def test_sill_bolts_go_through_board_socket_and_leg() -> None:
    steps = steps_of(frame_of("gothic example"))
    found = held_roles(step(steps, Phase.SILLS), Bolt)
    assert found == {
        frozenset({Role.SILL_BOARD, Role.SOCKET, Role.HOOP}),
        frozenset({Role.SILL_BOARD, Role.JOINT_BLOCK}),
    }
    # Two at each socket.
    frame = frame_of("gothic example")
    at_sockets = [f for f in step(steps, Phase.SILLS).fixings
                  if isinstance(f.member.part, Bolt)
                  and Role.SOCKET in {m.role for m in f.held}]  # fmt: skip
    assert len(at_sockets) == 2 * 2 * len(frame.grid.hoop_y_mm)


def test_without_boards_legs_are_bolted_when_hoops_are_raised() -> None:
    mapping = walled()
    del mapping["sill_board"], mapping["end_wall"], mapping["door"]
    frame = lay_out(design_from_mapping(mapping))
    steps = steps_of(frame)
    raising = step(steps, Phase.RAISE)
    assert held_roles(raising, Bolt) == {frozenset({Role.SOCKET, Role.HOOP})}
    assert sum(isinstance(f.member.part, Bolt) for f in raising.fixings) == 4 * 7
    assert {one.phase for one in steps}.isdisjoint({Phase.SILLS, Phase.WALLS, Phase.DOORS})
    assert {member.role for member in raising.moved} >= {Role.HOOP}


def test_the_ridge_bolt_waits_for_its_rail() -> None:
    steps = steps_of(frame_of("gothic example"))
    ridge = step(steps, Phase.RIDGE)
    assert {frozenset({Role.RAIL, Role.RIDGE_JOINT})} <= held_roles(ridge, Bolt)
    assert all(abs(member.placement.origin[0]) < 1.0 for member in ridge.members)
    sides = step(steps, Phase.RAILS)
    assert all(abs(member.placement.origin[0]) > 100.0 for member in sides.members)


def test_a_clamp_goes_with_what_it_brings() -> None:
    steps = steps_of(frame_of("clamped tubes, sliding and roll-up"))
    walls = step(steps, Phase.WALLS, End.FRONT)
    assert frozenset({Role.STUD, Role.HOOP}) in held_roles(walls, ClampHalf)
    assert frozenset({Role.STUD, Role.GIRT}) in held_roles(walls, ClampHalf)
    ears = [f for f in walls.fixings if f.in_clamp]
    clamps = [f for f in walls.fixings if isinstance(f.member.part, ClampHalf)]
    # Each half has a bolt with a nut and no washer.
    assert len(clamps) == sum(isinstance(f.member.part, Bolt) for f in ears)
    assert not any(isinstance(f.member.part, Washer) for f in ears)


def test_hinges_of_tube_jambs_wait_for_the_leaf() -> None:
    steps = steps_of(frame_of("flattened tubes, double door"))
    doors = step(steps, Phase.DOORS, End.FRONT)
    assert any({Role.HINGE, Role.DOOR_JAMB} <= roles for roles in held_roles(doors, ClampHalf))


def test_walls_and_doors_are_split_by_ends() -> None:
    frame = frame_of("gothic example")
    for phase in (Phase.WALLS, Phase.DOORS):
        for end, middle in ((End.FRONT, 0.0), (End.BACK, frame.grid.length_mm)):
            one = step(steps_of(frame), phase, end)
            assert one.members
            assert all(abs(m.placement.origin[1] - middle) < 5000 for m in one.members)


@pytest.mark.parametrize("at", [End.FRONT, End.BACK])
@pytest.mark.parametrize("bays", [1, 2])
def test_braces_of_an_end_wall_stay_with_it_in_a_short_frame(at: End, bays: int) -> None:
    frame = lay_out(design_from_mapping(walled(
        bays={"count": bays, "spacing": "1.5 m"}, end_wall=[{"at": at.value}], door=[],
    )))  # fmt: skip
    braces = list(frame.of(Role.WALL_BRACE))
    assert braces
    steps = steps_of(frame)
    assert [one.end for one in steps if one.phase is Phase.WALLS] == [at]
    placed = {id(member) for member in step(steps, Phase.WALLS, at).members}
    assert {id(member) for member in braces} <= placed


def test_joint_blocks_go_with_their_own_boards() -> None:
    frame = frame_of("gothic example")
    steps = steps_of(frame)
    for phase, role in ((Phase.SILLS, Role.SILL_BOARD), (Phase.HIPS, Role.HIP_BOARD)):
        one = step(steps, phase)
        blocks = {id(m) for m in one.members if m.role is Role.JOINT_BLOCK}
        assert blocks
        holding = [f for f in one.fixings if any(id(m) in blocks for m in f.held)]
        assert all(role in {m.role for m in f.held} for f in holding)
        assert {id(m) for f in holding for m in f.held if m.role is Role.JOINT_BLOCK} == blocks


@pytest.mark.parametrize("name", DESIGNS)
def test_hardware_holds_something(name: str) -> None:
    for one in steps_of(frame_of(name)):
        for fixing in one.fixings:
            # One part alone is held by the bolts that stop what runs on it.
            stops = {m.role for m in fixing.held} <= {Role.DOOR_TRACK, Role.ROLL_TUBE}
            least = 1 if isinstance(fixing.member.part, Screw) or stops else 2
            assert len(fixing.held) >= least, (one.phase, fixing.member.mark)
            assert isinstance(fixing.member.part, (Bolt, Nut, Washer, Screw, ClampHalf))


def test_every_role_of_a_made_part_has_a_phase() -> None:
    bought = {Role.CLAMP, Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW}
    # What a model can show of the cover is no part of the frame.
    shown = {Role.FILM, Role.WIRE, Role.CORD}
    # Rails go by where they lie, joint blocks by their boards.
    assert set(PHASE_OF_ROLE) == set(Role) - bought - shown - {Role.RAIL, Role.JOINT_BLOCK}


def test_every_phase_has_its_rate_and_hours_add_up() -> None:
    assert set(rates()) == set(Phase)
    for rate in rates().values():
        assert rate.people >= 1
        assert 0 < rate.low < rate.high
        assert rate.fixed[0] <= rate.fixed[1]
        assert rate.tools
    hours = hours_of(Phase.SOCKETS, 50)
    # 0.5 + 50 x 0.2 and 1.0 + 50 x 0.5, by the table.
    assert (hours.low, hours.high) == pytest.approx((10.5, 26.0))
    assert hours.text == "11 to 26 person-hours"
    assert [spoken(h) for h in (0.1, 2.3, 9.8, 10.5, 99.4)] == ["0.5", "2.5", "10", "11", "99"]
