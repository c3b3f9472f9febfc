"""The unit loads of a frame: one for each shape that its design names.

A unit is 1 kN/m²: of snow on the ground, of the wind's pressure, of crop on the floor. It is no
load that anybody has to expect.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from msgspec import Struct

from frame3d.design.tables.loads import CropHangs, Loads, LoadShape, OpenSides
from frame3d.loads.model.space_frame import SpaceFrame
from frame3d.loads.shapes import coefficients as of
from frame3d.loads.shapes.covered import Covered, covered_bars, ties_by_hoop
from frame3d.loads.solver.structure import Array, Load

KN_PER_M2 = 1e-3
"""1 kN/m² in N/mm²."""

SOURCES = {
    LoadShape.SNOW_EVEN: "EN 1991-1-3, 5.3.5, case (i): 0.8 on plan where the arch is not steeper "
    "than 60°",
    LoadShape.SNOW_HALF: "0.8 on plan on the left half only; common practice, no source",
    LoadShape.SNOW_DRIFT: "EN 1991-1-3, 5.3.5, case (ii): a triangle on each half, 0.2 + 10 h/b "
    "and at most 2 on the right, half of it on the left",
    LoadShape.WIND_ACROSS: "from the left; EN 1991-1-4, figure 7.11 for vaults (data that are "
    "doubted) and table 7.1 for walls; inside by 7.2.9",
    LoadShape.WIND_ALONG: "onto the front; EN 1991-1-4, table 7.1, for the ends and, in want of a "
    "figure for vaults, for sides and roof; inside by 7.2.9",
    LoadShape.CROP: "the floor's area shared out among the ties; common practice, no source",
}
UNITS = {
    LoadShape.SNOW_EVEN: "1 kN/m² of snow on the ground",
    LoadShape.SNOW_HALF: "1 kN/m² of snow on the ground",
    LoadShape.SNOW_DRIFT: "1 kN/m² of snow on the ground",
    LoadShape.WIND_ACROSS: "1 kN/m² of wind pressure",
    LoadShape.WIND_ALONG: "1 kN/m² of wind pressure",
    LoadShape.CROP: "1 kN/m² of floor",
}
_WITH = ("air pressing outward inside", "air drawing inward inside")


class UnitLoad(Struct, frozen=True, kw_only=True):
    """A load of stated shape and of a size of one.

    Parameters
    ----------
    shape : LoadShape
    inside : str
        Of wind, what the air inside does; empty of others.
    load : Load
    """

    shape: LoadShape
    inside: str
    load: Load

    @property
    def name(self) -> str:
        """What lists call it."""
        return f"{self.shape.value}, {self.inside}" if self.inside else self.shape.value


def unit_loads(space: SpaceFrame, given: Loads) -> tuple[UnitLoad, ...]:
    """The unit loads of ``space`` by the shapes that ``given`` names; of wind two each.

    A crop that hangs from ties is left out of a frame that has none.
    """
    covered = covered_bars(space)
    made: list[UnitLoad] = []
    for shape in given.shapes:
        if shape in _SNOW:
            made.append(UnitLoad(shape=shape, inside="", load=_snow(covered, shape)))
        elif shape is LoadShape.CROP:
            if given.crop is CropHangs.TIES and (load := _crop(space)) is not None:
                made.append(UnitLoad(shape=shape, inside="", load=load))
        else:
            wind = _across if shape is LoadShape.WIND_ACROSS else _along
            made += [
                UnitLoad(shape=shape, inside=words, load=load)
                for words, load in zip(
                    _WITH, wind(covered, given.open_sides is OpenSides.OPEN), strict=True
                )
            ]
    return tuple(made)


_SNOW = (LoadShape.SNOW_EVEN, LoadShape.SNOW_HALF, LoadShape.SNOW_DRIFT)


def snow_coefficients(covered: Covered, shape: LoadShape) -> Array:
    """Of each covered bar, (c,) float."""
    x, steep = covered.points[:, :, 0], covered.steep_x_mm
    lies = np.abs(x) <= steep
    if shape is not LoadShape.SNOW_DRIFT:
        lies = lies & (x < 0) if shape is LoadShape.SNOW_HALF else lies
        even: Array = np.where(lies, of.EVEN_SNOW, 0.0).mean(axis=1)
        return even
    arch = covered.arch
    springing = 2 * abs(arch.point_at(arch.springing_distance_mm).x_mm)
    most = of.drift_coefficient(arch.ridge_height_mm - arch.leg_height_mm, springing)
    peak = 1 - np.abs(2 * np.abs(x) / steep - 1)
    drifted: Array = np.where(lies, peak * most * np.where(x < 0, 0.5, 1.0), 0.0).mean(axis=1)
    return drifted


def _snow(covered: Covered, shape: LoadShape) -> Load:
    load = _none(covered.space)
    on_plan = covered.across_mm / covered.lengths * covered.width_mm
    load.along_bars[covered.bars, 2] = -KN_PER_M2 * snow_coefficients(covered, shape) * on_plan
    return load


def _none(space: SpaceFrame) -> Load:
    return Load(
        at_nodes=np.zeros((len(space.mesh.nodes), 6)),
        along_bars=np.zeros((space.bars, 3)),
    )


def outside_across(covered: Covered) -> tuple[Array, float, float]:
    """Outside pressure of wind from the left, (c, 8), and that on the two walls."""
    arch = covered.arch
    depth = 2 * abs(arch.point_at(arch.springing_distance_mm).x_mm)
    rise = arch.ridge_height_mm - arch.leg_height_mm
    first, middle, last = of.vault_coefficients(rise / depth, arch.leg_height_mm / depth)
    windward, leeward = of.wall_coefficients(arch.ridge_height_mm / arch.width_mm)
    share = covered.share
    roof = np.where(share < 0.25, first, np.where(share > 0.75, last, middle))
    walls = np.where(covered.points[:, :, 0] < 0, windward, leeward)
    return np.where(covered.is_wall, walls, roof), windward, leeward


def _across(covered: Covered, sides_open: bool) -> list[Load]:
    outside, windward, leeward = outside_across(covered)
    return [
        _pressed(covered, outside, inside, sides_open)
        for inside in of.inside_coefficients(sides_open, windward, leeward)
    ]


def _pressed(covered: Covered, outside: Array, inside: float, sides_open: bool) -> Load:
    """Pressure square to the cover; none where open sides have no cover."""
    load = _none(covered.space)
    net = outside - inside
    if sides_open:
        net = np.where(_is_open(covered), 0.0, net)
    force = -KN_PER_M2 * (net.mean(axis=1) * covered.width_mm)[:, None] * covered.outward
    load.along_bars[covered.bars] = force
    return load


def _is_open(covered: Covered) -> Array:
    """Which points lie below the hip of an open side, or on a leg where there is none."""
    opening = covered.space.frame.design.side_opening
    top = covered.arch.leg_height_mm if opening is None else opening.height
    below: Array = covered.points[:, :, 2] < top
    return below


def _along(covered: Covered, sides_open: bool) -> list[Load]:
    space, arch = covered.space, covered.arch
    grid = space.frame.grid.hoop_y_mm
    edge = min(arch.width_mm, 2 * arch.ridge_height_mm)
    along = [of.side_coefficient(float(y) / edge) for y in covered.middle[:, 1]]
    outside = np.array(along)[:, None] * np.ones(covered.points.shape[1])
    windward, leeward = of.wall_coefficients(arch.ridge_height_mm / max(grid[-1], 1.0))
    made = []
    for inside in of.inside_coefficients(sides_open, windward, leeward):
        load = _pressed(covered, outside, inside, sides_open)
        # An end wall spans from the ground to the hoop, which takes half of it.
        half = covered.across_mm / covered.lengths * covered.middle[:, 2] / 2
        for hoop, net in ((1, windward - inside), (len(grid), inside - leeward)):
            here = covered.hoop == hoop
            load.along_bars[covered.bars[here], 1] += KN_PER_M2 * net * half[here]
        made.append(load)
    return made


def _crop(space: SpaceFrame) -> Load | None:
    """The floor shared out: each tie takes half of the way to the next, the end ones to the end."""
    ties = ties_by_hoop(space)
    if not ties:
        return None
    grid, width = space.frame.grid.hoop_y_mm, space.frame.arch.width_mm
    places = [grid[hoop - 1] for hoop in sorted(ties)]
    middles = [(a + b) / 2 for a, b in itertools.pairwise(places)]
    edges = [0.0, *middles, grid[-1]]
    load, nodes, pieces = _none(space), space.mesh.nodes, space.mesh.pieces
    for number, hoop in enumerate(sorted(ties)):
        whole = KN_PER_M2 * width * (edges[number + 1] - edges[number])
        bars = ties[hoop]
        lengths = [math.dist(nodes[pieces[k].start], nodes[pieces[k].end]) for k in bars]
        load.along_bars[bars, 2] = -whole / math.fsum(lengths)
    return load
