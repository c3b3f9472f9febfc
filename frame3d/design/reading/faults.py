"""Faults of a design, told to the user as the file has them.

Validation gives places and kinds of error in its own terms; here they become
sentences: what was got, what is allowed in the units of the design, what to do.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Iterable

from pydantic_core import ErrorDetails

from frame3d.design.reading.lines import Lines
from frame3d.design.tables.fields import FieldKind, Table, Written, shown
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.starter_values import EXAMPLES
from frame3d.errors import DesignError, Fault
from frame3d.units import MM_PER_INCH, LengthFormat, UnitSystem

Path = tuple[str | int, ...]
_LONGEST_NAME = 40
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STEP = re.compile(r"([^.\[\]]+)|\[(\d+)\]")
_TOO_LONG = ("string_too_long", "string_too_short", "too_long", "too_short")


def where_of(path: Path) -> str:
    """A path as it stands in a message: ``rail[2].height`` for ``("rail", 1, "height")``."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step + 1}]"
            continue
        name = step if _BARE.fullmatch(step) else shown(step)
        if len(name) > _LONGEST_NAME:
            name = name[:_LONGEST_NAME] + "..."
        text += f".{name}" if text else name
    return text


def path_of(where: str) -> Path:
    """The path of a place in a message: ``("rail", 1, "height")`` for ``rail[2].height``."""
    return tuple(match[1] if match[1] else int(match[2]) - 1 for match in _STEP.finditer(where))


def fault_at(path: Path, message: str, lines: Lines) -> Fault:
    """A fault with the line of its path."""
    return Fault(where=where_of(path), message=message, line=lines.of(path))


def fault_of(
    error: ErrorDetails, mapping: Table, units: UnitSystem, lines: Lines, hints: bool
) -> Fault:
    """The fault that one error of validation means.

    Parameters
    ----------
    error : mapping
        One of ``ValidationError.errors()``.
    mapping : dict
        The design as the user wrote it, without defaults.
    units : UnitSystem
        In which limits are shown.
    lines : Lines
    hints : bool
        Whether to look for a similar name; it takes time, so not for the hundredth fault.
    """
    path: Path = tuple(error["loc"])
    got = value_at(mapping, path)
    if error["type"] == "extra_forbidden":
        return fault_at(path, unknown_name(path, hints), lines)
    section = sections().get(str(path[0])) if path else None
    if section is None:
        return fault_at(path, error["msg"], lines)
    depth = 2 if section.several else 1
    if len(path) <= depth:
        return _of_section(error, path, got, section, lines)
    facts = section.fields[str(path[depth])]
    if error["type"] == "missing":
        return fault_at(path, f"is missing; give {facts.kind.value}: {facts.meaning}", lines)
    if facts.several and len(path) == depth + 1:
        return fault_at(path, _of_list(error, got, section, facts, units), lines)
    return fault_at(path, _of_field(error, got, facts, units), lines)


def value_at(mapping: Written, path: Path) -> Written:
    """What the user wrote at a path; None for nothing."""
    for step in path:
        if isinstance(mapping, dict) and step in mapping:
            mapping = mapping[str(step)]
        elif isinstance(step, int) and isinstance(mapping, (list, tuple)):
            mapping = mapping[step] if step < len(mapping) else None
        else:
            return None
    return mapping


def _of_section(
    error: ErrorDetails, path: Path, got: Written, section: TableInfo, lines: Lines
) -> Fault:
    """A fault of a whole section: absent, of the wrong form, or at odds with itself."""
    kind = error["type"]
    if kind == "missing":
        fields = ", ".join(section.fields)
        message = f"is missing; a design needs a {section.header} section with {fields}"
    elif kind == "value_error":
        return _own(error, path, lines)
    elif kind == "too_long" and isinstance(got, (list, tuple)):
        message = (
            f"there are {len(got)} {section.header} sections; the most allowed is {section.most}"
        )
    elif section.several and len(path) == 1:
        if isinstance(got, dict):
            message = (
                f"has single brackets; there may be several of these, so write [[{section.name}]]"
            )
        else:
            message = f"got {shown(got)}; it must be a section, {section.header}, with its fields"
    elif isinstance(got, (list, tuple)) and not section.several:
        message = f"has double brackets; there is only one of these, so write {section.header} once"
    else:
        message = f"got {shown(got)}; it must be a section, {section.header}, with its fields"
    return fault_at(path, message, lines)


def _own(error: ErrorDetails, path: Path, lines: Lines) -> Fault:
    """A fault that a model found by itself; it may name the field."""
    cause = error["ctx"]["error"]
    if isinstance(cause, DesignError):
        return fault_at((*path, *path_of(cause.where)), cause.message, lines)
    return fault_at(path, str(cause), lines)


def _of_field(error: ErrorDetails, got: Written, facts: FieldFacts, units: UnitSystem) -> str:
    """What is wrong with one value, or with one item of a list."""
    kind = error["type"]
    if facts.choices:
        return f"got {shown(got)}; {allowed(facts, units)}{_meant(got, facts.choices)}"
    if kind == "value_error":
        return str(error["ctx"]["error"])
    if kind in _TOO_LONG and isinstance(got, str):
        return f"got {shown(got)}, {len(got)} characters; {allowed(facts, units)}"
    return f"got {shown(got)}; {allowed(facts, units)}"


