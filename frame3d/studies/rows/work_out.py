"""One design worked out by arithmetic alone: layout, checks, take-off, and the figures asked.

This is what worker processes run. What comes and goes is plain: texts, numbers, lists and
tables, so it can be sent anywhere.
"""

from __future__ import annotations

import json
import time
from collections.abc import Sequence

from msgspec import Struct

from frame3d.design.reading.reader import design_from_mapping, locate
from frame3d.design.reading.user_lists import GivenList, GivenLists
from frame3d.design.tables.fields import Table
from frame3d.errors import DesignError, DesignFaults, OutputError
from frame3d.frame.located import laid_out
from frame3d.studies.figures.figure import FigureValue, NoFigureError, Sources
from frame3d.studies.figures.known import figure_named
from frame3d.studies.rows.row import Row, State, program_key, row_from, row_key, row_line
from frame3d.takeoff.take_off import read_user_lists

_MOST_REASONS = 3


class Task(Struct, frozen=True, kw_only=True):
    """Designs to work out, and what to ask of each.

    Parameters
    ----------
    designs : tuple of str
        Each a mapping as JSON.
    lists : dict of str to (str, str)
        Name and text of the lists that they name, by what these are of.
    figures : tuple of str
    program : str
        The program that asks; no other may answer.
    base : str or None
        The design with which each is compared, a mapping as JSON; None where no figure needs it.
    """

    designs: tuple[str, ...]
    lists: dict[str, tuple[str, str]]
    figures: tuple[str, ...]
    program: str
    base: str | None = None


def worked(task: Task) -> tuple[list[str], float]:
    """The rows of a task, each as a line, and how long they took, s.

    Raises
    ------
    OutputError
        If this is another program than the one that asks.
    """
    if task.program != program_key():
        raise OutputError(
            f"a worker runs frame3d {program_key()}, and this is {task.program}; install the same "
            "on all machines, so that all rows are made alike"
        )
    begin = time.perf_counter()
    lists = {what: GivenList(name=n, text=t) for what, (n, t) in task.lists.items()}
    rows = [work_out(json.loads(text), lists, task.figures, task.base) for text in task.designs]
    return [row_line(row).decode() for row in rows], time.perf_counter() - begin


def rows_of(lines: Sequence[str]) -> list[Row]:
    """The rows that a worker has sent."""
    found = [row_from(line.encode()) for line in lines]
    return [row for row in found if row is not None]


def work_out(
    mapping: Table, lists: GivenLists, figures: Sequence[str], base: str | None = None
) -> Row:
    """The row of one design; ``base``, as JSON, is what it is compared with."""
    key = row_key(mapping, lists, program_key(), base)
    try:
        values, reason = _values(sources_of(mapping, lists, base), figures)
    except DesignFaults as error:
        told = [str(fault) for fault in error.faults[:_MOST_REASONS]]
        if len(error.faults) > _MOST_REASONS:
            told.append(f"and {len(error.faults) - _MOST_REASONS} more")
        return Row(key=key, state=State.REFUSED, reason="; ".join(told))
    return Row(key=key, state=State.MADE, figures=values, reason=reason)


def _values(sources: Sources, figures: Sequence[str]) -> tuple[dict[str, FigureValue], str]:
    """The figures, and why some are empty; empty where nothing is to be told."""
    values: dict[str, FigureValue] = {}
    missing: dict[str, list[str]] = {}
    for name in figures:
        try:
            values[name] = figure_named(name).of(sources)
        except NoFigureError as error:
            values[name] = None
            missing.setdefault(str(error), []).append(name)
    return values, "; ".join(f"no {', '.join(names)}: {why}" for why, names in missing.items())


def sources_of(mapping: Table, lists: GivenLists, base: str | None = None) -> Sources:
    """What figures are taken from, of a design with its lists; no file is opened.

    Raises
    ------
    DesignFaults
        If it is no design, cannot be laid out, or a list has faults.
    """
    frame = laid_out(design_from_mapping(mapping))
    try:
        return Sources(frame, read_user_lists(frame, lists), base)
    except DesignError as error:
        raise locate(frame.design, error) from None
