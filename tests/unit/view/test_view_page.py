"""view.html as text: its policy, what it holds, and that nothing in it can break out."""

from __future__ import annotations

import base64
import hashlib
import html
import html.parser
import json
import re
import zlib

import pytest
from walled_designs import example, walled

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.space.headroom import headroom_of
from frame3d.summary import main_figures
from frame3d.view.clear_bodies import bodies_of
from frame3d.view.scene_file import scene_of
from frame3d.view.view_page import policy, view_page

NAME = "</script><b onclick=alert(1)>&\"'"
_AIM_CODE = 84_000
"""Bytes of viewer and page without what is shown, at most: 71,000 was the aim of the design, before
the legend, the person and the compass, and a wheel that finds the surface."""


class Reader(html.parser.HTMLParser):
    """What stands in which element, and every attribute that could fetch or run something."""

    def __init__(self) -> None:
        super().__init__()
        self.blocks: dict[str, str] = {}
        self.loose: list[tuple[str, str, str]] = []
        self.policy = ""
        self._in = ""

    def handle_starttag(self, tag: str, attrs: list) -> None:
        about = dict(attrs)
        self._in = about.get("id") or about.get("type") or tag if tag in ("script", "style") else ""
        if about.get("http-equiv") == "Content-Security-Policy":
            self.policy = about["content"]
        for name, value in attrs:
            if name in ("src", "href", "style", "action") or name.startswith("on"):
                self.loose.append((tag, name, value))

    def handle_data(self, data: str) -> None:
        if self._in:
            self.blocks[self._in] = self.blocks.get(self._in, "") + data

    def handle_endtag(self, tag: str) -> None:
        self._in = ""


def page_of(frame: Frame) -> str:
    return view_page(frame, check_frame(frame), main_figures(frame))


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    return reader


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping(walled(project={"name": NAME})))


@pytest.fixture(scope="module")
def text(frame: Frame) -> str:
    return page_of(frame)


def test_only_its_own_script_and_style_may_run(text: str) -> None:
    """By the hashes of CSP level 2: base64 of SHA-256 of what stands between the tags."""
    found = read(text)

    def digest(part: str) -> str:
        return base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()

    rules = dict(rule.split(" ", 1) for rule in found.policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == f"'sha256-{digest(found.blocks['module'])}'"
    assert rules["style-src"] == f"'sha256-{digest(found.blocks['style'])}'"
    assert found.policy == policy(found.blocks["module"], found.blocks["style"])


def test_nothing_in_it_points_elsewhere(text: str) -> None:
    assert read(text).loose == []
    # The name of SVG is no address that is fetched.
    addresses = set(re.findall(r"https?://[^\s\"'<>)]+", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}


def test_names_of_the_user_stay_text(text: str) -> None:
    assert NAME not in text
    assert text.count("&lt;/script&gt;&lt;b onclick=alert(1)&gt;") == 2  # title and heading
    assert text.count("</script>") == 3


def test_it_holds_the_scene(text: str, frame: Frame) -> None:
    blocks, scene = read(text).blocks, scene_of(frame)
    assert zlib.decompress(base64.b64decode(blocks["scene"])) == scene.glb
    data = json.loads(zlib.decompress(base64.b64decode(blocks["data"])))
    assert data["members"] == json.loads(json.dumps(scene.members))
    assert data["bodies"] == bodies_of(frame)


def test_cautions_and_findings_are_in_the_text_itself(frame: Frame, text: str) -> None:
    """Without script they are there too."""
    for caution in CAUTIONS:
        assert f"<li>{html.escape(caution)}</li>" in text
    for finding in check_frame(frame):
        assert finding.rule.name in text


def test_code_is_small(text: str) -> None:
    found = read(text)
    shown = sum(len(found.blocks[name]) for name in ("scene", "data"))
    picture = len(text[text.index("<svg") : text.index("</svg>")])
    findings = len(text[text.index('<ul id="found">') : text.index("</ul>")])
    assert len(text) - shown - picture - findings < _AIM_CODE


def test_the_same_frame_gives_the_same_page(frame: Frame, text: str) -> None:
    assert page_of(frame) == text


def test_every_key_of_a_template_is_filled(text: str) -> None:
    assert not re.search(r"\{\{[A-Z_]+\}\}", text)


def test_bodies_are_what_the_design_asks_for() -> None:
    """A strip as wide and high as the design says, and a machine's own outline."""
    frame = lay_out(design_from_mapping(example("long_meadow_gothic")))
    walk, tractor = bodies_of(frame)
    clearance, machine = frame.design.clearance, frame.design.machine[0]
    xs, zs = zip(*walk["outline"], strict=True)
    assert (max(xs) - min(xs), max(zs)) == (clearance.walking_width, clearance.head_height)
    assert walk["fits"] is (
        headroom_of(frame).over(0.0, width_mm=clearance.walking_width).height_mm
        >= clearance.head_height
    )
    shift = tractor["outline"][0][0] - machine.outline[0][0]
    assert [[x - shift, z] for x, z in tractor["outline"]] == [
        pytest.approx(corner) for corner in machine.outline
    ]
    assert (tractor["from_mm"], tractor["to_mm"]) == (0.0, frame.grid.length_mm)


def test_a_machine_that_is_too_high_does_not_fit() -> None:
    machine = {"name": "Crane", "width": "1 m", "height": "3 m", "passes": "none"}
    frame = lay_out(design_from_mapping(walled(machine=[machine])))
    assert [body["fits"] for body in bodies_of(frame) if body["kind"] == "machine"] == [False]
