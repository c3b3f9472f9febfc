"""Views onto sheets: which scale, how many sheets, and where on the paper.

Nothing is left out: a view that is crowded at the scale that fits is broken into
stretches on several sheets at a scale that can be read; what is crowded even then
becomes a finding.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from frame3d.sheets.annotation.annotated_view import PlacedView, place
from frame3d.sheets.annotation.annotations import View
from frame3d.sheets.annotation.dimension_stacks import fill_stacks
from frame3d.sheets.primitives.lettering import LINE_STEP, SMALL_MM, TEXT_MM, wrapped
from frame3d.sheets.primitives.occupancy import extent
from frame3d.sheets.primitives.paper import Paper, scales
from frame3d.sheets.primitives.primitives import Align, Label, around
from frame3d.units import LengthFormat, UnitSystem

BLOCK_WIDTH_MM, BLOCK_HEIGHT_MM = 180.0, 39.0
"""ISO 7200: a title block is at most 180 mm wide (from memory)."""
_MARGIN_MM = 4.0
VIEW_TITLE_MM = 9.0
"""Below a view, for its title."""
_SMALL_PAPER_MM = 300.0

CAUTIONS = (
    "Have buried cables and pipes located before driving sockets; look for overhead lines "
    "before raising hoops. Brace the frame before covering it. Follow your suppliers' "
    "instructions.",
    "Loads, foundations and permits are for local codes and a licensed professional. This "
    "drawing shows shape and size only; it says nothing about what the frame can carry.",
)


class DrawingArea(Struct, frozen=True, kw_only=True):
    """The parts of a sheet's drawing space: for views, and for notes; left, bottom, right, top."""

    views: tuple[float, float, float, float]
    notes: tuple[float, float, float, float]

    @property
    def view_size(self) -> tuple[float, float]:
        """Width and height for one view with its title, mm."""
        left, bottom, right, top = self.views
        return right - left, top - bottom - VIEW_TITLE_MM


def note_height_mm(paper: Paper) -> float:
    """Height of the letters of notes: small on the smallest sheets, to leave room for views."""
    return SMALL_MM if paper.width_mm < _SMALL_PAPER_MM else TEXT_MM


def ground_of(paper: Paper, notes: Sequence[str]) -> DrawingArea:
    """How the drawing space of ``paper`` is shared out when ``notes`` stand beside the title."""
    left, bottom, right, top = paper.frame
    width = right - BLOCK_WIDTH_MM - _MARGIN_MM - left - _MARGIN_MM
    height = note_height_mm(paper)
    lines = sum(len(wrapped(note, width - 5.0, height)) for note in (*notes, *CAUTIONS))
    needed = (lines + 1.6) * LINE_STEP * height + (len(notes) + len(CAUTIONS)) * 0.8
    stack = max(BLOCK_HEIGHT_MM, needed + 3.0)
    return DrawingArea(
        views=(
            left + _MARGIN_MM,
            bottom + stack + _MARGIN_MM,
            right - _MARGIN_MM,
            top - _MARGIN_MM,
        ),
        notes=(left + _MARGIN_MM, bottom, left + _MARGIN_MM + width, bottom + stack),
    )


def note_labels(ground: DrawingArea, notes: Sequence[str], height: float) -> list[Label]:
    """The notes and cautions, numbered, from the top of their part of the sheet down.

    ``height`` is that of the letters, mm.
    """
    left, _, right, top = ground.notes
    step = LINE_STEP * height
    y = top - 0.8 * step

    def line_at(text: str, x: float) -> Label:
        return Label(text=text, at=(x, y), height=height, align=Align.LEFT)

    labels = [line_at("Notes and cautions", left)]
    for number, note in enumerate((*notes, *CAUTIONS), start=1):
        y -= 0.8
        for i, line in enumerate(wrapped(note, right - left - 5.0, height)):
            y -= step
            if i == 0:
                labels.append(line_at(f"{number}", left))
            labels.append(line_at(line, left + 5.0))
    return labels


