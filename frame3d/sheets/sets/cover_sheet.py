"""The cover: the frame as a whole, its key figures, the list of sheets, notes and cautions."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.key_figures import main_figures, section_figures
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import cover_line
from frame3d.geometry.arch.arch import Measured
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.compose import BLOCK_HEIGHT_MM, BLOCK_WIDTH_MM, ground_of
from frame3d.sheets.layout.listing import (
    BETWEEN_MM,
    Area,
    Column,
    Fitted,
    Listing,
    PaperInk,
    filled,
    fitted,
    paragraph,
)
from frame3d.sheets.layout.sheet import SheetView
from frame3d.sheets.layout.text_sheet import Page
from frame3d.sheets.primitives.lettering import LARGE_MM, LINE_STEP, TITLE_MM, wrapped
from frame3d.sheets.primitives.occupancy import extent
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Align, Label, Layer, polyline
from frame3d.sheets.sets.revision_sheet import cover_revisions
from frame3d.sheets.views.isometric import can_be_told_apart, extent_mm, isometric
from frame3d.site.write.ground_words import ground_figure
from frame3d.units import UnitSystem

CAUTIONS = (
    "Have buried cables and pipes located before you drive or dig.",
    "Look for overhead lines before raising hoops, and keep well clear of them.",
    "Lift long tubes and hoops with enough people; the take-off counts them. Nobody stands "
    "under anything being raised.",
    "Do not raise hoops or pull the cover in wind. Brace the frame before covering it.",
    "Set ladders and platforms on firm ground with somebody at the foot, never against "
    "a hoop, braced or not. Nobody climbs on the frame. Wear head protection under "
    "work overhead, and use fall protection where your local rules ask for it. Plug "
    "power tools used outdoors into a GFCI (RCD).",
    "Follow your suppliers' instructions. Measure the delivered tube before bending or "
    "drilling anything.",
    "Loads, foundations and permits are for local codes and a licensed professional. These "
    "drawings show shape and size only; they say nothing about what the frame can carry.",
)
_MARGIN_MM, _GAP_MM, _SIGNS_MM = 4.0, 6.0, 26.0
_VIEW_TITLE_MM = 8.0
_BOX_MM = 3.0
_LEAST_VIEW_MM = 95.0
"""Room that the isometric view has in height, with its title, if it can be had."""
_COLUMN_SHARE = 0.45
_MOST_BLOCKS = 3
"""Of the list of sheets side by side, where long titles are wrapped for it."""
_LEAST_HOOPS = 4
"""No isometric view shows fewer hoops, if there are as many."""

LIST_TITLE = "List of sheets"
COVER = "cover"
"""The family of the cover, as a sheet has it."""


def general_notes(frame: Frame) -> tuple[str, ...]:
    """What holds for every sheet: units, which width is meant, projection, standards."""
    output = frame.design.output
    imperial, iso = output.units is UnitSystem.IMPERIAL, output.sheets is SheetStandard.ISO
    units = "feet and inches" if imperial else "millimetres"
    given = {
        Measured.CENTRES: "between the centres of the hoop's legs",
        Measured.OUTSIDE: "over the outside of the hoop's legs",
        Measured.INSIDE: "clear between the hoop's legs",
    }[frame.design.profile.measured]
    angle = "first" if iso else "third"
    paper = "ISO 5457 sheets, ISO 7200 title block" if iso else "ASME Y14.1 sheets"
    scale = "scales as written with each view" if imperial else "ISO 5455 scales"
    return (
        f"Dimensions are in {units}, angles in degrees. Drawing files "
        f"are in {'inches' if imperial else 'millimetres'} at full size.",
        f"Width and ridge height are given {given}, at ground level. Each view names the "
        "width it shows.",
        "Do not scale the drawings. A dimension in parentheses is for reference: it "
        "follows from others, so do not lay out from it.",
        f"Views in {angle}-angle projection; end walls are seen from outside. Lines by ISO 128, "
        f"sizes by ISO 129-1, {paper}, {scale}.",
        "Identical parts share a mark. Each view's notes say what it does not show.",
    )


def cover_pages(
    frame: Frame,
    paper: Paper,
    height: float,
    titles: Sequence[str],
    status: SetStatus = UNCHECKED,
    *,
    list_sheet: int = 2,
) -> list[Page]:
    """The cover, and more sheets for the list of sheets where it does not fit.

    Parameters
    ----------
    frame : Frame
    paper : Paper
    height : float
        Of the letters, mm.
    titles : sequence of str
        Of all sheets, the cover's own first; empty while they are not known, for no list of them.
    status : SetStatus
        Errors and lists not given stand in a box over the view.
    list_sheet : int
        Number of the first sheet for the list.
    """
    left, bottom, right, top = paper.frame
    left, right, top = left + _MARGIN_MM, right - _MARGIN_MM, top - _MARGIN_MM
    column = min(BLOCK_WIDTH_MM - _MARGIN_MM, _COLUMN_SHARE * (right - left))
    over_block = bottom + BLOCK_HEIGHT_MM + _MARGIN_MM
    beside_block = paper.frame[2] - BLOCK_WIDTH_MM - _MARGIN_MM
    heading, under = _heading(frame, left, right - column - _GAP_MM, top)
    stop, under = _stop(status, left, right - column - _GAP_MM, under, height)
    words, over = _cautions(left, beside_block, bottom + _MARGIN_MM, height)
    notes, higher = _notes(frame, left, beside_block, over + _GAP_MM, height)
    foot = over_block
    if under - higher < _LEAST_VIEW_MM:
        # On small sheets the notes stand over the title block, to leave room for the view.
        notes, foot = _notes(frame, beside_block + _GAP_MM, right, over_block, height)
        higher, foot = over, foot + _GAP_MM
    room = (right - column, foot, right, top)
    primitives, listed = _column(frame, titles, room, height, list_sheet)
    view = _view(frame, (left, higher + _GAP_MM, right - column - _GAP_MM, under))
    pages = [
        Page(
            title="Cover",
            family=COVER,
            kind="Cover sheet",
            views=(view[0],) if view else (),
            primitives=(*heading, *stop, *words, *notes, *primitives, *(view[1] if view else ())),
            notes=None,
        )
    ]
    if not listed:
        pages += _list_pages(titles, ground_of(paper, ()).views, height)
    return pages


def _list_pages(titles: Sequence[str], area: Area, height: float) -> list[Page]:
    """The list of sheets on sheets of its own."""
    table = fitted(_sheet_list(titles), area[2] - area[0], height)
    pages, number = [], 0
    while number < len(table.rows):
        primitives, number, _ = filled(table, area, number)
        pages.append(Page(title=LIST_TITLE, kind="Cover sheet", primitives=tuple(primitives)))
    return pages


def _heading(frame: Frame, left: float, right: float, top: float) -> tuple[list[PaperInk], float]:
    """Name and kind of the frame over the view, and how low they reach, mm."""
    project, arch = frame.design.project, frame.arch
    lines = wrapped(project.name, right - left, LARGE_MM)
    last = top - LARGE_MM - (len(lines) - 1) * LINE_STEP * LARGE_MM
    labels: list[PaperInk] = [
        Label(text=line, at=(left, top - LARGE_MM - i * LINE_STEP * LARGE_MM), height=LARGE_MM,
              align=Align.LEFT)
        for i, line in enumerate(lines)
    ]  # fmt: skip
    kind = Label(
        text=f"High-tunnel frame, {arch.style.value}",
        height=TITLE_MM,
        align=Align.LEFT,
        at=(left, last - 2.2 * TITLE_MM),
    )
    return [*labels, kind], last - 2.2 * LARGE_MM


def _column(
    frame: Frame, titles: Sequence[str], area: Area, height: float, list_sheet: int
) -> tuple[list[PaperInk], bool]:
    """Key figures, sections and the list of sheets, and whether there was room for the list."""
    left, bottom, right, top = area
    primitives: list[PaperInk] = []
    revisions = cover_revisions(frame)
    if revisions is not None:
        table = fitted(revisions, right - left, height)
        made, _, low = filled(table, area)
        primitives += made
        top = low - _GAP_MM
    if line := cover_line(frame):
        labels, top = paragraph(line, left, right, top, height)
        primitives += labels
        top -= _GAP_MM
    for title, figures in (
        ("Key figures", [*main_figures(frame), ground_figure(frame)]),
        ("Tube and lumber", section_figures(frame)),
    ):
        table = fitted(
            Listing(
                title=title,
                columns=(Column(head="", wraps=True), Column(head="", wraps=True)),
                rows=tuple(figures),
                ruled=False,
            ),
            right - left,
            height,
        )
        if top - table.height_mm < bottom:
            continue
        made, _, low = filled(table, (left, bottom, right, top))
        primitives += made
        top = low - _GAP_MM
    if not titles:
        return primitives, True
    for blocks in range(1, _MOST_BLOCKS + 1):
        width = (right - left - (blocks - 1) * BETWEEN_MM) / blocks
        table = fitted(_sheet_list(titles), width, height)
        listed = _evenly(table, (left, bottom, right, top))
        if listed is not None:
            return primitives + listed, True
    words = Label(
        text=f"The list of sheets is on sheet {list_sheet}.",
        at=(left, max(top, bottom) - TITLE_MM),
        height=height,
        align=Align.LEFT,
    )
    return [*primitives, words], False


def _evenly(table: Fitted, area: Area) -> list[PaperInk] | None:
    """All rows in as few blocks as hold them, about equally long; None where they don't fit."""
    left, bottom, right, top = area
    rows = table.height_mm - table.head_mm
    blocks = max(1, math.ceil(rows / max(top - bottom - table.head_mm, table.step_mm)))
    low = top - table.head_mm - rows / blocks
    right = min(right, left + blocks * (table.width_mm + BETWEEN_MM))
    while True:
        low = max(low, bottom)
        made, after, _ = filled(table, (left, low, right, top))
        if after == len(table.rows):
            return made
        if low == bottom:
            return None
        low -= table.step_mm


