"""Walks: what ``frame3d new`` writes, or an example, with one to four changes as users make them.

A length becomes another by whole feet or whole decimetres (small ones by whole inches or
centimetres), a count or a choice another that the schema takes. These find more than free
designs: they stay near what is usual, where parts meet that were laid out for each other.
"""

from __future__ import annotations

import copy
import functools
import random
import tomllib

from whole_designs import HOOPS, RAILS, SOCKETS, that_take

from frame3d.design.tables.fields import FieldKind
from frame3d.design.values.field_info import FieldFacts, sections
from frame3d.design.values.starter_values import EXAMPLES
from frame3d.design.writing.short_file import short_text
from frame3d.design.writing.starters import new_tables
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import MM_PER_FOOT, MM_PER_INCH, UnitSystem, parse_length

FRAME = (
    "profile", "bays", "hoop", "socket", "rail", "brace", "sill_board", "side_opening", "tie",
    "end_wall", "door",
)  # fmt: skip
"""The tables that say what stands where; what the walks change."""
OFTEN = ("profile", "bays", "end_wall", "door", "side_opening", "tie", "rail", "brace")
OPTIONAL = ("side_opening", "tie", "rail", "brace", "end_wall", "door", "machine", "sill_board")
_MORE = ("girts", "positions")
_TRIES = 60
_STUDS = {"imperial": ["2x4", "2x6", "4x4"], "metric": ["47x100", "47x150", "38x140"]}
_WIDE = {"imperial": ["2x6", "2x8", "2x10"], "metric": ["47x150", "47x200", "38x140"]}


@functools.cache
def starters() -> dict[str, dict]:
    """The designs that walks begin at, by name; not to be changed."""
    found = {
        f"{style.value} {units.value}": tomllib.loads(short_text(new_tables(style, units), units))
        for style in ArchStyle for units in UnitSystem
    }  # fmt: skip
    for name, path in sorted(example_paths().items()):
        found[name] = tomllib.loads(path.read_text("utf-8"))
    for design in found.values():
        design.pop("format", None)
    return found


def walk(seed: int, number: int) -> tuple[dict, list[str]]:
    """Walk ``number`` of ``seed``, and what was changed, in words; always the same."""
    chance = random.Random(f"walk {seed} {number}")
    start = chance.choice(sorted(starters()))
    design = copy.deepcopy(starters()[start])
    units = design["output"]["units"]
    told = [start]
    wanted = chance.choice([1, 2, 2, 3, 3, 4])
    for _ in range(_TRIES):
        change = _change(chance, design, units)
        if change and change.split(" = ")[0] not in {one.split(" = ")[0] for one in told}:
            told.append(change)
            if len(told) > wanted:
                break
    return design, told


def _change(chance: random.Random, design: dict, units: str) -> str | None:
    """Change one thing of ``design``; in words what, or None where that cannot be."""
    if chance.random() < 0.12:
        return _table(chance, design)
    name = chance.choice([s for s in (*OFTEN, *OFTEN, *FRAME) if design.get(s) is not None])
    several = isinstance(design[name], list)
    if several and not design[name]:
        return None
    number = chance.randrange(len(design[name])) if several else 0
    table = design[name][number] if several else design[name]
    keys = _changeable(name, table)
    if not keys:
        return None
    # What is given is changed more often than what is left to its default.
    given = [key for key in keys if key in table]
    keys = given if given and chance.random() < 0.8 else keys
    fields = sections()[name].fields
    lengths = [key for key in keys if fields[key].kind is FieldKind.LENGTH]
    key = chance.choice(lengths if lengths and chance.random() < 0.6 else keys)
    value = _other(chance, fields[key], table.get(key), units, name)
    if value is None or value == table.get(key):
        return None
    table[key] = value
    if (name, key) == ("rail", "height"):
        table.pop("fraction", None)
    if (name, key) == ("rail", "fraction"):
        table.pop("height", None)
    if (name, key) == ("hoop", "tube"):  # whoever takes another tube takes what it goes into
        fit = that_take(value, SOCKETS[units])
        design.setdefault("socket", {})["tube"] = chance.choice(fit)
        if design["profile"]["style"] == "gothic":
            table["ridge_tube"] = chance.choice(fit)
    place = f"{name}[{number + 1}]" if several else name
    return f"{place}.{key} = {value}"


