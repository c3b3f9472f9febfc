"""Opening what a user names: a file, and never a device or a pipe, and no more of it than fits.

Reading a device might never end, and opening a pipe waits for somebody to write into it.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_KINDS = (
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (lambda mode: stat.S_ISCHR(mode) or stat.S_ISBLK(mode), "a device"),
)


class NoFileError(OSError):
    """What has the name is no file; the message says what it is."""


class TooLargeError(OSError):
    """The file holds more than it may."""


def open_file(path: Path, flags: int = os.O_RDONLY) -> int:
    """The descriptor of a regular file, opened without waiting; the caller closes it.

    Raises
    ------
    IsADirectoryError, NoFileError
        If it is anything else.
    OSError, ValueError
        If it cannot be opened, or no file can have the name.
    """
    # Looked at before it is opened, as opening some devices does something, and after, as it
    # may have become another meanwhile.
    _check(os.stat(path).st_mode)
    descriptor = os.open(path, flags | _AT_ONCE)
    fit = False
    try:
        _check(os.fstat(descriptor).st_mode)
        fit = True
    finally:
        if not fit:
            os.close(descriptor)
    return descriptor


def read_file(path: Path, most_bytes: int) -> bytes:
    """The bytes of a regular file of at most ``most_bytes``.

    Its size is that of what was read: files of the system say that they have none.

    Raises
    ------
    IsADirectoryError, NoFileError, TooLargeError
        If it is no file, or holds more.
    OSError, ValueError
        If it cannot be read, or no file can have the name.
    """
    with open(open_file(path), "rb") as file:
        data = file.read(most_bytes + 1)
    if len(data) > most_bytes:
        raise TooLargeError(f"it holds more than {most_bytes / 1e6:g} MB")
    return data


def _check(mode: int) -> None:
    if stat.S_ISREG(mode):
        return
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    kind = next((name for holds, name in _KINDS if holds(mode)), "no file")
    raise NoFileError(f"it is {kind} and not a file")
