"""On which line of a design file each key stands, so that a message can say so.

tomllib gives values without positions. The file is read a second time by a parser
that keeps them, and only when there is a fault to report.

Glossary
--------
path : where a value is in the file, ``("rail", 1, "height")``; tables of an array
    count from 0.
"""

from __future__ import annotations

import pathlib
import tomllib
from typing import TYPE_CHECKING

from msgspec import Struct, field

if TYPE_CHECKING:
    from tree_sitter import Node

Path = tuple[str | int, ...]
_KEYS = ("bare_key", "quoted_key", "dotted_key")
_DEEPEST = 12


class Lines(Struct, frozen=True):
    """The line of every path of one file, counted from 1."""

    by_path: dict[Path, int]

    def of(self, path: Path) -> int | None:
        """The line of the path or, where the file has no such key, of what holds it."""
        while path:
            if path in self.by_path:
                return self.by_path[path]
            path = path[:-1]
        return None


class Origin(Struct, frozen=True, kw_only=True):
    """Where a design came from.

    Parameters
    ----------
    source : str
        The name of the file, or what the design came from.
    text : str or None
        The text of the file; None when the design came from a mapping.
    folder : pathlib.Path or None
        Where the file lies, from which the files that it names are looked for; None
        for the folder that the program runs in.
    left_out : frozenset of str
        Places with a default that follows other fields.
    moved : dict
        Path of each field that is read under an old name to its path in the file.
    notes : tuple of str
        What a reader of a file of an older format is to know.
    """

    source: str
    text: str | None = None
    folder: pathlib.Path | None = None
    left_out: frozenset[str] = frozenset()
    moved: dict[Path, Path] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def lines(self) -> Lines:
        """The lines of the keys; none of them when there is no text."""
        if self.text is None:
            return Lines({})
        found = key_lines(self.text).by_path
        there = {new: found[old] for new, old in self.moved.items() if old in found}
        return Lines(found | there)


def key_lines(text: str) -> Lines:
    """The line of every key, section and list item of a TOML text that tomllib accepts.

    Parameters
    ----------
    text : str
        The whole file. Values deeper than 12 levels are left out.
    """
    # Loading the parser costs more than reading a design: only when it is needed.
    import tree_sitter
    import tree_sitter_toml

    parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
    tree = parser.parse(text.encode("utf-8", "replace"))
    by_path: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    for node in tree.root_node.named_children:
        if node.type == "pair":
            _walk(node, (), by_path)
        elif node.type in ("table", "table_array_element"):
            _table(node, by_path, counts)
    return Lines(by_path)


def _table(node: Node, by_path: dict[Path, int], counts: dict[Path, int]) -> None:
    """Note a ``[table]`` or ``[[table]]`` and everything under it."""
    header, *rest = [child for child in node.named_children if child.type != "comment"]
    *outer, last = _names(header)
    path: Path = ()
    for name in outer:
        path = _in_array((*path, name), counts)
        by_path.setdefault(path, node.start_point[0] + 1)
    path = (*path, last)
    if node.type == "table_array_element":
        by_path.setdefault(path, node.start_point[0] + 1)
        counts[path] = counts.get(path, -1) + 1
    path = _in_array(path, counts)
    by_path[path] = node.start_point[0] + 1
    for child in rest:
        _walk(child, path, by_path)


def _in_array(path: Path, counts: dict[Path, int]) -> Path:
    """The path of the table that is open: the last one, in an array of tables."""
    return (*path, counts[path]) if path in counts else path


def _walk(node: Node, path: Path, by_path: dict[Path, int]) -> None:
    """Note a value and everything in it, without recursion: files can be malicious."""
    waiting = [(node, path)]
    while waiting:
        here, path = waiting.pop()
        if len(path) > _DEEPEST:
            continue
        children = [child for child in here.named_children if child.type != "comment"]
        if here.type == "pair" and len(children) == 2:
            for name in _names(children[0]):
                path = (*path, name)
                by_path.setdefault(path, here.start_point[0] + 1)
            waiting.append((children[1], path))
        elif here.type == "inline_table":
            waiting += [(child, path) for child in children]
        elif here.type == "array":
            for index, child in enumerate(children):
                by_path[(*path, index)] = child.start_point[0] + 1
                waiting.append((child, (*path, index)))


def _names(key: Node) -> list[str]:
    """The parts of a key: one, or several between dots."""
    names: list[str] = []
    waiting = [key]
    while waiting:
        node = waiting.pop()
        if node.type == "dotted_key":
            waiting += [child for child in reversed(node.named_children) if child.type in _KEYS]
        elif node.type == "bare_key":
            names.append(text_of(node))
        elif node.type == "quoted_key":
            names.append(_unquoted(text_of(node)))
    return names


def _unquoted(text: str) -> str:
    """A quoted key without its quotes and escapes."""
    key: str = tomllib.loads(f"key = {text}")["key"]
    return key


def text_of(node: Node) -> str:
    """What stands at a place of the file."""
    return (node.text or b"").decode("utf-8")
