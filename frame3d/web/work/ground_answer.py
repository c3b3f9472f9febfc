"""The ground for the page: what holds, and each socket on it, to be drawn and dragged there."""

from __future__ import annotations

import numpy as np

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import Driven, DrivingPlan, exposure_of
from frame3d.site.survey import Site, site_of
from frame3d.site.write.ground_words import ground_figure, ground_record
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Json

_BEYOND_MM = 1500.0
"""How far past the corner sockets the ground is drawn."""
_ACROSS, _ALONG = 13, 25
"""Places of the grid by which it is drawn."""

__all__ = ["ground_answer"]


def ground_answer(frame: Frame) -> dict[str, Json]:
    """What the page says of the ground of ``frame``; lengths in millimetres and as texts.

    ``limits`` are the least and the most that may stand out of the ground, upright.
    """
    site, (exposure, _) = site_of(frame), exposure_of(frame)
    form = lengths_of(frame)

    def row(one: Driven) -> Json:
        return {
            "name": one.place.name, "side": one.place.side.value, "y": round(one.place.y_mm, 2),
            "ground": round(one.ground_mm, 2), "top": round(one.top_mm, 2),
            "mark": form.text(one.mark_mm, unit=True),
            "hole": form.text(one.hole_mm, unit=True),
            "dig": form.text(one.dig_mm, unit=True) if one.dig_mm else "",
            "fill": form.text(one.fill_mm, unit=True) if one.fill_mm else "",
        }  # fmt: skip

    sockets = [row(one) for one in site.sockets] if site.driving is not None else []
    return {
        **ground_record(site),
        "figure": ground_figure(frame)[1],
        "limits": [round(exposure.least_mm, 3), round(exposure.most_mm, 3)],
        "inches": form.system is UnitSystem.IMPERIAL,
        "sockets": sockets,
        "surface": None if site.driving is None else _surface(site, site.driving),
    }


def _surface(site: Site, driving: DrivingPlan) -> dict[str, Json]:
    """Heights of the ground over a grid, in the axes of the frame, mm.

    They are above what the frame is drawn on, which lies under the string and along it.
    """
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
