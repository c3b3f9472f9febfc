"""Forty points from drawing standards, each with its clause and the judge's rule that holds it.

All clauses are from memory unless a point says otherwise; where a number of a clause is not known
for certain the standard alone is named. A point counts only if a rule of the judge holds it and a
test spoils a sheet so that this rule speaks.
"""

from __future__ import annotations

import re
from pathlib import Path

import drawing_habits
import drawing_judge
import drawing_leaders
import drawing_shop
import pytest

HERE = Path(__file__).parent
CHECKLIST = (
    ("ISO 129-1, 4", "Each size is given once.", "redundant size"),
    ("ISO 129-1, 4", "A chain of sizes is not closed.", "redundant size"),
    ("ISO 129-1, 4", "What follows from other sizes stands in brackets.", "redundant size"),
    ("ISO 129-1, 4", "The size that a part must have is given.", "missing size"),
    ("ISO 129-1, 4", "A size says what the drawing spans.", "wrong value"),
    ("ISO 129-1", "A figure follows its geometry and is not typed over.", "fixed text"),
    ("ISO 129-1", "Figures are up to date with what is drawn.", "stale text"),
    ("ISO 129-1", "Sizes in a chain meet, and add up to the size over all.", "broken chain"),
    ("ISO 129-1", "Dimension lines in parallel are far enough apart.", "crowded dimensions"),
    ("ISO 129-1", "Figures are crossed by no line.", "text on line"),
    ("ISO 129-1", "Figures do not lie on each other.", "text on text"),
    ("ISO 129-1", "Figures are read from below or from the right.", "upside down"),
    ("ISO 129-1", "Brackets of reference sizes close.", "loose bracket"),
    ("ISO 129-1", "Lengths are all in the unit that is named.", "wrong units"),
    ("ISO 128-2", "A leader ends on what it speaks of.", "pointless leader"),
    ("ISO 128-2", "Leaders cross no figures.", "leader through figures"),
    ("ISO 128-2", "A leader's end does not lie in figures.", "leader at figures"),
    ("ISO 128-3", "Views do not overlap.", "view on view"),
    ("ISO 128-3", "A view is shown whole.", "outside its view"),
    ("ISO 128-3", "A detail that is called out is on the sheet that is named.", "lost call-out"),
    ("ISO 3098-1", "Letters are 1.8 mm high or more.", "small text"),
    ("ISO 5455", "The scale stands with the view and is true.", "wrong scale"),
    ("ISO 5455", "The scale in the title block is that of the views.", "wrong scale"),
    ("ISO 5457", "Everything is inside the frame of the sheet.", "off the sheet"),
    ("ISO 5457", "Every sheet has a frame.", "off the sheet"),
    ("ISO 5457", "Margins leave room for a printer.", "off the sheet"),
    ("ISO 7200", "Legal owner.", "empty field"),
    ("ISO 7200", "Identification number.", "empty field"),
    ("ISO 7200", "Date of issue.", "empty field"),
    ("ISO 7200", "Sheet and number of sheets.", "wrong number"),
    ("ISO 7200", "Title.", "empty field"),
    ("ISO 7200", "Creator and approval.", "empty field"),
    ("ISO 7200", "Document type and status.", "empty field"),
    ("ISO 7573", "Every part has its reference on a sheet.", "missing mark"),
    ("ISO 6433", "No reference names a part that is not there.", "unknown mark"),
    ("ISO 13567-1", "All that is drawn lies on a layer of its own kind.", "stray layer"),
    ("ISO 2768-1, 4 and 5", "General tolerances are indicated.", "no general notes"),
    ("ISO 13715", "States of edges are indicated.", "no general notes"),
    ("common practice, no source", "A part's sheet says by what notes it is made.", "no make note"),
    ("EN 10219-2", "A tube is named by outside diameter and wall.", "no tube size"),
    ("common practice, no source", "A straight is not told by a radius.", "radius of a straight"),
    ("common practice, no source", "Cautions stand on every sheet.", "no cautions"),
    ("common practice, no source", "No sheet is empty.", "empty sheet"),
)


def test_there_are_forty_points_and_none_twice():
    assert len(CHECKLIST) >= 40
    assert len({point for _, point, _ in CHECKLIST}) == len(CHECKLIST)


@pytest.mark.parametrize("rule", sorted({rule for *_, rule in CHECKLIST}))
def test_a_point_is_held_by_a_rule_that_speaks(rule):
    """The judge has the rule, and a test of the judge expects it of a sheet that is spoilt."""
    modules = (drawing_judge, drawing_habits, drawing_leaders, drawing_shop)
    assert any(f'"{rule}"' in Path(module.__file__).read_text("utf-8") for module in modules)
    spoilt = [path.read_text("utf-8") for path in HERE.glob("test_drawing_*.py")
              if path.name != Path(__file__).name]  # fmt: skip
    assert any(re.search(rf'"{rule}"', text) for text in spoilt), rule
