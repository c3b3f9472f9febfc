"""Two complete designs to look at, to build and to change, and typical ones to begin with."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

__all__ = ["example_paths", "typical_paths"]

_TYPICAL = (
    "market", "seedlings", "salads", "tomatoes", "flowers", "tractor", "berries", "school",
    "steep", "store",
)  # fmt: skip
"""In the order in which they are shown: the one that suits most people first."""


def example_paths() -> dict[str, Path]:
    """The design files that come with the package, by name, in the order of the alphabet."""
    folder = resources.files(__name__)
    found = (Path(str(item)) for item in folder.iterdir() if item.name.endswith(".toml"))
    return {path.stem: path for path in sorted(found)}


def typical_paths() -> dict[str, Path]:
    """Short designs of typical tunnels, by name, in the order in which they are shown.

    The first line of each is a comment with its name and its use.
    """
    folder = Path(str(resources.files(__name__) / "typical"))
    return {name: folder / f"{name}.toml" for name in _TYPICAL}
