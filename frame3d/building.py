"""One run of everything: from a design to all of its files, in one folder.

All files are made in a temporary folder first. Only when every one of them is there
do they take their places, so a run that fails or is stopped changes nothing.
"""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from frame3d.build_jobs import (
    FILES_OF,
    FOLDERS,
    FOUND,
    JOBS,
    Made,
    make_ifc,
    make_model,
    pictures,
    write_found,
)
from frame3d.checks.findings.finding import Finding
from frame3d.design.tables.whole_design import Design
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.keeping import refuse_other_marks, with_marks_of
from frame3d.frame_set import FrameSet, frame_set_of, lists_of, surveyed
from frame3d.side_process import SideBySide, Tell, cores, say_nothing
from frame3d.staging import (
    SUMMARY,
    listed_in,
    put_in_place,
    relisted,
    staged,
    stop_later,
    write_text,
)
from frame3d.summary import summary_of, summary_text
from frame3d.takeoff.take_off import Takeoff, UserLists
from frame3d.units.data_tables import Json

if TYPE_CHECKING:
    pass

__all__ = [
    "FILES", "FOLDERS", "OUTPUTS", "BuildResult", "build", "build_frame", "frame_set_of",
    "laid_out", "lists_of", "surveyed", "taken_off",
]  # fmt: skip

OUTPUTS = tuple(FILES_OF)
"""What ``only`` of a build can name."""
FILES = (
    *(name for one in ("model", "ifc", "view", "sheets") for name in FILES_OF[one]),
    *FOUND, SUMMARY,
    *(name for one in ("guide", "takeoff") for name in FILES_OF[one]),
)  # fmt: skip
"""What a build writes, in the order in which it is told; the files in ``FOLDERS`` besides."""
_OURS = re.compile(
    r"(?:sheets/[\w.-]+\.(?:svg|pdf)|parts/[\w.-]+\.dxf|order/[\w.-]+\.(?:pdf|csv))", re.ASCII
)


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
        What could not be made, and why, the rest being complete; how fine the model files are.
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
    return frame_set_of(surveyed(frame), lists or lists_of(frame)).takeoff


def build(
    design: Design,
    folder: str | Path,
    progress: Tell | None = None,
    *,
    only: Sequence[str] = (),
    workers: int | None = None,
    since: str | Path | None = None,
) -> BuildResult:
    """Make all files of ``design`` in ``folder``.

    Parameters
    ----------
    design : Design
    folder : str or Path
        Made if it does not exist. Files of the same names are replaced, files in its folders
        that an earlier build made and this one does not go away; others stay.
    progress : callable or None
        Told what is being done, how many steps of it are done, and how many there are; at times
        from another thread, but never from two at once.
    only : sequence of str
        Some of ``OUTPUTS``, to make no others; those of an earlier build stay as they are.
    workers : int or None
        1 to do everything in this process, one after the other; None for as many processes as
        are of use: two where there are two cores. The files are the same.
    since : str, Path or None
        Folder of an older build, or its ``summary.json``: parts that are the same keep its marks.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, or a list that it names cannot be read; nothing has
        been touched then.
    OutputError
        If something cannot be written, what was there being as it was, or ``since`` is no build,
        or, with ``only``, a mark of it is that of another part in the folder.
    ValueError
        If ``only`` names something else.
    """
    frame = with_marks_of(surveyed(laid_out(design)), since)
    return build_frame(frame, folder, progress, only=only, workers=workers)


