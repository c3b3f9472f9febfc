"""The files of a comparison."""

from __future__ import annotations

from pathlib import Path

from frame3d.loads.comparison import Comparison
from frame3d.loads.write.pages import comparison_pdf
from frame3d.loads.write.pictures import whole_picture
from frame3d.loads.write.record import csv_text, record_text

TABLES = ("indices", "weakest", "sockets", "changes", "differences")
PDF, PICTURE, RECORD = "loads.pdf", "loads-weakest.svg", "loads.json"
LOADS_FILES = (PDF, PICTURE, RECORD, *(f"loads-{key}.csv" for key in TABLES))
"""What a comparison writes, as far as there is something for each."""


def write_comparison(found: Comparison, folder: Path) -> None:
    """Write every file into ``folder``, which is there and may be spoilt.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    (folder / PDF).write_bytes(comparison_pdf(found))
    texts = {PICTURE: whole_picture(found), RECORD: record_text(found)}
    texts |= {f"loads-{key}.csv": text for key, text in csv_text(found).items()}
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
