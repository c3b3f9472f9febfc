"""Small frames put together by hand, so that sheets are tested without the layout of a design."""

from __future__ import annotations

import functools
import math
from types import SimpleNamespace

from ezdxf.document import Drawing

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.general import FilmShown
from frame3d.design.tables.whole_design import DxfVersion, LayerNames, SheetStandard
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Grid, Role, Side, Spot
from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of
from frame3d.units import UnitSystem

HOOP = TubeSection(name="42.4 x 3.2", od_mm=42.4, wall_mm=3.2)
SOCKET = TubeSection(name="48.3 x 3.2", od_mm=48.3, wall_mm=3.2)
RAIL = TubeSection(name="33.7 x 3.2", od_mm=33.7, wall_mm=3.2)
TIMBER = TimberSection(name="47x200", thickness_mm=47, depth_mm=200)


_WHOLE = design_from_mapping(
    {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "leg_height": "1.2 m"},
        "bays": {"count": 4, "spacing": "1.2 m"},
        "hoop": {"tube": "42.4 x 3.2 mm"},
        "socket": {"tube": "48.3 x 3.2 mm"},
    }
)


def design(system=UnitSystem.METRIC, sheets=SheetStandard.ISO, sheet_size="A3"):
    """What the sheets read of a design."""
    return SimpleNamespace(
        boundary=(),
        service=(),
        output=SimpleNamespace(
            units=system,
            fraction=16,
            decimals=0,
            sheets=sheets,
            sheet_size=sheet_size,
            layers=LayerNames.PLAIN,
            dxf_version=DxfVersion.R2018,
            sets=(),
            order_files=(),
            film=FilmShown.LEFT_OUT,
        ),
        project=SimpleNamespace(
            name="Tunnel made by hand",
            number="T-01",
            owner="The grower",
            drawn_by="A. N. Other",
            approved_by="-",
            date="2024-05-01",
            revision="A",
        ),
        clearance=SimpleNamespace(
            head_height=2030.0, walking_lines=(0.0,), walking_width=450.0, bed_edges=(600.0,)
        ),
        machine=(),
        revision=(),
        end_wall=(),
        profile=_WHOLE.profile,
        socket=_WHOLE.socket,
        cover=_WHOLE.cover,
        order=_WHOLE.order,
        make=_WHOLE.make,
        tolerances=_WHOLE.tolerances,
        staking=_WHOLE.staking,
        practice=_WHOLE.practice,
        sill_board=None,
        side_opening=None,
        curtain=None,
    )


def gothic_arch(width=6000.0, radius=4000.0, leg=1200.0) -> Arch:
    """Two arcs, centres at the springing: rise² = R² - (R - s/2)²; sin(slope) = 1 - s/2R."""
    slope = math.asin(1 - width / 2 / radius)
    return Arch(
        style=ArchStyle.GOTHIC,
        width_mm=width,
        ridge_height_mm=leg + math.sqrt(radius**2 - (radius - width / 2) ** 2),
        leg_height_mm=leg,
        leg_lean_rad=0.0,
        eave_radius_mm=None,
        eave_angle_rad=0.0,
        top_radius_mm=radius,
        top_angle_rad=math.pi / 2 - slope,
        rafter_length_mm=None,
        ridge_slope_rad=slope,
        tube_od_mm=HOOP.od_mm,
    )


def round_arch(width=6000.0, leg=1200.0) -> Arch:
    """A half circle on legs."""
    return Arch(
        style=ArchStyle.QUONSET,
        width_mm=width,
        ridge_height_mm=leg + width / 2,
        leg_height_mm=leg,
        leg_lean_rad=0.0,
        eave_radius_mm=None,
        eave_angle_rad=0.0,
        top_radius_mm=width / 2,
        top_angle_rad=math.pi / 2,
        rafter_length_mm=None,
        ridge_slope_rad=0.0,
        tube_od_mm=HOOP.od_mm,
    )


def frame(arch=None, bays=4, spacing=1200.0, the_design=None) -> Frame:
    """Hoops in two halves, sockets, a rail on each side and sill boards with one joint."""
    arch = arch or gothic_arch()
    ys = tuple(spacing * i for i in range(bays + 1))
    members: list[Member] = []
    for number, y in enumerate(ys, start=1):
        for side, sign in ((Side.LEFT, -1), (Side.RIGHT, 1)):
            members += _side_of_hoop(arch, number, y, side, sign)
    for side, sign in ((Side.LEFT, -1), (Side.RIGHT, 1)):
        members += _along(arch, ys, side, sign)
    return Frame(
        design=the_design or design(),
        grid=Grid(hoop_y_mm=ys, socket_x_mm=arch.width_mm / 2),
        arch=arch,
        members=tuple(members),
    )


def document() -> Drawing:
    """A new document with the sheets of the usual frame, to be spoilt at will."""
    return document_of(sheets()).doc


@functools.cache
def sheets() -> SheetSet:
    """The sheets of the usual frame."""
    return draw_sheets(frame())


def _side_of_hoop(arch, number, y, side, sign) -> list[Member]:
    x = sign * arch.width_mm / 2
    spot = Spot(side=side, hoop=number)
    socket = Tube(section=SOCKET, axis=PlanePath((Line(1000.0),)))
    hoop = Tube(section=HOOP, axis=arch.half)
    return [
        Member(
            mark="S1",
            role=Role.SOCKET,
            part=socket,
            spot=spot,
            placement=Placement.of(origin=(x, y, -700.0), x=(0, 0, 1), y=(-sign, 0, 0)),
        ),
        Member(
            mark="H1",
            role=Role.HOOP,
            part=hoop,
            spot=spot,
            placement=Placement.of(origin=(x, y, 0.0), x=(0, 0, 1), y=(-sign, 0, 0)),
        ),
    ]


def _along(arch, ys, side, sign) -> list[Member]:
    length = ys[-1] + 100.0
    x = sign * (arch.width_mm / 2 - (HOOP.od_mm + RAIL.od_mm) / 2)
    rail = Tube(section=RAIL, axis=PlanePath((Line(length),)))
    spot = Spot(side=side, hoop=1, to_hoop=len(ys))
    members = [
        Member(
            mark="R1",
            role=Role.RAIL,
            part=rail,
            spot=spot,
            placement=Placement.of(origin=(x, -50.0, 1000.0), x=(0, 1, 0), y=(0, 0, 1)),
        )
    ]
    joint = (ys[len(ys) // 2] + ys[len(ys) // 2 - 1]) / 2
    face = sign * (arch.width_mm / 2 + SOCKET.od_mm / 2)
    for order, (low, high) in enumerate(((-50.0, joint), (joint, ys[-1] + 50.0)), start=1):
        board = Board(section=TIMBER, length_mm=high - low)
        origin_y = low if sign > 0 else high
        members.append(
            Member(
                mark=f"B{order}",
                role=Role.SILL_BOARD,
                part=board,
                spot=Spot(side=side, hoop=1, order=order),
                placement=Placement.of(origin=(face, origin_y, 20.0), x=(0, sign, 0), y=(0, 0, 1)),
            )
        )
    return members
