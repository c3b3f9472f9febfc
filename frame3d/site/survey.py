"""Everything that is known of the site, put together from the frame and the user's files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from frame3d.design.reading.reader import file_beside, locate
from frame3d.design.reading.user_lists import GivenLists, ListSource
from frame3d.errors import DesignError, Fault, ListFaults
from frame3d.frame.describe.set_status import UNCHECKED, MissingList, SetStatus
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.surveyed import Distance, Survey
from frame3d.frame.on_ground import boards_on_ground
from frame3d.frame.sides.ground_answers import BoardsOnGround
from frame3d.site.built.as_built import AsBuilt, judge
from frame3d.site.built.differences import Difference, differences_of, grid_of
from frame3d.site.built.tops import read_built
from frame3d.site.driving.driving_plan import Driven, DrivingPlan, level_sockets, plan_driving
from frame3d.site.driving.under import ground_under
from frame3d.site.earthwork.end_walls import (
    DoorGround,
    WallGround,
    level_door,
    walls_on_ground,
)
from frame3d.site.earthwork.volumes import Earthwork, earthwork_of
from frame3d.site.earthwork.water import Water, water_of
from frame3d.site.ground.levels import read_levels
from frame3d.site.ground.surface import ground_through
from frame3d.site.staking.mapped import MapOrigin, Mapped, map_origin, on_map
from frame3d.site.staking.measured import corner_rectangle, read_measured
from frame3d.site.staking.setting_out import SettingOut, set_out
from frame3d.site.staking.squaring import Squaring, square_up

SURVEYS = ("levels", "measured", "built")
"""The lists that a survey is made of: fields of ``[staking]``, options of commands, drops on the
page."""
_WITHOUT = {
    "levels": "everything is on level ground",
    "measured": "the corners are not squared by what was measured",
    "built": "the frame is as designed, and not as driven",
}

SITE_CAUTIONS = (
    "Have buried cables and pipes located and marked before driving stakes or sockets or digging.",
    "Look for overhead lines before lifting long hoops or rods.",
    *CAUTIONS[1:],
)
"""What everybody who stakes out or drives by these figures is told."""


class Site(Struct, frozen=True, kw_only=True):
    """What is to be staked out, and what the user's measurements say.

    Parameters
    ----------
    frame : Frame
        As it is designed.
    setting_out : SettingOut
        With the heights of the ground where there are levels.
    origin : MapOrigin or None
    mapped : tuple of Mapped
        The points of ``setting_out`` on the map; empty without an origin.
    distances : tuple of Distance
        Between corners, as measured.
    squaring : Squaring or None
    driving : DrivingPlan or None
    built : AsBuilt or None
    differences : tuple of Difference
        Between the design and the frame as it was driven.
    earthwork : Earthwork or None
    water : Water or None
    boards : BoardsOnGround or None
        What can be done about the sill boards; all three where there are levels.
    walls : tuple of WallGround
        The end walls on their ground; none without levels.
    status : SetStatus
        What stands against building the frame as it was designed.
    """

    frame: Frame
    setting_out: SettingOut
    origin: MapOrigin | None = None
    mapped: tuple[Mapped, ...] = ()
    distances: tuple[Distance, ...] = ()
    squaring: Squaring | None = None
    driving: DrivingPlan | None = None
    built: AsBuilt | None = None
    differences: tuple[Difference, ...] = ()
    earthwork: Earthwork | None = None
    water: Water | None = None
    boards: BoardsOnGround | None = None
    walls: tuple[WallGround, ...] = ()
    status: SetStatus = UNCHECKED

    @property
    def sockets(self) -> tuple[Driven, ...]:
        """How each socket is driven, on the ground of the levels or on level ground."""
        return self.driving.sockets if self.driving else level_sockets(self.frame)

    def under(self, door: DoorOpening) -> DoorGround:
        """The ground under a door of the frame, on the ground of the levels or on level ground."""
        known = (one for wall in self.walls for one in wall.doors if one.door == door)
        return next(known, None) or level_door(door)

    @property
    def survey(self) -> Survey:
        """What was measured."""
        return self.frame.survey or Survey()


def surveyed(
    frame: Frame,
    given: GivenLists | None = None,
    *,
    options: Mapping[str, ListSource | None] | None = None,
) -> Frame:
    """``frame`` with what was measured on its site; as it is where it has that already.

    Parameters
    ----------
    frame : Frame
    given : mapping or None
        The lists as they were handed over; no file is opened then. None: the files that
        ``[staking]`` names are read.
    options : mapping or None
        Lists of ``SURVEYS`` that overrule the design's.

    Raises
    ------
    DesignFaults
        With the faults of all lists, or if one cannot be read.
    """
    if frame.survey is not None:
        return frame
    sources: dict[str, tuple[ListSource, str]] = {}
    for what in SURVEYS:
        option = (options or {}).get(what)
        if option is not None:
            sources[what] = option, f"--{what}"
        elif given is not None:
            if what in given:
                sources[what] = given[what], f"staking.{what}"
        elif (name := getattr(frame.design.staking, what)) is not None:
            sources[what] = file_beside(frame.design, name), f"staking.{what}"
    return _on_ground(frame, _read_survey(frame, sources))


def _on_ground(frame: Frame, survey: Survey) -> Frame:
    """The frame with what was measured, its boards laid out on that ground.

    One that has the marks of an older build keeps its members, since its marks go with them.
    """
    measured = replace(frame, survey=survey)
    if frame.since is not None:
        return measured
    driving = site_of(measured).driving if survey.levels else None
    if driving is not None:
        try:
            laid = lay_out(frame.design, ground_under(frame, driving))
        except DesignError as error:
            raise locate(frame.design, error) from None
        measured = replace(laid, survey=survey)
    return _as_driven(measured) if survey.tops else measured


def _as_driven(frame: Frame) -> Frame:
    """``frame``, which is as designed, laid out again on the sockets as they were driven.

    Its parts keep the marks of the design where they are the same. Where the design cannot be
    laid out so it stays as it is and says why.
    """
    built = site_of(frame).built
    grid = grid_of(frame, built) if built else frame.grid
    if not grid.driven_mm:
        return frame
    try:
        laid = lay_out(frame.design, frame.ground, grid.driven_mm)
    except DesignError as error:
        return replace(frame, unbuilt=str(error))
    # Only here: they load what a check of a frame that is not built yet does without.
    from frame3d.frame.revisions.former import Former
    from frame3d.frame.revisions.keeping import kept_marks
    from frame3d.frame.revisions.records import records_of
    from frame3d.frame.revisions.revision_index import revision_of

    former = Former(revision=revision_of(frame.design), parts=records_of(frame), name="the design")
    return replace(kept_marks(laid, former), survey=frame.survey, designed=frame)


def missing_surveys(frame: Frame, given: GivenLists | None) -> tuple[MissingList, ...]:
    """The lists of a survey that the design names and that were not handed over."""
    if given is None:
        return ()
    named = ((what, getattr(frame.design.staking, what)) for what in SURVEYS)
    return tuple(
        MissingList(what=what, name=name, without=_WITHOUT[what])
        for what, name in named if name is not None and what not in given
    )  # fmt: skip


def survey_site(
    frame: Frame,
    *,
    levels: ListSource | None = None,
    measured: ListSource | None = None,
    built: ListSource | None = None,
    status: SetStatus = UNCHECKED,
) -> Site:
    """The site of ``frame``, with these lists in place of those that the design names.

    Raises
    ------
    DesignFaults
        If the design asks for what cannot be, or with the faults of all three files.
    """
    lists = {"levels": levels, "measured": measured, "built": built}
    given = {what: (one, f"--{what}") for what, one in lists.items() if one is not None}
    return located(site_of(_on_ground(frame, _read_survey(frame, given)), status))


def site_of(frame: Frame, status: SetStatus = UNCHECKED) -> Site:
    """The site of a frame and of what was measured there; worked out once for each frame.

    Raises
    ------
    DesignFaults
        If the design asks for what cannot be.
    """
    site = _site(frame)
    return site if status == UNCHECKED else replace(site, status=status)


def located(site: Site) -> Site:
    """``site`` with its place on the map, where the design gives one.

    Raises
    ------
    DesignFaults
        If the design gives a part of a place, or what is no place.
    """
    frame = site.frame
    try:
        origin = map_origin(frame.design.staking)
    except DesignError as error:
        raise locate(frame.design, error) from None
    if origin is None:
        return site
    return replace(
        site, origin=origin, mapped=on_map(site.setting_out.points, frame.design.staking, origin)
    )


@cached_per_frame
def _site(laid: Frame) -> Site:
    # Sockets are set out and driven by the design, and what was driven is judged against it.
    frame = laid.designed or laid
    survey = frame.survey or Survey()
    setting_out, driving = set_out(frame), None
    try:
        if survey.levels:
            driving = plan_driving(frame, setting_out, ground_through(survey.levels))
            setting_out = driving.setting_out
    except DesignError as error:
        raise locate(frame.design, error) from None
    squaring = None
    if survey.distances:
        names, rectangle = corner_rectangle(frame)
        squaring = square_up(rectangle, names, survey.distances)
    built = judge(frame, survey.tops) if survey.tops else None
    return Site(
        frame=frame,
        setting_out=setting_out,
        distances=survey.distances,
        squaring=squaring,
        driving=driving,
        built=built,
        differences=differences_of(frame, built) if built else (),
        earthwork=earthwork_of(frame, driving) if driving else None,
        water=water_of(driving, frame.design.output.units) if driving else None,
        boards=boards_on_ground(laid),
        walls=walls_on_ground(laid, driving) if driving else (),
    )


R = TypeVar("R")
_Sources = Mapping[str, tuple[ListSource, str]]
"""Where each list is read from, and the field or option that names it."""


def _read_survey(frame: Frame, sources: _Sources) -> Survey:
    faults: list[Fault] = []
    survey = Survey(
        levels=_read(faults, read_levels, sources.get("levels"), frame),
        distances=_read(faults, read_measured, sources.get("measured"), frame),
        tops=_read(faults, read_built, sources.get("built"), frame),
        names=tuple((what, source.name) for what, (source, _) in sources.items()),
    )
    if faults:
        raise ListFaults(faults, "site")
    return survey


def _read(
    faults: list[Fault],
    read: Callable[[ListSource, Frame, str], tuple[R, ...]],
    source: tuple[ListSource, str] | None,
    frame: Frame,
) -> tuple[R, ...]:
    """What ``read`` finds in a file; its faults go to the others, with the file's name."""
    if source is None:
        return ()
    path, named_by = source
    try:
        return read(path, frame, named_by)
    except ListFaults as error:
        faults += [
            Fault(where=f"{path}, {fault.where}" if fault.where else f"{path}",
                  message=fault.message)
            for fault in error.faults
        ]  # fmt: skip
    except DesignError as error:
        faults.append(Fault(where=error.where, message=error.message))
    return ()
