"""The short design file that a new project starts from: the choices that decide a tunnel.

All else has a default that goes by these, so what is changed here never meets a figure that
nobody chose. :mod:`frame3d.design.writing.template` writes every field.
"""

from __future__ import annotations

from frame3d.design.reading.formats import FORMAT, FORMAT_FIELD
from frame3d.design.tables.fields import Table
from frame3d.design.values.field_info import TableInfo, sections
from frame3d.design.values.starter_values import NOTES
from frame3d.design.writing.template import SCHEMA_LINE, comment, toml
from frame3d.units import UnitSystem

_PREFACE = (
    "The choices that decide a tunnel. All else has a default, which goes by these:",
    "  frame3d show FILE     prints the whole design, every default filled in",
    "  frame3d fields door   tells what a table or a field is, its range, default and why",
    "  frame3d check FILE    tells what does not fit; frame3d build FILE makes everything",
    'Lengths carry their unit: "22 ft", "6 ft 3 1/2 in", "5.5 m", "42.4 mm".',
)
_CAUTION = (
    "Defaults are starting points and no advice on strength: loads, foundations and permits are "
    "for local codes and a licensed professional."
)
_SHOWN = {
    ("door", "height"): "clear; default: lower where the hoop is low",
    ("door", "at"): "default: the end that has a wall",
}
"""Fields that are shown behind a #, as their default goes by others."""
_NOTES_FROM = 30
_FORMAT_NOTE = "of this file; it tells which defaults it was written with"


def short_text(tables: dict[str, list[Table]], units: UnitSystem) -> str:
    """The text of a design file with these tables, half a line of explanation after each field.

    Parameters
    ----------
    tables : dict of str to list of dict
        For each section the tables that the design has.
    units : UnitSystem
    """
    preface = [SCHEMA_LINE, *(f"# {line}" for line in _PREFACE), comment(_CAUTION)]
    blocks = ["\n".join(preface), _line(FORMAT_FIELD, str(FORMAT), _FORMAT_NOTE)]
    for section in sections().values():
        for number, table in enumerate(tables.get(section.name, [])):
            blocks.append(_block(section, table, units, again=bool(number)))
    return "\n\n".join(blocks) + "\n"


def _block(section: TableInfo, table: Table, units: UnitSystem, *, again: bool) -> str:
    lines = [section.header]
    for name, value in table.items():
        note = "" if again else NOTES.get((section.name, name), "")
        lines.append(_line(name, toml(value), note))
    for (owner, name), note in _SHOWN.items():
        if owner == section.name and name not in table:
            default = toml(section.fields[name].default(units))
            lines.append(_line(f"# {name}", default, note))
    return "\n".join(lines)


def _line(name: str, value: str, note: str) -> str:
    line = f"{name} = {value}"
    return f"{line:<{_NOTES_FROM - 2}}  # {note}" if note else line
