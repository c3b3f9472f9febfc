"""view.html in the system's Chromium, from disk and without a network: seen, turned, picked.

Requires: the command chromium, whose WebGL 2 works without a graphics card.
"""

from __future__ import annotations

import base64
import contextlib
import io
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from browser_page import DESK, PHONE, browser_page, violations, wider_than_window
from playwright.sync_api import Page
from walled_designs import example, walled

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.wording import CAUTIONS, tied
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.board_measures import corners
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side
from frame3d.solids.write.role_colours import role_colour
from frame3d.summary import main_figures
from frame3d.view.scene_file import scene_of
from frame3d.view.view_page import view_page

BAYS = 6
SMALL = (900, 600)
"""Of a window for hands and keys: fewer pixels are drawn sooner."""
READY = "window.frameViewer && frameViewer.frames > 0"


@pytest.fixture(scope="module")
def frame() -> Frame:
    """The gothic example, cut short: without a graphics card each picture takes its time."""
    short = example("long_meadow_gothic", bays={"count": BAYS, "spacing": "4 ft"})
    return lay_out(design_from_mapping(short))


@pytest.fixture(scope="module")
def path(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("view") / "view.html"
    file.write_text(view_page(frame, check_frame(frame), main_figures(frame)), encoding="utf-8")
    return file


@dataclass
class Opened:
    """A page with what it asked for and complained of."""

    page: Page
    path: Path
    asked: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def again(self) -> Page:
        """The page as it is when it is opened."""
        self.page.goto(self.path.as_uri())
        until(self.page, READY)
        return self.page


@pytest.fixture(scope="module")
def opened(path: Path) -> Iterator[Opened]:
    with browser_page("about:blank", SMALL, offline=True) as page:
        found = Opened(page, path)
        page.on("request", lambda request: found.asked.append(request.url))
        page.on("console", lambda line: line.type == "error" and found.errors.append(line.text))
        page.emulate_media(reduced_motion="reduce")
        yield found
        assert found.errors == []
        assert {url for url in found.asked if not url.startswith("data:")} <= {path.as_uri()}


def until(page: Page, holds: str) -> None:
    """Wait until an expression of the page is true; asked from outside, as its policy wants."""
    for _ in range(600):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never came true: {holds}")


@contextlib.contextmanager
def another(opened: Opened, size: tuple[int, int], **about) -> Iterator[Page]:
    """A window of its own in the same browser, without a network; empty."""
    context = opened.page.context.browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        offline=True,
        reduced_motion="reduce",
        **about,
    )
    try:
        yield context.new_page()
    finally:
        context.close()


def settled(page: Page) -> None:
    """Wait until nothing is drawn any more."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => "
                  "requestAnimationFrame(() => requestAnimationFrame(done))))")  # fmt: skip


def shades(page: Page) -> np.ndarray:
    """What the canvas shows, (rows, columns, 3) int."""
    settled(page)
    pixels = pymupdf.Pixmap(io.BytesIO(page.locator("#frame").screenshot()).read())
    found = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.h, pixels.w, pixels.n)
    return found[..., :3].astype(int)


def share_of_hue(picture: np.ndarray, colour: tuple[float, float, float]) -> float:
    """Share of clearly coloured pixels within 12 degrees of a colour's hue."""
    turns = np.exp(2j * np.pi * np.arange(3) / 3)
    tint = picture @ turns
    apart = abs(np.angle(tint / (np.array(colour) @ turns), deg=True))
    return float(((abs(tint) > 28) & (apart < 12)).mean())


def number_of(frame: Frame, role: Role, hoop: int, side: Side) -> int:
    return next(
        k for k, m in enumerate(frame.members)
        if m.role is role and m.spot.hoop == hoop and m.spot.side is side
    )  # fmt: skip


def click_member(page: Page, number: int) -> None:
    settled(page)
    x, y = page.evaluate("(id) => frameViewer.project(frameViewer.anchor(id))", number)
    box = page.locator("#frame").bounding_box()
    page.mouse.click(box["x"] + x, box["y"] + y)


