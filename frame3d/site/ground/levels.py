"""Levels of the ground that the user took, as a CSV file.

Each row is a point: ``x`` and ``y`` in the axes of the site, or the name of a socket in
``point`` in place of them; its height ``z``, or the reading of the rod in ``rod``. A row whose
``point`` is ``benchmark`` begins a set-up of the level: the readings below it are taken with
the instrument as it then stands, and ``z`` in that row is the height of the benchmark. Where
rock was met, ``rock`` is its depth under the ground.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from frame3d.design.reading.user_lists import ListSource, Row, UserList, read_user_list
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import Level
from frame3d.site.staking.plausible import unit_hint
from frame3d.site.staking.socket_names import axes_of, named_socket, socket_places

COLUMNS = ("point", "x", "y", "z", "rod", "rock", "note")
OPTION = "--levels"
BENCHMARK = "benchmark"
_FEWEST = 3
_SAME_PLACE_MM = 10.0
_FAR = 3.0
"""Times the diagonal of the plot within which points must lie."""
_SMALL = 0.1
"""Share of length and width that points must cover to be of this plot."""
_STEEPEST = 1.0
"""Rise over run to every other point near by beyond which a height is a slip."""


def read_levels(path: ListSource, frame: Frame, where: str = OPTION) -> tuple[Level, ...]:
    """The levels in a file.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows, or if they do not make a surface.
    """
    found = read_user_list(
        path, columns=COLUMNS, needed=(), where=where, with_units=True, check=_check_columns
    )
    axes = axes_of(frame)
    places = {
        place.name: (place.ground_x_mm - axes.x_mm, place.y_mm - axes.y_mm)
        for place in socket_places(frame)
    }
    levels: list[Level] = []
    instrument: float | None = None
    for row in found.rows:
        if row.cells.get("point", "").casefold() == BENCHMARK:
            instrument = _set_up(found, row)
            continue
        place = _place(found, frame, row, places)
        z = _height(found, row, instrument)
        rock = found.place_mm(row, "rock", signed=False)
        if place is not None and z is not None:
            levels.append(
                Level(row=row.number, name=row.cells.get("point", ""), x_mm=place[0],
                      y_mm=place[1], z_mm=z, rock_mm=rock)
            )  # fmt: skip
    _check_whole(found, frame, levels)
    found.done()
    return tuple(levels)


def _check_columns(found: UserList) -> None:
    names = found.columns
    if not {"z", "rod"} & names:
        found.fault(1, "z", "is missing; give heights in a column z, or rod readings in rod")
    if not ({"x", "y"} <= names or "point" in names):
        lost = " and ".join(sorted({"x", "y"} - names))
        found.fault(
            1, lost, "is missing; give places in columns x and y, or names of sockets in point"
        )
    if "rod" in names and "point" not in names:
        found.fault(1, "point", f'is missing; rod readings need a row called "{BENCHMARK}" in it')


def _set_up(found: UserList, row: Row) -> float | None:
    """Height of the instrument's line of sight, mm."""
    reading = found.place_mm(row, "rod")
    if not row.cells.get("rod"):
        found.fault(row.number, "rod", "is empty; give the rod reading on the benchmark")
    height = found.place_mm(row, "z") if row.cells.get("z") else 0.0
    return None if reading is None or height is None else height + reading


def _place(
    found: UserList, frame: Frame, row: Row, places: dict[str, tuple[float, float]]
) -> tuple[float, float] | None:
    cells = row.cells
    if not cells.get("x") and not cells.get("y"):
        name = named_socket(frame, cells.get("point", ""))
        if name is not None:
            return places[name]
        column = "point" if cells.get("point") else "x"
        found.fault(
            row.number, column,
            "has no x and y and names no socket; give x and y from the corner, or a socket such "
            "as 1L",
        )  # fmt: skip
        return None
    x, y = (found.place_mm(row, column) for column in ("x", "y"))
    for column in ("x", "y"):
        if not cells.get(column):
            found.fault(row.number, column, "is empty; give both x and y")
    if x is None or y is None:
        return None
    _check_name(found, frame, row, places, (x, y))
    return x, y


def _check_name(
    found: UserList,
    frame: Frame,
    row: Row,
    places: dict[str, tuple[float, float]],
    place: tuple[float, float],
) -> None:
    """A fault where x and y are not those of the socket that the row names."""
    name = named_socket(frame, row.cells.get("point", ""))
    if name is not None and math.dist(place, places[name]) > frame.grid.spacing_mm / 2:
        apart = lengths_of(frame).text(math.dist(place, places[name]), unit=True)
        found.fault(
            row.number, "point",
            f"names socket {name}, but x and y are {apart} from it; correct "
            "them, or call the point otherwise",
        )  # fmt: skip


