"""Remake what outputs/ keeps of the two examples.

    python tests/remake_outputs.py

The sheets are also kept as pictures, since a PDF does not show in a README.
"""

from __future__ import annotations

from pathlib import Path

from frame3d.building import build
from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.sheets.write.pdf_write import sheet_pictures

OUTPUTS = Path(__file__).parents[1] / "outputs"
KEPT_SHEETS = (1, 2, 4)
DOTS_PER_INCH = 75


def remake() -> None:
    """Build both examples and draw their first sheets as pictures."""
    for name, path in example_paths().items():
        folder = OUTPUTS / name
        build(read_design(path), folder)
        pictures = sheet_pictures(folder / "sheets.pdf", folder, dots_per_inch=DOTS_PER_INCH)
        for number, picture in enumerate(pictures, start=1):
            kept = folder / f"sheet-{number}.png"
            if picture != kept:
                picture.replace(kept)
            if number not in KEPT_SHEETS:
                kept.unlink()


if __name__ == "__main__":
    remake()
