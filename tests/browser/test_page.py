"""The page in Debian's Chromium: what is typed is seen, found, picked, cut, saved and compared.

Expected figures come from the library called directly, not from what the page has shown before.
"""

from __future__ import annotations

import contextlib
import itertools
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pymupdf
import pytest
from browser_page import COLOURS, DESK, LEVELS, PHONE, violations, wider_than_window
from campaign import examples
from kept_pictures import KEEPING, KEPT, is_alike, looks_as_kept, shrunk
from page_server import Server, page_server
from playwright.sync_api import Browser, Page, Playwright, Route, expect, sync_playwright

import frame3d
from frame3d.building import taken_off
from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_text
from frame3d.frame.describe.wording import CAUTIONS, tied
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.takeoff.quotes.order_lines import order_lines

ARGUMENTS = (
    "--no-sandbox", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-first-run",
)  # fmt: skip
expect.set_options(timeout=30_000)  # as long as a busy machine may take

SMALL = """# A small tunnel of our own.
[profile]
style = "quonset"
width = "20 ft"       # what the plot allows
ridge_height = "11 ft 6 in"
leg_height = "1 ft 6 in"

[bays]
count = 4
spacing = "4 ft"

[hoop]
pieces = 3

[[rail]]
at = "ridge"
fixing = "clamped"

[[tie]]
height = "6 ft"

[[machine]]
name = "Barrow"
width = "3 ft"
height = "4 ft"
passes = "none"
"""
"""With a tie too low to walk under, so that something is found."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    path = tmp_path_factory.mktemp("page") / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    with page_server(str(path)) as running:
        yield running


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="module")
def browser(driver: Playwright) -> Iterator[Browser]:
    yield from launched(driver)


def launched(driver: Playwright, *more: str) -> Iterator[Browser]:
    found = driver.chromium.launch(
        executable_path=shutil.which("chromium"), args=[*ARGUMENTS, *more]
    )
    yield found
    found.close()


@contextlib.contextmanager
def opened(
    browser: Browser, server: Server, size: tuple[int, int] = DESK, more: str = "",
    settle: bool = True,
) -> Iterator[Page]:  # fmt: skip
    """The page with its first design laid out and checked; its scripts must not fail."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, accept_downloads=True,
        has_touch=size == PHONE, reduced_motion="reduce",
    )  # fmt: skip
    failures: list[str] = []
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.on("pageerror", lambda error: failures.append(str(error)))
    page.on("console", lambda told: failures.append(told.text) if told.type == "error" else None)
    page.on(
        "request",
        lambda asked: (
            failures.append(asked.url)
            if not asked.url.startswith((server.address, "blob:", "data:text"))
            else None
        ),
    )
    page.goto(server.address + more)
    if settle:
        settled(page)
    yield page
    context.close()
    assert not failures, failures


def settled(page: Page) -> None:
    """Wait until what is shown is of the design on the page."""
    page.wait_for_timeout(250)  # longer than the page waits for more to be typed
    page.wait_for_selector('#results[aria-busy="false"]', state="attached")


def type_into(page: Page, place: str, text: str) -> None:
    page.fill(f'[data-place="{place}"] input', text)
    settled(page)


def frame_of(text: str) -> Frame:
    return frame3d.lay_out(design_from_text(text))


def pixels(page: Page) -> bytes:
    """The picture as it stands on the canvas."""
    page.wait_for_timeout(400)
    return page.locator("#canvas").screenshot()


def figure(page: Page, name: str) -> str:
    return (
        page.locator("#figures dt", has_text=name)
        .locator("xpath=following-sibling::dd[1]")
        .inner_text()
    )


def test_a_width_that_is_typed_changes_view_figures_and_findings(
    browser: Browser, server: Server
) -> None:
    with opened(browser, server) as page:
        assert "20'-0\" centres" in figure(page, "Width at ground")
        before, found = pixels(page), page.inner_text("#findings")
        # Any way of writing a length; it is read back in the units of the design.
        type_into(page, "profile.width", "7.62 m")
        assert "25'-0\" centres" in figure(page, "Width at ground")
        expect(page.locator('[data-place="profile.width"] .reading')).to_have_text("= 25'-0\"")
        assert pixels(page) != before
        wider = check_frame(frame_of(SMALL.replace('"20 ft"', '"25 ft"')))
        assert len(wider) > 0
        assert page.locator(".findings li").count() == len(wider)
        assert page.inner_text("#findings") != found


def test_a_design_looks_the_same_whatever_came_before(browser: Browser, server: Server) -> None:
    """Its shadow too, which is drawn after the picture while a design is shaped."""
    with opened(browser, server) as page:
        first = pixels(page)
        type_into(page, "profile.width", "26 ft")
        page.click('[data-view="iso"]')
        page.mouse.move(5, 5)
        shaped = pixels(page)
        page.wait_for_timeout(400)  # until the address has it
        page.reload()
        settled(page)
        assert pixels(page) == shaped != first


def test_findings_are_those_of_the_checks(browser: Browser, server: Server) -> None:
    expected = check_frame(frame_of(SMALL))
    assert any(finding.rule.name == "tie-headroom" for finding in expected)
    with opened(browser, server) as page:
        shown = page.locator(".findings li").all_inner_texts()
    assert len(shown) == len(expected)
    for finding, text in zip(expected, shown, strict=True):
        # A number stays on a line with its fraction and its unit.
        assert tied(finding.message) in text and finding.rule.name in text
        # A field goes by its name in the form.
        assert finding.where in text or finding.where == finding.field


