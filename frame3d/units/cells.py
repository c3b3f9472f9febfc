"""Texts in CSV files that spreadsheets open, written so that none of them is a formula.

A spreadsheet works out a cell that begins with =, +, - or @, as a name in a stranger's design may;
what it works out can send figures away or start a program. An apostrophe before it keeps it a
text: CWE-1236 (Improper Neutralization of Formula Elements in a CSV File) and OWASP ASVS 5.0,
1.2.10 say so. The apostrophe is seen in the cell, which is the lesser evil. Quotation marks would
not do: they are the form of a CSV file and no part of the text. XLSX needs none, as its cells say
that they are texts. JSON has the texts as they are.

Whatever is written comes back the same: a text that begins with apostrophes and such a sign gets
one more, and one is taken away.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

from frame3d.units.data_tables import Value

_SIGNS = r"[=+\-@\t\r\n\0\uff1d\uff0b\uff0d\uff20]"
"""The last four are the wide forms of the first four."""
_FORMULA = re.compile(rf"'*\s*{_SIGNS}")
_GUARDED = re.compile(rf"'+\s*{_SIGNS}")


def as_cell(value: Value) -> Value:
    """``value`` as it goes into a CSV file: numbers as they are.

    Examples
    --------
    >>> as_cell("=1+1"), as_cell("NPS 1 STD"), as_cell(-3.5)
    ("'=1+1", 'NPS 1 STD', -3.5)
    """
    return f"'{value}" if isinstance(value, str) and _FORMULA.match(value) else value


def as_csv(rows: Iterable[Iterable[Value | None]]) -> str:
    """Rows as the text of a CSV file, None as an empty cell.

    Examples
    --------
    >>> as_csv([("Mark", "kg"), ("A1", None), ("=A1", 2.5)]).splitlines()
    ['Mark,kg', 'A1,', "'=A1,2.5"]
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(
        ["" if value is None else as_cell(value) for value in row] for row in rows
    )
    return text.getvalue()


def from_cell(text: str) -> str:
    """The text that :func:`as_cell` made a cell of.

    Examples
    --------
    >>> from_cell("'=1+1"), from_cell("'2 in")
    ('=1+1', "'2 in")
    """
    return text[1:] if _GUARDED.match(text) else text
