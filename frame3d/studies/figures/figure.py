"""A figure that can be asked of a design, and what figures are taken from."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec import Struct

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import report_of, status_of
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.model.members import Frame
from frame3d.summary import summary_of
from frame3d.takeoff.take_off import Takeoff, UserLists, take_off
from frame3d.takeoff.write.records import record_of
from frame3d.units.data_tables import Json

if TYPE_CHECKING:
    from frame3d.studies.figures.load_indices import Indices

FigureValue = float | int | bool | str | None
"""Of a figure; None where a design has none, as a clear height under ties without ties."""


class NoFigureError(LookupError):
    """A design has no figure of that kind; the message says why."""


class Sources:
    """What is known of one frame; each is worked out when a figure first asks for it.

    They are the very records that ``summary.json``, ``findings.json`` and ``takeoff.json`` are
    written from, so a row has the figures of a single run. ``base`` is the design that others are
    compared with, as JSON, where a figure needs one.
    """

    def __init__(self, frame: Frame, lists: UserLists, base: str | None = None) -> None:
        self.frame, self.lists, self._base = frame, lists, base

    @functools.cached_property
    def checks(self) -> tuple[Finding, ...]:
        """What the checks find."""
        return check_frame(self.frame)

    @functools.cached_property
    def status(self) -> SetStatus:
        """What stands against building from it."""
        return status_of(self.checks, missing=self.lists.missing)

    @functools.cached_property
    def takeoff(self) -> Takeoff:
        """What to order."""
        return take_off(self.frame, self.lists, self.status)

    @functools.cached_property
    def summary(self) -> dict[str, Json]:
        """What ``summary.json`` holds."""
        return summary_of(self.frame, self.status)

    @functools.cached_property
    def findings(self) -> dict[str, Json]:
        """What ``findings.json`` holds."""
        return dict(report_of(self.frame, self.checks))  # type: ignore[arg-type]  # typed by key

    @functools.cached_property
    def order(self) -> dict[str, Json]:
        """What ``takeoff.json`` holds, without its tables."""
        return record_of(self.takeoff, ())

    @functools.cached_property
    def indices(self) -> Indices:
        """Of each shape of load the index against the base, as ``frame3d loads`` tells it."""
        from frame3d.studies.figures.load_indices import indices_of  # the solver loads slowly

        return indices_of(self.frame, self._base)


class Figure(Struct, frozen=True, kw_only=True):
    """A figure that can be asked for.

    Parameters
    ----------
    name : str
        As plans call it; it ends in its unit.
    words : str
        What it is, in one line.
    unit : str
        ``mm``, ``kg``, ``m2``, ``m3``, ``share``, ``money``, ``yes or no``, empty for a number.
    of : callable
        Its value from the sources of a frame; may raise NoFigureError, which says why it has none.
    """

    name: str
    words: str
    unit: str
    of: Callable[[Sources], FigureValue]
