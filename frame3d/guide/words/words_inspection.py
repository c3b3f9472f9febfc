"""What to look at on a tunnel that stands: each month, round storms, before snow.

Common practice, no source. It says nothing about strength, and what was bent or has moved is for a
professional to judge.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from msgspec import Struct

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.days import DayPlan
from frame3d.site.survey import site_of

MONTHS = 12
CAUTIONS = (
    "This record is common practice, no source. It says nothing about strength, and a full column "
    "of ticks does not either.",
    "What is bent, cracked, loose again or has moved: keep people out until a professional has "
    "judged it. Stay out of the tunnel in a storm and while snow lies on it.",
)


class Look(Struct, frozen=True, kw_only=True):
    """What is looked at, and what it should be like."""

    what: str
    should: str


class Occasion(Struct, frozen=True, kw_only=True):
    """When to look, what is to be known beforehand, and what to look at.

    ``monthly`` where there is a column for each month.
    """

    title: str
    note: str
    looks: tuple[Look, ...]
    monthly: bool = False


def months_due(plan: DayPlan | None) -> tuple[str, ...]:
    """The date of each month's look, from the last day of work on; numbers where it has no date."""
    last = plan.days[-1].date if plan else None
    if last is None:
        return tuple(f"month {number}" for number in range(1, MONTHS + 1))
    return tuple(_later(last, number).isoformat() for number in range(1, MONTHS + 1))


def _later(day: datetime.date, months: int) -> datetime.date:
    """So many months on, or the last day of that month where it is shorter."""
    year, month = divmod(day.month - 1 + months, 12)
    first = datetime.date(day.year + year, month + 1, 1)
    after = datetime.date(first.year + first.month // 12, first.month % 12 + 1, 1)
    last = (after - datetime.timedelta(days=1)).day
    return first.replace(day=min(day.day, last))


def occasions(frame: Frame) -> tuple[Occasion, ...]:
    """Every occasion, with what this frame has to look at."""
    return (
        Occasion(title="Every month", looks=_all(frame), monthly=True,
                 note="The first after a month: then put a hand on every bolt and screw."),
        Occasion(title="Before a storm", looks=_before_wind(frame),
                 note="Done the day before. In the storm nobody goes in or climbs on it."),
        Occasion(title="After a storm", looks=(*_moved(frame), *_all(frame)),
                 note="Look from outside first; go in only where nothing hangs, leans or is torn "
                      "loose."),
        Occasion(title="Before snow", looks=_before_snow(frame),
                 note="When to clear snow, to prop the frame or to cut the film is for a "
                      "professional to say beforehand: write it here and hang it up at the door."),
    )  # fmt: skip


def _has(frame: Frame, *roles: Role) -> bool:
    return any(True for _ in frame.of(*roles))


def _some(frame: Frame, rows: Sequence[tuple[bool, str, str]]) -> tuple[Look, ...]:
    return tuple(Look(what=what, should=should) for there, what, should in rows if there)


def _all(frame: Frame) -> tuple[Look, ...]:
    walls = bool(frame.design.end_wall)
    return _some(frame, [
        (True, "Ground", "nothing washed out at the sockets; water runs off; no holes of animals"),
        (True, "Sockets", "none heaved, sunk, leaning or loose"),
        (True, "Legs in their sockets", "bolted, nuts tight, no new play"),
        (True, "Hoops", "no dent, kink or crack; joints closed; no rust where zinc is broken"),
        (_has(frame, Role.RAIL), "Rails", "straight, joints closed, bolts and clamps tight"),
        (_has(frame, Role.BRACE), "Braces", "straight and tight; no clamp has slid"),
        (_has(frame, Role.TIE), "Ties", "level, bolts and clamps tight, nothing extra hung on"),
        (_has(frame, Role.SILL_BOARD), "Sill boards", "no rot or split; bolts tight; no new gap"),
        (walls, "End walls", "studs fixed at foot and head; cover tight"),
        (bool(frame.doors), "Doors", "move freely, clear the ground, latch holds"),
        (bool(frame.vents), "Side openings", "hip boards or rails tight; what closes them works"),
        (_has(frame, Role.WINDER), "Curtain winders", "hold without slipping; cords sound"),
        (True, "Film and channel", "tight, no tear, nothing rubs; wire seated, screws tight"),
        (bool(frame.design.nearby), "What stands nearby", "no loose limbs, roofs or wires"),
    ])  # fmt: skip


def _moved(frame: Frame) -> tuple[Look, ...]:
    diagonal = lengths_of(frame).text(site_of(frame).setting_out.diagonal_mm, unit=True)
    return (
        Look(what="Whole frame", should="no lean along or across, ridge straight, seen from both "
                                        "ends"),
        Look(what="Diagonals of the corner sockets", should=f"both {diagonal}: ____ and ____"),
    )  # fmt: skip


def _before_wind(frame: Frame) -> tuple[Look, ...]:
    return _some(frame, [
        (True, "Loose things", "inside and outside put away or tied"),
        (bool(frame.doors), "Doors", "shut, latched and held top and bottom"),
        (not frame.doors, "Open ends", "as your supplier says for wind"),
        (bool(frame.vents), "Side openings", "shut, and held along the whole length"),
        (True, "Film", "tight, no tear, all wire seated; spare tape at hand"),
        (_has(frame, Role.BRACE), "Braces", "all there and tight"),
        (True, "Fans and heating", "off where film may tear; fuel shut"),
    ])  # fmt: skip


def _before_snow(frame: Frame) -> tuple[Look, ...]:
    return _some(frame, [
        (_has(frame, Role.TIE), "Ties", "no crop, hose or lamp hangs on them"),
        (True, "Hoops and rails", "nothing hangs on them that was not allowed for"),
        (True, "Film", "tight, so that snow slides; no sag that holds water"),
        (True, "Both sides", "free, so that what slides off has room"),
        (bool(frame.doors), "Doors", "open outward or slide with snow in front: shovel at hand"),
        (True, "Way in", "a clear way round; nobody works beside it while snow slides"),
        (True, "Who decides", "name and telephone of who says when to clear: ____"),
    ])  # fmt: skip
