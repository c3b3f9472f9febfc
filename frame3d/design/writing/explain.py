"""What there is to know of a field: what it is, its range and unit, its default and why.

The same facts for a reader on the terminal and, as plain values, for programs.

Glossary
--------
dotted name : ``hoop.tube``; ``rail[2].height``, as messages have it, means ``rail.height``.
"""

from __future__ import annotations

import difflib
import re

from pydantic.config import JsonValue

from frame3d.catalog import CatalogKind, names
from frame3d.design.reading.faults import described
from frame3d.design.tables.fields import FieldKind
from frame3d.design.values.defaults import FOLLOWS
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import FOLLOWING
from frame3d.design.values.starter_values import EXAMPLES
from frame3d.design.writing.template import toml
from frame3d.errors import DesignError
from frame3d.units import UnitSystem

Json = dict[str, JsonValue]
_NUMBER = re.compile(r"\[\d+\]")
_WRITTEN = {
    FieldKind.LENGTH: 'text with its unit (ft, in, mm, cm, m), such as "22 ft" or "5.5 m"',
    FieldKind.RADIUS: 'text with its unit (ft, in, mm, cm, m), such as "22 ft", or "straight"',
    FieldKind.ANGLE: 'text with its unit, such as "20 deg" or "4 in 12"',
    FieldKind.POINT: 'text, across at height, such as "-2 ft at 6 ft"',
    FieldKind.PLACE: 'text, across by along from the corner socket, such as "-12 ft by 40 ft"',
    FieldKind.TUBE: 'a name of the catalogue, or { outside = "42.4 mm", wall = "3.2 mm" }',
    FieldKind.TIMBER: 'a name of the catalogue, or { thickness = "47 mm", depth = "200 mm" }',
    FieldKind.TEXT: "text in quotes",
    FieldKind.DATE: 'text, such as "2026-03-31", or "-"',
    FieldKind.WHOLE: "a whole number without quotes",
    FieldKind.NUMBER: "a number without quotes",
    FieldKind.CHOICE: "one of those below",
}
"""How a field of each kind is written, and in which units."""
_NO_REASON = "a common starting value; no source is named"
_BOTH = (UnitSystem.IMPERIAL, UnitSystem.METRIC)


def found_fields(name: str) -> list[tuple[TableInfo, FieldFacts | None]]:
    """The fields that a name means: one, the same of several tables, or a table (None).

    Raises
    ------
    DesignError
        If it means none; with the nearest names.
    """
    asked = _NUMBER.sub("", name.strip().strip("[]"))
    table, dot, field = asked.partition(".")
    known = sections()
    if table in known and not dot:
        return [(known[table], None)]
    if table in known and field in known[table].fields:
        return [(known[table], known[table].fields[field])]
    if not dot and any(asked in section.fields for section in known.values()):
        return [(s, s.fields[asked]) for s in known.values() if asked in s.fields]
    raise DesignError(f'there is no table or field "{asked[:60]}"{_meant(asked, table, field)}')


def _meant(asked: str, table: str, field: str) -> str:
    known = sections()
    every = [f"{s.name}.{name}" for s in known.values() for name in s.fields]
    if table in known:
        near = difflib.get_close_matches(field, list(known[table].fields), 3, 0.5)
        if near or field:
            named = [f"{table}.{one}" for one in near]
            owners = [f"{s.name}.{field}" for s in known.values() if field in s.fields]
            named += owners
            told = f"did you mean {' or '.join(named)}? " if named else ""
            return f"; {told}[{table}] has {', '.join(known[table].fields)}"
    pool = [*known, *every, *dict.fromkeys(one.partition(".")[2] for one in every)]
    near = difflib.get_close_matches(asked, pool, 4, 0.6)
    if near:
        return f"; did you mean {' or '.join(near)}?"
    return f"; there are {', '.join(known)}"


def table_facts(section: TableInfo) -> Json:
    """A table of a design file, with the facts of its fields."""
    return {
        "table": section.name,
        "header": section.header,
        "meaning": section.meaning,
        "several": section.several,
        "most": section.most,
        "fields": [field_facts(section, facts) for facts in section.fields.values()],
    }


def field_facts(section: TableInfo, facts: FieldFacts) -> Json:
    """All that is known of a field.

    Returns
    -------
    dict
        ``allowed`` and ``default`` by units; ``why`` of the default and what it ``follows``;
        ``without_default`` where it may be left out and then has no value.
    """
    key = (section.name, facts.name)
    follower, leader = FOLLOWING.get(key), FOLLOWS.get(key)
    follows = follower.goes_by if follower else leader[0] if leader else ""
    found: Json = {
        "name": f"{section.name}.{facts.name}",
        "meaning": facts.meaning,
        "kind": facts.kind.value,
        "written": _WRITTEN[facts.kind],
        "several": facts.several,
        "choices": list(facts.choices),
        "allowed": {units.value: described(facts, units) for units in _BOTH},
        "default": {units.value: facts.default(units) for units in _BOTH},
        "why": facts.why,
        "follows": follows,
        "without_default": facts.optional,
    }
    if key in EXAMPLES:
        found["example"] = dict(zip((u.value for u in _BOTH), EXAMPLES[key], strict=True))
    if facts.kind in (FieldKind.TUBE, FieldKind.TIMBER):
        kind = CatalogKind.TUBE if facts.kind is FieldKind.TUBE else CatalogKind.TIMBER
        found["catalogue"] = list(names(kind))
    return found


def field_rows(section: TableInfo, facts: FieldFacts) -> list[tuple[str, str]]:
    """The same in words: what is told, and how it is called."""
    key = (section.name, facts.name)
    found = field_facts(section, facts)
    meaning = facts.meaning if facts.meaning.endswith((".", "?")) else f"{facts.meaning}."
    rows = [("What it is", meaning), ("Stands in", section.header)]
    rows.append(("Written as", f"{'a list, each ' if facts.several else ''}{found['written']}"))
    if facts.choices:
        rows.append(("Choices", ", ".join(toml(choice) for choice in facts.choices)))
    elif facts.kind not in (FieldKind.TUBE, FieldKind.TIMBER, FieldKind.DATE):
        rows.append(("Range", _in_both([described(facts, units) for units in _BOTH])))
    rows.append(("Default", _default(facts)))
    follows = found["follows"]
    if facts.why:
        rows.append(("Why", facts.why))
    if follows:
        rows.append(("Follows", str(follows)))
    if not (facts.why or follows or facts.optional):
        rows.append(("Why", _NO_REASON))
    if key in EXAMPLES:
        rows.append(("Example", _in_both([f"{facts.name} = {toml(v)}" for v in EXAMPLES[key]])))
    catalogue = found.get("catalogue")
    if isinstance(catalogue, list):
        rows.append(("Catalogue", "; ".join(str(name) for name in catalogue)))
    return rows


def _default(facts: FieldFacts) -> str:
    pair = [facts.default(units) for units in _BOTH]
    if pair == [None, None]:
        return "none"
    return _in_both([toml(value) for value in pair])


def _in_both(pair: list[str]) -> str:
    """What holds in both systems, or one with the other; what both begin with once."""
    first, second = pair
    if first == second:
        return first
    start, same, rest = first.partition(", ")
    if same and second.startswith(f"{start}, "):
        return f"{start}, {rest} (imperial), {second.removeprefix(f'{start}, ')} (metric)"
    return f"{first} (imperial), {second} (metric)"