def told(page: Page) -> dict[str, str]:
    """What the panel says of the picked member."""
    names, texts = (page.locator(f"#about {tag}").all_inner_texts() for tag in ("dt", "dd"))
    return dict(zip(names, texts, strict=True))


COUNTED = """() => {
  const gl = frameViewer.gl, draw = gl.drawElementsInstanced.bind(gl);
  gl.drawElementsInstanced = (mode, many, kind, start, count) => {
    window.triangles += many / 3 * count;
    draw(mode, many, kind, start, count);
  };
}"""
ALL = "frameViewer._shown.scene.parts.forEach((part) => { part.far = null; part.outside = 0; })"


def test_from_far_off_few_triangles_show_what_all_of_them_do(opened: Opened) -> None:
    """The same picture but for edges, which move by less than a pixel."""
    page = opened.again()
    page.evaluate("() => { const c = frameViewer.camera();"
                  " frameViewer.setCamera({...c, distance: 2 * c.distance}); }")  # fmt: skip
    settled(page)
    page.evaluate(COUNTED)
    pictures, triangles = [], []
    for change in ("null", ALL):
        page.evaluate(change)
        page.evaluate("window.triangles = 0; frameViewer.resize()")
        pictures.append(shades(page))
        triangles.append(page.evaluate("triangles"))
    assert 0 < triangles[0] < triangles[1] / 3
    off = abs(pictures[0] - pictures[1]).max(axis=2)
    there = abs(pictures[1] - np.median(pictures[1], axis=(0, 1))).max(axis=2) > 60
    assert there.mean() > 0.005, "the frame is in the picture"
    # A tube that is drawn beside its place would differ clearly along all of its length.
    assert (off > 60).sum() < 0.02 * there.sum()


def test_the_frame_is_seen_in_its_colours(opened: Opened) -> None:
    page = opened.again()
    picture = shades(page)
    assert picture.mean() > 150
    assert len(np.unique(picture.reshape(-1, 3), axis=0)) > 500
    for role, least in ((Role.SILL_BOARD, 0.004), (Role.TIE, 0.0005), (Role.RAIL, 0.0002)):
        assert share_of_hue(picture, role_colour(role)) > least, role
    assert not page.locator("#picture").is_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_hoops_stand_out_and_the_scale_is_shown(opened: Opened, frame: Frame, scheme: str) -> None:
    """The contrast of WCAG 2.2 of what is seen in the middle of a hoop and on the ground."""
    page = opened.again()
    page.emulate_media(color_scheme=scheme)
    try:
        number = number_of(frame, Role.HOOP, 1, Side.LEFT)
        page.evaluate("(id) => frameViewer.fit([id])", number)
        page.mouse.move(2, 2)
        picture = shades(page)
        at = page.evaluate(ALONG, number)
        hoop = np.array([luminance(picture[y, x]) for x, y in at])
        ground = np.array([
            luminance(picture[y, x]) for x, y in page.evaluate(BESIDE)
        ])  # fmt: skip
        assert len(hoop) >= 8 and len(ground) >= 20
        # Half of each lies in the shade of something; what is compared is what most of it shows.
        low, high = sorted((np.median(hoop), np.median(ground)))
        assert (high + 0.05) / (low + 0.05) >= 4.5
        page.evaluate("frameViewer.view('iso')")
        words = page.locator("#scene-view svg").text_content()
        front = frame.design.surroundings.front_faces
        assert f"front, faces {front.value}" in words and "5'-8 7/8\"" in words
        groups = page.locator("#legend li").all_inner_texts()
        assert groups[:2] == ["sockets", "hoops"] and len(groups) == len(set(groups))
    finally:
        page.emulate_media(color_scheme="light")


