"""Schedules: every part, the hardware, and what is sawn, as sheets of words.

Counts, masses, places and cut lengths come from the functions that the take-off uses.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

from frame3d.frame.describe.bought import bought
from frame3d.frame.describe.cut_lengths import SawnBars, cut_pieces
from frame3d.frame.describe.key_figures import total_mass_kg
from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.wording import describe
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import change_word
from frame3d.sheets.layout.compose import ground_of
from frame3d.sheets.layout.listing import (
    Area,
    Column,
    Fitted,
    Listing,
    PaperInk,
    filled,
    fitted,
)
from frame3d.sheets.layout.text_sheet import Page
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Align
from frame3d.sheets.sets.built_listing import built_listing
from frame3d.sheets.sets.revision_sheet import gone_listing
from frame3d.units import LengthFormat

PARTS, HARDWARE_TITLE, CUTS = "Schedule of parts", "Schedule of hardware", "Schedule of cuts"
NOTES = (
    "Hoops are numbered from the front. Left and right are as seen from the front, looking "
    "along the tunnel.",
)
_KIND = "Parts list"
_GAP_MM = 7.0
_LEAST_ROWS = 6
"""As many rows at least a listing has on the sheet of the last before it goes on to the next."""


def schedule_pages(
    frame: Frame,
    paper: Paper,
    lengths: LengthFormat,
    height: float,
    *,
    sheets: Mapping[str, str],
    sawn: Sequence[SawnBars],
) -> list[Page]:
    """The schedules of ``frame`` on as many pages as they need.

    Parameters
    ----------
    frame : Frame
    paper : Paper
    lengths : LengthFormat
    height : float
        Of the letters, mm.
    sheets : mapping of str to str
        For each mark the numbers of the sheets that show it.
    sawn : sequence of SawnBars
        The cutting plan; empty for the pieces of each section alone.
    """
    listings = (
        _parts(frame, lengths, sheets),
        gone_listing(frame),
        built_listing(frame, lengths),
        _hardware(frame),
        _bars(sawn, lengths) if sawn else _pieces(frame, lengths),
    )
    filled_in = [listing for listing in listings if listing.rows]
    # As if all stood on one sheet, whose notes then are those of all.
    area = ground_of(paper, (*(listing.note for listing in filled_in), *NOTES)).views
    whole, flowing = (_paged(filled_in, area, height, least) for least in (math.inf, _LEAST_ROWS))
    return flowing if len(flowing) < len(whole) else whole


def _parts(frame: Frame, lengths: LengthFormat, sheets: Mapping[str, str]) -> Listing:
    made = [group for group in frame.parts() if not group.part.is_bought]
    rows = []
    for group in made:
        length, each = group.part.over_all_mm, mass_kg(group.part)
        rows.append((
            group.mark,
            group.role.value,
            describe(group.part, lengths),
            "" if length is None else lengths.text(length),
            str(group.count),
            lengths.mass(each),
            lengths.mass(each * group.count),
            sheets.get(group.mark, ""),
            grid_text(group.members),
            *([change_word(frame, group.mark)] if frame.since else []),
        ))  # fmt: skip
    mass = lengths.mass_word.capitalize()
    return Listing(
        title=PARTS,
        columns=(
            Column(head="Mark"), Column(head="Use"), Column(head="Description", wraps=True),
            Column(head="Length", align=Align.RIGHT), Column(head="Qty", align=Align.RIGHT),
            Column(head=f"{mass} each", align=Align.RIGHT), Column(head=mass, align=Align.RIGHT),
            Column(head="Sheets", wraps=True), Column(head="Location", wraps=True),
            *([Column(head="Change")] if frame.since else []),
        ),
        rows=tuple(rows),
        note="Lengths are overall, of bent tube along its axis. All parts and hardware weigh "
        f"{lengths.mass(total_mass_kg(frame))}, without zinc.",
    )  # fmt: skip


def _hardware(frame: Frame) -> Listing:
    rows = sorted(
        (thing.item, ", ".join(thing.marks), str(thing.count), grid_text(thing.members))
        for thing in bought(frame)
    )
    return Listing(
        title=HARDWARE_TITLE,
        columns=(
            Column(head="Description", wraps=True), Column(head="Marks", wraps=True),
            Column(head="Qty", align=Align.RIGHT), Column(head="Location", wraps=True),
        ),
        rows=tuple(rows),
        note="Quantities in the frame; for spares and packs see the take-off.",
    )  # fmt: skip


def _bars(sawn: Sequence[SawnBars], lengths: LengthFormat) -> Listing:
    rows = [
        (
            bars.section, bars.numbers, str(bars.count), bars.stock,
            _cuts_text(bars, lengths), lengths.text(bars.rest_mm),
        )
        for bars in sawn
    ]  # fmt: skip
    return Listing(
        title=CUTS,
        columns=(
            Column(head="Section"), Column(head="Bars"), Column(head="Qty", align=Align.RIGHT),
            Column(head="Stock"), Column(head="Pieces in cutting order", wraps=True),
            Column(head="Left over", align=Align.RIGHT),
        ),
        rows=tuple(rows),
        once=True,
        note="From the take-off's cutting plan, with saw cuts. Lengths are as sawn from the bar.",
    )  # fmt: skip


def _cuts_text(bars: SawnBars, lengths: LengthFormat) -> str:
    return ", ".join(
        f"{f'{len(list(alike))} × '}{mark} {lengths.text(length)}"
        for (mark, length), alike in itertools.groupby(bars.cuts)
    )


def _pieces(frame: Frame, lengths: LengthFormat) -> Listing:
    """The pieces of each section, the longest first."""
    rows = []
    for section, pieces in cut_pieces(frame).items():
        rows += [
            (section.name, piece.mark, lengths.text(piece.length_mm), str(piece.count),
             lengths.text(piece.length_mm * piece.count))
            for piece in sorted(pieces, key=lambda one: (-one.length_mm, one.mark))
        ]  # fmt: skip
    return Listing(
        title=CUTS,
        columns=(
            Column(head="Section"), Column(head="Mark"),
            Column(head="Cut length", align=Align.RIGHT), Column(head="Qty", align=Align.RIGHT),
            Column(head="Total", align=Align.RIGHT),
        ),
        rows=tuple(rows),
        once=True,
        note="Saw cuts and waste not included. Lengths are as sawn from the bar.",
    )  # fmt: skip


def _paged(listings: Sequence[Listing], area: Area, height: float, least: float) -> list[Page]:
    """The listings one after the other, each on the sheet of the last where it fits whole.

    Or where it has room for ``least`` rows at least.
    """
    left, bottom, right, top = area
    pages: list[tuple[list[str], list[PaperInk], list[str]]] = []
    y = bottom
    for listing in listings:
        table = fitted(listing, right - left, height)
        if y - table.height_mm < bottom and y - _begun_mm(table, least) < bottom:
            pages.append(([], [], []))
            y = top
        number = 0
        while True:
            primitives, after, low = filled(table, (left, bottom, right, y), number)
            if after == number and y == top:
                raise ValueError(f"{listing.title}: row {number + 1} is larger than a sheet")
            titles, page, notes = pages[-1]
            page += primitives
            titles.append(f"{listing.title} (continued)" if number else listing.title)
            notes.append(listing.note)
            number, y = after, low - _GAP_MM
            if number >= len(table.rows):
                break
            pages.append(([], [], []))
            y = top
    return [_page(*page) for page in pages]


def _begun_mm(table: Fitted, least: float) -> float:
    """Height of the head and the first ``least`` rows of a listing."""
    if least > len(table.rows):
        return math.inf
    return table.head_mm + sum(table.row_mm(number) for number in range(int(least)))


def _page(titles: list[str], primitives: list[PaperInk], notes: list[str]) -> Page:
    first, *others = titles
    names = [first, *(title.removeprefix("Schedule of ") for title in others)]
    title = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else first
    return Page(title=title, kind=_KIND, primitives=tuple(primitives), notes=(*notes, *NOTES))
