"""Boundary and services of the plot on the map, for GeoJSON and KML."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from frame3d.geometry.plane import Point, area
from frame3d.site.plot.plot import has_plot, plot_of
from frame3d.site.staking.mapped import Mapped, places_on_map
from frame3d.site.survey import Site

NOT_PROVEN = "as drawn; no proof of where it lies"


class MappedShape(Struct, frozen=True, kw_only=True):
    """A line, or where it is ``closed`` a ring that ends where it began, anticlockwise.

    ``kind`` is ``boundary`` or ``service``.
    """

    kind: str
    name: str
    what: str
    places: tuple[Mapped, ...]
    closed: bool


def mapped_shapes(site: Site) -> tuple[MappedShape, ...]:
    """The boundary, where it is closed, and every service; none without a place on the map."""
    if site.origin is None or not has_plot(site.frame):
        return ()
    return tuple(_shapes(site))


def _shapes(site: Site) -> Iterator[MappedShape]:
    plot = plot_of(site.frame)
    if plot.corners:
        ring = plot.corners if area(plot.corners) > 0.0 else plot.corners[::-1]
        yield MappedShape(kind="boundary", name="boundary", what="as the owner measured it",
                          places=_mapped(site, (*ring, ring[0])), closed=True)  # fmt: skip
    for run in plot.runs:
        service = run.service
        what = f"{service.kind.value}, {service.laid.value}, {NOT_PROVEN}"
        yield MappedShape(kind="service", name=service.name, what=what,
                          places=_mapped(site, run.points), closed=False)  # fmt: skip


def _mapped(site: Site, points: tuple[Point, ...]) -> tuple[Mapped, ...]:
    axes, origin = site.setting_out.axes, site.origin
    if origin is None:
        return ()
    places = [(x - axes.x_mm, y - axes.y_mm) for x, y in points]
    return places_on_map(places, site.frame.design.staking, origin)
