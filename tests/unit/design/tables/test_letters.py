"""Which letters a text may have: held against the fonts and the character database."""

from __future__ import annotations

import io
import unicodedata

import pytest
from fontTools.ttLib import TTFont

from frame3d.design.tables.letters import can_be_shown, fault_of_text, ranges
from frame3d.design.values.starter_values import ArchStyle
from frame3d.design.writing.template import design_text
from frame3d.errors import DesignError
from frame3d.frame.describe.direction import runs_left
from frame3d.sheets.primitives.lettering import font_path, second_font, text_width_mm
from frame3d.sheets.write.font_subset import font_with
from frame3d.units import UnitSystem


def letters_of(font: TTFont) -> set[int]:
    with font:
        return set(font.getBestCmap())


def test_every_letter_that_is_taken_is_in_the_fonts() -> None:
    plain, bold = (
        letters_of(TTFont(font_path().with_name(name)))
        for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
    )
    both = (plain & bold) | letters_of(TTFont(io.BytesIO(second_font())))
    for first, last in ranges():
        for code in range(first, last + 1):
            assert code in both, f"U+{code:04X}"


def test_no_letter_that_is_taken_is_hidden_or_needs_shaping() -> None:
    for first, last in ranges():
        for code in range(first, last + 1):
            letter = chr(code)
            assert unicodedata.category(letter)[0] != "C", f"U+{code:04X}"
            assert unicodedata.category(letter) not in ("Zl", "Zp")
            # AL and AN are Arabic and its like, whose letters join.
            assert unicodedata.bidirectional(letter) not in ("AL", "AN"), f"U+{code:04X}"
            if runs_left(letter):
                assert unicodedata.name(letter).startswith("HEBREW")
    assert all(a[1] < b[0] for a, b in zip(ranges(), ranges()[1:], strict=False))


@pytest.mark.parametrize("text", [
    # One letter for each language whose farmers may read this: none of them vanishes.
    "Größe ñandú Łódź żółć çğış ő ů ț đ æøå", "Теплица ґїєі ѝ", "Θερμοκήπιο ά", "Ջերմոց", "სათბური",
    "חממה", "温室 溫室 ハウス ビニールハウス 비닐하우스 ー々", "½ ¼ ° ± × ″ ′ – — “ ” € № ② →",
])  # fmt: skip
def test_scripts_of_the_lettering_are_taken(text: str) -> None:
    assert fault_of_text(text) is None
    font = TTFont(io.BytesIO(font_with(font_path(), text)))
    assert {ord(letter) for letter in text} <= letters_of(font)
    assert all(text_width_mm(letter, 2.5) > 0 for letter in text)


def test_the_second_font_is_drawn_to_the_scale_of_the_first() -> None:
    """An ideograph fills its square: as wide as the font's size, by its own header."""
    with TTFont(io.BytesIO(font_with(font_path(), "A温"))) as font:
        name = font.getBestCmap()[ord("温")]
        assert font["hmtx"].metrics[name][0] == pytest.approx(font["head"].unitsPerEm, rel=0.01)
        glyph = font["glyf"][name]
        assert 0.75 * font["head"].unitsPerEm < glyph.yMax - glyph.yMin < font["head"].unitsPerEm
    assert font_with(font_path(), "A温") == font_with(font_path(), "温A")


@pytest.mark.parametrize(("text", "told"), [
    ("a\tb", "control characters"),
    ("عربي", "U+0639 arabic letter ain"),
    ("x\u202ey", "U+202E right-to-left override"),
    ("😀", "😀 (U+1F600 grinning face)"),
    ("\ud800", "U+D800"),
    ("ไทยแลนด์", "and 3 more"),
])  # fmt: skip
def test_a_refusal_names_what_it_refuses(text: str, told: str) -> None:
    fault = fault_of_text(text)
    assert fault is not None and told in fault
    assert not can_be_shown(next(c for c in text if not c.isascii() or ord(c) < 32))


def test_a_new_design_is_not_given_such_a_name() -> None:
    with pytest.raises(DesignError, match=r"project.name: .*; 😀 \(U\+1F600"):
        design_text(ArchStyle.QUONSET, UnitSystem.METRIC, "😀")
