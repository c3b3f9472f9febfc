"""One output alone, all of its files or none: a take-off, an order, the guide, a site, loads."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.build_jobs import (
    draw_takeoff,
    make_guide,
)
from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import status_of
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame_set import surveyed
from frame3d.guide import GUIDE_FILES
from frame3d.site.survey import Site
from frame3d.site.write.site_files import DXF as STAKES_DXF
from frame3d.site.write.site_files import SHEETS as SITE_SHEETS
from frame3d.site.write.site_files import SITE_FILES, write_site
from frame3d.staging import (
    all_or_none,
    stop_later,
    unwritable,
    written,
)
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.takeoff_files import CREW_FILES, TAKEOFF_FILES
from frame3d.units.data_tables import DataTable

if TYPE_CHECKING:
    from frame3d.loads.comparison import Comparison

_TAKEOFF = (*TAKEOFF_FILES, *CREW_FILES)
"""What a take-off may write."""


def build_takeoff(takeoff: Takeoff, folder: str | Path) -> tuple[Path, ...]:
    """Write the files of a take-off into ``folder``, all or none; other files stay.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    return all_or_none(folder, _TAKEOFF, lambda staging: draw_takeoff(takeoff, staging))


def build_order(
    takeoff: Takeoff, folder: str | Path, more: Sequence[DataTable] = ()
) -> tuple[Path, ...]:
    """Write the files of a take-off and all that an order needs besides, all or none.

    These are the requests for quotation for each group of suppliers, and ``more`` tables: what is
    made of price lists, and alternatives.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    with stop_later():
        from frame3d.ordering.order_files import order_names, write_order

    def write(staging: Path) -> None:
        draw_takeoff(takeoff, staging, more)
        written(partial(write_order, takeoff), staging)

    return all_or_none(folder, (*_TAKEOFF, *order_names(takeoff)), write)


def build_guide(frame: Frame, folder: str | Path) -> tuple[tuple[Path, ...], SetStatus]:
    """Write the guide to put ``frame`` up by into ``folder``, all or none; other files stay.

    Returns
    -------
    files, status : tuple of Path, SetStatus
        What was written, and what stands against building from it.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    frame = surveyed(frame)
    status = status_of(check_frame(frame))
    files = all_or_none(folder, GUIDE_FILES, lambda staging: make_guide(frame, staging, status))
    return files, status


def build_site(site: Site, folder: str | Path) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write the files of a site into ``folder``, all or none; other files stay.

    Returns
    -------
    files, findings : tuple of Path, tuple of str
        What was written, and what the sheets could not show as wanted.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    found: list[str] = []

    def write(staging: Path) -> None:
        try:
            write_site(site, staging)
        except OSError as error:
            raise unwritable(staging, error) from error
        found.extend(_draw_site(site, staging))

    files = all_or_none(folder, SITE_FILES, write)
    return files, tuple(found)


def build_loads(found: Comparison, folder: str | Path) -> tuple[Path, ...]:
    """Write the files of a comparison into ``folder``, all or none; other files stay.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    with stop_later():
        from frame3d.loads.write.files import LOADS_FILES, write_comparison
    return all_or_none(folder, LOADS_FILES, partial(written, partial(write_comparison, found)))


def build_engineer_model(frame: Frame, folder: str | Path) -> tuple[Path, ...]:
    """Write the model of ``frame`` for an engineer into ``folder``, all or none.

    Raises
    ------
    DesignError
        If the frame moves freely somewhere, so that there is nothing to work out.
    OutputError
        If something cannot be written; what was there is as it was.
    """
    with stop_later():
        from frame3d.loads.engineer.model_files import MODEL_FILES, write_model
    return all_or_none(folder, MODEL_FILES, partial(written, partial(write_model, frame)))


def _draw_site(site: Site, staging: Path) -> tuple[str, ...]:
    """Draw the points and the sheets of a site; what these could not show as wanted."""
    with stop_later():
        from frame3d.sheets.sets.site_set import draw_site
        from frame3d.sheets.write.dxf_write import write_dxf
        from frame3d.sheets.write.pdf_write import write_pdf
        from frame3d.sheets.write.stakes_dxf import write_stakes_dxf

    write_stakes_dxf(site, staging / STAKES_DXF)
    sheets = draw_site(site)
    write_dxf(sheets, staging / SITE_SHEETS[0])
    write_pdf(sheets, staging / SITE_SHEETS[1])
    return tuple(str(finding) for finding in sheets.findings)
