"""A place to make files in, from which they are put in place together: all of them or none.

All files are made in a temporary folder first. Only when every one of them is there
do they take their places, so a run that fails or is stopped changes nothing, and one that is
killed while they take their places is followed by the next run.
"""

from __future__ import annotations

import contextlib
import glob
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

from frame3d.errors import OutputError, machine_reason, unwritable
from frame3d.staging.folders import StagingFolder, dead_folders, set_up
from frame3d.staging.interrupts import stop_later
from frame3d.staging.journal import (
    SUMMARY,
    Journal,
    finish,
    follow,
    is_unfinished,
    listed_in,
    remove_empty,
    undo,
)
from frame3d.staging.locks import folder_locked

_INSIDE = "."
"""Label of a staging that lies in the folder which it serves, and not beside it."""


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 with plain line ends.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise unwritable(path, error) from error


@contextlib.contextmanager
def staged(folder: Path, names: tuple[str, ...]) -> Iterator[Path]:
    """A temporary folder from which files can be put into ``folder``; gone afterwards.

    What runs that were killed have left beside ``folder`` is put right and cleared away first.
    Folders that had to be made on the way are removed again if nothing was put into them.

    Raises
    ------
    OutputError
        If the folder cannot be written. That a file in the temporary folder cannot be written is
        told of ``folder``, which is the one that the user knows.
    """
    staging, new = None, []
    try:
        try:
            _check_places(folder, names)
            new = [place for place in (folder, *folder.parents) if not place.exists()]
            with stop_later():
                folder.mkdir(parents=True, exist_ok=True)
                with folder_locked(folder):
                    _put_right(folder)
                place = _beside(folder)
                label = _INSIDE if place == folder else folder.name
                staging = set_up(place, _prefix(folder), label)
        except OutputError:
            raise
        except OSError as error:
            raise unwritable(folder, error) from error
        yield staging.made
    except OSError as error:
        if isinstance(error, OutputError) or machine_reason(error):
            raise unwritable(folder, error) from error
        raise
    finally:
        with stop_later():
            if staging is not None:
                # Where files are half-way and could not be put back, the next run has to.
                (staging.let_go if is_unfinished(staging) else staging.remove)()
            remove_empty(new)  # what has something in it stays


def _prefix(folder: Path) -> str:
    # No more of the name than fits with what is added to it, whatever its letters.
    return f".{folder.name[:40]}."


def _put_right(folder: Path) -> None:
    """Follow what a killed run was doing to ``folder``; clear away what dead runs left beside it.

    Raises
    ------
    OSError
        If its files cannot be moved.
    """
    for place in {folder.parent, folder}:
        for staging in dead_folders(place):
            target = place if staging.label == _INSIDE else place / staging.label
            done = False
            try:
                if target == folder:
                    follow(staging, folder)
                # That of another folder waits for a run into that one, as long as it is there.
                done = target == folder or not is_unfinished(staging) or not target.is_dir()
            finally:
                (staging.remove if done else staging.let_go)()
        # Of a run that was killed before it had its lock.
        remove_empty(p for p in place.glob(f"{glob.escape(_prefix(folder))}????????"))


def _check_places(folder: Path, names: tuple[str, ...]) -> None:
    """Nothing may stand where the folder, a folder in it or a file is to be."""
    inner = dict.fromkeys((folder / name).parent for name in names)
    for place in (*inner, folder, *folder.parents):
        if place.exists() and not place.is_dir():
            raise OutputError(
                f"{place} is a file, not a folder; choose another folder or move it away"
            )
    for name in names:
        if (folder / name).is_dir():
            raise OutputError(
                f"{folder / name} is a folder, but a file of that name is to be written; "
                "choose another folder or move it away"
            )
    if folder.exists() and not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"{folder} cannot be written: Permission denied; choose another folder")


def _beside(folder: Path) -> Path:
    """The parent of ``folder``; the folder itself where files cannot be renamed from there."""
    parent = folder.parent
    same = parent.stat().st_dev == folder.stat().st_dev
    return parent if same and os.access(parent, os.W_OK | os.X_OK) else folder


def put_in_place(made_in: Path, folder: Path, made: list[str], names: tuple[str, ...]) -> None:
    """Rename the files into ``folder``: all of them, or none if one of them cannot be.

    Only one run at a time does so. While it does, ``summary.json`` in ``folder`` says
    ``unfinished``.

    Parameters
    ----------
    made_in, folder : Path
        The temporary folder that :func:`staged` gave, and where they belong.
    made : list of str
        Files in ``made_in``, by their paths from there; folders on the way are made.
    names : tuple of str
        All that a build may leave behind: of those, what is not in ``made`` goes away, and
        with it a folder that is empty then.

    Raises
    ------
    OutputError
        If a file cannot be put in its place; what was there is as it was.
    """
    staging = StagingFolder(folder=made_in.parent, label=folder.name, descriptor=None)
    with stop_later(), folder_locked(folder):
        try:
            _check_places(folder, (*made, *names))
            _put_right(folder)
            todo = _journal(staging, folder, made, names)
            todo.write(staging, listed_in(folder) or [])
        except OutputError:
            raise
        except OSError as error:
            raise unwritable(folder, error) from error
        try:
            finish(staging, folder, todo)
        except OSError as error:
            _put_back(staging, folder, todo)
            raise unwritable(folder, error) from error


def _put_back(staging: StagingFolder, folder: Path, todo: Journal) -> None:
    try:
        undo(staging, folder, todo)
    except OSError as error:
        raise OutputError(
            f"{folder} now holds files of two runs, because the old ones could not be put "
            f"back ({error.strerror or error}); close the program that has one of its files "
            "open and run frame3d into it again to put that right"
        ) from None


def _journal(
    staging: StagingFolder, folder: Path, made: list[str], names: tuple[str, ...]
) -> Journal:
    """What is to be done, once second names of what is there lie on the staging."""
    before = [n for n in dict.fromkeys((*made, *names)) if os.path.lexists(folder / n)]
    last = f"made/{SUMMARY}" if SUMMARY in made else ""
    if SUMMARY not in names and listed_in(folder) is not None:
        # Of the build whose folder this is: it is put back when these files are in their places.
        before.append(SUMMARY)
        last = f"before/{SUMMARY}"
    for name in before:
        (staging.before / name).parent.mkdir(parents=True, exist_ok=True)
        _keep(folder / name, staging.before / name)
    places = sorted({Path(name).parent for name in made})
    return Journal(
        numbers=[staging.folder.stat().st_ino, folder.stat().st_ino],
        made=made,
        before=before,
        gone=[name for name in before if name in names and name not in made],
        new=[place.as_posix() for place in places if not (folder / place).exists()],
        last=last,
    )


def _keep(path: Path, copy: Path) -> None:
    """A second name for ``path``, or a copy where the file system knows no second names."""
    try:
        os.link(path, copy)
    except OSError:
        shutil.copy2(path, copy)
