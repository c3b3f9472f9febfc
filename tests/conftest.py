"""That this file is here puts the folder on the path, so that tests share their helpers."""

from __future__ import annotations

import gc
import signal
from collections.abc import Iterator

import pytest

FIRST = ("tests/property/", "tests/integration/", "tests/browser/")
"""Folders whose tests are long, the longest single ones first."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long tests first: what two processes have left at the end is short, so none waits long."""

    def place(item: pytest.Item) -> int:
        for number, folder in enumerate(FIRST):
            if item.nodeid.startswith(folder):
                return number
        return len(FIRST)

    items.sort(key=place)


def pytest_collection_finish() -> None:
    """All modules are loaded: what they hold is not looked through for waste again and again.

    As Python has it, that takes a tenth of the time of laying out and checking.
    """
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(autouse=True)
def broken_pipes_are_errors() -> Iterator[None]:
    """As Python has it from the start: gmsh, once loaded, lets a broken pipe end the process."""
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)
    yield
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)
