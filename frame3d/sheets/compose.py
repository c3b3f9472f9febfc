"""Views onto sheets: which scale, how many sheets, and where on the paper.

Nothing is left out: a view that is crowded at the scale that fits is broken into
stretches on several sheets at a scale that can be read; what is crowded even then
becomes a finding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from frame3d.sheets.annotation import PlacedView, place
from frame3d.sheets.ink import Align, Label, Layer, Stroke
from frame3d.sheets.lettering import LINE_STEP, TEXT_MM, TITLE_MM, wrapped
from frame3d.sheets.paper import Paper, scale_text, scales
from frame3d.sheets.sheet import SheetView
from frame3d.sheets.wishes import View
from frame3d.units import LengthFormat, UnitSystem

BLOCK_WIDTH_MM, BLOCK_HEIGHT_MM = 180.0, 39.0
"""ISO 7200: a title block is at most 180 mm wide (from memory)."""
_MARGIN_MM = 4.0
_VIEW_TITLE_MM = 9.0

CAUTIONS = (
    "Before driving sockets have buried cables and pipes located; before raising hoops look "
    "for overhead lines. Brace the frame before it is covered. Follow the suppliers' "
    "instructions.",
    "Loads, foundations and permits are for local codes and a licensed professional. This "
    "drawing shows shape and size only and says nothing about what the frame can carry.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The parts of a sheet's drawing space: for views, and for notes; left, bottom, right, top."""

    views: tuple[float, float, float, float]
    notes: tuple[float, float, float, float]

    @property
    def view_size(self) -> tuple[float, float]:
        """Width and height for one view with its title, mm."""
        left, bottom, right, top = self.views
        return right - left, top - bottom - _VIEW_TITLE_MM


def ground_of(paper: Paper, notes: Sequence[str]) -> Ground:
    """How the drawing space of ``paper`` is shared out when ``notes`` stand beside the title."""
    left, bottom, right, top = paper.frame
    width = right - BLOCK_WIDTH_MM - _MARGIN_MM - left - _MARGIN_MM
    lines = sum(len(wrapped(note, width - 5.0, TEXT_MM)) for note in (*notes, *CAUTIONS))
    needed = (lines + 1.6) * LINE_STEP * TEXT_MM + (len(notes) + len(CAUTIONS)) * 0.8
    strip = max(BLOCK_HEIGHT_MM, needed + 3.0)
    return Ground(
        views=(
            left + _MARGIN_MM, bottom + strip + _MARGIN_MM, right - _MARGIN_MM, top - _MARGIN_MM
        ),
        notes=(left + _MARGIN_MM, bottom, left + _MARGIN_MM + width, bottom + strip),
    )


def note_labels(ground: Ground, notes: Sequence[str]) -> list[Label]:
    """The notes and cautions, numbered, from the top of their part of the sheet down."""
    left, _, right, top = ground.notes
    step = LINE_STEP * TEXT_MM
    y = top - 0.8 * step
    labels = [_text("Notes and cautions", left, y)]
    for number, note in enumerate((*notes, *CAUTIONS), start=1):
        y -= 0.8
        for i, line in enumerate(wrapped(note, right - left - 5.0, TEXT_MM)):
            y -= step
            if i == 0:
                labels.append(_text(f"{number}", left, y))
            labels.append(_text(line, left + 5.0, y))
    return labels


def _text(text: str, x: float, y: float) -> Label:
    return Label(text=text, at=(x, y), height=TEXT_MM, align=Align.LEFT)


