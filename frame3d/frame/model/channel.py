"""Channel that film is held in: a face that lies on the frame and two lips, straight or bent.

Glossary
--------
mitre : the angle off square of an end, so that two pieces meet at a corner.
"""

from __future__ import annotations

import math
from typing import ClassVar

from frame3d.catalog.sections import ChannelSection
from frame3d.frame.model.bodies import Body, ExtrudedOutline
from frame3d.frame.model.parts import Material, Part, Say
from frame3d.frame.model.snapping import put, snap_mm, snap_path, snap_rad
from frame3d.geometry.paths import Arc, PlanePath, Station

_SAGITTA_MM = 1.0
"""How far a chord of a bent piece may lie off its arc."""
Point = tuple[float, float]


class Channel(Part, frozen=True, kw_only=True):
    """A piece of channel, cut from stock, its ends square or mitred.

    Own axes: x along the face on the frame, from its start. A straight piece has its width along
    y, with the middle at 0, and stands out along +z. A bent one bends in the plane z = 0 toward
    +y, stands out along -y, and has its width along z. It is drawn in chords within 1 mm;
    its lengths are those of the arcs.

    Parameters
    ----------
    section : ChannelSection
    axis : PlanePath
        Along the face, as long as its shorter edge there.
    start_rad, end_rad : float
        Mitres. Of a straight piece, above 0 the end is longer toward +y, below 0 toward -y; of a
        bent one it is longer at the lips.
    """

    material: ClassVar[Material] = Material.SHEET
    section: ChannelSection
    axis: PlanePath
    start_rad: float = 0.0
    end_rad: float = 0.0

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, axis=snap_path(self.axis), start_rad=snap_rad(self.start_rad))
        put(self, end_rad=snap_rad(self.end_rad))

    @property
    def length_mm(self) -> float:
        """Along its face on the frame, at the shorter edge, mm."""
        return self.axis.length_mm

    @property
    def over_all_mm(self) -> float:
        """Between the longest points of its ends: so much channel it takes, mm."""
        wide = self.section.width_mm if self.axis.is_straight else self.section.depth_mm
        slants = (math.tan(abs(angle)) for angle in (self.start_rad, self.end_rad))
        return self.length_mm + wide * math.fsum(slants)

    @property
    def section_name(self) -> str:
        """That of its section."""
        return self.section.name

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Face and two lips."""
        thick, deep = self.section.thickness_mm, self.section.depth_mm
        half = self.section.width_mm / 2
        strips = ((-half, half), (-half, thick - half), (half - thick, half))
        rises = ((0.0, thick), (thick, deep), (thick, deep))
        outline = self._straight if self.axis.is_straight else self._bent
        return tuple(outline(*strip, *rise) for strip, rise in zip(strips, rises, strict=True))

    def _straight(self, low: float, high: float, bottom: float, top: float) -> Body:
        """What lies between two places across its width, and so far out."""
        half, long = self.section.width_mm / 2, self.length_mm

        def past(angle: float, y: float) -> float:
            return (y + math.copysign(half, angle)) * math.tan(angle)

        corners = (
            (-past(self.start_rad, low), low),
            (long + past(self.end_rad, low), low),
            (long + past(self.end_rad, high), high),
            (-past(self.start_rad, high), high),
        )
        outline = tuple((snap_mm(x), snap_mm(y)) for x, y in corners)
        return ExtrudedOutline(outline=outline, low_mm=bottom, high_mm=top)

    def _bent(self, low: float, high: float, inner: float, outer: float) -> Body:
        stations = self._stations()
        beyond = [self._edge(stations, out) for out in (outer, inner)]
        outline = tuple((snap_mm(x), snap_mm(y)) for x, y in (*beyond[0], *reversed(beyond[1])))
        return ExtrudedOutline(outline=outline, low_mm=low, high_mm=high)

    def _stations(self) -> list[Station]:
        """Along the face: ends of segments, and chords of the arcs."""
        found = [self.axis.at(0.0)]
        for (along, _), segment in zip(self.axis.starts, self.axis.segments, strict=True):
            count = 1
            if isinstance(segment, Arc):
                step = 2 * math.acos(max(0.0, 1.0 - _SAGITTA_MM / segment.radius_mm))
                count = max(1, math.ceil(abs(segment.angle_rad) / step))
            found += [
                self.axis.at(along + segment.length_mm * k / count) for k in range(1, count + 1)
            ]
        return found

    def _edge(self, stations: list[Station], out_mm: float) -> list[Point]:
        """The face's line moved out, and on to the mitres at its ends."""
        last = len(stations) - 1
        past = {0: -math.tan(self.start_rad), last: math.tan(self.end_rad)}
        return [
            (
                at.x_mm - out_mm * (at.normal[0] - past.get(number, 0.0) * at.tangent[0]),
                at.y_mm - out_mm * (at.normal[1] - past.get(number, 0.0) * at.tangent[1]),
            )
            for number, at in enumerate(stations)
        ]

    def words(self, say: Say) -> str:
        """Section, straight or bent, and mitred ends."""
        mitres = sum(1 for angle in (self.start_rad, self.end_rad) if angle)
        ends = ("", ", one end mitred", ", both ends mitred")[mitres]
        bent = "straight" if self.axis.is_straight else "bent to the hoop"
        return f"{self.section.name}, {bent}{ends}"
