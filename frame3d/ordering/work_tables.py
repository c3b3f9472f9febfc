"""Bundles and hours by the steps of the guide, as tables of the take-off.

The rates are common practice, no source. In the workbook hours are worked out from them by
formulas, so that a rate which the user changes changes every sum.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.labour import hours_of, rates
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import StepContent
from frame3d.guide.steps.step_lists import Carriers, carriers_of, count_of, people_count
from frame3d.ordering.day_tables import day_tables
from frame3d.takeoff.quantities.handling import lifted_kg
from frame3d.takeoff.write.cut_lists import length_columns
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_COUNT, _MASS, _NUMBER = Quantity.COUNT, Quantity.MASS, Quantity.NUMBER
_SOURCE = "common practice, no source"
_RATE_HEADS = {
    "fixed_low": "Set up, hours, low", "fixed_high": "Set up, hours, high",
    "low": "Hours each, low", "high": "Hours each, high",
}  # fmt: skip


class Packed(Struct, frozen=True, kw_only=True):
    """Members of one mark that go into the bundle of one step.

    Parameters
    ----------
    step : int
        Of the guide.
    title : str
        What is done in it.
    members : tuple of Member
    where : str
    """

    step: int
    title: str
    members: tuple[Member, ...]
    where: str


def packed_parts(frame: Frame) -> tuple[Packed, ...]:
    """Every made part of a frame in the bundle of the step that puts it up; hardware after them."""
    return tuple(_packed(guide_of(frame, drawn=False).steps))


def work_tables(frame: Frame) -> tuple[DataTable, ...]:
    """Bundles, hours by step and by phase, the rates behind them; with a crew its days too."""
    steps = guide_of(frame, drawn=False).steps
    carriers = carriers_of(frame)
    return (
        _bundles(frame, steps, carriers), _hours(frame, steps, carriers), _phases(frame, steps),
        _rates(steps), *day_tables(frame, steps, carriers),
    )  # fmt: skip


def _packed(steps: Sequence[StepContent]) -> Iterator[Packed]:
    for told in steps:
        if told.step.phase is Phase.PREPARE:
            continue  # it lists all parts before any is put up
        places = {line.mark: line.where for line in told.parts}
        places |= {line.mark: "" for line in told.fixings}  # each mark once
        for mark, where in places.items():
            members = tuple(m for m in told.step.all_members if m.mark == mark)
            if members:
                yield Packed(
                    step=told.step.number, title=told.words.title, members=members,
                    where=where or grid_text(members),
                )  # fmt: skip


def _bundles(frame: Frame, steps: Sequence[StepContent], carriers: Carriers) -> DataTable:
    form, zinc = lengths_of(frame), frame.design.order.zinc
    rows: list[dict[str, Value]] = []
    for packed in _packed(steps):
        first = packed.members[0]
        length = first.part.over_all_mm
        rows.append({
            "step": packed.step,
            "title": packed.title,
            "mark": first.mark,
            "description": describe(first.part, form),
            "length": length,
            "length_text": "" if length is None else form.text(length, unit=True),
            "count": len(packed.members),
            "mass_each": lifted_kg(first.part, zinc),
            "hands": carriers[first.mark].hands if first.mark in carriers else None,
            "where": packed.where,
        })  # fmt: skip
    return DataTable(
        key="bundles",
        title="Bundles by step",
        columns=(
            DataColumn(key="step", header="Step", quantity=_COUNT, width=6),
            DataColumn(key="title", header="What is done", width=30),
            DataColumn(key="mark", header="Mark", width=8),
            DataColumn(key="description", header="Description", width=40),
            *length_columns(frame, "length", "Length"),
            DataColumn(key="count", header="Count", quantity=_COUNT, width=8, total=True),
            DataColumn(key="mass_each", header="Mass each", quantity=_MASS, width=10),
            DataColumn(key="mass", header="Mass", quantity=_MASS, width=10, total=True,
                       product=("count", "mass_each")),
            DataColumn(key="hands", header="People to carry one", quantity=_COUNT, width=10),
            DataColumn(key="where", header="Location", width=44),
        ),
        rows=tuple(rows),
        note="Tie together what one step needs, in the order of the guide; hardware in a bag with "
        "it. Spares are kept apart.",
    )  # fmt: skip


def _hours(frame: Frame, steps: Sequence[StepContent], carriers: Carriers) -> DataTable:
    rows: list[dict[str, Value]] = []
    for told in steps:
        step, count = told.step, count_of(frame, told.step)
        hours, people = hours_of(step.phase, count), people_count(frame, step, carriers)
        rows.append({
            "step": step.number,
            "title": told.words.title,
            "phase": step.phase.value,
            "people": people,
            "each": rates()[step.phase].each,
            "count": count,
            "low": hours.low,
            "high": hours.high,
            "site_low": hours.low / people,
            "site_high": hours.high / people,
        })  # fmt: skip
    return DataTable(
        key="hours",
        title="People and hours by step",
        columns=(
            DataColumn(key="step", header="Step", quantity=_COUNT, width=6),
            DataColumn(key="title", header="What is done", width=34),
            DataColumn(key="phase", header="Phase", width=10),
            DataColumn(key="people", header="People at least", quantity=_COUNT, width=9),
            DataColumn(key="each", header="Counted", width=18),
            DataColumn(key="count", header="Count", quantity=_COUNT, width=8),
            *(DataColumn(key=end, header=f"Person-hours, {end}", quantity=_NUMBER, width=15,
                         total=True, formula=_of_rates(end)) for end in ("low", "high")),
            *(DataColumn(key=f"site_{end}", header=f"Hours on site, {end}", quantity=_NUMBER,
                         width=15, total=True, formula=f"{{{end}}}/{{people}}")
              for end in ("low", "high")),
        ),
        rows=tuple(rows),
        note=f"{_SOURCE.capitalize()}: rough, parts cut and drilled. Change rates in the sheet "
        "Rates and people here; all sums follow.",
    )  # fmt: skip


def _of_rates(end: str) -> str:
    return (
        f"SUMPRODUCT(({{rates:phase}}={{phase}})*({{rates:fixed_{end}}}+{{count}}*{{rates:{end}}}))"
    )


def _phases(frame: Frame, steps: Sequence[StepContent]) -> DataTable:
    sums: dict[Phase, list[tuple[float, float]]] = {}
    for told in steps:
        hours = hours_of(told.step.phase, count_of(frame, told.step))
        sums.setdefault(told.step.phase, []).append((hours.low, hours.high))
    return DataTable(
        key="phases",
        title="Person-hours by phase",
        columns=(
            DataColumn(key="phase", header="Phase", width=14),
            *(DataColumn(key=end, header=f"Person-hours, {end}", quantity=_NUMBER, width=15,
                         total=True,
                         formula=f"SUMPRODUCT(({{hours:phase}}={{phase}})*{{hours:{end}}})")
              for end in ("low", "high")),
        ),
        rows=tuple(
            {
                "phase": phase.value,
                "low": math.fsum(low for low, _ in own),
                "high": math.fsum(high for _, high in own),
            }
            for phase, own in sums.items()
        ),
        note=f"Sums over the sheet Hours ({_SOURCE}).",
    )  # fmt: skip


def _rates(steps: Sequence[StepContent]) -> DataTable:
    phases = dict.fromkeys(told.step.phase for told in steps)
    return DataTable(
        key="rates",
        title="Rates of work",
        columns=(
            DataColumn(key="phase", header="Phase", width=14),
            DataColumn(key="each", header="Counted", width=18),
            *(DataColumn(key=key, header=header, quantity=_NUMBER, width=12)
              for key, header in _RATE_HEADS.items()),
            DataColumn(key="source", header="Source", width=28),
        ),
        rows=tuple(
            {
                "phase": phase.value,
                "each": rate.each,
                "fixed_low": rate.fixed[0],
                "fixed_high": rate.fixed[1],
                "low": rate.low,
                "high": rate.high,
                "source": _SOURCE,
            }
            for phase in phases
            for rate in [rates()[phase]]
        ),
        note="Hours of one person. Type in your own: hours and totals follow.",
    )  # fmt: skip
