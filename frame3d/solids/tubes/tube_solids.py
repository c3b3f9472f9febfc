"""Tubes as solids: a ring swept along the axis, tapered or pressed at the ends, and bored.

No solid is cut out of another. The edge of each hole is worked out on the surfaces that it lies
on, and every face is made from known surfaces and edges that it shares with its neighbours
(:mod:`frame3d.solids.tubes.skins`), since the kernel's own cutting gets bent tubes wrong where a
hole is near another or near a joint of the axis. Ends that are pressed flat are made in
:mod:`frame3d.solids.tubes.pressed_faces`.
"""

from __future__ import annotations

import numpy as np
from OCP.Geom import Geom_Plane
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from frame3d.frame.measure.measures import ProfileStretch, TubeStretch, stretches
from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.solids.kernel.brep import Edge, EdgeUse, face, solid, straight
from frame3d.solids.tubes.bore_edges import FULL, Opening, widest_gap
from frame3d.solids.tubes.circuits import BoredEdge
from frame3d.solids.tubes.pressed_faces import pressed_faces
from frame3d.solids.tubes.skins import Skin
from frame3d.solids.tubes.tube_limits import refuse
from frame3d.solids.tubes.tube_surfaces import QUARTER, surfaces_of

_BEGIN_RAD = 0.7
"""Where the edge of an opening begins that nothing crosses."""


def tube_shape(tube: SweptRing) -> TopoDS_Shape:
    """The shape of ``tube`` in its own axes, unchecked.

    Raises
    ------
    SolidError
        If its swages or flats cannot be drawn, or a hole does not lie on it or runs into
        another or into an end.
    """
    refuse(tube)
    flats = {
        k: s
        for k, s in ((0, stretches(tube)[0]), (-1, stretches(tube)[-1]))
        if s.kind is ProfileStretch.FLAT
    }
    holes = [hole for hole in tube.holes if not any(_in(hole, s) for s in flats.values())]
    openings = [Opening(tube, hole, more) for hole in holes for more in (0.0, np.pi)]
    fixed = {k: tuple(flat.clock_rad + n * QUARTER for n in range(4)) for k, flat in flats.items()}
    skins = [
        Skin(list(surfaces_of(tube, thinner)), openings, fixed)
        for thinner in (0.0, tube.section.wall_mm)
    ]
    begins = []
    for number in range(len(openings)):
        turns = [turn for skin in skins for turn in skin.turns(number)]
        begins.append(widest_gap(turns, _BEGIN_RAD))
        for skin in skins:
            skin.begin(number, begins[-1])
    outer, outer_edges = skins[0].faces(turned=False)
    inner, inner_edges = skins[1].faces(turned=True)
    for opening, *both in zip(openings, outer_edges, inner_edges, strict=True):
        outer.append(_bore(opening, *both))
    for end in (0, -1):
        if end not in flats:
            outer.append(_end(skins, end))
            continue
        pressed = [hole for hole in tube.holes if _in(hole, flats[end])]
        changing = stretches(tube)[1 if end == 0 else -2]
        rings = [skin.ring(end) for skin in skins]
        outside, bore = pressed_faces(
            tube.axis, changing, flats[end], tube.section.wall_mm, rings, pressed
        )
        outer += outside
        inner += bore
    # A bore that is shut at both ends, and into which no hole leads, is a void.
    return solid(outer, inner) if len(flats) == 2 and not holes else solid([*outer, *inner])


def _bore(opening: Opening, outer: list[BoredEdge], inner: list[BoredEdge]) -> TopoDS_Face:
    """The wall of one opening, between its edges on the two surfaces."""
    low, high = inner[0], outer[0]
    begin = low.edge.low
    heights = (low.curve.Value(begin).Y(), high.curve.Value(begin).Y())
    seam = Edge(opening.line(begin), *heights, low.edge.start, high.edge.start)
    sides = [
        straight(*heights, *(np.array((turn, height)) for height in heights))
        for turn in (begin, begin + FULL)
    ]
    circuit = [
        *(EdgeUse(edge=one.edge, forward=True, curve=one.curve) for one in inner),
        EdgeUse(edge=seam, forward=True, curve=sides[1]),
        *(EdgeUse(edge=one.edge, forward=False, curve=one.curve) for one in reversed(outer)),
        EdgeUse(edge=seam, forward=False, curve=sides[0]),
    ]
    return face(opening.kernel(), [circuit], turned=True)


def _end(skins: list[Skin], end: int) -> TopoDS_Face:
    """The plane ring that closes an end, its first (0) or its last (-1)."""
    outer, inner = (skin.ring(end) for skin in skins)
    circuits = [
        [EdgeUse(edge=edge, forward=True) for edge in outer],
        [EdgeUse(edge=edge, forward=False) for edge in reversed(inner)],
    ]
    plane = Geom_Plane(skins[0].rings[end].frame.axes())
    return face(plane, circuits, turned=end == 0)


def _in(hole: Hole, flat: TubeStretch) -> bool:
    return flat.start_mm <= hole.at_mm <= flat.end_mm
