"""The tables of the cutting plans: what to take, how to saw it, how good the plan is."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.describe.cut_lengths import SawnBars
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.takeoff.cutting.pieces_and_bars import Stock
from frame3d.takeoff.cutting.plan_cuts import Bar
from frame3d.takeoff.quantities.cuts import SectionPlan
from frame3d.takeoff.take_off import Takeoff
from frame3d.units import UnitSystem
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_COUNT, _LENGTH = Quantity.COUNT, Quantity.LENGTH
_NOISE_MM = 1e-3


class BarGroup(Struct, frozen=True, kw_only=True):
    """Bars of a plan that are sawn alike: the first, its number in the plan, and how many."""

    bar: Bar
    first: int
    count: int

    @property
    def numbers(self) -> str:
        """The numbers of the bars, ``3`` or ``3 to 8``."""
        last = self.first + self.count - 1
        return f"{self.first}" if self.count == 1 else f"{self.first} to {last}"


def bar_groups(section: SectionPlan) -> Iterator[BarGroup]:
    """The bars of a plan, those that follow each other and are sawn alike as one."""
    if section.plan is None:
        return
    number = 1
    for _, alike in itertools.groupby(section.plan.bars):
        bars = list(alike)
        yield BarGroup(bar=bars[0], first=number, count=len(bars))
        number += len(bars)


def sawn_bars(takeoff: Takeoff) -> tuple[SawnBars, ...]:
    """The cutting plans of all sections, for who knows no take-off."""
    return tuple(
        SawnBars(
            section=section.section.name,
            numbers=group.numbers,
            count=group.count,
            stock=group.bar.stock.name,
            cuts=tuple((cut.mark, cut.length_mm) for cut in group.bar.cuts),
            rest_mm=group.bar.rest_mm,
        )
        for section in takeoff.sections
        for group in bar_groups(section)
    )


def left_after(bar: Bar, kerf_mm: float, end_trim_mm: float) -> list[float]:
    """What is left of a bar after each of its cuts, mm; the last is its rest."""
    left, after = bar.stock.length_mm - end_trim_mm, []
    for cut in bar.cuts:
        left = max(0.0, left - cut.length_mm - kerf_mm)
        after.append(left)
    return [*after[:-1], bar.rest_mm]


def length_columns(frame: Frame, key: str, header: str) -> list[DataColumn]:
    """A length as a number and, in feet and inches, as drawings write it before that."""
    number = DataColumn(key=key, header=header, quantity=_LENGTH, width=11)
    if frame.design.output.units is UnitSystem.METRIC:
        return [number]
    return [DataColumn(key=f"{key}_text", header=header, width=13), number]


def bar_table(takeoff: Takeoff) -> DataTable:
    """What to take: bars and boards, from the yard and bought."""
    form = lengths_of(takeoff.frame)
    rows: list[dict[str, Value]] = []
    for section in takeoff.sections:
        if section.plan is None:
            continue
        counts: dict[Stock, int] = {}
        for bar in section.plan.bars:
            counts[bar.stock] = counts.get(bar.stock, 0) + 1
        for stock, count in counts.items():
            rows.append(
                {
                    "section": section.section.name,
                    "source": "on hand" if stock.owned else "buy",
                    "length": stock.length_mm,
                    "length_text": form.text(stock.length_mm, unit=True),
                    "count": count,
                    "together": stock.length_mm * count,
                }
            )
    return DataTable(
        key="stock",
        title="Bars and boards",
        columns=(
            DataColumn(key="section", header="Section", width=26),
            DataColumn(key="source", header="Source", width=14),
            *length_columns(takeoff.frame, "length", "Length"),
            DataColumn(key="count", header="Count", quantity=_COUNT, total=True, width=8),
            DataColumn(key="together", header="Total length", quantity=_LENGTH, width=14,
                   product=("count", "length")),
        ),
        rows=tuple(rows),
        note="For anything without a plan, see Notes for the reason.",
    )  # fmt: skip


def cut_table(takeoff: Takeoff) -> DataTable:
    """How each bar is sawn, cut by cut in the order of the saw."""
    order, form = takeoff.frame.design.order, lengths_of(takeoff.frame)
    rows: list[dict[str, Value]] = []
    for section in takeoff.sections:
        for group in bar_groups(section):
            bar = group.bar
            after = left_after(bar, section.kerf_mm, order.end_trim)
            for number, (cut, left) in enumerate(zip(bar.cuts, after, strict=True), start=1):
                last = number == len(bar.cuts)
                rows.append(
                    {
                        "section": section.section.name,
                        "bars": group.numbers,
                        "alike": group.count,
                        "stock": bar.stock.name,
                        "cut": number,
                        "mark": cut.mark,
                        "length": cut.length_mm,
                        "length_text": form.text(cut.length_mm, unit=True),
                        "left": left,
                        "left_text": form.text(left, unit=True),
                        "offcut": _offcut(bar, order.shortest_offcut) if last else "",
                    }
                )
    return DataTable(
        key="cuts",
        title="Cutting list",
        columns=(
            DataColumn(key="section", header="Section", width=26),
            DataColumn(key="bars", header="Bar", width=10),
            DataColumn(key="alike", header="Bars", quantity=_COUNT, width=8),
            DataColumn(key="stock", header="Cut from", width=22),
            DataColumn(key="cut", header="Cut", quantity=_COUNT, width=6),
            DataColumn(key="mark", header="Mark", width=8),
            *length_columns(takeoff.frame, "length", "Cut length"),
            *length_columns(takeoff.frame, "left", "Left over"),
            DataColumn(key="offcut", header="Offcut", width=10),
        ),
        rows=tuple(rows),
        note="In cutting order, longest first. Saw cuts: tube, channel and flat bar "
        f"{form.text(order.tube_kerf, unit=True)}, boards "
        f"{form.text(order.timber_kerf, unit=True)}; "
        f"{form.text(order.end_trim, unit=True)} is trimmed off every bar first, both "
        "ends together; bent pieces are cut with a grip length of "
        f"{form.text(order.straight_end, unit=True)} at each end.",
    )


def _offcut(bar: Bar, shortest_mm: float) -> str:
    if bar.rest_mm < _NOISE_MM:
        return "none"
    return "keep" if bar.rest_mm >= shortest_mm - _NOISE_MM else "waste"


def plan_table(takeoff: Takeoff) -> DataTable:
    """How good each plan is."""
    rows: list[dict[str, Value]] = []
    for section in takeoff.sections:
        plan = section.plan
        left_out = sum(piece.count for piece in section.unplanned)
        pieces = sum(piece.count for piece in section.pieces)
        row: dict[str, Value] = {
            "section": section.section.name,
            "pieces": pieces,
            "left_out": left_out,
        }
        if plan is None:
            row |= dict.fromkeys(("bars", "bought", "waste", "kept", "gap"))
            row["proven"] = "no plan"
        else:
            row |= {
                "bars": len(plan.bars),
                "bought": sum(stock.length_mm * count for stock, count in plan.bought),
                "waste": plan.waste_mm,
                "kept": plan.kept_mm,
                "proven": "yes" if plan.proven else "no",
                "gap": plan.gap * 100,
            }
        rows.append(row)
    return DataTable(
        key="plans",
        title="Cutting plans",
        columns=(
            DataColumn(key="section", header="Section", width=26),
            DataColumn(key="pieces", header="Pieces", quantity=_COUNT, total=True, width=8),
            DataColumn(key="bars", header="Bars", quantity=_COUNT, total=True, width=8),
            DataColumn(key="bought", header="Length bought", quantity=_LENGTH, width=14),
            DataColumn(key="waste", header="Waste", quantity=_LENGTH, width=12),
            DataColumn(key="kept", header="Offcuts to keep", quantity=_LENGTH, width=12),
            DataColumn(key="proven", header="Proven best", width=10),
            DataColumn(
                key="gap", header="Could save at most, %", quantity=Quantity.NUMBER, width=10
            ),
            DataColumn(key="left_out", header="Pieces not planned", quantity=_COUNT, width=9),
        ),
        rows=tuple(rows),
        note="Waste: saw cuts, trim and offcuts too short to keep.",
    )
