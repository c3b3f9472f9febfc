"""One run of everything: from a design to all of its files, in one folder.

All files are made in a temporary folder first. Only when every one of them is there
do they take their places, so a run that fails or is stopped changes nothing.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

from msgspec import Struct

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import report_of, report_text, status_of
from frame3d.design.tables.whole_design import Design
from frame3d.errors import MachineError, OutputError
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.frame_set import FrameSet, frame_set_of, lists_of, sheets_of
from frame3d.guide import GUIDE_FILES
from frame3d.site.site_files import DXF as STAKES_DXF
from frame3d.site.site_files import SHEETS as SITE_SHEETS
from frame3d.site.site_files import SITE_FILES, write_site, write_stakes
from frame3d.site.survey import Site
from frame3d.solids.pictures.render import PICTURES, write_pictures
from frame3d.staging import (
    SUMMARY,
    listed_in,
    put_in_place,
    stop_later,
    unwritable,
    workshop,
    write_text,
)
from frame3d.summary import main_figures, summary_of, summary_text
from frame3d.takeoff.take_off import Takeoff, UserLists
from frame3d.takeoff.write.takeoff_files import TAKEOFF_FILES, write_takeoff
from frame3d.units.data_tables import Json
from frame3d.view.light_shells import shells_of
from frame3d.view.view_page import view_page

__all__ = [
    "FILES", "FOLDERS", "BuildResult", "build", "build_frame", "build_guide", "build_site",
    "build_takeoff", "frame_set_of", "laid_out", "lists_of", "taken_off",
]  # fmt: skip

VIEW = "view.html"
CLEARANCE = "clearance.svg"
STAKES = "stakes.csv"
FILES = (
    "model.step", "model.stl", "model.glb", *PICTURES, VIEW, "sheets.dxf", "sheets.pdf",
    CLEARANCE, "findings.json", STAKES, SUMMARY, *GUIDE_FILES, *TAKEOFF_FILES,
)  # fmt: skip
"""What a build writes, in the order in which it is told; the files in ``FOLDERS`` besides."""
FOLDERS = ("sheets", "parts")
"""Folders of a build: one SVG for each sheet, one DXF for each part."""
_OURS = re.compile(r"(?:sheets/[\w.-]+\.svg|parts/[\w.-]+\.dxf)", re.ASCII)

Progress = Callable[[str, int, int], None]


class BuildResult(Struct, frozen=True, kw_only=True):
    """What a build made.

    Parameters
    ----------
    folder : Path
    files : tuple of Path
        Every file written, in its place.
    frame : Frame
    summary : dict
        What ``summary.json`` holds.
    findings : tuple of str
        What the sheets could not show as wanted.
    checks : tuple of Finding
        What the checks found; ``findings.json`` holds them.
    notes : tuple of str
        What could not be made, and why; the rest is complete.
    takeoff : Takeoff
        What to order, with findings of its own.
    status : SetStatus
        What stands against building from these files.
    """

    folder: Path
    files: tuple[Path, ...]
    frame: Frame
    summary: dict[str, Json]
    findings: tuple[str, ...]
    checks: tuple[Finding, ...]
    notes: tuple[str, ...]
    takeoff: Takeoff
    status: SetStatus

    @property
    def unmade(self) -> tuple[Unmade, ...]:
        """What the model files lack; among ``checks``, the summary and the sheets too."""
        return self.status.unmade


def taken_off(frame: Frame, lists: UserLists | None = None) -> Takeoff:
    """The take-off of ``frame``; faults of the user's lists as :func:`lists_of` tells them."""
    return frame_set_of(frame, lists or lists_of(frame)).takeoff


def build(design: Design, folder: str | Path, progress: Progress | None = None) -> BuildResult:
    """Make all files of ``design`` in ``folder``.

    Parameters
    ----------
    design : Design
    folder : str or Path
        Made if it does not exist. Files of the same names are replaced, files in its folders
        that an earlier build made and this one does not go away; others stay.
    progress : callable or None
        Told what is being done, how many steps of it are done, and how many there are.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, or a list that it names cannot be read; nothing has
        been touched then.
    OutputError
        If something cannot be written; what was there is as it was.
    """
    return build_frame(laid_out(design), folder, progress)


def build_frame(
    frame: Frame,
    folder: str | Path,
    progress: Progress | None = None,
    lists: UserLists | None = None,
) -> BuildResult:
    """As :func:`build`, from a frame that has been laid out; with ``lists`` no list is opened."""
    folder = Path(os.path.abspath(folder))
    lists, progress = lists or lists_of(frame), progress or _say_nothing
    with workshop(folder, (*FILES, *(f"{name}/-" for name in FOLDERS))) as bench:
        # First of all, as what the model lacks is told on sheets and in lists.
        unmade = _write_model(frame, bench, progress)
        progress("planning the cuts", 0, 1)
        whole = frame_set_of(frame, lists, unmade)
        write_text(bench / "findings.json", report_text(report_of(frame, whole.checks)))
        _write_takeoff(whole.takeoff, bench)
        _write_stakes(whole, bench)
        made, summary, findings, notes = _make(whole, bench, progress)
        with stop_later():
            put_in_place(bench, folder, made, (*FILES, *_made_before(folder)))
    return BuildResult(
        folder=folder,
        files=tuple(folder / name for name in made),
        frame=frame,
        summary=summary,
        findings=findings,
        checks=whole.checks,
        notes=notes,
        takeoff=whole.takeoff,
        status=whole.status,
    )


