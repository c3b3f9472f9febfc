"""Drawings of the guide: labels lie apart, breaks leave out what they say, near hides far."""

from __future__ import annotations

import functools
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from walled_designs import DESIGNS, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.guide.pictures.canvas import LARGE, LETTER, Canvas, _toward
from frame3d.guide.pictures.overview import Break, break_of, corner_projection
from frame3d.guide.pictures.pictures import Pictures
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import Picture
from frame3d.guide.steps.steps import steps_of

SVG = "{http://www.w3.org/2000/svg}"
NAMES = ("tiny", "clamped tubes, sliding and roll-up", "120 m long, roll-up doors")


@functools.cache
def drawn(name: str) -> tuple[Frame, dict[int, tuple[Picture, ...]]]:
    frame = lay_out(design_from_mapping(DESIGNS[name]))
    steps = steps_of(frame)
    pictures = Pictures(frame, steps)
    return frame, {step.number: pictures.of(step) for step in steps}


def labels(picture: Picture) -> list[tuple[str, float, float, bool]]:
    root = ElementTree.fromstring(picture.svg)
    return [
        (text.text or "", float(text.get("x")), float(text.get("y")), text.get("transform") is None)
        for text in root.iter(f"{SVG}text")
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_step_has_a_drawing_and_it_lies_in_its_frame(name: str) -> None:
    _, pictures = drawn(name)
    for found in pictures.values():
        assert found
        for picture in found:
            root = ElementTree.fromstring(picture.svg)
            left, top, width, height = map(float, root.get("viewBox").split())
            assert (width, height) == pytest.approx((picture.width, picture.height), abs=0.11)
            for path in root.iter(f"{SVG}path"):
                for x, y in points(path.get("d")):
                    assert left - 1 <= x <= left + width + 1
                    assert top - 1 <= y <= top + height + 1


def points(path: str) -> list[tuple[float, float]]:
    """Corners of a path of M, l and z."""
    found, here = [], (0.0, 0.0)
    for kind, x, y in re.findall(r"([Ml])(-?[\d.]+) (-?[\d.]+)", path):
        step = (float(x), float(y))
        here = step if kind == "M" else (here[0] + step[0], here[1] + step[1])
        found.append(here)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_labels_lie_apart(name: str) -> None:
    _, pictures = drawn(name)
    seen = 0
    for found in pictures.values():
        for picture in found:
            level = [(t, x, y) for t, x, y, upright in labels(picture) if upright]
            seen += len(level)
            for index, (text, x, y) in enumerate(level):
                for other, u, v in level[index + 1 :]:
                    # Half the width of both in DejaVu Sans is at least 0.25 of their letters.
                    size = LETTER if picture.width < 400 else LARGE
                    apart = abs(y - v) >= 0.75 * size or abs(x - u) >= 0.25 * size * (
                        len(text) + len(other)
                    )
                    assert apart, (picture.caption, text, other)
    assert seen > 20


def test_marks_of_a_step_are_on_its_drawing() -> None:
    frame, pictures = drawn("tiny")
    for step in steps_of(frame):
        if step.phase in (Phase.PREPARE, Phase.INSPECT, Phase.CHANNEL, Phase.COVER):
            continue
        shown = {text for picture in pictures[step.number] for text, *_ in labels(picture)}
        assert {member.mark for member in step.members} <= shown, step.phase


def test_a_long_frame_is_broken_and_says_so() -> None:
    frame, pictures = drawn("120 m long, roll-up doors")
    cut = break_of(frame)
    # 80 bays: 14 and a half stay in front, 10 and a half at the back.
    assert cut.bays == (16, 69)
    assert cut.low_mm == pytest.approx(14.5 * 1500)
    assert cut.high_mm == pytest.approx(69.5 * 1500)
    raising = next(step for step in steps_of(frame) if step.phase is Phase.RAISE)
    assert "Bays 16 to 69 are the same and not shown." in pictures[raising.number][0].caption
    assert break_of(drawn("tiny")[0]) == Break()


def test_a_line_across_the_break_is_cut_at_it() -> None:
    cut = Break(low_mm=100.0, high_mm=400.0, shift_mm=250.0, bays=(2, 3))
    first, second = cut.pieces(np.array([[0.0, 0.0, 0.0], [0.0, 500.0, 50.0]]))
    assert first.tolist() == [[0, 0, 0], [0, 100, 10]]
    assert second.tolist() == [[0, 150, 40], [0, 250, 50]]
    assert cut.pieces(np.array([[0.0, 200.0, 0.0], [0.0, 300.0, 0.0]])) == []


def test_the_eye_stands_before_the_front_and_above() -> None:
    toward = corner_projection().toward
    assert toward[0] > 0
    assert toward[1] < 0
    assert toward[2] > 0
    assert math.hypot(*toward) == pytest.approx(1.0)


def test_what_is_new_is_painted_over_what_is_old() -> None:
    frame = lay_out(design_from_mapping(walled()))
    steps = steps_of(frame)
    rail = next(step for step in steps if step.phase is Phase.RIDGE)
    svg = Pictures(frame, steps).of(rail)[0].svg
    assert svg.index('stroke="#9aa3ab"') < svg.index('stroke="#0b4f8a"')
    assert svg.rindex('stroke="#9aa3ab" stroke-width="0.9"') < svg.index('stroke="#0b4f8a"')


def test_a_label_keeps_off_the_ink() -> None:
    canvas = Canvas(width=200.0, tallest=200.0, letter=LETTER)
    canvas.area([(0, 0), (100, 0), (100, 40), (0, 40)], "#fff", "#000")
    canvas.mark("A1", (50.0, 40.0))
    canvas.mark("A2", (52.0, 40.0))
    (one, x, y, _), (two, u, v, _) = labels(canvas.picture("A box."))
    assert (one, two) == ("A1", "A2")
    assert math.dist((x, y), (u, v)) > LETTER


@pytest.mark.parametrize("at", [(40.0, 0.0), (-40.0, 3.0), (5.0, 30.0), (-8.0, -30.0), (2.0, 1.0)])
def test_a_leader_leaves_its_label_on_the_side_of_what_it_names(at: tuple[float, float]) -> None:
    """A label of 20 by 6 about the origin, with a margin of 1: the leader begins on its edge."""
    u, v = _toward((0.0, 0.0), at, 20.0, 6.0)
    assert u * at[1] == pytest.approx(v * at[0])  # on the way there
    assert u * at[0] + v * at[1] > 0
    inside = abs(at[0]) <= 11 and abs(at[1]) <= 4
    if inside:
        assert (u, v) == pytest.approx(at)
    else:
        assert max(abs(u) / 11, abs(v) / 4) == pytest.approx(1.0)