def test_a_fault_stands_beside_its_field_and_the_picture_stays(
    browser: Browser, server: Server
) -> None:
    with opened(browser, server) as page:
        before = pixels(page)
        type_into(page, "profile.width", "20")
        field = page.locator('[data-place="profile.width"]')
        expect(field.locator(".fault")).to_contain_text("without a unit")
        assert field.locator("input").get_attribute("aria-invalid") == "true"
        expect(page.locator("#faults")).to_contain_text("Profile, width")
        # Said once, beside the field.
        expect(page.locator("#faults")).not_to_contain_text("without a unit")
        for panel in ("#frame", "#results"):
            expect(page.locator(f"{panel} .stale:visible")).to_have_text(
                "This is the last good design."
            )
        expect(page.locator("#badge")).to_have_text("(1 to fix)")
        expect(page.locator("#results-title")).to_have_text("Findings: 1 to fix first")
        assert page.title().startswith("(1 to fix) ")
        # What is dimmed is clearly another picture.
        assert pixels(page) != before
        # All else that is changed meanwhile is seen.
        type_into(page, "bays.count", "6")
        expect(page.locator("#stale")).to_have_text(
            "This is the last good design with your other changes. As it last was: Profile, width."
        )
        assert figure(page, "Bays").startswith("6 of") and "20'" in figure(page, "Width at ground")
        assert len(page.locator(".findings li").all()) == len(
            check_frame(frame_of(SMALL.replace("count = 4", "count = 6")))
        )
        expect(page.locator('button[data-kind="step"]')).to_be_disabled()
        # The summary leads to the field, wherever it stands.
        page.locator("details.group").first.evaluate("group => { group.open = false; }")
        page.click('#faults button:has-text("Profile, width")')
        assert field.locator("input").evaluate("box => box === document.activeElement")
        type_into(page, "profile.width", "20 ft")
        expect(field.locator(".fault")).to_be_hidden()
        for panel in ("#frame", "#results"):
            expect(page.locator(f"{panel} .stale:visible")).to_be_hidden()
        expect(page.locator("#badge")).not_to_contain_text("to fix")
        assert page.locator("#canvas").evaluate("(c) => getComputedStyle(c).opacity") == "1"


