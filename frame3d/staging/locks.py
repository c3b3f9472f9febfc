"""Locks, which the system lets go when a process ends, however it ends.

Where a disk has none, as some network disks, nothing is taken for dead, so that it stays, and a
folder is not kept for one run at a time. On Windows what is dead is told as elsewhere, but a folder
cannot be locked either: two runs into one folder at the same moment may mix their files there.
"""

from __future__ import annotations

import contextlib
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from frame3d.errors import OutputError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_BEYOND = 1 << 20
"""The byte that is locked on Windows, where nobody else can read what is locked."""
_PATIENCE_S, _AGAIN_S = 30.0, 0.02


def lock(descriptor: int) -> bool:
    """Take the lock of an open file; False if another has it. It goes with the descriptor.

    Raises
    ------
    OSError
        If there are no locks on this disk.
    """
    try:
        if sys.platform == "win32":
            os.lseek(descriptor, _BEYOND, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


@contextlib.contextmanager
def folder_locked(folder: Path) -> Iterator[None]:
    """Keep ``folder`` for this run alone, for the short while in which files are put into it.

    Raises
    ------
    OutputError
        If another run has it for long.
    """
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:  # Windows
        yield
        return
    try:
        _wait_for(descriptor, folder)
        yield
    finally:
        os.close(descriptor)


def _wait_for(descriptor: int, folder: Path) -> None:
    end = time.monotonic() + _PATIENCE_S
    try:
        while not lock(descriptor):
            if time.monotonic() > end:
                raise OutputError(
                    f"another run has been writing to {folder} for {_PATIENCE_S:g} s; let "
                    "it end, or end it, and run this again"
                )
            time.sleep(_AGAIN_S)
    except OutputError:
        raise
    except OSError:
        return  # no locks here
