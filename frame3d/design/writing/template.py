"""The design file in which every field is told of, behind a # where it is left out.

Made from the models: what a field means, what it may be and what it is by default
is written once, in :mod:`frame3d.design.tables.whole_design`.
"""

from __future__ import annotations

import json
import re
import textwrap

from frame3d.design.reading.faults import allowed, described
from frame3d.design.reading.formats import FORMAT, FORMAT_FIELD
from frame3d.design.tables.fields import FieldKind, Table, Written
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import FOLLOWING
from frame3d.design.values.starter_values import (
    EXAMPLES,
    INSTEAD,
    INSTEAD_OF_STYLE,
    OFFERED,
    STYLED,
)
from frame3d.design.writing.starters import NEW_NAME, new_tables
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

_WIDTH = 90
_TIED = "\u00a0"
# What is kept on one line: braces (a line of them would look like a field), short
# quoted text, a number with its unit.
_QUANTITY = re.compile(
    r"\{[^}]+\}"
    r'|"[^"]{1,30}"'
    r"""|(?<![\w.])\d[\d'-]*(?: \d+/\d+)?(?:"| (?:mm|m|in|ft|deg)\b)"""
)

_PREFACE = (
    "A design of a tunnel frame. Change the values and build it again.",
    'A length is text with its unit: "22 ft", "6 ft 3 1/2 in", \'6 in\', "5.5 m", "42.4 mm". '
    'An angle too: "20 deg", "4 in 12". Units may be mixed freely; what is printed follows '
    "units in [output].",
    "Lines that start with # are comments. A field behind # is not set: it shows the "
    "default, or an example. Remove the # to use it.",
    "The first line lets an editor check this file, once frame3d fields --schema --out "
    "frame3d.schema.json has written the schema beside it.",
    "Defaults are starting points and no advice on strength: loads, foundations and permits are "
    "for local codes and a licensed professional.",
)
SCHEMA_LINE = "#:schema ./frame3d.schema.json"
"""By this, editors complete and check a file: see ``frame3d fields --schema``."""
_TUBE_HELP = (
    "A tube is a name from the catalogue, outside diameter x wall, or "
    '{ outside = "42.4 mm", wall = "3.2 mm" }.'
)
_TIMBER_HELP = (
    'A board is a name from the catalogue, or { thickness = "47 mm", depth = "200 mm" }, '
    "actual size."
)


def design_text(style: ArchStyle, units: UnitSystem, name: str = NEW_NAME) -> str:
    """The text of a complete design file, every field with its meaning, range and default.

    Parameters
    ----------
    style : ArchStyle
    units : UnitSystem
    name : str
        Name of the tunnel: 1 to 60 characters that drawings can show.

    Raises
    ------
    DesignError
        If the name does not fit.
    """
    return full_text(new_tables(style, units, name), style, units)


def full_text(tables: dict[str, list[Table]], style: ArchStyle, units: UnitSystem) -> str:
    """The same for a design of these tables; what they lack stands behind a #."""
    preface = [SCHEMA_LINE, "\n#\n".join(comment(paragraph) for paragraph in _PREFACE)]
    blocks = ["\n".join(preface), f"{FORMAT_FIELD} = {FORMAT}"]
    for section in _in_order():
        if section.name in OFFERED:
            blocks.append(_offered(section, units))
            continue
        for number, given in enumerate(tables.get(section.name, [{}])):
            blocks.append(
                _again(section, given) if number else _first(section, given, units, style)
            )
    return "\n\n".join(blocks) + "\n"


_AFTER = {"tie": "cover", "boundary": "tolerances"}
"""Sections that stand after another one than in the model."""


def _in_order() -> list[TableInfo]:
    """The sections; one behind a # after one that shares no field with it.

    A field that loses its # without its header would go into the section above.
    """
    names = [name for name in sections() if name not in _AFTER]
    for name, before in _AFTER.items():
        names.insert(names.index(before) + 1, name)
    return [sections()[name] for name in names]


def _first(section: TableInfo, given: Table, units: UnitSystem, style: ArchStyle) -> str:
    """A section with everything that there is to say about its fields."""
    lines = [_heading(section), section.header]
    for facts in section.fields.values():
        key = section.name, facts.name
        told = None if facts.name in given else _only_told(key, units, style)
        about, *line = _field(section, facts, given, units)
        lines += ["", about, *line] if told is None else ["", f"{about}\n{told}"]
    return "\n".join(lines)


