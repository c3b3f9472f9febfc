"""Levels dropped on the page: what it draws and says of the ground, and the string dragged.

Expected figures are worked out here: ground that falls 300 mm from the first of five hoops to the
last, evenly, along both sides; no socket may stand out of it less or more than the limits.
"""

from __future__ import annotations

import re

import pytest
from browser_page import DESK, PHONE, browser_page, wider_than_window
from page_server import page_server
from playwright.sync_api import Page, expect

DESIGN = """[output]
units = "metric"
[profile]
style = "quonset"
width = "6 m"
ridge_height = "3.2 m"
[bays]
count = 4
spacing = "1.5 m"
[socket]
length = "1000 mm"
exposed = "300 mm"
lower_hole = "240 mm"
[sill_board]
"""
LEVELS = "point,z\n" + "".join(
    f"{n + 1}{side},{-75 * n} mm\n" for n in range(5) for side in ("L", "R")
)


def volumes(lies: float) -> tuple[float, float]:
    """Cut and fill in m³ over 7.2 m by 7.2 m: ground that falls 1 in 20 over the frame's 6 m and
    is level in the margin of 600 beyond it, the pad ``lies`` above it at the front.
    """
    cut = fill = 0.0
    for k in range(7200):
        deep = -(lies + 300 * min(max((k + 0.5 - 600) / 6000, 0.0), 1.0)) / 1000
        cut += max(deep, 0.0) * 7.2 / 1000
        fill += max(-deep, 0.0) * 7.2 / 1000
    return cut, fill


def settled(page: Page) -> None:
    """Wait until what is shown is of the design and the lists on the page."""
    page.wait_for_timeout(300)
    page.wait_for_selector('#results[aria-busy="false"]', state="attached")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_the_ground_is_drawn_and_the_string_can_be_dragged(
    tmp_path_factory: pytest.TempPathFactory,
    size: tuple[int, int],
) -> None:
    path = tmp_path_factory.mktemp("ground") / "sloping.toml"
    path.write_text(DESIGN, encoding="utf-8")
    with page_server(str(path)) as server, browser_page(server.address, size) as page:
        settled(page)
        assert "On level ground: good where it rises no more than 35" in (
            page.text_content("#ground-words") or ""
        ).replace("\xa0", " ")
        if size == PHONE:
            page.evaluate("document.body.dataset.panel = 'results'")
        page.locator("#list-levels").set_input_files(
            {"name": "levels.csv", "mimeType": "text/csv", "buffer": LEVELS.encode()}
        )
        settled(page)
        expect(page.locator("#ground-words")).to_contain_text("On the ground of levels.csv")
        expect(page.locator(".profiles svg")).to_have_count(2)
        expect(page.locator(".profiles .socket")).to_have_count(10)
        figures = page.text_content("#figures") or ""
        assert "as in levels.csv" in figures.replace("\xa0", " ")
        # Level over ground that falls by 300: between the least, 265, and the most, 300 + 300 - 0.
        stands = page.locator(".profiles .socket title").all_text_contents()
        heights = [int(text.split(": ")[1].split(" mm")[0]) for text in stands[:5]]
        assert [b - a for a, b in zip(heights, heights[1:], strict=False)] == pytest.approx(
            [75] * 4, abs=1
        )
        # 200 mm lower: what is less than 265 out of the ground is dug, on both sides.
        page.locator("#string-moved").fill("-200")
        page.locator("#string-moved").dispatch_event("input")
        lowered = [height - 200 for height in heights]
        dug = 2 * sum(max(0, 265 - height) for height in lowered)
        told = (page.text_content("#ground-told") or "").replace("\xa0", " ")
        assert told.startswith("String 200 mm lower: dig ")
        assert float(told.split("dig ")[1].split(" mm")[0]) == pytest.approx(dug, abs=10)
        # The pad lies 300, what is to stand out, below the string.
        said = re.search(r"cut ([\d.]+) m³, fill ([\d.]+) m³", told)
        assert said
        cut, fill = volumes(heights[0] - 200 - 300)
        assert float(said[1]) == pytest.approx(cut, abs=0.15)
        assert float(said[2]) == pytest.approx(fill, abs=0.15)
        assert page.locator("#view .legend").get_by_text("ground to dig at a socket").count() == 1
        page.select_option("#picture-times", "5")
        named = page.locator('[data-place="staking.levels"] input')
        assert named.input_value() == "levels.csv"  # it is in the design that is saved
        assert page.locator(".profiles .dig").count() == 2 * sum(h < 265 for h in lowered)
        assert not wider_than_window(page)