def build_frame(
    frame: Frame,
    folder: str | Path,
    progress: Tell | None = None,
    lists: UserLists | None = None,
    *,
    only: Sequence[str] = (),
    workers: int | None = None,
) -> BuildResult:
    """As :func:`build`, from a frame that has been laid out; with ``lists`` no list is opened."""
    if unknown := set(only) - set(OUTPUTS):
        raise ValueError(f"only: {', '.join(sorted(unknown))}; it can be {', '.join(OUTPUTS)}")
    wanted = only or tuple(
        one for one in OUTPUTS if one != "order" or frame.design.output.order_files
    )
    folder = Path(os.path.abspath(folder))
    frame = surveyed(frame, None if lists is None else {})
    lists, tell = lists or lists_of(frame), progress or say_nothing
    if only and frame.since is not None:
        refuse_other_marks(frame, folder)
    names = FILES if not only else tuple(n for one in OUTPUTS if one in only for n in FILES_OF[one])
    folders = tuple(name for name in FOLDERS if name in wanted or not only)
    with staged(folder, (*names, *(f"{name}/-" for name in folders))) as staging:
        whole, made = _made(frame, lists, wanted, staging, tell, workers or cores())
        if not only:
            write_found(whole, staging)
        files = [n for n in names if n == SUMMARY or (staging / n).exists()]
        files += [name for name in made.names if name not in FILES]
        summary = summary_of(frame, whole.status, findings=made.findings, files=files)
        before = _made_before(folder, folders)
        text = summary_text(summary) if not only else relisted(folder, files, before)
        if text is not None:
            write_text(staging / SUMMARY, text)
        tell("all files", 1, 1)
        with stop_later():
            told = [] if text is None else [SUMMARY]
            moved = list(dict.fromkeys((*files, *told)))
            put_in_place(staging, folder, moved, tuple(dict.fromkeys((*names, *told, *before))))
    return BuildResult(
        folder=folder,
        files=tuple(folder / name for name in files),
        frame=frame,
        summary=summary,
        findings=made.findings,
        checks=whole.checks,
        notes=made.notes,
        takeoff=whole.takeoff,
        status=whole.status,
    )


def _made(
    frame: Frame, lists: UserLists, wanted: Sequence[str], staging: Path, tell: Tell, workers: int
) -> tuple[FrameSet, Made]:
    """Make what is ``wanted`` in ``staging``."""
    with SideBySide(tell, workers if len(wanted) > 1 else 1) as both:
        begun = both.begin(partial(make_model, frame, staging)) if "model" in wanted else None
        # Where it is made meanwhile nothing is known of it yet; it hardly ever lacks a part.
        unmade = begun.result()[0] if begun and begun.done() else ()
        whole, made = _beside_model(frame, lists, unmade, wanted, staging, both)
        lacks, note = begun.result() if begun else ((), "")
    if lacks != unmade:
        # All that was made beside a model that lacks something has to tell so.
        with SideBySide(tell, 1) as alone:
            whole, made = _beside_model(frame, lists, lacks, wanted, staging, alone)
    return whole, replace(made, notes=(*made.notes, *filter(None, [note])))


def _beside_model(
    frame: Frame,
    lists: UserLists,
    unmade: tuple[Unmade, ...],
    wanted: Sequence[str],
    staging: Path,
    both: SideBySide,
) -> tuple[FrameSet, Made]:
    with contextlib.ExitStack() as ends:
        # They have a process of their own in any case, and it need not be waited for at once.
        drawn = "view" in wanted and partial(ends.enter_context, pictures(frame, staging))
        finish = drawn() if drawn and both.are_two else None
        both.tell("planning the cuts", 0, 1)
        whole = frame_set_of(frame, lists, unmade)
        jobs = [partial(job, whole, staging) for name, job in JOBS.items() if name in wanted]
        made = both.share(*jobs)
        if "ifc" in wanted:
            # After the others, as it tells of each part on which sheet it is.
            sheets = next((one.drawn_on for one in made if one.drawn_on), None)
            make_ifc(whole, staging / FILES_OF["ifc"][0], sheets, both.tell)
        if drawn:
            both.tell("drawing the pictures", 0, 1)
            made.append((finish or drawn())())
    return whole, Made(
        names=tuple(name for one in made for name in one.names),
        findings=tuple(text for one in made for text in one.findings),
        notes=tuple(note for one in made for note in one.notes),
    )


def _made_before(folder: Path, folders: Sequence[str] = FOLDERS) -> list[str]:
    """Files in ``folders`` of ``folder`` that an earlier build put there, as its summary says.

    Only these may go away: whatever else lies there is the user's own.
    """
    listed = listed_in(folder) or ()
    return [n for n in listed if _OURS.fullmatch(n) and n.partition("/")[0] in folders]
