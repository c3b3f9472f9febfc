"""Whatever stands in a design file, the reader gives a design or says what is wrong."""

from __future__ import annotations

import datetime
import json
import math
import re
import string
import tomllib

from hypothesis import example, given, settings
from hypothesis import strategies as st
from offered import whole_text

from frame3d.design.reading.lines import key_lines
from frame3d.design.reading.reader import design_from_mapping, design_from_text, locate
from frame3d.design.reading.syntax import decoded
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.field_info import sections
from frame3d.design.values.starter_values import EXAMPLES
from frame3d.errors import DesignError, DesignFaults
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

FIELDS = sorted({name for section in sections().values() for name in section.fields})
CHOICES = sorted(
    {str(choice) for s in sections().values() for f in s.fields.values() for choice in f.choices}
)

plausible = st.one_of(
    st.sampled_from(
        [
            "20 ft", "6' 3 1/2\"", "5.5 m", "300 mm", "0 mm", "1e9 m", "-1 ft", "20 deg", "90 deg",
            "4 in 12", "straight", "NPS 1-1/4 STD", "50 x 3 mm", "2 in x 14 ga", "2x8", "47x200",
            "3/8-16", "M10", "2024-03-31", "-", "", "1/0 in", "½ in", "20\u00a0ft",
        ]
    ),
    st.sampled_from(CHOICES),
)  # fmt: skip
scalars = st.one_of(
    plausible,
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    st.integers(-5, 500),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.times(),
    st.datetimes(timezones=st.just(datetime.UTC)),
)
names = st.one_of(
    st.sampled_from([*FIELDS, *sections(), "outside", "wall", "name", "thickness", "depth"]),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(names, inner, max_size=3)),
    max_leaves=6,
)


def fitting(section, facts):
    """Values that the field may have by itself."""
    found = [facts.imperial, facts.metric, *EXAMPLES.get((section.name, facts.name), ())]
    found += [] if facts.several else facts.choices
    return st.sampled_from([value for value in found if value is not None])


def tables(section):
    """Tables of a section in which all fields are good ones, or some hold anything at all."""
    good = st.fixed_dictionaries(
        {}, optional={name: fitting(section, facts) for name, facts in section.fields.items()}
    )
    some = st.dictionaries(st.sampled_from(sorted(section.fields)), values, max_size=2)
    strange = st.dictionaries(names, values, max_size=1)
    worse = st.builds(lambda a, b, c: {**c, **b, **a}, some, good, strange)
    return st.one_of(good, good, good, worse)


def section_values(section):
    one = tables(section)
    usual = st.lists(one, max_size=3) if section.several else one
    return st.one_of(*[usual] * 8, one, st.lists(one, max_size=2), scalars)


designs = st.builds(
    lambda base, strange, rest: {**strange, **rest, **base},
    st.fixed_dictionaries(
        {},
        optional={name: section_values(section) for name, section in sections().items()},
    ),
    st.one_of(st.just({}), st.just({}), st.dictionaries(names, values, max_size=1)),
    st.sampled_from([{}, *[{"profile": {"width": "6 m"}, "bays": {"count": 3}}] * 3]),
)


def outcome(read):
    """The design or the faults; anything else that is raised fails the test."""
    try:
        design = read()
    except DesignFaults as error:
        assert error.faults
        for fault in error.faults:
            assert fault.message.strip()
            assert len(fault.where) < 300 and len(str(fault)) < 1500
        return error
    assert isinstance(design, Design)
    return design


@settings(max_examples=300, deadline=None, derandomize=True)
@given(designs)
def test_any_mapping_gives_a_design_or_faults(mapping):
    outcome(lambda: design_from_mapping(mapping))


@settings(max_examples=400, deadline=None, derandomize=True)
@given(
    st.sampled_from([(s, u) for s in ArchStyle for u in UnitSystem]),
    st.sampled_from([(n, f) for n, s in sections().items() for f in s.fields.values()]),
    st.data(),
)
def test_one_field_of_a_good_design_holds_anything(start, spot, data):
    """About half of these are designs; a fault names the field, or its section."""
    name, facts = spot
    mapping = tomllib.loads(whole_text(*start))
    table = mapping[name][0] if sections()[name].several else mapping[name]
    table[facts.name] = data.draw(st.one_of(fitting(sections()[name], facts), values))
    result = outcome(lambda: design_from_mapping(mapping))
    if isinstance(result, DesignFaults):
        # A field can be at odds with another of its section, but of no other.
        assert {re.match("[a-z_]+", fault.where)[0] for fault in result.faults} == {name}
        return
    assert hash(result) == hash(design_from_mapping(mapping))
    for model in (result.profile, result.bays, result.socket):
        for value in model.__dict__.values():
            assert not (isinstance(value, float) and math.isnan(value))


