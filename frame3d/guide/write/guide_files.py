"""The files of the guide."""

from __future__ import annotations

from pathlib import Path

from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.guide import GUIDE_FILES
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html
from frame3d.guide.write.inspection import inspection_csv, inspection_pdf
from frame3d.guide.write.print_pages import guide_pdf


def write_guide(frame: Frame, folder: Path, status: SetStatus = UNCHECKED) -> None:
    """Write the guide of ``frame`` into ``folder``, which exists.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    guide = guide_of(frame, status)
    page, paper, record, rows = (folder / name for name in GUIDE_FILES)
    paper.write_bytes(guide_pdf(frame, guide))
    record.write_bytes(inspection_pdf(frame, status))
    rows.write_text(inspection_csv(frame), encoding="utf-8", newline="\n")
    page.write_text(page_html(guide), encoding="utf-8", newline="\n")
