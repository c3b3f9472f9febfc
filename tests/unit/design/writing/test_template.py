"""The design file that a user starts from: complete, readable, and good as it stands."""

from __future__ import annotations

import re

import pytest
from offered import switched_on
from solved_designs import arch_of

from frame3d.design.reading.reader import design_from_text
from frame3d.design.tables.whole_design import DoorKind, End, RailPlace
from frame3d.design.values.field_info import sections
from frame3d.design.values.starter_values import EXAMPLES, OFFERED
from frame3d.design.writing.template import design_text, toml
from frame3d.errors import DesignError, DesignFaults
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

FOUR = [(style, units) for style in ArchStyle for units in UnitSystem]
HEADROOM_MM = 80 * 25.4
"""2010 ADA Standards, 307.4: 80 in are the least where people walk."""


def mark(section):
    """What stands before the header of a section in a new design."""
    return "# " if section.name in OFFERED else ""


@pytest.mark.parametrize(("style", "units"), FOUR)
class TestEachOfTheFour:
    def test_it_reads_back_without_a_fault(self, style, units):
        design = design_from_text(design_text(style, units, name="North field"))
        assert design.profile.style is style
        assert design.output.units is units
        assert design.project.name == "North field"

    def test_every_field_of_every_section_is_there_with_its_meaning(self, style, units):
        text = design_text(style, units)
        flat = " ".join(text.replace("\n#", " ").split())
        for section in sections().values():
            header = f"\n{mark(section)}{section.header}\n"
            assert header in text
            own = text.split(header, 1)[1].split("\n# ---", 1)[0]
            for facts in section.fields.values():
                told = rf"^(# )?{facts.name} = .+$|^# {facts.name}: only for a|: {facts.name} = "
                assert re.search(told, own, re.MULTILINE)
                assert facts.meaning[1:] in flat
                assert facts.why in flat

    def test_every_default_is_told(self, style, units):
        flat = " ".join(design_text(style, units).replace("\n#", " ").split())
        for section in sections().values():
            for facts in section.fields.values():
                if facts.default(units) is not None:
                    assert f"Default {toml(facts.default(units))}" in flat

    def test_lines_are_short_and_clean(self, style, units):
        for line in design_text(style, units).splitlines():
            # A value stays on one line, so that its # can just go.
            assert len(line) <= (100 if re.match(r"(# )?[a-z_]+ = ", line) else 90)
            assert line == line.rstrip()
            assert line.isprintable()

    def test_it_has_end_walls_with_a_door_in_front_and_a_cover(self, style, units):
        design = design_from_text(design_text(style, units))
        (wall,), (door,) = design.end_wall, design.door
        assert wall.at.each == (End.FRONT, End.BACK)
        assert (door.at.each, door.kind, door.leaves) == ((End.FRONT,), DoorKind.HINGED, 1)
        assert design.cover.side_allowance > 0
        # The door is under the hoop, header and all, and people and barrows pass it.
        assert door.height >= HEADROOM_MM - 1e-9
        top_mm = door.height + wall.timber.depth_mm + design.hoop.tube.od_mm
        assert arch_of(design).half_width_at(top_mm) > door.width / 2 + wall.timber.thickness_mm

    def test_what_is_offered_is_not_there(self, style, units):
        text = design_text(style, units)
        design = design_from_text(text)
        assert design.tie == () and design.machine == ()
        for name in OFFERED:
            told = f"remove the # from {sections()[name].header}, and from each field"
            assert told in " ".join(text.replace("\n#", " ").split())

    @pytest.mark.parametrize("names", [OFFERED[:1], OFFERED[1:], OFFERED])
    def test_what_is_offered_can_be_switched_on(self, style, units, names):
        """By the header alone, or with all fields: both mean the same.

        But for sections with fields that only have an example.
        """
        headers = switched_on(design_text(style, units), *names, fields=False)
        design = design_from_text(headers)
        plain = [name for name in names if name not in {section for section, _ in EXAMPLES}]
        assert design == design_from_text(switched_on(headers, *plain, fields=True))
        assert len(design.tie) == ("tie" in names)

    @pytest.mark.parametrize("name", OFFERED)
    def test_a_field_switched_on_without_its_header_is_a_fault(self, style, units, name):
        """It must never slip into the section above it without a word."""
        text = design_text(style, units)
        lines = text.splitlines()
        begin = lines.index(f"# {sections()[name].header}") + 1
        for number in range(begin, len(lines)):
            if lines[number].startswith("# ---"):
                break
            if re.match(r"# [a-z_]+ = ", lines[number]):
                changed = [*lines[:number], lines[number][2:], *lines[number + 1 :]]
                with pytest.raises(DesignFaults, match="given twice|is not a field of"):
                    design_from_text("\n".join(changed))

    def test_the_tie_that_is_offered_is_overhead_and_on_the_hoop(self, style, units):
        text = switched_on(design_text(style, units), "tie", fields=True)
        design = design_from_text(text)
        (tie,) = design.tie
        arch = arch_of(design)
        assert tie.height - tie.tube.od_mm / 2 > HEADROOM_MM
        assert tie.height > design.door[0].height
        # It meets the bend of the hoop well above the leg and well below the ridge, and
        # clear of the side rails by more than a hand (common practice, no source).
        assert arch.leg_height_mm < tie.height < arch.ridge_height_mm - 600
        assert 0.5 < 2 * arch.half_width_at(tie.height) / design.profile.width < 1
        for rail in design.rail:
            if rail.at is RailPlace.SIDES:
                rail_mm = arch.point_at(arch.distance_at_fraction(rail.fraction)).z_mm
                assert abs(rail_mm - tie.height) > 100
        assert all(brace.to_height < tie.height - 100 for brace in design.brace)

    def test_the_side_opening_is_under_rails_and_over_the_sill(self, style, units):
        design = design_from_text(design_text(style, units))
        opening, board = design.side_opening, design.sill_board
        low_mm = board.bottom + board.timber.depth_mm
        assert opening.height - opening.timber.depth_mm / 2 > low_mm + 600
        arch = arch_of(design)
        rails = [rail for rail in design.rail if rail.at is RailPlace.SIDES]
        lowest = min(arch.point_at(arch.distance_at_fraction(r.fraction)).z_mm for r in rails)
        assert opening.height + opening.timber.depth_mm / 2 < lowest - 100

    def test_the_arch_exists(self, style, units):
        design = design_from_text(design_text(style, units))
        arch = arch_of(design)
        assert arch.ridge_height_mm == pytest.approx(design.profile.ridge_height)
        # The socket must end on the straight leg.
        assert arch.leg_height_mm > design.socket.exposed

    def test_the_tubes_slide_into_each_other(self, style, units):
        """0.5 mm to 3 mm of play (common practice, no source)."""
        design = design_from_text(design_text(style, units))
        outer = [design.socket.tube]
        if style is ArchStyle.GOTHIC:
            outer.append(design.hoop.ridge_tube)
        for tube in outer:
            assert 0.5 <= tube.inside_mm - design.hoop.tube.od_mm <= 3.0

    def test_the_pieces_come_out_of_the_stock(self, style, units):
        """Stock of 24 ft or 6 m (common practice, no source)."""
        design = design_from_text(design_text(style, units))
        length = 2 * arch_of(design).half.length_mm / design.hoop.pieces + design.hoop.overlap
        assert length <= (24 * 304.8 if units is UnitSystem.IMPERIAL else 6000)


