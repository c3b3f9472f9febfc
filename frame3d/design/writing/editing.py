"""A design file with other values and the user's own comments: change what differs, no more.

Glossary
--------
edit : bytes from one place to another in the file, and what is to stand there.
region of a table : from its header to the header of the next.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from typing import TYPE_CHECKING

from msgspec import Struct, field

from frame3d.design.reading.lines import text_of
from frame3d.design.tables.fields import Table, Written
from frame3d.design.writing.template import toml

if TYPE_CHECKING:
    from tree_sitter import Node

Edit = tuple[int, int, str]


def edited_text(text: str, wanted: Table) -> str:
    """``text`` with the values of ``wanted``, its comments and order kept where that can be.

    Parameters
    ----------
    text : str
        A design file that can be parsed, or is empty.
    wanted : dict
        Sections and lists of sections, as tomllib gives them, and fields before the first of
        them, such as the format.

    Returns
    -------
    str
        A file with exactly the values of ``wanted``. One that is written in a way that cannot
        be changed piece by piece, such as with dotted names, is written anew.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    try:
        found = tomllib.loads(text)
        result = _edited(text, found, wanted)
        if tomllib.loads(result) == wanted:
            return result
    except (ValueError, LookupError, AttributeError, TypeError, RecursionError):
        pass  # not TOML, or tables that are no tables: written anew
    return plain_text(wanted)


def plain_text(wanted: Table) -> str:
    """The design as a file without comments."""
    first, tables = _parted(wanted)
    blocks = ["".join(f"{_line(k, v)}\n" for k, v in first.items())] if first else []
    for name, value in tables.items():
        for table in value if isinstance(value, list) else [value]:
            blocks.append(_block(name, table, several=isinstance(value, list)))
    return "\n".join(blocks)


def _parted(design: Table) -> tuple[Table, Table]:
    """The fields before the first section, and the sections."""
    sections = {k: v for k, v in design.items() if isinstance(v, (dict, list))}
    return {k: v for k, v in design.items() if k not in sections}, sections


def _block(name: str, table: Table, *, several: bool) -> str:
    header = f"[[{name}]]" if several else f"[{name}]"
    return "".join(f"{line}\n" for line in [header, *(_line(k, v) for k, v in table.items())])


def _line(name: str, value: Written) -> str:
    return f"{name} = {written_value(value)}"


def written_value(value: Written) -> str:
    """A value in a line; tables in braces."""
    if isinstance(value, dict):
        inside = ", ".join(f"{key} = {written_value(item)}" for key, item in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list):
        return "[" + ", ".join(written_value(item) for item in value) + "]"
    return toml(value)


class _Table(Struct, kw_only=True):
    """A table as it stands in the file, by bytes.

    ``fields`` gives for each name where its whole lines and its value begin and end. What stands
    before the first table is one without a name.
    """

    name: str
    start: int
    last: int
    region: int
    fields: dict[str, tuple[int, int, int, int]] = field(default_factory=dict)


def _edited(text: str, found: Table, wanted: Table) -> str:
    data = text.encode("utf-8")
    if data and not data.endswith(b"\n"):
        data += b"\n"
    first, *tables = _tables(data)
    (old_first, found), (new_first, wanted) = _parted(found), _parted(wanted)
    edits = _field_edits(data, first, old_first, new_first)
    for name in dict.fromkeys([*found, *wanted]):
        here = [table for table in tables if table.name == name]
        old, new = found.get(name), wanted.get(name)
        several = isinstance(old if new is None else new, list)
        olds, news = listed(old), listed(new)
        edits += _section_edits(data, name, here, olds, news, several=several)
    for start, end, words in sorted(edits, key=lambda edit: edit[:2], reverse=True):
        data = data[:start] + words.encode("utf-8") + data[end:]
    return data.decode("utf-8")


def listed(tables: list[Table] | Table | None) -> list[Table]:
    """The tables of a section, whether the file has a list of them, one or none."""
    return tables if isinstance(tables, list) else [] if tables is None else [tables]


