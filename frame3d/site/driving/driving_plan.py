"""How deep each socket goes on the ground that is there, and what must be done for it.

Distances along the tunnel are measured along the string, so that the holes of the rails meet
those of the hoops on a slope as well; sockets and hoops stand upright. A string with a slope
therefore brings the far end nearer, seen from above: by the cosine of its angle.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from frame3d.design.tables.staking import StringLine
from frame3d.errors import DesignError
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame
from frame3d.site.driving.string_line import Exposure, StringRun, best_string
from frame3d.site.ground.surface import Ground
from frame3d.site.staking.setting_out import PlaceKind, SettingOut, StakedPoint
from frame3d.site.staking.socket_names import SocketPlace, axes_of, socket_places

_STILL_MM = 1e-4
_MOST_ROUNDS = 50
_NOTHING_MM = 0.05
"""Digging and filling below this is none."""


class Driven(Struct, frozen=True, kw_only=True):
    """How one socket is driven. Heights are those of the levels; lengths along the socket, mm.

    Parameters
    ----------
    place : SocketPlace
    along_mm : float
        Running distance along the string from the corner.
    ground_mm, top_mm : float
        Heights of the ground as it is, and of the top.
    mark_mm : float
        From the top down to the driving mark, which comes to the ground, dug away if it must
        be.
    embedded_mm : float
        From there to the lower end, before anything is filled up.
    dig_mm, fill_mm : float
        Upright: how much lower the ground must be for the lower hole to stay out of it; how
        much higher for the least embedment.
    longer_mm : float or None
        Length that a socket needs in place of the fill; None where it is long enough.
    drill_mm : float or None
        Length to drill into rock; 0 where the rock lies deeper; None where it is not known.
    outside_mm : float
        How far the place lies outside the points that were taken.
    hole_mm : float
        Upright: how high the lower hole stands over the ground as it is; below 0 it goes under.
    """

    place: SocketPlace
    along_mm: float
    ground_mm: float
    top_mm: float
    mark_mm: float
    embedded_mm: float
    dig_mm: float
    fill_mm: float
    longer_mm: float | None
    drill_mm: float | None
    outside_mm: float
    hole_mm: float

    @property
    def exposed_mm(self) -> float:
        """Height of the top above the ground as it is, mm."""
        return self.top_mm - self.ground_mm


class DrivingPlan(Struct, frozen=True, kw_only=True):
    """The string and all sockets.

    Parameters
    ----------
    ground : Ground
    string : StringRun
        Along the string from the corner.
    exposure : Exposure
        What it was chosen for, upright.
    embedment_mm : float
        Least length in the ground, along the socket.
    sockets : tuple of Driven
    setting_out : SettingOut
        With the heights of this ground and string.
    """

    ground: Ground
    string: StringRun
    exposure: Exposure
    embedment_mm: float
    sockets: tuple[Driven, ...]
    setting_out: SettingOut

    @property
    def rise_toward_last(self) -> float:
        """Rise of the string for each level mm toward the last hoop, whichever corner it is from.

        So the string is ``string.start_mm + rise_toward_last * y`` high in the axes of the site.
        """
        sockets = self.setting_out.of(PlaceKind.SOCKET)
        far = max((point.y_mm for point in sockets), key=abs)
        return math.copysign(self.slope_percent / 100, self.string.rise * far)

    @property
    def slope_percent(self) -> float:
        """Rise of the string over level length, seen from the corner, percent."""
        return 100 * math.tan(math.asin(self.string.rise))


def exposure_of(frame: Frame) -> tuple[Exposure, float]:
    """What may stand out of the ground, upright, and the least embedment along the socket, mm.

    Raises
    ------
    DesignError
        If no socket could have both the lower hole out of the ground and its embedment.
    """
    socket, design, say = frame.design.socket, frame.design, lengths_of(frame).text
    # A design that is content with less than what is usual keeps what it has; check tells it.
    embedment = min(design.practice.embedment, socket.length - socket.exposed)
    least = socket.lower_hole + min(design.staking.hole_clear, socket.exposed - socket.lower_hole)
    most = socket.length - embedment
    if least > most:
        raise DesignError(
            f"a {say(socket.length, unit=True)} socket is too short for its lower hole "
            f"{say(least, unit=True)} above ground and {say(embedment, unit=True)} in the "
            "ground; make it longer",
            "socket.length",
        )
    share = socket_places(frame)[0].plumb_share
    return (
        Exposure(least_mm=least * share, most_mm=most * share, wanted_mm=socket.exposed * share),
        embedment,
    )


@cached_per_frame
def level_sockets(frame: Frame) -> tuple[Driven, ...]:
    """Each socket as it is driven on level ground at the height of nought."""
    socket, axes = frame.design.socket, axes_of(frame)
    forward = 1.0 if axes.y_mm == 0.0 else -1.0
    return tuple(
        Driven(
            place=place, along_mm=forward * (place.y_mm - axes.y_mm), ground_mm=0.0,
            top_mm=place.top_z_mm, mark_mm=socket.exposed,
            embedded_mm=socket.length - socket.exposed, dig_mm=0.0, fill_mm=0.0, longer_mm=None,
            drill_mm=None, outside_mm=0.0,
            hole_mm=place.top_z_mm - socket.lower_hole * place.plumb_share,
        )
        for place in socket_places(frame)
    )  # fmt: skip


def level_rise_mm(frame: Frame) -> float:
    """How much higher the ground may be at a socket that is driven as on level ground, mm.

    The lower hole then stands ``[staking] hole_clear`` out of it, or as the design has it where
    that is less.
    """
    exposure, _ = exposure_of(frame)
    return exposure.wanted_mm - exposure.least_mm


def plan_driving(frame: Frame, setting_out: SettingOut, ground: Ground) -> DrivingPlan:
    """The string over ``ground`` with least digging and filling, and each socket under it."""
    exposure, embedment = exposure_of(frame)
    staking = frame.design.staking
    steepest = (
        math.sin(math.atan(staking.most_slope / 100)) if staking.string is StringLine.SLOPE else 0.0
    )
    sockets = setting_out.of(PlaceKind.SOCKET)
    along = np.array([point.along_mm for point in sockets])
    # The slope moves the places, and the places the slope: a few rounds settle it.
    level = 1.0
    for _ in range(_MOST_ROUNDS):
        places = np.array([(point.x_mm, point.y_mm * level) for point in sockets])
        heights, outside = ground.at(places)
        string = best_string(along, heights, exposure, steepest)
        before, level = level, math.sqrt(1 - string.rise**2)
        if abs(before - level) * float(np.max(along)) < _STILL_MM:
            break
    driven = tuple(
        _driven(frame, place, point, ground, string, exposure, embedment, *known)
        for place, point, *known in zip(
            socket_places(frame), sockets, heights, outside, strict=True
        )
    )
    return DrivingPlan(
        ground=ground,
        string=string,
        exposure=exposure,
        embedment_mm=embedment,
        sockets=driven,
        setting_out=_on_ground(setting_out, ground, string, level),
    )


def _driven(
    frame: Frame,
    place: SocketPlace,
    point: StakedPoint,
    ground: Ground,
    string: StringRun,
    exposure: Exposure,
    embedment: float,
    height: float,
    outside: float,
) -> Driven:
    socket, share = frame.design.socket, place.plumb_share
    top = float(string.at(point.along_mm))
    stands = top - height
    dig = _some(exposure.least_mm - stands)
    fill = _some(stands - exposure.most_mm)
    mark = (stands + dig) / share
    embedded = socket.length - mark
    rock = _rock(frame, ground, point)
    # What is driven into: the socket as it is, or a longer one.
    depth = max(embedded, embedment) * share
    return Driven(
        place=place,
        along_mm=point.along_mm,
        ground_mm=float(height),
        top_mm=top,
        mark_mm=mark,
        embedded_mm=embedded,
        dig_mm=dig,
        fill_mm=fill,
        longer_mm=mark + embedment if fill else None,
        drill_mm=None if rock is None else max(0.0, depth + dig - rock) / share,
        outside_mm=float(outside),
        hole_mm=stands - socket.lower_hole * share,
    )


def _some(length_mm: float) -> float:
    return length_mm if length_mm > _NOTHING_MM else 0.0


def _rock(frame: Frame, ground: Ground, point: StakedPoint) -> float | None:
    """Depth of rock at the nearest point within a bay where it is known, mm."""
    near = min(
        (
            (math.hypot(level.x_mm - point.x_mm, level.y_mm - point.y_mm), level.row, level)
            for level in ground.levels if level.rock_mm is not None
        ),
        default=None,
    )  # fmt: skip
    if near is None or near[0] > frame.grid.spacing_mm:
        return None
    return near[2].rock_mm


def _on_ground(
    setting_out: SettingOut, ground: Ground, string: StringRun, level: float
) -> SettingOut:
    """The same points with the heights of the ground and of the string over them."""
    shrunk = [replace(point, y_mm=point.y_mm * level) for point in setting_out.points]
    heights, _ = ground.at(np.array([(point.x_mm, point.y_mm) for point in shrunk]))
    points = []
    for point, z in zip(shrunk, heights, strict=True):
        top = float(string.at(point.along_mm)) if point.top_z_mm is not None else None
        points.append(replace(point, z_mm=float(z), top_z_mm=top))
    return replace(setting_out, points=tuple(points))
