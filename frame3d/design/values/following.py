"""Defaults that follow other fields: a socket's tube goes by the hoop's, a swage by its tube.

A default that stood still would be refused as soon as what it hangs on is changed, and the
message would name a field that the user never wrote.

Glossary
--------
place : a field as messages name it, ``hoop.overlap`` or ``rail[2].stock_length``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator

from msgspec import Struct
from pydantic.config import JsonValue

from frame3d.catalog import timber_rows, tube_stock_lengths_mm
from frame3d.catalog.sliding import slides_well, tube_over
from frame3d.design.tables.ends import LEAST_IN_NOTCH_MM
from frame3d.design.tables.fields import (
    FieldKind,
    Table,
    Written,
    read_length,
    read_timber,
    read_tube,
)
from frame3d.design.values.field_info import FieldFacts, sections
from frame3d.errors import CatalogError, DesignError
from frame3d.units import MM_PER_FOOT, MM_PER_INCH, UnitSystem

PLAN_REACH_MM = {
    "iso": (("A3", 35_200.0), ("A2", 52_600.0)),
    "us": (("B", 34_700.0), ("C", 46_900.0)),
}
"""The longest frame whose plan has room on a sheet at 1:100, or at 1/8 in to the foot (common
practice, no source), with 30 mm for what stands beside it; tests hold it against the sheets. No
larger sheets: letters of 2.5 mm on A2 are 1.8 mm printed on A3, the least that ISO 3098 has."""
Rule = Callable[[Table, Table, UnitSystem], JsonValue]


class Follower(Struct, frozen=True):
    """A default that follows other fields.

    Parameters
    ----------
    rule : callable
        From the table, the whole design and the units to the value as a file has it, or None
        to keep the usual default.
    means : str
        The field that a refusal of this one means; of its own table where no other is named,
        empty for this one itself.
    goes_by : str
        What it follows, after "it goes by".
    """

    rule: Rule
    means: str
    goes_by: str


_I = UnitSystem.IMPERIAL
_HOOPS = ("to_hoop", "from_hoop")
_SAME_MM = 1e-6
_HOLES_APART_MM = 1.25 * MM_PER_INCH
"""Least distance of the holes of a socket (common practice, no source)."""


def follow(result: Table, mapping: Table, units: UnitSystem) -> None:
    """Put the defaults that follow others into ``result``, which has all other defaults.

    ``mapping`` is the design as it was given. Where what is followed cannot be read, the usual
    default stays: that fault is told by itself.
    """
    for _, given, table, (section, name) in left_out(mapping, result, FOLLOWING):
        facts = sections()[section].fields[name]
        try:
            value = FOLLOWING[section, name].rule(table, {**result, "given": given}, units)
            if facts.kind is FieldKind.LENGTH and isinstance(value, str):
                value = _within(facts, value, table.get(name))
        except (ValueError, TypeError, KeyError, AttributeError):
            continue
        if value is not None:
            table[name] = value


def _within(facts: FieldFacts, text: str, usual: str | None) -> str | None:
    """A length within what the field may be; None where it is the usual one."""
    length = read_length(text)
    if usual is not None and abs(length - read_length(usual)) < _SAME_MM:
        return None
    low = -math.inf if facts.low is None else facts.low
    inside = min(max(length, low), math.inf if facts.high is None else facts.high)
    return text if inside == length else f"{inside:g} mm"


def places_left_out(mapping: Table) -> frozenset[str]:
    """Every place where a default that follows others is used."""
    whole = {name: mapping.get(name) or {} for name, _ in FOLLOWING}
    return frozenset(place for place, *_ in left_out(mapping, whole, FOLLOWING))


def named_as_given(error: DesignError, left_out: frozenset[str]) -> DesignError:
    """The refusal, named by what the user gave where it names a default that only follows that."""
    start, _, name = error.where.rpartition(".")
    follower = FOLLOWING.get((start.partition("[")[0], name))
    if follower is None or error.where not in left_out or not follower.means:
        return error
    place = follower.means if "." in follower.means else f"{start}.{follower.means}"
    return DesignError(f"{error.where} is not given and follows from this: {error.message}", place)


def left_out(
    mapping: Table, result: Table, fields: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, Table, Table, tuple[str, str]]]:
    """Each place of ``fields`` that is left out: its name, its table as given and as completed."""
    for section, name in fields:
        several = sections()[section].several
        given, filled = (
            (tables if several else [tables])
            for tables in (mapping.get(section), result.get(section))
        )
        if not isinstance(filled, (list, tuple)):
            continue
        for number, table in enumerate(filled):
            if not isinstance(table, dict):
                continue
            mine = given[number] if isinstance(given, (list, tuple)) and given[number] else {}
            if mine.get(name) is None:
                where = f"{section}[{number + 1}]" if several else section
                yield f"{where}.{name}", mine, table, (section, name)


def _spacing(bays: Table, design: Table, units: UnitSystem) -> str | None:
    """Bays of the usual width where nothing but the length is given."""
    given = {name for name, value in design["given"].items() if value is not None}
    if given != {"length"}:
        return None
    return "4 ft" if units is _I else "1.5 m"


def _usual(section: str, name: str, units: UnitSystem) -> float:
    """The default that does not follow, mm."""
    return read_length(sections()[section].fields[name].default(units))


def _told(length_mm: float, units: UnitSystem) -> str:
    """A length to the nearest sixteenth of an inch or millimetre, as a file has it."""
    if units is _I:
        return f"{math.floor(16 * length_mm / MM_PER_INCH + 0.5) / 16:g} in"
    return f"{math.floor(length_mm + 0.5)} mm"


def _hole_heights(design: Table, units: UnitSystem) -> tuple[float, float]:
    """Heights of the socket's holes above the ground, mm: well within the sill board, or usual."""
    low, high = (
        _usual("socket", "exposed", units) - _usual("socket", name, units)
        for name in ("lower_hole", "upper_hole")
    )
    board = design.get("sill_board")
    if isinstance(board, dict):
        plain = sections()["sill_board"].fields
        usual = read_timber(plain["timber"].default(units)).depth_mm
        foot = _usual("sill_board", "bottom", units)
        bottom, deep = read_length(board["bottom"]), read_timber(board["timber"]).depth_mm
        low = bottom + min(low - foot, deep / 4)
        high = bottom + deep - min(foot + usual - high, deep / 4)
    return low, high


