"""Points of the drawing standards, each with its clause, the judge's rule that holds it, and the
test that spoils a sheet so that this rule must speak.

No point shares its test with another, so that each has a sheet of its own that fails. Where a
clause is from memory it says so; where not even its number is known for certain, the standard alone
is named.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import drawing_habits
import drawing_judge
import drawing_leaders
import drawing_shop
import pytest

MEMORY, PRACTICE = "from memory", "common practice, no source"
FIELD = "habits an_empty_field_of_the_title_block"
NOTES = "shop notes_of_make_that_leave_something_out"
CHECKLIST = (
    ("ISO 129-1:2018, 4", "Each size is given once.", "redundant size",
     "habits a_size_given_twice"),
    ("ISO 129-1:2018, 4", "A ring of sizes is closed by one in brackets only.", "redundant size",
     "habits a_closed_chain_without_brackets"),
    ("ISO 129-1:2018, 4", "The sizes that a thing must have are given.", "missing size",
     "judge a_missing_size"),
    ("ISO 129-1:2018, 4", "A size says what the drawing spans.", "wrong value",
     "judge a_value_that_is_not_what_it_spans"),
    ("ISO 129-1:2018, 4", "A figure is not typed over.", "fixed text",
     "judge a_text_that_would_not_follow"),
    ("ISO 129-1:2018, 4", "Figures are those of the style that writes them.", "stale text",
     "judge a_style_that_writes_another_text"),
    ("ISO 129-1:2018, 9", "Sizes in a chain add up to the size over all.", "broken chain",
     "judge a_chain_that_does_not_add_up"),
    ("ISO 129-1:2018, 9", "Sizes in a chain meet.", "broken chain", "judge a_chain_with_a_gap"),
    ("ISO 129-1:2018, 5", "Dimension lines in parallel are well apart.", "crowded dimensions",
     "habits dimension_lines_too_near"),
    ("ISO 129-1:2018, 5", "Figures are crossed by no line.", "text on line", "judge text_on_line"),
    ("ISO 129-1:2018, 5", "Figures do not lie on each other.", "text on text",
     "judge text_on_text"),
    ("ISO 129-1:2018, 5", "Figures are read from below or from the right.", "upside down",
     "habits a_text_on_its_head"),
    ("ISO 129-1:2018, 5", "Brackets of reference sizes close.", "loose bracket",
     "shop a_bracket_that_does_not_close"),
    ("ISO 129-1:2018, 4", "Lengths are all in the unit that is named.", "wrong units",
     "habits a_sheet_that_names_other_units"),
    ("ISO 128-2", "A leader ends on what it speaks of.", "pointless leader",
     "habits a_leader_that_points_at_nothing"),
    ("ISO 128-2", "Leaders cross no figures.", "leader through figures",
     "leaders a_leader_through_a_figure"),
    ("ISO 128-2", "Leaders part no row of figures.", "leader through figures",
     "leaders a_leader_between_two_figures_of_a_row"),
    ("ISO 128-2", "A leader does not end at a figure.", "leader at figures",
     "leaders a_leader_that_ends_at_a_figure"),
    ("ISO 128-3", "Views do not overlap.", "view on view", "habits a_view_on_a_view"),
    ("ISO 128-3", "A view is shown whole.", "outside its view", "judge cut_off_by_its_view"),
    ("ISO 128-3", "What is broken off shows enough to be recognized.", "sliver",
     "leaders a_rail_cut_to_a_sliver"),
    ("ISO 128-3", "A detail that is called out is drawn.", "lost call-out",
     "habits a_call_out_of_a_detail_that_is_not_there"),
    ("ISO 128-3", "A detail is on the sheet that is named.", "lost call-out",
     "habits a_call_out_that_names_another_sheet"),
    ("ISO 128-3", "What a detail shows is encircled.", "lost call-out",
     "habits a_call_out_round_nothing"),
    ("ISO 128-3", "The circle crosses no words.", "text on line",
     "habits a_call_out_circle_through_a_text"),
    ("ISO 3098-1", "Letters are 1.8 mm high or more.", "small text", "habits letters_too_small"),
    ("ISO 5455, 4", "The scale of each view is told and true.", "wrong scale",
     "habits a_scale_that_is_not_said"),
    ("ISO 5457, 4", "Words are inside the frame of the sheet.", "off the sheet",
     "judge off_the_sheet"),
    ("ISO 5457, 4", "Views are inside the frame of the sheet.", "off the sheet",
     "judge a_view_off_the_sheet"),
    ("ISO 5457, 4", "Every sheet has a frame.", "off the sheet", "judge no_border"),
    ("ISO 5457, 4", "Zones stand where a printer can reach.", "off the sheet",
     "judge a_zone_off_the_paper"),
    ("ISO 7200, 5", "Legal owner.", "empty field", f"{FIELD}[OWNER]"),
    ("ISO 7200, 5", "Identification number.", "empty field", f"{FIELD}[NUMBER]"),
    ("ISO 7200, 5", "Date of issue.", "empty field", f"{FIELD}[DATE]"),
    ("ISO 7200, 5", "Title.", "empty field", f"{FIELD}[TITLE]"),
    ("ISO 7200, 5", "Creator.", "empty field", f"{FIELD}[DRAWN_BY]"),
    ("ISO 7200, 5", "Approval person.", "empty field", f"{FIELD}[APPROVED_BY]"),
    ("ISO 7200, 5", "Document type.", "empty field", f"{FIELD}[KIND]"),
    ("ISO 7200, 5", "Document status.", "empty field", f"{FIELD}[STATUS]"),
    ("ISO 5455, 5", "The main scale stands in the title block.", "empty field",
     f"{FIELD}[SCALE]"),
    ("ISO 7200, 5", "Sheet and number of sheets.", "wrong number",
     "habits a_sheet_with_the_wrong_number"),
    ("ISO 7573", "Every part has its reference on a sheet.", "missing mark",
     "judge a_part_without_a_mark"),
    ("ISO 6433", "No reference names a part that is not there.", "unknown mark",
     "judge a_mark_of_no_part"),
    ("ISO 13567-1", "All that is drawn lies on a layer of its own kind.", "stray layer",
     "habits ink_on_no_layer_of_its_own"),
    ("ISO 2768-1, 4 and 5", "General tolerances are indicated.", "no general notes",
     f"{NOTES}[ISO 2768-1]"),
    ("ISO 13715", "States of edges are indicated.", "no general notes", f"{NOTES}[ISO 13715]"),
    (PRACTICE, "What is left to the bender is said.", "no general notes", f"{NOTES}[springback]"),
    (PRACTICE, "Material of bolts is named.", "no general notes", f"{NOTES}[Bolts and nuts]"),
    (PRACTICE, "A part's sheet says by what notes it is made.", "no make note",
     "shop a_part_sheet_that_refers_to_no_notes"),
    ("EN 10219-2", "A tube is named by outside diameter and wall.", "no tube size",
     "shop a_tube_without_its_size"),
    (PRACTICE, "A straight is not told by a radius.", "radius of a straight",
     "shop a_straight_that_is_told_by_a_radius"),
    (PRACTICE, "Cautions stand on every sheet.", "no cautions",
     "habits a_sheet_without_its_cautions"),
    (PRACTICE, "No sheet is empty.", "empty sheet", "habits an_empty_sheet"),
)  # fmt: skip
"""Clause, point, rule, and the test: its module and name, and of several cases which."""
CLAUSES_ARE = MEMORY
"""None of them was looked up in a standard."""
HERE = Path(__file__).parent


def test_there_are_forty_points_and_none_twice():
    assert len(CHECKLIST) >= 40
    for column in (1, 3):  # the points, and the sheets that must fail
        assert len({row[column] for row in CHECKLIST}) == len(CHECKLIST)


@pytest.mark.parametrize(("rule", "test"), [row[2:] for row in CHECKLIST])
def test_a_point_has_a_sheet_that_must_fail(rule, test):
    """The judge has the rule, and the test named expects it of a sheet that it spoils."""
    judges = (drawing_judge, drawing_habits, drawing_leaders, drawing_shop)
    assert any(f'"{rule}"' in Path(module.__file__).read_text("utf-8") for module in judges)
    module, _, name = test.partition(" ")
    name, _, case = name.partition("[")
    text = (HERE / f"test_drawing_{module}.py").read_text("utf-8")
    found = {one.name: one for one in ast.parse(text).body if isinstance(one, ast.FunctionDef)}
    function = found[f"test_{name}"]
    assert f'"{rule}"' in ast.get_source_segment(text, function)
    if case:
        assert function.decorator_list and f'"{case.rstrip("]")}"' in text


def test_every_rule_of_the_judge_is_a_point():
    """So that none is left out here when one is added."""
    named = {rule for _, _, rule, _ in CHECKLIST}
    for module in (drawing_judge, drawing_habits, drawing_leaders, drawing_shop):
        said = re.sub(
            r"\s+", " ", module.__doc__.partition("Rules\n-----\n")[2].partition("\n\n")[0]
        )
        rules = {rule.strip() for rule in said.partition(";")[0].split(",")}
        assert rules <= named, rules - named
