"""Fill in the defaults that a design leaves out.

A default can depend on the units of the design, and some follow another field:
a design in feet that asks for metric bolts gets M10, not 3/8-16. What follows sizes is in
:mod:`frame3d.design.values.following`.
"""

from __future__ import annotations

from frame3d.design.tables.fields import Table, Written
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import follow
from frame3d.units import UnitSystem

_I, _M = UnitSystem.IMPERIAL, UnitSystem.METRIC

FOLLOWS: dict[tuple[str, str], tuple[str, dict[str, UnitSystem]]] = {
    ("output", "sheet_size"): ("sheets", {"us": _I, "iso": _M}),
    ("output", "sheets"): (
        "sheet_size",
        {**dict.fromkeys("ABCDE", _I), **dict.fromkeys(("A4", "A3", "A2", "A1", "A0"), _M)},
    ),
    ("hardware", "frame_bolt"): ("system", {"inch": _I, "metric": _M}),
    ("hardware", "door_bar_thickness"): ("system", {"inch": _I, "metric": _M}),
    ("hardware", "door_bar_width"): ("system", {"inch": _I, "metric": _M}),
    ("hardware", "board_bolt"): ("system", {"inch": _I, "metric": _M}),
}
"""Field whose default follows another field of its section: that field, and for each
value of it the units of the default."""


def units_of(mapping: Table) -> UnitSystem:
    """The units that a design asks for; feet and inches when it does not say, or says nonsense."""
    output = mapping.get("output")
    asked = output.get("units") if isinstance(output, dict) else None
    if isinstance(asked, UnitSystem):
        return asked
    return _M if asked == _M.value else _I


def completed(mapping: Table) -> Table:
    """The design with every default filled in; what is given stays as it is.

    Parameters
    ----------
    mapping : dict
        As read from a design file. Sections that may be left out and have defaults
        are added; a value of None counts as left out.
    """
    units = units_of(mapping)
    result = dict(mapping)
    for name, section in sections().items():
        given = mapping.get(name)
        absent = given is None
        if section.several:
            if isinstance(given, (list, tuple)):
                result[name] = [_filled(section, item, units) for item in given]
            elif absent:
                result[name] = []
        elif absent:
            result.pop(name, None)
            if not (section.needed or section.optional):
                result[name] = _filled(section, {}, units)
        else:
            result[name] = _filled(section, given, units)
    follow(result, mapping, units)
    return result


def _filled(section: TableInfo, given: Written, units: UnitSystem) -> Written:
    if not isinstance(given, dict):
        return given
    result = {key: value for key, value in given.items() if value is not None}
    for name, facts in section.fields.items():
        if name not in result:
            value = facts.default(_units_for(section, facts, result, units))
            if value is not None:
                result[name] = value
    return result


def _units_for(
    section: TableInfo, facts: FieldFacts, given: Table, units: UnitSystem
) -> UnitSystem:
    """The units whose default a field gets."""
    leader, choices = FOLLOWS.get((section.name, facts.name), (None, {}))
    value = given.get(leader) if leader else None
    value = getattr(value, "value", value)
    return choices.get(value, units) if isinstance(value, str) else units