def _sheet_list(titles: Sequence[str]) -> Listing:
    return Listing(
        title="Sheets",
        columns=(Column(head="Sheet", align=Align.RIGHT), Column(head="Title", wraps=True)),
        rows=tuple((str(number), title) for number, title in enumerate(titles, start=1)),
        ruled=False,
    )


def _cautions(
    left: float, right: float, bottom: float, height: float
) -> tuple[list[PaperInk], float]:
    """Cautions in a box, and how high it reaches, mm."""
    top = bottom + _height(CAUTIONS, right - left - 2 * _BOX_MM, height) + 2 * _BOX_MM
    primitives = _paragraphs(
        "Cautions", CAUTIONS, left + _BOX_MM, right - _BOX_MM, top - _BOX_MM, height
    )
    return primitives + _box(left, bottom, right, top), top


def _stop(
    status: SetStatus, left: float, right: float, top: float, height: float
) -> tuple[list[PaperInk], float]:
    """What stands against building from the set, in a box, and how low it reaches, mm."""
    told = status.short_list()
    if not told:
        return [], top
    heading, top = status.headline or "This set is incomplete.", top - _MARGIN_MM
    bottom = top - _height(told, right - left - 2 * _BOX_MM, height) - 2 * _BOX_MM
    primitives = _paragraphs(heading, told, left + _BOX_MM, right - _BOX_MM, top - _BOX_MM, height)
    return primitives + _box(left, bottom, right, top), bottom - _GAP_MM


