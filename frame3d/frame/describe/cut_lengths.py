"""What is sawn of a frame: its pieces by their section, and what each takes off the bar.

Glossary
--------
cut length : what is sawn off the bar: the finished length, and for a bent piece what the
    rolls need at its ends besides.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.catalog.sections import ChannelSection, FlatBarSection, TimberSection, TubeSection
from frame3d.frame.describe.flat_bars import flat_blanks
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Board, Tube
from frame3d.geometry.paths import Line, PlanePath

Section = TubeSection | TimberSection | ChannelSection | FlatBarSection
Sawn = Tube | Board | Channel
"""The kinds of part that are always cut from stock lengths of a section."""


class CutPiece(Struct, frozen=True, kw_only=True):
    """A piece that is cut from a stock length, each kind once.

    Parameters
    ----------
    mark : str
        Of a piece that is bent into several plates their marks, ``BK1-BK2``.
    length_mm : float
        Its cut length.
    count : int
    groups : tuple of PartCount
        The part that it becomes, or the plates.
    """

    mark: str
    length_mm: float
    count: int
    groups: tuple[PartCount, ...]


class SawnBars(Struct, frozen=True, kw_only=True):
    """Bars or boards of one section that are sawn alike, by a cutting plan.

    Parameters
    ----------
    section : str
    numbers : str
        Of the bars in the plan of their section, ``3 to 8``.
    count : int
    stock : str
        The stock length as it is sold, in words.
    cuts : tuple of (mark, length)
        In the order of the saw, mm.
    rest_mm : float
        What is left of each.
    """

    section: str
    numbers: str
    count: int
    stock: str
    cuts: tuple[tuple[str, float], ...]
    rest_mm: float


def cut_pieces(frame: Frame) -> dict[Section, tuple[CutPiece, ...]]:
    """What is cut from bars, boards, channel or flat bar, by section, in the order of the marks."""
    found: dict[Section, list[CutPiece]] = {}
    for group in frame.parts():
        part = group.part
        if isinstance(part, Sawn):
            length = cut_length_mm(part, frame.design.order.straight_end)
            piece = CutPiece(mark=group.mark, length_mm=length, count=group.count, groups=(group,))
            found.setdefault(part.section, []).append(piece)
    for blank in flat_blanks(frame):
        piece = CutPiece(
            mark=blank.name, length_mm=blank.length_mm, count=blank.count, groups=blank.plates
        )
        found.setdefault(blank.section, []).append(piece)
    return {section: tuple(pieces) for section, pieces in found.items()}


def cut_length_mm(part: Sawn, straight_end_mm: float) -> float:
    """What is sawn off the bar for a part, mm.

    A bent tube must have ``straight_end_mm`` of straight tube at each end for the rolls;
    what it does not have itself is added.
    """
    if isinstance(part, Board | Channel):
        return part.over_all_mm
    if part.axis.is_straight:
        return part.over_all_mm
    return part.length_mm + sum(grips_mm(part, straight_end_mm))


def grips_mm(tube: Tube, straight_end_mm: float) -> tuple[float, float]:
    """What is added at the start and at the end of a bent tube for the bender to grip, mm."""
    start, end = (
        max(0.0, straight_end_mm - _straight_mm(axis))
        for axis in (tube.axis, tube.axis.reversed())
    )  # fmt: skip
    return start, end


def _straight_mm(axis: PlanePath) -> float:
    total = 0.0
    for segment in axis.segments:
        if not isinstance(segment, Line):
            break
        total += segment.length_mm
    return total
