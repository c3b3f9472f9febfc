"""A plain picture of the frame as SVG: for where nothing can be turned, and for paper.

Tubes are their axes at their true width, boards and plates their outline; what lies farther
back is drawn first.
"""

from __future__ import annotations

import functools
import math

import numpy as np

from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Part, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.convex import hull
from frame3d.geometry.paths import Arc
from frame3d.solids.write.role_colours import DARK_GROUND, LIGHT_GROUND, colour_group
from frame3d.view.light_meshes import shape_of

_SIZE = (1200.0, 760.0)
_FROM = (-0.50, -0.80, 0.34)
_VIEW_ANGLE_RAD = math.radians(26.0)
_FILLED = 0.92
_TURN_RAD = 0.2
_THINNEST = 0.8


def frame_picture(frame: Frame, *, on_dark: bool = False) -> str:
    """The frame from its front left, from above, as an ``svg`` element for light or dark ground."""
    members = [m for m in frame.members if not m.part.is_bought]
    lines = [_placed(member) for member in members]
    everything = np.concatenate(lines)
    low, high = everything.min(axis=0), everything.max(axis=0)
    margin = 0.12 * (high[0] - low[0])
    ground = np.array([
        (x, y, 0.0)
        for x, y in (
            (low[0] - margin, low[1] - margin), (high[0] + margin, low[1] - margin),
            (high[0] + margin, high[1] + margin), (low[0] - margin, high[1] + margin),
        )
    ])  # fmt: skip
    eye = _Camera(np.vstack([everything, ground]))
    drawn = sorted(
        (
            _drawn(member, line, eye, on_dark)
            for member, line in zip(members, lines, strict=True)
            if member.role is not Role.SOCKET
        ),
        key=lambda found: -found[0],
    )
    sunk = [
        _drawn(member, line, eye, on_dark)[1]
        for member, line in zip(members, lines, strict=True)
        if member.role is Role.SOCKET
    ]
    width, height = _SIZE
    under = DARK_GROUND if on_dark else LIGHT_GROUND
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        'role="img" aria-label="The frame from the front left" stroke-linejoin="round" '
        'stroke-linecap="round" fill="none">'
        # What is in the ground shows through it a little.
        + "".join(sunk)
        + f'<path fill="{under}" fill-opacity="0.8" d="{_path(eye.seen(ground)[0])}z"/>'
        + "".join(text for _, text in drawn)
        + "</svg>"
    )


class _Camera:
    """Looks at points (n, 3) mm so that they all fit, and tells where on the paper they are."""

    def __init__(self, points: np.ndarray) -> None:
        toward = np.array(_FROM) / np.linalg.norm(_FROM)
        right = np.cross((0.0, 0.0, 1.0), toward)
        right /= np.linalg.norm(right)
        self._axes = np.stack([right, np.cross(toward, right), toward])
        x, y, z = self._axes @ points.T
        tangent = math.tan(_VIEW_ANGLE_RAD / 2)
        self._scale = _SIZE[1] / 2 / tangent
        places, distances = [], []
        for across, share in ((x, _SIZE[0] / _SIZE[1]), (y, 1.0)):
            # Two bounds on the place of the eye meet at the least distance.
            slope = tangent * share * _FILLED
            upper, lower = (across + z * slope).max(), (across - z * slope).min()
            places.append((upper + lower) / 2)
            distances.append((upper - lower) / (2 * slope))
        self._place = np.array((*places, max(distances)))

    def seen(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Points on the paper (n, 2), and how far each is from the eye, mm."""
        x, y, z = self._axes @ points.T - self._place[:, None]
        scale = self._scale / -z
        flat = np.stack([_SIZE[0] / 2 + x * scale, _SIZE[1] / 2 - y * scale], axis=1)
        return flat, -z

    def width(self, size_mm: float, distance_mm: float) -> float:
        """How wide something is on the paper."""
        return size_mm * self._scale / distance_mm


def _placed(member: Member) -> np.ndarray:
    place = member.placement
    turn = np.array((place.x, place.y, place.z))
    placed: np.ndarray = _points(member.part) @ turn + np.array(place.origin)
    return placed


@functools.lru_cache(maxsize=512)  # parts are values and never change
def _points(part: Part) -> np.ndarray:
    """A tube's axis as points, or the corners of a board or a plate; own axes, mm."""
    if not isinstance(part, Tube):
        return shape_of(part).corners.astype(float)
    stops = [0.0]
    for (start, _), segment in zip(part.axis.starts, part.axis.segments, strict=True):
        count = 1
        if isinstance(segment, Arc):
            count = max(2, math.ceil(abs(segment.angle_rad) / _TURN_RAD))
        stops += [start + segment.length_mm * k / count for k in range(1, count + 1)]
    stations = [part.axis.at(stop) for stop in stops]
    return np.array([(s.x_mm, s.y_mm, 0.0) for s in stations])


def _drawn(member: Member, points: np.ndarray, eye: _Camera, on_dark: bool) -> tuple[float, str]:
    """How far off a member is, and its line or outline."""
    flat, distance = eye.seen(points)
    middle = float(distance.mean())
    group = colour_group(member.role)
    colour = group.dark if on_dark else group.light
    if isinstance(member.part, Tube):
        width = max(_THINNEST, eye.width(member.part.section.od_mm, middle))
        return middle, f'<path stroke="{colour}" stroke-width="{width:.1f}" d="{_path(flat)}"/>'
    outline = np.array(hull(map(tuple, flat.tolist())))
    return middle, (
        f'<path fill="{colour}" stroke="{colour}" stroke-width="{_THINNEST}" '
        f'd="{_path(outline)}z"/>'
    )


def _path(points: np.ndarray) -> str:
    """The data of a path through points, in tenths."""
    tenths = np.rint(points * 10).astype(int)
    return "M" + "L".join(f"{x / 10:g} {y / 10:g}" for x, y in tenths.tolist())
