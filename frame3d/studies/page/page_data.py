"""What the page of a study shows, as plain data: columns, rows, and a design file with gaps.

The design file of a row is made on the page: of the base with a mark in place of every value that
varies, and of the values as a file has them. So a page with thousands of rows holds one design.
"""

from __future__ import annotations

from frame3d.design.tables.fields import Table, Written
from frame3d.design.writing.editing import edited_text, plain_text
from frame3d.studies.figures.known import figure_named
from frame3d.studies.plan.variants import changed
from frame3d.studies.plan.whole_plan import LEFT_OUT, Plan
from frame3d.studies.results.moving import moved_by
from frame3d.studies.results.result import StudyResult
from frame3d.units.data_tables import Json


def mark(number: int) -> str:
    """What stands in the design file in place of the value of a field, by its number."""
    return f"@@value-{number}@@"


def page_data(result: StudyResult, name: str) -> dict[str, Json]:
    """Everything that the page needs; ``name`` is what files that it gives are called."""
    plan = result.plan
    front = {row.number for row in result.front}
    texts: dict[str, int] = {}
    reasons: dict[str, int] = {}
    values = []
    for row in result.rows:
        own = [toml_of(row.values[field]) for field in plan.fields]
        values.append([texts.setdefault(text, len(texts)) for text in own])
    return {
        "name": name,
        "fields": list(plan.fields),
        "axes": [axis.fields[0] for axis in plan.axes],
        "figures": [
            {"name": one.name, "words": one.words, "unit": one.unit}
            for one in map(figure_named, plan.figures)
        ],
        "goals": [{"figure": goal.figure, "up": goal.up} for goal in plan.goals],
        "template": _template(plan),
        "texts": list(texts),
        "rows": [
            [
                values[at],
                [row.figures[figure] for figure in plan.figures],
                row.state,
                reasons.setdefault(row.reason, len(reasons)),
                int(row.meets) + int(row.number in front),
            ]
            for at, row in enumerate(result.rows)
        ],
        "reasons": list(reasons),
        "moved": [
            [one.figure, one.fields, one.share, one.low, one.high] for one in moved_by(result)
        ],
    }  # fmt: skip


def toml_of(value: Written) -> str:
    """A value as a design file has it; empty for a field that is left out."""
    if value == LEFT_OUT:
        return ""
    return plain_text({"a": {"b": value}}).partition("b = ")[2].rstrip("\n")


def _template(plan: Plan) -> str:
    marks: Table = {field: mark(number) for number, field in enumerate(plan.fields)}
    return edited_text(plan.base_text or "", changed(plan.base, marks))
