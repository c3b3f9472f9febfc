"""The ground for the page: what holds, and each socket on it, to be drawn and dragged there."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import Driven
from frame3d.site.earthwork.volumes import pieces_over
from frame3d.site.survey import Site, site_of
from frame3d.site.write.ground_words import ground_figure, ground_record
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Json
from frame3d.view.ground_scene import ground_scene
from frame3d.view.plot_scene import plot_scene

_MOST_PIECES = 4000
"""More of them are no longer summed on the page while a string is dragged."""


def ground_answer(frame: Frame) -> dict[str, Json]:
    """What the page says of the ground of ``frame``; lengths in millimetres and as texts.

    ``scene`` and ``plot`` are what its pictures draw, ``marks`` are rows of a table, and ``earth``
    flat pieces of the ground for cut and fill: area in m², then heights over the plane to the
    string, mm.
    """
    site, form = site_of(frame), lengths_of(frame)

    def row(one: Driven) -> Json:
        lengths = (one.mark_mm, one.hole_mm, one.dig_mm or None, one.fill_mm or None)
        return [one.place.name,
                *("" if one is None else form.text(one, unit=True) for one in lengths)]  # fmt: skip

    return {
        **ground_record(site),
        "figure": ground_figure(frame)[1],
        "inches": form.system is UnitSystem.IMPERIAL,
        "marks": [row(one) for one in site.sockets] if site.driving is not None else [],
        "scene": ground_scene(frame),
        "earth": _earth(site),
        "plot": plot_scene(frame),
    }


def _earth(site: Site) -> list[Json]:
    if site.driving is None:
        return []
    areas, off = pieces_over(site.frame, site.driving)
    if len(areas) > _MOST_PIECES:
        return []
    return [[round(float(area) / 1e6, 6), *(round(float(z), 2) for z in corners)]
            for area, corners in zip(areas, off, strict=True)]  # fmt: skip
