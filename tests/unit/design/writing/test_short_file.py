"""The short design file: few lines, each explained, that go together whatever is changed."""

from __future__ import annotations

import re
import tomllib

import pytest

from frame3d.catalog import timber_rows, tube_rows
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.values.starter_values import NOTES
from frame3d.design.writing.short_file import short_text
from frame3d.design.writing.starters import Figures, new_tables, units_meant, with_figures
from frame3d.design.writing.template import design_text
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

FOUR = [(style, units) for style in ArchStyle for units in UnitSystem]
TUBES = [row.value for row in tube_rows()]


def short(style, units, **figures):
    return short_text(new_tables(style, units, "North", Figures(**figures)), units)


def active(text):
    return [line for line in text.splitlines() if line and not line.startswith("#")]


@pytest.mark.parametrize(("style", "units"), FOUR)
class TestEachOfTheFour:
    def test_it_is_30_to_40_lines(self, style, units):
        assert 30 <= len(active(short(style, units))) <= 40

    def test_it_is_the_design_of_the_full_file(self, style, units):
        assert design_from_text(short(style, units)) == design_from_text(
            design_text(style, units, "North")
        )

    def test_the_full_file_has_the_same_lines_and_else_comments(self, style, units):
        """And the headers of tables that every design has, so that a # can just go."""
        lines = [re.sub(r" +#.*", "", line) for line in active(short(style, units))]
        full = active(design_text(style, units, "North"))
        empty = [
            line for line, after in zip(full, [*full[1:], "["], strict=True)
            if line.startswith("[") and after.startswith("[")
        ]  # fmt: skip
        assert {"[socket]", "[clearance]", "[order]"} <= set(empty)
        assert [line for line in full if line not in empty] == lines

    def test_each_field_has_half_a_line_at_its_first_place(self, style, units):
        told = set()
        section = "format"
        for line in active(short(style, units)):
            if line.startswith("["):
                section = line.strip("[]")
                continue
            assert len(line) <= 90
            name, note = line.split(" = ")[0], line.partition("# ")[2]
            assert note or (section, name) in told, line
            assert len(note) <= 60
            told.add((section, name))
            if section != "format":
                assert note in ("", NOTES[section, name])

    def test_the_tube_of_the_hoops_can_be_any(self, style, units):
        """But the largest, over which no other of the catalogue goes. Each in two of the four."""
        largest = max(tube.od_mm for tube in TUBES)
        for tube in TUBES[FOUR.index((style, units)) % 2 :: 2]:
            error = refusal(changed(style, units, "hoop", tube=tube.name))
            if tube.od_mm < largest:
                assert error is None, (tube.name, error)
            else:
                assert error.where == "hoop.tube"

    def test_each_other_figure_can_be_changed_alone(self, style, units):
        """What is refused names one of the few fields, and most is taken."""
        # A bolt that is too short for boards says so, and what to do with either.
        few = fields_of(style, units) | {"hardware.frame_bolt"}
        refused = []
        for section, name, values in changes(units):
            if name == "ridge_slope" and style is ArchStyle.QUONSET:
                continue
            for value in values:
                error = refusal(changed(style, units, section, **{name: value}))
                if error is not None:
                    place = re.sub(r"\[\d+\]", "", error.where)
                    assert place in few, (section, name, value, str(error))
                    refused.append((section, name, value, str(error)[:90]))
        # No M10 bolt of the catalogue goes through studs of 200 mm, no screw holds in 22 mm.
        odd = [one for one in refused if one[:2] == ("end_wall", "timber")]
        assert len(refused) - len(odd) <= 6 and len(odd) <= 8, "\n".join(map(str, refused))


def fields_of(style, units):
    mapping = tomllib.loads(short(style, units))
    named = {"bays", "profile"}
    for section, tables in mapping.items():
        for table in tables if isinstance(tables, list) else [tables]:
            named |= {
                section,
                *(f"{section}.{name}" for name in (table if isinstance(table, dict) else ())),
            }
    return named


