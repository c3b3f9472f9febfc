"""The ground under a frame as its pictures draw it: a grid of heights, and the sockets on it."""

from __future__ import annotations

import numpy as np

from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import DrivingPlan, exposure_of
from frame3d.site.survey import Site, site_of
from frame3d.units.data_tables import Json

STATES = {
    "clear": {"light": "#0072b2", "dark": "#56b4e9", "text": "socket, clear of the ground"},
    "dig": {"light": "#e69f00", "dark": "#e69f00", "text": "ground to dig at a socket"},
    "fill": {"light": "#1c1c1c", "dark": "#ffffff", "text": "ground to fill at a socket"},
}
"""What each socket asks for, with its colours on light and on dark grounds: apart for the
colour-blind, as they differ in how light they are too."""
_BEYOND_MM = 1500.0
"""How far past the corner sockets the ground is drawn."""
_ACROSS, _ALONG = 13, 25
"""Places of the grid by which it is drawn."""


def ground_scene(frame: Frame) -> dict[str, Json] | None:
    """The ground in the axes of the frame, lengths in mm; None where no levels were taken.

    ``surface`` has heights above what the frame is drawn on, which lies under the string and along
    it, and ``wanted`` is how far the string lies above that. ``limits`` are the least and the
    most that may stand out of the ground, ``out`` what does at each socket, upright; ``ground``
    and ``top`` are heights of the levels.
    """
    site, (exposure, _) = site_of(frame), exposure_of(frame)
    if site.driving is None:
        return None
    hoops = frame.grid.hoop_y_mm
    return {
        "surface": _surface(site, site.driving),
        "wanted": round(exposure.wanted_mm, 3),
        "states": STATES,
        "limits": [round(exposure.least_mm, 3), round(exposure.most_mm, 3)],
        "sockets": [
            {
                "name": one.place.name, "side": one.place.side.value,
                "x": round(one.place.ground_x_mm, 2), "y": round(hoops[one.place.hoop - 1], 2),
                "ground": round(one.ground_mm, 2), "top": round(one.top_mm, 2),
                "out": round(one.top_mm - one.ground_mm, 2),
            }
            for one in site.sockets
        ],
    }  # fmt: skip


def _surface(site: Site, driving: DrivingPlan) -> dict[str, Json]:
    axes, grid = site.setting_out.axes, site.frame.grid
    xs = np.linspace(-grid.socket_x_mm - _BEYOND_MM, grid.socket_x_mm + _BEYOND_MM, _ACROSS)
    ys = np.linspace(-_BEYOND_MM, grid.length_mm + _BEYOND_MM, _ALONG)
    # A tape along the string brings far places nearer, seen from above.
    level = np.cos(np.arctan(driving.slope_percent / 100))
    places = np.array([(x - axes.x_mm, (y - axes.y_mm) * level) for y in ys for x in xs])
    heights, _ = driving.ground.at(places)
    start = driving.string.start_mm - driving.exposure.wanted_mm
    over = heights - start - driving.rise_toward_last * places[:, 1]
    return {
        "xs": [round(float(x), 1) for x in xs], "ys": [round(float(y), 1) for y in ys],
        "zs": [round(float(z), 2) for z in over],
    }  # fmt: skip
