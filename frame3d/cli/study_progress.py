"""The progress of a study on standard error: a line that changes, or now and then a new one."""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from frame3d.cli.show import tell

if TYPE_CHECKING:
    from frame3d.studies.running.engine import Progress

_OFTEN_S, _SELDOM_S = 0.2, 30.0


@contextlib.contextmanager
def progress_shown() -> Iterator[Callable[[Progress], None]]:
    """A function that shows progress while this lasts."""
    terminal = sys.stderr.isatty()
    pause = _OFTEN_S if terminal else _SELDOM_S
    shown_at = time.monotonic()

    def shown(progress: Progress) -> None:
        nonlocal shown_at
        now = time.monotonic()
        if now - shown_at < pause:
            return
        shown_at = now
        if terminal:
            sys.stderr.write(f"\r\x1b[K{_line(progress)}")
            sys.stderr.flush()
        else:
            tell(_line(progress))

    try:
        yield shown
    finally:
        if terminal:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()


def _line(progress: Progress) -> str:
    words = f"{progress.done} done, {progress.left} left"
    if progress.refused:
        words += f", {progress.refused} refused"
    if progress.failed:
        words += f", {progress.failed} failed"
    return words if progress.left_s is None else f"{words}, {_time(progress.left_s)} to go"


def _time(seconds: float) -> str:
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"
