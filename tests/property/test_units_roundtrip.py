"""What is written reads back to the same length, over the whole range of formats."""

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from frame3d.errors import UnitError
from frame3d.units import LengthFormat, UnitSystem, parse_length, parse_length_exact

DENOMINATORS = st.sampled_from([2, 4, 8, 16, 32, 64])
STEPS = st.integers(-(10**6), 10**6)
LENGTHS = st.floats(-1e6, 1e6, allow_nan=False)


@given(steps=STEPS, denominator=DENOMINATORS)
@example(steps=12 * 64 - 1, denominator=64)
@example(steps=-1, denominator=2)
def test_whole_fractions_of_an_inch_come_back_exactly(steps, denominator):
    length_mm = float(Fraction(steps, denominator) * Fraction(254, 10))
    text = LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator).text(length_mm)
    assert parse_length(text, allow_negative=True) == length_mm


@given(steps=STEPS, decimals=st.integers(0, 4))
def test_decimals_of_a_millimetre_come_back_exactly(steps, decimals):
    length_mm = float(Fraction(steps, 10**decimals))
    text = LengthFormat(system=UnitSystem.METRIC, decimals=decimals).text(length_mm, unit=True)
    assert parse_length(text, allow_negative=True) == length_mm


@given(length_mm=LENGTHS, denominator=DENOMINATORS)
def test_imperial_text_is_never_off_by_more_than_half_a_step(length_mm, denominator):
    shown = LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator)
    back = parse_length_exact(shown.text(length_mm), allow_negative=True)
    half_step = Fraction(254, 20 * denominator)
    assert abs(back - Fraction(length_mm)) <= half_step + Fraction(1, 10**7)
    assert float(back) == shown.rounded_mm(length_mm)


@given(length_mm=LENGTHS, decimals=st.integers(0, 4))
def test_metric_text_is_never_off_by_more_than_half_a_step(length_mm, decimals):
    shown = LengthFormat(system=UnitSystem.METRIC, decimals=decimals)
    back = parse_length_exact(shown.text(length_mm, unit=True), allow_negative=True)
    assert abs(back - Fraction(length_mm)) <= Fraction(1, 2 * 10**decimals) + Fraction(1, 10**7)
    assert float(back) == shown.rounded_mm(length_mm)


@given(steps=STEPS, denominator=DENOMINATORS)
def test_fractions_are_reduced_and_carried(steps, denominator):
    length_mm = float(Fraction(steps, denominator) * Fraction(254, 10))
    text = LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator).text(length_mm)
    inches = text.lstrip("-").removesuffix('"').split("'-")[-1].split(" ")
    for fraction in (part for part in inches if "/" in part):
        top, bottom = map(int, fraction.split("/"))
        assert 0 < top < bottom and top % 2 == 1 and bottom & (bottom - 1) == 0
    whole = [part for part in inches if "/" not in part]
    assert not whole or 0 <= int(whole[0]) < 12


@given(length_mm=LENGTHS)
def test_sign_is_the_only_difference_between_a_length_and_its_negative(length_mm):
    for system in UnitSystem:
        shown = LengthFormat(system=system)
        assert shown.text(-abs(length_mm)).lstrip("-") == shown.text(abs(length_mm))


@given(text=st.text(max_size=70))
@example(text="1/00 in")
@example(text="6'")
def test_any_text_is_read_or_refused_with_a_message(text):
    try:
        assert parse_length(text) >= 0
    except UnitError as error:
        assert len(str(error)) > 20


@given(text=st.from_regex(r"[-+]?([0-9]{0,3}[ .,/'\"-]?){1,6}(ft|in|mm|m|cm|)", fullmatch=True))
def test_any_near_length_is_read_or_refused_with_a_message(text):
    try:
        length_mm = parse_length(text, allow_negative=True)
    except UnitError:
        return
    spaced = " ".join(text.upper().split())
    assert parse_length(spaced, allow_negative=True) == length_mm


@pytest.mark.parametrize("denominator", [2, 4, 8, 16, 32, 64])
def test_every_step_of_two_feet(denominator):
    """All of them, not a sample: each text is new, and each reads back."""
    shown = LengthFormat(system=UnitSystem.IMPERIAL, denominator=denominator)
    steps = range(24 * denominator + 1)
    texts = [shown.text(float(Fraction(254 * step, 10 * denominator))) for step in steps]
    assert len(set(texts)) == len(texts)
    read = [parse_length_exact(text) for text in texts]
    assert read == [Fraction(254 * step, 10 * denominator) for step in steps]
