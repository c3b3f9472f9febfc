"""Tables: beside or below everything, in blocks, each cell in its column."""

from __future__ import annotations

import math

import pytest

from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import AngleCell, LengthCell, Table, View, ViewEdge
from frame3d.sheets.primitives.occupancy import text_boxes
from frame3d.sheets.primitives.primitives import Label, Stroke
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
FRAME = (Stroke(start=(0, 0), end=(4000, 0)), Stroke(start=(4000, 0), end=(4000, 2000)))


def table(count: int, edge: ViewEdge = ViewEdge.RIGHT, **more) -> Table:
    rows = tuple(
        (f"ST{n}", "2", LengthCell(1000.0 + n), AngleCell(math.radians(n)))
        for n in range(1, count + 1)
    )
    return Table(title="Pieces", head=("Mark", "No.", "Length", "Cut"), rows=rows, edge=edge,
                 **more)  # fmt: skip


def placed(annotation: Table, primitives=FRAME):
    return place(
        View(title="", primitives=primitives, bounds=(0, 0, 4000, 2000), annotations=(annotation,)),
        20,
        MM,
    )


def labels(view) -> list[Label]:
    return [item for item in view.primitives if isinstance(item, Label)]


@pytest.mark.parametrize("edge", [ViewEdge.RIGHT, ViewEdge.BOTTOM])
@pytest.mark.parametrize("count", [1, 7, 40])
def test_nothing_touches_and_everything_is_there(edge, count):
    found = labels(placed(table(count, edge)))
    words = [label.text for label in found]
    for n in range(1, count + 1):
        assert words.count(f"ST{n}") == 1 and words.count(str(1000 + n)) == 1
        assert words.count(f"{n}°") == 1
    boxes = text_boxes(found, 20)
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i])
    beyond = (
        min(b.bounds[0] for b in boxes)
        if edge is ViewEdge.RIGHT
        else -max(b.bounds[3] for b in boxes)
    )
    assert beyond > (4000 if edge is ViewEdge.RIGHT else 0)


def test_a_long_table_stands_in_blocks_no_higher_than_the_view():
    """A view of 100 mm on paper has room for some 19 rows of 4.5 mm under title and heads."""
    found = labels(placed(table(40)))
    assert [label.text for label in found].count("Mark") == 3
    low, high = (f(label.at[1] for label in found) for f in (min, max))
    assert (high - low) / 20 < 100


def test_the_number_of_blocks_can_be_asked_for():
    assert [label.text for label in labels(placed(table(10, blocks=2)))].count("Mark") == 2


def test_a_table_can_stand_alone():
    view = placed(table(3), primitives=())
    assert [label.text for label in labels(view)].count("ST3") == 1


def test_rows_of_one_height_and_columns_of_one_edge():
    found = labels(placed(table(5)))
    lengths = [label.at[0] for label in found if label.text.startswith("100")]
    assert len(lengths) == 5 and len(set(lengths)) == 1
    marks = sorted(label.at[1] for label in found if label.text.startswith("ST"))
    steps = [b - a for a, b in zip(marks, marks[1:], strict=False)]
    assert steps == pytest.approx([steps[0]] * 4)
