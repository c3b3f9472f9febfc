"""The figures of a site as tables, from which CSV, JSON and the screen are all written."""

from __future__ import annotations

from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.site.driving.driving_plan import Driven
from frame3d.site.survey import Site
from frame3d.site.write.board_words import answers_table, bays_table
from frame3d.site.write.built_words import differences_table
from frame3d.site.write.earth_words import earthwork_table, water_table
from frame3d.site.write.ground_words import ground_statement
from frame3d.site.write.wall_words import doors_table, walls_table
from frame3d.site.write.words import correction, driving_note, hoop_note, move_words
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_LENGTH, _COUNT, _NUMBER = Quantity.LENGTH, Quantity.COUNT, Quantity.NUMBER


def site_tables(site: Site) -> tuple[DataTable, ...]:
    """Every table that there is something for, in their order."""
    tables = [stakes(site), skew(site)]
    if site.squaring is not None:
        tables += [distances(site), corners(site)]
    if site.driving is not None:
        tables += [drive(site), earthwork_table(site), water_table(site)]
    if site.boards is not None:
        tables += [answers_table(site), bays_table(site)]
    tables += [table for table in (walls_table(site), doors_table(site)) if table.rows]
    if site.built is not None:
        tables += [tops(site), hoops(site)]
        if site.built.holes:
            tables.append(holes(site))
        tables.append(differences_table(site))
    return tuple(tables)


def _length(key: str, header: str) -> DataColumn:
    return DataColumn(key=key, header=header, quantity=_LENGTH)


def stakes(site: Site) -> DataTable:
    """Every point to stake."""
    columns = [
        DataColumn(key="point", header="point"), DataColumn(key="what", header="what"),
        _length("x", "x"), _length("y", "y"), _length("z", "z"),
        _length("along", "along"), _length("offset", "off the baseline"),
        _length("top_x", "top x"), _length("top_z", "top z"), DataColumn(key="mark", header="mark"),
        _length("drive", "top to driving mark"), _length("hole", "lower hole above ground"),
        _length("dig", "dig"), _length("fill", "fill"),
    ]  # fmt: skip
    if site.mapped:
        columns += [
            DataColumn(key="east", header="east", quantity=_NUMBER),
            DataColumn(key="north", header="north", quantity=_NUMBER),
        ]
    warning = _warning(site)
    if warning:
        columns.append(DataColumn(key="set", header="set"))
    driven = {one.place.name: one for one in site.sockets}
    rows: list[dict[str, Value]] = []
    for i, point in enumerate(site.setting_out.points):
        row: dict[str, Value] = {
            "point": point.name,
            "what": point.kind.value,
            "x": point.x_mm,
            "y": point.y_mm,
            "z": point.z_mm,
            "along": point.along_mm,
            "offset": point.offset_mm,
            "top_x": point.top_x_mm,
            "top_z": point.top_z_mm,
            "mark": point.mark,
            **_driving(driven.get(point.name)),
        }
        if site.mapped:
            row |= {"east": site.mapped[i].east, "north": site.mapped[i].north}
        if warning:
            row["set"] = warning
        rows.append(row)
    corner = site.setting_out.axes.name
    zero = "the benchmark's zero" if site.driving else "the ground, taken as level"
    return DataTable(
        key="stakes", title="Points to stake out", columns=tuple(columns), rows=tuple(rows),
        note=f"x is to the right and y toward the last hoop from socket {corner}; z is up from "
             f"{zero}; along is the distance on the string from that corner. "
             f"{ground_statement(site)}",
    )  # fmt: skip


def _driving(driven: Driven | None) -> dict[str, Value]:
    """What the stake list says of driving a socket; nothing of what is no socket."""
    sizes = (
        (driven.mark_mm, driven.hole_mm, driven.dig_mm, driven.fill_mm) if driven else (None,) * 4
    )
    return dict(zip(("drive", "hole", "dig", "fill"), sizes, strict=True))


def _warning(site: Site) -> str:
    """What stands against building from the set that the points are of; empty for nothing.

    It stands in every row: instruments read the file, and have no place for a line of words.
    """
    status = site.status
    number = status.number(site.frame.design.project.number) if status.missing else ""
    return "; ".join(filter(None, [status.headline.rstrip("."), number]))


def skew(site: Site) -> DataTable:
    """How much the diagonals differ for how much skew."""
    return DataTable(
        key="skew",
        title="Diagonal difference, and how far the far end is out of square",
        columns=(_length("difference", "diagonals differ"), _length("skew", "move the far end")),
        rows=tuple(
            {"difference": row.difference_mm, "skew": row.skew_mm} for row in site.setting_out.skews
        ),
        note="Move both far corners sideways by the same amount, so that the far end of "
        "the longer diagonal moves inward.",
    )


def distances(site: Site) -> DataTable:
    """The measured distances with what is left over."""
    squaring = present(site.squaring, "measured distances")
    names = [move.name for move in squaring.moves]
    rows: tuple[dict[str, Value], ...] = tuple(
        {"from": names[d.first], "to": names[d.second], "measured": d.length_mm, "fitted": fitted,
         "left_over": left}
        for d, fitted, left in zip(
            site.distances, squaring.fitted_mm, squaring.residuals_mm, strict=True
        )
    )  # fmt: skip
    return DataTable(
        key="distances", title="Measured between corners",
        columns=(
            DataColumn(key="from", header="from"), DataColumn(key="to", header="to"),
            _length("measured", "measured"), _length("fitted", "fits best"),
            _length("left_over", "residual"),
        ),
        rows=rows,
        note="There is no extra distance, so nothing checks the tape." if not squaring.spare
        else "The residual is the error of the tape, not of the corners.",
    )  # fmt: skip


