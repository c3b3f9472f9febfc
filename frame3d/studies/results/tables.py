"""Rows as tables: CSV, and Parquet where pyarrow is installed."""

from __future__ import annotations

from pathlib import Path

from frame3d.design.tables.fields import Written
from frame3d.loads.cautions import CAUTION_CELL
from frame3d.studies.results.result import StudyResult
from frame3d.units.cells import as_csv
from frame3d.units.data_tables import Value
from frame3d.writing import write_whole

_AFTER = ("state", "meets_conditions", "in_front", "reason")


def table_of(result: StudyResult) -> tuple[tuple[str, ...], list[tuple[Value, ...]]]:
    """Names of the columns, and the rows in the order of the plan.

    Yes or no are ``yes`` and ``no``; values of fields stand as a design file has them. With figures
    of loads each row begins with their caution.
    """
    plan = result.plan
    front = {row.number for row in result.front}
    first = (CAUTION_CELL,) if result.cautions else ()
    header = (*("caution" for _ in first), "row", *plan.fields, *plan.figures, *_AFTER)
    rows = [
        (
            *first,
            row.number,
            *(_value(row.values[field]) for field in plan.fields),
            *(_value(row.figures[name]) for name in plan.figures),
            row.state,
            _value(row.meets),
            _value(row.number in front),
            row.reason,
        )
        for row in result.rows
    ]
    return header, rows


def _value(value: Written) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if value is None or isinstance(value, str | int | float) else str(value)


def write_csv(result: StudyResult, path: Path) -> None:
    """Write the rows as CSV, in UTF-8 with a byte order mark, by which spreadsheets know it.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    header, rows = table_of(result)

    text = as_csv([header, *rows])
    write_whole(path, lambda part: part.write_text(text, encoding="utf-8-sig", newline=""))


def write_parquet(result: StudyResult, path: Path) -> bool:
    """Write the rows as Parquet; False where pyarrow is not installed.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    try:
        import pyarrow
        from pyarrow import parquet
    except ImportError:
        return False
    header, rows = table_of(result)
    columns = {name: _alike([row[at] for row in rows]) for at, name in enumerate(header)}
    table = pyarrow.table(columns)
    write_whole(path, lambda part: parquet.write_table(table, part))
    return True


def _alike(values: list[Value]) -> list[Value]:
    """A column of one kind: numbers, or else texts."""
    kinds = {type(value) for value in values if value is not None}
    if kinds <= {int} or kinds <= {str}:
        return values
    if kinds <= {int, float}:
        return [None if value is None else float(value) for value in values]
    return [None if value is None else str(value) for value in values]
