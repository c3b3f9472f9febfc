"""Labels for made parts: mark, length, count, where it goes, and a code of mark and design.

The code is a QR code (ISO/IEC 18004) of the number of the design and the mark, parted by a space.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct, structs

from frame3d.design.tables.labels import LabelFor
from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import with_revision
from frame3d.ordering.work_tables import Packed, packed_parts
from frame3d.takeoff.write.records import FIRST_LINE
from frame3d.units.cells import as_csv

if TYPE_CHECKING:
    from frame3d.sheets.paper.label_pages import Label

_PAPER = {SheetStandard.ISO: (210.0, 297.0), SheetStandard.US: (215.9, 279.4)}
"""Upright A4 (ISO 216) and A (ASME Y14.1), mm."""
_HEAD = ("label", "design", "mark", "use", "description", "length", "count", "step", "what is done",
         "where", "code")  # fmt: skip


class PartLabel(Struct, frozen=True, kw_only=True):
    """What one label says."""

    design: str
    revision: str
    mark: str
    use: str
    description: str
    length: str
    count: int
    step: int
    title: str
    where: str

    @property
    def code(self) -> str:
        """What its code says."""
        return f"{self.design} {self.mark}"


def part_labels(frame: Frame) -> tuple[PartLabel, ...]:
    """The labels in the order of the steps: one for each bundle, or for each piece."""
    alone = frame.design.labels.each is LabelFor.PIECE
    return tuple(
        label
        for packed in packed_parts(frame)
        if not packed.members[0].part.is_bought
        for label in _labels(frame, packed, alone=alone)
    )


def _labels(frame: Frame, packed: Packed, *, alone: bool) -> Iterator[PartLabel]:
    form, first = lengths_of(frame), packed.members[0]
    length = first.part.over_all_mm
    whole = PartLabel(
        design=frame.design.project.number,
        revision=with_revision(frame, frame.design.project.number),
        mark=first.mark,
        use=first.role.value,
        description=describe(first.part, form),
        length="" if length is None else form.text(length, unit=True),
        count=len(packed.members),
        step=packed.step,
        title=packed.title,
        where=packed.where,
    )
    if not alone:
        yield whole
        return
    for member in packed.members:
        where = grid_text((member,)) if len(packed.members) > 1 else packed.where
        yield structs.replace(whole, count=1, where=where)


def label_csv(frame: Frame) -> str:
    """The labels as a list."""
    rows = [(
        number, one.revision, one.mark, one.use, one.description, one.length, one.count, one.step,
        one.title, one.where, one.code,
    ) for number, one in enumerate(part_labels(frame), start=1)]  # fmt: skip
    return f"\ufeff{FIRST_LINE}\n{as_csv([_HEAD, *rows])}"


def label_pages(frame: Frame) -> bytes:
    """The labels on paper, in the grid of the design."""
    # Only here: what writes a PDF takes long to load.
    from frame3d.sheets.paper.label_pages import LabelGrid, label_pdf

    grid, paper = frame.design.labels, _PAPER[frame.design.output.sheets]
    size = grid.size_mm(paper)
    labels = [_label(one) for one in part_labels(frame)]
    return label_pdf(
        labels,
        LabelGrid(
            paper=paper,
            rows=grid.rows,
            columns=grid.columns,
            corner=(grid.margin_side, grid.margin_top),
            size=size,
            step=(size[0] + grid.gap_across, size[1] + grid.gap_down),
            skip=grid.skip,
        ),
        f"Labels {with_revision(frame, frame.design.project.number)}",
    )


def _label(one: PartLabel) -> Label:
    from frame3d.sheets.paper.label_pages import Label

    first = f"{one.count} × {one.length}" if one.length else _pieces(one.count)
    step = f"step {one.step}: {one.title}"
    return Label(
        code=_cells(one.code),
        mark=one.mark,
        lines=(first, one.use, one.where, step, one.revision),
        short=(first, f"step {one.step} of the guide", one.revision),
    )


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _cells(text: str) -> tuple[tuple[bool, ...], ...]:
    """The code of a text, without the light cells round it."""
    import segno

    code = segno.make_qr(text, error="m", boost_error=False)
    return tuple(tuple(bool(cell) for cell in row) for row in code.matrix)
