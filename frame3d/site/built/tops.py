"""Tops of sockets that the user measured after driving, as a CSV file of one of two forms.

By points: ``point`` names a socket, ``x``, ``y`` and ``z`` are those of the middle of its top,
in any level axes that suit the instrument, or ``rod`` is the reading of a rod on it in place
of ``z``. By tape: ``hoop`` is its number, ``width`` the distance between the middles of the
two tops, ``left`` and ``right`` the running distances along the two strings, and
``left_height`` and ``right_height`` the heights of the tops; where a side stands across is not
known then. Heights may be left out in both forms.
"""

from __future__ import annotations

import math

import numpy as np

from frame3d.design.reading.user_lists import ListSource, Row, UserList, read_user_list
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.frame.model.surveyed import Top
from frame3d.site.staking.plausible import unit_hint
from frame3d.site.staking.socket_names import named_socket, socket_name, socket_places

POINT_COLUMNS = ("point", "x", "y", "z", "rod", "note")
TAPE_COLUMNS = ("hoop", "width", "left", "right", "left_height", "right_height", "note")
OPTION = "--built"
_FEWEST = 4
_HIGHEST_MM, _STEEPEST = 8000.0, 0.25
"""Heights of tops that differ by more than this, and by this share of the length, lie on no
string that a design may ask for."""
_OFF = 0.25
"""Share of the size of what was measured by which it may be off the design's."""


def read_built(path: ListSource, frame: Frame, where: str = OPTION) -> tuple[Top, ...]:
    """The measured tops in a file.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows, or if they do not fix where the frame stands.
    """
    columns = tuple(dict.fromkeys((*POINT_COLUMNS, *TAPE_COLUMNS)))
    found = read_user_list(
        path, columns=columns, needed=(), where=where, with_units=True, check=_check_columns
    )
    tops = _by_tape(found, frame) if "hoop" in found.columns else _by_points(found, frame)
    if not found.faults:
        _check_whole(found, frame, tops)
    found.done()
    return tuple(tops)


def _check_columns(found: UserList) -> None:
    taped = "hoop" in found.columns
    needed = TAPE_COLUMNS[:4] if taped else POINT_COLUMNS[:3]
    for name in needed:
        if name not in found.columns:
            found.fault(
                1, name,
                f"is missing; name the columns {', '.join(POINT_COLUMNS[:4])}, or "
                f"{', '.join(TAPE_COLUMNS[:6])}",
            )  # fmt: skip
    other = set(POINT_COLUMNS if taped else TAPE_COLUMNS)
    for name in sorted(found.columns & other - set(TAPE_COLUMNS if taped else POINT_COLUMNS)):
        found.fault(
            1, name, f"does not belong with {'hoop' if taped else 'point'}; remove the column"
        )


def _by_points(found: UserList, frame: Frame) -> list[Top]:
    tops: dict[str, Top] = {}
    for row in found.rows:
        name = named_socket(frame, row.cells["point"])
        if name is None:
            found.fault(
                row.number, "point",
                f'got "{row.cells["point"]}"; it must be a socket of hoops 1 to '
                f"{len(frame.grid.hoop_y_mm)}, such as 1L or 1R",
            )  # fmt: skip
        elif name in tops:
            found.fault(row.number, "point", f"is in row {tops[name].row} already; remove one")
        x, y = (_needed(found, row, column) for column in ("x", "y"))
        z = _height(found, row)
        if name is not None and x is not None and y is not None:
            tops.setdefault(name, Top(row=row.number, name=name, x_mm=x, y_mm=y, z_mm=z))
    return list(tops.values())


def _height(found: UserList, row: Row) -> float | None:
    if row.cells.get("z") and row.cells.get("rod"):
        found.fault(row.number, "rod", "is given as well as z; give only one of them")
        return None
    if row.cells.get("rod"):
        reading = found.place_mm(row, "rod")
        return None if reading is None else -reading
    return found.place_mm(row, "z")