def _section_edits(
    data: bytes,
    name: str,
    here: list[_Table],
    olds: list[Table],
    news: list[Table],
    *,
    several: bool,
) -> list[Edit]:
    """What to change in the tables of one name."""
    edits: list[Edit] = []
    matcher = difflib.SequenceMatcher(None, [repr(o) for o in olds], [repr(n) for n in news], False)
    for tag, low, high, first, last in matcher.get_opcodes():
        if tag == "equal":
            continue
        both = min(high - low, last - first)
        for step in range(both):
            edits += _field_edits(data, here[low + step], olds[low + step], news[first + step])
        edits += [(table.start, table.last, "") for table in here[low + both : high]]
        added = news[first + both : last]
        if added:
            words = "\n".join(_block(name, table, several=several) for table in added)
            edits.append(_place(data, name, here[: low + both], words))
    return edits


def _place(data: bytes, name: str, before: list[_Table], words: str) -> Edit:
    """Where new tables go: after those of their kind, where a # offers them, or at the end."""
    if before:
        return before[-1].last, before[-1].last, f"\n{words}"
    offered = re.search(rb"^#[ \t]*\[{1,2}" + name.encode() + rb"\]{1,2}[ \t]*\n", data, re.M)
    if offered:
        return offered.start(), offered.end(), words
    return len(data), len(data), f"\n{words}" if data else words


def _field_edits(data: bytes, table: _Table, old: Table, new: Table) -> list[Edit]:
    edits: list[Edit] = []
    for name in old:
        start, end, value, value_end = table.fields[name]
        if name not in new:
            edits.append((start, end, ""))
        elif old[name] != new[name] or type(old[name]) is not type(new[name]):
            edits.append((value, value_end, written_value(new[name])))
    for name in new:
        if name not in old:
            edits.append(_field_place(data, table, name, f"{_line(name, new[name])}\n"))
    return edits


def _field_place(data: bytes, table: _Table, name: str, line: str) -> Edit:
    """Where a new field goes: where a # offers it in the region of its table, or at its end.

    Before the first table that is after the comment which a file begins with.
    """
    if not table.name and not table.fields:
        end = data.find(b"\n\n", 0, table.region) + 1 if data.startswith(b"#") else 0
        return end, end, f"\n{line}" if end else f"{line}\n"
    offered = re.compile(rb"^#[ \t]*" + name.encode() + rb"[ \t]*=.*\n", re.M)
    match = offered.search(data, table.start, table.region)
    if match:
        return match.start(), match.end(), line
    return table.last, table.last, line


def _tables(data: bytes) -> list[_Table]:
    """The tables of the file in their order, with where their fields stand."""
    # Loading the parser takes longer than reading a design: only when it is needed.
    import tree_sitter
    import tree_sitter_toml

    root = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language())).parse(data)
    first = _Table(name="", start=0, last=0, region=len(data))
    found = [first]
    for node in root.root_node.named_children:
        if node.type == "pair":
            _note_field(data, first, node)
        if node.type not in ("table", "table_array_element"):
            continue
        header, *rest = [child for child in node.named_children if child.type != "comment"]
        found[-1].region = node.start_byte
        table = _Table(
            name=text_of(header), start=node.start_byte,
            last=_line_end(data, header.end_byte), region=len(data),
        )  # fmt: skip
        for pair in rest:
            _note_field(data, table, pair)
        found.append(table)
    return found


def _note_field(data: bytes, table: _Table, pair: Node) -> None:
    # A comment at the end of the line belongs to the pair.
    key, value = [child for child in pair.named_children if child.type != "comment"]
    end = _line_end(data, value.end_byte)
    start = data.rfind(b"\n", 0, pair.start_byte) + 1
    table.fields[text_of(key)] = (start, end, value.start_byte, value.end_byte)
    table.last = end


def _line_end(data: bytes, at: int) -> int:
    """The byte after the end of the line."""
    end = data.find(b"\n", at)
    return len(data) if end < 0 else end + 1
