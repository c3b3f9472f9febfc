"""Every limit that a refusal tells is taken when it is typed: all numeric fields, pushed too far.
Every length in a message stands as the design's units are written.

Each number of a whole design is made smaller and larger, step by step, to the ends of what the
schema takes and past them. Whatever a message then offers is written into the field that it is
offered for, and that field may not be refused again.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import Any

import pytest
from campaign import examples
from campaigning.walks import walk as any_walk
from message_form import misprinted
from walks import Walk
from wall_walks import WallWalk

from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import report_of, report_text
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.fields import FieldKind, read_length
from frame3d.design.values.field_info import FieldFacts, sections
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.units import UnitSystem, parse_angle

Mapping = dict[str, Any]
_ALL_SHARES = (0.01, 0.05, 0.2, 0.5, 0.7, 0.85, 0.95, 1.05, 1.15, 1.3, 1.6, 2.0, 3.0, 6.0, 25.0)
SHARES = _ALL_SHARES[:: max(1, len(_ALL_SHARES) // examples(3))]
"""Few in every run, all in a campaign."""
LENGTHWISE = {"bays": {"count": 5, "spacing": "5 ft"}}
GOTHIC = {
    "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "12 ft",
                "leg_height": "4 ft", "eave_radius": "4 ft", "ridge_slope": "20 deg"},
    **LENGTHWISE, "hoop": {}, "socket": {},
    "rail": [{"fraction": 0.5}, {"at": "ridge"}, {"height": "10 ft 6 in"}],
    "brace": [{"to_height": "6 ft 6 in"}], "sill_board": {}, "side_opening": {}, "tie": [{}],
    "end_wall": [{"girts": ["4 ft"]}], "door": [{}],
}  # fmt: skip
QUONSET = {
    **GOTHIC,
    "profile": {"style": "quonset", "width": "20 ft", "ridge_height": "11 ft",
                "leg_height": "1 ft 6 in", "eave_radius": "7 ft"},
    "hoop": {"pieces": 3, "splice": "sleeve"}, "side_opening": {"hip": "rail"},
    "rail": [{"fraction": 0.5, "fixing": "clamped"}, {"at": "ridge", "fixing": "clamped"}],
    "tie": [{"joint": "plates", "webs": 2}], "end_wall": [{"studs": "tube"}],
    "door": [{"kind": "sliding", "width": "3 ft"}],
}  # fmt: skip
PLAIN = {
    "profile": {"style": "gothic", "width": "16 ft", "ridge_height": "9 ft"},
    "bays": {"length": "50 ft", "spacing": "5 ft"}, "hoop": {"ridge_joint": "plates"},
    "socket": {}, "tie": [{"joint": "plates", "height": "6 ft", "webs": 2}],
    "machine": [{}], "nearby": [{}],
}  # fmt: skip
TIGHT = {
    "profile": {"style": "gothic", "width": "14 ft", "ridge_height": "10 ft",
                "rafter_radius": "20 ft", "leg_height": "3 ft"},
    "bays": {"count": 6, "length": "24 ft"}, "hoop": {"pieces": 4}, "socket": {},
    "rail": [{"height": "7 ft"}], "sill_board": {}, "tie": [{"height": "7 ft 6 in"}],
}  # fmt: skip
BASES = {"gothic": GOTHIC, "quonset": QUONSET, "plain": PLAIN, "tight": TIGHT}
SHAPELESS = ("practice", "order", "labels", "tolerances", "staking", "clearance", "cover",
             "surroundings", "machine", "nearby")  # fmt: skip
"""Tables that the layout does not look at."""
_ALL = [(base, units.value) for base in BASES for units in UnitSystem]
PAIRS = _ALL if examples(4) > 4 else [_ALL[0], _ALL[3], _ALL[4], _ALL[7]]
"""Each design, and each system of units with two of them; in a campaign each with each."""
PROFILE = ("width", "ridge_height", "leg_height", "leg_lean", "eave_radius", "crown_radius",
           "rafter_radius", "ridge_slope")  # fmt: skip

_PART = r"\d+(?:[.]\d+)?(?: \d+/\d+)?|\d+/\d+"
QUANTITY = (
    rf"-?(?:\d+'-(?:{_PART})\"|(?:{_PART})(?:\"| (?:mm|m|in|ft|deg)\b|°)|(?:{_PART})(?![\w'\"°.]))"
)
OFFERS = (
    rf"between ({QUANTITY}) and ({QUANTITY})",
    rf"from ({QUANTITY}) to ({QUANTITY}) high",
    rf"at (?:least|most) ({QUANTITY})",
    rf"make it ({QUANTITY}) to ({QUANTITY})",
    rf"make (?:it|the door at most) ({QUANTITY})",
)
NAMED = (
    rf"\b({'|'.join((*PROFILE, 'length', 'spacing', 'count'))}) ({QUANTITY})(?: to ({QUANTITY}))?"
)
RELATIVE = re.compile(r"at (?:least|most) [^;,]*? (?:apart|inside|outside|from it)\b")
"""What is said of a distance to something else, or of a tube, and not of the field."""
BAYS = rf"({QUANTITY}) \(\d+ bays?\)"


def put(design: Mapping, where: str, value: object) -> Mapping:
    """The design with another value at a place such as ``rail[1].height``."""
    result = copy.deepcopy(design)
    section, number, name = re.fullmatch(r"(\w+)(?:\[(\d+)\])?\.(\w+)", where).groups()
    table = result.setdefault(section, {})
    (table[int(number) - 1] if number else table)[name] = value
    return result


def faults(design: Mapping, *, laid_out: bool = True) -> dict[str, str]:
    """Field and message of what is refused."""
    try:
        read = design_from_mapping(design)
        if laid_out:
            lay_out(read)
    except DesignFaults as error:
        return {fault.where: fault.message for fault in error.faults}
    except DesignError as error:
        return {error.where: error.message}
    return {}


def offers(where: str, message: str) -> Iterator[tuple[str, str]]:
    """Each field with a value that the message offers for it."""
    if "is not given and follows from this: " in message:  # tells of that one, not of this field
        return
    start = message.partition("make ")[2] if where.startswith(("profile", "bays")) else ""
    named = list(re.finditer(NAMED, start))
    for found in named:
        section = "profile" if found[1] in PROFILE else "bays"
        yield from ((f"{section}.{found[1]}", text) for text in found.groups()[1:] if text)
        if section == "bays":
            tail = start[found.start() :].partition(", or ")[0]
            yield from ((f"bays.{found[1]}", text) for text in re.findall(BAYS, tail))
    if named:
        return
    message = RELATIVE.sub("", message)
    for pattern in OFFERS:
        for found in re.finditer(pattern, message):
            yield from ((where, text) for text in found.groups())


def typed(facts: FieldFacts, text: str) -> object:
    """The text as somebody would put it into the file."""
    if facts.kind in (FieldKind.WHOLE, FieldKind.NUMBER):
        return int(text) if text.lstrip("-").isdigit() else float(text)
    return [text] if facts.several else text


def pushed(facts: FieldFacts, given: Any, units: UnitSystem) -> Iterator[object]:
    """Values from far too small to far too large, and those just past the schema's ends."""
    ends = [end for end in (facts.low, facts.high) if end is not None and abs(end) < 1e9]
    if facts.kind in (FieldKind.WHOLE, FieldKind.NUMBER):
        middle = given if given is not None else 1
        values = [middle * share for share in SHARES] + [
            end + off for end in ends for off in (-1, 0, 1)
        ]
        yield from (round(v) if facts.kind is FieldKind.WHOLE else round(v, 3) for v in values)
        return
    if facts.kind is FieldKind.ANGLE:
        middle = parse_angle(given) if given else 0.2
        yield from (f"{value:.4f} rad" for value in [middle * share for share in SHARES] + ends
                    + [end + 0.05 for end in ends])  # fmt: skip
        return
    text = (given or [None])[0] if isinstance(given, list) else given
    middle = read_length(text) if text and not text.startswith("0 ") else 1000.0
    values = [middle * share for share in SHARES] + [
        end + off for end in ends for off in (-1, 0, 1)
    ]
    for value in values:
        if value >= 0:
            yield [f"{value:.2f} mm"] if facts.several else f"{value:.2f} mm"