def _height(found: UserList, row: Row, instrument: float | None) -> float | None:
    cells = row.cells
    if cells.get("z") and cells.get("rod"):
        found.fault(row.number, "rod", "is given as well as z; give only one of them")
        return None
    if cells.get("z"):
        return found.place_mm(row, "z")
    if not cells.get("rod"):
        column = "z" if "z" in found.columns else "rod"
        found.fault(row.number, column, "is empty; give the point's height")
        return None
    reading = found.place_mm(row, "rod")
    if instrument is None:
        found.fault(
            row.number, "rod",
            f'has no "{BENCHMARK}" before it; put a row with the benchmark reading first',
        )  # fmt: skip
        return None
    return None if reading is None else instrument - reading


def _check_whole(found: UserList, frame: Frame, levels: list[Level]) -> None:
    """Faults of points against each other and against the plot."""
    if found.faults and len(levels) < _FEWEST:
        return
    if len(levels) < _FEWEST:
        found.fault(
            found.last_row, "",
            f"ends the list with {len(levels)} points; a surface needs at least {_FEWEST}, and "
            "four beyond the corners are better",
        )  # fmt: skip
        return
    if not _check_sizes(found, frame, levels):
        return
    _check_twice(found, levels)
    points = np.array([(level.x_mm, level.y_mm) for level in levels])
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if spread[1] < 1e-3 * spread[0]:
        found.fault(
            levels[-1].row, "",
            "and the other points are all on one line; take levels on both sides of the site",
        )  # fmt: skip
        return
    _check_slips(found, levels, points, lengths_of(frame).text)


def _check_twice(found: UserList, levels: list[Level]) -> None:
    seen: dict[tuple[int, int], Level] = {}
    for level in levels:
        cell = (round(level.x_mm / _SAME_PLACE_MM), round(level.y_mm / _SAME_PLACE_MM))
        near = [
            seen[cell[0] + i, cell[1] + j]
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
            if (cell[0] + i, cell[1] + j) in seen
        ]
        for other in near:
            if math.hypot(other.x_mm - level.x_mm, other.y_mm - level.y_mm) < _SAME_PLACE_MM:
                found.fault(
                    level.row, "",
                    f"is at the same place as row {other.row}; remove one of the two rows",
                )  # fmt: skip
                break
        seen.setdefault(cell, level)


def _check_sizes(found: UserList, frame: Frame, levels: list[Level]) -> bool:
    """Faults of points far off, or of a unit that makes all of them so; True for none."""
    before, say = len(found.faults), lengths_of(frame).text
    axes, grid = axes_of(frame), frame.grid
    middle = (-axes.x_mm, grid.length_mm / 2 - axes.y_mm)
    diagonal = math.hypot(2 * grid.socket_x_mm, grid.length_mm)
    apart = [math.dist(middle, (level.x_mm, level.y_mm)) for level in levels]
    if sorted(apart)[len(apart) // 2] > _FAR * diagonal:
        found.fault(
            levels[0].row, "x",
            f"and most other points are {say(max(apart), unit=True)} from the tunnel; "
            + (unit_hint(max(apart), diagonal / 2) or "give x and y from the corner socket"),
        )  # fmt: skip
        return False
    points = np.array([(level.x_mm, level.y_mm) for level in levels])
    wide = float(np.ptp(points, axis=0).max())
    if wide < _SMALL * max(2 * grid.socket_x_mm, grid.length_mm):
        found.fault(
            levels[0].row, "x",
            f"and the other points are within {say(wide, unit=True)}, but the tunnel's "
            f"diagonal is {say(diagonal, unit=True)}; "
            + (unit_hint(wide, max(2 * grid.socket_x_mm, grid.length_mm))
               or "take levels over the whole site"),
        )  # fmt: skip
        return False
    for level, off in zip(levels, apart, strict=True):
        if off > _FAR * diagonal:
            found.fault(
                level.row, "x",
                f"and y put this point {say(off, unit=True)} from the middle of the tunnel; "
                "correct them or remove the row",
            )  # fmt: skip
    return len(found.faults) == before


def _check_slips(
    found: UserList, levels: list[Level], points: np.ndarray, say: Callable[..., str]
) -> None:
    """Heights that are a cliff to every point near by."""
    from scipy.spatial import Delaunay

    starts, near = Delaunay(points).vertex_neighbor_vertices
    column, slips = "z" if "z" in found.columns else "rod", []
    for i, level in enumerate(levels):
        steep = [
            abs(level.z_mm - levels[j].z_mm) > _STEEPEST * math.dist(points[i], points[j])
            for j in near[starts[i] : starts[i + 1]]
        ]
        # Two heights alone that differ do not tell which of them is wrong.
        if len(steep) > 2 and all(steep):
            slips.append(level)
    if len(slips) > max(2, len(levels) // 4):
        heights = [level.z_mm for level in levels]
        found.fault(
            slips[0].row, column,
            f"and {len(slips) - 1} others differ too much: the heights span "
            f"{say(max(heights) - min(heights), unit=True)}; check their unit",
        )  # fmt: skip
        return
    for level in slips:
        found.fault(
            level.row, column,
            "differs in height from every nearby point by more than its distance to them; "
            "correct the height or its unit",
        )  # fmt: skip
