"""Plates of doors that are cut from flat bar: straps, and pieces bent from one strap.

A plate is of flat bar where it is as wide as a bar that is stocked: a rectangle by one of its
sides, a bent piece across its bends. All others are cut from plate, and what is bought complete is
not cut at all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.catalog.flat_bars import flat_bar_widths_mm
from frame3d.catalog.sections import FlatBarSection
from frame3d.design.tables.general import FastenerSystem
from frame3d.frame.describe.bought import is_bought_fitting
from frame3d.frame.describe.plate_joints import (
    PLATED,
    BentPlate,
    bent_plates,
    is_rectangle,
    plate_joints,
)
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Plate

FLAT_BAR = "flat bar"
"""With what the names of its sections begin."""
_SAME_MM = 0.05
"""Far less than any two stocked widths differ by, far more than the grid of parts."""


class FlatBlank(Struct, frozen=True, kw_only=True):
    """A piece cut from flat bar: a plate, or what several are bent from.

    Parameters
    ----------
    section : FlatBarSection
    plates : tuple of PartCount
        The plates that it becomes, from end to end.
    length_mm : float
        Of a bent piece that of its flat pattern.
    count : int
    """

    section: FlatBarSection
    plates: tuple[PartCount[Plate], ...]
    length_mm: float
    count: int

    @property
    def name(self) -> str:
        """The marks of its plates, ``BK1-BK2``, as over the flat pattern."""
        return "-".join(plate.mark for plate in self.plates)


def flat_blanks(frame: Frame) -> tuple[FlatBlank, ...]:
    """Every piece that is cut from flat bar, each kind once: bent ones, then straps."""
    plates = {
        group.mark: group
        for group in frame.parts_of_kind(Plate)
        if group.role in PLATED and not is_bought_fitting(frame, group.part, group.role)
    }
    if not plates:
        return ()
    bent = bent_plates(frame, plate_joints(frame))
    # Legs of what is bent from plate are no straps either.
    taken = Counter[str]()
    for piece in bent:
        for leg in piece.legs:
            taken[leg.mark] += piece.count
    return (*_bent(frame, plates, bent), *_straps(frame, plates, taken))


def _bent(
    frame: Frame, plates: dict[str, PartCount[Plate]], bent: Sequence[BentPlate]
) -> Iterator[FlatBlank]:
    for piece in bent:
        wide = _stocked_mm(frame, piece.width_mm)
        if wide is not None and all(leg.mark in plates for leg in piece.legs):
            yield FlatBlank(
                section=_section(frame, wide, piece.thickness_mm),
                plates=tuple(plates[leg.mark] for leg in piece.legs),
                length_mm=piece.length_mm,
                count=piece.count,
            )


def _straps(
    frame: Frame, plates: dict[str, PartCount[Plate]], taken: Counter[str]
) -> Iterator[FlatBlank]:
    """Rectangles that are no leg of a bent piece; of two sides that are stocked the lesser."""
    for group in plates.values():
        count = group.count - taken[group.mark]
        if count <= 0 or not is_rectangle(group.part):
            continue
        xs, ys = ([corner[k] for corner in group.part.outline] for k in (0, 1))
        short, long = sorted((max(xs) - min(xs), max(ys) - min(ys)))
        for side, length in ((short, long), (long, short)):
            wide = _stocked_mm(frame, side)
            if wide is not None:
                section = _section(frame, wide, group.part.thickness_mm)
                yield FlatBlank(section=section, plates=(group,), length_mm=length, count=count)
                break


def _stocked_mm(frame: Frame, width_mm: float) -> float | None:
    """The width of the bar that has this width; None where there is none."""
    hardware = frame.design.hardware
    is_inch = hardware.system is FastenerSystem.INCH
    known = (hardware.door_bar_width, *flat_bar_widths_mm(is_inch=is_inch))
    return next((wide for wide in known if abs(wide - width_mm) < _SAME_MM), None)


def _section(frame: Frame, width_mm: float, thickness_mm: float) -> FlatBarSection:
    form = lengths_of(frame)
    wide, thick = sold_text(form, width_mm), sold_text(form, thickness_mm)
    return FlatBarSection(
        name=f"{FLAT_BAR} {wide} x {thick}", width_mm=width_mm, thickness_mm=thickness_mm
    )
