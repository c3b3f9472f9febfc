"""Remake what outputs/ keeps of the two examples.

    python tests/remake_outputs.py

The sheets are also kept as pictures, since a PDF does not show in a README.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pypdfium2

from frame3d.building import build
from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.sheets.write.pdf_write import sheet_pictures

OUTPUTS = Path(__file__).parents[1] / "outputs"
KEPT_SHEETS = ("Cover", "Socket plan", "Front end wall", "Front and back end walls")
"""By their titles: numbers change with what stands before them, and not every set has all."""
DOTS_PER_INCH = 75


def picture_of(title: str) -> str:
    """What the picture of a sheet is called."""
    return f"sheet-{title.lower().replace(' ', '-')}.png"


def kept_pictures(pdf: Path, folder: Path) -> None:
    """Draw the sheets of ``pdf`` that are kept as pictures into ``folder``."""
    for old in folder.glob("sheet-*.png"):
        old.unlink()
    with closing(pypdfium2.PdfDocument(pdf)) as document:
        titles = [mark.get_title().partition(" ")[2] for mark in document.get_toc()]
    pictures = sheet_pictures(pdf, folder, dots_per_inch=DOTS_PER_INCH)
    for title, picture in zip(titles, pictures, strict=True):
        if title in KEPT_SHEETS:
            picture.replace(folder / picture_of(title))
        else:
            picture.unlink()


def remake() -> None:
    """Build both examples and draw some of their sheets as pictures."""
    for name, path in example_paths().items():
        folder = OUTPUTS / name
        build(read_design(path), folder)
        kept_pictures(folder / "sheets.pdf", folder)


if __name__ == "__main__":
    remake()
