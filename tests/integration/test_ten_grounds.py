"""Ten grounds, and all that is told of them: one figure, one value, in every output.

Heights are closed forms, and what follows from them is worked out here by plain arithmetic; the
outputs are read back as texts, and nothing is asked of the program's own values.
"""

from __future__ import annotations

import csv
import html
import io
import json
import math
import random
import re
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from figures_shown import mm_of

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html
from frame3d.sheets.sets.draw import _socket_plan as add_socket_plan
from frame3d.sheets.sets.ground_sheets import add_survey
from frame3d.sheets.sets.numbered import builder_for, sheet_set_of
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.sheets.write.svg_write import svg_text
from frame3d.site.survey import site_of, surveyed
from frame3d.site.write.site_files import record_of, record_text, write_stakes
from frame3d.summary import summary_of
from frame3d.web.work.ground_answer import ground_answer

BAYS, BAY, WIDTH = 4, 1500.0, 6000.0
LENGTH = BAYS * BAY
EXPOSED, LOWER, SOCKET = 300.0, 240.0, 1000.0
Height = Callable[[float, float], float]
GROUNDS: dict[str, tuple[str, str, Height]] = {
    "level": ("level", "front left", lambda x, y: 0.0),
    "falls along": ("slope", "front left", lambda x, y: -0.02 * y),
    "rises along": ("slope", "back left", lambda x, y: 0.015 * y),
    "falls along under a level string": ("level", "front right", lambda x, y: -0.02 * y),
    "falls across over rock": ("level", "front left", lambda x, y: -0.01 * x),
    "falls both ways": ("slope", "back right", lambda x, y: -0.008 * x - 0.02 * y),
    "saddle": ("level", "front left",
               lambda x, y: 4e-6 * (x - WIDTH / 2) * (y - LENGTH / 2)),
    "random": ("slope", "front left",
               lambda x, y: random.Random(f"{x:.0f} {y:.0f}").uniform(-60.0, 60.0)),
    "ditch along": ("level", "front right", lambda x, y: 0.02 * abs(x - WIDTH / 2)),
    "steep": ("level", "front left", lambda x, y: -0.12 * y),
}  # fmt: skip
"""How the string runs, where staking begins, and heights over a place from the front left, mm."""
ROCK_MM = 450.0
"""How deep the rock lies under the ground that is named for it."""
ROUND_MM = 0.51
"""Texts are in whole millimetres."""


def places() -> dict[str, tuple[float, float]]:
    """Sockets by name, from the front left."""
    return {f"{n + 1}{side}": (x, n * BAY)
            for n in range(BAYS + 1) for side, x in (("L", 0.0), ("R", WIDTH))}  # fmt: skip


def frame_on(name: str) -> Frame:
    string, corner, height = GROUNDS[name]
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric", "sheet_size": "A3"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": BAYS, "spacing": "1.5 m"},
        "socket": {"length": "1000 mm", "exposed": "300 mm", "lower_hole": "240 mm"},
        "staking": {"string": string, "corner": corner, "levels": "levels.csv"},
        "tolerances": {"top_height": "7 mm", "diagonals": "13 mm"},
    }))  # fmt: skip
    rock = f",{ROCK_MM} mm" if "rock" in name else ""
    rows = "".join(f"{at},{height(*place)!r} mm{rock}\n" for at, place in places().items())
    heads = "point,z,rock" if rock else "point,z"
    return surveyed(frame, {"levels": GivenList(name="levels.csv", text=f"{heads}\n{rows}")})


def texts_of(path: Path) -> set[str]:
    """Every text of a DXF file, as a reader of its own takes them."""
    file = ezdxf.readfile(path)
    found: set[str] = set()
    for layout in file.layouts:
        for entity in layout:
            if entity.dxftype() == "INSERT":
                inside = file.blocks[entity.dxf.name].query("TEXT")
                found.update(one.dxf.text for one in (*entity.attribs, *inside))
            elif entity.dxftype() == "TEXT":
                found.add(entity.dxf.text)
            elif entity.dxftype() == "MTEXT":
                found.add(entity.plain_text())
    return found


