"""Frames to stake out, and ground made by a formula."""

from __future__ import annotations

import functools
from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import Level, Survey
from frame3d.site.driving.driving_plan import DrivingPlan, plan_driving
from frame3d.site.driving.under import ground_under
from frame3d.site.ground.surface import Ground, ground_through
from frame3d.site.staking.setting_out import set_out


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


def driven_on(frame: Frame, height: Callable, *, steps: int = 9) -> DrivingPlan:
    """How ``frame`` is driven on the ground ``height(x, y)``."""
    return plan_driving(frame, set_out(frame), ground_of(frame, height, steps=steps))
