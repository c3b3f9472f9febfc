"""The paper that a design asks for, and drafts as sheets with numbers and title blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.direction import names_running_left
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import shown_revision
from frame3d.sheets.annotation.changed_marks import boxed
from frame3d.sheets.annotation.detail_places import numbered
from frame3d.sheets.layout.border import border
from frame3d.sheets.layout.compose import (
    note_height_mm,
    note_labels,
)
from frame3d.sheets.layout.sheet import Sheet, SheetSet, TitleBlock
from frame3d.sheets.layout.sheet_set_builder import (
    SheetSetBuilder,
    UnnumberedSheet,
)
from frame3d.sheets.layout.shelves import in_rows
from frame3d.sheets.layout.text_sheet import Page
from frame3d.sheets.primitives.paper import paper_of, scale_text
from frame3d.sheets.primitives.primitives import Label, Stroke
from frame3d.units import LengthFormat, UnitSystem

_OPEN = "?"
"""A number that is not known yet."""


def builder_for(frame: Frame, status: SetStatus = UNCHECKED) -> SheetSetBuilder:
    """An empty builder with the paper and the units that the design asks for."""
    output = frame.design.output
    lengths = LengthFormat(
        system=output.units, denominator=output.fraction, decimals=output.decimals
    )
    return SheetSetBuilder(
        frame=frame,
        paper=paper_of(output.sheets, output.sheet_size),
        lengths=lengths,
        status=status,
    )


def sheet_set_of(
    builder: SheetSetBuilder,
    front: Sequence[Page] = (),
    back: Sequence[Page] = (),
    *,
    whole: bool = True,
) -> SheetSet:
    """The drafts on the builder as numbered sheets, between the pages before and after them.

    Where they are not the ``whole`` set, what numbers they have in it is left open, as ``?``.
    """
    output = builder.frame.design.output
    count = len(front) + len(builder.drafts) + len(back) if whole else None
    first = len(front) + builder.details_from + 1
    places = builder.details.places if builder.details else ()
    details = {place.number: str(first + place.page) if whole else _OPEN for place in places}
    items: list[UnnumberedSheet | Page] = [*front, *builder.drafts, *back]
    sheets = [
        _sheet(builder, number, _called(item, details), count)
        if isinstance(item, UnnumberedSheet)
        else _page(builder, number, item, count)
        for number, item in enumerate(items, start=1)
    ]
    return SheetSet(
        sheets=tuple(sheets),
        lengths=builder.lengths,
        findings=tuple(replace(f, sheet=f.sheet + len(front)) for f in builder.findings),
        layers=output.layers,
        version=output.dxf_version,
        names=names_running_left(builder.frame.design),
        sets=output.sets,
    )


def _called(draft: UnnumberedSheet, details: Mapping[int, str]) -> UnnumberedSheet:
    """``draft`` with the sheets of the details in its call-outs."""
    rows = tuple(tuple(numbered(view, details) for view in row) for row in draft.rows)
    return replace(draft, rows=rows)


def _sheet(
    builder: SheetSetBuilder, number: int, draft: UnnumberedSheet, count: int | None
) -> Sheet:
    ground = builder.ground(draft.notes)
    placed = in_rows(draft.rows, ground, builder.lengths)
    if placed is None:
        raise ValueError(f"{draft.title}: its rows do not fit on {builder.paper.name} paper")
    views, labels = placed
    altered = builder.frame.since.altered if builder.frame.since else ()
    return Sheet(
        number=number,
        title=draft.title,
        paper=builder.paper,
        views=tuple(replace(one, view=boxed(one.view, altered)) for one in views),
        border=tuple(border(builder.paper)),
        strokes=(),
        labels=(*note_labels(ground, draft.notes, note_height_mm(builder.paper)), *labels),
        block=_title_block(
            builder,
            number,
            count,
            draft.title,
            draft.kind,
            [view.scale for view in draft.views if view.to_scale],
        ),
        family=draft.family,
    )


def _page(builder: SheetSetBuilder, number: int, page: Page, count: int | None) -> Sheet:
    """A cover or a schedule; where it has no notes of its own, its primitives says all."""
    labels: list[Label] = [item for item in page.primitives if isinstance(item, Label)]
    if page.notes is not None:
        height = note_height_mm(builder.paper)
        labels += note_labels(builder.ground(page.notes), page.notes, height)
    strokes = [item for item in page.primitives if isinstance(item, Stroke)]
    return Sheet(
        number=number,
        title=page.title,
        paper=builder.paper,
        views=page.views,
        border=tuple(border(builder.paper)),
        strokes=tuple(strokes),
        labels=tuple(labels),
        block=_title_block(builder, number, count, page.title, page.kind, []),
        family=page.family,
    )


def _title_block(
    builder: SheetSetBuilder,
    number: int,
    count: int | None,
    title: str,
    kind: str,
    scales: Sequence[int],
) -> TitleBlock:
    project = builder.frame.design.project
    used = sorted(set(scales))
    said = scale_text(used[0], builder.lengths.system) if used else "none"
    imperial = builder.lengths.system is UnitSystem.IMPERIAL
    standard = builder.frame.design.output.sheets
    between = "/" if standard is SheetStandard.ISO else "of"
    return TitleBlock(
        owner=project.owner,
        project=project.name,
        title=title,
        drawn_by=project.drawn_by,
        approved_by=project.approved_by,
        date=project.date,
        kind=kind,
        scale=said if len(used) < 2 else "as shown",
        number=builder.number,
        revision=shown_revision(builder.frame),
        sheet=f"{number if count else _OPEN} {between} {count or _OPEN}",
        paper=builder.paper.name,
        dimensions="feet and inches" if imperial else "millimetres",
        status=builder.status_field,
        standard=standard,
    )
