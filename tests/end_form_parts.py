"""Tubes flattened and boards with cut ends, for tests of what is made from them."""

from __future__ import annotations

import math

from plain_design import PLAIN
from sample_frames import HOOP_TUBE, QUARTER, RAIL_TUBE

from frame3d.catalog.sections import TimberSection
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import (
    Board,
    BoardEnd,
    BoardHole,
    EdgeHole,
    Flat,
    Hole,
    Part,
    Swage,
    Tube,
)
from frame3d.frame.model.roles import Grid, Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement

TWO_BY_FOUR = TimberSection(name="2x4", thickness_mm=38.1, depth_mm=88.9)
PRESSED = Flat(length_mm=70.0, transition_mm=60.0, clock_rad=0.4)
SQUARE_TO_IT = Flat(length_mm=60.0, transition_mm=50.0, clock_rad=0.4 + QUARTER)
WEB = Tube(
    section=RAIL_TUBE,
    axis=PlanePath((Line(900.0),)),
    start=PRESSED,
    end=PRESSED,
    holes=(
        Hole(at_mm=35.0, clock_rad=0.4, diameter_mm=10.5),
        Hole(at_mm=865.0, clock_rad=0.4, diameter_mm=10.5),
    ),
)
STRUT = Tube(section=RAIL_TUBE, axis=PlanePath((Line(800.0),)), start=PRESSED, end=SQUARE_TO_IT)
ONE_FLAT = Tube(
    section=HOOP_TUBE,
    axis=PlanePath((Line(700.0),)),
    start=PRESSED,
    end=Swage(od_mm=34.5, length_mm=100.0, taper_mm=30.0),
    holes=(Hole(at_mm=300.0, clock_rad=0.4, diameter_mm=10.5),),
)
BENT = Tube(
    section=HOOP_TUBE,
    axis=PlanePath((Line(250.0), Arc(600.0, 0.7), Line(200.0))),
    start=PRESSED,
    end=SQUARE_TO_IT,
    holes=(
        Hole(at_mm=30.0, diameter_mm=10.5),
        Hole(at_mm=450.0, clock_rad=0.2, diameter_mm=8.0),
        Hole(at_mm=840.0, diameter_mm=10.5),
    ),
)
SLANTED = Tube(
    section=RAIL_TUBE,
    axis=PlanePath((Line(850.0),)),
    start=Flat(length_mm=70.0, transition_mm=60.0, clock_rad=0.4, slant_rad=0.5),
    end=Flat(length_mm=80.0, transition_mm=50.0, clock_rad=1.0, slant_rad=-0.9),
    holes=(
        Hole(at_mm=35.0, diameter_mm=10.5),
        Hole(at_mm=820.0, diameter_mm=10.5),
    ),
)
BENT_SLANTED = Tube(
    section=HOOP_TUBE,
    axis=BENT.axis,
    start=Flat(length_mm=70.0, transition_mm=60.0, clock_rad=2.0, slant_rad=-0.7),
    holes=BENT.holes[:2],
)
TUBES: dict[str, Tube] = {
    "web": WEB,
    "strut": STRUT,
    "one flat": ONE_FLAT,
    "bent": BENT,
    "slanted": SLANTED,
    "bent slanted": BENT_SLANTED,
}

LAP = {"lap_mm": 88.9, "lap_depth_mm": 38.1}
MITRED = Board(
    section=TWO_BY_FOUR,
    length_mm=900.0,
    start=BoardEnd(mitre_rad=math.radians(30)),
    end=BoardEnd(mitre_rad=math.radians(-45)),
    holes=(BoardHole(along_mm=400.0, up_mm=30.0, diameter_mm=10.5),),
    edge_holes=(EdgeHole(along_mm=600.0, across_mm=19.05, diameter_mm=8.0),),
)
STUD = Board(
    section=TWO_BY_FOUR,
    length_mm=1800.0,
    end=BoardEnd(bevel_rad=math.radians(-25), lap_from_top=True, **LAP),
    edge_holes=(EdgeHole(along_mm=1740.0, across_mm=19.05, diameter_mm=8.0),),
)
BOTH_LAPPED = Board(
    section=TWO_BY_FOUR,
    length_mm=700.0,
    start=BoardEnd(**LAP),
    end=BoardEnd(bevel_rad=0.5, lap_from_top=True, **LAP),
    holes=(BoardHole(along_mm=40.0, up_mm=60.0, diameter_mm=10.5),),
)
HALVED = Board(
    section=TWO_BY_FOUR,
    length_mm=600.0,
    start=BoardEnd(lap_from_top=True, **LAP),
    end=BoardEnd(mitre_rad=0.3),
    edge_holes=(EdgeHole(along_mm=40.0, across_mm=15.0, diameter_mm=8.0),),
)
BEVELLED = Board(
    section=TWO_BY_FOUR,
    length_mm=500.0,
    start=BoardEnd(bevel_rad=0.6),
    end=BoardEnd(bevel_rad=0.6),
    holes=(BoardHole(along_mm=250.0, up_mm=44.0, diameter_mm=10.5),),
)
BOARDS: dict[str, Board] = {
    "mitred": MITRED,
    "stud": STUD,
    "both lapped": BOTH_LAPPED,
    "halved": HALVED,
    "bevelled": BEVELLED,
}
PARTS: dict[str, Part] = {**TUBES, **BOARDS}


def end_form_frame() -> Frame:
    """Each of the parts, clear of each other, turned in some direction or other."""
    members = []
    for number, part in enumerate(PARTS.values(), start=1):
        turn = 0.7 * number
        place = Placement.of(
            origin=(300.0 * number, 0.0, 0.0),
            x=(0.0, math.cos(0.2), math.sin(0.2)),
            y=(math.cos(turn), 0.0, math.sin(turn)),
        )
        role = Role.WEB if isinstance(part, Tube) else Role.STUD
        spot = Spot(side=Side.MIDDLE, hoop=number)
        members.append(Member(mark=f"E{number}", role=role, part=part, placement=place, spot=spot))
    grid = Grid(hoop_y_mm=(0.0, 1000.0), socket_x_mm=3000.0)
    return Frame(design=PLAIN, grid=grid, arch=None, members=tuple(members))
