"""The points to stake out and the plot as KML, for whoever looks at a map or a globe.

Without heights, as in GeoJSON: everything lies on the ground that the map has.

References
----------
OGC 12-007r2, OGC KML 2.3, 2015: clause 6 (elements and their order in a feature), 9 (features),
10 (geometry: longitude, then latitude, in WGS 84; rings closed and anticlockwise).
"""

from __future__ import annotations

from xml.etree import ElementTree

from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.revisions.words import with_revision
from frame3d.site.staking.mapped import Mapped
from frame3d.site.staking.setting_out import PlaceKind, StakedPoint
from frame3d.site.staking.socket_names import corner_names
from frame3d.site.survey import SITE_CAUTIONS, Site
from frame3d.site.write.mapped_plot import mapped_shapes

_SPACE = "http://www.opengis.net/kml/2.2"
"""That of KML 2.3 too."""
_DEGREES = 9
"""Decimals of a degree: a tenth of a millimetre."""
_COLOURS = {
    PlaceKind.SOCKET: "ff2030c0", PlaceKind.STAKE: "ff20a0e0", PlaceKind.BASELINE: "ffc08020",
    PlaceKind.SQUARE: "ff40a040",
}  # fmt: skip
"""Of points: opacity, blue, green and red, two digits each."""
_AREAS = {
    "plot": ("ff2030c0", "402030c0"), "boundary": ("ffc040c0", "00c040c0"),
    "service": ("ffc0c020", "00c0c020"),
}  # fmt: skip
"""Of lines and areas by their styles."""


def kml_text(site: Site) -> str:
    """The text of ``site-stakes.kml``: the plot, then the points in a folder for each kind."""
    project, origin = site.frame.design.project, present(site.origin, "place on the map")
    root = ElementTree.Element("kml", xmlns=_SPACE)
    whole = _add(root, "Document")
    _add(whole, "name", f"{project.name}, {with_revision(site.frame, project.number)}")
    _add(whole, "description", "\n".join((f"From {origin.name} (EPSG:{origin.epsg}).",
                                          *SITE_CAUTIONS)))  # fmt: skip
    for kind, colour in _COLOURS.items():
        _add(_add(_add(whole, "Style", id=_style(kind)), "IconStyle"), "color", colour)
    used = {"plot", *(shape.kind for shape in mapped_shapes(site))}
    for name, (line, area) in _AREAS.items():
        if name not in used:
            continue
        style = _add(whole, "Style", id=name)
        _add(_add(style, "LineStyle"), "color", line)
        _add(_add(style, "PolyStyle"), "color", area)
    placed = list(zip(site.setting_out.points, site.mapped, strict=True))
    _plan(whole, site)
    _plot(whole, site, {point.name: place for point, place in placed})
    for kind in PlaceKind:
        folder = _add(whole, "Folder")
        _add(folder, "name", kind.value)
        for point, place in placed:
            if point.kind is kind:
                _point(folder, site, point, place)
    ElementTree.indent(root, " ")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(root, "unicode")}\n'


def _plan(whole: ElementTree.Element, site: Site) -> None:
    """The boundary, where it is closed, and the services."""
    for shape in mapped_shapes(site):
        mark = _add(whole, "Placemark")
        _add(mark, "name", shape.name)
        _add(mark, "description", shape.what)
        _add(mark, "styleUrl", f"#{shape.kind}")
        text = " ".join(map(_degrees, shape.places))
        if shape.closed:
            area = _add(_add(_add(mark, "Polygon"), "outerBoundaryIs"), "LinearRing")
            _add(area, "coordinates", text)
        else:
            _add(_add(mark, "LineString"), "coordinates", text)


def _plot(whole: ElementTree.Element, site: Site, places: dict[str, Mapped]) -> None:
    """The rectangle between the corner sockets."""
    form, out = lengths_of(site.frame), site.setting_out
    mark = _add(whole, "Placemark")
    _add(mark, "name", "plot")
    size = " by ".join(form.text(size, unit=True) for size in (out.width_mm, out.length_mm))
    _add(mark, "description", f"Between the centres of the corner sockets: {size}")
    _add(mark, "styleUrl", "#plot")
    front_left, front_right, back_left, back_right = corner_names(site.frame).values()
    ring = [places[name] for name in (front_left, front_right, back_right, back_left, front_left)]
    area = _add(_add(_add(mark, "Polygon"), "outerBoundaryIs"), "LinearRing")
    _add(area, "coordinates", " ".join(map(_degrees, ring)))


def _point(folder: ElementTree.Element, site: Site, point: StakedPoint, place: Mapped) -> None:
    form = lengths_of(site.frame)
    mark = _add(folder, "Placemark")
    _add(mark, "name", point.name)
    _add(mark, "styleUrl", f"#{_style(point.kind)}")
    data = _add(mark, "ExtendedData")
    told = {
        "what": point.kind.value, "mark": point.mark,
        "along": form.text(point.along_mm, unit=True),
        "off_baseline": form.text(point.offset_mm, unit=True),
        "east": f"{place.east:.4f}", "north": f"{place.north:.4f}",
    }  # fmt: skip
    for name, value in told.items():
        if value:
            _add(_add(data, "Data", name=name), "value", value)
    _add(_add(mark, "Point"), "coordinates", _degrees(place))


def _add(
    parent: ElementTree.Element, tag: str, text: str | None = None, **attributes: str
) -> ElementTree.Element:
    made = ElementTree.SubElement(parent, tag, attributes)
    made.text = text
    return made


def _style(kind: PlaceKind) -> str:
    return kind.value.replace(" ", "-")


def _degrees(place: Mapped) -> str:
    return f"{place.longitude:.{_DEGREES}f},{place.latitude:.{_DEGREES}f}"
