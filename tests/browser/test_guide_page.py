"""The guide's page in a real browser, at the size of a phone and of a builder."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from browser_page import DESK, PHONE, browser_page, violations, wider_than_window
from playwright.sync_api import Browser
from walled_designs import DESIGNS, example, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html

PAGES = {
    "gothic": example("long_meadow_gothic"),
    "quonset": example("long_meadow_quonset"),
    "bare": walled(end_wall=[], door=[], sill_board=None, rail=[]),
    "tiny": DESIGNS["tiny"],
}
PAGES["bare"] = {key: value for key, value in PAGES["bare"].items() if value is not None}


class Written(dict):
    """Pages by name, written when they are first asked for."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    def __missing__(self, name: str) -> Path:
        path = self[name] = self.folder / f"{name}.html"
        frame = lay_out(design_from_mapping(PAGES[name]))
        path.write_text(page_html(guide_of(frame)), encoding="utf-8")
        return path


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> Written:
    return Written(tmp_path_factory.mktemp("guides"))


@pytest.mark.parametrize("name", PAGES)
def test_nothing_stands_in_the_way_of_a_reader(pages, name: str, shared: Browser) -> None:
    with browser_page(pages[name], PHONE, offline=True, browser=shared) as page:
        for size in (PHONE, DESK):
            page.set_viewport_size({"width": size[0], "height": size[1]})
            assert violations(page) == [], size
            assert wider_than_window(page) == 0, size
            boxes = page.locator("input[type=checkbox]")
            assert boxes.count() > 50
            # A finger hits them: 24 CSS pixels is what WCAG 2.2, 2.5.8, asks for at AA.
            box = boxes.first.bounding_box()
            assert box["width"] >= 24
            assert box["height"] >= 24


def test_cautions_come_before_everything_else(pages, shared: Browser) -> None:
    with browser_page(pages["gothic"], PHONE, browser=shared) as page:
        headings = page.locator("h1, h2").all_inner_texts()
        assert headings[1] == "Cautions"
        first = page.locator("main > *").first
        assert "buried cables and pipes" in first.inner_text()
        assert page.locator(".step .cautions").count() > 5


def test_ticks_stay_and_can_be_taken_away(pages, shared: Browser) -> None:
    with browser_page(pages["quonset"], PHONE, browser=shared) as page:
        page.locator("#hold-3-1").check()
        page.locator("#do-3-2").check()
        page.reload()
        assert page.locator("input:checked").count() == 2
        assert page.locator("#hold-3-1").is_checked()
        page.get_by_role("button", name="Clear all ticks").click()
        assert page.locator("input:checked").count() == 0
        page.reload()
        assert page.locator("input:checked").count() == 0


def test_it_is_whole_without_script_and_network(pages, shared: Browser) -> None:
    text = pages["gothic"].read_text(encoding="utf-8")
    linked = re.findall(r'(?:src|href)="([^"]+)"', text)
    assert linked
    assert all(link.startswith("#step") or link == "#words" for link in linked)
    assert set(re.findall(r"https?://[^\"' ]+", text)) == {"http://www.w3.org/2000/svg"}
    asked: list[str] = []
    with browser_page(
        pages["gothic"], PHONE, with_script=False, offline=True, browser=shared
    ) as page:
        page.on("request", lambda request: asked.append(request.url))
        page.reload()
        assert [url for url in asked if not url.startswith("file:")] == []
        page.locator("#hold-2-1").check()
        assert page.locator("input:checked").count() == 1
        page.get_by_role("link", name="Drive the sockets", exact=True).click()
        assert page.url.endswith("#step-3")


def test_a_picture_can_be_read_on_a_phone(pages, shared: Browser) -> None:
    with browser_page(pages["gothic"], PHONE, browser=shared) as page:
        for picture in page.locator("figure.near svg").all()[:6]:
            width = picture.bounding_box()["width"]
            # Letters are 12 units high in a picture of 330: at least 11 pixels.
            assert 12 * width / 330 >= 11
