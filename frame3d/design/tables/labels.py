"""The table of the design about labels: how they lie on the paper that they are printed on."""

import enum
from typing import Self

from pydantic import model_validator

from frame3d.design.tables.fields import DesignTable, LengthMm, Whole, field
from frame3d.errors import DesignError


class LabelFor(enum.Enum):
    """What a label is stuck on."""

    BUNDLE = "bundle"
    PIECE = "piece"


class Labels(DesignTable):
    """Labels for made parts: the grid of the paper that you print them on, upright.

    Measure your sheet of labels. The size of a label is what margins and gaps leave.
    """

    each: LabelFor = field(
        "What has a label of its own: the pieces of one mark in one step, or every piece",
        default="bundle",
    )
    rows: Whole = field("Rows of labels on a sheet", default=8, ge=1, le=40)
    columns: Whole = field("Labels in a row", default=3, ge=1, le=10)
    margin_top: LengthMm = field(
        "From the upper and the lower edge of the paper to the labels",
        imperial="1/2 in", metric="13 mm", ge=0, le=150,
    )  # fmt: skip
    margin_side: LengthMm = field(
        "From the left and the right edge of the paper to the labels",
        imperial="1/2 in", metric="13 mm", ge=0, le=150,
    )  # fmt: skip
    gap_down: LengthMm = field(
        "Between rows of labels", imperial="0 in", metric="0 mm", ge=0, le=50
    )
    gap_across: LengthMm = field(
        "Between labels in a row", imperial="1/8 in", metric="3 mm", ge=0, le=50
    )
    skip: Whole = field("Labels already used on the first sheet", default=0, ge=0, le=399)

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        """Labels must be large enough to read, on the smaller of the two papers."""
        for paper, least, margin, gap, many in (
            (_SMALLEST[0], _LEAST_MM[0], "margin_side", self.gap_across, "columns"),
            (_SMALLEST[1], _LEAST_MM[1], "margin_top", self.gap_down, "rows"),
        ):
            most = int((paper + gap - 2 * getattr(self, margin)) / (least + gap))
            if most < 1:
                raise DesignError("leaves no room for labels on the paper; make it less", margin)
            if getattr(self, many) > most:
                raise DesignError(
                    f"with {getattr(self, many)} the labels would be too small for their code; "
                    f"make it at most {most}",
                    many,
                )
        if self.skip >= self.rows * self.columns:
            raise DesignError(
                f"is {self.skip}, but a sheet has {self.rows * self.columns} labels; make it at "
                f"most {self.rows * self.columns - 1}",
                "skip",
            )
        return self

    def size_mm(self, paper_mm: tuple[float, float]) -> tuple[float, float]:
        """Width and height of a label on paper of this size, mm."""
        wide = paper_mm[0] - 2 * self.margin_side - (self.columns - 1) * self.gap_across
        high = paper_mm[1] - 2 * self.margin_top - (self.rows - 1) * self.gap_down
        return wide / self.columns, high / self.rows


_SMALLEST = (210.0, 279.4)
"""The width of A4 (ISO 216) and the height of A (ASME Y14.1), mm."""
_LEAST_MM = (30.0, 14.0)
"""Of a label with its code and three lines (common practice, no source)."""
