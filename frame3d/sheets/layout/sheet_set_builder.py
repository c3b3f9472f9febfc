"""The builder at which a set of sheets is made: paper, room, and the drafts made so far.

A family of sheets is a function of the builder in a module of its own, entered in the set
in ``draw.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Grid
from frame3d.frame.revisions.words import change_notes
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import Table, View, ViewEdge
from frame3d.sheets.annotation.detail_places import DetailPages, DetailPlace, Home
from frame3d.sheets.layout.compose import DrawingArea, Run, best_scale, ground_of
from frame3d.sheets.layout.sheet import SheetFinding
from frame3d.sheets.primitives.paper import Paper
from frame3d.units import LengthFormat

_LEAST_HOOPS = 2
"""No stretch of a tunnel shows fewer hoops than this."""

GENERAL, SETTING_OUT = "General arrangement drawing", "Layout drawing"
ASSEMBLY, PART, DETAIL = "Assembly drawing", "Part drawing", "Detail drawing"
"""Types of document, as ISO 7200 asks for one; the words as ISO 10209 has them, from memory.
A setting-out drawing is common practice, no source.
"""

_LENGTHS = ("Lengths are overall; an end cut is given as the angle off square.",)


class UnnumberedSheet(Struct, frozen=True, kw_only=True):
    """A sheet before it has its number."""

    title: str
    rows: tuple[tuple[PlacedView, ...], ...]
    notes: tuple[str, ...]
    kind: str = GENERAL
    family: str = ""
    """What it is drawn by, by its name in the set; sheets of two families are never joined."""
    group: str = ""
    """General drawings of one group may share a sheet, and other kinds with tables."""

    @property
    def views(self) -> tuple[PlacedView, ...]:
        """The views of all rows."""
        return tuple(view for row in self.rows for view in row)


class SheetSetBuilder(Struct):
    """What all sheets of a set share, and the drafts made so far."""

    frame: Frame
    paper: Paper
    lengths: LengthFormat
    drafts: list[UnnumberedSheet] = field(default_factory=list)
    findings: list[SheetFinding] = field(default_factory=list)
    details: DetailPages | None = None
    """The details, known before any sheet is made, so that views can call them out."""
    details_from: int = 0
    """How many drafts lie before the sheets of details."""
    status: SetStatus = UNCHECKED
    """What cover and title blocks say of the set."""
    family: str = ""
    """What is being drawn, by its name in the set."""
    series: str = ""
    """What stands after the number of the set where its sheets are counted apart from others."""

    @property
    def status_field(self) -> str:
        """For title blocks: that the set is not to be built from; else that it is as built."""
        mark = as_built_mark(self.frame)
        return mark if mark and self.status.is_whole else self.status.field

    def add(
        self,
        title: str,
        views: Sequence[PlacedView],
        notes: Sequence[str],
        kind: str = GENERAL,
        group: str = "",
    ) -> None:
        """One more sheet, its views one below the other."""
        self.add_rows(title, [[view] for view in views], notes, kind, group)

    def add_rows(
        self,
        title: str,
        rows: Sequence[Sequence[PlacedView]],
        notes: Sequence[str],
        kind: str = GENERAL,
        group: str = "",
    ) -> None:
        """One more sheet of rows of views; what these could not place becomes findings.

        ``kind`` is the type of document by ISO 7200; what is of one ``group`` may share a
        sheet though it is general or has tables.
        """
        number = len(self.drafts) + 1
        draft = UnnumberedSheet(
            title=title,
            rows=tuple(tuple(row) for row in rows),
            notes=tuple(notes),
            kind=kind,
            family=self.family,
            group=group,
        )
        self.drafts.append(draft)
        for problem in dict.fromkeys(
            t for view in draft.views for t in (*view.problems, *view.left_out)
        ):
            self.findings.append(
                SheetFinding(
                    sheet=number,
                    message=f"{problem} on {self.paper.name} paper; choose a larger sheet_size",
                )
            )

    def lacks(self, marks: Iterable[str]) -> tuple[str, ...]:
        """What changed of the parts of these marks, and what the model files lack of them."""
        wanted = tuple(marks)
        lacking = (one.words for one in self.status.unmade if one.mark in wanted)
        return (*change_notes(self.frame, wanted), *lacking)

    def ground(self, notes: Sequence[str]) -> DrawingArea:
        """How the sheet is shared out with these notes on it."""
        return ground_of(self.paper, notes)

    def details_in(self, home: Home) -> list[DetailPlace]:
        """Where the details are taken that views of this kind call out."""
        places = self.details.places if self.details else ()
        return [place for place in places if place.home is home]

    def on_plan(self) -> list[DetailPlace]:
        """Where the details are taken that the socket plan calls out."""
        places = self.details.places if self.details else ()
        return [place for place in places if place.on_plan]

    @property
    def number(self) -> str:
        """The number in the title blocks."""
        number = self.status.number(self.frame.design.project.number)
        if not self.series:
            return number
        return self.series if number == "-" else f"{number}-{self.series}"

    def missing(self, title: str) -> None:
        """Record that a view fits at no scale."""
        self.findings.append(
            SheetFinding(
                sheet=len(self.drafts) + 1,
                message=f"{title} is missing: it does not fit on {self.paper.name} paper at any "
                "standard scale; choose a larger sheet_size",
            )
        )


def run_of(grid: Grid) -> Run:
    """The length of the tunnel as a view that may be broken."""
    return Run(
        length_mm=grid.length_mm,
        spacing_mm=grid.spacing_mm,
        most_parts=max(1, len(grid.hoop_y_mm) // _LEAST_HOOPS),
    )


def add_with_tables(
    builder: SheetSetBuilder,
    title: str,
    view: View,
    tables: Sequence[Table],
    notes: Sequence[str],
    *,
    largest: float = 0.0,
) -> None:
    """A view with its tables beside or below it, whichever is clearer and then larger.

    Where the tables leave too little room for the view, they have a sheet of their own. It is
    drawn no larger than 1 to ``largest``.
    """
    size = builder.ground(notes).view_size

    def tried(*tables: Table, smallest: float = math.inf) -> PlacedView | None:
        annotations = (*view.annotations, *tables)
        return best_scale(
            replace(view, annotations=annotations), size, builder.lengths,
            smallest=smallest, largest=largest,
        )  # fmt: skip

    best: PlacedView | None = None
    for edge in (ViewEdge.RIGHT, ViewEdge.BOTTOM):
        # After one that is clear, a smaller one cannot be better.
        smallest = best.scale if best and not best.problems else math.inf
        option = tried(*(replace(table, edge=edge) for table in tables), smallest=smallest)
        best = min(filter(None, (best, option)), key=_crowding, default=None)
    if best is None or best.problems:
        alone, words = tried(), tables_alone(builder, title, tables)
        if alone and words and (best is None or _crowding(alone) < _crowding(best)):
            builder.add(title, [alone], notes)
            builder.add(words.title, [words], _LENGTHS)
            return
    if best:
        builder.add(title, [best], notes)
    else:
        builder.missing(title)


def _crowding(view: PlacedView) -> tuple[int, int]:
    """What could not be placed well, then how small the view is: less is better."""
    return len(view.problems), view.scale


def tables_alone(
    builder: SheetSetBuilder, title: str, tables: Sequence[Table]
) -> PlacedView | None:
    """Tables without a view, the first in as few blocks as the sheet is high enough for."""
    size = builder.ground(_LENGTHS).view_size
    first, *more = tables
    for blocks in range(1, len(first.rows) + 1):
        view = View(
            title=f"{title}, pieces",
            primitives=(),
            bounds=(0.0, 0.0, 0.0, 0.0),
            annotations=(replace(first, blocks=blocks), *more),
            to_scale=False,
        )
        placed = best_scale(view, size, builder.lengths)
        if placed:
            return placed
    return None