def _upper_hole(socket: Table, design: Table, units: UnitSystem) -> str:
    at = read_length(socket["exposed"]) - _hole_heights(design, units)[1]
    return _told(max(at, 20.0), units)


def _lower_hole(socket: Table, design: Table, units: UnitSystem) -> str:
    at = read_length(socket["exposed"]) - _hole_heights(design, units)[0]
    return _told(max(at, read_length(socket["upper_hole"]) + _HOLES_APART_MM), units)


def _insertion(socket: Table, design: Table, units: UnitSystem) -> str:
    """The usual length, and past the lower hole by as much as usual."""
    usual = _usual("socket", "insertion", units)
    past = usual - _usual("socket", "lower_hole", units)
    return _told(max(usual, read_length(socket["lower_hole"]) + past), units)


def _socket_length(socket: Table, design: Table, units: UnitSystem) -> str:
    """The usual length, and as deep in the ground as usual."""
    usual = _usual("socket", "length", units)
    deep = usual - _usual("socket", "exposed", units)
    return _told(max(usual, read_length(socket["exposed"]) + deep), units)


def _from_height(brace: Table, design: Table, units: UnitSystem) -> str:
    """The usual height, and as far above the sockets as usual."""
    usual = _usual("brace", "from_height", units)
    above = usual - _usual("socket", "exposed", units)
    return _told(max(usual, read_length(design["socket"]["exposed"]) + above), units)


def _to_hoop(brace: Table, design: Table, units: UnitSystem) -> int:
    """As many bays on as usual, or as are left; from the last hoop back."""
    to, since = (sections()["brace"].fields[name].default(units) for name in _HOOPS)
    if not isinstance(to, int) or not isinstance(since, int):
        raise TypeError(f"hoops of a brace from {since!r} to {to!r}")
    first, bays = int(brace["from_hoop"]), to - since
    count = _bay_count(design["bays"])
    last = first + bays if count is None else count + 1
    return min(first + bays, last) if first < last else max(1, first - bays)