ALONG = """(id) => {
  const {part: {points}, shift, turn} = frameViewer._shown.scene.at(id), found = [];
  const [a, b, c, w] = turn, step = 3 * Math.ceil(points.length / 3 / 40);
  for (let n = 0; n < points.length; n += step) {
    const [x, y, z] = points.subarray(n, n + 3);
    const [p, q, r] = [b * z - c * y + w * x, c * x - a * z + w * y, a * y - b * x + w * z];
    const at = [x + 2 * (b * r - c * q), y + 2 * (c * p - a * r), z + 2 * (a * q - b * p)];
    const [u, v] = frameViewer.project(at.map((k, i) => 1000 * (k + shift[i]))).map(Math.round);
    for (const [du, dv] of [[0, 0], [2, 0], [-2, 0], [0, 2], [0, -2]])
      if ([[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]].every(
        ([i, j]) => frameViewer.pickAt(u + du + i, v + dv + j, 0) === id))
        found.push([u + du, v + dv]);
  }
  return found;
}"""
BESIDE = """() => {
  const found = [], c = document.getElementById('frame');
  for (let x = 10; x < c.clientWidth; x += 60)
    for (let y = Math.round(c.clientHeight / 2); y < c.clientHeight; y += 40)
      if (frameViewer.pickAt(x, y, 2) === null && frameViewer._under(x, y)?.[2] < 0.001)
        found.push([x, y]);
  return found;
}"""


def luminance(pixel: np.ndarray) -> float:
    """WCAG 2.2, relative luminance of red, green and blue from 0 to 255."""
    v = np.asarray(pixel) / 255
    light = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return float(light @ (0.2126, 0.7152, 0.0722))


