"""The whole comparison of a frame: with another, and with itself changed in one thing at a time."""

from __future__ import annotations

import contextlib
import math
from functools import partial

from msgspec import Struct

from frame3d.design.reading.user_lists import GivenLists
from frame3d.design.tables.loads import Loads, LoadShape
from frame3d.errors import DesignError, present
from frame3d.frame.describe.key_figures import total_mass_kg
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.loads import one_thread
from frame3d.loads.compare.changes import LEAVING_OUT, Change, changes_of
from frame3d.loads.compare.differences import differences, is_of_another_kind
from frame3d.loads.compare.indices import Index, indices
from frame3d.loads.compare.measuring import Measured, measured
from frame3d.loads.model.assumed import HINGED, USUAL
from frame3d.side_process import SideBySide, Tell, cores, say_nothing
from frame3d.takeoff.quantities.cost import total_cost
from frame3d.takeoff.take_off import read_user_lists, take_off
from frame3d.units import LengthText


class Tried(Struct, frozen=True, kw_only=True):
    """A change with what it does.

    Parameters
    ----------
    words : str
    index : dict
        By shape: the factor of the changed design by that of the design itself, under the first
        set of assumptions; then the least and the most of that over the feet, where these are
        not known.
    sway : float or None
        The greatest of the movements sideways under equal loads, by that of the design itself.
    mass_kg, cost : float or None
        More or less than the design itself; no cost where the design names no price list, or that
        lacks a price.
    reason : str
        Why it could not be laid out; empty else.
    """

    words: str
    index: dict[LoadShape, tuple[float, float, float]]
    sway: float | None
    mass_kg: float | None
    cost: float | None
    reason: str

    @property
    def leaves_out(self) -> bool:
        """Whether parts are taken away."""
        return self.words in LEAVING_OUT


class Comparison(Struct, frozen=True, kw_only=True):
    """All that is told of a design in this room.

    Parameters
    ----------
    frame : Frame
    other : Frame or None
        The design that the user names to compare with.
    own : Measured
    indices : tuple of Index
        Empty without another design.
    feet : dict
        By shape: pull upward and push sideways at the sockets by those of the other design; None
        where the other has none.
    tried : tuple of Tried
        Those that change most first.
    differences : tuple of str
    is_of_another_kind : bool
    notes : tuple of str
        What moves freely or gives most in either design; told before everything else.
    """

    frame: Frame
    other: Frame | None
    own: Measured
    indices: tuple[Index, ...]
    feet: dict[LoadShape, tuple[float | None, float | None]]
    tried: tuple[Tried, ...]
    differences: tuple[str, ...]
    is_of_another_kind: bool
    notes: tuple[str, ...]


def compared(
    frame: Frame,
    other: Frame | None = None,
    progress: Tell | None = None,
    *,
    changes: bool = True,
    workers: int | None = None,
    lists: GivenLists | None = None,
) -> Comparison:
    """Compare ``frame`` with ``other`` under the unit loads that its design names.

    Parameters
    ----------
    frame : Frame
    other : Frame or None
        None to tell only what changes of the design itself would do.
    progress : callable or None
        Told what is being done, how many steps of all are done, and how many there are.
    changes : bool
        False to leave the changes of the design out, which takes half of the time.
    workers : int or None
        1 to do everything in this process; None for as many as are of use.
    lists : mapping or None
        Lists of prices and stock as they were handed over; no file that the design names is opened
        then. None: the files are read, for what a change costs.

    Raises
    ------
    DesignFaults
        If a price list that the design names cannot be read.
    """
    one_thread()
    given, whole = frame.design.loads, _Whole(progress or say_nothing)
    with SideBySide(whole.tell, workers or cores()) as both:
        frames = [frame] if other is None else [frame, other]
        found = both.share(*(partial(_measured, one, given) for one in frames))
        own, there = found[0], found[1] if len(found) > 1 else None
        whole.begin_changes()
        tried = _tried(frame, own, both, lists) if changes else ()
    return Comparison(
        frame=frame,
        other=other,
        own=own,
        indices=indices(own, there) if there else (),
        feet=_feet(own, there) if there else {},
        tried=tried,
        differences=differences(frame, other) if other else (),
        is_of_another_kind=bool(other and is_of_another_kind(frame, other)),
        notes=(
            *own.notes,
            *(f"The other design: {note}" for note in (there.notes if there else ())),
        ),
    )


