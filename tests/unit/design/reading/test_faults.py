"""One broken design for each kind of fault: where, on which line, and what is said."""

from __future__ import annotations

import pytest
from fault_tables import told

from frame3d.design.reading.reader import design_from_text
from frame3d.design.values.field_info import sections
from frame3d.errors import DesignFaults

GOOD = '[profile]\nwidth = "20 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
METRIC = '[output]\nunits = "metric"\n[profile]\nwidth = "6 m"\n[bays]\ncount = 3\n'

# name: (text, where, line, pattern); lines counted by hand, GOOD has five of them.
BROKEN = {
    # --- the form of the file
    "empty": ("", "", None, r"empty; a design needs at least \[profile\] and \[bays\]"),
    "only comments": ("# nothing\n\n", "", None, "the file is empty"),
    "length without quotes": ("[profile]\nwidth = 22 ft\n", "", 2, r"quotes, as in width = "),
    "word without quotes": ("[profile]\nstyle = gothic\n", "", 2, "value cannot be read; .*quotes"),
    "quote not closed": ('[profile]\nwidth = "22 ft\nx = 1\n', "", 2, "no closing quote on its"),
    "quote not closed at the end": ('a = 1\nwidth = "22 ft', "", 2, "no closing quote"),
    "single quote not closed": ("a = 'x", "", 1, "no closing quote"),
    "inch mark in quotes": ('a = "6\' 3 1/2""\n', "", 1, "for an inch mark inside quotes"),
    "field twice": ('[bays]\ncount = 3\ncount = 4\n[hoop]\n', "", 3, "given twice; delete one"),
    "door twice in single brackets": (
        "[door]\n[door]\n", "", 2,
        r"combine the two, or, for rail, brace, tie, end_wall, door, machine, .*use double "
        r"brackets each time",
    ),
    "section twice": ("[bays]\n[hoop]\n[bays]\n", "", 3, "same section is given twice; combine"),
    "field then section": ('[profile]\nwidth = "2 m"\n[profile.width]\n', "", 3, "given"),
    "braces added to": ("a = { b = 1 }\na.c = 2\n", "", 2, "ends with its braces"),
    "rail in single, then in double brackets": (
        "[rail]\n[[rail]]\n", "", 2, r"appears earlier with single brackets; use double brackets "
                                     r"each time for rail, ",
    ),
    "twice in braces": ("a = { b = 1, b = 2 }\n", "", 1, "given twice in the braces"),
    "braces open": ("a = { b = 1\n", "", 1, "a brace { has no closing"),
    "list open": ("a = [1 2]\n", "", 1, "no closing bracket ]"),
    "header open": ("[profile\n", "", 1, "a section name must end with a bracket"),
    "no equals sign": ("[profile]\nwidth\n", "", 2, "written as name = value"),
    "stray mark": ("[bays]\n= 3\n", "", 2, "a line must be a section"),
    "escape": ('a = "22\\ft\\q"\n', "", 1, "backslash in double quotes"),
    "no such date": ("a = 2024-13-40\n", "", 1, "no such date|text after the value"),
    "control character": ("a = 1 # \x01\n", "", 1, "character that a comment cannot have"),
    "NUL": ("a = 1\nb = \0\n", "", 2, "NUL character"),
    "name of a thousand parts": ("a" + ".a" * 1000 + " = 1", "", 1, "more than 200 dots"),
    "number has thousands of digits": ("a = " + "9" * 5000, "", None, "thousands of digits"),
    "nested beyond reading": ("a = " + "[" * 5000, "", None, "nested too deep"),
    # --- values that no field has
    "huge whole number": (GOOD + "[hoop]\npieces = " + "9" * 30, "hoop.pieces", 7, "19 digits"),
    "not a number": (GOOD + "[hoop]\nsmallest_bend = nan", "hoop.smallest_bend", 7, "finite"),
    "infinite": (GOOD + "[hoop]\nsmallest_bend = -inf", "hoop.smallest_bend", 7, "finite number"),
    "a time": (GOOD + "[project]\ndate = 07:32:00", "project.date", 7, "no field takes a time"),
    "nested deep": (
        GOOD + "[hoop]\ntube = [[[[[[1]]]]]]", "hoop.tube[1][1][1][1]", 7, "nested too deep"
    ),
    # --- sections
    "no profile": (
        "[bays]\ncount = 3\n", "profile", None, r"missing; a design needs a \[profile\]",
    ),
    "no bays": (
        '[profile]\nwidth = "20 ft"\n', "bays", None, r"needs a \[bays\] section with count",
    ),
    "rail as one table": (GOOD + '[rail]\nat = "ridge"\n', "rail", 6, r"write \[\[rail\]\]"),
    "brace as one table": (GOOD + "[brace]\n", "brace", 6, r"write \[\[brace\]\]"),
    "hoop as several": (GOOD + "[[hoop]]\n", "hoop", 6, r"only one of these, so write \[hoop\]"),
    "section as a number": (
        "hoop = 3\n" + GOOD, "hoop", 1, r"got 3; it must be a section, \[hoop\]",
    ),
    "rails as a number": ("rail = 3\n" + GOOD, "rail", 1, r"got 3; it must be a section, \[\[rail"),
    "rails as a list of numbers": (
        "rail = [7]\n" + GOOD, "rail[1]", 1, "got 7; it must be a section",
    ),
    "too many rails": (
        GOOD + '[[rail]]\nat = '
               '"ridge"\n' * 41, "rail", 6, r"41 \[\[rail\]\] sections; the most allowed is 40"
    ),
    "unknown section": (
        GOOD + "[porch]\n", "porch", 6, r"not a section of a design; the sections are \[proj",
    ),
    "section misspelt": (GOOD + "[sockets]\n", "sockets", 6, r"did you mean \[socket\]\?"),
    "field before any section": (
        'leg_height = "1 m"\n' + GOOD, "leg_height", 1,
        r"before any section; move it under \[profile",
    ),
    # --- names of fields
    "field misspelt": (
        GOOD + '[hoop]\noverlp = "5 in"\n', "hoop.overlp", 7, "did you mean overlap",
    ),
    "field spelt with a dash": (
        GOOD + '[sill_board]\nblock-length = "1 ft"\n', "sill_board.block-length", 7,
        r"did you mean block_length\?",
    ),
    "field of another section": (
        GOOD + '[socket]\npieces = 3\n', "socket.pieces", 7,
        r"not a field of \[socket\]; it belongs in \[hoop\]",
    ),
    "field unknown": (
        GOOD + "[hardware]\ncolour = 1\n", "hardware.colour", 7,
        "its fields are system, frame_bolt, board",
    ),
    "odd name": (GOOD + '[hoop]\n"a b" = 1\n', 'hoop."a b"', 7, "not a field of"),
    "second rail": (
        GOOD + '[[rail]]\nat = "ridge"\n\n[[rail]]\nheight = "3 ft"\nhigh = 1\n',
        "rail[2].high", 11,
        "did you mean height",
    ),
    # --- kinds of values
    "number for a length": (
        GOOD + "[socket]\nlength = 42\n", "socket.length", 7, "got 42; it must be a length with its"
    ),
    "length without unit": (
        GOOD + '[socket]\nlength = "42"\n', "socket.length", 7,
        "got '42' for a length, without a unit",
    ),
    "length in unknown unit": (
        GOOD + '[socket]\nlength = "2 ells"\n', "socket.length", 7, "'ells'",
    ),
    "negative length": (GOOD + '[socket]\nlength = "-2 ft"\n', "socket.length", 7, "minus sign"),
    "number for an angle": (
        '[profile]\nwidth = "2 m"\nleg_lean = 3\n[bays]\n', "profile.leg_lean", 3,
        "an angle with its",
    ),
    "text for a number": (
        GOOD + '[hoop]\nsmallest_bend = "5"\n',
        "hoop.smallest_bend", 7, 'got "5"; it must be a number',
    ),
    "text for a whole number": (GOOD + '[hoop]\npieces = "2"\n', "hoop.pieces", 7, "whole number"),
    "decimal for a whole number": (
        GOOD + "[hoop]\npieces = 2.0\n", "hoop.pieces", 7, r"got 2\.0; it must be a whole number"
    ),
    "true for a whole number": (GOOD + "[hoop]\npieces = true\n", "hoop.pieces", 7, "got true; it"),
    "true for a choice of numbers": (
        GOOD + "[output]\ndecimals = true\n", "output.decimals", 7, "got true; .*one of 0, 1, 2$"
    ),
    "number for text": (
        GOOD + "[project]\nowner = 5\n", "project.owner", 7, "got 5; it must be text",
    ),
    "list for text": (GOOD + "[project]\nowner = [1]\n", "project.owner", 7, "got a list of 1; it"),
    "text for a list": (
        GOOD + '[[brace]]\ncorners = "front left"\n', "brace[1].corners", 7,
        r'must be a list in brackets, \["front left"',
    ),
    "empty list": (GOOD + "[[brace]]\ncorners = []\n", "brace[1].corners", 7, "at least one item"),
    "table for a length": (
        GOOD + "[socket.length]\nfeet = 3\n", "socket.length", 6, "got a table; it must be a length"
    ),
    "line break in a name": (
        GOOD + '[project]\nname = "a\\nb"\n', "project.name", 7, "line breaks",
    ),
    "name too long": (
        GOOD + f'[project]\nname = "{"x" * 61}"\n', "project.name", 7,
        "61 characters; it must be text of 1 to 60",
    ),
    "name empty": (
        GOOD + '[project]\nname = " "\n', "project.name", 7, "text of 1 to 60 characters",
    ),
    "date without quotes": (
        GOOD + "[project]\ndate = 2024-03-31\n", "project.date", 7, '"2024-03-31" .* in quotes'
    ),
    "no such day": (GOOD + '[project]\ndate = "2024-02-30"\n', "project.date", 7, "year-month-day"),
    # --- choices
    "choice misspelt": (
        '[bays]\n[profile]\nwidth = "2 m"\nstyle = "gothick"\n', "profile.style", 4,
        'got "gothick"; it must be one of "quonset", "gothic"; did you mean "gothic"',
    ),
    "choice unknown": (
        GOOD + '[output]\nunits = "furlongs"\n', "output.units", 7, 'one of "imperial", "metric"$'
    ),
    "choice of numbers": (
        GOOD + "[output]\nfraction = 12\n", "output.fraction", 7, "of 2, 4, 8, 16",
    ),
    "corner misspelt": (
        GOOD + '[[brace]]\ncorners = [\n"front left",\n"back rite"]\n', "brace[1].corners[2]", 9,
        'did you mean "back right"',
    ),
    # --- limits, in the units of the design
    "too wide": (
        '[profile]\nwidth = "200 ft"\n[bays]\n', "profile.width", 2,
        "got \"200 ft\"; it must be between 3'-4\" and 98'-5\"$",
    ),
    "too wide in metric": (
        METRIC.replace("6 m", "60 m"), "profile.width", 4,
        "got \"60 m\"; .*between 1000 mm and 30 m$",
    ),
    "too short a swage": (
        GOOD + '[hoop]\noverlap = "1 in"\n', "hoop.overlap", 7, "between 1 3/16\" and 1'-11 9/16\""
    ),
    "no radius": (
        '[bays]\n[profile]\nwidth = "2 m"\neave_radius = "0 m"\n', "profile.eave_radius", 4,
        "more than 0\" and at most 98'-5\"",
    ),
    "leaning far": (
        '[bays]\n[profile]\nwidth = "2 m"\nleg_lean = "30 deg"\n', "profile.leg_lean", 4,
        "between 0 deg and 17.1 deg",
    ),
    "no bays at all": (
        '[bays]\ncount = 0\n[profile]\nwidth = "2 m"\n', "bays.count", 2, "1 and 400",
    ),
    "fraction of one": (
        GOOD + "[[rail]]\nfraction = 1\n", "rail[1].fraction", 7, "more than 0 and less than 1"
    ),
    # --- sections of tube and board
    "tube unknown": (GOOD + '[hoop]\ntube = "NPS 9"\n', "hoop.tube", 7, "catalogue has"),
    "tube by number": (GOOD + "[hoop]\ntube = 5\n", "hoop.tube", 7, "must be a name from the"),
    "tube without wall": (
        GOOD + '[hoop]\ntube = { outside = "2 in" }\n', "hoop.tube", 7, "wall missing"
    ),
    "tube all wall": (
        GOOD + '[hoop]\ntube = { outside = "2 in", wall = "1 in" }\n', "hoop.tube", 7,
        "leave a bore",
    ),
    "tube without unit": (
        GOOD + "[hoop]\ntube = { outside = 42.4, wall = 3.2 }\n", "hoop.tube", 7,
        r"outside: got 42\.4; it must be a length",
    ),
    "tube of a giant": (
        GOOD + '[hoop]\ntube = { outside = "2 m", wall = "1 mm" }\n', "hoop.tube", 7, "400 mm"
    ),
    "tube with a long name": (
        GOOD + f'[hoop]\ntube = {{ outside = "2 in", wall = "3 mm", name = "{"n" * 41}" }}\n',
        "hoop.tube", 7, "1 to 40 characters",
    ),
    "board unknown": (GOOD + '[sill_board]\ntimber = "3x9"\n', "sill_board.timber", 7, "catalogue"),
    "board on its side": (
        GOOD + '[sill_board]\ntimber = { thickness = "50 mm", depth = "40 mm" }\n',
        "sill_board.timber", 7, "depth at least the thickness",
    ),
    # --- fields at odds with each other inside one section
    "no size": ('[bays]\n[profile]\nstyle = "gothic"\n', "profile", 2, "neither width nor ridge"),
    "slope of a quonset": (
        '[bays]\n[profile]\nstyle = "quonset"\nwidth = "6 m"\nridge_slope = "9 deg"\n',
        "profile.ridge_slope", 5, "belongs to a gothic profile",
    ),
    "crown of a gothic": (
        '[bays]\n[profile]\nwidth = "6 m"\ncrown_radius = "3 m"\n', "profile.crown_radius", 4,
        "belongs to a quonset profile",
    ),
    "sheet of another standard": (
        GOOD + '[output]\nsheets = "us"\nsheet_size = "A3"\n', "output.sheet_size", 8,
        r"not one of the us sizes \(A, B",
    ),
    "ridge rail with height": (
        GOOD + '[[rail]]\nat = "ridge"\nheight = "9 ft"\n', "rail[1].height", 8, "takes no height"
    ),
    "ridge rail outside": (
        GOOD + '[[rail]]\nat = "ridge"\nface = "outside"\n', "rail[1].face", 8, "under the ridge"
    ),
    "side rail nowhere": (
        GOOD + '[[rail]]\nat = "sides"\n', "rail[1]", 6, "needs height or fraction",
    ),
    "side rail in two places": (
        GOOD + '[[rail]]\nheight = "3 ft"\nfraction = 0.5\n', "rail[1].fraction", 8,
        "both height and",
    ),
    "brace on one hoop": (
        GOOD + "[[brace]]\nfrom_hoop = 4\nto_hoop = 4\n", "brace[1].to_hoop", 8, "at least one bay"
    ),
    "corner twice": (
        GOOD + '[[brace]]\ncorners = ["front left", "front left"]\n', "brace[1].corners", 7, "twice"
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_design_says_where_and_what(name):
    text, where, line, pattern = BROKEN[name]
    assert told(text, pattern) == [(where, line)]


def test_the_good_parts_of_the_table_are_good():
    """Without this, a table of faults could be right for the wrong reason."""
    design_from_text(GOOD)
    design_from_text(METRIC)


def test_all_faults_are_told_at_once_from_top_to_bottom():
    text = (
        '[profile]\nwidht = "20 ft"\nwidth = 20\n[bays]\ncount = 0\n[hoop]\ntube = "x"\n'
        '[[rail]]\nat = "top"\n[[rail]]\nheight = "1 mile"\n'
    )
    with pytest.raises(DesignFaults) as caught:
        design_from_text(text)
    assert [(fault.line, fault.where) for fault in caught.value.faults] == [
        (2, "profile.widht"),
        (3, "profile.width"),
        (5, "bays.count"),
        (7, "hoop.tube"),
        (9, "rail[1].at"),
        (11, "rail[2].height"),
    ]
    assert len(str(caught.value).splitlines()) == 6


def test_a_flood_of_faults_is_cut_off_and_counted():
    text = GOOD + "".join(f"name{number} = 1\n" for number in range(1500))
    with pytest.raises(DesignFaults, match="1400 more faults are not listed$") as caught:
        design_from_text(text)
    assert len(caught.value.faults) == 101


def test_every_section_of_which_there_may_be_several_is_named_where_one_is_given_twice():
    with pytest.raises(DesignFaults, match="given twice") as caught:
        design_from_text("[door]\n[door]\n")
    several = {section.name for section in sections().values() if section.several}
    assert {name for name in sections() if f" {name}" in str(caught.value)} == several


def test_limits_shown_are_rounded_inward():
    """300 mm is 11.811 in: 11 13/16 in is just above it and must be accepted."""
    shown = '[[rail]]\nheight = "5 ft"\n[bays]\ncount = 3\nspacing = "11 13/16 in"\n'
    design_from_text('[profile]\nwidth = "20 ft"\n' + shown)
    with pytest.raises(DesignFaults, match='between 11 13/16" and 19\'-8"'):
        design_from_text('[profile]\nwidth = "20 ft"\n' + shown.replace("13/16", "12/16"))
