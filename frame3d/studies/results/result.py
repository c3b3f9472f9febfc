"""What a study has found: its designs with their rows, those that will do, and the best."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from frame3d.design.tables.fields import Table, Written
from frame3d.design.writing.editing import edited_text
from frame3d.errors import OutputError, unwritable
from frame3d.loads.cautions import cautions_beside
from frame3d.studies.figures.figure import FigureValue
from frame3d.studies.figures.from_loads import asks_loads
from frame3d.studies.plan.variants import Variant, changed
from frame3d.studies.plan.whole_plan import Plan
from frame3d.studies.results.front import front_of
from frame3d.studies.rows.row import Row, State
from frame3d.writing import write_whole

_WHICH_OTHER = (
    "The other design is the base of the plan. Where 1 lies between the least and the greatest "
    "index, nobody knows which of the two reaches the comparison point sooner."
)


class Compared(Struct, frozen=True, kw_only=True):
    """One design of a study.

    Parameters
    ----------
    number : int
        In the order of the plan, from 1.
    values : dict
        What the fields are that vary.
    state : str
        ``made``, ``refused`` or ``failed``.
    reason : str
        Why it is not made, or why figures of it are empty.
    figures : dict
        What was asked; None where it has none.
    meets : bool
        Whether it is made and meets all conditions.
    """

    number: int
    values: Mapping[str, Written]
    state: str
    reason: str
    figures: Mapping[str, FigureValue]
    meets: bool


class StudyResult(Struct, frozen=True, kw_only=True):
    """All designs of a study, in the order of its plan.

    Parameters
    ----------
    plan : Plan
    rows : tuple of Compared
    folder : Path or None
        Where the rows are kept; None where nothing was written.
    """

    plan: Plan
    rows: tuple[Compared, ...]
    folder: Path | None = None

    @property
    def cautions(self) -> tuple[str, ...]:
        """What stands first wherever it is shown: with figures of loads, what they do not say."""
        if not asks_loads(self.plan.figures):
            return ()
        return (*cautions_beside(other=True), _WHICH_OTHER)

    @property
    def front(self) -> tuple[Compared, ...]:
        """The designs that no other beats in all goals, the best in the first goal first.

        Of the designs that meet the conditions and have a number for each goal. Those that are
        equal in all goals are all in it.
        """
        return tuple(front_of([row for row in self.rows if row.meets], self.plan.goals))

    def row(self, number: int) -> Compared:
        """The design of that number.

        Raises
        ------
        OutputError
            If there is none.
        """
        if not 1 <= number <= len(self.rows):
            raise OutputError(f"there is no row {number}; there are {len(self.rows)}")
        return self.rows[number - 1]

    def design(self, number: int | None = None) -> Table:
        """The design of a row as a mapping; None for the first of the front.

        Raises
        ------
        OutputError
            If there is no such row.
        """
        return changed(self.plan.base, dict(self._chosen(number).values))

    def design_text(self, number: int | None = None) -> str:
        """The design file of a row, with the comments of the base; as :meth:`design`."""
        text = self.plan.base_text or ""
        return edited_text(text, self.design(number))

    def write_design(self, path: str | Path, number: int | None = None) -> None:
        """Write the design file of a row; as :meth:`design`.

        Raises
        ------
        OutputError
            If there is no such row, or the file cannot be written.
        """
        text = self.design_text(number)
        place = Path(path)
        if not place.parent.is_dir():
            raise unwritable(place, FileNotFoundError(2, "there is no such folder"))
        write_whole(place, lambda part: part.write_text(text, encoding="utf-8", newline="\n"))

    def _chosen(self, number: int | None) -> Compared:
        if number is not None:
            return self.row(number)
        front = self.front
        if not front:
            raise OutputError(
                "no design is the best: the plan has no goals, or none meets its conditions; "
                "give the number of a row"
            )
        return front[0]


def compared(plan: Plan, variant: Variant, row: Row) -> Compared:
    """A design of the plan with its row."""
    figures = {name: row.figures.get(name) for name in plan.figures}
    return Compared(
        number=variant.number,
        values=variant.values(plan),
        state=row.state.value,
        reason=row.reason,
        figures=figures,
        meets=row.state is State.MADE
        and all(one.holds(figures[one.figure]) for one in plan.conditions),
    )
