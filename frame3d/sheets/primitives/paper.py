"""Paper sizes, borders and scales, as published.

References
----------
ISO 216:2007: A4 210 x 297 mm to A0 841 x 1189 mm.
ISO 5457:1999, 4.2: border 20 mm from the filing edge, 10 mm from the others.
ISO 5455:1979: scales 1:1, 1:2, 1:5 and their tenfolds.
ASME Y14.1: sheets A 8.5 x 11 in to E 34 x 44 in. Borders on these: 3/4 in at the
filing edge and 1/2 in elsewhere (common practice, no source).
Scales of feet and inches, such as 1/4 in = 1 ft: common practice, no source.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.units import UnitSystem

MM_PER_INCH = 25.4


class Paper(Struct, frozen=True, kw_only=True):
    """A sheet of paper, lying, with the border of the drawing space.

    Parameters
    ----------
    name : str
        For example ``A3`` (ISO) or ``B`` (US).
    width_mm, height_mm : float
    filing_mm, edge_mm : float
        From the left edge, and from the other edges, to the border.
    """

    name: str
    width_mm: float
    height_mm: float
    filing_mm: float
    edge_mm: float

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """The border: left, bottom, right, top; mm from the paper's lower left corner."""
        return (
            self.filing_mm,
            self.edge_mm,
            self.width_mm - self.edge_mm,
            self.height_mm - self.edge_mm,
        )


def _iso(name: str, width_mm: float, height_mm: float) -> Paper:
    return Paper(name=name, width_mm=width_mm, height_mm=height_mm, filing_mm=20, edge_mm=10)


def _us(name: str, width_in: float, height_in: float) -> Paper:
    return Paper(
        name=name,
        width_mm=width_in * MM_PER_INCH,
        height_mm=height_in * MM_PER_INCH,
        filing_mm=0.75 * MM_PER_INCH,
        edge_mm=0.5 * MM_PER_INCH,
    )


PAPERS: dict[SheetStandard, tuple[Paper, ...]] = {
    SheetStandard.ISO: (
        _iso("A4", 297, 210),
        _iso("A3", 420, 297),
        _iso("A2", 594, 420),
        _iso("A1", 841, 594),
        _iso("A0", 1189, 841),
    ),
    SheetStandard.US: (
        _us("A", 11, 8.5),
        _us("B", 17, 11),
        _us("C", 22, 17),
        _us("D", 34, 22),
        _us("E", 44, 34),
    ),
}


def paper_of(standard: SheetStandard, name: str) -> Paper:
    """The paper called ``name``; ``KeyError`` if the standard has none."""
    return {paper.name: paper for paper in PAPERS[standard]}[name]


_METRIC = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
_IMPERIAL = {
    1: "full size",
    2: '6" = 1\'-0"',
    4: '3" = 1\'-0"',
    8: '1 1/2" = 1\'-0"',
    12: '1" = 1\'-0"',
    16: '3/4" = 1\'-0"',
    24: '1/2" = 1\'-0"',
    32: '3/8" = 1\'-0"',
    48: '1/4" = 1\'-0"',
    64: '3/16" = 1\'-0"',
    96: '1/8" = 1\'-0"',
    128: '3/32" = 1\'-0"',
    192: '1/16" = 1\'-0"',
    240: "1\" = 20'",
    360: "1\" = 30'",
    480: "1\" = 40'",
    600: "1\" = 50'",
    1200: "1\" = 100'",
    2400: "1\" = 200'",
    4800: "1\" = 400'",
    9600: "1\" = 800'",
}


def scales(system: UnitSystem) -> tuple[int, ...]:
    """The standard reductions, as the 48 of 1:48, largest drawing first."""
    return tuple(_IMPERIAL) if system is UnitSystem.IMPERIAL else _METRIC


def scale_text(denominator: int, system: UnitSystem) -> str:
    """A scale as a title block writes it, ``1:50`` or ``1/4" = 1'-0" (1:48)``."""
    ratio = f"1:{denominator}"
    named = _IMPERIAL.get(denominator) if system is UnitSystem.IMPERIAL else None
    return f"{named} ({ratio})" if named else ratio
