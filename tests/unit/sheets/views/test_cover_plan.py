"""The cover plan, the end walls' sheets and the curtain's section: sizes and marks on them."""

from __future__ import annotations

import math

import pytest
from curtain_designs import BASE
from some_sheets import sheets_by

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.frame.skin.channel_runs import outer_half
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.sheets.annotation.annotations import Chain, LengthCell, Mark, MarkRow, View
from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Layer, Stroke
from frame3d.sheets.sets.draw import _cover, _curtains, draw_sheets
from frame3d.sheets.views.cover_plan import cover_plan, tables
from frame3d.sheets.views.curtain_view import cord_lines, curtain_view
from frame3d.sheets.views.wall_cover import wall_covers

WALLS = {
    "end_wall": [{"at": "both", "timber": "47x100"}],
    "door": [{"kind": "hinged", "at": "front", "width": "1200 mm"}],
}


@pytest.fixture(scope="module")
def frame() -> Frame:
    cover = {"listed_as": "parts", "film_widths": ["4 m"], "wall_cover": "board"}
    return lay_out(design_from_mapping(BASE | WALLS | {"cover": cover, "curtain": {}}))


def sizes(view: View) -> list[float]:
    """Every single dimension of a view, mm."""
    return [
        math.dist(a, b)
        for one in view.annotations
        if isinstance(one, Chain)
        for a, b in zip(one.points, one.points[1:], strict=False)
    ]


def test_the_plan_has_the_developed_widths(frame: Frame) -> None:
    lines, told = cover_lines(frame), sizes(cover_plan(frame))
    for length in (lines.film_width_mm, lines.film_length_mm):
        assert any(size == pytest.approx(length) for size in told)


def test_channel_on_the_plan_is_as_long_as_its_runs(frame: Frame) -> None:
    """All heavy lines together: every run but those round doors."""
    drawn = math.fsum(
        math.dist(one.start, one.end)
        for one in cover_plan(frame).primitives
        if isinstance(one, Stroke) and one.layer is Layer.GROUND
    )
    runs = (run for run in cover_lines(frame).channel if run.door is None)
    assert drawn == pytest.approx(math.fsum(run.length_mm * run.count for run in runs), abs=0.01)


def test_every_piece_of_channel_stands_on_the_sheet(frame: Frame) -> None:
    marks = {group.mark for group in frame.parts_of_kind(Channel)}
    pieces, _ = tables(frame)
    assert {row[0] for row in pieces.rows} == marks
    for group in frame.parts_of_kind(Channel):
        row = next(row for row in pieces.rows if row[0] == group.mark)
        assert row[1] == LengthCell(group.part.over_all_mm) and row[2] == str(group.count)
    shown = set()
    for one in cover_plan(frame).annotations:
        texts = [one] if isinstance(one, Mark) else one.marks if isinstance(one, MarkRow) else []
        shown |= {mark.text for mark in texts}
    flat = {
        g.mark for g in frame.parts_of_kind(Channel) if abs(g.members[0].placement.x[1]) > 0.5
        or not g.part.axis.is_straight
    }  # fmt: skip
    assert shown == flat


def test_seams_lie_a_width_apart(frame: Frame) -> None:
    top = cover_lines(frame).film_width_mm / 2
    seams = sorted(
        {round(one.start[1], 3) for one in cover_plan(frame).primitives
         if isinstance(one, Stroke) and one.layer is Layer.HIDDEN}, reverse=True,
    )  # fmt: skip
    assert seams[:2] == pytest.approx([top - 3700, top - 4000], abs=1e-3)


def test_each_end_wall_has_its_sheets(frame: Frame) -> None:
    (front, (table,)), _ = wall_covers(frame)
    assert front.title.startswith("Front")
    assert math.fsum(int(row[1]) for row in table.rows) > 5


def test_the_hoop_of_a_wall_is_drawn_by_whole_lines_and_arcs(frame: Frame) -> None:
    """As long as the outer face of the hoop, in few pieces: short chords would show no dashes."""
    (front, _), _ = wall_covers(frame)
    hoop = [one for one in front.primitives if getattr(one, "layer", None) is Layer.HIDDEN]
    half = outer_half(frame.arch).path
    assert len(hoop) == 2 * len(half.segments)
    long = math.fsum(
        one.radius * (one.end_rad - one.start_rad)
        if isinstance(one, ArcStroke) else math.dist(one.start, one.end)
        for one in hoop
    )  # fmt: skip
    assert long == pytest.approx(2 * half.length_mm)
    arcs = [one for one in hoop if isinstance(one, ArcStroke)]
    ends = [
        (one.centre[0] + one.radius * math.cos(at), one.centre[1] + one.radius * math.sin(at))
        for one in arcs for at in (one.start_rad, one.end_rad)
    ]  # fmt: skip
    top = max(ends, key=lambda end: end[1])
    crown = outer_half(frame.arch).point_at(half.length_mm)
    assert top == pytest.approx((crown.x_mm, crown.z_mm))


def test_the_curtain_is_drawn_shut_and_open(frame: Frame) -> None:
    figures = curtains_of(frame)
    rounds = [one for one in curtain_view(frame).primitives if isinstance(one, CircleStroke)]
    radii = sorted(round(one.radius, 6) for one in rounds)
    tube = frame.design.curtain.tube
    assert radii == pytest.approx(sorted((
        tube.od_mm / 2, tube.od_mm / 2 - tube.wall_mm, figures.rolled_mm / 2
    )))  # fmt: skip
    (opened,) = [one for one in rounds if one.layer is Layer.HIDDEN]
    assert opened.centre[1] > figures.section.sill_top[1] + 500


def test_cords_are_as_long_as_they_are_told(frame: Frame) -> None:
    for side in (Side.LEFT, Side.RIGHT):
        rope = math.fsum(math.dist(a, b) for a, b in cord_lines(frame, side))
        assert rope == pytest.approx(curtains_of(frame).cord_mm - 1000)


def test_all_of_it_finds_its_place_on_paper(frame: Frame) -> None:
    drawn = sheets_by(frame, _cover, _curtains)
    titles = [sheet.title for sheet in drawn.sheets]
    assert "Cover plan" in titles and "Side opening with its curtain" in titles
    assert drawn.findings == ()


def test_figures_alone_bring_no_sheet() -> None:
    bare = lay_out(design_from_mapping(BASE))
    titles = [sheet.title for sheet in draw_sheets(bare).sheets]
    assert not any(word in title for title in titles for word in ("Cover plan", "curtain"))
