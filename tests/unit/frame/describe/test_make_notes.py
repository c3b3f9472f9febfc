"""The general notes of make say what the design says, and what it does not know as such."""

from __future__ import annotations

import pytest
from sound_design import frame_of

from frame3d.frame.describe.make_notes import make_notes, materials
from frame3d.frame.model.parts import Board, Plate, Tube


@pytest.fixture(scope="module")
def plain():
    """The starter design, walled, with nothing said of its make."""
    return frame_of()


@pytest.fixture(scope="module")
def told():
    """The same with all that a shop can be told."""
    return frame_of(
        make={
            "tube_grade": "EN 10219 S235JRH", "zinc": "after making", "holes": "before bending",
            "edges": "1 mm", "timber_species": "larch", "timber_grade": "C24",
        },
        tolerances={
            "cut_length": "2 mm", "hole_diameter": "0.5 mm", "bend_angle": "1 deg",
            "bend_radius": "25 mm", "general": "m", "drilling": "1 mm",
        },
        order={"bender": "rotary"},
    )  # fmt: skip


def test_every_section_of_what_is_made_is_in_the_table_once(plain):
    """Every tube and board that a frame counts, with the sizes of its section as it is."""
    rows = materials(plain)
    names = [row[0] for row in rows]
    assert len(set(names)) == len(names)
    sections = {
        group.part.section.name
        for group in plain.parts()
        if isinstance(group.part, Tube | Board)
    }  # fmt: skip
    plates = any(isinstance(group.part, Plate) for group in plain.parts())
    assert sections == set(names) - ({"steel plate"} if plates else set())
    roles = {role for row in rows for role in row[1].split(", ")}
    made = {g.role.value for g in plain.parts() if isinstance(g.part, Tube | Board | Plate)}
    assert roles == made


def test_what_nobody_knows_stands_as_such(plain):
    """No grade of steel or lumber is invented; bends have no tolerance of our own making."""
    assert {row[3] for row in materials(plain)} == {"by the fabricator"}
    words = " ".join(make_notes(plain))
    assert "Bend angles: by the fabricator. Bend radii: by the fabricator." in words
    assert "ISO 2768-1, class c" in words and "ISO 13715" in words
    assert "H13, never smaller" in words
    assert "springback and settings of the machine are left to the bender" in words
    assert "zinc-rich paint" in words
    assert "Drill bent tubes after bending: bending stretches holes" in words


def test_what_the_design_says_is_said(told):
    words = " ".join(make_notes(told))
    for said in (
        "ISO 2768-1, class m", "Cut length: ±2 mm", "Bend angles: ±1°", "Bend radii: ±25 mm",
        "Places of holes along a part: ±1 mm", "up to 0.5 mm larger, never smaller",
        "galvanized after making", "Drill bent tubes before bending", "broken, up to 1 mm",
        "given for a rotary bender",
    ):  # fmt: skip
        assert said in words
    grades = {row[3] for row in materials(told)}
    assert "EN 10219 S235JRH" in grades and "C24, larch" in grades


def test_no_zinc_needs_no_repair():
    words = " ".join(make_notes(frame_of(make={"zinc": "none"})))
    assert "No zinc" in words and "epair" not in words
