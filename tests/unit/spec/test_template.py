"""The design file that a user starts from: complete, readable, and good as it stands."""

from __future__ import annotations

import re

import pytest
from solved_designs import arch_of

from frame3d.errors import DesignError
from frame3d.geometry.arch import ArchStyle
from frame3d.spec.facts import sections
from frame3d.spec.reader import design_from_text
from frame3d.spec.starts import EXAMPLES
from frame3d.spec.template import design_text, toml
from frame3d.units import UnitSystem

FOUR = [(style, units) for style in ArchStyle for units in UnitSystem]


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
            assert f"\n{section.header}\n" in text
            own = text.split(f"\n{section.header}\n", 1)[1].split("\n# ---", 1)[0]
            for facts in section.fields.values():
                assert re.search(rf"^(# )?{facts.name} = .+$", own, re.MULTILINE)
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
            assert len(line) <= 90
            assert line == line.rstrip()
            assert line.isprintable()

    def test_every_commented_field_can_be_switched_on_by_itself(self, style, units):
        """Some contradict what is given, and then the message says so; none is unreadable."""
        lines = design_text(style, units).splitlines()
        for number, line in enumerate(lines):
            if re.match(r"# [a-z_]+ = ", line):
                (name, value) = line[2:].split(" = ")
                changed = [*lines[:number], line[2:], *lines[number + 1 :]]
                others = {
                    "crown_radius": style is ArchStyle.QUONSET,
                    "rafter_radius": style is ArchStyle.GOTHIC,
                    "ridge_slope": style is ArchStyle.GOTHIC,
                    "height": False,
                }
                if others.get(name, True):
                    design_from_text("\n".join(changed))
                else:
                    with pytest.raises(ValueError, match="belongs to|both height and fraction"):
                        design_from_text("\n".join(changed))

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


def test_every_optional_field_has_an_example_and_no_other():
    optional = {
        (section.name, facts.name)
        for section in sections().values()
        for facts in section.fields.values()
        if facts.optional
    }
    assert optional == set(EXAMPLES)


@pytest.mark.parametrize("name", ['quote " and \\ mark', "Grüne Wiese", "x" * 60, " trimmed "])
def test_any_printable_name_survives(name):
    text = design_text(ArchStyle.GOTHIC, UnitSystem.METRIC, name=name)
    assert design_from_text(text).project.name == name.strip()


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "two\nlines", "\0", "\ud800"])
def test_a_name_that_does_not_fit_is_refused(name):
    with pytest.raises(DesignError, match="project.name: got a name .*1 to 60 characters, on one"):
        design_text(ArchStyle.GOTHIC, UnitSystem.METRIC, name=name)
