"""What each answer for boards on a slope costs, from the whole order of the frame with it."""

from __future__ import annotations

import functools

import pytest
from site_frames import laid_on

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.lay_out import lay_out
from frame3d.site.survey import site_of
from frame3d.site.write.board_words import answers_table
from frame3d.takeoff.quantities.cost import total_cost
from frame3d.takeoff.take_off import read_user_lists, take_off

PRICE = 10.0


@functools.cache
def ordered(boards: str):
    """The take-off with an answer on ground that falls by 1 %, and the table of answers."""
    level = lay_out(
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m"},
                "bays": {"count": 4, "spacing": "1.5 m"},
                "sill_board": {"timber": "47x200", "stock_length": "3 m"},
                "staking": {"boards": boards},
                "order": {"price_file": "prices.csv", "planning_time": 1.0},
            }
        )
    )
    frame, _ = laid_on(level, lambda x, y: -0.015 * y)
    text = f"item,length,price,per,pack,currency,note\n47x200,3 m,{PRICE},each,,,\n"
    lists = read_user_lists(frame, {"prices": GivenList(name="prices.csv", text=text)})
    return take_off(frame, lists), answers_table(site_of(frame))


def test_skirt_boards_cost_what_they_take_in_boards() -> None:
    """Only boards have a price: ten each, so that the difference is ten for each board more."""
    (level, table), (skirt, _) = ordered("level"), ordered("skirt")
    (more,) = [row["more"] for row in table.rows if row["boards"] == "skirt"]
    assert more and more > 0
    assert total_cost(skirt.cost) - total_cost(level.cost) == pytest.approx(PRICE * more)


def test_the_table_says_how_to_have_them_side_by_side() -> None:
    _, table = ordered("level")
    for name in ("follow", "skirt", "fill"):
        assert f"--try staking.boards={name}" in table.note
