"""What is sawn of a frame: its pieces by their section, and what each takes off the bar.

Glossary
--------
cut length : what is sawn off the bar: the finished length, and for a bent piece what the
    rolls need at its ends besides.
"""

from __future__ import annotations

from typing import TypeGuard

from msgspec import Struct

from frame3d.catalog.sections import ChannelSection, TimberSection, TubeSection
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Board, Tube
from frame3d.geometry.paths import Line, PlanePath

__all__ = [
    "Sawn", "SawnBars", "Section", "cut_length_mm", "grips_mm", "is_sawn", "sections_of",
]  # fmt: skip

Section = TubeSection | TimberSection | ChannelSection
Sawn = Tube | Board | Channel
"""The kinds of part that are cut from stock lengths of a section."""


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


def sections_of(frame: Frame) -> dict[Section, tuple[PartCount[Sawn], ...]]:
    """What is cut from bars, boards or channel, by section, in the order of the marks."""
    found: dict[Section, list[PartCount[Sawn]]] = {}
    for group in frame.parts():
        if is_sawn(group):
            found.setdefault(group.part.section, []).append(group)
    return {section: tuple(groups) for section, groups in found.items()}


def is_sawn(group: PartCount) -> TypeGuard[PartCount[Sawn]]:
    """Whether a part is cut from a stock length."""
    return isinstance(group.part, Sawn)


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
