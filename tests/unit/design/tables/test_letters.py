"""Which letters a text may have: held against the fonts and the character database."""

from __future__ import annotations

import unicodedata

import numpy as np
import pymupdf
import pytest
from fontTools.ttLib import TTFont

from frame3d.design.tables.letters import can_be_shown, fault_of_text, ranges
from frame3d.design.values.starter_values import ArchStyle
from frame3d.design.writing.template import design_text
from frame3d.errors import DesignError
from frame3d.frame.describe.direction import as_seen, runs_left
from frame3d.sheets.primitives.lettering import (
    BOLD_FILE,
    CAPITAL_SHARE,
    FONT_FILE,
    SECOND_FILE,
    WIDTH_FACTOR,
    font_path,
    text_width_mm,
)
from frame3d.sheets.write.pdf_file import PdfFile
from frame3d.units import UnitSystem

OURS = {"DejaVuSans", "Droid-Sans-Fallback"}


def letters_of(file: str) -> set[int]:
    with TTFont(font_path(file)) as font:
        return set(font.getBestCmap())


def test_every_letter_that_is_taken_is_in_the_fonts() -> None:
    both = (letters_of(FONT_FILE) & letters_of(BOLD_FILE)) | letters_of(SECOND_FILE)
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
    assert all(text_width_mm(letter, 2.5) > 0 for letter in text)
    with printed(text) as pdf:
        page = pdf[0]
        assert page.get_text().split() == text.split()
        embedded = [pdf.extract_font(font[0]) for font in page.get_fonts()]
        assert {name.split("+")[-1] for name, *_ in embedded} <= OURS
        assert embedded and all(data for *_, data in embedded)


def printed(*texts: str) -> pymupdf.Document:
    """A page with a line for each text."""
    file = PdfFile("letters")
    file.add_page(2000, 100 * len(texts))
    for row, text in enumerate(texts):
        file.set_text(as_seen(text), 20, (1, 0, 0, 1, 20, 100 * row + 20))
    return pymupdf.open(stream=file.finished())


def test_the_second_font_is_drawn_to_the_scale_of_the_first() -> None:
    """An ideograph fills its square: as wide as the font's size, by its own header."""
    with printed("A温B") as pdf:
        line = pdf[0].get_text("rawdict")["blocks"][0]["lines"][0]
        first, square, last = [letter for span in line["spans"] for letter in span["chars"]]
        assert last["origin"][0] - square["origin"][0] == pytest.approx(20, rel=0.01)
        assert square["origin"][0] - first["origin"][0] == pytest.approx(
            text_width_mm("A", CAPITAL_SHARE) / WIDTH_FACTOR * 20, rel=0.001
        )
        box = (square["origin"][0], 0, last["origin"][0], 100)
        seen = pdf[0].get_pixmap(clip=box, dpi=720, colorspace=pymupdf.csGRAY)
        rows = np.frombuffer(seen.samples, np.uint8).reshape(seen.height, seen.width).min(axis=1)
        high = np.ptp(np.flatnonzero(rows < 128)) / 10
        assert 0.75 * 20 < high < 20


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
