"""Everything that is known of the site, put together from the frame and the user's files."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from msgspec import Struct

from frame3d.design.reading.reader import locate
from frame3d.design.reading.user_lists import ListSource
from frame3d.errors import DesignError, Fault, ListFaults
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.frame.model.members import Frame
from frame3d.site.built.as_built import AsBuilt, judge
from frame3d.site.built.tops import read_built
from frame3d.site.driving.driving_plan import DrivingPlan, plan_driving
from frame3d.site.ground.levels import read_levels
from frame3d.site.ground.surface import ground_through
from frame3d.site.staking.mapped import MapOrigin, Mapped, map_origin, on_map
from frame3d.site.staking.measured import corner_rectangle, read_measured
from frame3d.site.staking.setting_out import SettingOut, set_out
from frame3d.site.staking.squaring import Distance, Squaring, square_up

__all__ = ["SITE_CAUTIONS", "Site", "survey_site"]

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
    status: SetStatus = UNCHECKED


def survey_site(
    frame: Frame,
    *,
    levels: ListSource | None = None,
    measured: ListSource | None = None,
    built: ListSource | None = None,
    status: SetStatus = UNCHECKED,
) -> Site:
    """The site of ``frame``, with whatever lists the user has.

    Raises
    ------
    DesignFaults
        If the design asks for what cannot be, or with the faults of all three files.
    """
    faults: list[Fault] = []
    levels_read = _read(faults, read_levels, levels, frame)
    distances = _read(faults, read_measured, measured, frame)
    tops = _read(faults, read_built, built, frame)
    if faults:
        raise ListFaults(faults, "site")
    setting_out, driving = set_out(frame), None
    try:
        origin = map_origin(frame.design.staking)
        if levels_read:
            driving = plan_driving(frame, setting_out, ground_through(levels_read))
            setting_out = driving.setting_out
    except DesignError as error:
        raise locate(frame.design, error) from None
    squaring = None
    if distances:
        names, rectangle = corner_rectangle(frame)
        squaring = square_up(rectangle, names, distances)
    return Site(
        frame=frame,
        setting_out=setting_out,
        origin=origin,
        mapped=on_map(setting_out.points, frame.design.staking, origin) if origin else (),
        distances=distances,
        squaring=squaring,
        driving=driving,
        built=judge(frame, tops) if tops else None,
        status=status,
    )


R = TypeVar("R")


def _read(
    faults: list[Fault],
    read: Callable[[ListSource, Frame], tuple[R, ...]],
    path: ListSource | None,
    frame: Frame,
) -> tuple[R, ...]:
    """What ``read`` finds in a file; its faults go to the others, with the file's name."""
    if path is None:
        return ()
    try:
        return read(path, frame)
    except ListFaults as error:
        faults += [
            Fault(where=f"{path}, {fault.where}" if fault.where else f"{path}",
                  message=fault.message)
            for fault in error.faults
        ]  # fmt: skip
    except DesignError as error:
        faults.append(Fault(where=error.where, message=error.message))
    return ()
