"""The designs that the page can begin with: the examples, four new ones, and one that was given."""

from __future__ import annotations

from frame3d.design.writing.short_file import short_text
from frame3d.design.writing.starters import new_tables
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Json

__all__ = ["given", "starts"]

_UNITS = {UnitSystem.IMPERIAL: "feet and inches", UnitSystem.METRIC: "metric"}


def starts() -> dict[str, dict[str, Json]]:
    """Name, title and text of each, by a key."""
    found = {}
    for name, path in example_paths().items():
        title = name.replace("_", " ").capitalize().replace("meadow", "Meadow")
        found[name] = _start(title, f"{name}.toml", path.read_text("utf-8"))
    for style in ArchStyle:
        for units, words in _UNITS.items():
            title = f"New {style.value} tunnel, {words}"
            key = f"new_{style.value}_{units.value}"
            text = short_text(new_tables(style, units), units)
            found[key] = _start(title, "my_tunnel.toml", text)
    return found


def given(name: str, text: str) -> dict[str, Json]:
    """The design that the command line was given."""
    return _start(name, name, text)


def _start(title: str, file: str, text: str) -> dict[str, Json]:
    return {"title": title, "file": file, "text": text}
