"""Earthwork and water in tables, figures and words."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.site.earthwork.water import HOLLOW_MM, LEAST_PERCENT, SideWater, Water
from frame3d.site.survey import Site
from frame3d.units import LengthFormat
from frame3d.units.data_tables import DataColumn, DataTable, Quantity


def percent(value: float) -> str:
    """A fall in percent, without a minus before a zero."""
    return f"{round(value, 1) + 0.0:.1f} %"


def earthwork_table(site: Site) -> DataTable:
    """What is dug and filled for each pad that can be chosen."""
    return DataTable(
        key="earthwork", title="Earthwork",
        columns=(
            DataColumn(key="pad", header="pad"),
            DataColumn(key="at_corner", header="height at the corner", quantity=Quantity.LENGTH),
            DataColumn(key="slope", header="rise along, %", quantity=Quantity.NUMBER),
            DataColumn(key="cut", header="cut", quantity=Quantity.VOLUME),
            DataColumn(key="fill", header="fill", quantity=Quantity.VOLUME),
            DataColumn(key="deepest", header="deepest cut", quantity=Quantity.LENGTH),
            DataColumn(key="highest", header="highest fill", quantity=Quantity.LENGTH),
        ),
        rows=tuple(
            {"pad": pad.name, "at_corner": pad.start_mm, "slope": 100 * pad.slope,
             "cut": pad.moved.cut_mm3 / 1e9, "fill": pad.moved.fill_mm3 / 1e9,
             "deepest": pad.moved.deepest_mm, "highest": pad.moved.highest_mm}
            for pad in present(site.earthwork, "levels").pads
        ),
    )  # fmt: skip


def water_table(site: Site) -> DataTable:
    """How the ground falls along each side and away from it."""
    return DataTable(
        key="water", title="Fall beside the frame",
        columns=(
            DataColumn(key="side", header="side"), DataColumn(key="toward", header="falls toward"),
            DataColumn(key="fall", header="fall along, %", quantity=Quantity.NUMBER),
            DataColumn(key="hollow", header="hollow", quantity=Quantity.LENGTH),
            DataColumn(key="hollow_at", header="hollow at", quantity=Quantity.LENGTH),
            DataColumn(key="away", header="least fall away, %", quantity=Quantity.NUMBER),
            DataColumn(key="away_at", header="at", quantity=Quantity.LENGTH),
            DataColumn(key="reach", header="over", quantity=Quantity.LENGTH),
        ),
        rows=tuple(
            {"side": side.name, "toward": side.toward if side.fall_percent else "",
             "fall": side.fall_percent, "hollow": side.hollow_mm,
             "hollow_at": side.hollow_at_mm if side.hollow_mm else None,
             "away": side.away_percent, "away_at": side.away_at_mm, "reach": side.reach_mm}
            for side in present(site.water, "levels").sides
        ),
        note="Places are from the first hoop, or from the left at the ends. A fall away below "
        "0 is toward the tunnel.",
    )  # fmt: skip


def earth_figures(site: Site) -> Iterator[tuple[str, str]]:
    """Names and texts of the main figures."""
    if site.earthwork is None or site.water is None:
        return
    form = lengths_of(site.frame)
    for pad in site.earthwork.pads:
        yield (
            f"Pad {pad.name}",
            f"cut {form.volume(pad.moved.cut_mm3)}, fill {form.volume(pad.moved.fill_mm3)}",
        )
    corner = site.water.low_corner
    yield (
        "Lowest corner",
        f"{corner}, ground at {form.text(site.water.corners_mm[corner], unit=True)}",
    )
    for side in site.water.sides[:2]:
        words = f"{percent(side.fall_percent)} toward the {side.toward}"
        yield f"Ground along the {side.name} falls", words if side.fall_percent else "nothing"


def earth_findings(site: Site) -> Iterator[str]:
    """Where water stays, or comes to the tunnel."""
    if site.water is None:
        return
    form = lengths_of(site.frame)
    for side in site.water.sides[:2]:
        if side.fall_percent < LEAST_PERCENT:
            yield (
                f"The ground along the {side.name} falls {percent(side.fall_percent)}, less "
                f"than {LEAST_PERCENT:g} %, so water stands there. Dig a ditch beside it that "
                f"falls at least {LEAST_PERCENT:g} %, or slope the ground."
            )
    for side in site.water.sides:
        if side.hollow_mm >= HOLLOW_MM:
            yield (
                f"A hollow {form.text(side.hollow_mm, unit=True)} deep along the {side.name}, "
                f"{_place(form, side, side.hollow_at_mm)}, holds water. Fill it, or lead the "
                "water out."
            )
    for side in site.water.sides:
        yield from _away(form, side)
    unknown = [side.name for side in site.water.sides if side.away_percent is None]
    if unknown:
        yield (
            f"No ground was measured outside the {_listed(unknown)}, so whether water runs "
            f"toward the tunnel there is not known{_uphill(site.water)}. Take levels "
            f"{_out(form)} out."
        )


def _away(form: LengthFormat, side: SideWater) -> Iterator[str]:
    """What is to be done where the ground outside falls too little, or the wrong way."""
    if side.away_percent is None or side.away_at_mm is None or side.reach_mm is None:
        return
    over = (
        f"over {form.text(side.reach_mm, unit=True)} beside the {side.name}, "
        f"{_place(form, side, side.away_at_mm)}"
    )
    if round(side.away_percent, 1) < 0:
        yield (
            f"The ground falls {percent(-side.away_percent)} toward the tunnel {over}. Lead "
            "that water off by a ditch before it gets there."
        )
    elif side.away_percent < LEAST_PERCENT:
        yield (
            f"The ground falls away from the tunnel by {percent(side.away_percent)} {over}, "
            f"less than {LEAST_PERCENT:g} %. Slope it away, or dig a ditch."
        )


def _uphill(water: Water) -> str:
    """From where water is to be expected, by how the ground falls inside the frame."""
    left, right, front, back = water.sides
    ways = []
    for first, second, name in (
        (front, back, {"left": "right side", "right": "left side"}),
        (left, right, {"last hoop": "front end", "first hoop": "back end"}),
    ):
        if first.toward == second.toward and min(first.fall_percent, second.fall_percent) > 0:
            ways.append(name[first.toward])
    if not ways:
        return ""
    return f"; the ground inside falls away from the {_listed(ways)}, so expect it there"


def _place(form: LengthFormat, side: SideWater, at_mm: float) -> str:
    start = "from the left" if side.name.endswith("end") else "from the first hoop"
    return f"{form.text(at_mm, unit=True)} {start}"


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _out(form: LengthFormat) -> str:
    return "10 ft" if form.system.value == "imperial" else "3 m"


def earth_assumptions(site: Site) -> Iterator[str]:
    """What earthwork and water rest on."""
    if site.earthwork is None:
        return
    margin = site.frame.design.staking.pad_margin
    say = lengths_of(site.frame).text
    area = lengths_of(site.frame).area(site.earthwork.over.area_mm2)
    yield (
        f"Earthwork is for the plot from {say(margin, unit=True)} outside the corner sockets "
        f"on each side, {area}, with upright edges, as the earth lies in the ground: dug "
        "earth takes more room, and fill settles. The string's pad has the ground "
        f"{say(site.frame.design.socket.exposed, unit=True)} under the tops."
    )
    yield (
        "Water is judged by the ground as it was measured. A fall of at least "
        f"{LEAST_PERCENT:g} % leads it away (common practice)."
    )
