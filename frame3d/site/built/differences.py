"""What differs between the design and the frame as it was driven, and what becomes of each part.

All follows from the tops, and lengths along the tunnel from the grid as driven, on which the
frame is laid out again: a rail's holes lie as far apart as its hoops stand, a board ends where
its bay does. A door's header goes up and down with the hoop that its wall hangs on. A part that
is made already fits, is bored or cut on site, or its sockets are pulled and driven again.

A new hole must keep two diameters from the old one, centre to centre, so that a diameter of steel
stays between them (common practice, no source).
"""

from __future__ import annotations

import enum
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from frame3d.design.tables.ends import End
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening, door_name
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Grid, Role, Side
from frame3d.site.built.as_built import AsBuilt, HoleState, HoopAsBuilt, HoopState, RailHole, TopOff
from frame3d.site.built.driven_grid import driven_grid
from frame3d.site.staking.socket_names import socket_name

WIDTH = "width between the tops"
"""Which size a hoop is spread or pulled in by."""
_DIAMETERS = 2.0
_SIDES = (Side.LEFT, Side.RIGHT)


class Answer(enum.Enum):
    """What becomes of a part on the frame as it was driven."""

    FITS = "fits as made"
    PULLED = "goes in with pulling"
    DRILL = "drill on site"
    CUT = "cut on site"
    LONGER = "make a longer one"
    AGAIN = "pull and drive again"


class Difference(Struct, frozen=True, kw_only=True):
    """A size of the design beside the same as built, mm.

    Parameters
    ----------
    what : str
        Which size, in words.
    where : str
        At which hoops, on which side.
    mark : str
        Of the part; empty where it is none.
    designed_mm, built_mm : float
    answer : Answer
    sockets : tuple of str
        Those to pull; empty but for ``AGAIN``.
    """

    what: str
    where: str
    mark: str
    designed_mm: float
    built_mm: float
    answer: Answer
    sockets: tuple[str, ...] = ()

    @property
    def off_mm(self) -> float:
        """As built less as designed."""
        return self.built_mm - self.designed_mm


def differences_of(frame: Frame, built: AsBuilt) -> tuple[Difference, ...]:
    """Hoop widths, bays, rails, boards and doors on the sockets as they were driven."""
    tops = {top.place.name: top for top in built.tops}
    hoops, rails = _hoops_and_rails(frame, built, tops)
    grid = _grid(frame, built, hoops, rails)
    return (
        *hoops,
        *(_on_grid(rail, grid) for rail in rails),
        *_boards(frame, tops, grid),
        *_doors(frame, built, tops),
    )


def grid_of(frame: Frame, built: AsBuilt) -> Grid:
    """The grid that ``frame``, which is as designed, has on the sockets as they were driven."""
    tops = {top.place.name: top for top in built.tops}
    return _grid(frame, built, *_hoops_and_rails(frame, built, tops))


def _grid(
    frame: Frame, built: AsBuilt, hoops: Sequence[Difference], rails: Sequence[_RailBay]
) -> Grid:
    return driven_grid(frame, built, sockets_again((*hoops, *(rail.told for rail in rails))))


class _RailBay(NamedTuple):
    """A bay of a rail: what is told of it, and its two hoops."""

    told: Difference
    first: int
    second: int


def _hoops_and_rails(
    frame: Frame, built: AsBuilt, tops: Mapping[str, TopOff]
) -> tuple[list[Difference], list[_RailBay]]:
    hoops = [_width(hoop, tops) for hoop in built.hoops]
    hoops += [_ahead(frame, built, hoop, tops) for hoop in built.hoops]
    return hoops, list(_rails(frame, built, tops, sockets_again(hoops)))


def _on_grid(bay: _RailBay, grid: Grid) -> Difference:
    """A bay of a rail with the holes that it is given; one that waits for a socket as measured."""
    if bay.told.answer is Answer.AGAIN:
        return bay.told
    ys = grid.hoop_y_mm
    return replace(bay.told, built_mm=ys[bay.second - 1] - ys[bay.first - 1])


