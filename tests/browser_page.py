"""A page in the system's own Chromium, for tests: opened at a size, and judged by axe-core.

Requires: playwright (Python), the command chromium, and axe-core where NODE_PATH or
tests/tools/node_modules has it.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

PHONE, DESK = (390, 844), (1280, 900)
"""Sizes of the window, CSS pixels: an upright phone and a builder."""
LEVELS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")
"""Rules that axe-core calls A or AA of WCAG 2.0 to 2.2."""
COLOURS = ("color-contrast", "link-in-text-block")
"""Rules of these that look at colours: all that a page can break in the dark and not in the light,
half the time of judging."""
_JUDGED = """async (levels) => {
  const found = await axe.run(document, { runOnly: levels, resultTypes: ["violations"] });
  return { passes: found.passes.length, violations: found.violations.map(({ id, help, nodes }) =>
    ({ id, help, targets: nodes.map(({ target }) => target) })) };
}"""
"""What passes is counted and not handed over: of a long page that takes longer than to judge it."""
_TOOLS = Path(__file__).parent / "tools" / "node_modules"


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """A rule that a page breaks, with the elements that break it."""

    rule: str
    help: str
    targets: tuple[str, ...]


@contextlib.contextmanager
def chromium() -> Iterator[Browser]:
    """The browser, for as many pages as a module of tests opens one after the other."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=shutil.which("chromium"),
            args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
        )
        try:
            yield browser
        finally:
            browser.close()


@contextlib.contextmanager
def browser_page(
    address: str | Path,
    size: tuple[int, int] = DESK,
    *,
    with_script: bool = True,
    offline: bool = False,
    browser: Browser | None = None,
) -> Iterator[Page]:
    """``address``, a URL or a file, open in a window of ``size``, which shares nothing with others.

    Scripts of the page that fail make the test fail when the page is closed. Without a ``browser``
    one is started for it.
    """
    if isinstance(address, Path):
        address = address.resolve().as_uri()
    failures: list[str] = []
    with contextlib.ExitStack() as opened:
        browser = browser or opened.enter_context(chromium())
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            java_script_enabled=with_script,
            offline=offline,
        )
        opened.callback(context.close)
        page = context.new_page()
        page.on("pageerror", lambda error: failures.append(str(error)))
        page.goto(address)
        yield page
    assert not failures, failures


def violations(page: Page, levels: tuple[str, ...] = LEVELS) -> list[Violation]:
    """What axe-core finds against the page as it stands; what it could not judge is left out.

    ``levels`` are tags of rules, or rules by name.
    """
    page.evaluate(_axe_source())
    found = page.evaluate(_JUDGED, list(levels))
    assert found["passes"], "axe-core has judged nothing"
    return [
        Violation(rule=one["id"], help=one["help"], targets=tuple(map(str, one["targets"])))
        for one in found["violations"]
    ]


def wider_than_window(page: Page) -> float:
    """By how many CSS pixels the page must be scrolled sideways."""
    return page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )


def _axe_source() -> str:
    places = [str(_TOOLS), *os.environ.get("NODE_PATH", "").split(os.pathsep)]
    for place in filter(None, places):
        path = Path(place) / "axe-core" / "axe.min.js"
        if path.is_file():
            return path.read_text(encoding="utf-8")
    raise FileNotFoundError("axe-core was not found; tests/run.sh installs it")


__all__ = [
    "COLOURS", "DESK", "LEVELS", "PHONE", "Violation", "browser_page", "chromium", "violations",
    "wider_than_window",
]  # fmt: skip
