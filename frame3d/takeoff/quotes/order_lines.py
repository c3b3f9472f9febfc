"""The lines of an order as a supplier is asked for them, in the groups of who sells what."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from frame3d.takeoff.quantities.cost import CostLine, drawn_parts
from frame3d.takeoff.quantities.stock import kg_per_m
from frame3d.takeoff.quantities.supply import Supply, group_of
from frame3d.takeoff.take_off import Takeoff


class OrderLine(Struct, frozen=True, kw_only=True):
    """One thing that is asked for.

    Parameters
    ----------
    number : int
        From 1, in the whole order.
    item : str
        As a price list must call it.
    length_mm : float or None
        For bars and boards.
    pieces : int
        Bars, or what is needed and to spare.
    pack : int
        How many the design takes to be in a pack.
    supply : Supply
    group : str
        The user's own, or the kind of supplier.
    standard, grade, finish : str
        As far as the order says.
    kg_per_m : float
        Of a bar; 0 for anything else.
    marks : tuple of (str, int)
        Of what is made by its drawing: the marks that go by this name, and how many of each.
    """

    number: int
    item: str
    length_mm: float | None
    pieces: int
    pack: int
    supply: Supply
    group: str
    standard: str
    grade: str
    finish: str
    kg_per_m: float
    marks: tuple[tuple[str, int], ...] = ()

    @property
    def quantity(self) -> str:
        """How many, with what is counted."""
        return f"{self.pieces} {self.unit if self.pieces != 1 else self.unit.removesuffix('s')}"

    @property
    def unit(self) -> str:
        """What is counted: bars, boards, or pieces."""
        if self.length_mm is None:
            return "pieces"
        return "boards" if self.supply is Supply.TIMBER else "bars"


def order_lines(takeoff: Takeoff) -> tuple[OrderLine, ...]:
    """Every line of the order once, however many packs it comes in; by group and kind."""
    found: dict[tuple[str, float | None], list[CostLine]] = {}
    for line in takeoff.cost:
        found.setdefault((line.item, line.length_mm), []).append(line)
    masses = {one.section.name: kg_per_m(one.section) for one in takeoff.sections}
    drawn = drawn_parts(takeoff.frame)
    own = takeoff.frame.design.order.supply_groups
    names = [group.name for group in own]
    parted = [(lines, group_of(lines[0].item, lines[0].supply, own)) for lines in found.values()]
    kinds = list(Supply)
    parted.sort(key=lambda one: (
        names.index(one[1]) if one[1] in names else len(names), kinds.index(one[0][0].supply)
    ))  # fmt: skip
    return tuple(
        OrderLine(
            number=number,
            item=lines[0].item,
            length_mm=lines[0].length_mm,
            pieces=sum(line.pieces for line in lines),
            pack=lines[0].pack,
            supply=lines[0].supply,
            group=group,
            standard=lines[0].standard,
            grade=lines[0].grade,
            finish=lines[0].finish,
            kg_per_m=0.0 if lines[0].length_mm is None else masses[lines[0].item],
            marks=tuple((group.mark, count) for group, count in drawn.get(lines[0].item, ())),
        )
        for number, (lines, group) in enumerate(parted, start=1)
    )


def groups_of(lines: Sequence[OrderLine]) -> dict[str, tuple[OrderLine, ...]]:
    """The lines by the group in which they are asked for, in their order."""
    found: dict[str, list[OrderLine]] = {}
    for line in lines:
        found.setdefault(line.group, []).append(line)
    return {group: tuple(own) for group, own in found.items()}