def test_faults_of_lists_and_of_tables_find_their_place(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        open_all(page)
        type_into(page, "tie[1].height", "60 ft")
        expect(page.locator('[data-place="tie[1].height"] .fault')).to_be_visible()
        page.click("#undo")
        settled(page)
        page.click("#add-rail")
        type_into(page, "rail[2].fraction", "")
        expect(page.locator('fieldset[data-place="rail[2]"] > .fault')).to_contain_text(
            "needs height or fraction"
        )


def open_all(page: Page) -> None:
    """Every group, and the second depth of every table."""
    page.evaluate(
        "document.querySelectorAll('details.group, details.deeper')"
        ".forEach((g) => { g.open = true; })"
    )


def shut_most(page: Page) -> None:
    """All but the first group, as when the page was opened."""
    page.evaluate(
        "document.querySelectorAll('details.group, details.deeper')"
        ".forEach((g, place) => { g.open = place === 0; })"
    )


def test_a_member_is_picked_in_the_picture_and_told(browser: Browser, server: Server) -> None:
    frame = frame_of(SMALL)
    with opened(browser, server) as page:
        page.click('[data-view="front"]')
        page.wait_for_timeout(400)
        box = page.locator("#canvas").bounding_box()
        told = pick_something(page, box)
        mark = told.split()[0]
        (part,) = [part for part in frame.parts() if part.mark == mark]
        assert part.role.value in told
        for name in ("Length", "Place", "Weight"):
            assert name in told
        # Equally in the table of parts.
        page.click("#tab-parts")
        row = page.locator("#parts tr.picked")
        expect(row).to_have_count(1)
        assert row.locator("button").inner_text() == mark
        assert str(part.count) in row.inner_text()


def pick_something(page: Page, box: dict) -> str:
    """Click through the picture until a member is met."""
    for step in range(10, 90, 2):
        page.mouse.click(box["x"] + box["width"] * step / 100, box["y"] + box["height"] / 2)
        told = page.inner_text("#picked")
        if "Section" in told:
            return told
    raise AssertionError("no member was met")


def test_findings_and_members_pick_out_each_other(browser: Browser, server: Server) -> None:
    found = next(f for f in check_frame(frame_of(SMALL)) if f.rule.name == "tie-headroom")
    mark = found.where.split(",")[0]
    with opened(browser, server) as page:
        finding = page.locator(".findings li", has_text="tie-headroom").first
        finding.locator("button.pick").click()
        expect(page.locator("#picked")).to_contain_text(mark)
        assert "picked" in finding.get_attribute("class")
        page.click("#tab-parts")
        # What hangs on the tie is too low with it.
        expect(page.locator("#parts tr.picked", has_text=mark)).to_have_count(1)
        # A part with no finding lets it go; the one that it is about takes it up again.
        page.click('#parts button:text-is("S1")')
        assert "picked" not in (finding.get_attribute("class") or "")
        page.click(f'#parts button:text-is("{mark}")')
        assert "picked" in finding.get_attribute("class")


def test_a_finding_leads_to_where_what_is_missing_can_be_added(
    browser: Browser, server: Server
) -> None:
    with opened(browser, server) as page:
        page.locator(".findings li", has_text="side-vents").locator(
            'button:has-text("Go to Side opening")'
        ).click()
        expect(page.locator("#add-side_opening")).to_be_focused()
        # Places are called as in the form, not as in the file.
        told = page.locator("#findings").inner_text()
        assert "say in “Accepted finding” how else" in told and "[[accept]]" not in told
        assert page.evaluate(WORDED) == "Set door[9].no as Tie 1, height; see “Bays, count”."
        assert page.evaluate(MENDED) == {
            "design": {"rail": [{"at": "ridge"}], "profile": {"style": "gothic", "width": "20 ft"}},
            "places": ["rail[2]", "profile.width"],
        }
        assert page.evaluate(HOMELESS) is None


WORDED = """async () => {
  const { inWords } = await import("/assets/wording.js");
  const table = (...names) => ({ title: "T", fields: names.map((name) => ({ name })) });
  const names = { "tie[1].height": "Tie 1, height", "bays.count": "Bays, count" };
  return inWords("Set door[9].no as tie[1].height; see bays.count.",
    { tie: table("height"), bays: table("count") }, (place) => names[place] ?? place);
}"""
MENDED = """async () => {
  const { mended } = await import("/assets/mend.js");
  return mended({ rail: [{ at: "ridge" }, {}], profile: { style: "gothic", width: "3" } },
    [{ where: "rail[2]" }, { where: "profile.width" }],
    { rail: [{ at: "ridge" }], profile: { width: "20 ft" } });
}"""
HOMELESS = """async () => {
  const { mended } = await import("/assets/mend.js");
  return mended({ profile: {} }, [{ where: "" }], {});
}"""


def test_a_section_plane_cuts_the_picture(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        whole = pixels(page)
        page.click("#section summary")
        page.check('#section input[value="y"]')
        page.locator("#cut-at").focus()
        cut = pixels(page)
        assert cut != whole
        length_mm = frame_of(SMALL).grid.length_mm
        shown = page.inner_text(".says[for]") if page.locator(".says[for]").count() else ""
        middle = page.evaluate("document.getElementById('cut-at').getAttribute('aria-valuetext')")
        assert middle == shown
        assert "'" in middle or '"' in middle
        page.keyboard.press("End")
        assert (
            page.evaluate("document.getElementById('cut-at').getAttribute('aria-valuetext')")
            != middle
        )
        page.check('#section input[value=""]')
        page.click("#section summary")
        assert length_mm == 4 * 4 * 304.8  # four bays of 4 ft
        page.mouse.move(2, 2)


def test_roles_can_be_hidden_and_bodies_shown(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        before = pixels(page)
        page.click("#show summary")
        page.uncheck('[data-role="hoop"]')
        # The list lies over the picture, and its own ticks are no proof: it is shut each time.
        page.click("#show summary")
        page.mouse.move(2, 2)
        without = pixels(page)
        assert without != before
        page.click("#show summary")
        page.locator("#show label", has_text="Barrow").locator("input").check()
        page.click("#show summary")
        page.mouse.move(2, 2)
        assert pixels(page) != without
        # It stays hidden when the design changes.
        page.fill('[data-place="bays.count"] input', "5")
        settled(page)
        assert not page.is_checked('[data-role="hoop"]')


def test_two_points_are_measured(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.click('[data-view="front"]')
        page.click("#measure")
        page.wait_for_timeout(300)
        box = page.locator("#canvas").bounding_box()
        for step in range(5, 96, 3):
            page.mouse.click(box["x"] + box["width"] * step / 100, box["y"] + box["height"] * 0.55)
            if "Distance" in page.inner_text("#picked"):
                break
        expect(page.locator("#picked")).to_contain_text("Distance")


def test_a_step_file_is_made_and_read_back(
    browser: Browser, server: Server, tmp_path: Path
) -> None:
    """By the reader of another library, which knows no CAD kernel (steputils)."""
    from steputils import p21

    stem = frame_of(SMALL).design.project.name.replace(" ", "_")
    with opened(browser, server) as page:
        with page.expect_download(timeout=120_000) as coming:
            page.click('button[data-kind="step"]')
        assert coming.value.suggested_filename == f"{stem}-model.step"
        path = tmp_path / "small.step"
        coming.value.save_as(path)
    data = p21.readfile(str(path)).data[0]
    names = [i.entity.name for i in data.instances.values() if hasattr(i, "entity")]
    placed = names.count("NEXT_ASSEMBLY_USAGE_OCCURRENCE")
    frame = frame_of(SMALL)
    assert placed >= len(frame.members)
    assert names.count("MANIFOLD_SOLID_BREP") + names.count("BREP_WITH_VOIDS") == len(frame.parts())


def test_lists_are_taken_dropped_and_taken_out(browser: Browser, server: Server) -> None:
    """A price list goes with every question, its faults stand beside it, and its name in the
    design; one that the design names and that is not there is told of.
    """
    with opened(browser, server) as page:
        prices = page.locator("[data-list=prices]")
        drop = """([row, name, text]) => {
            const data = new DataTransfer();
            data.items.add(new File([text], name));
            document.querySelector(row).dispatchEvent(
                new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
        }"""
        page.evaluate(drop, ["[data-list=prices]", "mine.csv", "item,price\nBolt,a lot\n"])
        expect(prices).to_contain_text("row 2, column price")
        page.evaluate(drop, ["[data-list=prices]", "mine.csv", "item,price\nBolt,2\n"])
        expect(prices.locator(".fault")).to_have_count(0)
        expect(page.locator("#stop")).to_contain_text("Do not build from this set: 1 error found.")
        expect(page.locator("#stop")).not_to_contain_text("was not given")
        prices.locator("button").click()
        expect(prices).to_contain_text("The design names one")
        expect(page.locator("#stop")).to_contain_text("The prices list (mine.csv) was not given")
        page.locator("#list-levels").set_input_files(
            {"name": "big.csv", "mimeType": "text/csv", "buffer": b"x" * 300_000}
        )
        expect(page.locator("[data-list=levels]")).to_contain_text("larger than 250 kB")


def test_making_a_file_can_be_stopped(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        item = page.locator(".files li", has=page.locator('[data-kind="zip"]'))
        item.locator(".make").click()
        item.locator('button:has-text("Stop")').click()
        expect(item.locator(".state")).to_have_text("stopped")
        expect(item.locator(".make")).to_be_enabled()


def test_a_saved_design_keeps_the_comments_and_opens_again(
    browser: Browser, server: Server, tmp_path: Path
) -> None:
    with opened(browser, server) as page:
        open_all(page)
        type_into(page, "profile.width", "22 ft")
        type_into(page, "profile.leg_lean", "1 deg")
        with page.expect_download() as coming:
            page.click("#save")
        path = tmp_path / "again.toml"
        coming.value.save_as(path)
        text = path.read_text("utf-8")
        assert text == SMALL.replace('"20 ft"', '"22 ft"').replace(
            'leg_height = "1 ft 6 in"\n', 'leg_height = "1 ft 6 in"\nleg_lean = "1 deg"\n'
        )
        page.set_input_files("#file", path)
        settled(page)
        assert page.input_value('[data-place="profile.leg_lean"] input') == "1 deg"
        bad = tmp_path / "bad.toml"
        bad.write_text("[profile\n", encoding="utf-8")
        page.set_input_files("#file", bad)
        expect(page.locator("#faults")).to_contain_text("bad.toml cannot be opened")
        assert page.input_value('[data-place="profile.width"] input') == "22 ft"


def test_the_design_is_among_the_files(browser: Browser, server: Server, tmp_path: Path) -> None:
    with opened(browser, server) as page:
        type_into(page, "profile.width", "22 ft")
        with page.expect_download() as coming:
            page.click("#save-design")
        assert Path(coming.value.path()).read_text("utf-8") == SMALL.replace('"20 ft"', '"22 ft"')


def test_undo_and_redo(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        expect(page.locator("#undo")).to_be_disabled()
        type_into(page, "profile.width", "24 ft")
        type_into(page, "bays.count", "7")
        page.click("#undo")
        page.click("#undo")
        settled(page)
        assert "20'-0\" centres" in figure(page, "Width at ground")
        page.click("h1")
        page.keyboard.press("Control+y")
        settled(page)
        assert "24'-0\" centres" in figure(page, "Width at ground")
        assert figure(page, "Bays").startswith("4 of")


def test_a_list_grows_and_shrinks(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        open_all(page)
        page.click("#add-machine")
        settled(page)
        assert page.locator('fieldset[data-place^="machine"]').count() == 2
        page.click('fieldset[data-place="machine[1]"] .remove')
        settled(page)
        assert page.locator('fieldset[data-place^="machine"]').count() == 1
        assert page.input_value('[data-place="machine[1].name"] input') == ""
        page.click("#undo")
        settled(page)
        assert page.locator('fieldset[data-place^="machine"]').count() == 2


def test_the_address_holds_the_design_and_two_windows_are_apart(
    browser: Browser, server: Server
) -> None:
    with opened(browser, server) as one, opened(browser, server) as other:
        type_into(one, "profile.width", "30 ft")
        type_into(other, "profile.width", "16 ft")
        one.wait_for_timeout(500)
        one.reload()
        other.reload()
        settled(one)
        settled(other)
        assert "30'-0\" centres" in figure(one, "Width at ground")
        assert "16'-0\" centres" in figure(other, "Width at ground")
        # The comments of the file are there after a reload; a copied address brings what
        # differs from the defaults along, and no more.
        assert "what the plot allows" in saved(one)
        more = one.evaluate("location.hash")
        assert len(more) < 500
        with opened(browser, server, more=more) as third:
            assert "30'-0\" centres" in figure(third, "Width at ground")
            text = saved(third)
            assert "what the plot allows" not in text
            assert frame_of(text).members == frame_of(saved(one)).members


def saved(page: Page) -> str:
    with page.expect_download() as coming:
        page.click("#save")
    return Path(coming.value.path()).read_text("utf-8")


def test_a_link_that_was_cut_off_says_so(browser: Browser, server: Server) -> None:
    """Wherever it is cut, and where a letter of it was changed."""
    with opened(browser, server) as page:
        type_into(page, "bays.count", "5")
        page.wait_for_timeout(500)
        whole = page.url
        at = whole.index("d=") + 2
        # The pictures to begin with are not drawn for this.
        page.route(
            "**/api/picture*",
            lambda route: route.fulfill(
                content_type="image/svg+xml", body='<svg xmlns="http://www.w3.org/2000/svg"/>'
            ),
        )
        changed = whole[: at + 40] + ("A" if whole[at + 40] != "A" else "B") + whole[at + 41 :]
        for broken in (whole[:-1], whole[:-30], whole[:at], changed):
            page.goto("about:blank")
            page.goto(broken)
            expect(page.locator(".start .notice")).to_contain_text("broken or cut off")
            page.wait_for_timeout(400)
            assert page.url == broken
        # A link on a page of somebody else.
        page.goto(f'data:text/html,<a href="{whole.replace("#", "%23")}">the tunnel</a>')
        page.click("a")
        settled(page)
        assert figure(page, "Bays").startswith("5 of")


ACTIONS = 12


def test_a_newcomer_gets_from_the_first_picture_to_the_files(browser: Browser) -> None:
    """What is done is counted: choosing, answering, and taking two files away."""
    with page_server() as bare, opened(browser, bare, settle=False) as page:
        done: list[str] = []

        def act(what: str, run: Callable[[], object]) -> None:
            done.append(what)
            run()

        expect(page.locator("#typical-list img")).to_have_count(10)
        page.wait_for_function(
            "() => [...document.querySelectorAll('#typical-list img')].every((i) => i.naturalWidth)"
        )
        act("picture", lambda: page.click("[data-start=tomatoes]"))
        act("wide", lambda: page.fill("#q-width", "9 m"))
        act("long", lambda: page.fill("#q-length", "18 m"))
        act("form", lambda: page.check("[name=style][value=quonset]"))
        act("drives", lambda: page.check("[name=drives][value=compact]"))
        act("sides", lambda: page.check("[name=sides][value=hip]"))
        act("done", lambda: page.click("#questions-done"))
        expect(page.locator("#name")).to_have_text("Tomato house")
        settled(page)
        expect(page.locator("#faults")).to_be_empty()
        assert figure(page, "Form").startswith("quonset")
        assert "9000\N{NO-BREAK SPACE}mm centres" in figure(page, "Width at ground")
        # What a gothic hoop has is not there in a quonset.
        open_all(page)
        expect(page.locator('[data-place="profile.ridge_slope"]')).to_be_hidden()
        expect(page.locator('[data-place="profile.crown_radius"]')).to_be_visible()
        files = []
        for file in ('[data-kind="view"]', "#save-design"):
            with page.expect_download(timeout=120_000) as coming:
                act(file, lambda file=file: page.click(file))
            files.append(coming.value.suggested_filename)
        assert files == ["Tomato_house-view.html", "my_tunnel.toml"]
        expect(page.locator('[data-kind="guide"]')).to_be_enabled()
        assert len(done) <= ACTIONS


def test_what_is_added_goes_where_there_is_none(browser: Browser, server: Server) -> None:
    """SMALL has no wall, door or brace: the first by the defaults, the next where none is."""
    with opened(browser, server) as page:
        open_all(page)
        for name in ("end_wall", "door", "door", "brace", "brace"):
            page.click(f"#add-{name}")
            settled(page)
        expect(page.locator("#add-end_wall")).to_have_count(0)  # both ends have one
        assert page.locator('[data-place="door[2].at"] select').input_value() == "back"
        corners = page.locator('[data-place="brace[2].corners"] input:checked')
        assert [box.get_attribute("value") for box in corners.all()] == ["front right"]
        page.select_option('[data-place="end_wall[1].at"] select', "back")
        settled(page)
        page.click("#undo")
        settled(page)


def test_a_field_is_found_by_a_word(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.fill("#find", "zinc repair")
        shown = page.locator("#form .field:visible")
        expect(shown).to_have_count(1)
        assert shown.get_attribute("data-place") == "make.zinc_repair"
        # What is seen where nothing is given is the default itself.
        assert "zinc-rich paint" in shown.locator("input").get_attribute("placeholder")
        page.fill("#find", "no such word")
        expect(page.locator("#find-none")).to_be_visible()
        page.keyboard.press("Escape")
        expect(page.locator('[data-place="profile.width"]')).to_be_visible()


def test_prices_are_typed_kept_here_and_summed(browser: Browser, server: Server) -> None:
    order = order_lines(taken_off(frame_of(SMALL)))
    with opened(browser, server) as page:
        page.click("#tab-cost")
        expect(page.locator(".shopping tbody tr")).to_have_count(len(order))
        page.locator(".shopping input").first.fill("12.50")
        total = order[0].pieces * 12.5
        expect(page.locator(".cost .total")).to_contain_text(f"{total:.2f} for 1 of {len(order)}")
        expect(page.locator(".missing li")).to_have_count(len(order) - 1)
        assert "12.50" not in page.url
        page.reload()
        settled(page)
        page.click("#tab-cost")
        expect(page.locator(".cost .total")).to_contain_text(f"{total:.2f} for 1 of {len(order)}")
        page.set_input_files("#cost-file", {
            "name": "yard.csv", "mimeType": "text/csv",
            "buffer": f'item,price\n"{order[0].item}",10\n'.encode(),
        })  # fmt: skip
        expect(page.locator(".cost .total")).to_contain_text(f"{order[0].pieces * 10:.2f} for")
        expect(page.locator(".shopping tbody tr").first).to_contain_text("yard")
        text = printed(page)
        assert order[-1].item in text and "Find a field" not in text
        assert all(caution in text for caution in CAUTIONS)
        page.click("#cost-forget")
        expect(page.locator(".cost .total")).to_have_count(0)
        page.click("#tab-view")
        sheet = pymupdf.open(stream=page.pdf(), filetype="pdf")[0]
        # The picture, neither black nor empty.
        (picture,) = [p for p in sheet.get_images() if p[2] > 300]
        seen = pymupdf.Pixmap(sheet.parent, picture[0])
        assert len(seen.color_topusage()) == 2 and seen.color_topusage()[0] < 0.9
        assert "Key figures" in sheet.parent[0].get_text() + sheet.parent[1].get_text()


def printed(page: Page) -> str:
    """The words on paper, with single blanks between them."""
    sheets = pymupdf.open(stream=page.pdf(), filetype="pdf")
    return " ".join(word for sheet in sheets for word in sheet.get_text().split())


def test_two_designs_are_compared(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.click("#tab-compare")
        page.click("#keep")
        type_into(page, "bays.count", "6")
        rows = page.locator("#compare tbody tr")
        expect(rows.filter(has_text="Bays, count").locator("td")).to_have_text(["6", "4"])
        bays = rows.filter(has=page.locator('th:text-is("Bays")')).locator("td")
        expect(bays).to_have_text(["6 of 4'-0\"", "4 of 4'-0\""])
        assert page.locator("#compare canvas").count() == 2
        page.click("#swap")
        settled(page)
        expect(rows.filter(has_text="Bays, count").locator("td")).to_have_text(["4", "6"])
        page.wait_for_timeout(500)
        page.reload()
        settled(page)
        page.click("#tab-compare")
        expect(rows.filter(has_text="Bays, count").locator("td")).to_have_text(["4", "6"])
        page.click("#forget")
        expect(page.locator("#compare")).not_to_contain_text("Bays, count")


def test_sheets_are_drawn_and_made_larger(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.click("#tab-sheets")
        page.wait_for_selector('#sheets img[alt^="Sheet 1"]')
        page.wait_for_function("document.querySelector('#sheets img').naturalWidth > 100")
        assert page.locator("#sheet option").count() >= 4
        first = page.get_attribute("#sheets img", "alt")
        page.click('#sheets button[aria-label="Next sheet"]')
        page.wait_for_function(
            "first => document.querySelector('#sheets img').alt !== first", arg=first
        )
        narrow = page.locator("#sheets img").bounding_box()["width"]
        page.click('#sheets button[aria-label="Larger"]')
        assert page.locator("#sheets img").bounding_box()["width"] == pytest.approx(
            1.5 * narrow, rel=0.01
        )
        # Of a changed design the sheet that is looked at is there before its set.
        page.select_option("#sheet", "4")
        picture = page.locator("#sheets img")
        expect(picture).to_have_attribute("alt", re.compile("^Sheet 4, "))
        held: list[Route] = []
        page.route("**/api/sheets*", lambda route: held.append(route))
        name = picture.get_attribute("alt").removeprefix("Sheet 4, ")
        type_into(page, "bays.count", "5")
        expect(picture).to_have_attribute("alt", f"{name}, drawn first")
        expect(page.locator("#sheets .early")).to_contain_text("come with the whole set")
        page.wait_for_function("document.querySelector('#sheets img').naturalWidth > 100")
        held.pop().continue_()
        expect(picture).to_have_attribute("alt", f"Sheet 4, {name}")
        expect(page.locator("#sheets .early")).to_be_hidden()


def test_another_design_is_seen_whole(browser: Browser, server: Server) -> None:
    """However near the eye was to a part of the last one."""
    with opened(browser, server) as page:
        page.locator(".findings li", has_text="tie-headroom").locator("button.pick").first.click()
        near = pixels(page)
        page.click("#begin")
        with page.expect_response(lambda answer: "/api/findings" in answer.url):
            page.click('#starts-list button:text-is("small.toml")')
        settled(page)
        whole = pixels(page)
        assert whole != near
        page.click('[data-view="iso"]')
        page.mouse.move(2, 2)
        assert pixels(page) == whole
        page.evaluate(
            "document.querySelectorAll('details.group').forEach((g) => { g.open = true; })"
        )
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")


def test_units_are_those_that_are_preferred(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.check('#units input[value="metric"]')
        settled(page)
        assert "6096\N{NO-BREAK SPACE}mm centres" in figure(
            page, "Width at ground"
        )  # 20 ft, exactly
        expect(page.locator('[data-place="profile.width"] .reading')).to_have_text("= 6096 mm")


def test_the_keyboard_is_enough(browser: Browser, server: Server) -> None:
    """From the top of the page to a changed width, a picked finding, a tab and a turned picture."""
    with opened(browser, server) as page:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "To the design"
        page.keyboard.press("Enter")
        tab_to(page, "f-profile-width")
        assert outline(page) != "none"
        page.keyboard.press("Control+a")
        page.keyboard.type("24 ft")
        settled(page)
        assert "24'-0\" centres" in figure(page, "Width at ground")
        tab_to(page, "tab-view")
        page.keyboard.press("ArrowRight")
        assert page.evaluate("document.activeElement.id") == "tab-sheets"
        expect(page.locator("#sheets")).to_be_visible()
        page.keyboard.press("ArrowLeft")
        before = pixels(page)
        tab_to(page, "canvas")
        assert outline(page) != "none"
        page.keyboard.press("ArrowRight")
        page.keyboard.press("+")
        assert pixels(page) != before
        for _ in range(30):
            page.keyboard.press("Tab")
            if "pick" in page.evaluate("document.activeElement.className"):
                break
        page.keyboard.press("Enter")
        expect(page.locator("#picked")).not_to_be_empty()


def tab_to(page: Page, wanted: str) -> None:
    for _ in range(120):
        if page.evaluate("document.activeElement.id") == wanted:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{wanted} is not reached with the keyboard")


def outline(page: Page) -> str:
    return page.evaluate("getComputedStyle(document.activeElement).outlineStyle")


def test_what_changes_is_said(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        type_into(page, "bays.count", "5")
        expect(page.locator("#status")).to_contain_text("Laid out.")
        assert page.get_attribute("#status", "role") == "status"
        assert page.get_attribute("#faults", "role") == "alert"


def test_on_a_phone_panels_are_tabs(browser: Browser, server: Server) -> None:
    with opened(browser, server, PHONE) as page:
        assert page.locator("#canvas").is_visible() and not page.locator("#form").is_visible()
        assert wider_than_window(page) == 0
        page.click('.panels [data-show="design"]')
        # Picture and form are seen together, and letters are large enough not to zoom in.
        picture, box = (page.locator(one).bounding_box() for one in ("#canvas", "#design"))
        assert 150 < picture["height"] < 400 and picture["y"] + picture["height"] <= box["y"] + 1
        width = page.locator('[data-place="profile.width"] input')
        assert width.evaluate("box => getComputedStyle(box).fontSize") == "16px"
        # What is wrong is read at once: nothing lies over it.
        type_into(page, "profile.width", "18")
        fault = page.locator('[data-place="profile.width"] .fault')
        assert fault.evaluate(
            """one => { const b = one.getBoundingClientRect(), inside = [];
            for (const y of [b.top + 3, b.bottom - 3])
                inside.push(one === document.elementFromPoint(b.left + 20, y));
            return inside; }"""
        ) == [True, True]
        type_into(page, "profile.width", "18 ft")
        assert wider_than_window(page) == 0
        page.click('.panels [data-show="results"]')
        assert "18'-0\" centres" in figure(page, "Width at ground")
        assert wider_than_window(page) == 0
        # Wherever it is scrolled to, what to take care of is in sight, and all of it one step away.
        page.locator("#files li").last.scroll_into_view_if_needed()
        expect(page.locator("#cautions-short")).to_be_in_viewport()
        page.click("#cautions summary")
        expect(page.locator("#cautions li")).to_have_text(list(CAUTIONS))
        assert all(one.is_visible() for one in page.locator("#cautions li").all())
        page.click("#cautions summary")
        page.locator(".findings li", has_text="tie-headroom").locator("button.pick").first.click()
        assert page.locator("#canvas").is_visible()
        expect(page.locator("#picked")).to_be_visible()
        for tab in ("sheets", "parts", "cost", "compare"):
            page.click(f"#tab-{tab}")
            assert wider_than_window(page) == 0
        assert pinched(page) == pytest.approx(2.0, rel=0.05)
        page.click("#tab-parts")
        assert page.locator("#parts tbody tr").first.locator("td").nth(3).is_visible()
        expect(page.locator("#parts tbody tr").first).to_contain_text("tube")
        # As narrow as the narrowest phones, and as low as a desk's window at 400 %.
        page.set_viewport_size({"width": 320, "height": 256})
        for panel in ("design", "frame", "results"):
            page.click(f'.panels [data-show="{panel}"]')
            assert wider_than_window(page) == 0


def pinched(page: Page) -> float:
    """How many times larger a drawing is after two fingers have gone apart twice as far."""
    page.click("#tab-sheets")
    page.wait_for_selector('#sheets img[src^="blob:"]')
    before = page.locator("#sheets img").bounding_box()["width"]
    box = page.locator("#sheets .paper").bounding_box()
    across, down = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)
    for kind, apart in (("Start", 40), ("Move", 50), ("Move", 80), ("End", None)):
        fingers = [{"x": across + k * apart, "y": down} for k in (-1, 1)] if apart else []
        touch.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": fingers})
    return page.locator("#sheets img").bounding_box()["width"] / before


def test_on_a_phone_the_picture_is_seen_behind_a_drawer(browser: Browser, server: Server) -> None:
    with opened(browser, server, PHONE) as page:
        page.click("#show summary")
        page.wait_for_timeout(300)
        box, drawer = (page.locator(one).bounding_box() for one in ("#canvas", "#show .drawer"))
        between = {
            "x": box["x"] + box["width"] / 2 - 2,
            "y": (box["y"] + drawer["y"]) / 2 - 2,
            "width": 4,
            "height": 4,
        }
        assert between["y"] > box["y"]
        # The picture ends where the drawer begins, and shows the whole frame above it.
        assert box["y"] + box["height"] <= drawer["y"]
        seen = pymupdf.Pixmap(page.screenshot(clip=between))
        # Where the canvas is left out, nothing at all is there.
        assert min(seen.pixel(2, 2)) > 100
        page.click("#show summary")
        page.wait_for_timeout(300)
        assert page.locator("#canvas").bounding_box()["height"] > box["height"] + 100


def test_without_webgl_the_rest_of_the_page_works(driver: Playwright, server: Server) -> None:
    for browser in launched(driver, "--disable-3d-apis"):
        with opened(browser, server) as page:
            expect(page.locator("#view")).to_contain_text("WebGL 2 is missing")
            # The drawings come first; findings lead to the list of parts.
            page.wait_for_selector('#sheets img[src^="blob:"]')
            page.locator(".findings li", has_text="tie-headroom").locator("button.pick").click()
            expect(page.locator("#parts tr.picked").first).to_be_visible()
            page.click("#tab-compare")
            page.click("#keep")
            expect(page.locator("#compare .key")).to_contain_text("WebGL 2 is missing")
            expect(page.locator("#compare .pair")).to_be_hidden()
            type_into(page, "profile.width", "22 ft")
            assert "22'-0\" centres" in figure(page, "Width at ground")
            page.click("#tab-parts")
            wider = frame_of(SMALL.replace('"20 ft"', '"22 ft"'))
            assert page.locator("#parts tbody tr").count() == len(wider.parts())


STATES = {
    "first": lambda page: None,
    "beginning": lambda page: page.click("#begin"),
    "questions": lambda page: page.click("[data-start=market]"),
    "everything open": lambda page: (page.keyboard.press("Escape"), open_all(page)),
    "found": lambda page: (shut_most(page), page.fill("#find", "bend radius")),
    "drawer": lambda page: (page.fill("#find", ""), page.click("#show summary")),
    "section": lambda page: page.click("#section summary"),
    "sheets": lambda page: (
        page.click("#tab-sheets"),
        page.wait_for_selector('#sheets img[alt^="Sheet 1"]'),
    ),
    "cost": lambda page: (
        page.click("#tab-cost"),
        page.locator(".shopping input").first.fill("12.50"),
        expect(page.locator(".cost .total")).to_be_visible(),
    ),
    "loads": lambda page: page.click("#tab-loads"),
    "parts": lambda page: page.click("#tab-parts"),
    "compared": lambda page: (
        page.click("#tab-compare"), page.click("#keep"), type_into(page, "bays.count", "5")),
    "picked": lambda page: page.locator(".findings button.pick").first.click(),
    "faults": lambda page: type_into(page, "profile.width", "3"),
}  # fmt: skip
"""One after the other on one page."""


LOOKED_AT = {
    "first": "light", "beginning": "light", "questions": "dark", "loads": "light",
    "sheets": "dark", "cost": "light", "parts": "dark", "compared": "light", "picked": "light",
    "faults": "light",
}  # fmt: skip
"""States whose pictures are held against kept ones, and in which colours."""


PICTURES_THERE = """() => [...document.querySelectorAll("img[src]")]
  .filter((one) => one.checkVisibility()).every((one) => one.complete && one.naturalWidth)"""
ALL = examples(1) > 1
"""In a campaign every state is judged at every size, light and dark."""
DARK = {"first", "questions", "sheets", "loads", "parts", "picked", "faults"}
"""States that are judged in the dark too: between them they have everything that has a colour."""
RULES = {"light": LEVELS, "dark": COLOURS}
"""The same page is judged by every rule in the light."""


def test_no_rule_of_accessibility_is_broken_and_states_look_as_kept(
    browser: Browser, server: Server
) -> None:
    with opened(browser, server) as page:
        changed = []
        for state, reach in STATES.items():
            reach(page)
            for scheme in ("dark", "light") if state in DARK or ALL else ("light",):
                page.emulate_media(color_scheme=scheme)
                page.wait_for_timeout(150)
                assert KEEPING or violations(page, RULES[scheme]) == [], (state, scheme)
                if LOOKED_AT.get(state) == scheme:
                    page.mouse.move(2, 2)
                    page.wait_for_function(PICTURES_THERE)
                    page.wait_for_timeout(300)
                    if not looks_as_kept(state, page.screenshot(caret="hide")):
                        changed.append(state)
        assert changed == [], "look at them; FRAME3D_KEEP_PICTURES=1 keeps them as they are now"


def test_kept_pictures_tell_the_states_apart() -> None:
    """What judges likeness must fail on what is not alike."""
    kept = [shrunk(KEPT / f"{state}.png") for state in LOOKED_AT]
    for one, other in itertools.combinations(kept, 2):
        assert not is_alike(one, other)
        assert is_alike(one, one)


SIZES = ((320, 640), PHONE, (820, 1180), (1440, 900))


SMALL_STATES = {
    "beginning": STATES["beginning"],
    "questions": STATES["questions"],
    "drawer": lambda page: (page.keyboard.press("Escape"), page.click("#show summary")),
    # What opens a drawer is not behind it.
    "shut": lambda page: page.click("#show summary"),
    **{state: STATES[state] for state in ("sheets", "cost", "loads", "parts")},
}
"""One after the other, as narrow as the narrowest phones."""


def test_no_rule_of_accessibility_is_broken_at_any_size(browser: Browser, server: Server) -> None:
    with opened(browser, server, PHONE) as page:
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            for scheme in ("light", "dark") if width in (390, 1440) else ("light",):
                page.emulate_media(color_scheme=scheme)
                # Panels stand side by side above 900 px (page.css).
                for panel in ("design", "frame", "results")[: 3 if width <= 900 else 1]:
                    if width <= 900:
                        page.click(f'.panels [data-show="{panel}"]')
                    page.wait_for_timeout(100)
                    assert violations(page, RULES[scheme]) == [], (width, scheme, panel)
                    assert wider_than_window(page) == 0, (width, scheme, panel)
    for size in SIZES[: 3 if ALL else 1]:
        with opened(browser, server, size) as page:
            page.click('.panels [data-show="frame"]')
            for state, reach in SMALL_STATES.items():
                reach(page)
                page.wait_for_function(PICTURES_THERE)
                for scheme in ("dark", "light") if ALL else ("light",):
                    page.emulate_media(color_scheme=scheme)
                    page.wait_for_timeout(150)
                    assert violations(page, RULES[scheme]) == [], (state, size, scheme)
                assert wider_than_window(page) == 0, (state, size)


def test_roles_are_those_of_the_frame(browser: Browser, server: Server) -> None:
    with opened(browser, server) as page:
        page.click("#show summary")
        shown = page.locator("#show [data-role]").evaluate_all(
            "boxes => boxes.map((box) => box.dataset.role)"
            ".filter((role) => !role.startsWith('body'))"
        )
    assert set(shown) == {member.role.value for member in frame_of(SMALL).members}
    assert Role.TIE.value in shown