def written(value):
    """A value in TOML 1.0, by its grammar; text is JSON's, which escapes all but DEL."""
    if isinstance(value, dict):
        pairs = (f"{written(key)} = {written(item)}" for key, item in value.items())
        return "{ " + ", ".join(pairs) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    return str(value).lower() if isinstance(value, bool) else str(value)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(designs.filter(bool))
def test_a_file_says_the_same_as_its_mapping_and_knows_the_lines(mapping):
    """One section on each line, so that the line of a fault follows from its place."""
    text = "\n".join(f"{written(key)} = {written(value)}" for key, value in mapping.items())
    from_file = outcome(lambda: design_from_text(text))
    from_mapping = outcome(lambda: design_from_mapping(mapping))
    if isinstance(from_file, Design):
        assert from_file == from_mapping
        return
    assert isinstance(from_mapping, DesignFaults)
    told = sorted((fault.where, fault.message) for fault in from_file.faults)
    assert told == sorted((fault.where, fault.message) for fault in from_mapping.faults)
    keys = list(mapping)
    for fault in from_file.faults:
        section = re.match(r"[a-z_]*", fault.where)[0]
        if section in sections():
            expected = keys.index(section) + 1 if section in mapping else None
            assert fault.line == expected


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(max_size=200))
@example("a = " + "[" * 3000)
@example("a" + ".a" * 20000 + " = 1")
@example("[" + "a." * 20000 + "a]")
@example("a = 0x" + "f" * 9000)
@example("[[rail]]\n" * 3000)
@example("[profile]\nwidth = '\ud800 ft'")
@example("=\r\r\n\x85\u2028[")
def test_any_text_gives_a_design_or_faults(text):
    outcome(lambda: design_from_text(text))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(alphabet="[]{}=\"'.,#\n\\ -_abc019:TZ+", max_size=60))
def test_any_text_that_looks_like_toml(text):
    outcome(lambda: design_from_text(text))
    outcome(lambda: design_from_text("[profile]\nwidth = '6 m'\n[bays]\n" + text))
    key_lines(text)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.binary(max_size=100))
def test_any_bytes_are_text_or_faults(data):
    try:
        assert isinstance(decoded(data, "x"), str)
    except DesignFaults as error:
        assert len(error.faults) == 1


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.data())
def test_a_good_file_with_one_slip_of_the_keyboard(data):
    """Any one character of a good file deleted, doubled or replaced."""
    style = data.draw(st.sampled_from(list(ArchStyle)))
    text = whole_text(style, data.draw(st.sampled_from(list(UnitSystem))))
    places = [m.start() for m in re.finditer(r"(?<=\n)[a-z_\[][^\n]*", text)]
    place = data.draw(st.sampled_from(places))
    place += data.draw(st.integers(0, text.index("\n", place) - place))
    typed = data.draw(st.sampled_from(["", text[place] * 2, *string.printable]))
    outcome(lambda: design_from_text(text[:place] + typed + text[place + 1 :]))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    st.sampled_from([(s, u) for s in ArchStyle for u in UnitSystem]),
    st.sampled_from([(n, f) for n, s in sections().items() for f in s.fields]),
)
def test_a_fault_is_told_on_the_line_of_its_field(start, spot):
    """A list stands where no field of its kind may have one; the line is found by searching."""
    section, field = spot
    facts = sections()[section].fields[field]
    lines = whole_text(*start).splitlines()
    begin = lines.index(sections()[section].header)
    end = next((i for i in range(begin + 1, len(lines))
                if re.match(r"(# )?\[+[a-z_]+\]+$", lines[i])), len(lines))  # fmt: skip
    number = next((i for i in range(begin, end) if re.match(rf"(# )?{field} = ", lines[i])), None)
    if number is None:
        # Told in words where it cannot stand beside what is given.
        number = begin + 1
        lines.insert(number, "")
    value = '"nonsense"' if facts.several else "[[1]]"
    lines[number] = f"{field} = {value}"
    index = "[1]" if sections()[section].several else ""
    error = outcome(lambda: design_from_text("\n".join(lines)))
    assert isinstance(error, DesignFaults)
    # A style that cannot be read leaves nothing else wrong; one field, one fault.
    assert [(f.where, f.line) for f in error.faults] == [(f"{section}{index}.{field}", number + 1)]


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    st.sampled_from([(s, u) for s in ArchStyle for u in UnitSystem]),
    st.one_of(st.sampled_from(["bays.length", "rail[2].at", "rail[9].at"]), st.text(max_size=30)),
)
def test_any_place_can_be_located(start, where):
    design = design_from_text(whole_text(*start))
    (fault,) = locate(design, DesignError("does not fit", where)).faults
    assert (fault.where, fault.message) == (where, "does not fit")
