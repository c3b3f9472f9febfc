"""Runs that are killed at a step of their own choice.

A run is a process of its own that kills itself, by SIGKILL, before its nth step: Python tells of
each file that is opened, linked, renamed or removed before that is done.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

STEPS = ("open", "os.rename", "os.remove", "os.link", "os.mkdir", "os.rmdir", "shutil.rmtree")


def killed(
    run: Callable[[Path], None], folder: Path, step: int, steps: Sequence[str] = STEPS
) -> bool:
    """Run in a process that kills itself before its ``step``-th step in the parent of ``folder``.

    Parameters
    ----------
    run : callable
        Given ``folder``.
    folder : Path
    step : int
        From 0.
    steps : sequence of str
        What counts as one, by Python's names of audit events.

    Returns
    -------
    bool
        False if it had fewer steps and came to its end.
    """
    child = os.fork()
    if not child:
        left = [step]

        def watch(event: str, arguments: tuple) -> None:
            if event in steps and str(folder.parent) in str(arguments[0]):
                left[0] -= 1
                if left[0] < 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(watch)
        code = 1
        try:
            run(folder)
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.waitstatus_to_exitcode(status) == 0, "the run has failed by itself"
    return False