def _box(left: float, bottom: float, right: float, top: float) -> list[PaperInk]:
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    return [*polyline([*corners, corners[0]], Layer.BORDER)]


def _notes(
    frame: Frame, left: float, right: float, bottom: float, height: float
) -> tuple[list[PaperInk], float]:
    """The general notes, and how high they reach, mm."""
    notes = general_notes(frame)
    top = bottom + _height(notes, right - left, height)
    return _paragraphs("General notes", notes, left, right, top, height), top


def _height(texts: Sequence[str], width: float, height: float) -> float:
    """Height of numbered texts with their heading, mm."""
    lines = sum(len(wrapped(text, width - 5.0, height)) for text in texts)
    return lines * LINE_STEP * height + 0.8 * len(texts) + 2.0 * TITLE_MM


def _paragraphs(
    heading: str, texts: Sequence[str], left: float, right: float, top: float, height: float
) -> list[PaperInk]:
    primitives: list[PaperInk] = [
        Label(text=heading, at=(left, top - TITLE_MM / 2), height=TITLE_MM, align=Align.LEFT)
    ]
    y = top - 2.0 * TITLE_MM
    for number, text in enumerate(texts, start=1):
        labels, y = paragraph(text, left, right, y, height, str(number))
        primitives += labels
    return primitives


def _view(frame: Frame, area: Area) -> tuple[SheetView, list[PaperInk]] | None:
    """The isometric view in ``area`` with its title below; None where there is no room."""
    left, bottom, right, top = area
    width, height = right - left, top - bottom - _VIEW_TITLE_MM
    count = len(frame.grid.hoop_y_mm)
    if min(width, height) < 2 * _SIGNS_MM:
        return None
    hoops, scale = _choice(frame, width, height)
    while True:
        primitives = isometric(frame, scale, hoops)
        bounds = extent(primitives, scale)
        size = (bounds[2] - bounds[0]) / scale, (bounds[3] - bounds[1]) / scale
        if size[0] <= width and size[1] <= height:
            break
        scale = math.ceil(scale * max(size[0] / width, size[1] / height, 1.01))
    title = "Isometric view, not to scale"
    if hoops < count:
        title = (
            f"Isometric view of the first {hoops} of {count} hoops, not to scale; the "
            "others are the same"
        )
    placed = PlacedView(
        title=title, scale=scale, primitives=primitives, bounds=bounds, problems=(), to_scale=False
    )
    middle = (left + right) / 2
    centre = (middle, bottom + _VIEW_TITLE_MM + height / 2)
    lines = wrapped(title, width, TITLE_MM)
    labels: list[PaperInk] = [
        Label(
            text=line,
            height=TITLE_MM,
            at=(middle, bottom + TITLE_MM / 2 + (len(lines) - 1 - i) * LINE_STEP * TITLE_MM),
        )
        for i, line in enumerate(lines)
    ]
    return SheetView(view=placed, centre=centre), labels


def _choice(frame: Frame, width: float, height: float) -> tuple[int, int]:
    """How many hoops are shown, and at 1 to which scale: all of them if they can be told apart."""
    most = len(frame.grid.hoop_y_mm)
    for hoops in range(most, 0, -1):
        across, up = extent_mm(frame, hoops)
        scale = max(across / (width - _SIGNS_MM), up / (height - _SIGNS_MM), 1.0)
        if hoops <= _LEAST_HOOPS or can_be_told_apart(frame, scale):
            break
    return hoops, math.ceil(scale)
