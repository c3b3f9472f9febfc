"""The tube that another one slides into, from the catalogue."""

from __future__ import annotations

import functools

from frame3d.catalog.csv_tables import CatalogKind, table_lines
from frame3d.catalog.lookup import clearance_mm, tube_rows
from frame3d.catalog.sections import TubeSection
from frame3d.units import UnitSystem, system_of

PLAY_MM = (0.5, 3.0)
"""Play on the diameter with which a tube slides into another and does not rattle (common
practice, no source)."""


def slides_well(outer: TubeSection, inner: TubeSection) -> bool:
    """Whether ``inner`` slides into ``outer`` without rattling."""
    return PLAY_MM[0] <= clearance_mm(outer=outer, inner=inner) <= PLAY_MM[1]


@functools.lru_cache(maxsize=256)
def tube_over(inner: TubeSection, units: UnitSystem) -> TubeSection | None:
    """The tube of the catalogue to choose for ``inner`` to slide into; None where none takes it.

    It does not rattle if that can be, is sold in `units` if that can be, has a wall no thinner
    than that of ``inner`` if that can be, and is the lightest of those that are left.
    """
    best: tuple[tuple[float, ...], TubeSection] | None = None
    for row, line in zip(tube_rows(), table_lines(CatalogKind.TUBE), strict=True):
        play = clearance_mm(outer=row.value, inner=inner)
        if play < PLAY_MM[0]:
            continue
        rank = (
            round(max(0.0, play - PLAY_MM[1]), 6),
            system_of(line["outside"]) is not units,
            round(max(0.0, inner.wall_mm - row.value.wall_mm), 6),
            row.value.mass_kg_per_m,
        )
        if best is None or rank < best[0]:
            best = (rank, row.value)
    return None if best is None else best[1]
