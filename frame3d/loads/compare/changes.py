"""One thing at a time: the same design with other spacing, tube, ties, rails, braces, sockets.

Each change is laid out as a design of its own, so that what it weighs and costs is true; one that
cannot be laid out, as the design stands, is told with the reason.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace as other_struct

from frame3d.catalog.sections import TubeSection
from frame3d.design.tables.fields import DesignTable
from frame3d.design.tables.whole_design import (
    Corner,
    Design,
    Post,
    Rail,
    RailPlace,
    RidgeJoint,
)  # fmt: skip
from frame3d.errors import DesignError
from frame3d.frame.describe.wording import gap_text
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.grid import MOST_BAYS
from frame3d.frame.model.members import Frame
from frame3d.units import LengthFormat, LengthText, UnitSystem

_STEP = 1.25
"""By how much spacing and wall are changed."""
_DEEPER_MM = {UnitSystem.IMPERIAL: 12 * 25.4, UnitSystem.METRIC: 300.0}
_LARGER_MM = {UnitSystem.IMPERIAL: 25.4 / 4, UnitSystem.METRIC: 6.0}

NO_BRACES = "no braces, which also hold the hoops while they are raised"
"""Told in its own row: an index near 1 reads as if they could be left out."""
_NO_TIES, _BARE_TIES = "no ties", "ties without posts and webs"
_FEWER_RAILS = "one line of side rails fewer"
LEAVING_OUT = (NO_BRACES, _NO_TIES, _BARE_TIES, _FEWER_RAILS)
"""Changes that take parts away."""

T = TypeVar("T", bound=DesignTable)


class Change(Struct, frozen=True, kw_only=True):
    """A change with its frame, or why it cannot be laid out."""

    words: str
    frame: Frame | None
    reason: str = ""


def changes_of(frame: Frame, say: LengthText) -> tuple[Change, ...]:
    """All changes of the design of ``frame`` that there are to try."""
    found = []
    for words, change in _all(frame.design, frame, say):
        try:
            found.append(Change(words=words, frame=lay_out(change())))
        except (DesignError, ValueError) as error:
            found.append(Change(words=words, frame=None, reason=str(error)))
    return tuple(found)


Changed = tuple[str, Callable[[], Design]]


def _all(design: Design, frame: Frame, say: LengthText) -> Iterator[Changed]:
    yield from _spacing(design, frame, say)
    yield from _tube(design, say)
    yield from _ties(design)
    yield from _rails(design)
    yield from _braces(design)
    yield from _sockets(design, say)


def _with(table: T, **fields: object) -> T:
    """A table with other values; those of the model are kept, as they have been read once."""
    return table.model_copy(update=fields)


def _spacing(design: Design, frame: Frame, say: LengthText) -> Iterator[Changed]:
    grid = frame.grid
    bays = len(grid.hoop_y_mm) - 1
    for name, count in (("closer", round(bays * _STEP)), ("farther apart", round(bays / _STEP))):
        if count in (bays, 0) or count > MOST_BAYS:
            continue
        other = _with(design.bays, count=count, length=grid.length_mm, spacing=None,
                      largest_spacing=None)  # fmt: skip
        yield (
            f"hoops {name}, {say(grid.length_mm / count)}",
            partial(_with, design, bays=other),
        )


def _tube(design: Design, say: LengthText) -> Iterator[Changed]:
    hoop = design.hoop.tube
    for name, factor in (("thicker", _STEP), ("thinner", 1 / _STEP)):
        wall = hoop.wall_mm * factor
        tube = _section(hoop, hoop.od_mm, wall, say.form)
        yield (
            f"hoops of a {name} wall, {gap_text(say.form, wall)}",
            partial(_with, design, hoop=_with(design.hoop, tube=tube)),
        )
    more = _LARGER_MM[design.output.units]
    yield (
        f"hoops and sockets of a tube {say(more)} larger, the walls kept",
        partial(_larger, design, more, say.form),
    )


def _section(tube: TubeSection, od_mm: float, wall_mm: float, form: LengthFormat) -> TubeSection:
    name = f"{gap_text(form, od_mm)} x {gap_text(form, wall_mm)}"
    return other_struct(tube, name=name, od_mm=od_mm, wall_mm=wall_mm)


def _larger(design: Design, more: float, form: LengthFormat) -> Design:
    """The tube of hoops larger, and what slides on it as well."""

    def grown(tube: TubeSection | None) -> TubeSection | None:
        return None if tube is None else _section(tube, tube.od_mm + more, tube.wall_mm, form)

    hoop, socket = design.hoop, design.socket
    other = _with(hoop, tube=grown(hoop.tube), splice_tube=grown(hoop.splice_tube))
    if hoop.ridge_joint is RidgeJoint.SLEEVE:
        other = _with(other, ridge_tube=grown(hoop.ridge_tube))
    return _with(design, hoop=other, socket=_with(socket, tube=grown(socket.tube)))


def _ties(design: Design) -> Iterator[Changed]:
    if not design.tie:
        return
    if any(tie.every > 1 for tie in design.tie):
        yield (
            "ties on every hoop",
            lambda: _with(design, tie=tuple(_with(tie, every=1) for tie in design.tie)),
        )
    else:
        yield (
            "ties on every second hoop",
            lambda: _with(design, tie=tuple(_with(tie, every=2) for tie in design.tie)),
        )
    if any(tie.webs or tie.post is Post.KING_POST for tie in design.tie):
        yield (
            _BARE_TIES,
            lambda: _with(design, tie=tuple(_with(t, webs=0, post=Post.NONE) for t in design.tie)),
        )
    yield _NO_TIES, lambda: _with(design, tie=())


def _rails(design: Design) -> Iterator[Changed]:
    sides = [rail for rail in design.rail if rail.at is RailPlace.SIDES]
    if sides:
        yield (
            _FEWER_RAILS,
            lambda: _with(design, rail=tuple(r for r in design.rail if r is not sides[-1])),
        )
        more = _with(sides[0], height=None, fraction=_between(sides))
        yield "one line of side rails more", lambda: _with(design, rail=(*design.rail, more))


def _between(sides: list[Rail]) -> float:
    """A share of the arch in the middle of the widest gap between side rails that have a share."""
    taken = sorted([0.0, *(rail.fraction for rail in sides if rail.fraction is not None), 1.0])
    gap, low = max((b - a, a) for a, b in zip(taken, taken[1:], strict=False))
    return round(low + gap / 2, 3)


def _braces(design: Design) -> Iterator[Changed]:
    every = tuple(Corner)
    if design.brace:
        yield NO_BRACES, lambda: _with(design, brace=())
        if any(set(brace.corners) != set(every) for brace in design.brace):
            yield (
                "braces in all four corners",
                lambda: _with(design, brace=tuple(_with(b, corners=every) for b in design.brace)),
            )


def _sockets(design: Design, say: LengthText) -> Iterator[Changed]:
    step, length = _DEEPER_MM[design.output.units], design.socket.length
    for name, other in (("deeper", length + step), ("shallower", length - step)):
        yield (
            f"sockets {say(step)} {name} in the ground",
            partial(_with, design, socket=_with(design.socket, length=other)),
        )