def _changeable(name: str, table: dict) -> list[str]:
    """The fields that a user would change: what is given, what has a default, a list to fill.

    Others, given besides, contradict what is given, and the file says so where they stand.
    """
    keys = [
        key
        for key, facts in sections()[name].fields.items()
        if key in table or key in _MORE or facts.imperial not in (None, [])
    ]
    if name == "rail":
        # Whoever wants a rail elsewhere writes another; one at the ridge has no more than this.
        kept = ("tube", "fixing", "stock_length", "overlap", "overhang")
        if table.get("at") == "ridge":
            return [key for key in keys if key in kept]
        return [key for key in keys if key != "at"]
    return [key for key in keys if (name, key) != ("profile", "style")]


def _table(chance: random.Random, design: dict) -> str | None:
    """Take a table in with its defaults, or leave one out."""
    name = chance.choice(OPTIONAL)
    several = sections()[name].several
    if name not in design:
        design[name] = [{}] if several else {}
        if name == "rail":
            design[name] = [{"fraction": 0.4}]
        return f"{name} = taken in"
    if several and len(design[name]) > 1:
        number = chance.randrange(len(design[name]))
        del design[name][number]
        return f"{name}[{number + 1}] = left out"
    if name == "end_wall":
        design.pop("door", None)
    del design[name]
    return f"{name} = left out"


def _other(chance: random.Random, facts: FieldFacts, now, units: str, section: str):
    """Another value for a field, as its user would write it; None where there is none."""
    imperial = units == "imperial"
    if now is None:
        usual, example = facts.default(UnitSystem(units)), EXAMPLES.get((section, facts.name))
        now = example[0 if imperial else 1] if usual is None and example else usual
    if facts.several:
        return _some(chance, facts, now, imperial)
    if facts.kind in (FieldKind.LENGTH, FieldKind.RADIUS):
        return _length(chance, facts, now, imperial)
    if facts.kind is FieldKind.CHOICE:
        return chance.choice([c for c in facts.choices if c != now] or [None])
    if facts.kind is FieldKind.WHOLE and isinstance(now, int):
        return _within(facts, now + chance.choice([-3, -2, -1, 1, 2, 3, 5, 8]))
    if facts.kind is FieldKind.NUMBER and isinstance(now, float):
        return _within(facts, round(now + chance.choice([-0.2, -0.1, 0.1, 0.2]), 2))
    if facts.kind is FieldKind.ANGLE:
        degrees = int(float(str(now or "0 deg").split()[0]))
        return f"{max(0, degrees + chance.choice([-5, -3, -2, -1, 1, 2, 3, 5]))} deg"
    if facts.kind is FieldKind.TUBE:
        return chance.choice({"hoop": HOOPS, "socket": SOCKETS}.get(section, RAILS)[units])
    if facts.kind is FieldKind.TIMBER:
        wide = section == "sill_board" or facts.name == "sill"
        return chance.choice((_WIDE if wide else _STUDS)[units])
    return None


def _some(chance: random.Random, facts: FieldFacts, now, imperial: bool):
    """Another list: of lengths one more or one fewer, of choices some."""
    if facts.choices:
        return chance.sample(list(facts.choices), chance.randint(1, len(facts.choices)))
    if facts.kind is not FieldKind.LENGTH or facts.name not in _MORE:
        return None
    size = chance.randint(1, 3)
    low = 1 if facts.name == "girts" else -9
    places = sorted(chance.sample(range(low, 10), size))
    return [f"{n} ft" if imperial else f"{300 * n} mm" for n in places]


def _length(chance: random.Random, facts: FieldFacts, now, imperial: bool):
    """A length some whole feet or decimetres from ``now``, inches or centimetres if it is small."""
    if now in (None, "straight"):
        return None
    mm = parse_length(now, allow_negative=True)
    big, small = (MM_PER_FOOT, MM_PER_INCH) if imperial else (100.0, 10.0)
    step = big if abs(mm) >= MM_PER_FOOT else small
    few = imperial or step == small
    steps = [1, 1, 1, 2, 2, 3] if few else [1, 2, 3, 4, 5, 6]
    if facts.name == "width":
        steps = [*steps, 4, 5, 6, 8, 10]
    count = round(mm / step) + chance.choice(steps) * chance.choice([-1, 1])
    # No more than half or twice as much, unless it is small.
    if step == big and not abs(mm) / 2 <= abs(count * step) <= 2 * abs(mm):
        return None
    if _within(facts, count * step) is None:
        return None
    if imperial:
        return f"{count} ft" if step == MM_PER_FOOT else f"{count} in"
    return f"{round(count * step)} mm"


def _within(facts: FieldFacts, value):
    """``value`` where the schema takes it; a user sees the limits beside the field."""
    low, high = facts.low, facts.high
    if low is not None and (value < low or (value == low and not facts.low_itself)):
        return None
    if high is not None and (value > high or (value == high and not facts.high_itself)):
        return None
    return value


__all__ = ["starters", "walk"]
