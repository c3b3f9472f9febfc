"""Figures that ``summary.json`` holds: sizes, counts, areas, masses."""

from __future__ import annotations

import functools

from frame3d.studies.figures.figure import Figure, FigureValue, Sources
from frame3d.studies.figures.records import value_in


def _at(path: str, sources: Sources) -> FigureValue:
    return value_in(sources.summary, path)


def _figure(name: str, words: str, unit: str, path: str) -> Figure:
    return Figure(name=name, words=words, unit=unit, of=functools.partial(_at, path))


def _kinds(sources: Sources) -> int:
    return len(sources.frame.parts())


FIGURES = (
    _figure("width_mm", "Width between socket centres", "mm",
            "profile.width.centres.mm"),
    _figure("clear_width_mm", "Width inside the hoops at the ground", "mm",
            "profile.width.clear_inside.mm"),
    _figure("ridge_height_mm", "Ridge height of the centreline",
            "mm",
            "profile.ridge_height.centres.mm"),
    _figure("clear_ridge_height_mm", "Clear height under the ridge, as made", "mm",
            "profile.ridge_height.clear.mm"),
    _figure("leg_height_mm", "Height of the legs", "mm", "profile.leg_height.mm"),
    _figure("length_mm", "Length between the centres of the end hoops", "mm",
            "layout.length_between_centres.mm"),
    _figure("bays", "Number of bays", "", "layout.bays"),
    _figure("spacing_mm", "Length of a bay", "mm", "layout.spacing.mm"),
    _figure("hoops", "Number of hoops", "", "layout.hoops"),
    _figure("sockets", "Number of sockets", "", "layout.sockets"),
    _figure("embedment_mm", "Length of a socket in the ground", "mm", "layout.embedment.mm"),
    _figure("tie_clear_mm", "Clear height under the first tie", "mm",
            "ties[1].clear_height_under.mm"),
    _figure("film_area_m2", "Film over the hoops", "m2", "cover.film_area.m2"),
    _figure("covered_ground_m2", "Ground that is covered", "m2", "cover.covered_ground.m2"),
    _figure("enclosed_volume_m3", "Volume under the cover", "m3",
            "cover.enclosed_volume.m3"),
    Figure(name="kinds_of_parts", words="Number of different parts", unit="", of=_kinds),
    _figure("mass_kg", "Mass of all parts, hardware included, without zinc", "kg",
            "total_mass_kg"),
)  # fmt: skip
"""Each with its place in the record."""
