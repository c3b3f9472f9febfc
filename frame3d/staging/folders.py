"""Hidden folders in which files are made, and those that dead runs have left.

Whether the run that made one still lives is told by a lock on a file in it, and not by its age.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from frame3d.opening import open_file
from frame3d.staging.locks import lock

_LOCK = "lock"
_OWNER = "frame3d makes files here for "
_MOST_OWNER = 2_000
_RANDOM = re.compile(r"[a-z0-9_]{8}")
"""What tempfile ends a name with."""
_TRIES = 50


class StagingFolder(Struct, frozen=True, kw_only=True):
    """A folder to make files in, which is this run's as long as it has the lock.

    Parameters
    ----------
    folder : Path
    label : str
        Whom it serves.
    descriptor : int or None
        Of its lock; None where there are no locks.
    """

    folder: Path
    label: str
    descriptor: int | None

    @property
    def made(self) -> Path:
        """Where files are made."""
        return self.folder / "made"

    @property
    def before(self) -> Path:
        """Where second names lie of what is replaced."""
        return self.folder / "before"

    def let_go(self) -> None:
        """Leave it to the next run."""
        if self.descriptor is not None:
            os.close(self.descriptor)

    def remove(self) -> None:
        """Remove it with all that is in it, its lock last."""
        with contextlib.suppress(OSError), os.scandir(self.folder) as entries:
            for entry in [entry for entry in entries if entry.name != _LOCK]:
                if entry.is_dir(follow_symlinks=False):
                    shutil.rmtree(entry.path, ignore_errors=True)
                else:
                    _unlink(Path(entry.path))
        self.let_go()
        with contextlib.suppress(OSError):
            # Not before it is empty: without its lock nobody would know whose the rest is.
            if os.listdir(self.folder) == [_LOCK]:
                _unlink(self.folder / _LOCK)
            self.folder.rmdir()


def set_up(place: Path, prefix: str, label: str) -> StagingFolder:
    """A new staging in ``place``, its name beginning with ``prefix``.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    for _ in range(_TRIES):
        folder = Path(tempfile.mkdtemp(prefix=prefix, dir=place))
        staging = None
        try:
            staging = _taken(folder, label)
            if staging is not None:
                staging.made.mkdir()
                return staging
        except FileNotFoundError:
            continue  # another run has cleared it away, as it had no lock yet
        finally:
            if staging is None:
                shutil.rmtree(folder, ignore_errors=True)
            elif not staging.made.is_dir():
                staging.remove()
    raise OSError(f"no folder can be made in {place}")


def _taken(folder: Path, label: str) -> StagingFolder | None:
    """The folder with its lock; None if another run took it for dead before it had one."""
    descriptor = os.open(folder / _LOCK, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)
    kept = False
    try:
        os.write(descriptor, os.fsencode(f"{_OWNER}{label}\n"))
        kept = lock(descriptor) and os.fstat(descriptor).st_nlink > 0
    except OSError:
        # There are no locks here: without this file nobody takes it for dead.
        _unlink(folder / _LOCK)
        return StagingFolder(folder=folder, label=label, descriptor=None)
    finally:
        if not kept:
            os.close(descriptor)
    return StagingFolder(folder=folder, label=label, descriptor=descriptor) if kept else None


def dead_folders(place: Path, prefix: str = ".") -> Iterator[StagingFolder]:
    """Benches in ``place`` whose runs have ended without removing them, each with its lock taken.

    Whoever is given one removes it or lets it go.
    """
    try:
        with os.scandir(place) as entries:
            names = [e.name for e in entries if e.is_dir(follow_symlinks=False)]
    except OSError:
        return
    for name in names:
        if name.startswith(prefix) and _RANDOM.fullmatch(name[-8:]):
            staging = _dead(place / name)
            if staging is not None:
                yield staging


def _dead(folder: Path) -> StagingFolder | None:
    """The staging, if it is one of ours and nobody has its lock."""
    try:
        if hasattr(os, "geteuid") and folder.lstat().st_uid != os.geteuid():
            return None  # somebody else's, who may have put anything in it
        descriptor = open_file(folder / _LOCK, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0))
    except OSError:
        return None
    kept = False
    try:
        told = os.fsdecode(os.read(descriptor, _MOST_OWNER))
        # Without a word in it and alone: its run was killed before it had said anything.
        ours = told.startswith(_OWNER) or (not told and os.listdir(folder) == [_LOCK])
        kept = ours and lock(descriptor) and os.fstat(descriptor).st_nlink > 0
    except OSError:
        return None
    finally:
        if not kept:
            os.close(descriptor)
    label = told.removeprefix(_OWNER).removesuffix("\n")
    return StagingFolder(folder=folder, label=label, descriptor=descriptor) if kept else None


def _unlink(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()