def test_words_figures_and_cautions_are_there(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    assert page.title() == frame.design.project.name
    footer = page.locator("footer").inner_text()
    for caution in CAUTIONS:
        assert caution in footer
    page.locator("#figures summary").click()
    figures = page.locator("#figures dl").inner_text()
    for name, text in main_figures(frame):
        assert name in figures and tied(text) in figures


@pytest.mark.parametrize(
    ("role", "hoop", "side"),
    [(Role.HOOP, 1, Side.LEFT), (Role.SILL_BOARD, 1, Side.LEFT), (Role.BRACE, 2, Side.LEFT)],
)
def test_a_click_picks_the_member_under_it(
    opened: Opened, frame: Frame, role: Role, hoop: int, side: Side
) -> None:
    page = opened.again()
    number = number_of(frame, role, hoop, side)
    page.evaluate("(id) => { frameViewer.fit([id]); }", number)
    click_member(page, number)
    assert page.evaluate("frameViewer.selected()") == [number]
    member = frame.members[number]
    words = told(page)
    assert words["Mark"] == member.mark
    assert words["Role"] == role.value
    assert words["Section"] == tied(member.part.section.name)
    assert words["Place"].startswith(f"hoop{'s' if member.spot.to_hoop else ''} {hoop}")
    assert words["Count"] == str(sum(1 for m in frame.members if m.mark == member.mark))


def test_a_click_beside_everything_picks_nothing(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    page.evaluate("frameViewer.fit([0])")
    page.evaluate("(id) => frameViewer.select([id])", 3)
    page.evaluate("frameViewer.view('front')")
    settled(page)
    box = page.locator("#frame").bounding_box()
    page.mouse.click(box["x"] + box["width"] - 5, box["y"] + box["height"] - 5)
    assert page.evaluate("frameViewer.selected()") == []
    assert not page.locator("#picked").is_visible()


def test_a_role_can_be_hidden_and_shown(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    before = shades(page)
    row = page.locator("#roles label", has_text="sill board")
    count = sum(1 for m in frame.members if m.role is Role.SILL_BOARD)
    assert row.locator(".count").inner_text() == str(count)
    row.locator("input").uncheck()
    hidden = shades(page)
    board = role_colour(Role.SILL_BOARD)
    assert (hidden != before).any(axis=2).mean() > 0.002
    assert share_of_hue(hidden, board) < share_of_hue(before, board)
    row.locator("input").check()
    assert (shades(page) != before).any(axis=2).mean() < 0.0005
    page.locator("#none").click()
    assert share_of_hue(shades(page), board) < 0.0005


def test_a_cut_takes_one_side_away(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    near, far = (number_of(frame, Role.HOOP, hoop, Side.LEFT) for hoop in (2, BAYS))
    page.locator("#cutting summary").click()
    page.locator("#axis").select_option("y")
    found = {}
    for name, other in (("far side", False), ("near side", True)):
        page.locator("#side").set_checked(other)
        page.evaluate("frameViewer.view('left')")
        settled(page)
        found[name] = page.evaluate(
            "(ids) => ids.map((id) => frameViewer.pickAt("
            "...frameViewer.project(frameViewer.anchor(id))) === id)", [near, far],
        )  # fmt: skip
    assert found == {"far side": [False, True], "near side": [True, False]}
    assert "from the first hoop" in page.locator("#where").inner_text()
    page.locator("#axis").select_option("")
    assert page.locator("#at").is_disabled()


def end_corner(member: Member, frame: Frame) -> np.ndarray:
    """The upper outer corner of a sill board at its front end, mm."""
    placed = corners(member.part) @ member.placement.matrix()[:3, :3].T
    placed += np.array(member.placement.origin)
    out = -1 if member.spot.side is Side.LEFT else 1
    return max(placed.tolist(), key=lambda p: (round(-p[1]), round(out * p[0]), round(p[2])))


def test_a_measure_is_that_of_the_model(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    boards = [frame.members[number_of(frame, Role.SILL_BOARD, 1, s)]
              for s in (Side.LEFT, Side.RIGHT)]  # fmt: skip
    ends = [end_corner(board, frame) for board in boards]
    page.evaluate("frameViewer.view('front')")
    page.evaluate("window.measured = []; "
                  "const tell = frameViewer._tell.onMeasure; "
                  "frameViewer._tell.onMeasure = (m) => { measured.push(m); tell(m); }; "
                  "0")  # fmt: skip
    page.locator("#measure").click()
    settled(page)
    box = page.locator("#frame").bounding_box()
    for end, inward in zip(ends, (3, -3), strict=True):
        page.evaluate("(p) => frameViewer.setCamera("
                      "{target: p, distance: 1.2, azimuth: -90, elevation: 15})", end)  # fmt: skip
        settled(page)
        x, y = page.evaluate("(p) => frameViewer.project(p)", end)
        page.mouse.click(box["x"] + x + inward, box["y"] + y + 3)
    last = page.evaluate("measured.at(-1)")
    wanted = np.subtract(ends[1], ends[0])
    # Single precision, in metres, of what is 9 m away.
    assert [last["dx"], last["dy"], last["dz"]] == pytest.approx(wanted, abs=0.05)
    assert last["distance"] == pytest.approx(np.linalg.norm(wanted), abs=0.05)
    hint = page.locator("#hint").inner_text()
    assert tied(page.evaluate("(d) => frameViewer.text(d)", last["distance"])) in hint


@pytest.mark.parametrize(
    ("length_mm", "words"),
    [(0, '0"'), (3.175, '1/8"'), (25.4, '1"'), (304.8, "1'-0\""), (1917.7, "6'-3 1/2\""),
     (-609.6, "-2'-0\""), (304.7, "1'-0\"")],
)  # fmt: skip
def test_lengths_are_written_as_everywhere(
    opened: Opened, frame: Frame, length_mm: float, words: str
) -> None:
    """The examples of frame3d.units: architectural feet and inches, to 1/16 in."""
    if opened.page.url == "about:blank":
        opened.again()
    assert opened.page.evaluate("(d) => frameViewer.text(d)", length_mm) == words


def test_keys_alone_are_enough(opened: Opened) -> None:
    page = opened.again()
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "frame":
            break
    assert page.evaluate("document.activeElement.id") == "frame"
    outline = page.evaluate("getComputedStyle(document.getElementById('frame')).outlineStyle")
    assert outline == "solid"
    eyes = {}
    for key in ("1", "2", "3", "4", "5", "6", "ArrowLeft", "Shift+ArrowUp", "+", "-", "f"):
        page.keyboard.press(key)
        settled(page)
        eyes[key] = page.evaluate("frameViewer.camera()")
    angles = {key: (round(eye["azimuth"]) % 360, round(eye["elevation"]))
              for key, eye in eyes.items()}  # fmt: skip
    assert angles["1"] == (270, 0) and angles["2"] == (90, 0)
    assert angles["3"] == (180, 0) and angles["4"] == (0, 0) and angles["5"] == (270, 90)
    assert angles["ArrowLeft"] != angles["6"]
    assert eyes["Shift+ArrowUp"]["target"] != eyes["ArrowLeft"]["target"]
    assert eyes["+"]["distance"] < eyes["Shift+ArrowUp"]["distance"]
    assert eyes["-"]["distance"] == pytest.approx(eyes["Shift+ArrowUp"]["distance"], rel=1e-6)
    assert eyes["f"]["target"] != eyes["-"]["target"]
    # What is in the middle is picked, and let go again.
    page.keyboard.press("1")
    settled(page)
    middle = page.evaluate("(() => { const c = document.getElementById('frame'); "
                           "return frameViewer.pickAt(c.clientWidth / 2, c.clientHeight / 2, 4); "
                           "})()")  # fmt: skip
    page.keyboard.press("Enter")
    assert page.evaluate("frameViewer.selected()") == ([] if middle is None else [middle])
    page.keyboard.press("Escape")
    assert page.evaluate("frameViewer.selected()") == []


FAR = """(p) => {
  const eye = frameViewer._camera.ray(0, 0).from;
  return Math.hypot(...p.map((v, k) => v - 1000 * eye[k]));
}"""


def test_dragging_turns_and_the_wheel_zooms_where_it_points(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    board = number_of(frame, Role.SILL_BOARD, 1, Side.LEFT)
    box = page.locator("#frame").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    before = page.evaluate("frameViewer.camera()")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 100, y - 40, steps=4)
    page.mouse.up()
    turned = page.evaluate("frameViewer.camera()")
    assert turned["azimuth"] != pytest.approx(before["azimuth"], abs=10)
    assert turned["distance"] == before["distance"]
    # What lies under the pointer stays under it, and the eye never gets past it.
    at = page.evaluate("(id) => frameViewer.project(frameViewer.anchor(id))", board)
    at = [round(at[0]), round(at[1])]
    assert page.evaluate("(at) => frameViewer.pickAt(...at, 6)", at) is not None
    page.mouse.move(box["x"] + at[0], box["y"] + at[1])
    page.mouse.wheel(0, -400)
    settled(page)
    near = page.evaluate("frameViewer.camera().distance")
    assert near < 0.9 * turned["distance"]
    point = page.evaluate("frameViewer._camera._about.point.map((v) => 1000 * v)")
    there = page.evaluate("(p) => frameViewer.seen(p)", point)
    assert np.hypot(*np.subtract(there, at)) < 7  # as near as a member is picked, and half a pixel
    surface = page.evaluate("(at) => frameViewer._under(...at).map((v) => 1000 * v)", there)
    assert np.linalg.norm(np.subtract(surface, point)) < 60
    for turns in (1, 4, 8, 16):
        for _ in range(turns):
            page.mouse.wheel(0, -240)
        settled(page)
        moved = page.evaluate("(p) => frameViewer.seen(p)", point)
        assert moved is not None and np.hypot(*np.subtract(moved, there)) < 0.5
    assert page.evaluate(FAR, point) == pytest.approx(250, abs=5)  # camera.js, NEAREST
    # Back the same way, and away.
    for _ in range(40):
        page.mouse.wheel(0, 240)
    settled(page)
    assert page.evaluate("frameViewer.camera().distance") > near


def test_the_wheel_beside_everything_does_not_fly_into_the_frame(opened: Opened) -> None:
    page = opened.again()
    page.evaluate("frameViewer.view('front')")
    settled(page)
    box = page.locator("#frame").bounding_box()
    sky = page.evaluate(SKY)
    assert sky, "the sky is seen through the frame"
    before = page.evaluate("frameViewer._camera.ray(0, 0).from")
    page.mouse.move(box["x"] + sky[0], box["y"] + sky[1])
    for _ in range(40):
        page.mouse.wheel(0, -240)
    settled(page)
    eye = page.evaluate("frameViewer._camera.ray(0, 0).from")
    extent = page.evaluate("frameViewer.extent()")
    assert before[1] + 1 < eye[1] < extent["low"][1] / 1000, "nearer, and still before the front"


SKY = """() => {
  const c = document.getElementById('frame'), x = Math.round(c.clientWidth / 2);
  for (let y = Math.round(0.46 * c.clientHeight); y > 0.3 * c.clientHeight; y -= 4)
    for (const at of [[x, y], [x + 30, y], [x - 30, y]])
      if (frameViewer._under(...at) === null) return at;
  return null;
}"""
FRAMED = """() => {
  const {low, high} = frameViewer.extent(), c = document.getElementById('frame');
  const seen = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => frameViewer.project(
    [0, 1, 2].map((a) => ((k >> a) & 1 ? high : low)[a])));
  return seen.every(([x, y]) => x > 0 && y > 0 && x < c.clientWidth && y < c.clientHeight);
}"""


def test_a_frame_that_outgrows_the_picture_is_looked_at_whole(opened: Opened) -> None:
    """Unless the eye was brought to something."""
    longer = example("long_meadow_gothic", bays={"count": 3 * BAYS, "spacing": "4 ft"})
    scene = scene_of(lay_out(design_from_mapping(longer)))
    given = {"glb": base64.b64encode(scene.glb).decode(), "members": scene.members}
    put = (
        "({glb, members}) => frameViewer.setScene(Uint8Array.from(atob(glb), "
        "(c) => c.charCodeAt(0)).buffer, members, {keepCamera: true})"
    )
    page = opened.again()
    page.evaluate("frameViewer._camera.turn(20, 5)")  # turning is still looking at all of it
    page.evaluate(put, given)
    settled(page)
    assert page.evaluate(FRAMED)
    page = opened.again()
    page.evaluate("frameViewer.fit([0])")
    before = page.evaluate("frameViewer.camera()")
    page.evaluate(put, given)
    settled(page)
    assert page.evaluate("frameViewer.camera()") == before


def test_nothing_is_drawn_while_nothing_changes(opened: Opened) -> None:
    page = opened.again()
    page.mouse.move(5, 5)
    page.wait_for_timeout(300)
    before = page.evaluate("frameViewer.frames")
    # No bodies after none, and no plot after none, are no change either.
    page.evaluate("frameViewer.setBodies([]); frameViewer.setThings('plot', [])")
    page.wait_for_timeout(400)
    assert page.evaluate("frameViewer.frames") == before
    page.evaluate("frameViewer.setThings('plot', [{triangles: [0, 0, 5, 900, 0, 5, 0, 900, 5], "
                  "colour: {light: '#000000', dark: '#ffffff'}}])")  # fmt: skip
    page.wait_for_function(f"frameViewer.frames > {before}")
    page.evaluate("frameViewer.setThings('plot', [])")


def test_viewers_in_step_do_not_call_each_other_for_ever(opened: Opened) -> None:
    page = opened.again()
    settled(page)
    page.evaluate("window.told = []; frameViewer._tell.onCamera = (eye) => { told.push(eye); "
                  "frameViewer.setCamera(eye); }; 0")  # fmt: skip
    page.locator("#frame").press("ArrowLeft")
    page.wait_for_timeout(400)
    frames = page.evaluate("frameViewer.frames")
    page.wait_for_timeout(300)
    assert page.evaluate("told.length") == 1
    assert page.evaluate("frameViewer.frames") == frames


def test_a_lost_context_comes_back(opened: Opened) -> None:
    page = opened.again()
    before = shades(page)
    page.evaluate("window.gone = frameViewer.gl.getExtension('WEBGL_lose_context'); "
                  "gone.loseContext()")  # fmt: skip
    until(page, "frameViewer.lost")
    page.evaluate("gone.restoreContext()")
    until(page, "!frameViewer.lost")
    assert (shades(page) != before).any(axis=2).mean() < 0.001


def test_room_is_shown_as_see_through_bodies(opened: Opened) -> None:
    page = opened.again()
    before = shades(page)
    page.locator("#room summary").click()
    boxes = page.locator("#bodies input")
    assert boxes.count() == 2  # one walking line, one tractor
    boxes.nth(1).check()
    with_tractor = shades(page)
    assert (with_tractor != before).any(axis=2).mean() > 0.01
    boxes.nth(1).uncheck()
    assert (shades(page) != before).any(axis=2).mean() < 0.001


def compared(page: Page, other: Frame) -> dict[str, int]:
    """The counts of a comparison of what the page shows with another frame."""
    scene = scene_of(other)
    return page.evaluate(
        "({glb, members}) => frameViewer.setSecondScene("
        "Uint8Array.from(atob(glb), (c) => c.charCodeAt(0)).buffer, members)",
        {"glb": base64.b64encode(scene.glb).decode(), "members": scene.members},
    )


def test_a_design_compared_with_itself_differs_nowhere(opened: Opened, frame: Frame) -> None:
    page = opened.again()
    assert compared(page, frame) == {"same": len(frame.members), "first": 0, "second": 0}
    grey = shades(page)
    assert share_of_hue(grey, role_colour(Role.TIE)) < 0.0001
    page.evaluate("frameViewer.setSecondScene(null)")
    assert share_of_hue(shades(page), role_colour(Role.TIE)) > 0.0005


def test_two_designs_differ_where_their_members_do(opened: Opened, frame: Frame) -> None:
    """A bay more: counted here by equality of parts and places in the frames themselves."""
    longer = example("long_meadow_gothic", bays={"count": BAYS + 1, "spacing": "4 ft"})
    other = lay_out(design_from_mapping(longer))

    def keys(of: Frame) -> Counter:
        return Counter(
            (m.role, m.part, tuple(np.round(m.placement.matrix(), 4).ravel())) for m in of.members
        )

    mine, theirs = keys(frame), keys(other)
    wanted = {
        "same": (mine & theirs).total(),
        "first": (mine - theirs).total(),
        "second": (theirs - mine).total(),
    }
    assert min(wanted.values()) > 20
    found = compared(opened.again(), other)
    # Places are compared to a millimetre and a thousandth: what noise of rounding may part.
    for name, count in wanted.items():
        assert abs(found[name] - count) <= 0.01 * len(frame.members), name
    assert found["same"] + found["first"] == len(frame.members)
    assert found["same"] + found["second"] == len(other.members)


def test_a_finding_picks_out_its_members(opened: Opened, tmp_path: Path) -> None:
    """Hoop pieces longer than the stock that can be bought (the limit of the design)."""
    spoilt = lay_out(
        design_from_mapping(
            walled(hoop={"tube": "48 x 2 mm", "pieces": 2}, practice={"hoop_stock": "3 m"})
        )
    )
    findings = check_frame(spoilt)
    (number, finding) = next((k, f) for k, f in enumerate(findings) if f.rule.name == "piece-stock")
    file = tmp_path / "spoilt.html"
    file.write_text(view_page(spoilt, findings, ()), encoding="utf-8")
    with another(opened, SMALL) as page:
        page.goto(file.as_uri())
        until(page, READY)
        page.locator(f"#found button[value='{number}']").click()
        mark = finding.where.split(",")[0]
        wanted = [k for k, m in enumerate(spoilt.members) if m.mark == mark]
        assert page.evaluate("frameViewer.selected()") == wanted
        assert told(page)["Mark"] == mark
        assert page.locator("#found button[aria-pressed=true]").count() == 1


def test_without_webgl_the_picture_is_shown(opened: Opened, path: Path) -> None:
    with another(opened, DESK) as page:
        page.add_init_script(
            "HTMLCanvasElement.prototype.getContext = function () { return null; }"
        )
        page.goto(path.as_uri())
        until(page, "document.getElementById('why').textContent.includes('WebGL 2')")
        assert page.locator("#picture svg").is_visible()
        assert not page.locator("#live").is_visible()
        assert not page.locator("#showing").is_visible()
        assert page.locator("#findings").is_visible()


def test_a_browser_that_cannot_unpack_says_so(opened: Opened, path: Path) -> None:
    with another(opened, DESK) as page:
        page.add_init_script("delete window.DecompressionStream")
        page.goto(path.as_uri())
        until(page, "document.getElementById('why').textContent.includes('too old')")
        assert page.locator("#picture svg").is_visible()


def test_without_script_the_picture_is_shown(opened: Opened, path: Path) -> None:
    with another(opened, PHONE, java_script_enabled=False) as page:
        page.goto(path.as_uri())
        assert page.locator("#picture svg").is_visible()
        assert "needs JavaScript" in page.locator("#why").inner_text()


def test_paper_gets_the_view_and_no_controls(opened: Opened) -> None:
    page = opened.again()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    try:
        assert page.locator("#picture img").is_visible()
        for hidden in ("#live", "#showing", "#cutting", "#help"):
            assert not page.locator(hidden).is_visible(), hidden
        assert page.locator("footer").is_visible()
    finally:
        page.emulate_media(media="screen")


def test_what_is_put_into_the_page_does_not_run(opened: Opened) -> None:
    page = opened.again()
    errors = len(opened.errors)
    page.evaluate("const s = document.createElement('script'); s.textContent = 'window.ran = 1'; "
                  "document.body.append(s)")  # fmt: skip
    assert page.evaluate("window.ran") is None
    # The browser says so on the console; that is this test's doing.
    page.wait_for_timeout(100)
    assert any("Content Security Policy" in line for line in opened.errors[errors:])
    del opened.errors[errors:]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_nobody_is_kept_out(opened: Opened, path: Path, size: tuple[int, int], scheme: str) -> None:
    """Rules of WCAG 2 at A and AA as axe-core judges them, with everything unfolded."""
    # The policy is set aside, or the judge itself could not run.
    with another(opened, size, color_scheme=scheme, bypass_csp=True) as page:
        page.goto(path.as_uri())
        until(page, READY)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        page.evaluate("frameViewer._tell.onPick(0)")
        assert violations(page) == []
        assert wider_than_window(page) == 0


def test_a_phone_turns_and_picks_by_touch(opened: Opened, path: Path, frame: Frame) -> None:
    with another(opened, PHONE, has_touch=True) as page:
        page.goto(path.as_uri())
        until(page, READY)
        touch = page.context.new_cdp_session(page)

        def send(kind: str, *points: tuple[float, float]) -> None:
            touch.send("Input.dispatchTouchEvent", {
                "type": kind,
                "touchPoints": [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(points)],
            })  # fmt: skip

        box = page.locator("#frame").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        before = page.evaluate("frameViewer.camera()")
        send("touchStart", (x, y))
        for step in range(1, 6):
            send("touchMove", (x + 12 * step, y))
        send("touchEnd")
        turned = page.evaluate("frameViewer.camera()")
        assert turned["azimuth"] != pytest.approx(before["azimuth"], abs=5)
        send("touchStart", (x - 30, y), (x + 30, y))
        for step in range(1, 6):
            send("touchMove", (x - 30 - 10 * step, y), (x + 30 + 10 * step, y))
        send("touchEnd")
        near = page.evaluate("frameViewer.camera()")
        # From 60 px apart to 160: so many times nearer.
        assert near["distance"] == pytest.approx(turned["distance"] * 60 / 160, rel=0.1)
        number = number_of(frame, Role.HOOP, 1, Side.LEFT)
        page.evaluate("(id) => frameViewer.fit([id])", number)
        settled(page)
        at = page.evaluate("(id) => frameViewer.project(frameViewer.anchor(id))", number)
        send("touchStart", (box["x"] + at[0], box["y"] + at[1]))
        send("touchEnd")
        until(page, "frameViewer.selected().length === 1")
        assert page.evaluate("frameViewer.selected()") == [number]
        assert re.search(frame.members[number].mark, page.locator("#about").inner_text())