class _Whole:
    """How far the whole comparison is, of two parts that are told of one by one."""

    def __init__(self, tell: Tell) -> None:
        self._tell, self._start, self._furthest = tell, 0, 0

    def begin_changes(self) -> None:
        """What is told from here on is of the second part."""
        self._start = _DESIGNS

    def tell(self, what: str, done: int, total: int) -> None:
        """Tell it in hundredths of all, never fewer than before: two processes tell of theirs."""
        part = _DESIGNS if self._start == 0 else _ALL - _DESIGNS
        self._furthest = max(self._furthest, self._start + part * done // max(total, 1))
        self._tell(what, self._furthest, _ALL)


_DESIGNS, _ALL = 35, 100
"""Of all the time what the designs themselves take, about; the rest goes to their changes."""


def _measured(frame: Frame, given: Loads, tell: Tell) -> Measured:
    return measured(frame, given, tell)


def _feet(own: Measured, other: Measured) -> dict[LoadShape, tuple[float | None, float | None]]:
    found = {}
    for shape, here in own.feet.items():
        there = other.feet.get(shape, (0.0, 0.0))
        found[shape] = (_by(here[0], there[0]), _by(here[1], there[1]))
    return found


def _by(own: float, other: float) -> float | None:
    return own / other if other > 1.0 else None


def _tried(
    frame: Frame, own: Measured, both: SideBySide, lists: GivenLists | None
) -> tuple[Tried, ...]:
    """All changes, each in the process that has time."""
    names = tuple(own.worse[shape] for shape in _telling(own))
    if not names:
        return ()
    changes = changes_of(frame, LengthText(lengths_of(frame)))
    total = len(changes)
    jobs = [
        partial(_one, change, frame, names, lists, number, total)
        for number, change in enumerate(changes)
        if change.frame is not None
    ]
    found = iter(both.share(*jobs))
    base_mass, base_cost = total_mass_kg(frame), _cost(frame, lists)
    made = []
    for change in changes:
        if change.frame is None:
            made.append(_not_tried(change.words, change.reason))
            continue
        result, mass, cost = next(found)
        if result is None:
            made.append(_not_tried(change.words, "it could not be calculated"))
            continue
        made.append(
            Tried(
                words=change.words,
                index=_index(own, result),
                sway=_sway(own, result),
                mass_kg=mass - base_mass,
                cost=None if cost is None or base_cost is None else cost - base_cost,
                reason="",
            )
        )
    return tuple(sorted(made, key=_most))


def _not_tried(words: str, reason: str) -> Tried:
    return Tried(words=words, index={}, sway=None, mass_kg=None, cost=None, reason=reason)


def _most(tried: Tried) -> float:
    """The greatest effect, however assumed; what cannot be laid out comes last.

    To get there later without a part is none.
    """
    values = [value for three in tried.index.values() for value in three]
    if tried.leaves_out:
        values = [min(value, 1.0) for value in values]
    return -max((abs(math.log(max(value, 1e-3))) for value in values), default=-1.0)


_GROUPS = (
    (LoadShape.SNOW_EVEN, LoadShape.SNOW_HALF, LoadShape.SNOW_DRIFT),
    (LoadShape.WIND_ACROSS,),
    (LoadShape.WIND_ALONG,),
    (LoadShape.CROP,),
)


def _telling(own: Measured) -> list[LoadShape]:
    """Of snow the shape that ends first; of wind and crop each; none where nothing is stable."""
    found = []
    for group in _GROUPS:
        there = [
            shape for shape in group
            if shape in own.worse and own.endings[own.worse[shape], USUAL].factor > 0
        ]  # fmt: skip
        if there:
            found.append(min(there, key=lambda s: own.endings[own.worse[s], USUAL].factor))
    return found


def _one(
    change: Change,
    frame: Frame,
    names: tuple[str, ...],
    lists: GivenLists | None,
    number: int,
    total: int,
    tell: Tell,
) -> tuple[Measured | None, float, float | None]:
    other = present(change.frame, "frame of a change")
    tell(f"trying {change.words}", number, total)
    found: Measured | None = None
    with contextlib.suppress(DesignError):
        found = measured(other, frame.design.loads, say_nothing, only=names)
    return found, total_mass_kg(other), _cost(other, lists)


def _cost(frame: Frame, given: GivenLists | None) -> float | None:
    """What it costs by the design's own price list; None without one, or where prices lack."""
    if not frame.design.order.price_file:
        return None
    try:
        lines = take_off(frame, read_user_lists(frame, given)).cost
    except DesignError:
        return None
    return None if any(line.amount is None for line in lines) else total_cost(lines)


def _index(own: Measured, changed: Measured) -> dict[LoadShape, tuple[float, float, float]]:
    found = {}
    for shape, name in own.worse.items():
        ratios = [
            changed.endings[name, words].factor / own.endings[name, words].factor
            for words in (USUAL, HINGED)
            if (name, words) in changed.endings
            and (name, words) in own.endings
            and own.endings[name, words].factor > 0
        ]
        if ratios and (name, USUAL) in changed.endings:
            found[shape] = ratios[0], min(ratios), max(ratios)
    return found


def _sway(own: Measured, changed: Measured) -> float | None:
    """How much farther it moves sideways under equal loads: the most over what both reach."""
    ratios = []
    for name in own.worse.values():
        ends = [one.endings.get((name, USUAL)) for one in (own, changed)]
        soft = [end.sway_mm / end.factor for end in ends if end and end.factor > 0]
        if len(soft) == 2 and soft[0] > 0:
            ratios.append(soft[1] / soft[0])
    return max(ratios, default=None)
