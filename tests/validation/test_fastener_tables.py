"""Bolts, nuts, washers and lag screws against ASME B18, ISO and DIN tables.

Where a size is from memory on both sides, the comment says so.
"""

from fractions import Fraction

import pytest

from frame3d.catalog import (
    bolt_size,
    choose_bolt_length,
    grip_to_length,
    lag_screw,
    nut_size,
    thread_length_mm,
    washer_size,
)
from frame3d.catalog.sections import Head

INCH = 25.4


def inches(text: str) -> float:
    """Return ``1-1/4`` and the like, in mm, without help from the package."""
    return float(sum(Fraction(part) for part in text.split("-")) * Fraction(254, 10))


# ASME B18.2.1 hex bolts and B18.2.2 hex nuts: flats, head, thread to 6 in, nut height;
# normal clearance hole of ASME B18.2.8 (from memory).
@pytest.mark.parametrize(
    ("name", "flats", "head", "thread", "nut", "hole"),
    [
        ("1/4-20", "7/16", "11/64", "3/4", "7/32", "9/32"),
        ("5/16-18", "1/2", "7/32", "7/8", "17/64", "11/32"),
        ("3/8-16", "9/16", "1/4", "1", "21/64", "13/32"),
        ("1/2-13", "3/4", "11/32", "1-1/4", "7/16", "9/16"),
    ],
)
def test_inch_hex_bolts(name, flats, head, thread, nut, hole):
    bolt = bolt_size(name)
    assert bolt.flats_mm == inches(flats) == nut_size(name).flats_mm
    assert bolt.head_height_mm == inches(head)
    assert bolt.thread_mm == inches(thread)
    assert nut_size(name).height_mm == inches(nut)
    assert bolt.hole_mm == inches(hole)


@pytest.mark.parametrize("name", ["1/4-20", "5/16-18", "3/8-16", "7/16-14", "1/2-13", "5/8-11"])
def test_inch_thread_names_say_diameter_and_pitch(name):
    """The name is diameter and threads per inch (ASME B1.1); thread is 2 d + 1/4 in."""
    diameter, per_inch = name.split("-")
    for head in Head:
        bolt = bolt_size(name, head)
        assert bolt.diameter_mm == inches(diameter)
        assert bolt.pitch_mm == pytest.approx(INCH / int(per_inch), rel=1e-12)
        assert bolt.thread_mm == pytest.approx(2 * bolt.diameter_mm + INCH / 4, rel=1e-12)


# ISO 4014 bolts and ISO 4032 nuts: flats, head, nut; ISO 273 medium hole.
@pytest.mark.parametrize(
    ("name", "flats", "head", "nut", "hole"),
    [("M8", 13, 5.3, 6.8, 9), ("M10", 16, 6.4, 8.4, 11), ("M12", 18, 7.5, 10.8, 13.5)],
)
def test_metric_hex_bolts(name, flats, head, nut, hole):
    bolt = bolt_size(name)
    assert bolt.flats_mm == nut_size(name).flats_mm == flats
    assert bolt.head_height_mm == head
    assert nut_size(name).height_mm == nut
    assert bolt.hole_mm == hole == bolt_size(name, Head.CARRIAGE).hole_mm


@pytest.mark.parametrize("name", ["M6", "M8", "M10", "M12", "M16"])
def test_metric_thread_length_is_two_diameters_and_six(name):
    """ISO 4014 and DIN 603: b = 2 d + 6 mm up to 125 mm, 2 d + 12 mm up to 200 mm."""
    for head in Head:
        bolt = bolt_size(name, head)
        assert bolt.diameter_mm == int(name[1:])
        assert bolt.thread_mm == 2 * bolt.diameter_mm + 6
        assert thread_length_mm(bolt, 120) == 2 * bolt.diameter_mm + 6
        assert thread_length_mm(bolt, 130) == 2 * bolt.diameter_mm + 12


# ASME B18.5, round head square neck: largest head diameter and height, inches.
@pytest.mark.parametrize(
    ("name", "across", "height"),
    [
        ("1/4-20", 0.594, 0.145),
        ("5/16-18", 0.719, 0.176),
        ("3/8-16", 0.844, 0.208),
        ("7/16-14", 0.969, 0.239),
        ("1/2-13", 1.094, 0.270),
        ("5/8-11", 1.344, 0.344),
    ],
)
def test_inch_carriage_bolts(name, across, height):
    bolt = bolt_size(name, Head.CARRIAGE)
    assert bolt.flats_mm == pytest.approx(across * INCH, abs=1e-9)
    assert bolt.head_height_mm == pytest.approx(height * INCH, abs=1e-9)


# DIN 603: largest head diameter and height, mm.
@pytest.mark.parametrize(
    ("name", "across", "height"),
    [
        ("M6", 16.55, 3.88),
        ("M8", 20.65, 4.88),
        ("M10", 24.65, 5.38),
        ("M12", 30.65, 6.95),
        ("M16", 38.8, 8.95),
    ],
)
def test_metric_carriage_bolts(name, across, height):
    bolt = bolt_size(name, Head.CARRIAGE)
    assert (bolt.flats_mm, bolt.head_height_mm) == (across, height)


