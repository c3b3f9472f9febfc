"""A place to make files in, from which they are put in place together: all of them or none.

All files are made in a temporary folder first. Only when every one of them is there
do they take their places, so a run that fails or is stopped changes nothing.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import tempfile
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path

from frame3d.errors import OutputError

__all__ = ["put_in_place", "stop_later", "unwritable", "workshop", "write_text"]


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
def stop_later() -> Iterator[None]:
    """Hold Ctrl-C back until the end: compiled libraries break if it meets them half loaded."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    asked: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: asked.append(number))
    try:
        yield
    finally:
        # None: set by a program around Python, which Python cannot put back.
        signal.signal(signal.SIGINT, signal.default_int_handler if before is None else before)
    if asked:
        signal.raise_signal(signal.SIGINT)


@contextlib.contextmanager
def workshop(folder: Path, names: tuple[str, ...]) -> Iterator[Path]:
    """A temporary folder from which files can be renamed into ``folder``; gone afterwards.

    Folders that had to be made on the way are removed again if nothing was put into them.
    """
    bench, new = None, []
    try:
        try:
            _check_places(folder, names)
            new = [place for place in (folder, *folder.parents) if not place.exists()]
            with stop_later():
                folder.mkdir(parents=True, exist_ok=True)
                name = f".{folder.name[:80]}."
                bench = Path(tempfile.mkdtemp(prefix=name, dir=_beside(folder)))
        except OutputError:
            raise
        except OSError as error:
            raise unwritable(folder, error) from error
        yield bench
    finally:
        with stop_later():
            if bench is not None:
                shutil.rmtree(bench, ignore_errors=True)
            for place in new:
                # It stays if there is something in it.
                with contextlib.suppress(OSError):
                    place.rmdir()


def _check_places(folder: Path, names: tuple[str, ...]) -> None:
    """Nothing may stand where the folder, a folder in it or a file is to be."""
    inner = dict.fromkeys((folder / name).parent for name in names)
    for place in (*inner, folder, *folder.parents):
        if place.exists() and not place.is_dir():
            raise OutputError(
                f"{place} is a file, so it cannot hold the files of a build; "
                "choose another folder or move it away"
            )
    for name in names:
        if (folder / name).is_dir():
            raise OutputError(
                f"{folder / name} is a folder where a file is to be; choose another folder or "
                "move it away"
            )
    if folder.exists() and not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"{folder} cannot be written: Permission denied; choose another folder")


def _beside(folder: Path) -> Path:
    """The parent of ``folder``; the folder itself where files cannot be renamed from there."""
    parent = folder.parent
    same = parent.stat().st_dev == folder.stat().st_dev
    return parent if same and os.access(parent, os.W_OK | os.X_OK) else folder


def put_in_place(
    bench: Path, folder: Path, made: list[str], names: tuple[str, ...]
) -> None:
    """Rename the files into ``folder``: all of them, or none if one of them cannot be.

    Parameters
    ----------
    bench, folder : Path
    made : list of str
        Files in ``bench``, by their paths from there; folders on the way are made.
    names : tuple of str
        All that a build may leave behind: of those, what is not in ``made`` goes away, and
        with it a folder that is empty then.

    Raises
    ------
    OutputError
        If a file cannot be put in its place; what was there is as it was.
    """
    _check_places(folder, (*made, *names))
    aside = bench / "before"
    finished = False
    before: list[str] = []
    new: list[Path] = []
    try:
        aside.mkdir()
        for name in dict.fromkeys((*made, *names)):
            if (folder / name).exists():
                (aside / name).parent.mkdir(parents=True, exist_ok=True)
                _keep(folder / name, aside / name)
                before.append(name)
        for place in sorted({(folder / name).parent for name in made}):
            if not place.exists():
                place.mkdir(parents=True)
                new.append(place)
        for name in made:
            os.replace(bench / name, folder / name)
        for name in set(names) - set(made):
            (folder / name).unlink(missing_ok=True)
        finished = True
    except OSError as error:
        raise unwritable(folder, error) from error
    finally:
        if not finished:
            for name in made:
                if not (bench / name).exists() and name not in before:
                    (folder / name).unlink(missing_ok=True)
            for name in before:
                os.replace(aside / name, folder / name)
            _remove_empty(reversed(new))
    _remove_empty((folder / name).parent for name in names if "/" in name)


def _remove_empty(places: Iterable[Path]) -> None:
    """Remove those of ``places`` in which nothing is."""
    for place in places:
        with contextlib.suppress(OSError):
            place.rmdir()


def _keep(path: Path, copy: Path) -> None:
    """A second name for ``path``, or a copy where the file system knows no second names."""
    try:
        os.link(path, copy)
    except OSError:
        shutil.copy2(path, copy)


def unwritable(path: Path, error: OSError) -> OutputError:
    """The fault to raise when ``error`` came of writing ``path``."""
    reason = error.strerror or error
    return OutputError(
        f"{path} cannot be written: {reason}; choose another folder, or close the program that "
        "has a file in it open"
    )
