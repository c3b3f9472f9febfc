"""What the server sends from disk: the files of the page, by a fixed table.

The table is made from the package when the server starts. A name that is asked for is looked up
in it and never joined to a path.
"""

from __future__ import annotations

from importlib import resources

from msgspec import Struct

_TYPES = {
    "html": "text/html", "js": "text/javascript", "css": "text/css", "svg": "image/svg+xml",
}  # fmt: skip


class Asset(Struct, frozen=True, kw_only=True):
    """A file of the page, in memory."""

    content: bytes
    media: str


def assets() -> dict[str, Asset]:
    """Every file of the page and every module of the viewer by its name."""
    items = [*resources.files("frame3d.web").joinpath("page").iterdir()]
    items += resources.files("frame3d.view").joinpath("assets").joinpath("viewer").iterdir()
    found = {}
    for item in sorted(items, key=str):
        media = _TYPES.get(item.name.rpartition(".")[2])
        if media and item.is_file():
            found[item.name] = Asset(content=item.read_bytes(), media=media)
    return found
