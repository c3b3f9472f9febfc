"""Reading and writing of lengths, angles and masses."""

import math
import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.errors import Frame3dError, UnitError
from frame3d.units import (
    LengthFormat,
    LengthText,
    UnitSystem,
    parse_angle,
    parse_length,
    parse_length_exact,
    parse_mass,
    system_of,
)

FEET = LengthFormat(system=UnitSystem.IMPERIAL)
MM = LengthFormat(system=UnitSystem.METRIC)

# One length in as many spellings as people use; 75 1/2 in x 25.4 mm.
SIX_FOOT_THREE_AND_A_HALF = [
    "6' 3 1/2\"",
    "6'-3 1/2\"",
    "6'3 1/2\"",
    "6' - 3-1/2\"",
    "6 ft 3-1/2 in",
    "6ft3.5in",
    "6 FT. 3 1/2 IN.",
    "6 feet, 3 1/2 inches",
    "6 foot 3.5 inch",
    "6′ 3½″",
    "6’-3 ½”",
    "6'3 1⁄2''",
    "  6 '  3   1 / 2 \" ",
    "6\u00a0ft\u20093½\u00a0in",
    "6' 3 1/2",
    "75 1/2 in",
    "75.5\"",
    "2 yd 3½ in",
    "1917.7 mm",
    "191.77 cm",
    "1.9177 m",
    "1 m 91.77 cm",
    "1 m 91 cm 7.7 mm",
]  # fmt: skip


@pytest.mark.parametrize("text", SIX_FOOT_THREE_AND_A_HALF)
def test_one_length_in_many_spellings(text):
    assert parse_length(text) == 1917.7


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("22 ft", 6705.6),
        ("22'", 6705.6),
        ("6-1/4 in", 158.75),
        ('6 1/4"', 158.75),
        ("3/8 in", 9.525),
        ("0.5 in", 12.7),
        ('.5"', 12.7),
        ("½ in", 12.7),
        ("5.5 m", 5500),
        ("42.4 mm", 42.4),
        ("5 m 20 cm", 5200),
        ("30 cm", 300),
        ("5. mm", 5),
        ("+3 mm", 3),
        ("0 mm", 0),
        ("6 millimetres", 6),
        ("6 Meters", 6000),
        ("5'6", 1676.4),
        ("5' 1/2", 1536.7),
        ("7 2/3 ft", 2336.8),
    ],
)
def test_length(text, length_mm):
    assert parse_length(text) == length_mm


def test_length_is_exact():
    """The inch is exactly 25.4 mm (NIST SP 811, appendix B.6)."""
    assert parse_length_exact("1/3 in") == Fraction(254, 30)
    assert parse_length_exact("0.1 mm") == Fraction(1, 10)
    assert parse_length_exact("1/64 in") == Fraction(396875, 10**6)


@pytest.mark.parametrize("text", ["-3 in", "−3 in", "- 3 in", '–3"'])
def test_negative_only_where_asked(text):
    assert parse_length(text, allow_negative=True) == -76.2
    with pytest.raises(UnitError, match="must not be negative here; leave out the minus sign"):
        parse_length(text)


def test_negative_covers_feet_and_inches_together():
    assert parse_length("-6'-3 1/2\"", allow_negative=True) == -1917.7


