"""Broken end walls, doors, ties, side openings and covers: where, which line, what is said."""

from __future__ import annotations

import pytest
from fault_tables import told

from frame3d.design.reading.reader import design_from_text
from frame3d.design.tables.whole_design import (
    DoorKind,
    End,
    Ends,
    Hip,
    Post,
    StudFoot,
    StudTop,
    Threshold,
    TieJoint,
    WallBraces,
)
from frame3d.design.values.field_info import sections

GOOD = '[profile]\nwidth = "20 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
METRIC = '[output]\nunits = "metric"\n' + GOOD
WALL, DOOR, TIE = GOOD + "[[end_wall]]\n", GOOD + "[[door]]\n", GOOD + "[[tie]]\n"
SIDE, COVER = GOOD + "[side_opening]\n", GOOD + "[cover]\n"

# name: (text, where, line, pattern); GOOD has five lines, METRIC seven.
BROKEN = {
    # --- how many, and how they are written
    "three end walls": (
        GOOD + "[[end_wall]]\n" * 3, "end_wall", 6, r"3 \[\[end_wall\]\].* allowed is 2",
    ),
    "thirteen doors": (GOOD + "[[door]]\n" * 13, "door", 6, r"13 \[\[door\]\].* allowed is 12"),
    "seven ties": (GOOD + "[[tie]]\n" * 7, "tie", 6, r"7 \[\[tie\]\].* allowed is 6"),
    "end wall as one table": (GOOD + "[end_wall]\n", "end_wall", 6, r"write \[\[end_wall\]\]"),
    "door as one table": (GOOD + "[door]\n", "door", 6, r"may be several of these, so write "
                                                        r"\[\[door\]\]"),
    "tie as one table": (GOOD + "[tie]\n", "tie", 6, r"may be several of these, so write "
                                                     r"\[\[tie\]\]"),
    "cover as several": (GOOD + "[[cover]]\n", "cover", 6, r"only one of these, so write "
                                                           r"\[cover\]"),
    "side openings as several": (
        GOOD + "[[side_opening]]\n", "side_opening", 6, r"only one of these, so write "
                                                        r"\[side_opening\]",
    ),
    "end walls by another name": (
        GOOD + "[[endwall]]\n", "endwall", 6, r"did you mean \[\[end_wall\]\]\?",
    ),
    "field of a door in the wall": (
        WALL + 'swing = "in"\n', "end_wall[1].swing", 7,
        r"not a field of \[\[end_wall\]\]; it belongs in \[\[door",
    ),
    "second door": (
        DOOR + '[[door]]\nat = "back"\nhight = "2 m"\n', "door[2].hight", 9, "did you mean height",
    ),
    # --- choices
    "wall at a side": (
        WALL + 'at = "left"\n', "end_wall[1].at", 7, 'one of "front", "back", "both"$',
    ),
    "studs of stone": (
        WALL + 'studs = "stone"\n', "end_wall[1].studs", 7, 'of "timber", "tube"$',
    ),
    "top of no kind": (
        WALL + 'top = "notch"\n', "end_wall[1].top", 7,
        'one of "notched", "bolted", "flattened", "clamped"; did you mean "notched"',
    ),
    "foot of no kind": (
        WALL + 'foot = "grond"\n', "end_wall[1].foot", 7, 'did you mean "ground"',
    ),
    "braces of no kind": (
        WALL + 'braces = "two"\n', "end_wall[1].braces", 7, 'of "none", "pair", "all"$',
    ),
    "door of no kind": (
        DOOR + 'kind = "rollup"\n', "door[1].kind", 7,
        'of "hinged", "sliding", "roll-up"; did you mean "roll-up"',
    ),
    "hand of no kind": (DOOR + 'hand = "both"\n', "door[1].hand", 7, 'of "left", "right"$'),
    "swing of no kind": (DOOR + 'swing = "up"\n', "door[1].swing", 7, 'of "out", "in"$'),
    "threshold of no kind": (
        DOOR + 'threshold = "bord"\n', "door[1].threshold", 7, 'did you mean "board"',
    ),
    "three leaves": (DOOR + "leaves = 3\n", "door[1].leaves", 7, "got 3; it must be one of 1, 2$"),
    "leaves in words": (DOOR + 'leaves = "2"\n', "door[1].leaves", 7, 'got "2"; .*one of 1, 2$'),
    "one web": (TIE + "webs = 1\n", "tie[1].webs", 7, "got 1; it must be one of 0, 2$"),
    "ends of no kind": (TIE + 'ends = "both"\n', "tie[1].ends", 7, 'of "with", "without"'),
    "joint of no kind": (TIE + 'joint = "plate"\n', "tie[1].joint", 7, 'did you mean "plates"'),
    "post of no kind": (TIE + 'post = "king"\n', "tie[1].post", 7, 'of "none", "king post"'),
    "hip of no kind": (SIDE + 'hip = "rope"\n', "side_opening.hip", 7, 'of "board", "rail"$'),
    "fixing of no kind": (
        SIDE + 'fixing = "clamp"\n', "side_opening.fixing", 7, 'did you mean "clamped"',
    ),
    # --- kinds
    "number for an offset": (
        DOOR + "position = -2\n", "door[1].position", 7,
        'got -2; it must be a length with its unit, such as "6 ft", "-1.2 m", in quotes',
    ),
    "offset without unit": (
        DOOR + 'position = "-2"\n', "door[1].position", 7, "got '-2' for a length, without a unit",
    ),
    "negative width": (DOOR + 'width = "-4 ft"\n', "door[1].width", 7, "minus sign"),
    "stud of no board": (
        WALL + 'timber = "2 by 4"\n', "end_wall[1].timber", 7, "catalogue",
    ),
    # --- at odds with each other
    "tube top on timber": (
        WALL + 'top = "clamped"\n', "end_wall[1].top", 7,
        'got "clamped", which does not suit timber studs; use "notched" or "bolted", remove it'
        ", or change studs",
    ),
    "flattened timber": (
        WALL + 'top = "flattened"\n', "end_wall[1].top", 7, "not suit timber",
    ),
    "notched tube": (
        WALL + 'studs = "tube"\ntop = "notched"\n', "end_wall[1].top", 8,
        'does not suit tube studs; use "flattened" or "clamped"',
    ),
    "bolted tube": (
        WALL + 'top = "bolted"\nstuds = "tube"\n', "end_wall[1].top", 7, "not suit tube",
    ),
    "tube on a sill": (
        WALL + 'studs = "tube"\nfoot = "sill"\n', "end_wall[1].foot", 8,
        'got "sill", but tube studs are set into the ground; use "ground", remove it',
    ),
    "roll-up with two leaves": (
        DOOR + 'kind = "roll-up"\nleaves = 2\n', "door[1].leaves", 8,
        "got 2, but a roll-up door has one curtain; use 1, remove it, or change kind",
    ),
    # 1 1/2 in is the thickness of a 2x4 (PS 20).
    "studs in each other": (
        WALL + 'positions = [\n"4 ft",\n"-4 ft",\n"4 ft 1 in",\n]\n',
        "end_wall[1].positions[3]", 10,
        "these studs overlap: items 1 and 3 of the list; remove or move one of them",
    ),
    # NPS 1-1/4 is 1.66 in outside (ASME B36.10M).
    "tubes in each other": (
        WALL + 'studs = "tube"\npositions = ["1.6 in", "0 in"]\n', "end_wall[1].positions[2]", 8,
        "items 1 and 2 of the list",
    ),
    "girt twice": (
        WALL + 'girts = ["4 ft", "4 ft"]\n', "end_wall[1].girts[2]", 7,
        "these girts overlap: items 1 and 2",
    ),
    # --- lists of lengths
    "text for a list": (
        WALL + 'positions = "2 ft"\n', "end_wall[1].positions", 7,
        r'got "2 ft"; it must be a list in brackets, such as \["-8 ft", "-4 ft", "4 ft", "8 ft"\], '
        r"or \[\] for none$",
    ),
    "text for a list, metric": (
        METRIC + '[[end_wall]]\ngirts = "1 m"\n', "end_wall[1].girts", 9,
        r'it must be a list in brackets, such as \["1.2 m"\], or \[\] for none$',
    ),
    "table for a list": (
        WALL + 'positions = { left = "2 ft" }\n', "end_wall[1].positions", 7,
        "got a table; it must be a list in brackets",
    ),
    "number for a list": (
        WALL + "girts = 4\n", "end_wall[1].girts", 7, "got 4; it must be a list in brackets",
    ),
    "number in a list": (
        WALL + 'positions = [\n"-2 ft", # left\n2,\n]\n', "end_wall[1].positions[2]", 9,
        'got 2; it must be a length with its unit, such as "6 ft", "-1.2 m", in quotes',
    ),
    "list in a list": (
        WALL + 'positions = ["-2 ft", ["2 ft"]]\n', "end_wall[1].positions[2]", 7,
        "got a list of 1; it must be a length",
    ),
    "no unit in a list": (
        WALL + 'girts = ["4"]\n', "end_wall[1].girts[1]", 7, "got '4' for a length, without a unit",
    ),
    "girt in the ground": (
        WALL + 'girts = ["4 ft", "-1 ft"]\n', "end_wall[1].girts[2]", 7, "minus sign",
    ),
    "girt in the sky": (
        WALL + 'girts = ["70 ft"]\n', "end_wall[1].girts[1]", 7,
        "got \"70 ft\"; it must be between 2\" and 65'-7\"$",
    ),
    "stud far right": (
        METRIC + '[[end_wall]]\npositions = ["16 m"]\n', "end_wall[1].positions[1]", 9,
        'got "16 m"; it must be between -15 m and 15 m$',
    ),
    # 15 m are 49 ft 2.55 in.
    "stud far left": (
        WALL + 'positions = ["0 ft", "-49 ft 3 in"]\n', "end_wall[1].positions[2]", 7,
        "got \"-49 ft 3 in\"; it must be between -49'-2\" and 49'-2\"$",
    ),
    "too many studs": (
        WALL + f"positions = {[f'{number} in' for number in range(0, 183, 3)]}\n",
        "end_wall[1].positions", 7, "got a list of 61; it may have at most 60 items, so remove "
                                    "some",
    ),
    "too many girts": (
        WALL + f"girts = {[f'{number} in' for number in range(10, 140, 10)]}\n",
        "end_wall[1].girts", 7, "got a list of 13; it may have at most 12 items",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_design_says_where_and_what(name):
    text, where, line, pattern = BROKEN[name]
    assert told(text, pattern) == [(where, line)]


# section, field, allowed at its ends, and just outside: the limits of the models, by hand.
LIMITS = [
    ("end_wall", "largest_spacing", ("200 mm", "10 m"), ("199 mm", "10.1 m")),
    ("end_wall", "embedment", ("100 mm", "3 m"), ("99 mm", "3.1 m")),
    ("end_wall", "brace_height", ("100 mm", "15 m"), ("99 mm", "15.1 m")),
    ("end_wall", "anchor_spacing", ("200 mm", "10 m"), ("199 mm", "10.1 m")),
    ("end_wall", "anchor_depth", ("100 mm", "3 m"), ("99 mm", "3.1 m")),
    ("end_wall", "anchor_rod", ("8 mm", "50 mm"), ("7 mm", "51 mm")),
    ("end_wall", "anchor_plate", ("60 mm", "400 mm"), ("59 mm", "401 mm")),
    ("door", "width", ("300 mm", "12 m"), ("299 mm", "12.1 m")),
    ("door", "height", ("300 mm", "8 m"), ("299 mm", "8.1 m")),
    ("door", "position", ("-15 m", "15 m"), ("-15.1 m", "15.1 m")),
    ("tie", "height", ("300 mm", "18 m"), ("299 mm", "18.1 m")),
    ("tie", "every", (1, 400), (0, 401)),
    ("tie", "web_foot", (0.05, 0.9), (0.04, 0.91)),
    ("tie", "web_top", (0.1, 0.95), (0.09, 0.96)),
    ("tie", "overhang", ("20 mm", "500 mm"), ("19 mm", "501 mm")),
    ("side_opening", "height", ("300 mm", "6 m"), ("299 mm", "6.1 m")),
    ("side_opening", "stock_length", ("600 mm", "15 m"), ("599 mm", "15.1 m")),
    ("side_opening", "overhang", ("20 mm", "1 m"), ("19 mm", "1.1 m")),
    ("side_opening", "block_length", ("150 mm", "1 m"), ("149 mm", "1.1 m")),
    ("side_opening", "overlap", ("20 mm", "400 mm"), ("19 mm", "401 mm")),
    ("side_opening", "end_stop", ("0 mm", "10 m"), ("10.1 m",)),
    ("cover", "side_allowance", ("0 mm", "3 m"), ("3.1 m",)),
    ("cover", "end_allowance", ("0 mm", "5 m"), ("5.1 m",)),
    ("cover", "wall_allowance", ("0 mm", "3 m"), ("3.1 m",)),
    ("cover", "channel_length", ("500 mm", "12 m"), ("499 mm", "12.1 m")),
    ("cover", "layers", (1, 2), (0, 3)),
    ("cover", "film_seam", ("0 mm", "2 m"), ("2.1 m",)),
    ("cover", "channel_width", ("10 mm", "100 mm"), ("9 mm", "101 mm")),
    ("cover", "channel_depth", ("3 mm", "50 mm"), ("2.9 mm", "51 mm")),
    ("cover", "channel_thickness", ("0.3 mm", "3 mm"), ("0.29 mm", "3.1 mm")),
    ("cover", "channel_spacing", ("50 mm", "1.5 m"), ("49 mm", "1.6 m")),
    ("cover", "wire_length", ("200 mm", "12 m"), ("199 mm", "12.1 m")),
    ("cover", "sheet_width", ("200 mm", "3 m"), ("199 mm", "3.1 m")),
    ("cover", "sheet_length", ("500 mm", "15 m"), ("499 mm", "15.1 m")),
    ("curtain", "film_thickness", ("0.03 mm", "3 mm"), ("0.02 mm", "3.1 mm")),
    ("curtain", "film_density", (100.0, 3000.0), (99.0, 3001.0)),
    ("curtain", "overlap", ("0 mm", "1 m"), ("1.1 m",)),
    ("curtain", "pocket", ("0 mm", "2 m"), ("2.1 m",)),
    ("curtain", "clip_spacing", ("100 mm", "2 m"), ("99 mm", "2.1 m")),
    ("curtain", "cord_every", (1, 6), (0, 7)),
    ("curtain", "crank_radius", ("50 mm", "600 mm"), ("49 mm", "601 mm")),
    ("curtain", "shaft", ("0 mm", "3 m"), ("3.1 m",)),
    ("curtain", "gear_ratio", (1.0, 100.0), (0.9, 101.0)),
    ("curtain", "post_depth", ("200 mm", "2 m"), ("199 mm", "2.1 m")),
]


@pytest.mark.parametrize(("section", "field", "good", "bad"), LIMITS)
def test_limits(section, field, good, bad):
    header = sections()[section].header
    where = f"{section}[1].{field}" if header.startswith("[[") else f"{section}.{field}"
    for value in good:
        design_from_text(f"{METRIC}{header}\n{field} = {value!r}\n")
    for value in bad:
        text = f"{METRIC}{header}\n{field} = {value!r}\n"
        assert told(text, "it must be between .* and") == [(where, 9)]


def test_every_limit_is_tried():
    new = ("end_wall", "door", "tie", "side_opening", "cover", "curtain")
    limited = {
        (name, facts.name)
        for name in new
        for facts in sections()[name].fields.values()
        if facts.low is not None and not facts.several
    }
    assert limited == {(section, field) for section, field, _, _ in LIMITS}


class TestWhatIsRead:
    def test_lists_of_lengths(self):
        """6 ft = 1828.8 mm, 3 1/2 in = 88.9 mm: an inch is 25.4 mm."""
        text = WALL + 'positions = ["-6 ft", "0 in", "3 1/2 in", "1.2 m"]\ngirts = ["4 ft"]\n'
        (wall,) = design_from_text(text).end_wall
        assert wall.positions == pytest.approx((-1828.8, 0.0, 88.9, 1200.0), abs=1e-9)
        assert wall.girts == pytest.approx((1219.2,), abs=1e-9)

    @pytest.mark.parametrize("given", ["", "positions = []\ngirts = []\n"])
    def test_lists_may_be_empty_or_left_out(self, given):
        (wall,) = design_from_text(WALL + given).end_wall
        assert wall.positions == wall.girts == ()

    def test_studs_may_touch(self):
        """Two 2x4 side by side: 1 1/2 in from centre to centre (PS 20)."""
        text = WALL + 'positions = ["1.5 in", "0 in"]\n'
        assert len(design_from_text(text).end_wall[0].positions) == 2

    def test_a_negative_offset(self):
        (door,) = design_from_text(DOOR + 'position = "-2 ft 6 in"\n').door
        assert door.position == pytest.approx(-762.0, abs=1e-9)

    @pytest.mark.parametrize(
        ("given", "top", "foot"),
        [
            ("", StudTop.NOTCHED, StudFoot.SILL),
            ('studs = "tube"\n', StudTop.CLAMPED, StudFoot.GROUND),
            ('top = "bolted"\nfoot = "ground"\n', StudTop.BOLTED, StudFoot.GROUND),
            ('studs = "tube"\ntop = "flattened"\nfoot = "ground"\n', StudTop.FLATTENED,
             StudFoot.GROUND),
        ],
    )  # fmt: skip
    def test_tops_and_feet_follow_the_studs(self, given, top, foot):
        (wall,) = design_from_text(WALL + given).end_wall
        assert (wall.stud_top, wall.stud_foot) == (top, foot)

    @pytest.mark.parametrize(
        ("table", "field", "choices"),
        [
            (WALL, "at", Ends), (WALL, "foot", StudFoot), (WALL, "braces", WallBraces),
            (DOOR, "at", Ends), (DOOR, "kind", DoorKind), (DOOR, "threshold", Threshold),
            (TIE, "joint", TieJoint), (TIE, "post", Post), (SIDE, "hip", Hip),
        ],
    )  # fmt: skip
    def test_every_choice_is_taken(self, table, field, choices):
        section = table.splitlines()[-1].strip("[]")
        for choice in choices:
            design = design_from_text(f'{table}{field} = "{choice.value}"\n')
            found = getattr(design, section)
            assert getattr(found[0] if isinstance(found, tuple) else found, field) is choice

    def test_which_ends_are_meant(self):
        assert [ends.each for ends in (Ends.FRONT, Ends.BACK, Ends.BOTH)] == [
            (End.FRONT,), (End.BACK,), (End.FRONT, End.BACK),
        ]  # fmt: skip

    def test_only_the_cover_is_there_unless_given(self):
        design = design_from_text(GOOD)
        assert design.end_wall == design.door == design.tie == ()
        assert design.side_opening is None
        assert design.cover.end_allowance == pytest.approx(609.6)  # 24 in

    @pytest.mark.parametrize("units", ["", "[output]\nunits = 'metric'\n"])
    def test_every_default_is_good(self, units):
        text = f"{GOOD}{units}[[end_wall]]\n[[door]]\n[[tie]]\n[side_opening]\n[cover]\n"
        design = design_from_text(text)
        assert len(design.end_wall) == len(design.door) == len(design.tie) == 1
        assert design.side_opening is not None
