"""Keep design files of the newest format for ever: run once, when a format is released.

Writes ``tests/kept/format-N``: the four designs that ``frame3d new`` writes, the examples, what
they are read as, and every default. ``tests/integration/test_kept_designs.py`` reads them with
each later release; what is there already stays as it is.
"""

from __future__ import annotations

import json
from pathlib import Path

import msgspec

from frame3d.design.reading.formats import FORMAT
from frame3d.design.reading.reader import read_design
from frame3d.design.values.field_info import sections
from frame3d.design.writing.short_file import short_text
from frame3d.design.writing.starters import new_tables
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

KEPT = Path(__file__).parents[1] / "kept"


def defaults() -> dict[str, list]:
    """Every default in feet and inches and in metric, by its dotted name."""
    return {
        f"{section.name}.{facts.name}": [facts.imperial, facts.metric]
        for section in sections().values() for facts in section.fields.values()
    }  # fmt: skip


def read_as(path: Path) -> dict:
    """The design in a file, every field, as plain values in mm and radians."""
    return json.loads(json.dumps(read_design(path).model_dump(), default=_plain))


def _plain(value: object) -> object:
    return msgspec.structs.asdict(value) if isinstance(value, msgspec.Struct) else value.value


def keep(folder: Path) -> None:
    """Write what is not in ``folder`` yet."""
    folder.mkdir(parents=True, exist_ok=True)
    texts = {path.name: path.read_text("utf-8") for path in example_paths().values()}
    for style in ArchStyle:
        for units in UnitSystem:
            text = short_text(new_tables(style, units), units)
            texts[f"short_{style.value}_{units.value}.toml"] = text
    for name, text in texts.items():
        if not (folder / name).exists():
            (folder / name).write_text(text, "utf-8")
    files = sorted(folder.glob("*.toml"))
    designs = {path.name: read_as(path) for path in files}
    for name, value in (("defaults.json", defaults()), ("designs.json", designs)):
        if not (folder / name).exists():
            (folder / name).write_text(json.dumps(value, separators=(",", ":")) + "\n", "utf-8")


if __name__ == "__main__":
    keep(KEPT / f"format-{FORMAT}")