@pytest.mark.parametrize("bare", ["5500", " 12.5 ", "3/8", "6-1/4", 5500, 5.5])
def test_bare_number_asks_for_a_unit(bare):
    with pytest.raises(
        UnitError, match=r"without a unit; add one, for example ([0-9./-]+) ft or \1 mm;"
    ):
        parse_length(bare)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("5,5 m", "a comma in a number is not read"),
        ("1,200 mm", "write 5.5 for five and a half and 5500 for"),
        ("3 furlongs", "the unit 'furlongs' is not known; write feet, inches"),
        ("1e3 mm", "powers of ten are not read; write the number out"),
        ("5 m 20", "20 has no unit"),
        ("3 in 2 ft", "'ft' cannot follow 'in'; use one system, the largest unit first"),
        ("1 m 3 in", "'in' cannot follow 'm'"),
        ("3 mm 2 mm", "'mm' cannot follow 'mm'"),
        ("5.5' 3\"", "5.5 ' is not whole, so nothing may follow it"),
        ("6' 14\"", "must be less than one"),
        ("5 m 100 cm", "must be less than one 'm'"),
        ("6 5/4 in", "5/4 after a whole number is not less than 1"),
        ("1/0 in", "a fraction over 0"),
        ("6'-", "it ends in '-'"),
        ("", "got '', which is not a length; write feet, inches"),
        ("abc", "got 'abc', which is not a length"),
        ("ft", "which is not a length"),
        ("5 in extra", "which is not a length"),
        ("٣ mm", "which is not a length"),
        ("nan mm", "which is not a length"),
        ("9" * 65, r"got 65 characters for a length \('9999"),
        (None, "got None, which is not a length"),
        (True, "got True, which is not a length"),
        (float("inf"), "got inf, which is not a length"),
    ],
)
def test_length_that_cannot_be_read(text, message):
    with pytest.raises(UnitError, match=message) as caught:
        parse_length(text)
    assert "22 ft" in str(caught.value), "every message gives examples of what is allowed"


@pytest.mark.parametrize("text", ["-", "-abc", "--3 in", "-+3 in"])
def test_a_sign_alone_is_not_a_length(text):
    with pytest.raises(UnitError, match="which is not a length; write feet"):
        parse_length(text, allow_negative=True)


def test_unit_error_is_a_value_error_too():
    assert issubclass(UnitError, ValueError) and issubclass(UnitError, Frame3dError)


@pytest.mark.parametrize(
    ("text", "system"),
    [("22 ft", "imperial"), ("-3/8 in", "imperial"), ("5 m 20 cm", "metric"), ("3 mm", "metric")],
)
def test_system_of(text, system):
    assert system_of(text) is UnitSystem(system)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("30 deg", 30),
        ("30°", 30),
        ("30 º", 30),
        ("14.5 Degrees", 14.5),
        ("22 1/2 deg", 22.5),
        ("100 %", 45),
        ("12 in 12", 45),
        ("4:4", 45),
        ("0:12", 0),
    ],
)
def test_angle_in_degrees(text, degrees):
    assert parse_angle(text) == pytest.approx(math.radians(degrees), rel=1e-15)


def test_angle_in_radians_and_as_rise_in_run():
    assert parse_angle("0.5 rad") == 0.5
    assert parse_angle("4 in 12") == parse_angle("4:12") == pytest.approx(math.atan(1 / 3))
    assert parse_angle("-3 deg", allow_negative=True) == -math.radians(3)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("30", "without a unit; add one, for example 30 deg"),
        (30, "without a unit; add one, for example 30 deg"),
        ("4:0", "the run must not be 0"),
        ("-3 deg", "an angle must not be negative here"),
        ("3 ft", "got '3 ft', which is not an angle; write degrees, radians"),
        ("4 in 12 in", "which is not an angle"),
        ("", "which is not an angle"),
        (None, "got None, which is not an angle"),
        ("1/0 deg", "a fraction over 0"),
    ],
)
def test_angle_that_cannot_be_read(text, message):
    with pytest.raises(UnitError, match=message):
        parse_angle(text)


def test_mass():
    """The pound is exactly 0.453 592 37 kg (NIST SP 811, appendix B.6)."""
    assert parse_mass("1 lb") == 0.45359237
    assert parse_mass("2 lb 8 oz") == 1.133980925
    assert parse_mass("12.5 kg") == 12.5
    assert parse_mass("1 t") == 1000
    assert parse_mass("250 g") == 0.25


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("12", "without a unit; add one, for example 12 kg"),
        ("12 mm", "the unit 'mm' is not known; write kg, g, t, lb or oz"),
        ("-1 kg", "a mass must not be negative here"),
    ],
)
def test_mass_that_cannot_be_read(text, message):
    with pytest.raises(UnitError, match=message):
        parse_mass(text)


