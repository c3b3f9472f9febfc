"""Files put into a folder one after another, so that whoever stops in between can be followed.

What is to be done is written down before the first file takes its place. While it is being done
``summary.json`` says ``unfinished``: it is replaced first, and the new one comes last. A run that
is killed in between leaves the note beside the folder; the next run into that folder finishes what
it says, or goes on undoing it.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Iterable
from pathlib import Path

import msgspec
from msgspec import Struct

from frame3d import __version__
from frame3d.opening import read_file
from frame3d.schemas import Document
from frame3d.staging.folders import StagingFolder

SUMMARY = "summary.json"
"""The file by which a reader knows what a folder holds."""
UNFINISHED = (
    "A run is writing files here, or was killed while it did; files may be from two runs. "
    "If this stays, run frame3d into this folder again; it puts that right first."
)
_FINISH, _UNDO, _MARK = "finish.json", "undo.json", "mark.json"
_MOST_BYTES = 20_000_000
_PLAIN = r"[^./\\\0][^/\\\0]*"
_NAME = re.compile(rf"{_PLAIN}(/{_PLAIN})?")
"""A file, at most one folder down."""


class Journal(Struct, frozen=True, kw_only=True):
    """What is being done to a folder.

    Parameters
    ----------
    numbers : list of int
        Of the staging's folder and of the one that it serves, on their disk: a note that came from
        elsewhere, or is of a folder that has been taken away since, is none.
    made : list of str
        Files to put in place, from the staging.
    before : list of str
        Files that were there; the staging has second names of them.
    gone : list of str
        Files to take away.
    new : list of str
        Folders that have to be made.
    last : str
        Where in the staging the summary lies that comes last; empty if the folder has none of ours.
    """

    numbers: list[int]
    made: list[str]
    before: list[str]
    gone: list[str]
    new: list[str]
    last: str

    def write(self, staging: StagingFolder, listed: list[str]) -> None:
        """Note it beside the files; from here on it can be followed.

        All that takes room on the disk is written before the first file is moved. ``listed`` is
        what the old summary lists, which the mark must not forget.
        """
        if self.last:
            mark = {
                "schema": Document.SUMMARY.value,
                "program": f"frame3d {__version__}",
                "unfinished": UNFINISHED,
                "files": sorted({*self.made, *self.before, *listed}),
            }
            text = json.dumps(mark, indent=1) + "\n"
            (staging.folder / _MARK).write_text(text, encoding="utf-8", newline="\n")
        part = staging.folder / f"{_FINISH}.part"
        part.write_bytes(msgspec.json.encode(self))
        os.replace(part, staging.folder / _FINISH)


def listed_in(folder: Path) -> list[str] | None:
    """The files that the summary in ``folder`` lists; None if there is none, or it is not ours."""
    try:
        summary = json.loads(read_file(folder / SUMMARY, _MOST_BYTES))
    except (OSError, ValueError, RecursionError):
        return None
    if not isinstance(summary, dict) or not str(summary.get("program")).startswith("frame3d "):
        return None
    listed = summary.get("files")
    return [name for name in listed if isinstance(name, str)] if isinstance(listed, list) else []


def relisted(folder: Path, made: Iterable[str], gone: Iterable[str]) -> str | None:
    """The text of the summary in ``folder`` once it lists ``made`` too and not ``gone``.

    None if there is none, or it is not ours.
    """
    listed = listed_in(folder)
    if listed is None:
        return None
    summary = json.loads(read_file(folder / SUMMARY, _MOST_BYTES))
    kept = [name for name in listed if name not in set(gone)]
    summary["files"] = list(dict.fromkeys((*kept, *made)))
    return json.dumps(summary, indent=2, ensure_ascii=False) + "\n"


def is_unfinished(staging: StagingFolder) -> bool:
    """Whether files of a staging are on their way into a folder, or back."""
    return any((staging.folder / name).exists() for name in (_FINISH, _UNDO))


def follow(staging: StagingFolder, folder: Path) -> None:
    """Go on with what a run was doing when it was killed, if it was.

    Raises
    ------
    OSError
        If that cannot be done.
    """
    undoing = (staging.folder / _UNDO).exists()
    journal = _read(staging, _UNDO if undoing else _FINISH)
    if journal is None or journal.numbers[1:] != [folder.stat().st_ino]:
        return
    place, names = (staging.before, journal.before) if undoing else (staging.made, journal.made)
    if all(os.path.lexists(place / name) or os.path.lexists(folder / name) for name in names):
        # Else somebody has taken away what was moved: the rest would be half a set.
        (undo if undoing else finish)(staging, folder, journal)


def finish(staging: StagingFolder, folder: Path, journal: Journal) -> None:
    """Put the files in their places, from wherever that was left.

    Raises
    ------
    OSError
        If a file cannot be put in its place.
    """
    for place in journal.new:
        (folder / place).mkdir(parents=True, exist_ok=True)
    _move(staging.folder / _MARK, folder / SUMMARY)
    for name in journal.made:
        if name != SUMMARY:
            _move(staging.made / name, folder / name)
    for name in journal.gone:
        (folder / name).unlink(missing_ok=True)
    if journal.last:
        _move(staging.folder / journal.last, folder / SUMMARY)
    (staging.folder / _FINISH).unlink()
    remove_empty((folder / name).parent for name in journal.gone if "/" in name)


def undo(staging: StagingFolder, folder: Path, journal: Journal) -> None:
    """Put everything back as it was, from wherever that was left.

    Raises
    ------
    OSError
        If it cannot be put back.
    """
    _move(staging.folder / _FINISH, staging.folder / _UNDO)
    for name in journal.made:
        moved = not os.path.lexists(staging.made / name)
        if name != SUMMARY and name not in journal.before and moved:
            (folder / name).unlink(missing_ok=True)
    for name in journal.before:
        if name != SUMMARY:
            _move(staging.before / name, folder / name)
    if SUMMARY in journal.before:
        _move(staging.before / SUMMARY, folder / SUMMARY)
    elif journal.last:
        (folder / SUMMARY).unlink(missing_ok=True)
    remove_empty(folder / place for place in reversed(journal.new))
    (staging.folder / _UNDO).unlink()


def _move(source: Path, target: Path) -> None:
    """Rename what has not been moved yet."""
    if os.path.lexists(source):
        os.replace(source, target)


def _read(staging: StagingFolder, name: str) -> Journal | None:
    """The note in a staging; None if there is none that was written there."""
    try:
        journal = msgspec.json.decode(read_file(staging.folder / name, _MOST_BYTES), type=Journal)
    except (OSError, ValueError, RecursionError):
        return None
    names = (*journal.made, *journal.before, *journal.gone, *journal.new)
    sound = all(_NAME.fullmatch(name) for name in names)
    last = journal.last in ("", f"made/{SUMMARY}", f"before/{SUMMARY}")
    here = journal.numbers[:1] == [staging.folder.stat().st_ino]
    return journal if sound and last and here else None


def remove_empty(places: Iterable[Path]) -> None:
    """Remove those of ``places`` in which nothing is."""
    for place in places:
        with contextlib.suppress(OSError):
            place.rmdir()
