"""Distances between corner sockets that the user measured: the columns from, to, distance.

A corner is called as on the drawings, ``1L``, or ``front left``. The same distance may stand
there as often as it was measured.
"""

from __future__ import annotations

import itertools
import math

import numpy as np

from frame3d.design.reading.user_lists import ListSource, Row, UserList, read_user_list
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import Distance
from frame3d.site.staking.plausible import unit_hint
from frame3d.site.staking.socket_names import corner_names, named_socket

COLUMNS = ("from", "to", "distance", "note")
OPTION = "--measured"
_FEWEST = 5
_FARTHEST_OFF = 0.2
"""Share of its length by which a distance may be off and still be taken for measured."""


def corner_rectangle(frame: Frame) -> tuple[tuple[str, ...], np.ndarray]:
    """Names and places of the corners: front left, front right, back left, back right, mm."""
    x, y = frame.grid.socket_x_mm, frame.grid.length_mm
    return tuple(corner_names(frame).values()), np.array([[-x, 0.0], [x, 0.0], [-x, y], [x, y]])


def read_measured(path: ListSource, frame: Frame, where: str = OPTION) -> tuple[Distance, ...]:
    """The measured distances in a file.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows, or if the distances do not fix the corners.
    """
    found = read_user_list(path, columns=COLUMNS, needed=COLUMNS[:3], where=where, with_units=True)
    names, rectangle = corner_rectangle(frame)
    say = lengths_of(frame).text
    distances = []
    for row in found.rows:
        first, second = (_corner(found, frame, row, column, names) for column in ("from", "to"))
        length = found.place_mm(row, "distance", signed=False)
        if not row.cells["distance"]:
            found.fault(row.number, "distance", 'is empty; give a length such as "96 ft 1 in"')
        if first is None or second is None or length is None:
            continue
        if first == second:
            found.fault(row.number, "to", "is the corner the row starts from; name another")
            continue
        meant = math.dist(rectangle[first], rectangle[second])
        if abs(length - meant) > _FARTHEST_OFF * meant:
            found.fault(
                row.number, "distance",
                f"is {say(length, unit=True)}, but the design has {say(meant, unit=True)} "
                "between these corners; "
                + (unit_hint(length, meant) or "check the corner names"),
            )  # fmt: skip
        distances.append(Distance(first=first, second=second, length_mm=length))
    _check_enough(found, names, distances)
    found.done()
    return tuple(distances)


def _corner(
    found: UserList, frame: Frame, row: Row, column: str, names: tuple[str, ...]
) -> int | None:
    text = row.cells[column]
    name = named_socket(frame, text)
    if name in names:
        return names.index(name)
    found.fault(
        row.number, column,
        f'got "{text}"; it must be a corner: {", ".join(names)}, or front left, front right, '
        "back left, back right",
    )  # fmt: skip
    return None


def _check_enough(found: UserList, names: tuple[str, ...], distances: list[Distance]) -> None:
    if found.faults:
        return  # what is lost is told already
    there = {frozenset((d.first, d.second)) for d in distances}
    if len(there) < _FEWEST:
        lost = [
            f"{names[a]} to {names[b]}"
            for a, b in itertools.combinations(range(4), 2)
            if frozenset((a, b)) not in there
        ]
        found.fault(
            found.last_row, "",
            f"ends the list with {len(there)} different distances; four corners need at least "
            f"{_FEWEST} of the six, so measure {len(lost) - 1} more of: {', '.join(lost)}",
        )  # fmt: skip
