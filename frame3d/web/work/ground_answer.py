"""The ground for the page: what holds, and each socket on it, to be drawn and dragged there."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import Driven, exposure_of
from frame3d.site.survey import site_of
from frame3d.site.write.ground_words import ground_figure, ground_record
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Json

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
    }