def _made_before(folder: Path) -> list[str]:
    """Files in folders of ``folder`` that an earlier build put there, as its summary says.

    Only these may go away: whatever else lies there is the user's own.
    """
    return [name for name in listed_in(folder) or () if _OURS.fullmatch(name)]


def build_takeoff(takeoff: Takeoff, folder: str | Path) -> tuple[Path, ...]:
    """Write the files of a take-off into ``folder``, all or none; other files stay.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    return _all_or_none(folder, TAKEOFF_FILES, lambda bench: _write_takeoff(takeoff, bench))


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
    status = status_of(check_frame(frame))
    files = _all_or_none(folder, GUIDE_FILES, lambda bench: _write_guide(frame, bench, status))
    return files, status


def _write_guide(frame: Frame, bench: Path, status: SetStatus) -> None:
    # Only here: its drawings load what a take-off does not wait for.
    with stop_later():
        from frame3d.guide.write.guide_files import write_guide

    try:
        write_guide(frame, bench, status)
    except OSError as error:
        raise unwritable(bench, error) from error


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

    def write(bench: Path) -> None:
        try:
            write_site(site, bench)
        except OSError as error:
            raise unwritable(bench, error) from error
        found.extend(_draw_site(site, bench))

    files = _all_or_none(folder, SITE_FILES, write)
    return files, tuple(found)


def _all_or_none(
    folder: str | Path, names: tuple[str, ...], write: Callable[[Path], None]
) -> tuple[Path, ...]:
    """Put those of ``names`` that ``write`` makes into ``folder``; of the others none is left."""
    folder = Path(os.path.abspath(folder))
    with workshop(folder, names) as bench:
        write(bench)
        made = [name for name in names if (bench / name).exists()]
        with stop_later():
            put_in_place(bench, folder, made, names)
    return tuple(folder / name for name in made)


def _draw_site(site: Site, bench: Path) -> tuple[str, ...]:
    """Draw the points and the sheets of a site; what these could not show as wanted."""
    with stop_later():
        from frame3d.sheets.sets.site_set import draw_site
        from frame3d.sheets.write.dxf_write import write_dxf
        from frame3d.sheets.write.pdf_write import write_pdf
        from frame3d.sheets.write.stakes_dxf import write_stakes_dxf

    write_stakes_dxf(site, bench / STAKES_DXF)
    sheets = draw_site(site)
    write_dxf(sheets, bench / SITE_SHEETS[0])
    write_pdf(sheets, bench / SITE_SHEETS[1])
    return tuple(str(finding) for finding in sheets.findings)


def _write_stakes(whole: FrameSet, bench: Path) -> None:
    try:
        write_stakes(whole.frame, bench / STAKES, whole.status)
    except OSError as error:
        raise unwritable(bench, error) from error


def _write_takeoff(takeoff: Takeoff, bench: Path) -> None:
    try:
        write_takeoff(takeoff, bench)
    except OSError as error:
        raise unwritable(bench, error) from error


def _say_nothing(what: str, done: int, total: int) -> None:
    """Progress for a caller who wants none."""


def _write_model(frame: Frame, bench: Path, progress: Progress) -> tuple[Unmade, ...]:
    progress("loading", 0, 1)
    # Only here: loading the kernel takes longer than laying out a frame.
    with stop_later():
        from frame3d.solids.write.model_files import write_model

    return write_model(frame, bench, progress)


def _make(
    whole: FrameSet, bench: Path, progress: Progress
) -> tuple[list[str], dict[str, Json], tuple[str, ...], tuple[str, ...]]:
    """Make every file in ``bench`` but the model.

    Names of all files, the summary, findings of the sheets, notes.
    """
    frame = whole.frame
    with stop_later():
        from frame3d.sheets.write.part_files import write_parts
        from frame3d.sheets.write.sheet_files import write_sheet_files

    progress("drawing the sheets", 0, 1)
    sheets = sheets_of(whole)
    names = list(write_sheet_files(sheets, bench, lambda name: progress(f"writing {name}", 0, 1)))
    names += write_parts(
        frame, bench, lambda done, total: progress("drawing the parts", done, total)
    )
    notes = []
    if CLEARANCE not in names:
        notes.append(f"no clearance fits on the paper, so {CLEARANCE} is left out")
    progress("writing the guide", 0, 1)
    _write_guide(frame, bench, whole.status)
    notes += _show(whole, bench, progress)
    findings = tuple(str(finding) for finding in sheets.findings)
    files = [name for name in FILES if name == SUMMARY or (bench / name).exists()]
    files += [name for name in names if name not in FILES]
    summary = summary_of(frame, whole.status, findings=findings, files=files)
    write_text(bench / SUMMARY, summary_text(summary))
    progress("all files", 1, 1)
    return files, summary, findings, tuple(notes)


def _show(whole: FrameSet, bench: Path, progress: Progress) -> list[str]:
    """Make what is looked at: view.html and the pictures; notes of what could not be made."""
    frame = whole.frame
    progress(f"writing {VIEW}", 0, 1)
    page = view_page(frame, whole.checks, main_figures(frame), whole.status)
    write_text(bench / VIEW, page)
    progress("drawing the pictures", 0, 1)
    # Light shapes: the exact ones take ten times as long to draw and look the same.
    try:
        write_pictures(shells_of(frame), bench)
    except MachineError:
        raise
    except OutputError as error:
        return [str(error)]
    return []
