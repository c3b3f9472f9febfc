"""The inspection record, blank, to fill in: as PDF and as CSV."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.frame.describe.as_built import titled
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import with_revision
from frame3d.guide.steps.days import plan_days
from frame3d.guide.steps.step_lists import carriers_of
from frame3d.guide.steps.steps import steps_of
from frame3d.guide.words.words_inspection import CAUTIONS, Occasion, months_due, occasions
from frame3d.guide.write.print_pages import SIZES
from frame3d.units.cells import as_csv

_HEAD = ("occasion", "due", "what", "should_be", "ok", "found", "mended", "date", "by")
_BLANK = ("", "", "", "", "")


def _due(frame: Frame) -> tuple[str, ...]:
    if frame.design.crew is None:
        return months_due(None)
    return months_due(plan_days(frame, steps_of(frame), carriers_of(frame)))


def inspection_csv(frame: Frame) -> str:
    """A row for each look at each occasion, those of every month twelve times."""
    return as_csv([_HEAD, *_rows(frame)])


def _rows(frame: Frame) -> Iterator[tuple[str, ...]]:
    for one in occasions(frame):
        for due in _due(frame) if one.monthly else ("",):
            for look in one.looks:
                yield (one.title, due, look.what, look.should, *_BLANK)


def inspection_pdf(frame: Frame, status: SetStatus = UNCHECKED) -> bytes:
    """A form for each occasion; that of every month has a column for each of twelve."""
    # Only here: what writes a PDF takes longer to load than the guide's page needs.
    from frame3d.sheets.paper.table_pages import Form, FormColumn, table_pdf

    project = frame.design.project
    title = f"{titled(frame)}: inspection record"
    forms = []
    for one in occasions(frame):
        heads, blanks = _columns(frame, one)
        forms.append(
            Form(
                title=f"{title}, {one.title.lower()}",
                notes=(*CAUTIONS, one.note, *_who(one)),
                columns=(
                    FormColumn(header="What", share=2.0), FormColumn(header="Should be", share=3.3),
                    *(FormColumn(header=head, share=share) for head, share in heads),
                ),
                rows=tuple((look.what, look.should, *blanks) for look in one.looks)
                + ((("By", "", *blanks),) if one.monthly else ()),
            )
        )  # fmt: skip
    number = with_revision(frame, status.number(project.number))
    return table_pdf(
        forms, size_mm=SIZES[frame.design.output.sheets], title=title,
        foot=[f"{project.name}, {number}"],
    )  # fmt: skip


def _columns(frame: Frame, one: Occasion) -> tuple[list[tuple[str, float]], tuple[str, ...]]:
    """Heads of the blank columns with their shares of the width, and the blanks."""
    if one.monthly:
        # A date stands in three lines, as wide as its year.
        heads = [(due.removeprefix("month ").replace("-", " "), 0.76) for due in _due(frame)]
    else:
        heads = [("OK", 0.5), ("Found", 2.4), ("Mended: how, date, by", 2.2)]
    return heads, ("",) * len(heads)


def _who(one: Occasion) -> tuple[str, ...]:
    return () if one.monthly else ("Date: ______________   By: ______________________________",)
