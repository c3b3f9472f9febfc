"""One set of a frame for whoever asks for it: command line, page or Python.

What is found, what is ordered and what is drawn follow from the frame and the user's lists
alone, and are put together here and nowhere else: same inputs, same set.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import status_of
from frame3d.design.reading.reader import locate
from frame3d.design.reading.user_lists import GivenLists
from frame3d.errors import DesignError
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.model.members import Frame
from frame3d.site.survey import Site, missing_surveys, site_of, surveyed
from frame3d.staging import stop_later
from frame3d.takeoff.take_off import Takeoff, UserLists, load_solver, read_user_lists, take_off
from frame3d.takeoff.write.cut_lists import sawn_bars

if TYPE_CHECKING:
    from frame3d.sheets.layout.sheet import SheetSet

__all__ = [
    "FrameSet", "drawn_on", "frame_set_of", "lists_of", "sheet_alone", "sheets_of", "surveyed",
]  # fmt: skip


class FrameSet(Struct, frozen=True, kw_only=True):
    """What everything that is written of a frame is made from.

    Parameters
    ----------
    frame : Frame
    checks : tuple of Finding
        What the checks found.
    status : SetStatus
        What stands against building from it, and which lists were not given.
    takeoff : Takeoff
        What to order, with the cutting plan.
    """

    frame: Frame
    checks: tuple[Finding, ...]
    status: SetStatus
    takeoff: Takeoff

    @property
    def site(self) -> Site:
        """What is staked out and driven for it, on the ground that was measured."""
        return site_of(self.frame, self.status)


def lists_of(frame: Frame, given: GivenLists | None = None) -> UserLists:
    """The price and stock lists that the design of ``frame`` names.

    Parameters
    ----------
    frame : Frame
    given : mapping or None
        The lists as somebody has handed them over; no file is opened then. None: they are read
        from the files that the design names.

    Raises
    ------
    DesignFaults
        If one of them cannot be read, or with every fault of its rows.
    """
    try:
        lists = read_user_lists(frame, given)
    except DesignError as error:
        raise locate(frame.design, error) from None
    return replace(lists, missing=(*lists.missing, *missing_surveys(frame, given)))


def frame_set_of(frame: Frame, lists: UserLists, unmade: Sequence[Unmade] = ()) -> FrameSet:
    """The set of ``frame`` with these lists, all but its sheets and models.

    ``unmade`` is what the model lacks, once that has been made.
    """
    checks = check_frame(frame, unmade)
    status = status_of(checks, missing=lists.missing, unmade=unmade)
    with stop_later():
        load_solver()
    return FrameSet(
        frame=frame, checks=checks, status=status, takeoff=take_off(frame, lists, status)
    )


def sheets_of(made: FrameSet, tell: Callable[[str, int, int], None] | None = None) -> SheetSet:
    """The sheets of a set; ``tell`` is told how many kinds of them are drawn, of how many."""
    # Only here: drawing loads what a take-off does not wait for.
    with stop_later():
        from frame3d.sheets.sets.draw import draw_sheets

    return draw_sheets(made.frame, sawn_bars(made.takeoff), made.status, tell)


def sheet_alone(frame: Frame, lists: UserLists, family: str, place: int) -> SheetSet | None:
    """One sheet of the set that :func:`frame_set_of` would have, drawn before there is one.

    ``family`` and ``place`` are as :func:`frame3d.sheets.sets.draw.draw_one` takes them.
    """
    with stop_later():
        from frame3d.sheets.sets.draw import draw_one

    status = status_of(check_frame(frame), missing=lists.missing)
    return draw_one(frame, status, family, place)


def drawn_on(made: FrameSet, sheets: SheetSet | None = None) -> dict[str, str]:
    """Number and title of the sheet that each made part is on; without ``sheets`` it draws them."""
    with stop_later():
        from frame3d.sheets.sets.part_places import sheets_of_parts

    marks = [group.mark for group in made.frame.parts() if not group.part.is_bought]
    return sheets_of_parts(sheets or sheets_of(made), marks)
