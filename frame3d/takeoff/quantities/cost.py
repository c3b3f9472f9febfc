"""What the order costs by the user's price list; what has no price is listed, never guessed."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec import Struct

from frame3d.catalog import CatalogKind
from frame3d.catalog.designations import designation
from frame3d.catalog.sections import ChannelSection, FlatBarSection, TubeSection
from frame3d.design.tables.making import BY_FABRICATOR, Make, ZincWhen
from frame3d.frame.describe.bought import is_bought_fitting
from frame3d.frame.describe.cut_lengths import CutPiece, Section, cut_pieces
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Material
from frame3d.takeoff.quantities.accessories import accessories
from frame3d.takeoff.quantities.cuts import SectionPlan
from frame3d.takeoff.quantities.hardware import HardwareRow
from frame3d.takeoff.quantities.offers import Offer, best_cover, offers_of
from frame3d.takeoff.quantities.prices import Per, Prices
from frame3d.takeoff.quantities.supply import Supply, supply_of_all

_ZINC = {
    ZincWhen.BEFORE: "galvanized", ZincWhen.AFTER: "not galvanized: that comes after making",
    ZincWhen.NONE: "not galvanized", ZincWhen.UNKNOWN: "",
}  # fmt: skip
_NO_PRICE = Offer(pack=1, per=Per.EACH, price=None)


class CostLine(Struct, frozen=True, kw_only=True):
    """One line of the order.

    Parameters
    ----------
    item : str
        As the price list must call it.
    length_mm : float or None
        For bars and boards.
    quantity : int
        Of what ``per`` says.
    per : Per
        Each or pack.
    pack : int
        How many are in a pack; 1 for what is sold one by one.
    price : float or None
        Of one; None where the list has none.
    pieces : int
        Bars, or what is needed and to spare: of a thing in several packs what these hold of it.
    supply : Supply
    standard, grade, finish : str
        As far as the order says.
    """

    item: str
    length_mm: float | None
    quantity: int
    per: Per
    pack: int
    price: float | None
    pieces: int
    supply: Supply
    standard: str = ""
    grade: str = ""
    finish: str = ""

    @property
    def amount(self) -> float | None:
        """What the line costs; None where the price is missing."""
        return None if self.price is None else self.quantity * self.price


def cost_lines(
    frame: Frame,
    sections: Sequence[SectionPlan],
    hardware: Sequence[HardwareRow],
    prices: Prices,
) -> tuple[CostLine, ...]:
    """Bars and boards to buy, plates, and hardware."""
    return tuple(
        [
            *_bars(frame, sections),
            *_plates(frame, prices),
            *_hardware(hardware),
            *_accessories(frame, prices),
        ]
    )


def total_cost(lines: Iterable[CostLine]) -> float:
    """The sum of the lines that have a price."""
    return math.fsum(line.amount for line in lines if line.amount is not None)


def missing_items(lines: Iterable[CostLine]) -> tuple[CostLine, ...]:
    """The lines without a price."""
    return tuple(line for line in lines if line.price is None)


def _bars(frame: Frame, sections: Sequence[SectionPlan]) -> Iterable[CostLine]:
    cut, make = cut_pieces(frame), frame.design.make
    for section in sections:
        if section.plan is None:
            continue
        for stock, count in section.plan.bought:
            yield CostLine(
                item=section.section.name,
                length_mm=stock.length_mm,
                quantity=count,
                per=Per.EACH,
                pack=1,
                price=stock.price,
                pieces=count,
                supply=_supply(section.section, cut[section.section]),
                standard=_standard(section.section),
                grade=_grade(section.section, make),
                finish=_finish(section.section, make),
            )


def _supply(section: Section, pieces: Sequence[CutPiece]) -> Supply:
    """Flat bar comes from the steel yard, whatever its pieces are for."""
    if isinstance(section, FlatBarSection):
        return Supply.STEEL
    return supply_of_all(group for piece in pieces for group in piece.groups)


def _standard(section: Section) -> str:
    """The standard of a section of the catalogue; channel and flat bar are in none."""
    if isinstance(section, ChannelSection | FlatBarSection):
        return ""
    is_tube = isinstance(section, TubeSection)
    return designation(CatalogKind.TUBE if is_tube else CatalogKind.TIMBER, section.name)


def _grade(section: Section, make: Make) -> str:
    """What the design says of a section's material; of channel it says nothing."""
    if isinstance(section, ChannelSection):
        return ""
    if isinstance(section, FlatBarSection):
        return _known(make.plate_grade)
    if isinstance(section, TubeSection):
        return _known(make.tube_grade)
    return " ".join(filter(None, map(_known, (make.timber_species, make.timber_grade))))


