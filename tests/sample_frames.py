"""Small frames put together by hand, for tests of what is made from a frame.

They are not designs: sizes are chosen so that every kind of part and every form
of tube occurs, and so that the sums can be done on paper.
"""

from __future__ import annotations

import math

from plain_design import PLAIN

from frame3d.catalog.sections import (
    BoltSize,
    Head,
    NutSize,
    TimberSection,
    TubeSection,
    WasherSize,
)
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import (
    Board,
    BoardHole,
    Bolt,
    ClampHalf,
    Hole,
    Nut,
    Part,
    Plate,
    Screw,
    Swage,
    Tube,
    Washer,
)
from frame3d.frame.model.roles import Grid, Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement

QUARTER = math.pi / 2
HOOP_TUBE = TubeSection(name="NPS 1-1/4 STD", od_mm=42.164, wall_mm=3.556)
SOCKET_TUBE = TubeSection(name="NPS 1-1/2 Sch 10", od_mm=48.26, wall_mm=2.7686)
RAIL_TUBE = TubeSection(name="NPS 1 STD", od_mm=33.401, wall_mm=3.3782)
SILL = TimberSection(name="2x8", thickness_mm=38.1, depth_mm=184.15)
HEX = BoltSize(
    name="3/8-16",
    head=Head.HEX,
    diameter_mm=9.525,
    pitch_mm=25.4 / 16,
    flats_mm=14.2875,
    head_height_mm=6.35,
    thread_mm=25.4,
    hole_mm=10.31875,
    lengths_mm=(63.5, 101.6),
)
CARRIAGE = BoltSize(
    name="5/16-18",
    head=Head.CARRIAGE,
    diameter_mm=7.9375,
    pitch_mm=25.4 / 18,
    flats_mm=18.0,
    head_height_mm=4.4,
    thread_mm=22.225,
    hole_mm=8.73125,
    lengths_mm=(50.8,),
)
NUT = NutSize(name="3/8-16", diameter_mm=9.525, flats_mm=14.2875, height_mm=8.334375)
WASHER = WasherSize(name="3/8", inside_mm=11.1125, outside_mm=25.4, thickness_mm=2.1)

SOCKET = Tube(
    section=SOCKET_TUBE,
    axis=PlanePath((Line(900.0),)),
    holes=(Hole(at_mm=700.0, diameter_mm=10.31875), Hole(at_mm=850.0, diameter_mm=10.31875)),
)
HOOP_PIECE = Tube(
    section=HOOP_TUBE,
    axis=PlanePath((Line(600.0), Arc(900.0, 1.0), Arc(3200.0, 0.45))),
    holes=(
        Hole(at_mm=80.0, diameter_mm=10.31875),
        Hole(at_mm=230.0, diameter_mm=10.31875),
        Hole(at_mm=1100.0, clock_rad=QUARTER, diameter_mm=8.73125),
        Hole(at_mm=2880.0, clock_rad=QUARTER, diameter_mm=8.73125),
    ),
    end=Swage(od_mm=34.5, length_mm=120.0, taper_mm=30.0),
)
RAIL_PIECE = Tube(
    section=RAIL_TUBE,
    axis=PlanePath((Line(2500.0),)),
    holes=(
        Hole(at_mm=60.0, diameter_mm=8.73125),
        Hole(at_mm=1200.0, diameter_mm=8.73125),
        Hole(at_mm=2440.0, diameter_mm=8.73125),
    ),
    end=Swage(od_mm=26.2, length_mm=100.0, taper_mm=20.0),
)
BRACE = Tube(section=RAIL_TUBE, axis=PlanePath((Line(2600.0),)))
SILL_BOARD = Board(
    section=SILL,
    length_mm=2438.4,
    holes=(
        BoardHole(along_mm=609.6, up_mm=60.0, diameter_mm=10.31875),
        BoardHole(along_mm=1828.8, up_mm=120.0, diameter_mm=10.31875),
    ),
)
RIDGE_PLATE = Plate(
    name="ridge plate",
    outline=((0.0, 0.0), (200.0, 0.0), (220.0, 90.0), (100.0, 130.0), (-20.0, 90.0)),
    thickness_mm=6.35,
    holes=((30.0, 40.0, 10.31875), (170.0, 40.0, 10.31875)),
)
HEX_BOLT = Bolt(size=HEX, length_mm=101.6)
CARRIAGE_BOLT = Bolt(size=CARRIAGE, length_mm=50.8)
HEX_NUT = Nut(size=NUT)
PLAIN_WASHER = Washer(size=WASHER)
TEK_SCREW = Screw(
    name="No. 12 x 25", diameter_mm=5.5, length_mm=25.0, flats_mm=7.94, head_height_mm=4.5
)
CLAMP = ClampHalf(
    tube_od_mm=42.164,
    band_mm=4.0,
    width_mm=36.0,
    boss_mm=6.0,
    boss_diameter_mm=32.0,
    ear_mm=24.0,
    gap_mm=8.0,
    bolt=CARRIAGE,
)

