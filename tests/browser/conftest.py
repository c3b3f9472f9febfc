"""One browser for a module of tests; while it is open no other event loop runs in the process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from browser_page import chromium
from playwright.sync_api import Browser


@pytest.fixture(scope="module")
def shared() -> Iterator[Browser]:
    with chromium() as found:
        yield found
