"""The tables of parts, sums, hardware, joints, handling and cost."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.frame.describe.places import grid_text, numbers_text
from frame3d.frame.describe.wording import describe, fine_lengths, lengths_of
from frame3d.frame.measure.measures import centre_mm, mass_kg
from frame3d.frame.model.members import PartCount
from frame3d.takeoff.quantities.surfaces import surface_mm2
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.closing_list import closing_table
from frame3d.takeoff.write.cut_lists import bar_table, cut_table, length_columns, plan_table
from frame3d.takeoff.write.quote_tables import order_table
from frame3d.units import LengthFormat
from frame3d.units.data_tables import SI, DataColumn, DataTable, Quantity, Value

_COUNT, _LENGTH, _MASS, _AREA = (
    Quantity.COUNT, Quantity.LENGTH, Quantity.MASS, Quantity.AREA,
)  # fmt: skip

_Row = dict[str, Value]
_HARDWARE = "hardware"
_CENTRE = ("centre_x", "centre_y", "centre_z")


def tables_of(takeoff: Takeoff) -> tuple[DataTable, ...]:
    """Every table of the take-off, in the order of the workbook."""
    parts = _parts(takeoff)
    return (
        parts,
        _materials(parts),
        _sums(parts),
        bar_table(takeoff),
        cut_table(takeoff),
        plan_table(takeoff),
        _hardware(takeoff),
        closing_table(takeoff),
        _joints(takeoff),
        _handling(takeoff),
        _hoops(takeoff),
        _cost(takeoff),
        order_table(takeoff),
    )


def _said(form: LengthFormat, length_mm: float | None) -> str:
    return "" if length_mm is None else form.text(length_mm, unit=True)


def _parts(takeoff: Takeoff) -> DataTable:
    form = lengths_of(takeoff.frame)
    columns = [
        DataColumn(key="mark", header="Mark", width=7),
        DataColumn(key="role", header="Use", width=13),
        DataColumn(key="description", header="Description", width=36),
        DataColumn(key="material", header="Material", width=17),
        DataColumn(key="section", header="Section", width=22),
        *length_columns(takeoff.frame, "length", "Length"),
        DataColumn(key="count", header="Count", quantity=_COUNT, width=7, total=True),
        DataColumn(key="mass_each", header="Mass each", quantity=_MASS, width=10),
        DataColumn(
            key="mass_total", header="Mass", quantity=_MASS, width=10, total=True,
            product=("count", "mass_each"),
        ),
        DataColumn(key="surface_each", header="Zinc surface each", quantity=_AREA, width=11),
        DataColumn(
            key="surface_total", header="Zinc surface", quantity=_AREA, width=11, total=True,
            product=("count", "surface_each"),
        ),
        DataColumn(key="where", header="Location", width=40),
    ]  # fmt: skip
    return DataTable(
        key="parts",
        title="Parts",
        columns=tuple(columns),
        rows=tuple(_part_row(group, form) for group in takeoff.frame.parts()),
        note="Length of bent tube: developed length, along its axis. Zinc surface: inside "
        "and outside, holes not deducted; bought hardware is already coated.",
    )


def _part_row(group: PartCount, form: LengthFormat) -> _Row:
    part = group.part
    length = part.over_all_mm
    return {
        "mark": group.mark,
        "role": group.role.value,
        "description": describe(part, form),
        "material": part.material.value,
        "section": part.section_name,
        "length": length,
        "length_text": _said(form, length),
        "count": group.count,
        "mass_each": mass_kg(part),
        "surface_each": surface_mm2(part) / 1e6,
        "where": grid_text(group.members),
    }


def _materials(parts: DataTable) -> DataTable:
    """Sums over the table of parts, so that the two cannot differ."""
    groups: dict[str, list[_Row]] = {}
    for row in parts.rows:
        groups.setdefault(str(row["material"]), []).append(row)
    matching = "SUMPRODUCT(({{parts:material}}={{material}})*{{parts:{key}}})"
    return DataTable(
        key="materials",
        title="Totals by material",
        columns=(DataColumn(key="material", header="Material", width=26), *_sum_columns(matching)),
        rows=tuple({"material": name, **_sum_row(parts, rows)} for name, rows in groups.items()),
    )


def _sums(parts: DataTable) -> DataTable:
    """Sums over the table of parts by material and section; hardware last."""
    groups: dict[tuple[str, str], list[_Row]] = {}
    for row in sorted(parts.rows, key=lambda row: not row["section"]):
        key = str(row["material"]), str(row["section"] or _HARDWARE)
        groups.setdefault(key, []).append(row)
    own = f'IF({{{{section}}}}="{_HARDWARE}","",{{{{section}}}})'
    matching = (
        "SUMPRODUCT(({{parts:material}}={{material}})*({{parts:section}}=" + own + ")*"
        "{{parts:{key}}})"
    )
    pieces, *others = _sum_columns(matching)
    length = DataColumn(key="length", header="Total length", quantity=_LENGTH, width=16)
    return DataTable(
        key="sums",
        title="Totals by material and section",
        columns=(
            DataColumn(key="material", header="Material", width=20),
            DataColumn(key="section", header="Section", width=26),
            pieces, length, *others,
        ),
        rows=tuple(
            {
                "material": name,
                "section": section,
                "length": None if section == _HARDWARE else _together(rows),
                **_sum_row(parts, rows),
            }
            for (name, section), rows in groups.items()
        ),
        note="Lengths are finished lengths, without saw cuts and waste.",
    )  # fmt: skip


def _sum_columns(matching: str) -> list[DataColumn]:
    """Pieces, mass and surface, each the sum of the rows of parts that match."""
    return [
        DataColumn(key=key, header=header, quantity=quantity, total=True,
               formula=matching.format(key=of))
        for key, header, quantity, of in (
            ("pieces", "Pieces", _COUNT, "count"),
            ("mass", "Mass", _MASS, "mass_total"),
            ("surface", "Zinc surface", _AREA, "surface_total"),
        )
    ]  # fmt: skip


def _sum_row(parts: DataTable, rows: Sequence[_Row]) -> _Row:
    def total(key: str) -> float:
        column = parts.column(key)
        values = (parts.value(row, column, SI) for row in rows)
        return sum(value for value in values if isinstance(value, int | float))

    return {"pieces": total("count"), "mass": total("mass_total"),
            "surface": total("surface_total")}  # fmt: skip


def _together(rows: Sequence[_Row]) -> float | None:
    """Length of all pieces together; None for plates, which have none."""
    lengths = [
        length * count
        for row in rows
        if isinstance(length := row["length"], int | float)
        and isinstance(count := row["count"], int)
    ]
    return sum(lengths) if len(lengths) == len(rows) else None


def _hardware(takeoff: Takeoff) -> DataTable:
    form, order = lengths_of(takeoff.frame), takeoff.frame.design.order
    return DataTable(
        key="hardware",
        title="Hardware to buy",
        columns=(
            DataColumn(key="item", header="Item", width=40),
            DataColumn(key="size", header="Size", width=12),
            *length_columns(takeoff.frame, "length", "Length"),
            DataColumn(key="standard", header="Standard", width=16),
            DataColumn(key="grade", header="Grade", width=20),
            DataColumn(key="finish", header="Finish", width=18),
            DataColumn(key="marks", header="Marks", width=12),
            DataColumn(key="needed", header="Needed", quantity=_COUNT, total=True, width=8),
            DataColumn(key="spares", header="Spares", quantity=_COUNT, total=True, width=8),
            DataColumn(key="pack", header="Per pack", quantity=_COUNT, width=8),
            DataColumn(key="packs", header="Packs", quantity=_COUNT, width=8,
                   formula="ROUNDUP(({needed}+{spares})/{pack},0)"),
            DataColumn(key="buy", header="To buy", quantity=_COUNT, total=True, width=8,
                   product=("packs", "pack")),
            DataColumn(key="where", header="Location", width=40),
        ),
        rows=tuple(
            {
                "item": row.item,
                "size": row.size,
                "length": row.length_mm,
                "length_text": _said(form, row.length_mm),
                "standard": row.standard,
                "grade": row.grade,
                "finish": row.finish,
                "marks": ", ".join(row.marks),
                "needed": row.needed,
                "spares": row.spares,
                "pack": row.pack,
                "packs": row.packs,
                "where": grid_text(row.members),
            }
            for row in takeoff.hardware
        ),
        note=f"Spares: {order.spare_percent:g} % of the quantity needed, at least "
             f"{order.spare_least} of each, rounded up to full packs. "
             "Clamps are complete. Grade and finish are from the design and say nothing about the "
             "strength of the frame.",
    )  # fmt: skip


def _joints(takeoff: Takeoff) -> DataTable:
    form = fine_lengths(lengths_of(takeoff.frame))
    rows: list[_Row] = []
    for joint in takeoff.joints:
        better = joint.better_mm
        thread = "no" if not joint.is_thread_sheared else "yes"
        if better is not None:
            thread = f"yes; {form.text(better, unit=True)} long would avoid it"
        rows.append(
            {
                "mark": joint.mark,
                "bolt": describe(joint.bolt, lengths_of(takeoff.frame)),
                "count": len(joint.members),
                "held": ", ".join(joint.held),
                "drill": ", ".join(form.text(drill, unit=True) for drill in joint.drills_mm),
                "grip": joint.grip_mm,
                "washers": joint.washers,
                "thread_from": joint.thread_from_mm,
                "last_plane": max(joint.planes_mm, default=None),
                "sheared": thread if joint.planes_mm else "no shear plane",
                "past_grip": None if joint.grip_mm is None
                else joint.bolt.length_mm - joint.grip_mm,
                "where": grid_text(joint.members),
            }
        )  # fmt: skip
    return DataTable(
        key="joints",
        title="Bolted joints",
        columns=(
            DataColumn(key="mark", header="Mark", width=7),
            DataColumn(key="bolt", header="Bolt", width=32),
            DataColumn(key="count", header="Count", quantity=_COUNT, total=True, width=7),
            DataColumn(key="held", header="Goes through, from the head", width=40),
            DataColumn(key="drill", header="Drill", width=10),
            DataColumn(key="grip", header="Grip", quantity=_LENGTH, width=9),
            DataColumn(key="washers", header="Washers", quantity=_COUNT, width=9),
            DataColumn(key="thread_from", header="Thread starts", quantity=_LENGTH, width=10),
            DataColumn(key="last_plane", header="Last shear plane", quantity=_LENGTH, width=10),
            DataColumn(key="sheared", header="Thread in a shear plane", width=24),
            DataColumn(key="past_grip", header="Past the grip", quantity=_LENGTH, width=10),
            DataColumn(key="where", header="Location", width=40),
        ),
        rows=tuple(rows),
        note="Distances along a bolt are from under its head. Grip: everything between head "
        "and nut, washers included. Past the grip: nut, two threads, and the rest of "
        "the stocked length.",
    )


def _handling(takeoff: Takeoff) -> DataTable:
    form = lengths_of(takeoff.frame)
    return DataTable(
        key="handling",
        title="Parts to carry",
        columns=(
            DataColumn(key="mark", header="Mark", width=7),
            DataColumn(key="description", header="Description", width=44),
            DataColumn(key="count", header="Count", quantity=_COUNT, width=7),
            DataColumn(key="mass", header="Mass each", quantity=_MASS, width=10),
            DataColumn(key="reach", header="Longest dimension", quantity=_LENGTH, width=12),
            *(DataColumn(key=f"centre_{axis}", header=f"Centre of mass {axis}", quantity=_LENGTH,
                     width=11) for axis in "xyz"),
            DataColumn(key="hands", header="People to carry", quantity=_COUNT, width=10),
        ),
        rows=tuple(
            {
                **dict(zip(_CENTRE, centre_mm(carried.group.part), strict=True)),
                "mark": carried.group.mark,
                "description": describe(carried.group.part, form),
                "count": carried.group.count,
                "mass": carried.mass_kg,
                "reach": carried.longest_mm,
                "hands": carried.hands,
            }
            for carried in takeoff.carried
        ),
        note="Centre of mass in the part's own axes: x along a tube or board from its start. "
             "For how the number of people is worked out, see Notes.",
    )  # fmt: skip


def _hoops(takeoff: Takeoff) -> DataTable:
    return DataTable(
        key="hoops",
        title="Hoops as raised",
        columns=(
            DataColumn(key="hoops", header="Hoops", width=30),
            DataColumn(key="count", header="Count", quantity=_COUNT, width=7),
            DataColumn(key="mass", header="Mass each", quantity=_MASS, width=10),
            DataColumn(key="centre_x", header="Centre of mass x", quantity=_LENGTH, width=12),
            DataColumn(
                key="centre_z", header="Centre of mass above ground", quantity=_LENGTH, width=14
            ),
            DataColumn(key="hands", header="People to raise", quantity=_COUNT, width=10),
        ),
        rows=tuple(
            {
                "hoops": numbers_text(hoop.hoops),
                "count": len(hoop.hoops),
                "mass": hoop.mass_kg,
                "centre_x": hoop.centre_mm[0],
                "centre_z": hoop.centre_mm[2],
                "hands": hoop.hands,
            }
            for hoop in takeoff.hoops
        ),
        note="Assembled on the ground, with its sleeves, plates and bolts; centre of mass "
        "as it stands.",
    )


def _cost(takeoff: Takeoff) -> DataTable:
    form = lengths_of(takeoff.frame)
    return DataTable(
        key="cost",
        title="Cost",
        columns=(
            DataColumn(key="item", header="Item", width=40),
            *length_columns(takeoff.frame, "length", "Length"),
            DataColumn(key="quantity", header="Quantity", quantity=_COUNT, width=9),
            DataColumn(key="per", header="Per", width=12),
            DataColumn(key="price", header="Price", quantity=Quantity.MONEY, width=12),
            DataColumn(key="amount", header="Amount", quantity=Quantity.MONEY, width=13, total=True,
                   formula='IF(ISNUMBER({price}),{quantity}*{price},"")'),
            DataColumn(key="missing", header="Missing", width=10,
                   formula='IF(ISNUMBER({price}),"","no price")'),
        ),
        rows=tuple(
            {
                "item": line.item,
                "length": line.length_mm,
                "length_text": _said(form, line.length_mm),
                "quantity": line.quantity,
                "per": line.per.value if line.pack == 1 else f"{line.per.value} of {line.pack}"
                if line.per.value == "pack" else "each",
                "price": line.price,
                "amount": line.amount,
                "missing": "" if line.price is not None else "no price",
            }
            for line in takeoff.cost
        ),
        note="Prices are from your price list; items without a price are not in the sum.",
    )  # fmt: skip
