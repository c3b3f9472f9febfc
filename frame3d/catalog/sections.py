"""The sections and fasteners that a frame is made of, as plain values.

Glossary
--------
section : the shape of a tube or a board across its length.
flats : the distance across the flats of a hexagon head or nut.
grip : the total thickness that a bolt holds together, washers included.
"""

from __future__ import annotations

import enum
import math

from msgspec import Struct

STEEL_KG_PER_MM3 = 7850e-9
"""Density of carbon steel, 7850 kg/m³ (EN 1991-1-1, table A.4: 77.0 to 78.5 kN/m³)."""


class TubeSection(Struct, frozen=True, kw_only=True):
    """A round tube.

    Parameters
    ----------
    name : str
        As it is ordered, for example ``NPS 1-1/2 STD``.
    od_mm, wall_mm : float
        Outside diameter and wall thickness, mm; ``0 < wall_mm < od_mm / 2``.
    """

    name: str
    od_mm: float
    wall_mm: float

    @property
    def inside_mm(self) -> float:
        """Inside diameter, mm."""
        return self.od_mm - 2 * self.wall_mm

    @property
    def area_mm2(self) -> float:
        """Area of the steel in the cross section, mm²."""
        return math.pi * (self.od_mm - self.wall_mm) * self.wall_mm

    @property
    def mass_kg_per_m(self) -> float:
        """Mass of one metre of the straight tube, kg/m."""
        return self.area_mm2 * STEEL_KG_PER_MM3 * 1000


class TimberSection(Struct, frozen=True, kw_only=True):
    """A sawn board, set on edge.

    Parameters
    ----------
    name : str
        As it is ordered, for example ``2x8``.
    thickness_mm, depth_mm : float
        The smaller and the larger actual size, mm.
    density_kg_per_m3 : float
        Density with which masses are worked out.
    """

    name: str
    thickness_mm: float
    depth_mm: float
    density_kg_per_m3: float = 560.0

    @property
    def area_mm2(self) -> float:
        """Area of the cross section, mm²."""
        return self.thickness_mm * self.depth_mm


class ChannelSection(Struct, frozen=True, kw_only=True):
    """A channel of sheet steel: a face with two lips, which stand out square.

    Parameters
    ----------
    name : str
    width_mm, depth_mm, thickness_mm : float
        Of the face, of the lips with the face, and of the metal.
    """

    name: str
    width_mm: float
    depth_mm: float
    thickness_mm: float

    @property
    def area_mm2(self) -> float:
        """Area of the metal in the cross section, mm²."""
        return self.thickness_mm * (self.width_mm + 2 * (self.depth_mm - self.thickness_mm))

    @property
    def mass_kg_per_m(self) -> float:
        """Mass of one metre, kg/m."""
        return self.area_mm2 * STEEL_KG_PER_MM3 * 1000


class FlatBarSection(Struct, frozen=True, kw_only=True):
    """A flat bar of steel, sold in lengths.

    Parameters
    ----------
    name : str
    width_mm, thickness_mm : float
    """

    name: str
    width_mm: float
    thickness_mm: float

    @property
    def area_mm2(self) -> float:
        """Area of the cross section, mm²."""
        return self.width_mm * self.thickness_mm

    @property
    def mass_kg_per_m(self) -> float:
        """Mass of one metre, kg/m."""
        return self.area_mm2 * STEEL_KG_PER_MM3 * 1000


class Head(enum.Enum):
    """The head of a bolt."""

    HEX = "hex"
    CARRIAGE = "carriage"


class BoltSize(Struct, frozen=True, kw_only=True):
    """A bolt by its thread, with the lengths that are stocked.

    Parameters
    ----------
    name : str
        Thread, for example ``3/8-16`` or ``M10``.
    head : Head
    diameter_mm, pitch_mm : float
        Nominal diameter and thread pitch, mm.
    flats_mm : float
        Across the flats of a hex head; across the head of a carriage bolt, mm.
    head_height_mm : float
    thread_mm : float
        Length of thread on bolts up to 150 mm (6 in) long, mm.
    hole_mm : float
        Clearance hole of the normal series, mm.
    lengths_mm : tuple of float
        Stocked lengths under the head, rising, mm.
    """

    name: str
    head: Head
    diameter_mm: float
    pitch_mm: float
    flats_mm: float
    head_height_mm: float
    thread_mm: float
    hole_mm: float
    lengths_mm: tuple[float, ...]


class NutSize(Struct, frozen=True, kw_only=True):
    """A hexagon nut: thread name, thread diameter, flats and height, mm."""

    name: str
    diameter_mm: float
    flats_mm: float
    height_mm: float


class WasherSize(Struct, frozen=True, kw_only=True):
    """A plain washer: size name, inside and outside diameter and thickness, mm."""

    name: str
    inside_mm: float
    outside_mm: float
    thickness_mm: float


class ScrewSize(Struct, frozen=True, kw_only=True):
    """A self-drilling screw with a hexagon washer head.

    Parameters
    ----------
    name : str
        Thread, for example ``ST5.5`` or ``#12-14``.
    diameter_mm : float
        Outside diameter of the thread, mm.
    flats_mm, flange_mm, head_height_mm : float
        Across the flats, across the flange, and height of the head, mm.
    thinnest_mm, thickest_mm : float
        Total thickness of steel that the point can drill, mm.
    lengths_mm : tuple of float
        Stocked lengths under the head, rising, mm.
    """

    name: str
    diameter_mm: float
    flats_mm: float
    flange_mm: float
    head_height_mm: float
    thinnest_mm: float
    thickest_mm: float
    lengths_mm: tuple[float, ...]


class LagScrewSize(Struct, frozen=True, kw_only=True):
    """A lag screw with a hexagon head, for timber.

    Parameters
    ----------
    name : str
        Nominal diameter, for example ``1/4`` or ``6 mm``.
    diameter_mm : float
    flats_mm, head_height_mm : float
        Across the flats and height of the head, mm.
    lengths_mm : tuple of float
        Stocked lengths under the head, rising, mm.
    """

    name: str
    diameter_mm: float
    flats_mm: float
    head_height_mm: float
    lengths_mm: tuple[float, ...]