def _of_list(
    error: ErrorDetails, got: Written, section: TableInfo, facts: FieldFacts, units: UnitSystem
) -> str:
    """What is wrong with a list as a whole."""
    if error["type"] == "too_long":
        return f"got {shown(got)}; it may have at most {facts.longest} items, so remove some"
    end = " or some of these" if facts.choices else ""
    items: Written = facts.choices or facts.default(units)
    if not items:  # a list that is empty by default
        items = EXAMPLES[section.name, facts.name][units is UnitSystem.METRIC]
    listed = items if isinstance(items, (list, tuple)) else ()
    example = f"[{', '.join(shown(item) for item in listed)}]{end}"
    if error["type"] == "too_short":
        return f"got {shown(got)}; it needs at least one item, {example}"
    empty = "" if facts.shortest else ", or [] for none"
    such = "" if facts.choices else "such as "
    return f"got {shown(got)}; it must be a list in brackets, {such}{example}{empty}"


def described(facts: FieldFacts, units: UnitSystem) -> str:
    """What a field holds and within which limits: ``a length, between 20 mm and 400 mm``."""
    rule, kind = allowed(facts, units).removeprefix("it must be "), facts.kind.value
    item = kind if rule == kind else f"{kind}, {rule}"
    return f"a list of at most {facts.longest}, each {item}" if facts.several else item


def allowed(facts: FieldFacts, units: UnitSystem) -> str:
    """What a field may hold: ``it must be between 300 mm and 6000 mm``."""
    if facts.choices:
        return "it must be one of " + ", ".join(shown(choice) for choice in facts.choices)
    if facts.kind is FieldKind.TEXT and facts.several:
        return "it must be text"  # how long says the field's own fault
    if facts.kind is FieldKind.TEXT:
        least, most = facts.shortest or 0, facts.longest
        size = f"{least} to {most}" if least else f"at most {most}"
        return f"it must be text of {size} characters"
    low, high = limit_texts(facts, units)
    if low and high and facts.low_itself and facts.high_itself:
        return f"it must be between {low} and {high}"
    words = []
    if low:
        words.append(f"at least {low}" if facts.low_itself else f"more than {low}")
    if high:
        words.append(f"at most {high}" if facts.high_itself else f"less than {high}")
    return f"it must be {' and '.join(words) or facts.kind.value}"


def limit_texts(facts: FieldFacts, units: UnitSystem) -> tuple[str, str]:
    """The limits in the units of the design, empty where there is none.

    They are rounded inward where they do not come out even, so that what is shown as
    allowed is.
    """
    low = "" if facts.low is None else _limit(facts.low, facts.kind, units, math.ceil)
    high = "" if facts.high is None else _limit(facts.high, facts.kind, units, math.floor)
    return low, high


def _limit(value: float, kind: FieldKind, units: UnitSystem, inward: Callable[[float], int]) -> str:
    if kind is FieldKind.ANGLE:
        return f"{inward(math.degrees(value) * 10 - 1e-9) / 10 if value else 0:g} deg"
    if kind not in (FieldKind.LENGTH, FieldKind.RADIUS):
        return f"{value:.12g}"
    if units is UnitSystem.METRIC:
        return f"{value:g} mm" if abs(value) < 10000 else f"{value / 1000:g} m"
    step = MM_PER_INCH if abs(value) >= 1000 else MM_PER_INCH / 16
    return LengthFormat(system=units).text(inward(value / step - 1e-9) * step)


def _meant(got: Written, names: Iterable[str | int]) -> str:
    """``; did you mean "gothic"?`` for a near miss, or nothing."""
    if not isinstance(got, str) or len(got) > _LONGEST_NAME:
        return ""
    near = _nearest(got, [name for name in names if isinstance(name, str)])
    return f"; did you mean {shown(near)}?" if near else ""


def _nearest(name: str, names: list[str]) -> str | None:
    simple = {re.sub(r"[^a-z0-9]", "", candidate.lower()): candidate for candidate in names}
    found = difflib.get_close_matches(re.sub(r"[^a-z0-9]", "", name.lower()), list(simple), n=1)
    return simple[found[0]] if found else None


def unknown_name(path: Path, hints: bool) -> str:
    """A name that the design does not have."""
    name = str(path[-1])
    if len(path) == 1:
        return _unknown_section(name, hints)
    section = sections()[str(path[0])]
    near = None
    if hints and len(name) <= _LONGEST_NAME:
        near = _nearest(name, list(section.fields))
        owners = [s.header for s in sections().values() if name in s.fields and s is not section]
        if owners:
            there = " or ".join(owners)
            also = f", or did you mean {near}?" if near else ""
            return (
                f"is not a field of {section.header}; it belongs in {there}, so move it there{also}"
            )
    if near:
        return f"is not a field of {section.header}; did you mean {near}?"
    return f"is not a field of {section.header}; its fields are {', '.join(section.fields)}"


def _unknown_section(name: str, hints: bool) -> str:
    headers = ", ".join(section.header for section in sections().values())
    if hints and len(name) <= _LONGEST_NAME:
        owners = [section.header for section in sections().values() if name in section.fields]
        if owners:
            return f"comes before any section; move it under {' or '.join(owners)}"
        near = _nearest(name, list(sections()))
        if near:
            return f"is not a section of a design; did you mean {sections()[near].header}?"
    return f"is not a section of a design; the sections are {headers}"
