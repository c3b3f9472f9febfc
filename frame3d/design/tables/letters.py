"""Which characters a text of the user may have: those that every file can show.

The lettering of the sheets has letters of European scripts and Hebrew and common signs, its
second font Chinese, Japanese and Korean. Left out are letters that join or stack (Arabic,
Devanagari, Thai and others, which need an engine that shapes them), pictures in colour, and all
that is not seen: what somebody cannot see on a drawing, nobody should have to know of.

References
----------
The Unicode Standard, general categories (``unicodedata``). The ranges are what both fonts of
:mod:`frame3d.sheets.primitives.lettering` have of each block; a test holds them against the fonts.
"""

import functools
import unicodedata

_RANGES = """
20-7E A0-AC AE-2E9 2EC-2EE 300-34E 370-377 37A-37E 384-38A 38C 38E-3A1 3A3-482 48A-525
531-556 559-55F 561-587 589-58A 5BE 5D0-5EA 5F3-5F4 10D0-10FC
1E00-1EFB 1F00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 1F5F-1F7D 1F80-1FB4 1FB6-1FC4
2000-200A 2010-2027 202F-205E 2070-2071 2074-208E 2090-2094 20A0-20B5 20B8-20BA 20BD
2100-2109 210B-2149 2150-2185 2190-2311 2460-2487 2500-269C 2701-2704 2706-2709 270C-2727
2729-274B 274D 274F-2752 2756 2758-275E 2761-2794 2798-27AF 27B1-27BE
3000-3003 3005-3019 301C-301E 3041-3094 309B-309E 30A1-30F6 30FB-30FE 3105-3129 3131-3163
4E00-9FA5 AC00-D7A3 FB00-FB06 FF01-FF5E FF61-FF9F FFE0-FFE6
"""
_MOST_SHOWN = 5
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"})
_ALLOWED = (
    "letters of European scripts, Hebrew, Chinese, Japanese and Korean, figures and common signs"
)


@functools.cache
def ranges() -> tuple[tuple[int, int], ...]:
    """First and last code of each range that can be shown, rising."""
    found = []
    for item in _RANGES.split():
        first, _, last = item.partition("-")
        found.append((int(first, 16), int(last or first, 16)))
    return tuple(found)


def can_be_shown(letter: str) -> bool:
    """Whether every file can show this character."""
    code = ord(letter)
    return " " <= letter <= "~" or any(first <= code <= last for first, last in ranges())


def fault_of_text(text: str) -> str | None:
    r"""What is wrong with a text that is to be shown, or None.

    Examples
    --------
    >>> fault_of_text("Mower 36\"") is None
    True
    """
    bad = [letter for letter in dict.fromkeys(text) if not can_be_shown(letter)]
    if not bad:
        return None
    if any(unicodedata.category(letter) in ("Cc", "Zl", "Zp") for letter in bad):
        return (
            "line breaks, tabs and control characters cannot be printed in a title block "
            "or a list; remove them"
        )
    more = f" and {len(bad) - _MOST_SHOWN} more" if len(bad) > _MOST_SHOWN else ""
    told = ", ".join(map(_told, bad[:_MOST_SHOWN]))
    return f"{told}{more} cannot be printed on the drawings; write it with {_ALLOWED}"


def _told(letter: str) -> str:
    """A character by its code, with itself where it can be seen and its name where it has one."""
    code = f"U+{ord(letter):04X}"
    name = unicodedata.name(letter, "").lower()
    said = f"{code} {name}".strip()
    category = unicodedata.category(letter)
    seen = category not in _HIDDEN and not category.startswith("M")
    return f"{letter} ({said})" if seen else said
