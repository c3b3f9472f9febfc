"""Every file that a study writes besides its rows."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from frame3d.studies.page.leaflet_plots import PLOTS_MISSING, write_plots
from frame3d.studies.page.study_page import study_page
from frame3d.studies.results.result import StudyResult
from frame3d.studies.results.tables import write_csv, write_parquet
from frame3d.writing import write_whole


class Written(Struct, frozen=True, kw_only=True):
    """What was written.

    Parameters
    ----------
    files : tuple of Path
    note : str
        What was not, and what to do to have it; empty where there is nothing to tell.
    """

    files: tuple[Path, ...]
    note: str = ""


def write_files(result: StudyResult, folder: Path, name: str) -> Written:
    """Write tables, page and pictures into ``folder``.

    Raises
    ------
    OutputError
        If one cannot be written.
    """
    made = [folder / "rows.csv"]
    write_csv(result, made[0])
    table = folder / "rows.parquet"
    if write_parquet(result, table):
        made.append(table)
    page = folder / "study.html"
    text = study_page(result, name)
    write_whole(page, lambda part: part.write_text(text, encoding="utf-8", newline="\n"))
    made.append(page)
    plots = write_plots(result, folder, name)
    return Written(files=(*made, *(plots or ())), note=PLOTS_MISSING if plots is None else "")
