"""Film, channel and curtains where sill boards go up and down with the ground."""

from __future__ import annotations

import functools

import pytest
from site_frames import laid_on

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.space.envelopes import reach_of


@functools.cache
def frames(opening: bool):
    """A frame as on level ground, and with boards that follow 2 % along a level string."""
    given = {
        "output": {"units": "metric"},
        "profile": {
            "style": "quonset", "width": "5 m", "ridge_height": "3 m", "leg_height": "1.2 m",
        },
        "bays": {"count": 6, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "sill_board": {"timber": "47x200", "stock_length": "3 m"},
        "cover": {"listed_as": "parts"},
        "staking": {"boards": "follow"},
    }  # fmt: skip
    if opening:
        given |= {"side_opening": {"height": "1.2 m"}, "curtain": {}}
    level = lay_out(design_from_mapping(given))
    return level, laid_on(level, lambda x, y: -0.02 * y)[0]


def _tops(frame):
    return [reach_of(member, (0.0, 0.0, 1.0)) for member in frame.of(Role.SILL_BOARD)]


def test_a_curtain_reaches_the_lowest_board() -> None:
    level, followed = frames(True)
    lowered = max(_tops(level)) - min(_tops(followed))
    assert lowered > 10.0
    before, after = curtains_of(level), curtains_of(followed)
    # The taut curtain is straight there and the legs are plumb, so it is longer by just that.
    assert after.hangs_mm - before.hangs_mm == pytest.approx(lowered, abs=0.01)
    assert after.section.shut[1] == pytest.approx(before.section.shut[1] - lowered, abs=0.01)
    assert bought_cover(followed) != bought_cover(level)


def test_film_in_one_sheet_reaches_the_lowest_board_and_channel_stays_straight_in_all() -> None:
    level, followed = frames(False)
    lowered = max(_tops(level)) - min(_tops(followed))
    wider = cover_lines(followed).film_width_mm - cover_lines(level).film_width_mm
    assert wider == pytest.approx(2 * lowered, abs=0.01)
    along = [m for m in followed.of(Role.CHANNEL) if abs(m.placement.x[1]) > 0.9]
    low = [m for m in along if reach_of(m, (0.0, 0.0, 1.0)) is None]
    heights = {round(m.placement.origin[2], 3) for m in (low or along)}
    assert len(heights) == 1
    (height,) = heights
    half = followed.design.cover.channel_width / 2
    for board in followed.of(Role.SILL_BOARD):
        top, bottom = (sign * reach_of(board, (0.0, 0.0, sign)) for sign in (1.0, -1.0))
        assert bottom + half - 0.01 <= height <= top - half + 0.01


@pytest.mark.parametrize("opening", [True, False])
def test_nothing_of_the_cover_clashes_with_boards_that_step(opening: bool) -> None:
    found = check_frame(frames(opening)[1])
    assert [f.rule.name for f in found if f.severity is Severity.ERROR] == []
