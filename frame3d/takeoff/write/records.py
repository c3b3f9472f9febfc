"""``takeoff.json`` and the CSV files: the tables with their figures, findings and cautions."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from frame3d import __version__
from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.places import numbers_text
from frame3d.frame.describe.wall_feet import sentences_of_frame
from frame3d.frame.describe.wording import CAUTIONS, fine_lengths, lengths_of
from frame3d.frame.revisions.revision_index import project_record
from frame3d.schemas import Document
from frame3d.takeoff.quantities.cost import missing_items, total_cost
from frame3d.takeoff.quantities.handling import LEAST_LONG, LEAST_TO_RAISE, LONG_MM
from frame3d.takeoff.quantities.lifting import CARRY, RAISE
from frame3d.takeoff.quantities.offers import Offer, offers_of
from frame3d.takeoff.quantities.prices import COLUMNS as PRICE_COLUMNS
from frame3d.takeoff.quantities.prices import Per
from frame3d.takeoff.take_off import Takeoff
from frame3d.units import KG_PER_LB, MM_PER_FOOT, LengthFormat, UnitSystem
from frame3d.units.cells import as_csv
from frame3d.units.data_tables import DataTable, Json, Units, Value

FIRST_LINE = (
    "# Quantities only: nothing here says what the frame can carry. Loads and permits are for "
    "local codes and a licensed professional."
)
"""First in each list for people, as a comment."""


def assumptions(takeoff: Takeoff) -> tuple[str, ...]:
    """What the numbers of people and the masses rest on."""
    form, zinc = lengths_of(takeoff.frame), takeoff.frame.design.order.zinc
    mark = as_built_mark(takeoff.frame)
    return (
        *((f"{mark}: made for the sockets as they were driven.",) if mark else ()),
        CARRY.text(form),
        RAISE.text(form),
        "These are recommended weight limits from the NIOSH lifting equation (DHHS 94-110) "
        "for one person using both hands; that several people share a load evenly is an "
        "assumption.",
        f"At least {LEAST_TO_RAISE} people raise a hoop, and at least {LEAST_LONG} carry a "
        f"piece of {form.text(LONG_MM, unit=True)} or longer (common practice, no source).",
        "Steel is weighed bare; zinc is not counted."
        if zinc is None
        else f"To carry and raise, tubes and plates are weighed with {_zinc(form, zinc)} of zinc "
        "on their surface; the parts list has bare steel.",
        f"{_density(form)}; boards at the density of their section, dry: fresh treated "
        "boards can weigh half as much again.",
        *sentences_of_frame(takeoff.frame),
    )


def _zinc(form: LengthFormat, grams_per_m2: float) -> str:
    if form.system is UnitSystem.METRIC:
        return f"{grams_per_m2:g} g/m²"
    return f"{form.mass(grams_per_m2 / 1000 * MM_PER_FOOT**2 / 1e6)}/ft²"


def _density(form: LengthFormat) -> str:
    if form.system is UnitSystem.METRIC:
        return "Steel 7850 kg/m³"
    return f"Steel {7850 * (MM_PER_FOOT / 1000) ** 3 / KG_PER_LB:.0f} lb/ft³"


def figures(takeoff: Takeoff) -> list[tuple[str, str]]:
    """The figures that an order begins with, as names and texts."""
    form = lengths_of(takeoff.frame)
    rows = [
        (f"{form.mass_word.capitalize()} of all parts", form.mass(takeoff.mass_kg)),
        ("Surface of tubes and plates", form.area(takeoff.surface_mm2)),
    ]
    if takeoff.frame.design.order.zinc is not None:
        rows.append(("Zinc on them", form.mass(takeoff.zinc_kg)))
    rows += _raised(takeoff)
    lines, missing = takeoff.cost, len(missing_items(takeoff.cost))
    if missing < len(lines):
        money = f"{total_cost(lines):.2f} {takeoff.currency}".strip()
        without = f", without {missing} unpriced items" if missing else ""
        rows.append(("Cost", f"{money}{without}"))
    return rows


def _raised(takeoff: Takeoff) -> list[tuple[str, str]]:
    """What hoops weigh as they are raised: a row for all that read the same."""
    form = lengths_of(takeoff.frame)
    alike: dict[str, list[int]] = {}
    for hoop in takeoff.hoops:
        told = f"{form.mass(hoop.mass_kg)}, {hoop.hands} people"
        alike.setdefault(told, []).extend(hoop.hoops)
    return [
        (f"A hoop as raised (hoop{'s' if len(hoops) > 1 else ''} {numbers_text(sorted(hoops))})",
         told)
        for told, hoops in alike.items()
    ]  # fmt: skip


def record_of(takeoff: Takeoff, tables: Sequence[DataTable]) -> dict[str, Json]:
    """Everything that ``takeoff.json`` holds."""
    missing = missing_items(takeoff.cost)
    form = lengths_of(takeoff.frame)
    return {
        "schema": Document.TAKEOFF.value,
        "program": f"frame3d {__version__}",
        "project": project_record(takeoff.frame.design),
        "units": {
            "text": takeoff.frame.design.output.units.value,
            "numbers": "mm, kg, m2, as their names say",
        },
        "total_mass_kg": round(takeoff.mass_kg, 6),
        "zinc_surface_m2": round(takeoff.surface_mm2 / 1e6, 6),
        "zinc_kg": round(takeoff.zinc_kg, 6),
        "cost": {
            "total": None if len(missing) == len(takeoff.cost)
            else round(total_cost(takeoff.cost), 4),
            "currency": takeoff.currency,
            "missing_prices": [
                line.item if line.length_mm is None
                else f"{line.item}, {form.text(line.length_mm, unit=True)}"
                for line in missing
            ],
        },
        "tables": {table.key: table.as_json() for table in tables},
        "findings": list(takeoff.told),
        "assumptions": list(assumptions(takeoff)),
        "cautions": list(CAUTIONS),
    }  # fmt: skip


def record_text(record: dict[str, Json]) -> str:
    """The text of ``takeoff.json``."""
    return json.dumps(record, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def write_csv(path: Path, table: DataTable, units: Units) -> None:
    """Write a table as CSV for people: a caution, one row of names, then the rows.

    In UTF-8 with a byte order mark, by which spreadsheets know it, and with no text that they
    would take for a formula.
    """
    header = [table.header(column, units) for column in table.columns]
    _write(path, [[FIRST_LINE], header, *table.values(units)])


def _write(path: Path, rows: Iterable[Iterable[Value | None]]) -> None:
    path.write_text(as_csv(rows), encoding="utf-8-sig", newline="")


def write_prices(path: Path, takeoff: Takeoff) -> None:
    """Write a price list of this order to fill in: what the user's own list says is in it.

    Bars and boards stand in it with every length that there was to choose from, as a plan for
    least cost needs the prices of all.
    """
    form = fine_lengths(lengths_of(takeoff.frame))
    rows: list[list[str | int]] = []
    for section in takeoff.sections:
        lengths: dict[str, float | None] = {}
        for stock in section.stocks:
            if not stock.owned:
                lengths.setdefault(form.text(stock.length_mm, unit=True), stock.price)
        for length, price in lengths.items():
            rows.append([section.section.name, length, _price(price), Per.EACH.value, ""])
    for line in {line.item: line for line in takeoff.cost if line.length_mm is None}.values():
        # All packs that there are to choose from, and not only those that were chosen.
        offers = offers_of(takeoff.prices.rows(line.item), line.pack)
        for one in offers or (Offer(pack=line.pack, per=line.per, price=None),):
            pack = one.pack if one.pack > 1 or len(offers) > 1 else ""
            rows.append([line.item, "", _price(one.price), one.per.value, pack])
    currency = [(*row, takeoff.currency, "") for row in rows]
    _write(path, [[FIRST_LINE], PRICE_COLUMNS, *currency])


def _price(price: float | None) -> str:
    return "" if price is None else f"{price:.4f}".rstrip("0").rstrip(".")