def border(paper: Paper) -> list[Stroke]:
    """The border of the drawing space and the centring marks at the middles of its sides."""
    left, bottom, right, top = paper.frame
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    strokes = [
        Stroke(start=a, end=b, layer=Layer.BORDER)
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    x, y = (left + right) / 2, (bottom + top) / 2
    for start, end in (
        ((x, bottom - 5.0), (x, bottom)), ((x, top), (x, top + 5.0)),
        ((left - 5.0, y), (left, y)), ((right, y), (right + 5.0, y)),
    ):
        strokes.append(Stroke(start=start, end=end, layer=Layer.BORDER))
    return strokes


def best_scale(view: View, size: tuple[float, float], lengths: LengthFormat) -> PlacedView | None:
    """``view`` at the largest scale at which it fits into ``size``, mm; None if at none."""
    for scale in scales(lengths.system):
        if not _could_fit(view, scale, size):
            continue
        placed = place(view, scale, lengths)
        if _fits(placed, size):
            return placed
    return None


def _could_fit(view: View, scale: int, size: tuple[float, float]) -> bool:
    left, bottom, right, top = view.bounds
    return (right - left) / scale <= size[0] and (top - bottom) / scale <= size[1]


def _fits(placed: PlacedView, size: tuple[float, float]) -> bool:
    width, height = placed.paper_size
    return width <= size[0] and height <= size[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How long a view is that may be broken: its length, that of a bay, most parts."""

    length_mm: float
    spacing_mm: float
    most_parts: int

    def fewest_parts(self, width_mm: float, system: UnitSystem) -> int:
        """Parts below which running dimensions have no room side by side, on any scale."""
        readable = [s for s in scales(system) if self.spacing_mm / s >= TEXT_MM + 2.0]
        smallest = max(readable, default=1)
        return max(1, min(self.most_parts, int(self.length_mm / smallest / width_mm)))


def broken(
    build: Callable[[int], Iterable[View]], run: Run, size: tuple[float, float],
    lengths: LengthFormat,
) -> list[PlacedView]:
    """A long view, in one piece if it can be read so, else in as few as can be.

    Parameters
    ----------
    build : callable
        From a number of parts to that many views.
    run : Run
    size : width, height, mm
    lengths : LengthFormat

    Returns
    -------
    list of PlacedView
        Empty if the view fits at no scale; with troubles if it stays crowded.
    """
    parts = run.fewest_parts(size[0], lengths.system)
    limit = best_scale(next(iter(build(run.most_parts))), size, lengths)
    largest = limit.scale if limit else 0
    while parts < run.most_parts:
        placed = _at_common_scale(list(build(parts)), size, lengths, largest)
        if placed and (placed[0].scale <= largest or not any(map(_is_crowded, placed))):
            return placed
        parts += max(1, parts // 8)
    return _at_common_scale(list(build(run.most_parts)), size, lengths, 0)


def _is_crowded(placed: PlacedView) -> bool:
    return bool(placed.troubles) or placed.strained


def _at_common_scale(
    views: Sequence[View], size: tuple[float, float], lengths: LengthFormat, largest: int
) -> list[PlacedView]:
    """All ``views`` at the largest scale at which all fit; empty if at none.

    Empty also where the widest is crowded and the scale could still be larger, up to
    1 to ``largest``.
    """
    widest = max(views, key=lambda view: view.bounds[2] - view.bounds[0])
    for scale in scales(lengths.system):
        if not _could_fit(widest, scale, size):
            continue
        trial = place(widest, scale, lengths)
        if not _fits(trial, size):
            continue
        if _is_crowded(trial) and scale > largest > 0:
            return []
        placed = [trial if view is widest else place(view, scale, lengths) for view in views]
        if all(_fits(view, size) for view in placed):
            return placed
    return []


def stacked(
    views: Sequence[PlacedView], ground: Ground, lengths: LengthFormat
) -> tuple[list[SheetView], list[Label]] | None:
    """``views`` one above the other in the middle of the sheet, each with its title below.

    None if they don't fit.
    """
    left, bottom, right, top = ground.views
    heights = [view.paper_size[1] + _VIEW_TITLE_MM for view in views]
    spare = (top - bottom) - sum(heights)
    if spare < -1e-6 or any(view.paper_size[0] > right - left for view in views):
        return None
    gap = spare / (len(views) + 1)
    placed, labels = [], []
    y, middle = top, (left + right) / 2
    for view, height in zip(views, heights, strict=True):
        y -= gap
        placed.append(SheetView(view=view, centre=(middle, y - view.paper_size[1] / 2)))
        y -= height
        scale = scale_text(view.scale, lengths.system)
        labels.append(
            Label(
                text=f"{view.title}   {scale}", at=(middle, y + TITLE_MM), height=TITLE_MM
            )
        )
    return placed, labels
