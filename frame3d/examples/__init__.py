"""Two complete designs to look at, to build and to change."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

__all__ = ["example_paths"]


def example_paths() -> dict[str, Path]:
    """The design files that come with the package, by name, in the order of the alphabet."""
    folder = resources.files(__name__)
    found = (Path(str(item)) for item in folder.iterdir() if item.name.endswith(".toml"))
    return {path.stem: path for path in sorted(found)}