def _only_told(key: tuple[str, str], units: UnitSystem, style: ArchStyle) -> str | None:
    """What stands in place of an example that could not be taken in as the design is."""
    name = key[1]
    if STYLED.get(key, style) is not style:
        return comment(f"{name}: only for a {STYLED[key].value} profile.")
    if key not in INSTEAD or INSTEAD_OF_STYLE.get(key, style) is not style:
        return None
    example = f"{name} = {toml(EXAMPLES[key][units is UnitSystem.METRIC])}"
    return comment(f"It goes {INSTEAD[key]}, for example: {example}", example)


def _offered(section: TableInfo, units: UnitSystem) -> str:
    """A section that not every tunnel has, with its header and all fields behind a #.

    With its defaults it is complete, so that the header alone switches it on.
    """
    use = (
        "This tunnel has none so far. To use this section, remove the # from "
        f"{section.header}, and from each field you want to change."
    )
    lines = [_heading(section, use), f"# {section.header}"]
    for facts in section.fields.values():
        about, line = _field(section, facts, {}, units)
        lines += ["", about, line]
    return "\n".join(lines)


def _heading(section: TableInfo, use: str = "") -> str:
    """The ruled comment over a section: what it is, how many there may be, how to write sizes."""
    told = [section.meaning]
    if section.several:
        told.append(f"There may be several, or none: start each with {section.header}.")
    elif section.optional and not use:
        told.append("Without this section there are none.")
    kinds = {facts.kind for facts in section.fields.values()}
    told += [use] * bool(use)
    told += [_TUBE_HELP] * (FieldKind.TUBE in kinds) + [_TIMBER_HELP] * (FieldKind.TIMBER in kinds)
    return "\n".join(["# " + "-" * (_WIDTH - 2), comment(" ".join(told))])


def _again(section: TableInfo, given: Table) -> str:
    """Another table of the same section, without repeating what its fields mean."""
    lines = [comment("Another one, with the same fields; anything not given has its default.")]
    return "\n".join([*lines, section.header, *(f"{k} = {toml(v)}" for k, v in given.items())])


def _field(section: TableInfo, facts: FieldFacts, given: Table, units: UnitSystem) -> list[str]:
    default = facts.default(units)
    about = [_sentence(facts.meaning), _range(facts, units)]
    if default is not None:
        why = f": {facts.why}" if facts.why else ""
        about.append(_sentence(f"Default {toml(default)}{why}"))
    elif facts.why:
        about.append(_sentence(facts.why))
    follower = FOLLOWING.get((section.name, facts.name))
    if follower:
        about.append(f"Default: follows {follower.goes_by}.")
    lines = [comment(" ".join(part for part in about if part))]
    if facts.name in given:
        return [*lines, f"{facts.name} = {toml(given[facts.name])}"]
    value = default
    if default in (None, []):
        value = EXAMPLES[section.name, facts.name][units is UnitSystem.METRIC]
    return [*lines, f"# {facts.name} = {toml(value)}"]


def _range(facts: FieldFacts, units: UnitSystem) -> str:
    """What may stand there, as a sentence; empty where the meaning says it all."""
    if facts.choices:
        one = "Any of" if facts.several else "One of"
        return f"{one} {', '.join(toml(choice) for choice in facts.choices)}."
    if facts.kind is FieldKind.TEXT and facts.longest is None:
        return ""
    if facts.kind is FieldKind.TEXT:
        return _sentence(allowed(facts, units).removeprefix("it must be "))
    return _sentence(described(facts, units))


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?")) else f"{text}."


def comment(text: str, whole: str = "") -> str:
    """``text`` wrapped to comment lines; a quantity such as "1 3/16 in" stays on one line.

    So does ``whole``, with the word before it: a line that began with it would look like a
    field behind a #.
    """
    text = _QUANTITY.sub(lambda match: match[0].replace(" ", _TIED), text)
    if whole:
        tied = _QUANTITY.sub(lambda match: match[0].replace(" ", _TIED), whole)
        text = text.replace(f" {tied}", f" {tied}".replace(" ", _TIED))
    lines = textwrap.wrap(
        text, _WIDTH, initial_indent="# ", subsequent_indent="# ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return "\n".join(lines).replace(_TIED, " ")


def toml(value: Written) -> str:
    """A value as it is written in a design file."""
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)