def best_scale(
    view: View,
    size: tuple[float, float],
    lengths: LengthFormat,
    *,
    smallest: float = math.inf,
    largest: float = 0.0,
) -> PlacedView | None:
    """``view`` at the largest scale at which it fits into ``size``, mm; None if at none.

    None is tried that is smaller than 1 to ``smallest``, or larger than 1 to ``largest``.
    """
    for scale in scales(lengths.system):
        if scale < largest:
            continue
        if scale > smallest:
            return None
        if not _could_fit(view, scale, size) or not stacks_fit(view, scale, size, lengths):
            continue
        placed = place(view, scale, lengths)
        if _fits(placed, size):
            return placed
    return None


def as_clear_as_can_be(
    placed: PlacedView, view: View, size: tuple[float, float], lengths: LengthFormat
) -> PlacedView:
    """``view`` as it is placed; if that is crowded, with marks farther out, none on another text.

    For where no larger scale and no other sheet helps.
    """
    if not placed.problems:
        return placed
    last = place(view, placed.scale, lengths, last=True)
    return last if _fits(last, size) else placed


def _could_fit(view: View, scale: int, size: tuple[float, float]) -> bool:
    left, bottom, right, top = view.bounds
    return (right - left) / scale <= size[0] and (top - bottom) / scale <= size[1]


def stacks_fit(view: View, scale: int, size: tuple[float, float], lengths: LengthFormat) -> bool:
    """Whether the view fits with what stands beside its edges, before all the rest is placed."""
    primitives = [item for stack in fill_stacks(view, scale, lengths) for item in stack.primitives]
    if not primitives:
        return True
    left, bottom, right, top = around((view.bounds, extent(primitives, scale)))
    return (right - left) / scale <= size[0] and (top - bottom) / scale <= size[1]


def _fits(placed: PlacedView, size: tuple[float, float]) -> bool:
    width, height = placed.paper_size
    return width <= size[0] and height <= size[1]


class Run(Struct, frozen=True, kw_only=True):
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
    build: Callable[[int], Iterable[View]],
    run: Run,
    size: tuple[float, float],
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
        Empty if the view fits at no scale; with problems if it stays crowded.
    """
    largest = _largest_scale(build(run.most_parts), size, lengths)
    tried: list[tuple[int, bool, int]] = []
    parts = run.fewest_parts(size[0], lengths.system)
    while parts <= run.most_parts:
        views = list(build(parts))
        widest = max(views, key=lambda view: view.bounds[2] - view.bounds[0])
        trial = best_scale(widest, size, lengths)
        if trial:
            tried.append((len(trial.problems), trial.crowded, parts))
            if not _is_crowded(trial):
                if len(views) == 1:
                    return [trial]
                placed = _at_common_scale(views, trial.scale, size, lengths)
                if placed and not any(map(_is_crowded, placed)):
                    return placed
            if trial.scale <= largest:
                break  # more parts would not make the scale any larger
        parts += max(1, parts // 8)
    if not tried:
        return []
    return _at_common_scale(list(build(min(tried)[2])), 1, size, lengths)


def _largest_scale(views: Iterable[View], size: tuple[float, float], lengths: LengthFormat) -> int:
    """The largest scale at which one of the shortest stretches fits; 0 if at none.

    The second is taken: the first carries dimensions that the others don't.
    """
    few = list(itertools.islice(views, 2))
    placed = best_scale(few[-1], size, lengths)
    return placed.scale if placed else 0


def _is_crowded(placed: PlacedView) -> bool:
    return bool(placed.problems) or placed.crowded


def _at_common_scale(
    views: Sequence[View], largest: int, size: tuple[float, float], lengths: LengthFormat
) -> list[PlacedView]:
    """All ``views`` at the largest scale, at most 1 to ``largest``, at which all fit."""
    for scale in scales(lengths.system):
        if scale < largest or not all(
            _could_fit(view, scale, size) and stacks_fit(view, scale, size, lengths)
            for view in views
        ):
            continue
        placed = [place(view, scale, lengths) for view in views]
        if all(_fits(view, size) for view in placed):
            return placed
    return []