def sockets_again(differences: Sequence[Difference]) -> tuple[str, ...]:
    """The sockets to pull and drive again, each once."""
    return tuple(dict.fromkeys(name for one in differences for name in one.sockets))


def _width(hoop: HoopAsBuilt, tops: Mapping[str, TopOff]) -> Difference:
    left, right = (tops[socket_name(hoop.number, side)] for side in _SIDES)
    designed = right.place.top_x_mm - left.place.top_x_mm
    bad = hoop.state in (HoopState.NOT, HoopState.RACKS)
    answers = {HoopState.GOES: Answer.FITS, HoopState.SPRUNG: Answer.PULLED}
    return Difference(
        what=WIDTH, where=f"hoop {hoop.number}", mark="",
        designed_mm=designed, built_mm=designed + hoop.width_off_mm,
        answer=answers.get(hoop.state, Answer.AGAIN),
        sockets=_worse(left, right) if bad else (),
    )  # fmt: skip


def _ahead(
    frame: Frame, built: AsBuilt, hoop: HoopAsBuilt, tops: Mapping[str, TopOff]
) -> Difference:
    """How far the right top stands ahead: its hoop, which rails hold square, pulls half at each."""
    twist = abs(hoop.twist_mm)
    bad = twist > 2 * frame.design.tolerances.socket_spacing
    answer = Answer.FITS if twist <= built.leg_play_mm else Answer.PULLED
    return Difference(
        what="right top ahead of the left", where=f"hoop {hoop.number}", mark="",
        designed_mm=0.0, built_mm=hoop.twist_mm, answer=Answer.AGAIN if bad else answer,
        sockets=_worse(*(tops[socket_name(hoop.number, side)] for side in _SIDES)) if bad else (),
    )  # fmt: skip


def _worse(left: TopOff, right: TopOff) -> tuple[str, ...]:
    """Which of two sockets is driven again: the one that is off; both where that is not known."""
    off = [top for top in (left, right) if top.is_off]
    if len(off) == 1:
        return (off[0].place.name,)
    if left.right_mm is None or right.right_mm is None:
        return left.place.name, right.place.name
    farther = max((left, right), key=lambda top: math.hypot(top.right_mm or 0.0, top.along_mm))
    return (farther.place.name,)


def _rails(
    frame: Frame, built: AsBuilt, tops: Mapping[str, TopOff], again: Sequence[str]
) -> Iterator[_RailBay]:
    """Each bay of a bolted rail between measured hoops: how far apart its holes have to be.

    Nothing is bored for a hoop whose socket is driven ``again``.
    """
    ys, size = frame.grid.hoop_y_mm, _hole_mm(frame)
    for before, hole in zip(built.holes, built.holes[1:], strict=False):
        if hole.piece is not before.piece:
            continue
        designed = ys[hole.hoop - 1] - ys[before.hoop - 1]
        # The worse of its two holes: that is the one that something is done about.
        worse = max((before, hole), key=lambda one: abs(one.misfit_mm))
        answer = _hole_answer(worse, size)
        side = hole.piece.side
        place = "in the middle" if side is Side.MIDDLE else f"on the {side.value}"
        pair = [tops[socket_name(worse.hoop, one)] for one in _SIDES]
        named = [top.place.name for top in pair if top.is_off]
        if answer is Answer.DRILL and set(named) & set(again):
            answer = Answer.AGAIN
        told = Difference(
            what="hole spacing of a rail", mark=hole.piece.mark,
            where=f"{place}, hoops {before.hoop} to {hole.hoop}",
            designed_mm=designed, built_mm=designed + hole.misfit_mm - before.misfit_mm,
            answer=answer,
            sockets=tuple(named) if answer is Answer.AGAIN else (),
        )  # fmt: skip
        yield _RailBay(told, before.hoop, hole.hoop)