# Zero feet suppressed, zero inches kept: DXF reference, DIMZIN 3 with DIMLUNIT 4; the
# forms 1/2", 6", 1'-0", 1'-0 3/4" are those of its table of zero suppression (from memory).
@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0.5, '1/2"'),
        (6, '6"'),
        (12, "1'-0\""),
        (12.75, "1'-0 3/4\""),
        (264, "22'-0\""),
        (6.25, '6 1/4"'),
        (75.5, "6'-3 1/2\""),
        (0, '0"'),
        (-0.0, '0"'),
        (-0.5, '-1/2"'),
        (-75.5, "-6'-3 1/2\""),
        (11 + 63 / 64, "1'-0\""),
        (23 + 63 / 64, "2'-0\""),
        (0.99, '1"'),
        (7 / 8, '7/8"'),
        (-0.01, '0"'),
    ],
)
def test_feet_and_inches_to_a_sixteenth(inches, text):
    assert FEET.text(inches * 25.4) == text


@pytest.mark.parametrize(
    ("denominator", "text"),
    [(2, '1/2"'), (4, '1/4"'), (8, '3/8"'), (16, '5/16"'), (32, '11/32"'), (64, '21/64"')],
)
def test_denominator_sets_the_finest_fraction(denominator, text):
    assert LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator).text(25.4 / 3) == text


def test_half_way_goes_away_from_zero():
    assert FEET.text(25.4 / 32) == '1/16"'
    assert FEET.text(-25.4 / 32) == '-1/16"'
    assert FEET.text(3 * 25.4 / 32) == '1/8"'
    assert [MM.text(x) for x in (0.5, 1.5, 2.5, -0.5)] == ["1", "2", "3", "-1"]
    assert LengthFormat(system=UnitSystem.METRIC, decimals=1).text(0.15) == "0.2"


def test_noise_of_floats_does_not_decide_a_half_way_case():
    half = 25.4 / 32
    assert FEET.text(half - 1e-12) == FEET.text(half + 1e-12) == '1/16"'
    assert FEET.text(half - 1e-6) == '0"'


@pytest.mark.parametrize(
    ("length_mm", "decimals", "text"),
    [
        (5500, 0, "5500"),
        (5500, 2, "5500"),
        (42.4, 1, "42.4"),
        (42.4, 3, "42.4"),
        (42.46, 1, "42.5"),
        (0.04, 1, "0"),
        (-0.04, 1, "0"),
        (-12.25, 1, "-12.3"),
        (99.96, 1, "100"),
        (10, 0, "10"),
    ],
)
def test_millimetres(length_mm, decimals, text):
    shown = LengthFormat(system=UnitSystem.METRIC, decimals=decimals)
    assert shown.text(length_mm) == text
    assert shown.text(length_mm, unit=True) == f"{text} mm"


def test_step_and_rounded_length():
    assert FEET.step_mm == 25.4 / 16
    assert MM.step_mm == 1
    assert FEET.rounded_mm(304.7) == 304.8
    assert MM.rounded_mm(42.5) == 43


def test_areas_masses_angles():
    """20 ft x 96 ft is 1920 ft² by hand, and 178.37 m² at 0.09290304 m² to the ft²."""
    area_mm2 = 20 * 304.8 * 96 * 304.8
    assert FEET.area(area_mm2) == "1920.0 ft²"
    assert MM.area(area_mm2) == "178.37 m²"


