"""Names that run from right to left, against the examples of Unicode Standard Annex 9.

There small letters stand for Latin and capitals for Hebrew; here capitals become Hebrew ones.
"""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.direction import as_seen, isolated, names_running_left


def hebrew(text: str) -> str:
    return "".join(chr(0x5D0 + ord(c) - ord("A")) if "A" <= c <= "Z" else c for c in text)


@pytest.mark.parametrize(("written", "names", "seen"), [
    # UAX 9, 3.4, examples of rule L2; what stands between RLI and PDI there is a name here.
    ("car means CAR.", ["CAR"], "car means RAC."),
    ("MEANS car CAR", [], "RAC car SNAEM"),
    ("he said “THE VALUES ARE 123, 456, 789, OK”.", ["THE VALUES ARE 123, 456, 789, OK"],
     "he said “KO ,789 ,456 ,123 ERA SEULAV EHT”."),
    # UAX 9, L4: a bracket is mirrored where it runs from right to left.
    ("ABC (D)", [], "(D) CBA"),
    ("left (ABC) 12", ["ABC"], "left (CBA) 12"),
    # What an English line would make of its figures if a name in it were not marked off.
    ("4 m ABC 12, 3/4 in (1:16)", ["ABC 12"], "4 m 12 CBA, 3/4 in (1:16)"),
    ("ABC 12: how to", ["ABC 12"], "12 CBA: how to"),
    # W4 and W7: a point within figures is theirs; figures after Latin letters are Latin.
    ("AB 3.5", [], "3.5 BA"),
    ("AB x3 CD", [], "DC x3 BA"),
    ("", [], ""),
    ("plain (12)", ["ABC"], "plain (12)"),
])  # fmt: skip
def test_letters_stand_as_they_are_seen(written: str, names: list[str], seen: str) -> None:
    assert as_seen(hebrew(written), [hebrew(name) for name in names]) == hebrew(seen)


def test_only_what_needs_it_is_marked_off() -> None:
    assert isolated("Müller 温室") == "Müller 温室"
    assert hebrew("ABC (1)") in isolated(hebrew("ABC (1)"))
    # FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE.
    assert isolated(hebrew("ABC"))[0] == "\u2068"
    assert isolated(hebrew("ABC"))[-1] == "\u2069"


def test_every_such_name_of_a_design_is_found() -> None:
    mapping = {
        "project": {"name": hebrew("AB"), "owner": "x"},
        "profile": {"style": "quonset", "width": "4 m"},
        "bays": {"count": 2, "spacing": "1 m"},
        "hoop": {"tube": {"outside": "42 mm", "wall": "2 mm", "name": hebrew("tube C")}},
        "machine": [{"name": "plain"}, {"name": hebrew("ABCDEFGH")}],
    }
    assert names_running_left(design_from_mapping(mapping)) == tuple(
        map(hebrew, ("ABCDEFGH", "tube C", "AB"))
    )
