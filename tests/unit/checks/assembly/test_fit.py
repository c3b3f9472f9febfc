"""Fits of the examples and of small changes to them, with numbers worked out by hand."""

from __future__ import annotations

import tomllib

import pytest
from bare_examples import bare
from msgspec.structs import replace
from tampered import at, moved, near, remade, tampered

from frame3d.checks.assembly.assembly import find_assembly_faults
from frame3d.checks.assembly.clashes import find_clashes, reach_of
from frame3d.checks.assembly.fit import find_misfits
from frame3d.checks.findings.finding import Finding
from frame3d.checks.measured.contacts import ContactKind
from frame3d.checks.measured.near_pairs import survey
from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.design.values.starter_values import start_values
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Hole
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

INCH = 25.4


def gothic() -> Frame:
    return bare("long_meadow_gothic")


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_hoops_rails_braces_and_boards_of_the_examples_fit(name: str) -> None:
    assert find_clashes(bare(name)) == []
    assert find_misfits(bare(name)) == []


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_the_whole_examples_go_together(name: str) -> None:
    assert find_assembly_faults(lay_out(read_design(example_paths()[name]))) == []


@pytest.mark.parametrize("units", list(UnitSystem))
@pytest.mark.parametrize("style", list(ArchStyle))
def test_new_designs_go_together(style: ArchStyle, units: UnitSystem) -> None:
    assert find_assembly_faults(lay_out(design_from_mapping(started(style, units)))) == []


def started(style: ArchStyle, units: UnitSystem) -> dict:
    """What a new design holds."""
    several = ("rail", "brace", "end_wall", "door")
    values = start_values(style, units)
    return {k: v if k in several else v[0] for k, v in values.items()}


def nested(frame: Frame, inner: Role, outer: Role) -> list:
    """Contacts of tubes of one role in tubes of another."""
    seen, found = survey(frame), []
    for meeting in seen.meetings:
        members = [seen.scene.members[int(side[0])]
                   for side in (meeting.pairs.first, meeting.pairs.second)]  # fmt: skip
        for contact in meeting.contacts:
            roles = [m.role for m in (members[::-1] if contact.swapped else members)]
            if contact.kind is ContactKind.NESTED and roles == [inner, outer]:
                found.append(contact)
    return found


def test_the_leg_of_the_gothic_example_in_its_socket() -> None:
    """2 in in 2.375 in x 10 ga BWG (0.134 in): 0.107 in of play; 12 in deep (its design)."""
    for leg in nested(gothic(), Role.HOOP, Role.SOCKET):
        assert 2 * leg.allowed_mm == pytest.approx((2.375 - 2 * 0.134 - 2) * INCH, abs=1e-6)
        assert leg.to_mm - leg.from_mm == pytest.approx(12 * INCH, abs=1e-6)
        assert leg.offset_mm == pytest.approx(0.0, abs=1e-5)
        assert (leg.outer_from_mm, leg.outer_to_mm) == pytest.approx((0.0, 12 * INCH), abs=1e-6)


def test_splices_overlap_as_the_designs_say() -> None:
    """6 in of swage and 9 in in the ridge sleeve; 150 mm to each side in the quonset's."""
    for splice in nested(gothic(), Role.HOOP, Role.HOOP):
        assert splice.to_mm - splice.from_mm == pytest.approx(6 * INCH, abs=1e-5)
        assert 2 * splice.allowed_mm == pytest.approx(0.8, abs=1e-6)
    for half in nested(gothic(), Role.HOOP, Role.RIDGE_JOINT):
        assert half.to_mm - half.from_mm == pytest.approx(9 * INCH, abs=1e-3)
    sleeves = nested(bare("long_meadow_quonset"), Role.HOOP, Role.SPLICE)
    assert len(sleeves) == 2
    for piece in sleeves:
        assert piece.to_mm - piece.from_mm == pytest.approx(150.0, abs=1e-3)
        assert 2 * piece.allowed_mm == pytest.approx(48.3 - 2 * 2.6 - 42.4, abs=1e-6)


def test_what_a_socket_bolt_holds_by_hand() -> None:
    """Board 1-1/2 in, socket 2-3/8 in, then a washer and the nut."""
    seen = survey(gothic())
    number = next(
        n for n, m in enumerate(seen.scene.members)
        if m.role is Role.BOLT and m.spot.hoop == 2 and m.spot.side is Side.LEFT
        and m.placement.origin[2] < 250
    )  # fmt: skip
    stretches = {
        seen.scene.members[other].role: (contact.from_mm, contact.to_mm)
        for meeting, order, other in seen.links.of(number)
        if (contact := seen.meetings[meeting].contacts[order])
    }
    assert stretches[Role.SILL_BOARD] == pytest.approx((0.0, 1.5 * INCH), abs=1e-3)
    assert stretches[Role.SOCKET] == pytest.approx((1.5 * INCH, 3.875 * INCH), abs=1e-3)
    gap = (2.375 - 2.0) / 2 * INCH
    assert stretches[Role.HOOP] == pytest.approx((1.5 * INCH + gap, 3.875 * INCH - gap), abs=1e-3)
    washer = stretches[Role.WASHER][1] - stretches[Role.WASHER][0]
    assert stretches[Role.NUT][0] == pytest.approx(3.875 * INCH + washer, abs=1e-3)