def numeric_fields(design: Mapping) -> Iterator[tuple[str, FieldFacts, Any]]:
    kinds = (FieldKind.LENGTH, FieldKind.RADIUS, FieldKind.ANGLE, FieldKind.NUMBER, FieldKind.WHOLE)
    units = UnitSystem(design["output"]["units"])
    for section in sections().values():
        given = design.get(section.name)
        if given is None and (section.several or section.optional):
            continue
        tables = given if isinstance(given, list) else [given or {}]
        for number, table in enumerate(tables, start=1):
            start = f"{section.name}[{number}]" if section.several else section.name
            for facts in section.fields.values():
                if facts.kind in kinds and not facts.choices:
                    value = table.get(facts.name, facts.default(units))
                    yield f"{start}.{facts.name}", facts, value


def broken_promises(design: Mapping) -> tuple[int, list[str]]:
    """How many limits were typed, and those that were refused."""
    count, broken = 0, []
    units = UnitSystem(design["output"]["units"])
    for where, facts, given in numeric_fields(design):
        seen: set[tuple[str, str]] = set()
        shapes = where.partition(".")[0].partition("[")[0] not in SHAPELESS
        for value in pushed(facts, given, units):
            spoilt = put(design, where, value)
            for place, message in faults(spoilt, laid_out=shapes).items():
                broken += [f"{place}: {message}: {what}" for what in misprinted(message, units)]
                place = where if place.startswith(f"{where}[") else place  # an item of a list
                if place != where and not place.startswith(("profile", "bays")):
                    continue
                # What a field may be at all is for the schema to take; the rest follows then.
                whole = shapes and not message.startswith("got ")
                for field, text in offers(place, message):
                    if (field, text) in seen:
                        continue
                    seen.add((field, text))
                    own = sections()[field.partition(".")[0].partition("[")[0]].fields
                    value = typed(own[field.rpartition(".")[2]], text)
                    told = faults(put(spoilt, field, value), laid_out=whole)
                    count += 1
                    same = [p for p in told if p == field or p.startswith(f"{field}[")]
                    if not whole:
                        same = [p for p in same if told[p].startswith("got ")]
                    if field.startswith("profile") and whole:
                        same += [p for p in told if p.startswith("profile")]
                    if same:
                        broken.append(
                            f"{where} = {value}: {message}\n   {field} = {text}: {told[same[0]]}"
                        )
    return count, broken