class Told:
    """The outputs of one ground as texts."""

    def __init__(self, name: str, folder: Path) -> None:
        self.height = GROUNDS[name][2]
        self.frame = frame_on(name)
        site = site_of(self.frame)
        self.record = json.loads(record_text(record_of(site)))
        write_stakes(self.frame, folder / "stakes.csv")
        self.stakes = {
            row["point"]: {key.partition(",")[0]: value for key, value in row.items()}
            for row in csv.DictReader(io.StringIO((folder / "stakes.csv").read_text("utf-8")))
        }
        page = page_html(guide_of(self.frame, drawn=False))
        self.guide = html.unescape(re.sub(r"<[^>]+>", " ", page)).replace("\xa0", " ")
        builder = builder_for(self.frame)  # no more of the set than the ground is told on
        add_socket_plan(builder)
        add_survey(builder)
        sheets = sheet_set_of(builder)
        drawn = {sheet.title: svg_text(sheets, [sheet.number]) for sheet in sheets.sheets}
        self.sheets = {
            title: [html.unescape(text) for text in re.findall(r">([^<>]+)</text>", svg)]
            for title, svg in drawn.items()
        }
        self.summary = summary_of(self.frame)
        write_dxf(sheets, folder / "sheets.dxf")
        self.dxf = texts_of(folder / "sheets.dxf")
        self.name = name

    def plan_words(self, title: str) -> str:
        return " ".join(self.sheets[title])


