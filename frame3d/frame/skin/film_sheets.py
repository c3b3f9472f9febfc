"""Film as it is bought: sheets by the width as sold, and wire for the channel.

Glossary
--------
width of film : as it comes off the roll, unfolded.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.model.members import Frame
from frame3d.frame.skin.cover_film import CoverLines, cover_lines


class FilmSheet(Struct, frozen=True, kw_only=True):
    """Film that covers one place.

    Parameters
    ----------
    place : str
    across_mm, along_mm : float
        What is needed, allowances included: across the film's width and along its length.
    sold_mm : float
        Width as sold.
    strips : int
        Widths that are joined side by side.
    seam_mm : float
        Their overlap; 0 for one strip.
    layers : int
    """

    place: str
    across_mm: float
    along_mm: float
    sold_mm: float
    strips: int
    seam_mm: float
    layers: int

    @property
    def count(self) -> int:
        """Lengths to buy."""
        return self.strips * self.layers

    @property
    def bought_mm2(self) -> float:
        """Area of all of it as bought, mm²."""
        return self.sold_mm * self.along_mm * self.count

    @property
    def seams(self) -> int:
        """Joints of each layer."""
        return self.strips - 1


def film_sheets(frame: Frame) -> tuple[FilmSheet, ...]:
    """The film over the hoops and on end walls, by the widths that the design says are sold."""
    cover, lines = frame.design.cover, cover_lines(frame)
    over = _sheet(frame, "over the hoops", lines.film_width_mm, lines.film_length_mm, cover.layers)
    walls = []
    for wall in lines.walls:
        place = f"{wall.end.value} end wall"
        ways = ((wall.height_mm, wall.width_mm), (wall.width_mm, wall.height_mm))
        walls.append(
            min((_sheet(frame, place, *way, 1) for way in ways), key=lambda one: one.bought_mm2)
        )
    return (over, *walls)


def _sheet(frame: Frame, place: str, across: float, along: float, layers: int) -> FilmSheet:
    cover = frame.design.cover
    sold, strips = _width(across, cover.film_widths, cover.film_seam)
    return FilmSheet(
        place=place, across_mm=across, along_mm=along, sold_mm=sold, strips=strips,
        seam_mm=cover.film_seam if strips > 1 else 0.0, layers=layers,
    )  # fmt: skip


def _width(across: float, sold: Sequence[float], seam: float) -> tuple[float, int]:
    """The width to buy and how many side by side: the least film, then the fewest seams."""
    if not sold:
        return across, 1
    found = []
    for width in sold:
        strips = 1
        if width < across - 1e-6:
            if width <= seam:
                continue
            strips = math.ceil((across - seam) / (width - seam) - 1e-9)
        found.append((strips > 1, strips * width, strips, width))
    if not found:
        return across, 1
    _, _, strips, width = min(found)
    return width, strips


def wire_pieces(frame: Frame, lines: CoverLines) -> int:
    """Pieces of wire: each run has pieces of its own."""
    long = frame.design.cover.wire_length
    return sum(math.ceil(run.length_mm / long - 1e-9) * run.count for run in lines.channel)
