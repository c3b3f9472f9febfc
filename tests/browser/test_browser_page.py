"""The helper that judges pages sees what is wrong with one, and finds nothing in a sound one."""

from __future__ import annotations

from pathlib import Path

import pytest
from browser_page import DESK, PHONE, browser_page, violations, wider_than_window
from playwright.sync_api import Browser

SOUND = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Sound</title>
<meta name="viewport" content="width=device-width"></head>
<body><main><h1>Sound</h1><p>Text.</p></main></body></html>"""
FAULTS = {
    "html-has-lang": SOUND.replace(' lang="en"', ""),
    "document-title": SOUND.replace("<title>Sound</title>", ""),
    "image-alt": SOUND.replace("Text.", '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'),
    "label": SOUND.replace("Text.", '<input type="checkbox">'),
    "color-contrast": SOUND.replace("<p>", '<p style="color:#bbb;background:#fff">'),
}


@pytest.fixture
def written(tmp_path: Path):
    def write(text: str) -> Path:
        path = tmp_path / "page.html"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_a_sound_page_has_no_violation(written, shared: Browser) -> None:
    with browser_page(written(SOUND), PHONE, browser=shared) as page:
        assert violations(page) == []
        assert wider_than_window(page) == 0


@pytest.mark.parametrize("rule", FAULTS)
def test_a_fault_is_found(written, rule: str, shared: Browser) -> None:
    with browser_page(written(FAULTS[rule]), browser=shared) as page:
        assert [violation.rule for violation in violations(page)] == [rule]


def test_a_page_that_is_too_wide_is_seen(written, shared: Browser) -> None:
    wide = SOUND.replace("<p>", '<p style="width:2000px">')
    with browser_page(written(wide), DESK, browser=shared) as page:
        assert wider_than_window(page) > 500


def test_a_script_that_fails_is_told(written, shared: Browser) -> None:
    broken = SOUND.replace("</body>", "<script>missing();</script></body>")
    with (
        pytest.raises(AssertionError, match="missing"),
        browser_page(written(broken), browser=shared),
    ):
        pass
