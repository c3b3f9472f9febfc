"""How a run ends when it is told to, or when what it shows cannot be written.

SIGTERM and SIGHUP (the end of the terminal) end it as Ctrl-C does: what was begun is cleaned up.
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import signal
import sys
from types import FrameType

from frame3d.errors import machine_reason

PIPE = 128 + 13
"""Exit status where the reader has gone, as in ``| head``: that of a program which SIGPIPE ends."""
_CLOSED = (errno.EPIPE, getattr(errno, "ESHUTDOWN", errno.EPIPE))


class Stopped(KeyboardInterrupt):
    """The run has been told to end, by the signal of this number."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


class Unshown(BaseException):
    """What was asked for cannot be written to standard output; ``error`` says why.

    No Exception, since the libraries that write try a stream first and catch what comes of it.
    """

    def __init__(self, error: OSError) -> None:
        super().__init__(error)
        self.error = error

    @property
    def reader_gone(self) -> bool:
        """Whether nobody reads it any more, which is no fault."""
        return self.error.errno in _CLOSED

    def __str__(self) -> str:
        """What cannot be shown, why, and what to do."""
        if self.error.errno == errno.EBADF:
            return "nothing can be shown: standard output is closed"
        reason = machine_reason(self.error) or self.error.strerror or self.error
        return f"the output was cut short: {reason}; make room, or send standard output elsewhere"


def status_of(error: KeyboardInterrupt) -> int:
    """The exit status of a run that was stopped: 128 and the number of the signal."""
    return 128 + getattr(error, "number", signal.SIGINT)


def stop_when_told() -> None:
    """Have SIGTERM and SIGHUP raise what Ctrl-C raises, unless they are ignored, as by nohup."""
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) == signal.SIG_DFL:
            signal.signal(number, _stop)


def _stop(number: int, _frame: FrameType | None) -> None:
    raise Stopped(number)


class _Shown(io.TextIOWrapper):
    """Standard output; what goes wrong with it is an exception that no library catches."""

    def write(self, text: str) -> int:
        try:
            return super().write(text)
        except OSError as error:
            raise self._unshown(error) from None

    def flush(self) -> None:
        try:
            super().flush()
        except OSError as error:
            raise self._unshown(error) from None

    def _unshown(self, error: OSError) -> Unshown:
        # What is still held goes nowhere, or Python would try once more when it ends.
        with contextlib.suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.fileno())
            os.close(nowhere)
        return Unshown(error)


class _Told(io.TextIOWrapper):
    """Standard error: where nobody can be told, the run goes on."""

    def write(self, text: str) -> int:
        with contextlib.suppress(OSError):
            super().write(text)
        return len(text)

    def flush(self) -> None:
        with contextlib.suppress(OSError):
            super().flush()


def hold_streams() -> None:
    """Have standard output and error behave as above.

    A character that a terminal lacks is shown as another.
    """
    _fill_closed()
    if sys.stdout is None:
        sys.stdout = _Shown(_bytes_to(1), "utf-8", "replace")
    elif isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout = _again(sys.stdout, _Shown)
        sys.__stdout__ = sys.stdout  # type: ignore[misc]  # Python looks at it when it ends
    if sys.stderr is None:
        sys.stderr = _Told(_bytes_to(2), "utf-8", "replace")
    elif isinstance(sys.stderr, io.TextIOWrapper):
        sys.stderr = _again(sys.stderr, _Told)
        sys.__stderr__ = sys.stderr  # type: ignore[misc]  # as above


def _bytes_to(number: int) -> io.BufferedWriter:
    """An open file by its number, which stays open."""
    return io.BufferedWriter(io.FileIO(number, "w", closefd=False))


def _again(stream: io.TextIOWrapper, kind: type[io.TextIOWrapper]) -> io.TextIOWrapper:
    encoding, at_once = stream.encoding, stream.write_through
    by_line = stream.line_buffering
    return kind(stream.detach(), encoding, "replace", line_buffering=by_line, write_through=at_once)


def _fill_closed() -> None:
    """Put something in place of standard streams that are closed.

    Else the next file that is opened gets their number, and what is meant for a stream is
    written into it.
    """
    # Standard output is one that cannot be written, as whoever closed it has to be told.
    for number, flags in ((0, os.O_RDONLY), (1, os.O_RDONLY), (2, os.O_WRONLY)):
        try:
            os.fstat(number)
        except OSError:
            os.set_inheritable(os.open(os.devnull, flags), True)
