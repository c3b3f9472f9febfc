"""Every example that stands behind a # in a new design can be taken in, alone and in pairs."""

from __future__ import annotations

import functools
import itertools
import random
import re

import pytest
from campaign import USUAL, examples

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_text
from frame3d.design.values.starter_values import INSTEAD
from frame3d.design.writing.template import design_text
from frame3d.frame.lay_out import lay_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

FOUR = [(style, units) for style in ArchStyle for units in UnitSystem]
PAIRS = 12
"""In a usual run, of each of the four; a campaign of 30 times as many takes all."""
_HEADER = re.compile(r"(# )?\[+(\w+)\]+")
_FIELD = re.compile(r"# ([a-z_]+) = ")
Example = tuple[str, tuple[int, ...]]
"""Its name, and the numbers of the lines that lose their #."""


def offered(text: str) -> list[Example]:
    """The examples of a new design; one of a section behind a # takes the header with it."""
    found, header, section = [], None, ""
    for number, line in enumerate(text.splitlines()):
        if start := _HEADER.fullmatch(line):
            section, header = start[2], number if start[1] else None
            if header is not None:
                found.append((section, (header,)))
        elif field := _FIELD.match(line):
            lines = (number,) if header is None else (header, number)
            found.append((f"{section}.{field[1]}", lines))
    return found


def taken_in(text: str, *chosen: Example) -> str:
    lines = text.splitlines()
    for number in {number for _, numbers in chosen for number in numbers}:
        lines[number] = lines[number].removeprefix("# ")
    return "\n".join(lines)


@functools.cache
def differing(text: str) -> list[Example]:
    """The examples that make another design than those before: most are defaults."""
    known, found = [design_from_text(text)], []
    for example in offered(text):
        design = design_from_text(taken_in(text, example))
        if design not in known:
            known.append(design)
            found.append(example)
    return found


def errors_of(text: str) -> list[str]:
    found = check_frame(lay_out(design_from_text(text)))
    return [f"{f.rule.name}: {f.where}" for f in found if f.severity is Severity.ERROR]


@pytest.mark.parametrize(("style", "units"), FOUR)
class TestEachOfTheFour:
    def test_the_examples_are_there(self, style, units):
        names = {name for name, _ in offered(design_text(style, units))}
        assert {
            "end_wall.girts",
            "end_wall.positions",
            "tie",
            "machine",
            "machine.corners",
            "profile.leg_lean",
            "door.header",
        } <= names
        assert len(names) > 50

    def test_each_can_be_taken_in_alone(self, style, units):
        text = design_text(style, units)
        for example in [("nothing", ()), *differing(text)]:
            assert errors_of(taken_in(text, example)) == [], example[0]

    def test_those_of_end_walls_can_be_taken_in_together(self, style, units):
        text = design_text(style, units)
        chosen = [one for one in offered(text) if one[0].split(".")[0] in ("end_wall", "door")]
        assert {"end_wall.girts", "end_wall.positions", "door.header"} <= {n for n, _ in chosen}
        assert errors_of(taken_in(text, *chosen)) == []

    def test_pairs_can_be_taken_in(self, style, units):
        text = design_text(style, units)
        pairs = list(itertools.combinations(differing(text), 2))
        random.Random(f"{style.value} {units.value}").shuffle(pairs)
        for first, second in pairs[: PAIRS * examples(USUAL) // USUAL]:
            found = errors_of(taken_in(text, first, second))
            assert found == [], (first[0], second[0])


GOES = {
    ("profile", "eave_radius"): ("ridge_height",),
    ("profile", "rafter_radius"): ("ridge_slope",),
    ("bays", "count"): ("largest_spacing",),
    ("bays", "spacing"): ("largest_spacing",),
    ("hoop", "splice_tube"): ("splice",),
    ("rail", "height"): ("fraction",),
}
"""What is taken out for an example that is only told: fields of the same section."""
BESIDES = {
    ("profile", "eave_radius"): '\nridge_height = "3 m"',
    ("hoop", "splice_tube"): '\nsplice = "sleeve"',
}
"""What is given with it, as it says."""


@pytest.mark.parametrize(("style", "units"), FOUR)
def test_what_is_only_told_can_be_taken_in_where_it_says(style, units):
    assert set(GOES) == set(INSTEAD)
    text = design_text(style, units)
    for (section, name), out in GOES.items():
        line = re.search(rf"It goes [^:]*: ({name} = .+)$", text.replace("\n# ", " "), re.MULTILINE)
        if line is None:
            assert section == "profile"
            continue
        given = line[1]
        given += BESIDES.get((section, name), "")
        head, own = text.split(f"\n[{section}]\n" if section != "rail" else "\n[[rail]]\n", 1)
        for field in out:
            own = re.sub(rf"^{field} = .*\n", "", own, count=1, flags=re.MULTILINE)
        header = "[[rail]]" if section == "rail" else f"[{section}]"
        assert errors_of(f"{head}\n{header}\n{given}\n{own}") == [], name
