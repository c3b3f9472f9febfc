"""Values in the records that files are written from, by the path of each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from frame3d.studies.figures.figure import FigureValue
from frame3d.units.data_tables import Json

_STEP = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


def value_in(record: Json, path: str) -> FigureValue:
    """What stands at ``profile.width.centres.mm`` or ``ties[1].height``; None for nothing.

    Lists count from 1. A list or a table at the end of the path counts as nothing.
    """
    for step in _STEP.finditer(path):
        if step[1] and isinstance(record, Mapping):
            record = record.get(step[1])
        elif step[2] and isinstance(record, Sequence) and not isinstance(record, str):
            number = int(step[2])
            record = record[number - 1] if 1 <= number <= len(record) else None
        else:
            return None
    return record if isinstance(record, str | int | float) else None


def paths_in(record: Json, path: str = "") -> Iterator[str]:
    """The path of every number, and every yes or no, in a record."""
    if isinstance(record, Mapping):
        for name, value in record.items():
            yield from paths_in(value, f"{path}.{name}" if path else name)
    elif isinstance(record, Sequence) and not isinstance(record, str):
        for number, value in enumerate(record, start=1):
            yield from paths_in(value, f"{path}[{number}]")
    elif isinstance(record, int | float):
        yield path


def may_hold(record: Json, path: str) -> bool:
    """Whether a record of that kind can hold a number at ``path``, if not this one.

    What is None or an empty list in this one may hold anything in another.
    """
    for step in _STEP.finditer(path):
        if record is None or record == []:
            return True
        if step[1] and isinstance(record, Mapping) and step[1] in record:
            record = record[step[1]]
        elif step[2] and isinstance(record, Sequence) and not isinstance(record, str):
            record = record[min(int(step[2]), len(record)) - 1]
        else:
            return False
    return not isinstance(record, Mapping | list)
