"""The line of the ground in elevations, and what of a line lies under it."""

from __future__ import annotations

import pytest

from frame3d.sheets.primitives.primitives import Layer, Stroke
from frame3d.sheets.projection.ground_line import ground_line, sink

SLOPE = ((0.0, 0.0), (1000.0, 100.0), (2000.0, -100.0))


def parts(line: Stroke, ground=SLOPE):
    return [(part.start, part.end, part.layer) for part in sink([line], ground)]


def test_an_upright_is_hidden_below_the_ground_where_it_stands() -> None:
    found = parts(Stroke(start=(500.0, -200.0), end=(500.0, 300.0)))
    assert [(a, b) for a, b, _ in found] == [
        (pytest.approx((500.0, -200.0)), pytest.approx((500.0, 50.0))),
        (pytest.approx((500.0, 50.0)), pytest.approx((500.0, 300.0))),
    ]
    assert [layer for *_, layer in found] == [Layer.HIDDEN, Layer.OUTLINE]


def test_a_level_line_dips_under_a_ridge_of_the_ground() -> None:
    """At 60 mm: under the ground from 600 mm, where it rises to that, to 1200 mm (by hand)."""
    found = parts(Stroke(start=(0.0, 60.0), end=(2000.0, 60.0)))
    assert [round(a[0], 6) for a, *_ in found] == [0.0, 600.0, 1200.0]
    assert [layer for *_, layer in found] == [Layer.OUTLINE, Layer.HIDDEN, Layer.OUTLINE]


def test_level_ground_hides_what_is_below_zero_and_nothing_at_it() -> None:
    at_it = Stroke(start=(0.0, 0.0), end=(10.0, 0.0))
    assert sink([at_it]) == [at_it]
    below = Stroke(start=(0.0, -5.0), end=(0.0, -1.0))
    assert [part.layer for part in sink([below])] == [Layer.HIDDEN]
    fine = Stroke(start=(0.0, -5.0), end=(0.0, -1.0), layer=Layer.FINE)
    assert sink([fine]) == [fine]


def test_the_line_goes_through_every_bend() -> None:
    line, soil = ground_line(-500.0, 2500.0, SLOPE)
    assert [part.start for part in line] == [(-500.0, 0.0), (0.0, 0.0), (1000.0, 100.0),
                                             (2000.0, -100.0)]  # fmt: skip
    assert line[-1].end == (2500.0, -100.0)
    assert len(soil) == 8
    flat, _ = ground_line(0.0, 10.0)
    assert [(part.start, part.end) for part in flat] == [((0.0, 0.0), (10.0, 0.0))]