def test_volumes_in_cubic_yards_and_metres() -> None:
    """A yard is 0.9144 m (NIST SP 811, B.6), so 10 yd³ are 7.6455 m³."""
    volume_mm3 = 10 * 914.4**3
    assert FEET.volume(volume_mm3) == "10.0 yd³"
    assert MM.volume(volume_mm3) == "7.65 m³"
    assert FEET.mass(0.45359237 * 40) == "40.0 lb"
    assert MM.mass(40) == "40.0 kg"
    assert MM.angle(math.radians(14.5)) == FEET.angle(math.radians(14.5)) == "14.5°"
    assert MM.angle(math.radians(30)) == "30°"
    assert MM.angle(math.radians(53.1301), decimals=3) == "53.13°"


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("shown", [FEET, MM])
def test_only_finite_numbers_are_written(shown, bad):
    with pytest.raises(UnitError, match="a finite number is needed"):
        shown.text(bad)


@pytest.mark.parametrize("denominator", [0, 1, 3, 10, 128, -16])
def test_denominator_out_of_range(denominator):
    with pytest.raises(UnitError, match="denominator must be one of 2, 4, 8, 16, 32, 64"):
        LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator)


@pytest.mark.parametrize("decimals", [-1, 5, 0.5])
def test_decimals_out_of_range(decimals):
    with pytest.raises(UnitError, match="0 to 4 are allowed"):
        LengthFormat(system=UnitSystem.METRIC, decimals=decimals)


def test_system_must_be_the_enum():
    with pytest.raises(UnitError, match="UnitSystem.IMPERIAL or UnitSystem.METRIC is allowed"):
        LengthFormat(system="imperial")


def test_drawing_unit():
    assert UnitSystem.IMPERIAL.mm_per_drawing_unit == 25.4
    assert UnitSystem.METRIC.mm_per_drawing_unit == 1


def test_import_loads_nothing_heavy():
    code = "import sys, frame3d.units, frame3d.catalog; print(*sys.modules)"
    run = subprocess.run(
        [sys.executable, "-P", "-c", code], capture_output=True, text=True, check=True
    )
    loaded = set(run.stdout.split())
    assert "frame3d.units" in loaded
    assert not loaded & {"pint", "numpy", "pydantic", "scipy", "cadquery", "ezdxf"}


# A pound is exactly 0.45359237 kg and of 16 ounces: NIST Special Publication 811 (2008), B.8.
@pytest.mark.parametrize(
    ("mass_kg", "metric", "imperial"),
    [
        (0.0, "0.0 kg", "0.0 lb"),
        (0.028, "28 g", "1.0 oz"),
        (0.0455, "46 g", "0.1 lb"),
        (0.0996, "100 g", "0.2 lb"),
        (0.1, "0.1 kg", "0.2 lb"),
        (0.0453, "45 g", "1.6 oz"),
        (12.34, "12.3 kg", "27.2 lb"),
    ],
)
def test_light_masses_are_grams_and_ounces(mass_kg, metric, imperial):
    assert (MM.mass(mass_kg), FEET.mass(mass_kg)) == (metric, imperial)


@given(
    st.floats(-1e5, 1e5),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.integers(0, 4),
    st.sampled_from(UnitSystem),
)
def test_limits_are_told_on_the_side_that_is_allowed(mm, denominator, decimals, system):
    form = LengthFormat(system=system, denominator=denominator, decimals=decimals)
    say = LengthText(form)
    most, least = (
        parse_length(text, allow_negative=True) for text in (say.most(mm), say.least(mm))
    )
    # A value is taken to 1e-7 mm first, as everywhere in writing.
    assert most <= mm + 1e-7 and least >= mm - 1e-7
    assert mm - most < form.step_mm + 1e-6 and least - mm < form.step_mm + 1e-6


@given(st.floats(-1e6, 1e6), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_whole_numbers_round_as_exact_fractions_do(mm, denominator):
    """Fraction of the standard library: to 1e-7 mm, then to a step, half-way cases outward."""

    def outward(value):
        size = math.floor(abs(value) + Fraction(1, 2))
        return -size if value < 0 else size

    step = Fraction(254, 10 * denominator)
    grains = Fraction(outward(Fraction(mm) * 10**7), 10**7)
    form = LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator)
    assert form.rounded_mm(mm) == float(outward(grains / step) * step)