def _finish(section: Section, make: Make) -> str:
    if isinstance(section, ChannelSection):
        return Material.SHEET.value
    is_steel = isinstance(section, TubeSection | FlatBarSection)
    return _ZINC[make.zinc] if is_steel else make.timber_treatment


def _accessories(frame: Frame, prices: Prices) -> Iterable[CostLine]:
    for one in accessories(frame):
        offers = offers_of(prices.rows(one.item), 1) or (_NO_PRICE,)
        finish = frame.design.order.finish
        yield from _in_packs(one.item, one.count, offers, supply=Supply.DOORS, finish=finish)


def _in_packs(
    item: str, count: int, offers: Sequence[Offer], *, supply: Supply, finish: str, grade: str = ""
) -> Iterable[CostLine]:
    """A thing in the packs that cost least, a line for each size of pack."""
    for offer, packs in best_cover(count, offers):
        held = min(count, packs * offer.pack)
        yield CostLine(
            item=item,
            length_mm=None,
            quantity=packs if offer.per is Per.PACK else packs * offer.pack,
            per=offer.per,
            pack=offer.pack,
            price=offer.price,
            pieces=held,
            supply=supply,
            grade=grade,
            finish=finish,
        )
        count -= held


def _known(text: str) -> str:
    """What the design says of a material; empty where it leaves it to others."""
    return "" if text == BY_FABRICATOR else text


def drawn_parts(frame: Frame) -> dict[str, list[tuple[PartCount, int]]]:
    """What is made by its drawing and not cut from bars, by what lists call it.

    Parts of several shapes may go by one name, as the gusset plates of a truss do.

    Returns
    -------
    dict of str to list of (PartCount, int)
        The parts of a name, and how many of each are asked for.
    """
    form, cut = lengths_of(frame), Counter[str]()
    for pieces in cut_pieces(frame).values():
        for piece in pieces:
            cut.update({group.mark: piece.count for group in piece.groups})
    found: dict[str, list[tuple[PartCount, int]]] = {}
    for group in frame.parts():
        fitting = is_bought_fitting(frame, group.part, group.role)
        count = group.count - cut[group.mark]
        if count > 0 and not (group.part.is_bought or fitting):
            found.setdefault(describe(group.part, form), []).append((group, count))
    return found


def _plates(frame: Frame, prices: Prices) -> Iterable[CostLine]:
    """What is made and not cut from bars, by the piece."""
    make = frame.design.make
    for item, parts in drawn_parts(frame).items():
        yield from _in_packs(
            item,
            sum(count for _, count in parts),
            offers_of(prices.rows(item), 1) or (_NO_PRICE,),
            supply=supply_of_all(group for group, _ in parts),
            grade=_known(make.plate_grade),
            finish=_ZINC[make.zinc],
        )


def _hardware(rows: Sequence[HardwareRow]) -> Iterable[CostLine]:
    for row in rows:
        yield CostLine(
            item=row.item,
            length_mm=None,
            quantity=row.packs if row.per is Per.PACK else row.buy,
            per=row.per,
            pack=row.pack,
            price=row.price,
            pieces=row.needed + row.spares,
            supply=row.supply,
            standard=row.standard,
            grade=row.grade,
            finish=row.finish,
        )
