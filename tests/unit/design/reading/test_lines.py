"""Lines of keys; the expected numbers are counted by hand in the texts below."""

from __future__ import annotations

import pytest

from frame3d.design.reading.faults import path_of, where_of
from frame3d.design.reading.lines import Origin, key_lines

TEXT = """\
# a comment
top = 1
dotted.name = 2

[section]   # with a comment
plain = "x"
"quoted key" = 3
'single' = [
    "a",  # first
    "b",
]
braces = { inner = 1, deep = { er = 2 } }
multi = \"\"\"
[not.a.section]
\"\"\"
after = 4

[[many]]
name = 1
[[many]]
[many.sub]
name = 2
[[many.list]]
[[many.list]]
x = 1
[outer.inner]
y = 1
"""

EXPECTED = {
    ("top",): 2,
    ("dotted",): 3,
    ("dotted", "name"): 3,
    ("section",): 5,
    ("section", "plain"): 6,
    ("section", "quoted key"): 7,
    ("section", "single"): 8,
    ("section", "single", 0): 9,
    ("section", "single", 1): 10,
    ("section", "braces"): 12,
    ("section", "braces", "inner"): 12,
    ("section", "braces", "deep", "er"): 12,
    ("section", "multi"): 13,
    ("section", "after"): 16,
    ("many",): 18,
    ("many", 0): 18,
    ("many", 0, "name"): 19,
    ("many", 1): 20,
    ("many", 1, "sub"): 21,
    ("many", 1, "sub", "name"): 22,
    ("many", 1, "list", 0): 23,
    ("many", 1, "list", 1): 24,
    ("many", 1, "list", 1, "x"): 25,
    ("outer",): 26,
    ("outer", "inner", "y"): 27,
}


@pytest.mark.parametrize("path", EXPECTED)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_the_line_of_a_key(path, line_end):
    assert key_lines(TEXT.replace("\n", line_end)).of(path) == EXPECTED[path]


def test_what_is_not_there_has_the_line_of_what_holds_it():
    lines = key_lines(TEXT)
    assert lines.of(("section", "missing")) == 5
    assert lines.of(("many", 1, "sub", "name", "deeper")) == 22
    assert lines.of(("nowhere",)) is None
    assert lines.of(()) is None


def test_a_text_that_is_no_toml_does_no_harm():
    key_lines("[[[ = = \n]] 'x")


def test_a_mapping_has_no_lines():
    assert Origin(source="design").lines().of(("top",)) is None


@pytest.mark.parametrize(
    ("path", "where"),
    [
        (("bays",), "bays"),
        (("profile", "width"), "profile.width"),
        (("rail", 1, "height"), "rail[2].height"),
        (("rail", 0), "rail[1]"),
        (("brace", 0, "corners", 2), "brace[1].corners[3]"),
        ((), ""),
    ],
)
def test_a_path_as_the_user_counts_and_back(path, where):
    assert where_of(path) == where
    assert path_of(where) == path


def test_a_long_name_is_cut():
    assert len(where_of(("hoop", "x" * 500))) < 60