@pytest.mark.parametrize(("base", "units"), PAIRS)
def test_every_limit_that_is_told_can_be_typed(base: str, units: str) -> None:
    count, broken = broken_promises({"output": {"units": units}, **BASES[base]})
    assert count > 40
    assert not broken, f"{len(broken)} of {count}\n" + "\n".join(broken)


def walked(number: int) -> Iterator[Mapping]:
    """Three designs that contradict themselves here and there, as users' do."""
    yield Walk(number, walls=bool(number % 2)).design
    yield WallWalk(number).design
    yield any_walk(3, number + 1)[0]


def messages_of(design: Mapping) -> list[str]:
    """All that is told of a design: why it is refused, or what is found, as it is printed."""
    told = faults(design)
    if told:
        return [f"{where}: {message}" for where, message in told.items()]
    frame = lay_out(design_from_mapping(design))
    found = check_frame(frame)
    lines = [f"{f.where}: {f.message} {f.advice}" for f in found]
    return [*lines, *report_text(report_of(frame, found)).splitlines()]


@pytest.mark.parametrize("batch", range(4))
def test_lengths_in_messages_stand_in_the_units_of_the_design(batch: int) -> None:
    count = examples(6)
    for number in range(batch * count, (batch + 1) * count):
        for design in walked(number):
            units = UnitSystem(design["output"]["units"])
            for message in messages_of(design):
                assert misprinted(message, units) == [], (number, message)


@pytest.mark.parametrize(("units", "message", "count"), [
    ("metric", "the longest stocked is 200 mm (7.87402 in): use another", 2),
    ("imperial", "it lies -0\" beside it", 1),
    ("imperial", "a girt at 12 mm; set end_stop = \"0 mm\"", 1),
    ("metric", "48 x 2 mm is 2\" wide", 1),
    ("metric", "at most 1e-05 mm", 1),
    ("imperial", "48.3 x 2.6 mm (1 29/32\" outside) at 7'-0\", 0\" off: make \"2x8\" less", 0),
])  # fmt: skip
def test_what_is_misprinted_is_found(units: str, message: str, count: int) -> None:
    assert len(misprinted(message, UnitSystem(units))) == count
