"""The designs that the page can begin with: typical tunnels, examples, one that was given."""

from __future__ import annotations

import tomllib

from frame3d.design.tables.fields import Table
from frame3d.design.values.defaults import units_of
from frame3d.design.writing.answers import Drives, Sides
from frame3d.examples import example_paths, typical_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units.data_tables import Json

_FILE = "my_tunnel.toml"
_STYLES = {ArchStyle.GOTHIC: "Gothic: pointed at the ridge", ArchStyle.QUONSET: "Quonset: round"}


def starts() -> dict[str, dict[str, Json]]:
    """Title, file and text of each, by a key; of the typical ones the use and sizes too."""
    found = {}
    for name, path in typical_paths().items():
        found[name] = _typical(path.read_text("utf-8"))
    for name, path in example_paths().items():
        title = name.replace("_", " ").capitalize().replace("meadow", "Meadow")
        found[name] = given(title, path.read_text("utf-8")) | {"file": f"{name}.toml"}
    return found


def given(name: str, text: str) -> dict[str, Json]:
    """The design that the command line was given."""
    return {"title": name, "file": name, "text": text}


def questions() -> dict[str, list[dict[str, str]]]:
    """The answers that can be chosen, by question: key and words of each."""
    return {
        "style": [{"key": one.value, "words": words} for one, words in _STYLES.items()],
        "drives": [{"key": one.value, "words": one.words} for one in Drives],
        "sides": [{"key": one.value, "words": one.words} for one in Sides],
    }


def _typical(text: str) -> dict[str, Json]:
    name, _, use = text.partition("\n")[0].removeprefix("# ").rstrip(".").partition(": ")
    design: Table = tomllib.loads(text)
    profile = design["profile"]
    return {
        "title": name, "file": _FILE, "text": text, "use": use, "width": profile["width"],
        "height": profile["ridge_height"], "length": design["bays"]["length"],
        "style": profile["style"], "units": units_of(design).value,
    }  # fmt: skip
