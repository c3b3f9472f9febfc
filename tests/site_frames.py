"""Frames to stake out, and ground made by a formula."""

from __future__ import annotations

import functools
from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import Level, Survey
from frame3d.site.driving.driving_plan import DrivingPlan, plan_driving
from frame3d.site.driving.under import ground_under
from frame3d.site.ground.surface import Ground, ground_through
from frame3d.site.staking.setting_out import set_out
from frame3d.site.survey import surveyed


@functools.cache
def _frame(items: tuple, units: str, count: int, spacing: str, width: str) -> Frame:
    mapping = {
        "output": {"units": units},
        "profile": {"style": "quonset", "width": width, "ridge_height": "3.2 m"},
        "bays": {"count": count, "spacing": spacing},
        "rail": [{"at": "ridge"}, {"at": "sides", "height": "1.5 m"}],
        "staking": dict(items),
    }
    return lay_out(design_from_mapping(mapping))


def small_frame(
    *,
    units: str = "metric",
    count: int = 6,
    spacing: str = "1.5 m",
    width: str = "5 m",
    **staking: object,
) -> Frame:
    """A round tunnel with bolted rails; ``staking`` is its table of that name."""
    return _frame(tuple(sorted(staking.items())), units, count, spacing, width)


def ground_of(frame: Frame, height: Callable, *, steps: int = 9, beyond: float = 2000.0) -> Ground:
    """The ground ``height(x, y)``, mm from the corner, through a grid of points."""
    sockets = [p for p in set_out(frame).points if p.kind.value == "socket"]
    xs, ys = ([getattr(p, name) for p in sockets] for name in ("x_mm", "y_mm"))
    places = [
        (x, y)
        for x in np.linspace(min(xs) - beyond, max(xs) + beyond, steps)
        for y in np.linspace(min(ys) - beyond, max(ys) + beyond, steps)
    ]
    return ground_through(
        [
            Level(row=i, name="", x_mm=x, y_mm=y, z_mm=height(x, y))
            for i, (x, y) in enumerate(places, start=2)
        ]
    )


FALL = 0.03


def walled(
    foot: str, corner: str = "front left", height=lambda x, y: -FALL * x, *,
    wall: dict[str, object] | None = None, door: dict[str, object] | None = None,
    staking: dict[str, object] | None = None,
):  # fmt: skip
    """A frame with a door in front on ground that falls by 3 % to the right, and its driving."""
    design = design_from_mapping(
        {
            "output": {"units": "metric"},
            "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
            "bays": {"count": 4, "spacing": "1.5 m"},
            "rail": [{"at": "ridge"}],
            "end_wall": [{"foot": foot, **(wall or {})}],
            "door": [
                {"at": "front", "kind": "hinged", "width": "1.2 m", "height": "2 m", **(door or {})}
            ],
            "staking": {"corner": corner, **(staking or {})},
        }
    )
    return laid_on(lay_out(design), height)


def laid_on(frame: Frame, height: Callable) -> tuple[Frame, DrivingPlan]:
    """``frame`` on the ground ``height(x, y)``, as if its levels had been read, and its driving."""
    ground = ground_of(frame, height)
    driving = plan_driving(frame, set_out(frame), ground)
    laid = lay_out(frame.design, ground_under(frame, driving))
    return replace(laid, survey=Survey(levels=ground.levels)), driving


def on_drawn_ground(frame: Frame, ground: dict) -> Frame:
    """``frame`` on the ground that ``whole_designs.grounds`` drew, through its lists.

    Raises
    ------
    DesignError, DesignFaults
        If what the design asks for its boards cannot be on that ground.
    """
    sockets = [p for p in set_out(frame).points if p.kind.value == "socket"]
    wide, long = (max(getattr(p, name) for p in sockets) - min(getattr(p, name) for p in sockets)
                  for name in ("x_mm", "y_mm"))  # fmt: skip
    left, front = (min(getattr(p, name) for p in sockets) for name in ("x_mm", "y_mm"))

    def height(u: float, v: float) -> float:
        bend = ground["saddle_mm"] * ((2 * u - 1) ** 2 - (2 * v - 1) ** 2)
        return ground["across"] / 100 * u * wide + ground["along"] / 100 * v * long + bend

    shares = (-0.2, 0.25, 0.5, 0.75, 1.2)
    rows = [f",{left + u * wide:.1f},{front + v * long:.1f},{height(u, v):.1f},"
            for u in shares for v in shares]  # fmt: skip
    text = "\n".join(["point,x mm,y mm,z mm,rock", *rows])
    lists = {"levels": GivenList(name="levels.csv", text=text + "\n")}
    if ground["driven_off_mm"] is not None:
        off = ground["driven_off_mm"]
        lines = [f"{n},{wide + off * (n % 2):.1f},{y - front:.1f},{y - front:.1f},0,{off:.1f}"
                 for n, y in enumerate(sorted({p.y_mm for p in sockets}), start=1)]  # fmt: skip
        head = "hoop,width mm,left mm,right mm,left_height mm,right_height mm"
        lists["built"] = GivenList(name="built.csv", text="\n".join([head, *lines]) + "\n")
    return surveyed(frame, lists)


def driven_on(frame: Frame, height: Callable, *, steps: int = 9) -> DrivingPlan:
    """How ``frame`` is driven on the ground ``height(x, y)``."""
    return plan_driving(frame, set_out(frame), ground_of(frame, height, steps=steps))
