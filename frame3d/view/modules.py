"""Modules of JavaScript as one script, for a page that may fetch nothing.

Each module becomes a function that is called at once and returns what it exports, so that none
sees more of another than it imports, as in a browser that loads them.
"""

from __future__ import annotations

import posixpath
import re
from importlib.resources.abc import Traversable

_IMPORT = re.compile(r"^import \{([\w\s,]+)\} from '(\.\.?/[\w/.]+)';$", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const) (\w+))", re.MULTILINE)
_STRANGE = re.compile(r"^\s*(?:import|export)\b.*|\bimport\s*[(.].*", re.MULTILINE)


def joined(folder: Traversable, entry: str) -> str:
    """The text of module ``entry`` with all that it imports, each once and before its users.

    Understood are ``import {a, b} from './other.js';`` and ``export`` before a function, a class
    or a single constant.

    Raises
    ------
    ValueError
        What is imported is not exported, modules import each other in a circle, or one imports
        or exports in another way.
    """
    script = _Script(folder)
    script.add(entry)
    return "".join(script.texts)


class _Script:
    """What is joined so far: module -> names that it exports, in order, and the texts."""

    def __init__(self, folder: Traversable) -> None:
        self.folder = folder
        self.exports: dict[str, list[str]] = {}
        self.texts: list[str] = []

    def add(self, name: str, users: tuple[str, ...] = ()) -> None:
        """Append a module, after all that it imports; ``users`` lead from the entry to it."""
        if name in users:
            raise ValueError(f"modules import each other: {' -> '.join((*users, name))}")
        if name in self.exports:
            return
        text = self.folder.joinpath(*name.split("/")).read_text(encoding="utf-8")
        for match in _IMPORT.finditer(text):
            self.add(_beside(name, match[2]), (*users, name))
        text = _IMPORT.sub(lambda match: self._taken(name, match), text)
        exported, text = _EXPORT.findall(text), _EXPORT.sub("", text)
        if strange := _STRANGE.search(text):
            raise ValueError(f"{name}: cannot be joined: {strange[0].strip()}")
        self.exports[name] = exported
        self.texts.append(f"const {self._named(name)} = (() => {{\n{text}\n"
                          f"return {{{', '.join(exported)}}};\n}})();\n")  # fmt: skip

    def _taken(self, name: str, match: re.Match[str]) -> str:
        """The names that an import takes from the module it imports, which stands before it."""
        other = _beside(name, match[2])
        names = [word.strip() for word in match[1].split(",") if word.strip()]
        if missing := [word for word in names if word not in self.exports[other]]:
            raise ValueError(f"{name}: {other} does not export {', '.join(missing)}")
        return f"const {{{', '.join(names)}}} = {self._named(other)};"

    def _named(self, name: str) -> str:
        return f"$m{[*self.exports].index(name)}"


def _beside(name: str, target: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), target))
