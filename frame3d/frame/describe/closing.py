"""What is bought to close the frame, besides channel and its screws, in the order of lists."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.whole_design import CoverListed
from frame3d.frame.describe.cover_film import cover_lines
from frame3d.frame.describe.film_sheets import FilmSheet, film_sheets, wire_pieces
from frame3d.frame.describe.wall_sheets import wall_sheets
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.members import Frame

__all__ = ["BoughtCover", "bought_cover"]


class BoughtCover(Struct, frozen=True, kw_only=True):
    """One line of what is bought to close the frame, besides channel and its screws.

    Parameters
    ----------
    item : str
        As price lists call it.
    use : str
        Where it goes.
    width_mm, length_mm : float or None
        As bought.
    count : int
    by_length : bool
        Whether it may be priced by the metre or foot.
    note : str
    """

    item: str
    use: str
    width_mm: float | None
    length_mm: float | None
    count: int
    by_length: bool = False
    note: str = ""


def bought_cover(frame: Frame) -> tuple[BoughtCover, ...]:
    """Every line; none where the design has the cover as figures only."""
    if frame.design.cover.listed_as is CoverListed.FIGURES:
        return ()
    films = [_film(frame, sheet) for sheet in film_sheets(frame)]
    return (*films, *_sheets(frame), _wire(frame))


def _film(frame: Frame, sheet: FilmSheet) -> BoughtCover:
    form = lengths_of(frame)
    words = [f"{form.text(sheet.across_mm, unit=True)} needed across"]
    if sheet.seams:
        words.append(f"{sheet.strips} widths joined, {form.text(sheet.seam_mm, unit=True)} overlap")
    if sheet.layers > 1:
        words.append(f"{sheet.layers} layers")
    return BoughtCover(
        item=f"film, {form.text(sheet.sold_mm, unit=True)} wide, "
        f"{form.text(sheet.along_mm, unit=True)} long",
        use=sheet.place, width_mm=sheet.sold_mm, length_mm=sheet.along_mm,
        count=sheet.count, by_length=True, note="; ".join(words),
    )  # fmt: skip


def _sheets(frame: Frame) -> Iterator[BoughtCover]:
    cover, form = frame.design.cover, lengths_of(frame)
    sizes = (cover.sheet_width, cover.sheet_length)
    said = " x ".join(sold_text(form, size) for size in sizes)
    for wall in wall_sheets(frame):
        yield BoughtCover(
            item=f"sheet of {cover.wall_cover.value}, {said}", use=f"{wall.end.value} end wall",
            width_mm=sizes[0], length_mm=sizes[1], count=wall.count,
            note=f"{len(wall.pieces)} pieces, trimmed to the hoop and round the door on site",
        )  # fmt: skip


def _wire(frame: Frame) -> BoughtCover:
    form, lines, long = lengths_of(frame), cover_lines(frame), frame.design.cover.wire_length
    return BoughtCover(
        item=f"wire for film channel, {sold_text(form, long)} long", use="channel", width_mm=None,
        length_mm=long, count=wire_pieces(frame, lines),
        note=f"for {form.text(lines.channel_mm, unit=True)} of channel",
    )  # fmt: skip