def _needed(found: UserList, row: Row, column: str) -> float | None:
    if not row.cells.get(column):
        found.fault(row.number, column, "is empty; give a length, or remove the row")
        return None
    return found.place_mm(row, column)


def _by_tape(found: UserList, frame: Frame) -> list[Top]:
    tops: list[Top] = []
    seen: dict[int, int] = {}
    last = len(frame.grid.hoop_y_mm)
    for row in found.rows:
        hoop = found.whole(row, "hoop", low=1)
        if not row.cells["hoop"]:
            found.fault(row.number, "hoop", "is empty; give the number of the hoop")
        elif hoop is not None and hoop > last:
            found.fault(row.number, "hoop", f"got {hoop}; the last hoop is number {last}")
            hoop = None
        elif hoop in seen:
            found.fault(row.number, "hoop", f"is in row {seen[hoop]} already; remove one")
            hoop = None
        width, left, right = (_needed(found, row, column) for column in TAPE_COLUMNS[1:4])
        heights = [found.place_mm(row, column) for column in TAPE_COLUMNS[4:6]]
        if hoop is None or width is None or left is None or right is None:
            continue
        seen[hoop] = row.number
        for side, sign, y, z in zip(
            (Side.LEFT, Side.RIGHT), (-0.5, 0.5), (left, right), heights, strict=True
        ):
            tops.append(
                Top(row=row.number, name=socket_name(hoop, side), x_mm=sign * width, y_mm=y,
                    z_mm=z, taped=True)
            )  # fmt: skip
    return tops


def _check_whole(found: UserList, frame: Frame, tops: list[Top]) -> None:
    say = lengths_of(frame).text
    places = {place.name: place for place in socket_places(frame)}
    hoops = {places[top.name].hoop for top in tops}
    sides = {places[top.name].side for top in tops}
    if len(tops) < _FEWEST or len(hoops) < 2 or len(sides) < 2:
        found.fault(
            found.last_row, "",
            f"ends the list with {len(tops)} tops; measure at least two on each side",
        )  # fmt: skip
        return
    got = np.array([(top.x_mm, top.y_mm) for top in tops])
    meant = np.array([(places[top.name].top_x_mm, places[top.name].y_mm) for top in tops])
    sizes = [
        float(np.hypot(*(a - a.mean(axis=0)).T).mean()) for a in (got, meant)
    ]  # fmt: skip
    if abs(sizes[0] - sizes[1]) > _OFF * sizes[1]:
        found.fault(
            tops[0].row, "width" if tops[0].taped else "x",
            f"and the rest put the tops {say(sizes[0], unit=True)} from their middle on "
            f"average, but the design has {say(sizes[1], unit=True)}; "
            + (unit_hint(*sizes) or "check the units and socket names"),
        )  # fmt: skip
        return
    heights = [top.z_mm for top in tops if top.z_mm is not None]
    if heights and max(heights) - min(heights) > max(_HIGHEST_MM, _STEEPEST * frame.grid.length_mm):
        found.fault(
            tops[0].row, "left_height" if tops[0].taped else "z",
            f"and the rest differ by {say(max(heights) - min(heights), unit=True)} in "
            "height; check the unit, and that all were taken from one set-up",
        )  # fmt: skip
    for top, apart in zip(tops, _farthest_off(got, meant), strict=True):
        if apart > frame.grid.spacing_mm / 2:
            found.fault(
                top.row, "left" if top.taped else "x",
                f"and y put {top.name} {say(apart, unit=True)} from where the others put it; "
                "check the socket name and the figures",
            )  # fmt: skip


def _farthest_off(got: np.ndarray, meant: np.ndarray) -> list[float]:
    """How far each point is from where the others, fitted to what is meant, put it, mm."""
    from frame3d.site.built.fitting import laid_onto

    fitted = laid_onto(got, meant)
    return [math.hypot(x, y) for x, y in fitted - meant]