def _bay_count(bays: Table) -> int | None:
    """How many bays there are, where that can be told."""
    if bays.get("count") is not None:
        return int(bays["count"])
    widest = bays.get("largest_spacing") or bays.get("spacing")
    if bays.get("length") is None or widest is None:
        return None
    return max(1, math.ceil(read_length(bays["length"]) / read_length(widest) - 1e-6))


def _sheet_size(output: Table, design: Table, units: UnitSystem) -> str:
    """That of an office printer; the next larger where the plan is in fewer pieces on it."""
    bays = design["bays"]
    count = _bay_count(bays)
    length = bays.get("length")
    reach = read_length(length) if length else (count or 0) * read_length(bays["spacing"])
    sizes = PLAN_REACH_MM[str(_plain(output["sheets"]))]
    return min(sizes, key=lambda size: math.ceil(reach / size[1]))[0]


def _fixing(rail: Table, design: Table, units: UnitSystem) -> str | None:
    """Clamped where ridge plates leave no place for its bolt."""
    at_plates = (
        _plain(design["profile"].get("style")) == "gothic"
        and _plain(design["hoop"]["ridge_joint"]) == "plates"
    )
    return "clamped" if at_plates and _plain(rail["at"]) == "ridge" else None


def as_usual(table: Table, design: Table, units: UnitSystem) -> None:
    """The usual one; where it does not fit, the layout finds another."""


def _door_end(door: Table, design: Table, units: UnitSystem) -> str | None:
    """At the back where only that has an end wall."""
    ends = {_plain(wall["at"]) for wall in design.get("end_wall", ())}
    return "back" if ends == {"back"} else None


def _stud_top(wall: Table, design: Table, units: UnitSystem) -> str | None:
    """Bolted behind a hoop that is too thick to notch the studs for; else what goes by studs."""
    left = read_timber(wall["timber"]).depth_mm - read_tube(design["hoop"]["tube"]).od_mm
    return "bolted" if _plain(wall["studs"]) == "timber" and left < LEAST_IN_NOTCH_MM else None


def _sill(wall: Table, design: Table, units: UnitSystem) -> str | None:
    """The usual board, or one of about its thickness that is as wide as the studs are deep."""
    usual, deep = read_timber(wall["sill"]), read_timber(wall["timber"]).depth_mm
    if usual.depth_mm >= deep:
        return None
    wide = [row.value for row in timber_rows() if row.value.depth_mm >= deep]
    best = min(
        wide,
        default=None,
        key=lambda one: (round(abs(one.thickness_mm - usual.thickness_mm), 1), one.depth_mm),
    )
    return None if best is None else best.name


def _overlap(hoop: Table, design: Table, units: UnitSystem) -> str:
    """Three outside diameters, to the nearest half inch or centimetre."""
    wanted = 3 * read_tube(hoop["tube"]).od_mm
    if units is _I:
        return f"{math.floor(2 * wanted / MM_PER_INCH + 0.5) / 2:g} in"
    return f"{10 * math.floor(wanted / 10 + 0.5)} mm"


def _over_the_hoop(hoop: Table, usual: str, units: UnitSystem) -> str | None:
    """The usual tube where the hoop tube slides well into it, else one of the catalogue."""
    inner = read_tube(hoop["tube"])
    if slides_well(read_tube(usual), inner):
        return usual
    found = tube_over(inner, units)
    return None if found is None else found.name


def _usual_socket(units: UnitSystem) -> str:
    return str(sections()["socket"].fields["tube"].default(units))


def _socket(socket: Table, design: Table, units: UnitSystem) -> str | None:
    return _over_the_hoop(design["hoop"], _usual_socket(units), units)


def _ridge_tube(hoop: Table, design: Table, units: UnitSystem) -> str | None:
    gothic = _plain(design["profile"].get("style")) == "gothic"
    if not gothic or _plain(hoop.get("ridge_joint")) != "sleeve":
        return None
    return _over_the_hoop(hoop, _usual_socket(units), units)


def _ridge_bend(hoop: Table, design: Table, units: UnitSystem) -> str | None:
    """As much more than usual as the bender asks for, in whole inches or centimetres."""
    if hoop.get("ridge_tube") is None:
        return None
    least = float(hoop["smallest_bend"]) * read_tube(hoop["ridge_tube"]).od_mm
    if least <= read_length(hoop["ridge_bend_radius"]):
        return None
    if units is _I:
        return f"{math.ceil(least / MM_PER_INCH - 1e-9)} in"
    return f"{10 * math.ceil(least / 10 - 1e-9)} mm"


