"""What is bought to close the frame, besides channel and its screws, in the order of lists."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.curtain import Hangs
from frame3d.design.tables.whole_design import CoverListed
from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import door_name
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.skin.door_curtains import door_curtains
from frame3d.frame.skin.film_sheets import FilmSheet, film_sheets, wire_pieces
from frame3d.frame.skin.wall_sheets import wall_sheets
from frame3d.units import LengthFormat

CURTAIN_USES = ("curtains", "end pockets", "door curtains")
"""The uses of what belongs to curtains."""


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
    """Every line; of the cover none where the design has it as figures only."""
    if frame.design.cover.listed_as is CoverListed.FIGURES:
        return tuple(_curtains(frame))
    return needed_cover(frame)


def needed_cover(frame: Frame) -> tuple[BoughtCover, ...]:
    """Every line, whether the design has the cover as parts or as figures.

    Where it has it as figures, channel is a line too, by its stock length.
    """
    films = [_film(frame, sheet) for sheet in film_sheets(frame)]
    found = [*films, *_sheets(frame), _wire(frame), *_curtains(frame)]
    if frame.design.cover.listed_as is CoverListed.FIGURES:
        found.insert(len(films), _channel(frame))
    return tuple(found)


def _channel(frame: Frame) -> BoughtCover:
    form, lines = lengths_of(frame), cover_lines(frame)
    return BoughtCover(
        item=f"film channel, {sold_text(form, lines.channel_stock_mm)} long", use="channel",
        width_mm=None, length_mm=lines.channel_stock_mm, count=lines.channel_pieces,
        note=f"for {form.text(lines.channel_mm, unit=True)}, each run by itself; its screws are "
        "not counted",
    )  # fmt: skip


def _curtains(frame: Frame) -> Iterator[BoughtCover]:
    yield from _side_curtains(frame)
    form = lengths_of(frame)
    for one in door_curtains(frame):
        yield _curtain_film(
            form, "door curtains", one.width_mm, one.film_mm, 1,
            f"{door_name(frame.doors, one.door)}: {form.text(one.hangs_mm, unit=True)} hang from "
            "tube to bar",
        )  # fmt: skip


def _curtain_film(
    form: LengthFormat, use: str, wide: float, long: float, count: int, note: str = ""
) -> BoughtCover:
    return BoughtCover(
        item=f"film, {form.text(wide, unit=True)} wide, {form.text(long, unit=True)} long",
        use=use, width_mm=wide, length_mm=long, count=count, by_length=True, note=note,
    )  # fmt: skip


def _side_curtains(frame: Frame) -> Iterator[BoughtCover]:
    """Film of the curtains and of their end pockets, and cord, for both sides."""
    curtains, form = curtains_of(frame), lengths_of(frame)
    if curtains is None:
        return
    design, sides = present(frame.design.curtain, "curtain"), len(frame.vents)
    if design.hangs is Hangs.SEPARATE:
        note = f"{form.text(curtains.hangs_mm, unit=True)} hang from channel to tube"
        yield _curtain_film(form, "curtains", curtains.across_mm, curtains.film_mm, sides, note)
    if design.pocket > 0:
        yield _curtain_film(
            form, "end pockets", curtains.across_mm, 2 * design.pocket, 2 * sides, "laid double"
        )
    if curtains.cord_mm > 0:
        yield BoughtCover(
            item=f"cord for curtains, {form.text(curtains.cord_mm, unit=True)} long",
            use="curtains", width_mm=None, length_mm=curtains.cord_mm, count=sides,
            by_length=True, note=f"zigzag through {len(curtains.cord)} eyes a side",
        )  # fmt: skip


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
