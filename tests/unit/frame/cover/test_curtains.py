"""Curtains as members: where tube, clips, eyes and winder are."""

from __future__ import annotations

import itertools
import math

import pytest
from curtain_designs import BASE

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.fittings import CrankHandle
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.curtain_figures import curtains_of


@pytest.fixture(scope="module", params=["crank", "gear"])
def frame(request) -> Frame:
    end = {"crank": "front", "gear": "back"}[request.param]
    curtain = {"winder": request.param, "winder_end": end}
    return lay_out(design_from_mapping(BASE | {"curtain": curtain}))


def test_the_tube_runs_from_end_to_end_at_the_sill(frame: Frame) -> None:
    figures = curtains_of(frame)
    for side in (Side.LEFT, Side.RIGHT):
        pieces = [m for m in frame.of_kind(Tube, Role.CURTAIN_TUBE) if m.spot.side is side]
        low = min(m.placement.origin[1] for m in pieces)
        high = max(m.placement.origin[1] + m.part.length_mm for m in pieces)
        assert (low, high) == pytest.approx(figures.tube_span_mm)
        # On the face of the sill board: half the width, half a socket, and the board.
        face = frame.arch.width_mm / 2 + frame.design.socket.tube.od_mm / 2
        face += frame.design.sill_board.timber.thickness_mm
        radius = frame.design.curtain.tube.od_mm / 2
        for member in pieces:
            x, _, z = member.placement.origin
            assert abs(x) == pytest.approx(face + radius)
            sill = frame.design.sill_board
            assert z == pytest.approx(
                sill.bottom + sill.timber.depth_mm - frame.design.curtain.overlap
            )


def test_clips_hold_all_of_the_film(frame: Frame) -> None:
    low, high = curtains_of(frame).film_span_mm
    for side in (Side.LEFT, Side.RIGHT):
        places = sorted(
            m.placement.origin[1] for m in frame.of(Role.CURTAIN_CLIP) if m.spot.side is side
        )
        assert places[0] == pytest.approx(low) and places[-1] + 40 == pytest.approx(high)
        gaps = [b - a for a, b in itertools.pairwise(places)]
        assert max(gaps) <= frame.design.curtain.clip_spacing + 1e-6


def test_one_eye_for_each_bend_of_the_cords(frame: Frame) -> None:
    assert sum(1 for _ in frame.of(Role.CORD_EYE)) == 2 * len(curtains_of(frame).cord)


def test_the_winder_is_past_the_boards_at_its_end(frame: Frame) -> None:
    cranks = list(frame.of_kind(CrankHandle, Role.WINDER))
    assert len(cranks) == 2 and {m.spot.side for m in cranks} == {Side.LEFT, Side.RIGHT}
    front = frame.design.curtain.winder_end.value == "front"
    for crank in cranks:
        y, away = crank.placement.origin[1], crank.placement.z[1]
        over = frame.design.sill_board.overhang
        assert (y < -over and away == -1) if front else (y > frame.grid.length_mm + over)
    posts = list(frame.of_kind(Tube, Role.GUIDE_POST))
    assert len(posts) == (0 if front else 2)
    for post in posts:
        assert post.placement.origin[2] == pytest.approx(-frame.design.curtain.post_depth)


@pytest.mark.parametrize("box", [True, False])
def test_a_crank_is_the_sum_of_its_bodies(box: bool) -> None:
    """By hand: collar, cap, box, shaft, arm, and a grip of twelve sides."""
    part = CrankHandle(tube_od_mm=32.0, radius_mm=200.0, shaft_mm=500.0, box=box)
    collar = math.pi / 4 * (40**2 - 32**2) * 80
    cap = math.pi / 4 * 40**2 * 8
    shaft = math.pi / 4 * 16**2 * 560
    arm = 230 * 30 * 8
    grip = 12 / 2 * 13.5**2 * math.sin(math.tau / 12) * 120
    whole = collar + cap + shaft + arm + grip + (100**3 if box else 0)
    assert volume_mm3(part) == pytest.approx(whole, rel=1e-6)


def test_nothing_without_a_table() -> None:
    frame = lay_out(design_from_mapping(BASE))
    assert not any(m.source == "curtain" for m in frame.members)