def misfits(frame: Frame) -> list[Finding]:
    return find_misfits(frame, survey(frame, reach_of(frame)))


def test_holes_too_near_to_each_other() -> None:
    """13/32 in holes 20 mm apart: EN 1993-1-8 wants 2.2 of them, 22.7 mm (from memory)."""

    def change(member):
        last = member.part.holes[-1]
        return remade(member, holes=(*member.part.holes, replace(last, at_mm=last.at_mm - 20.0)))

    spoilt = tampered(gothic(), at(Role.RAIL, hoop=1, side=Side.RIGHT, mark="R4"), change)
    found = {f.rule.name: f for f in misfits(spoilt)}
    assert found["holes-too-near"].provided == pytest.approx(20.0, abs=1e-6)
    assert found["holes-too-near"].required == pytest.approx(2.2 * 13 / 32 * INCH, abs=1e-3)
    # The new hole is empty as well, and nothing else is told.
    assert set(found) == {"holes-too-near", "hole-without-bolt"}


def test_a_bolt_in_the_air_holds_nothing() -> None:
    bolt = next(gothic().of(Role.BOLT))
    picks = [near(bolt, role, 150.0) for role in (Role.BOLT, Role.NUT, Role.WASHER)]

    def doubled(member):
        return [member, moved(member, dy=500.0, dz=3000.0, dx=2500.0)]

    spoilt = tampered(gothic(), lambda m: m is bolt or any(p(m) for p in picks[1:]), doubled)
    assert "bolt-holds-nothing" in {f.rule.name for f in misfits(spoilt)}
    assert find_clashes(spoilt) == []


def test_a_tight_fit_is_told_as_well_as_a_loose_one() -> None:
    def spoilt(wall_mm: float) -> Finding:
        def change(member):
            section = replace(member.part.section, name="other", wall_mm=wall_mm)
            return remade(member, section=section)

        frame = tampered(gothic(), at(Role.SOCKET, hoop=5, side=Side.LEFT), change)
        (finding,) = (f for f in misfits(frame) if f.rule.name == "sliding-fit")
        return finding

    outside, leg = 2.375 * INCH, 2.0 * INCH
    tight, loose = spoilt((outside - leg - 0.3) / 2), spoilt((outside - leg - 4.0) / 2)
    assert tight.margin == pytest.approx(0.3 - 0.5, abs=1e-5)
    assert "0.012 in" in tight.message
    assert loose.margin == pytest.approx(3.0 - 4.0, abs=1e-5)
    assert "0.157 in" in loose.message


def test_equal_findings_are_told_once_with_their_count() -> None:
    spoilt = tampered(gothic(), at(Role.SOCKET, side=Side.LEFT), lambda m: remade(m, holes=()))
    (finding,) = find_clashes(spoilt)
    assert finding.rule.name == "splice-over-hole"
    assert "(50 places in all)" in finding.where
    assert finding.where.count("hoop ") == 3


def test_one_short_overlap_of_many_tubes_is_told_once() -> None:
    """Swages of 3 in where 2.5 diameters of 2 in tube are 5 in: one finding for all three kinds of
    hoops, with 25 hoops of two splices."""
    design = tomllib.loads(example_paths()["long_meadow_gothic"].read_text("utf-8"))
    design["hoop"]["overlap"] = "3 in"
    found = find_misfits(lay_out(design_from_mapping(design)))
    (finding,) = (one for one in found if one.rule.name == "splice-overlap")
    assert finding.where.startswith("H1 in H2, H3 in H4, H5 in H6: hoop 1, left; ")
    assert finding.where.endswith("(50 places in all)")
    assert len(finding.members) == 100


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_hinge_on_a_tube_stands_on_one_clamp(hand: str) -> None:
    mapping = started(ArchStyle.GOTHIC, UnitSystem.METRIC)
    mapping["end_wall"], mapping["door"] = [{"studs": "tube"}], [{"hand": hand}]
    frame = lay_out(design_from_mapping(mapping))
    assert any(frame.of(Role.HINGE))
    assert "clamp-apart" not in {f.rule.name for f in misfits(frame)}


def test_a_hole_counts_from_the_nearest_end() -> None:
    def change(member):
        hole = Hole(at_mm=12.0, clock_rad=1.0, diameter_mm=10.0)
        return remade(member, holes=(*member.part.holes, hole))

    spoilt = tampered(gothic(), at(Role.BRACE, hoop=2, side=Side.LEFT), change)
    (edge,) = (f for f in misfits(spoilt) if f.rule.name == "hole-near-edge")
    assert (edge.required, edge.provided) == pytest.approx((15.0, 12.0))


@pytest.mark.parametrize("pieces", [2, 3, 5])
def test_pieces_of_a_hoop_narrower_than_it_is_high_lie_in_each_other(pieces: int) -> None:
    """One leg is nearer to the other than to the crown, where the pieces are joined."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "3 m", "ridge_height": "6.8 m"},
        "bays": {"count": 1, "spacing": "1 m"},
        "hoop": {"tube": "42 x 2 mm", "pieces": pieces}, "socket": {"tube": "50 x 3 mm"},
    }))  # fmt: skip
    assert [
        f for f in find_assembly_faults(frame) if f.rule.name in ("clash", "tube-too-wide")
    ] == []