def changes(units):
    imperial = units is UnitSystem.IMPERIAL

    def sizes(*feet):
        return [f"{n} ft" if imperial else f"{0.3 * n:g} m" for n in feet]

    boards = [
        row.value.name for row in timber_rows()
        if ("mm" not in row.value.name and "x" in row.value.name)
    ]  # fmt: skip
    tubes = [tube.name for tube in TUBES[::20]]
    return [
        ("profile", "width", sizes(10, 12, 15, 17, 24, 28, 30, 36, 40)),
        ("profile", "ridge_height", sizes(8, 9, 10, 11, 13, 15, 18)),
        ("profile", "leg_height", sizes(1, 2, 3, 5, 6)),
        ("profile", "ridge_slope", ["10 deg", "15 deg", "25 deg", "30 deg"]),
        ("bays", "length", sizes(8, 13, 20, 31, 100, 300)),
        ("bays", "largest_spacing", sizes(3, 5, 6, 8)),
        ("rail", "fraction", [0.3, 0.4, 0.7, 0.8]), ("rail", "tube", tubes),
        ("brace", "to_height", sizes(3, 4, 5, 7)), ("brace", "tube", tubes),
        ("sill_board", "timber", boards[::3]),
        ("side_opening", "height", sizes(3, 4, 5)), ("side_opening", "timber", boards[::3]),
        ("end_wall", "timber", boards[::3]), ("end_wall", "at", ["front", "back"]),
        ("door", "width", sizes(3, 5, 6, 8, 10)), ("door", "kind", ["sliding", "roll-up"]),
    ]  # fmt: skip


def changed(style, units, section, **values):
    """The short design as a short tunnel, with a value of its first table of a section changed."""
    mapping = tomllib.loads(short(style, units))
    mapping["bays"]["length"] = "12 ft" if units is UnitSystem.IMPERIAL else "4.5 m"
    table = mapping[section]
    (table[0] if isinstance(table, list) else table).update(values)
    return mapping


def refusal(mapping):
    try:
        lay_out(design_from_mapping(mapping))
    except DesignError as error:
        return error
    except DesignFaults as error:
        return DesignError(error.faults[0].message, error.faults[0].where)
    return None


def test_the_height_goes_with_the_width():
    """Gothic: 8 ft over legs of 4 ft in 20 ft; in 30 ft 12 ft, so 16 ft."""
    tables = new_tables(ArchStyle.GOTHIC, UnitSystem.IMPERIAL, "x", Figures(width="30 ft"))
    assert tables["profile"][0]["ridge_height"] == "16 ft"
    given = Figures(width="30 ft", height="14 ft")
    tables = new_tables(ArchStyle.GOTHIC, UnitSystem.IMPERIAL, "x", given)
    assert tables["profile"][0]["ridge_height"] == "14 ft"


def test_braces_are_lower_in_a_lower_tunnel():
    tables = new_tables(ArchStyle.GOTHIC, UnitSystem.METRIC, "x", Figures(height="2.4 m"))
    assert tables["brace"][0]["to_height"] == "1.95 m"  # 45 cm under the ridge


@pytest.mark.parametrize(
    ("figures", "units"),
    [
        ({}, "imperial"), ({"width": "26 ft"}, "imperial"), ({"width": "8 m"}, "metric"),
        ({"width": "8m", "length": "72 ft"}, "metric"), ({"spacing": "1200 mm"}, "metric"),
        ({"height": "12' 6\""}, "imperial"), ({"height": "350 cm"}, "metric"),
        ({"width": "9 miles"}, "imperial"),
    ],
)  # fmt: skip
def test_units_are_those_of_the_figures(figures, units):
    assert units_meant(Figures(**figures)).value == units


def test_figures_go_into_a_design_that_is_there():
    design = {"profile": {"width": "30 ft"}, "bays": {"count": 24, "spacing": "4 ft"}}
    units = UnitSystem.IMPERIAL
    found = with_figures(design, Figures(spacing="5 ft"), units, None)
    assert found["bays"] == {"length": "96 ft", "largest_spacing": "5 ft"}
    found = with_figures(design, Figures(length="60 ft", width="26 ft"), units, "North")
    assert found["bays"] == {"length": "60 ft", "largest_spacing": "4 ft"}
    assert found["profile"]["width"] == "26 ft" and found["project"]["name"] == "North"
    assert design["bays"] == {"count": 24, "spacing": "4 ft"}
