"""The plot in the pictures: places from the corner socket, by hand, in the axes of the frame."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.view.plot_scene import plot_scene

PLAIN = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 3, "spacing": "1.2 m"},
}
PLOT = {
    "boundary": [{"corner": f"{x} m by {y} m"} for x, y in ((-3, -3), (7, -3), (7, 9), (-3, 9))],
    "nearby": [{"name": "Barn", "side": "left", "distance": "2 m", "height": "5 m",
                "starts": "0 m", "length": "3 m", "depth": "4 m"},
               {"name": "Hedge", "side": "right", "distance": "1 m", "height": "2 m"}],
    "service": [{"name": "Water", "points": ["-1 m by -4 m", "1 m by 9 m"]}],
}  # fmt: skip


def test_each_thing_of_the_plot_is_where_and_as_high_as_the_design_says() -> None:
    frame = lay_out(design_from_mapping({**PLAIN, **PLOT}))
    boundary, barn, hedge, water = plot_scene(frame)
    # Socket 1L stands at -2000, 0.
    assert boundary["corners"] == [[-5000, -3000], [5000, -3000], [5000, 9000], [-5000, 9000]]
    assert boundary["closed"] and boundary["kind"] == "boundary"
    xs, ys = zip(*barn["corners"], strict=True)
    assert max(xs) - min(xs) == pytest.approx(4000) and max(ys) - min(ys) == pytest.approx(3000)
    assert max(xs) < -2000 - 2000 and barn["high"] == 5000 and barn["name"] == "Barn"
    assert len(hedge["corners"]) == 2 and not hedge["closed"] and hedge["high"] == 2000
    assert water["corners"] == [[-3000, -4000], [-1000, 9000]] and water["kind"] == "service"


def test_a_design_without_a_plot_has_nothing_to_draw() -> None:
    assert plot_scene(lay_out(design_from_mapping(PLAIN))) == []