def corners(site: Site) -> DataTable:
    """How the corners are moved to be square."""
    squaring, form = present(site.squaring, "measured distances"), lengths_of(site.frame)
    rows: list[dict[str, Value]] = []
    ways = [("least of all", squaring.moves)] + [
        (f"{hold.held[0]} and the line to {hold.held[1]} held", hold.moves)
        for hold in squaring.holds[:2]
    ]
    for way, moves in ways:
        for move in moves:
            rows.append(
                {"way": way, "corner": move.name, "right": move.right_mm, "along": move.along_mm,
                 "move": move_words(form, move) or "stays"}
            )  # fmt: skip
    return DataTable(
        key="corners", title="Moves that square the corners",
        columns=(
            DataColumn(key="way", header="way"), DataColumn(key="corner", header="corner"),
            _length("right", "right"), _length("along", "along"),
            DataColumn(key="move", header="move"),
        ),
        rows=tuple(rows),
    )  # fmt: skip


def drive(site: Site) -> DataTable:
    """How each socket is driven."""
    rows = tuple(
        {
            "socket": driven.place.name,
            "ground": driven.ground_mm,
            "top": driven.top_mm,
            "exposed": driven.exposed_mm,
            "mark": driven.mark_mm,
            "embedded": driven.embedded_mm,
            "dig": driven.dig_mm,
            "fill": driven.fill_mm,
            "longer": driven.longer_mm,
            "drill": driven.drill_mm,
            "outside": driven.outside_mm,
            "hole": driven.hole_mm,
            "note": driving_note(site, driven),
        }
        for driven in present(site.driving, "levels").sockets
    )
    return DataTable(
        key="drive", title="Driving marks",
        columns=(
            DataColumn(key="socket", header="socket"), _length("ground", "ground"),
            _length("top", "top"), _length("exposed", "out of the ground"),
            _length("mark", "top to driving mark"), _length("embedded", "in the ground"),
            _length("dig", "dig"), _length("fill", "fill"),
            _length("longer", "or socket length"), _length("drill", "drill rock"),
            _length("outside", "outside the points"),
            _length("hole", "lower hole above ground"), DataColumn(key="note", header="note"),
        ),
        rows=rows,
    )  # fmt: skip


def tops(site: Site) -> DataTable:
    """How far each top is off."""
    form = lengths_of(site.frame)
    rows = tuple(
        {"socket": top.place.name, "right": top.right_mm, "along": top.along_mm, "up": top.up_mm,
         "correct": correction(form, top)}
        for top in present(site.built, "measured tops").tops
    )  # fmt: skip
    return DataTable(
        key="tops", title="Sockets as driven",
        columns=(
            DataColumn(key="socket", header="socket"), _length("right", "off to the right"),
            _length("along", "off along"), _length("up", "too high"),
            DataColumn(key="correct", header="correct"),
        ),
        rows=rows,
    )  # fmt: skip


def hoops(site: Site) -> DataTable:
    """Which hoops go in."""
    form, built = lengths_of(site.frame), present(site.built, "measured tops")
    rows = tuple(
        {"hoop": hoop.number, "state": hoop.state.value, "width": hoop.width_off_mm,
         "up": hoop.up_mm, "twist": hoop.twist_mm, "spacing": hoop.spacing_off_mm,
         "ridge": hoop.ridge_off_mm, "note": hoop_note(form, built, hoop.number)}
        for hoop in built.hoops
    )  # fmt: skip
    return DataTable(
        key="hoops", title="Hoops on these sockets",
        columns=(
            DataColumn(key="hoop", header="hoop", quantity=_COUNT),
            DataColumn(key="state", header="state"), _length("width", "too wide"),
            _length("up", "right top higher"), _length("twist", "right top ahead"),
            _length("spacing", "bay before too long"), _length("ridge", "ridge leans left"),
            DataColumn(key="note", header="note"),
        ),
        rows=rows,
    )  # fmt: skip


def holes(site: Site) -> DataTable:
    """Which holes of rails miss."""
    rows: tuple[dict[str, Value], ...] = tuple(
        {"rail": hole.piece.mark, "side": hole.piece.side.value, "from": hole.piece.hoops[0],
         "hoop": hole.hoop, "misfit": hole.misfit_mm, "state": hole.state.value}
        for hole in present(site.built, "measured tops").holes
    )  # fmt: skip
    return DataTable(
        key="holes", title="Holes of rails on these sockets",
        columns=(
            DataColumn(key="rail", header="rail"), DataColumn(key="side", header="side"),
            DataColumn(key="from", header="from hoop", quantity=_COUNT),
            DataColumn(key="hoop", header="hole at hoop", quantity=_COUNT),
            _length("misfit", "misses by"), DataColumn(key="state", header="state"),
        ),
        rows=rows,
    )  # fmt: skip
