"""Every file that a study writes besides its rows."""

from __future__ import annotations

from pathlib import Path

from frame3d.studies.page.study_page import study_page
from frame3d.studies.results.result import StudyResult
from frame3d.studies.results.tables import write_csv, write_parquet
from frame3d.writing import write_whole

__all__ = ["write_files"]


def write_files(result: StudyResult, folder: Path, name: str) -> tuple[Path, ...]:
    """Write tables and page into ``folder``, and return the files.

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
    return tuple(made)