# ASME B18.21.1, type A plain washers: inside, outside, thickness, inches.
@pytest.mark.parametrize(
    ("name", "inside", "outside", "thickness"),
    [
        ("1/4 narrow", 0.281, 0.625, 0.065),
        ("1/4 wide", 0.312, 0.734, 0.065),
        ("5/16 narrow", 0.344, 0.688, 0.065),
        ("5/16 wide", 0.375, 0.875, 0.083),
        ("3/8 narrow", 0.406, 0.812, 0.065),
        ("3/8 wide", 0.438, 1.000, 0.083),
        ("7/16 narrow", 0.469, 0.922, 0.065),
        ("7/16 wide", 0.500, 1.250, 0.083),
        ("1/2 narrow", 0.531, 1.062, 0.095),
        ("1/2 wide", 0.562, 1.375, 0.109),
        ("5/8 narrow", 0.656, 1.312, 0.095),
        ("5/8 wide", 0.688, 1.750, 0.134),
    ],
)
def test_inch_washers(name, inside, outside, thickness):
    washer = washer_size(name)
    sizes = (washer.inside_mm, washer.outside_mm, washer.thickness_mm)
    assert sizes == pytest.approx((inside * INCH, outside * INCH, thickness * INCH), abs=1e-9)


def test_metric_washer():
    """ISO 7089, M10: 10.5 x 20 x 2."""
    washer = washer_size("M10")
    assert (washer.inside_mm, washer.outside_mm, washer.thickness_mm) == (10.5, 20, 2)


def test_stocked_lengths():
    """Inch: common practice, no source. Metric: nominal lengths of ISO 888."""
    half_inch = [length / INCH for length in bolt_size("1/2-13").lengths_mm]
    quarters = [1 + step / 4 for step in range(19)]
    assert half_inch == pytest.approx([*quarters, 6, 6.5, 7, 7.5, 8, 9, 10, 12])
    iso = [30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120, 130, 140, 150, 160, 180, 200]
    assert list(bolt_size("M12").lengths_mm) == iso


def test_worked_grip():
    """Tube 2.375 in, board 1.5 in, washers 2.54 mm each side, 1/2 in bolt.

    By hand: 60.325 + 38.1 + 5.08 + 7/16 in + 2/13 in = 118.525 mm, so 4-3/4 in.
    """
    bolt = bolt_size("1/2-13")
    grip_mm = 60.325 + 38.1 + 2 * 2.54
    needed_mm = grip_to_length(grip_mm, nut_size("1/2-13").height_mm, bolt.pitch_mm)
    assert needed_mm == pytest.approx(118.525, abs=0.001)
    chosen_mm = choose_bolt_length(bolt, needed_mm)
    assert chosen_mm == pytest.approx(4.75 * INCH)
    assert chosen_mm - thread_length_mm(bolt, chosen_mm) < grip_mm, "the nut reaches the joint"


# ASME B18.2.1 (1996 and 2012), hex lag screws: basic width across flats and head height.
@pytest.mark.parametrize(
    ("name", "flats", "head"),
    [("1/4", "7/16", "11/64"), ("5/16", "1/2", "7/32"), ("3/8", "9/16", "1/4")],
)
def test_inch_lag_screws(name, flats, head):
    size = lag_screw(name)
    assert size.diameter_mm == inches(name)
    assert (size.flats_mm, size.head_height_mm) == (inches(flats), inches(head))
    # the same head as that of the hex bolt in the same standard
    bolt = bolt_size(name)
    assert (size.flats_mm, size.head_height_mm) == (bolt.flats_mm, bolt.head_height_mm)


# DIN 571: flats; least and largest height of the head, between which the nominal one lies.
@pytest.mark.parametrize(
    ("name", "flats", "low", "high"),
    [("6 mm", 10, 3.63, 4.38), ("8 mm", 13, 5.13, 5.88), ("10 mm", 17, 6.55, 7.45)],
)
def test_metric_lag_screws(name, flats, low, high):
    size = lag_screw(name)
    assert f"{size.diameter_mm:g} mm" == name
    assert size.flats_mm == flats
    # the nominal height is the middle of the two limits, to a hundredth or so
    assert size.head_height_mm == pytest.approx((low + high) / 2, abs=0.006)
    # flats of the older DIN series: 17 where the bolt of ISO 4014 has 16
    bolt = bolt_size(f"M{name.split()[0]}")
    assert size.flats_mm - bolt.flats_mm == (1 if name == "10 mm" else 0)


def test_metric_lag_screws_have_lengths_of_their_standard():
    """Lengths in DIN 571 (1986): by 5 mm from 30 to 80, by 10 mm from there to 200."""
    listed = {*range(30, 81, 5), *range(90, 201, 10)}
    for name in ("6 mm", "8 mm", "10 mm"):
        assert set(lag_screw(name).lengths_mm) <= listed
