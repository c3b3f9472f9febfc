"""Loads on the page in Chromium: cautions first, another design given, stopped, faults told."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser_page import DESK, PHONE, browser_page, violations, wider_than_window
from page_server import Server, page_server
from playwright.sync_api import Page, expect
from verdict_words import FORBIDDEN

from frame3d.loads.cautions import CAUTIONS, NOT_COVERED, REFERENCE

DESIGN = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "5 m"
leg_height = "0.4 m"
[bays]
count = {bays}
spacing = "1.5 m"
[[rail]]
at = "ridge"
[[brace]]
from_hoop = 1
to_hoop = 3
to_height = "1.4 m"
[loads]
shapes = ["even snow", "wind along"]
"""
BUSY_MS = 90_000
"""For answers of the server, on a machine that does much else."""
LONG = DESIGN.format(bays=40).replace('["even snow", "wind along"]', '["even snow", "wind across"]')


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    path = tmp_path_factory.mktemp("page") / "own.toml"
    path.write_text(DESIGN.format(bays=2), "utf-8")
    with page_server(str(path)) as running:
        yield running


def look(page: Page) -> None:
    page.set_default_timeout(BUSY_MS)
    page.wait_for_selector('#results[aria-busy="false"]', state="attached")
    page.click("#tab-loads")


def give(page: Page, name: str, text: str) -> None:
    page.set_input_files("#against", {
        "name": name, "mimeType": "text/plain", "buffer": text.encode(),
    })  # fmt: skip


def drop(page: Page, name: str, text: str) -> None:
    """As a file that is dragged onto the line and let go."""
    page.evaluate(
        """([name, text]) => {
          const data = new DataTransfer();
          data.items.add(new File([text], name));
          document.querySelector("#loads .against").dispatchEvent(
            new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
        }""",
        [name, text],
    )


def test_another_design_is_compared_with_cautions_first(server: Server) -> None:
    with browser_page(server.address, DESK) as page:
        look(page)
        # Before anything is compared, and above everything that will be.
        text = page.inner_text("#loads")
        assert text.startswith(CAUTIONS[0])
        assert REFERENCE not in text
        drop(page, "other.toml", DESIGN.format(bays=3))
        expect(page.locator(".loud")).to_contain_text(REFERENCE)
        page.click("#compare-loads")
        page.click("#loads .state button")
        expect(page.locator("#loads .state")).to_have_text("stopped", timeout=BUSY_MS)
        assert page.locator(".compared table").count() == 0
        page.click("#compare-loads")
        page.wait_for_selector(".compared table")
        text = page.inner_text("#loads")
        assert text.startswith(CAUTIONS[0])
        assert all(caution in text for caution in (*CAUTIONS, REFERENCE, NOT_COVERED))
        assert text.index(NOT_COVERED) < text.index("Against the other design")
        assert "New tunnel (on the page) beside New tunnel (other.toml)" in text
        for title in ("Where this design reaches", "What changes it most", "How the two differ"):
            assert title in text
        assert "no braces" in text and "hold the hoops while they are raised" in text
        assert FORBIDDEN.findall(text) == []
        # Wherever it is scrolled to, what it does not say stays in sight.
        page.locator(".compared ul").last.scroll_into_view_if_needed()
        expect(page.locator(".still")).to_be_in_viewport()
        assert page.locator(".pictures img").count() == 2
        images = "[...document.querySelectorAll('#loads img')]"
        assert page.evaluate(f"{images}.every(i => i.complete && i.naturalWidth > 0)")
        for size in (DESK, PHONE):
            page.set_viewport_size({"width": size[0], "height": size[1]})
            assert wider_than_window(page) == 0
            assert violations(page) == []
        with page.expect_download() as coming:
            page.click(".compared a")
        assert Path(coming.value.path()).read_bytes().startswith(b"PK")


def test_a_comparison_can_be_stopped_and_blocks_nobody(server: Server) -> None:
    fields = {"text": LONG, "kind": "loads", "against": {"name": "b.toml", "text": LONG}}
    small = {"text": DESIGN.format(bays=2), "kind": "xlsx"}
    with server.making(**fields) as first:
        assert next(first)["what"] == "waiting"
        assert next(first)["what"] == "loading"
        with server.making(**fields) as second:
            assert next(second)["what"] == "waiting behind 1"
            # A visitor who looks, and one who wants a file, are served meanwhile.
            assert server.post("/api/frame", {"text": small["text"]}).status == 200
            assert server.file(**small)[0]["state"] == "ready"
        # The first is not over: a third still waits behind it, and behind nobody else.
        with server.making(**fields) as third:
            assert next(third)["what"] == "waiting behind 1"


def test_faults_of_the_other_design_are_told_as_such(server: Server) -> None:
    with browser_page(server.address) as page:
        look(page)
        give(page, "bad.toml", DESIGN.format(bays=2).replace("5 m", "wide"))
        page.click("#compare-loads")
        fault = page.locator("#loads .state .fault").first
        expect(fault).to_contain_text(re.compile(r"^bad\.toml, line 6: profile\.width: "),
                                      timeout=BUSY_MS)  # fmt: skip
        page.set_input_files("#against", {
            "name": "x.png", "mimeType": "image/png", "buffer": b"\x89PNG\xff\xfe",
        })  # fmt: skip
        expect(page.locator("#against-told")).to_contain_text("x.png is not text in UTF-8")


@pytest.mark.parametrize(
    ("against", "told"),
    [
        ("a path", "must be an object with the texts name and text"),
        ({"name": "x" * 300, "text": ""}, "longer than 200 characters"),
        ({"name": "x", "text": "y" * 250_001}, "larger than 250000 bytes"),
    ],
)
def test_what_is_no_design_is_refused(server: Server, against: object, told: str) -> None:
    answer = server.post("/api/file", {"text": "", "kind": "loads", "against": against})
    assert answer.status == 400
    assert told in json.loads(answer.body)["refused"]
