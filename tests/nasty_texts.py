"""Texts that some format takes for a command, that look alike, or that no drawing can show."""

from __future__ import annotations

import unicodedata

SHOWN = (
    "Tractor w/ loader", 'Mower 36"', "Loader 42: bucket up",  # refused by names of layouts
    "a<b>c|d?e*f=g`h;i'j,k", "back\\slash)", "(open", "O'Brien & Söhne",
    "100%%d %%u %%% %%213", "%(x)s {0} %s", r"{\H3;x}\P^J^ ^I", r"\U+0041 \M+10041",
    "<> [] {}", "=1+1", "@SUM(A1)", "_x0041_", "&L&12x",
    "]]>", "</script><b>&amp;", "<!-- x -->", "{{SCRIPT}}", "$HOME #{x} ~",
    "nul.", "none", "Model", "H1", "S1 R1", "tractor W/ LOADER", "TRACTOR w- loader",
    "two  blanks", "no\u00a0break", "W" * 40,
    "温室 三号 12", "비닐하우스", "ハウス(一)", "e\u0301a\u0308o", "Ωμέγα Ёлка ßẞ", "½ ° → ☃",
    "חממה 12 (א)", "a חממה b",
)  # fmt: skip
"""Accepted, so every file shows them."""

REFUSED = (
    "line\nbreak", "tab\there", "nul\0", "\x07", "\x85x", "\u2028", "\ud800", "x\udfff",
    "\u202eturned", "\u2067right", "\u200fmark", "zero\u200bwidth", "soft\u00adhyphen",
    "a\u200db", "\ufeffx", "\ue000", "\uffff", "\U000e0041", "😀 happy", "👩\u200d🌾",
    "عربي", "हिन्दी", "ไทย", "བོད", "𝔘", "\u1100\u1161\u11a8",
)  # fmt: skip
"""What is not seen, turns what stands round it, or has no letter in the lettering."""


def plainly(text: str) -> str:
    """``text`` as a reader of print gives it back: one kind of blank, letters with their marks."""
    kept = "".join(
        letter
        for letter in unicodedata.normalize("NFC", text)
        if unicodedata.category(letter) != "Cf"
    )
    return " ".join(kept.split())


def without_blanks(text: str) -> str:
    """As :func:`plainly` without blanks, where lines may have been broken."""
    return plainly(text).replace(" ", "")
