"""Holding back what ends a run, while something is done that must be whole."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Iterator

_STOPS = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
)
"""Ctrl-C, being told to end, and the end of the terminal; Windows has not all of them."""


@contextlib.contextmanager
def stop_later() -> Iterator[None]:
    """Hold Ctrl-C and its like back until the end.

    Compiled libraries break if it meets them half loaded.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    asked: list[int] = []
    before = {
        number: signal.signal(number, lambda number, _: asked.append(number)) for number in _STOPS
    }
    try:
        yield
    finally:
        for number, handler in before.items():
            # None: set by a program around Python, which Python cannot put back.
            usual = signal.default_int_handler if number == signal.SIGINT else signal.SIG_DFL
            signal.signal(number, usual if handler is None else handler)
    if asked:
        signal.raise_signal(asked[0])