@pytest.fixture(scope="module", params=GROUNDS)
def told(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Told:
    return Told(request.param, tmp_path_factory.mktemp("ground"))


def marks_of(told: Told) -> dict[str, float]:
    return {row["socket"]: row["mark_mm"] for row in told.record["tables"]["drive"]}


def test_one_driving_mark_everywhere(told: Told) -> None:
    marks = marks_of(told)
    assert marks.keys() == places().keys()
    plan, guide = told.plan_words("Socket plan"), told.guide
    tables = told.plan_words("Driving, left side") + told.plan_words("Driving, right side")
    for name, mark in marks.items():
        assert float(told.stakes[name]["top to driving mark"]) == pytest.approx(mark, abs=0.01)
        for text in (plan, guide):
            found = re.search(rf"\b{name} (\d+)( mm)?\b", text)
            assert found, (name, text)
            assert float(found[1]) == pytest.approx(mark, abs=ROUND_MM)
        assert name in tables and f"{mark:.0f}" in tables


def test_marks_follow_from_the_heights_alone(told: Told) -> None:
    """A top is the height of the string; the mark is from there to the ground, dug or not."""
    rows = {row["socket"]: row for row in told.record["tables"]["drive"]}
    slope = (told.record["ground"]["string_slope_percent"] or 0.0) / 100
    corner = told.frame.design.staking.corner.value
    for name, (x, y) in places().items():
        row = rows[name]
        # On a slope a tape along the string brings the far places nearer, seen from above.
        run = y if "front" in corner else LENGTH - y
        level = run * math.cos(math.atan(slope))
        ground = told.height(x, level if "front" in corner else LENGTH - level)
        top = told.record["ground"]["string_start_mm"] + slope * level
        assert row["ground_mm"] == pytest.approx(ground, abs=0.5)
        assert row["top_mm"] == pytest.approx(top, abs=0.01)
        assert row["hole_mm"] == pytest.approx(row["top_mm"] - row["ground_mm"] - LOWER, abs=0.001)
        assert row["mark_mm"] == pytest.approx(top - ground + row["dig_mm"], abs=0.5)
        assert row["mark_mm"] + row["embedded_mm"] == pytest.approx(SOCKET)
        assert row["hole_mm"] + row["dig_mm"] >= 25.0 - 0.1  # [staking] hole_clear


def test_one_statement_of_the_ground(told: Told) -> None:
    text = told.record["ground"]["text"]
    assert text.startswith("On the ground of levels.csv (10 points): ")
    assert told.summary["ground"] == told.record["ground"]
    assert text in re.sub(r"\s+", " ", told.guide)
    assert text in told.plan_words("Socket plan")
    height = re.search(r"the string at (\S+) is ([\d ]+ mm) (above|below) the levels' zero", text)
    assert height and height[1] == site_of(told.frame).setting_out.axes.name
    start = told.record["ground"]["string_start_mm"]
    assert mm_of(height[2]) == pytest.approx(abs(start), abs=ROUND_MM)
    assert (height[3] == "below") is (start < -0.5)


def test_digging_and_filling_stand_on_plan_guide_list_and_among_findings(told: Told) -> None:
    rows = told.record["tables"]["drive"]
    dug = {row["socket"]: row["dig_mm"] for row in rows if row["dig_mm"]}
    filled = {row["socket"]: row["fill_mm"] for row in rows if row["fill_mm"]}
    plan = told.plan_words("Socket plan")
    for word, sizes in (("dig", dug), ("fill", filled)):
        assert set(re.findall(rf"(\d+[LR]) \d+(?: mm)?[^LR]*? {word} ", plan)) == set(sizes)
        for name, size in sizes.items():
            assert float(told.stakes[name][word]) == pytest.approx(size, abs=0.01)
            assert re.search(rf"Socket {name}: .*{size:.0f} mm", told.guide)
    found = {finding.rule.name for finding in check_frame(told.frame)}
    assert ("hole-under" in found) is bool(dug)
    assert bool(found & {"socket-short", "string-unmet"}) is bool(filled)


def test_the_guide_keeps_to_staking_and_tolerances(told: Told) -> None:
    corner = told.frame.design.staking.corner.value
    assert f"Begin at the {corner} corner, socket {site_of(told.frame).setting_out.axes.name}" in (
        re.sub(r"\s+", " ", told.guide)
    )
    assert "off the string: no more than 7 mm" in re.sub(r"\s+", " ", told.guide)
    assert "off level: no more than 14 mm" in re.sub(r"\s+", " ", told.guide)
    assert told.guide.count("the two within 13 mm of each other") == 2


def test_the_drawing_file_has_the_marks_too(told: Told) -> None:
    said = "\n".join(told.dxf)
    for name, mark in marks_of(told).items():
        found = re.search(rf"^{name} (\d+)(?: mm)?\b", said, re.MULTILINE)
        assert found, name
        assert float(found[1]) == pytest.approx(mark, abs=ROUND_MM)


def test_pictures_stand_sockets_on_the_same_ground(told: Told) -> None:
    """What view.html and the page draw and name beside the sockets."""
    scene, rows = ground_answer(told.frame)["scene"], told.record["tables"]["drive"]
    drawn = {one["name"]: one for one in scene["sockets"]}
    assert drawn.keys() == {row["socket"] for row in rows}
    least, most = scene["limits"]
    for row in rows:
        one = drawn[row["socket"]]
        assert one["out"] == pytest.approx(row["top_mm"] - row["ground_mm"], abs=0.02)
        assert max(0.0, least - one["out"]) == pytest.approx(row["dig_mm"], abs=0.02)
        assert max(0.0, one["out"] - most) == pytest.approx(row["fill_mm"], abs=0.02)


def test_earth_is_one_volume_on_list_sheet_and_page(told: Told) -> None:
    """The list's; on the sheet to two decimals; the page sums it anew over its pieces, net."""
    pads = told.record["tables"]["earthwork"]
    sheet = told.plan_words("Earthwork and water")
    for pad in pads:
        for volume in (pad["cut_m3"], pad["fill_m3"]):
            assert re.search(rf"\b{volume:.2f}\b", sheet) or volume == 0.0
    pieces = ground_answer(told.frame)["earth"]
    net = sum(area * sum(heights) / 3000 for area, *heights in pieces)
    assert net == pytest.approx(pads[0]["cut_m3"] - pads[0]["fill_m3"], abs=0.002)


def test_rock_is_drilled_to_one_depth_in_every_list(told: Told) -> None:
    """What is embedded reaches below 450 of earth: the rest is drilled, everywhere alike."""
    for row in told.record["tables"]["drive"]:
        if "rock" not in told.name:
            assert row["drill_mm"] is None
            continue
        # The socket stands upright here: no lean, so that lengths are heights.
        lower = SOCKET - (row["top_mm"] - row["ground_mm"])
        assert row["drill_mm"] == pytest.approx(max(0.0, lower - ROCK_MM), abs=0.5)
        if row["drill_mm"]:
            size = f"{row['drill_mm']:.0f}"
            assert re.search(rf"Socket {row['socket']}: .*\b{size} mm", told.guide)


def test_on_level_ground_the_rise_is_told_that_it_is_good_for() -> None:
    """300 out of the ground, the hole 240 down and 25 to stay clear: 300 - 240 - 25 = 35 mm."""
    string = frame_on("level")
    frame = surveyed(lay_out(string.design), {})
    record = record_of(site_of(frame))
    assert record["ground"]["greatest_rise_mm"] == pytest.approx(35.0)
    assert "rises no more than 35 mm above" in str(record["ground"]["text"])
    text = page_html(guide_of(frame, drawn=False)).replace("\xa0", " ")
    assert "rises no more than 35 mm above" in text
