"""What the commands share: designs read, faults told, exit codes."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from frame3d.cli.ending import status_of
from frame3d.cli.show import tell
from frame3d.errors import (
    DesignFaults,
    Frame3dError,
    MachineError,
    OutputError,
    machine_reason,
)
from frame3d.processes import tidy_seldom

if TYPE_CHECKING:
    from frame3d.design.tables.whole_design import Design
    from frame3d.frame.describe.set_status import SetStatus
    from frame3d.frame.model.members import Frame

FAULT, UNMADE, MACHINE = 2, 1, 3
"""Exit codes; see :mod:`frame3d.cli.app`."""


@contextlib.contextmanager
def faults_told() -> Iterator[None]:
    """Turn what a user can cause into lines on standard error and an exit status.

    From here on memory is tidied, which while all was loaded would have found nothing.
    """
    tidy_seldom()
    gc.enable()
    try:
        yield
    except KeyboardInterrupt as error:
        tell("stopped; unfinished files are as they were before")
        raise typer.Exit(status_of(error)) from None
    except DesignFaults as error:
        for fault in error.faults:
            tell(f"{error.source}: {fault}")
        raise typer.Exit(FAULT) from None
    except MachineError as error:
        tell(str(error))
        raise typer.Exit(MACHINE) from None
    except Frame3dError as error:
        tell(str(error))
        raise typer.Exit(FAULT) from None
    except (OSError, MemoryError) as error:
        reason = (
            "there is not enough memory"
            if isinstance(error, MemoryError)
            else machine_reason(error)
        )
        if reason is None:
            raise
        tell(f"this computer cannot do that now: {reason}; close other programs and run it again")
        raise typer.Exit(MACHINE) from None


def end_with(*statuses: SetStatus, uncut: int = 0) -> None:
    """End with 1 where what was made is not whole or not to be built from, and say so last.

    ``uncut`` pieces of the order that no stock is long enough for are such a reason too.
    """
    from frame3d.frame.describe.unmade import told_together

    lacking = [status for status in statuses if not status.is_whole]
    for status in lacking:
        for line in (*filter(None, [status.headline]), *told_together(status.unmade)):
            tell(line)
    if uncut:
        what = "1 piece" if uncut == 1 else f"{uncut} pieces"
        tell(f"{what} of the order cannot be cut from the stock there is; the take-off says which")
    if lacking or uncut:
        raise typer.Exit(UNMADE)


def out_folder(text: str | Path) -> Path:
    """The folder of ``--out``; an empty name, as of a variable not set, is not this folder.

    What stands for it where it is left out comes through here too, as a Path.
    """
    if not str(text).strip():
        raise typer.BadParameter("the folder name is empty; give a name, or . for this folder")
    return Path(text)


def usage_fault(message: str) -> OutputError:
    """A fault in the arguments, for :func:`faults_told`."""
    return OutputError(message)


def check_place(file: Path, *, replace: bool) -> None:
    """Refuse a place where no file can be, or where one is that is not to be replaced.

    Raises
    ------
    OutputError
        With what to do.
    """
    try:
        if file.is_dir():
            raise usage_fault(f"{file} is a folder; give the name of a file")
        if file.exists() and not file.is_file():
            raise usage_fault(f"{file} is a device or a pipe; give the name of a file")
        if (file.exists() or file.is_symlink()) and not replace:
            raise usage_fault(f"{file} exists; give another name, or --force to replace it")
        if not file.parent.is_dir():
            raise usage_fault(f"{file.parent} is not a folder; create it first")
    except OutputError:
        raise
    except OSError as error:
        raise usage_fault(f"{file} cannot be written: {error.strerror or error}") from None


def design_of(path: Path) -> Design:
    """The design in a file; what is to be known of an older file is told.

    Raises
    ------
    DesignFaults
        As from :func:`read_design`.
    """
    from frame3d.design.reading.reader import notes_of, read_design

    design = read_design(path)
    for note in notes_of(design):
        tell(f"{path}: note: {note}; or: frame3d freeze {path}")
    return design


def frames_of(
    paths: list[Path],
    since: Path | None = None,
    surveys: Mapping[str, Path | None] | None = None,
) -> list[Frame]:
    """The frames of the designs; the faults of all of them are told together.

    ``since`` is the folder or the summary of an older build, whose marks the first of them keeps;
    ``surveys`` are lists of what was measured that overrule those of the designs.
    """
    from frame3d.frame.located import laid_out
    from frame3d.site.survey import surveyed

    frames, failed = [], False
    for path in paths:
        try:
            frames.append(surveyed(laid_out(design_of(path)), options=surveys))
        except DesignFaults as error:
            failed = True
            for fault in error.faults:
                tell(f"{path}: {fault}")
    if failed:
        raise typer.Exit(FAULT)
    if since is not None:
        from frame3d.frame.revisions.keeping import with_marks_of

        frames[0] = with_marks_of(frames[0], since)
    return frames
