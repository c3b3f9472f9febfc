"""A design file is changed where its values change, and nowhere else."""

from __future__ import annotations

import copy
import tomllib

import pytest

from frame3d.design.writing.editing import edited_text, plain_text
from frame3d.design.writing.template import design_text
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

TEXTS = {name: path.read_text("utf-8") for name, path in example_paths().items()} | {
    f"new {style.value} {units.value}": design_text(style, units)
    for style in ArchStyle for units in UnitSystem
}  # fmt: skip
FILE = """# Ours.
[profile]
width = "20 ft"   # what the plot allows
# leg_lean = "0 deg"
ridge_height = "11 ft"

# The bays.
[bays]
count = 4 # and one hoop more
spacing = "4 ft"

[[rail]]
# the first
at = "ridge"

[[rail]]
# the second
fraction = 0.5 # half way

# [side_opening]
# height = "4 ft"
"""


def changed(text: str, change) -> tuple[str, dict]:
    wanted = copy.deepcopy(tomllib.loads(text))
    change(wanted)
    return edited_text(text, wanted), wanted


@pytest.mark.parametrize("name", TEXTS)
def test_nothing_changes_where_nothing_differs(name: str) -> None:
    assert edited_text(TEXTS[name], tomllib.loads(TEXTS[name])) == TEXTS[name]


@pytest.mark.parametrize("name", TEXTS)
def test_one_value_is_one_line(name: str) -> None:
    text, wanted = changed(TEXTS[name], lambda d: d["profile"].update(width="31 ft 7 in"))
    assert tomllib.loads(text) == wanted
    before, after = TEXTS[name].splitlines(), text.splitlines()
    assert len(before) == len(after)
    assert [b for a, b in zip(before, after, strict=True) if a != b] == ['width = "31 ft 7 in"']


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        (lambda d: d["profile"].update(width="22 ft"), '"20 ft"   #', '"22 ft"   #'),
        (lambda d: d["profile"].pop("width"), 'width = "20 ft"   # what the plot allows\n', ""),
        (lambda d: d["profile"].update(leg_lean="1 deg"),
         '# leg_lean = "0 deg"', 'leg_lean = "1 deg"'),
        (lambda d: d["bays"].update(length="16 ft"), '"4 ft"\n\n[[rail]]\n# the first',
         '"4 ft"\nlength = "16 ft"\n\n[[rail]]\n# the first'),
        (lambda d: d["rail"].pop(0), '[[rail]]\n# the first\nat = "ridge"\n', ""),
        (lambda d: d["rail"].append({"at": "ridge"}), "# half way\n",
         '# half way\n\n[[rail]]\nat = "ridge"\n'),
        (lambda d: d.update(side_opening={"height": "5 ft"}), "# [side_opening]\n",
         '[side_opening]\nheight = "5 ft"\n'),
        (lambda d: d.update(tie=[{"height": "9 ft"}]), '# height = "4 ft"\n',
         '# height = "4 ft"\n\n[[tie]]\nheight = "9 ft"\n'),
        (lambda d: d["rail"][1].update(fraction=0.25), "0.5 #", "0.25 #"),
        (lambda d: d["rail"][1].update(tube={"outside": "42.4 mm", "wall": "3 mm"}), "# half way\n",
         '# half way\ntube = { outside = "42.4 mm", wall = "3 mm" }\n'),
    ],
)  # fmt: skip
def test_a_change_changes_its_place_and_no_other(change, old: str, new: str) -> None:
    text, wanted = changed(FILE, change)
    assert tomllib.loads(text) == wanted
    assert text == FILE.replace(old, new, 1)


@pytest.mark.parametrize(
    "source",
    ["", "profile.width = '3 m'\n", 'rail = [{ at = "ridge" }]\n', "[a.b]\nc = 1\n", "[broken\n",
     '[profile]\nwidth = """\n20 ft"""\n', '\ufeff[profile]\r\nwidth = "3 ft"\r\n', "x = 1\n"],
)  # fmt: skip
def test_whatever_the_file_is_the_values_are_those_that_are_wanted(source: str) -> None:
    wanted = tomllib.loads(FILE) | {
        "door": [{"width": 'a "quoted" \\ name', "girts": ["1 m", "2 m"]}]
    }
    assert tomllib.loads(edited_text(source, wanted)) == wanted
    assert tomllib.loads(plain_text(wanted)) == wanted
