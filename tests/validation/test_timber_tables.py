"""Board sizes and masses against the American Softwood Lumber Standard, PS 20."""

import pytest

from frame3d.catalog import timber_section, timber_stock_lengths_mm

INCH, FOOT = 25.4, 304.8
LB_PER_FT_PER_KG_PER_M = 0.3048 / 0.45359237
KG_PER_M3_PER_LB_PER_FT3 = 0.45359237 / 0.3048**3

# PS 20, dry: nominal, actual inches, whole millimetres of the standard, and lb/ft at
# 35 lb/ft³ as tabulated for dimension lumber.
PS_20 = [
    ("2x4", 1.5, 3.5, (38, 89), 1.28),
    ("2x6", 1.5, 5.5, (38, 140), 2.00),
    ("2x8", 1.5, 7.25, (38, 184), 2.64),
    ("2x10", 1.5, 9.25, (38, 235), 3.37),
    ("2x12", 1.5, 11.25, (38, 286), 4.10),
]


@pytest.mark.parametrize(("name", "thickness_in", "depth_in", "whole_mm", "lb_per_ft"), PS_20)
def test_dimension_lumber(name, thickness_in, depth_in, whole_mm, lb_per_ft):
    board = timber_section(name)
    actual_mm = pytest.approx((thickness_in * INCH, depth_in * INCH), rel=1e-12)
    assert (board.thickness_mm, board.depth_mm) == actual_mm
    assert (round(board.thickness_mm), round(board.depth_mm)) == whole_mm
    kg_per_m = board.area_mm2 * 1e-6 * 35 * KG_PER_M3_PER_LB_PER_FT3
    # Half of the last decimal, and a little: 2x6 is 2.0052 by hand, printed as 2.00.
    assert kg_per_m * LB_PER_FT_PER_KG_PER_M == pytest.approx(lb_per_ft, abs=0.0053)
    # The default density is 35 lb/ft³ to the nearest 10 kg/m³.
    assert board.density_kg_per_m3 == pytest.approx(35 * KG_PER_M3_PER_LB_PER_FT3, abs=5)


def test_square_and_green_sizes():
    post = timber_section("4x4")
    assert post.thickness_mm == post.depth_mm == pytest.approx(3.5 * INCH, rel=1e-12)
    green = timber_section("2x6 green")
    assert (green.thickness_mm, green.depth_mm) == (25.4 * 25 / 16, 25.4 * 45 / 8)
    dry = timber_section("2x6")
    assert green.thickness_mm > dry.thickness_mm and green.depth_mm > dry.depth_mm


@pytest.mark.parametrize("name", ["1x4", "1x6", "1x8", "1x10", "1x12"])
def test_boards_have_the_depth_of_the_dimension_lumber(name):
    """PS 20: 3/4 in thick, depths as for 2 in nominal (thickness from memory)."""
    board = timber_section(name)
    assert board.thickness_mm == pytest.approx(0.75 * INCH, rel=1e-12)
    assert board.depth_mm == timber_section(name.replace("1x", "2x", 1)).depth_mm


@pytest.mark.parametrize("name", ["1x6", "2x4", "2x8", "2x12", "4x4", "6x6"])
def test_stock_lengths_go_by_two_feet(name):
    """PS 20: lengths in steps of 2 ft."""
    lengths = timber_stock_lengths_mm(name)
    assert [round(length / FOOT, 9) % 2 for length in lengths] == [0] * len(lengths)
    steps = [after - before for before, after in zip(lengths, lengths[1:], strict=False)]
    assert steps == pytest.approx([2 * FOOT] * len(steps))