def _hole_answer(hole: RailHole, size_mm: float) -> Answer:
    if hole.state is HoleState.FREE:
        return Answer.FITS
    if hole.state is HoleState.PERSUADED:
        return Answer.PULLED
    return Answer.DRILL if abs(hole.misfit_mm) >= _DIAMETERS * size_mm else Answer.AGAIN


def _hole_mm(frame: Frame) -> float:
    rails = frame.of_kind(Tube, Role.RAIL, Role.HIP_RAIL)
    return max((hole.diameter_mm for rail in rails for hole in rail.part.holes), default=0.0)


def _boards(frame: Frame, tops: Mapping[str, TopOff], grid: Grid) -> Iterator[Difference]:
    """Sill boards between measured hoops: how long they have to be."""
    ys, allowed = frame.grid.hoop_y_mm, frame.design.tolerances.socket_spacing
    known = [y for number, y in enumerate(ys, start=1)
             if all(socket_name(number, side) in tops for side in _SIDES)]  # fmt: skip
    if len(known) < 2:
        return
    spare = frame.grid.spacing_mm
    for board in frame.of_kind(Board, Role.SILL_BOARD):
        ends = (board.placement.point((x, 0.0, 0.0))[1] for x in (0.0, board.part.length_mm))
        low, high = sorted(ends)
        if low < known[0] - spare or high > known[-1] + spare:
            continue  # nobody knows where its last socket stands
        built = grid.driven_at(high) - grid.driven_at(low)
        more = built - (high - low)
        answer = Answer.FITS
        if abs(more) > allowed:
            answer = Answer.LONGER if more > 0 else Answer.CUT
        yield Difference(
            what="length of a sill board", mark=board.mark,
            where=f"on the {board.spot.side.value}, {_bays(frame, low, high)}",
            designed_mm=high - low, built_mm=built, answer=answer,
        )  # fmt: skip


def _bays(frame: Frame, low: float, high: float) -> str:
    """The hoops nearest to the ends of a board."""
    ys = np.array(frame.grid.hoop_y_mm)
    first, last = (int(np.argmin(abs(ys - y))) + 1 for y in (low, high))
    return f"hoops {first} to {last}"


def _doors(frame: Frame, built: AsBuilt, tops: Mapping[str, TopOff]) -> Iterator[Difference]:
    """Openings of doors: their header goes up and down with the hoop of their wall."""
    last = len(frame.grid.hoop_y_mm)
    for door in frame.doors:
        number = 1 if door.end is End.FRONT else last
        pair = [tops.get(socket_name(number, side)) for side in _SIDES]
        ups = [top.up_mm for top in pair if top is not None and top.up_mm is not None]
        if len(ups) < 2:
            continue
        yield from _door(frame, door, number, ups)


def _door(frame: Frame, door: DoorOpening, number: int, ups: list[float]) -> Iterator[Difference]:
    half, clearance = frame.grid.socket_x_mm, frame.design.clearance
    middle = (door.left_x_mm + door.right_x_mm) / 2
    up = ups[0] + (ups[1] - ups[0]) * (middle + half) / (2 * half)
    out = (ups[1] - ups[0]) * door.width_mm / (2 * half)
    name, where = door_name(frame.doors, door), f"hoop {number}"
    again = tuple(socket_name(number, side) for side in _SIDES)
    low = up < -clearance.leaf_ground
    yield Difference(
        what=f"height of the {name}'s opening", where=where, mark="",
        designed_mm=door.top_mm - door.bottom_mm, built_mm=door.top_mm - door.bottom_mm + up,
        answer=Answer.AGAIN if low else Answer.FITS, sockets=again if low else (),
    )  # fmt: skip
    yield Difference(
        what=f"header of the {name}, out of level", where=where, mark="",
        designed_mm=0.0, built_mm=out,
        answer=Answer.FITS if abs(out) <= clearance.leaf_gap else Answer.AGAIN,
        sockets=again if abs(out) > clearance.leaf_gap else (),
    )  # fmt: skip
