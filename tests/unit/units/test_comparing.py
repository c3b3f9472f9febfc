"""What is required, provided and left: printed, read back, they add up and agree with the verdict.

The oracle is the reader of lengths, and whole numbers: nothing of what writes is used to judge.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from printed import value_of

from frame3d.units import LengthFormat, UnitSystem, compared

FORMS = [
    *(LengthFormat(system=UnitSystem.IMPERIAL, denominator=2**k) for k in range(1, 7)),
    *(LengthFormat(system=UnitSystem.METRIC, decimals=k) for k in range(3)),
]
NUMBERS = st.one_of(
    st.floats(-100, 20000), st.integers(-50, 800).map(lambda n: n * 25.4 / 16),
    st.integers(0, 3000).map(float),
)  # fmt: skip
APART = st.one_of(NUMBERS, st.sampled_from([1e-4, 0.011, 0.02, 0.2, 0.39, 0.5, 0.79, 1.0, 12.7]))


def judged(required: float, provided: float, **how: object) -> None:
    said = compared(required, provided, **how)
    least, here, left = (value_of(text) for text in (said.required, said.provided, said.margin))
    assert left == (least - here if how.get("is_most") else here - least), said
    difference = provided - required
    if abs(difference) > 1e-4:  # a ten-thousandth of a millimetre
        assert (here > least) == (difference > 0), said
        assert (here < least) == (difference < 0), said
    for text in (said.required, said.provided, said.margin):
        assert not (text.startswith("-") and value_of(text) == 0), text


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("fine", [False, True])
@given(required=NUMBERS, apart=APART, is_most=st.booleans(), down=st.booleans())
@settings(max_examples=80, deadline=None)
def test_lengths_add_up(
    form: LengthFormat, fine: bool, required: float, apart: float, is_most: bool, down: bool
) -> None:
    provided = required + (-apart if down else apart)
    judged(required, provided, form=form, fine=fine, is_most=is_most)


@pytest.mark.parametrize("unit", ["deg", "share", ""])
@given(required=st.floats(0, 100), apart=st.floats(-1, 1), is_most=st.booleans())
def test_other_numbers_add_up(unit: str, required: float, apart: float, is_most: bool) -> None:
    judged(required, required + apart, form=FORMS[0], unit=unit, is_most=is_most)


@pytest.mark.parametrize(
    ("required", "provided", "how", "told"),
    [
        # 5/32 in is half-way between two sixteenths, and goes up.
        (25.4 / 8, 25.4 * 5 / 32, {"is_most": True}, ('1/8"', '3/16"', '-1/16"')),
        # 80 in less half a millimetre, which is 0.63 of 1/32 in.
        (2032.0, 2031.5, {}, ("6'-8\"", "6'-7 31/32\"", '-1/32"')),
        # Less than a fraction of an inch can show.
        (2032.0, 2031.98, {}, ("80 in", "79.999 in", "-0.001 in")),
        (2032.0, 2032.0, {}, ("6'-8\"", "6'-8\"", '0"')),
        (3.0, 3.4, {"is_most": True, "fine": True}, ("0.118 in", "0.134 in", "-0.016 in")),
    ],
)
def test_inches(required: float, provided: float, how: dict, told: tuple) -> None:
    """Worked by hand: an inch is 25.4 mm."""
    said = compared(required, provided, form=FORMS[3], **how)
    assert (said.required, said.provided, said.margin) == told


def test_the_reader_of_these_tests_reads() -> None:
    assert value_of("6'-7 15/16\"") == Fraction(254, 10) * (79 + Fraction(15, 16))
    assert value_of('13/64"') == Fraction(254, 10) * Fraction(13, 64)
    assert value_of('-1/16"') == -Fraction(254, 160)
    assert value_of("-0.016 in") == -Fraction(16, 1000) * Fraction(254, 10)
    assert value_of("12.5 %") == Fraction(25, 2)
