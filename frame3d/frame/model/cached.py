"""What is worked out of a frame once and kept with it, for all who ask for the same."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Concatenate, ParamSpec, TypeVar

from frame3d.frame.model.members import Frame

P = ParamSpec("P")
R = TypeVar("R")


def cached_per_frame(
    work: Callable[Concatenate[Frame, P], R],
) -> Callable[Concatenate[Frame, P], R]:
    """``work``, whose result is kept in the frame that it is called with.

    For results that never change, of a frame and arguments that can be hashed. Frames are
    kept apart by identity: a frame as a key would be hashed with all its members.
    """

    @functools.wraps(work)
    def known(frame: Frame, /, *arguments: P.args, **named: P.kwargs) -> R:
        key = (work, arguments, tuple(named.items()))
        if key not in frame.worked_out:
            frame.worked_out[key] = work(frame, *arguments, **named)
        kept: R = frame.worked_out[key]
        return kept

    return known