def test_a_list_of_lengths_is_explained_with_an_example():
    for units, example in (
        (UnitSystem.IMPERIAL, '# positions = ["-8 ft", "-4 ft", "4 ft", "8 ft"]'),
        (UnitSystem.METRIC, '# positions = ["-2.4 m", "-1.2 m", "1.2 m", "2.4 m"]'),
    ):
        text = design_text(ArchStyle.GOTHIC, units)
        assert f"\n{example}\n" in text
        flat = " ".join(text.replace("\n#", " ").split())
        limits = "-15 m and 15 m" if units is UnitSystem.METRIC else "-49'-2\" and 49'-2\""
        assert f"A list of at most 60, each a length, between {limits}. Default []: studs" in flat


def test_every_optional_field_has_an_example_and_no_other():
    optional = {
        (section.name, facts.name)
        for section in sections().values()
        for facts in section.fields.values()
        if facts.optional or facts.default(UnitSystem.METRIC) == []
    }
    assert optional == set(EXAMPLES)
    assert {("end_wall", "positions"), ("end_wall", "girts"), ("end_wall", "top")} < optional


@pytest.mark.parametrize("name", ['quote " and \\ mark', "Grüne Wiese", "x" * 60, " trimmed "])
def test_any_printable_name_survives(name):
    text = design_text(ArchStyle.GOTHIC, UnitSystem.METRIC, name=name)
    assert design_from_text(text).project.name == name.strip()


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "two\nlines", "\0", "\ud800"])
def test_a_name_that_does_not_fit_is_refused(name):
    with pytest.raises(DesignError, match="project.name: got a name .*1 to 60 characters, on one"):
        design_text(ArchStyle.GOTHIC, UnitSystem.METRIC, name=name)