def _splice_tube(hoop: Table, design: Table, units: UnitSystem) -> str | None:
    if _plain(hoop.get("splice")) != "sleeve":
        return None
    return _over_the_hoop(hoop, _usual_socket(units), units)


def _stock(opening: Table, design: Table, units: UnitSystem) -> str | None:
    """The length of boards for a hip board; for a rail the nearest that its tube is sold in."""
    if _plain(opening["hip"]) != "rail":
        return None
    usual = read_length(opening["stock_length"])
    try:
        lengths = tube_stock_lengths_mm(read_tube(opening["tube"]).name)
    except CatalogError:
        return None
    length = min(lengths, key=lambda one: abs(one - usual))
    feet = round(length / MM_PER_FOOT, 6)
    return f"{feet:g} ft" if feet.is_integer() else f"{length:g} mm"


def _stop(opening: Table, design: Table, units: UnitSystem) -> JsonValue:
    """As the hip board where that is too thick for a screw that the usual one holds."""
    hip, usual = (read_timber(opening[name]) for name in ("timber", "stop"))
    thick = hip.thickness_mm > 1.5 * usual.thickness_mm
    section: JsonValue = opening["timber"]
    return section if thick and _plain(opening["hip"]) == "board" else None


def _plain(choice: Written) -> Written:
    """A choice as a file has it, also where a program gave a member of the enumeration."""
    return getattr(choice, "value", choice)


FOLLOWING: dict[tuple[str, str], Follower] = {
    ("output", "sheet_size"): Follower(
        _sheet_size, "", "the length of the frame, whose plan is in fewer pieces on a larger sheet"
    ),
    ("bays", "largest_spacing"): Follower(
        _spacing, "length", "length, where nothing else is given"
    ),
    ("hoop", "pieces"): Follower(
        as_usual, "", "hoop_stock in [practice]: more pieces where one would be longer"
    ),
    ("hoop", "splice_tube"): Follower(_splice_tube, "tube", "tube, which slides into it"),
    ("hoop", "overlap"): Follower(_overlap, "tube", "tube: about three outside diameters"),
    ("hoop", "ridge_tube"): Follower(_ridge_tube, "tube", "tube, which slides into it"),
    ("hoop", "ridge_bend_radius"): Follower(
        _ridge_bend, "tube", "ridge_tube and smallest_bend, and is never less than here"
    ),
    ("socket", "tube"): Follower(_socket, "hoop.tube", "tube in [hoop], which slides into it"),
    ("socket", "upper_hole"): Follower(_upper_hole, "exposed", "exposed and [sill_board]"),
    ("socket", "lower_hole"): Follower(_lower_hole, "exposed", "exposed and [sill_board]"),
    ("socket", "insertion"): Follower(_insertion, "exposed", "lower_hole, and is never less"),
    ("socket", "length"): Follower(_socket_length, "exposed", "exposed, and is never less"),
    ("rail", "fixing"): Follower(_fixing, "", "at, and ridge_joint in [hoop]"),
    ("brace", "from_height"): Follower(_from_height, "", "exposed in [socket], and is never less"),
    ("brace", "to_hoop"): Follower(_to_hoop, "from_hoop", "from_hoop: two bays on"),
    ("end_wall", "top"): Follower(_stud_top, "", "studs, timber and tube in [hoop]"),
    ("end_wall", "sill"): Follower(_sill, "timber", "timber, and is as wide as that is deep"),
    ("door", "at"): Follower(_door_end, "", "at in [[end_wall]]"),
    ("end_wall", "braces"): Follower(as_usual, "", "what is there: fewer where no more fit"),
    ("door", "height"): Follower(as_usual, "", "the hoop: lower where that is too low over it"),
    ("tie", "height"): Follower(as_usual, "", "the hoop: lower where that is too low"),
    ("side_opening", "stop"): Follower(_stop, "timber", "timber: as that where it is thicker"),
    ("side_opening", "stock_length"): Follower(_stock, "", "hip and what that is sold in"),
}
"""Fields whose default follows others; what is followed stands before what follows it."""