EVERY_PART: dict[str, tuple[Role, Part]] = {
    "S1": (Role.SOCKET, SOCKET),
    "H1": (Role.HOOP, HOOP_PIECE),
    "R1": (Role.RAIL, RAIL_PIECE),
    "D1": (Role.BRACE, BRACE),
    "B1": (Role.SILL_BOARD, SILL_BOARD),
    "J1": (Role.RIDGE_JOINT, RIDGE_PLATE),
    "X1": (Role.BOLT, HEX_BOLT),
    "X2": (Role.BOLT, CARRIAGE_BOLT),
    "N1": (Role.NUT, HEX_NUT),
    "W1": (Role.WASHER, PLAIN_WASHER),
    "F1": (Role.SCREW, TEK_SCREW),
    "C1": (Role.CLAMP, CLAMP),
}


def sample_frame(hoops: int = 3, spacing_mm: float = 1219.2) -> Frame:
    """A frame of a few hoops, with every part of :data:`EVERY_PART` in it."""
    half = 3000.0
    members: list[Member] = []

    def put(mark: str, placement: Placement, side: Side, hoop: int, order: int = 1) -> None:
        role, part = EVERY_PART[mark]
        spot = Spot(side=side, hoop=hoop, order=order)
        members.append(Member(mark=mark, role=role, part=part, placement=placement, spot=spot))

    for number in range(1, hoops + 1):
        y = (number - 1) * spacing_mm
        for side, sign in ((Side.LEFT, -1.0), (Side.RIGHT, 1.0)):
            inward = (-sign, 0.0, 0.0)
            up = Placement.of(origin=(sign * half, y, -600.0), x=(0, 0, 1), y=inward)
            leg = Placement.of(origin=(sign * half, y, 0.0), x=(0, 0, 1), y=inward)
            put("S1", up, side, number)
            put("H1", leg, side, number)
            inner = sign * (half + 24.13) - (38.1 if sign < 0 else 0.0)
            board = Placement.of(origin=(inner, y - 609.6, 20.0), x=(0, 1, 0), y=(0, 0, 1))
            if number % 2:
                put("B1", board, side, number)
            put("C1", leg.then(Placement(origin=(400, 0, 0))), side, number)
            for order, height in enumerate((80.0, 230.0), start=1):
                out = sign * (half + 26.0)
                across = Placement.of(origin=(out, y, height), x=(0, 0, 1), y=(0, -sign, 0))
                put("X1", across, side, number, order)
                put("W1", across, side, number, order)
                put("N1", across.then(Placement(origin=(0, 0, 60.0))), side, number, order)
        if number < hoops:
            rail = Placement.of(origin=(0, y, 2500.0), x=(0, 1, 0), y=(0, 0, -1))
            put("R1", rail, Side.MIDDLE, number)
        for mark in ("J1", "X2", "F1"):
            put(mark, Placement(origin=(0, y, 2600.0)), Side.MIDDLE, number)
    slope = Placement.of(origin=(-half + 60, 0, 300.0), x=(0, 1, 1), y=(1, 0, 0))
    put("D1", slope, Side.LEFT, 1)
    grid = Grid(hoop_y_mm=tuple(spacing_mm * k for k in range(hoops)), socket_x_mm=half)
    return Frame(design=PLAIN, grid=grid, arch=None, members=tuple(members))
