"""Channel as parts: its lengths against integrals, its pieces against stock, its body."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Grid, Role
from frame3d.frame.skin.channel_runs import RunKind, straight_pieces
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.film_sheets import film_sheets
from frame3d.geometry.paths import Arc, Line, PlanePath

GOTHIC = {
    "output": {"units": "metric"},
    "profile": {
        "style": "gothic", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "1.2 m",
        "ridge_slope": "20 deg",
    },
    "bays": {"count": 6, "spacing": "1.5 m"},
    "hoop": {"tube": "EN 10255 DN32 medium"},
    "sill_board": {"timber": "47x200"},
    "side_opening": {"height": "1400 mm", "timber": "47x150"},
    "end_wall": [{"at": "both", "timber": "47x100"}],
    "door": [{"kind": "hinged", "at": "front", "width": "1200 mm"}],
    "cover": {"listed_as": "parts"},
}  # fmt: skip
QUONSET = {
    "output": {"units": "imperial"},
    "profile": {"style": "quonset", "width": "20 ft", "leg_height": "18 in"},
    "bays": {"count": 5, "spacing": "4 ft"},
    "hoop": {"tube": "NPS 1-1/4 STD"},
    "sill_board": {"timber": "2x8"},
    "cover": {"listed_as": "parts", "channel_length": "12 ft"},
}
DESIGNS = {"gothic": GOTHIC, "quonset": QUONSET}


@pytest.fixture(scope="module", params=DESIGNS)
def frame(request) -> Frame:
    return lay_out(design_from_mapping(DESIGNS[request.param]))


def pieces(frame: Frame) -> list[Member[Channel]]:
    return list(frame.of_kind(Channel, Role.CHANNEL))


def kind_of(member: Member[Channel]) -> RunKind:
    """What a piece lies on, told by where it is and not by how it was laid out."""
    if not member.part.axis.is_straight:
        return RunKind.END_HOOPS
    if abs(member.placement.x[1]) < 0.5:
        return RunKind.DOOR
    return RunKind.HIPS if member.placement.origin[2] > 600 else RunKind.SILLS


def test_pieces_are_as_long_as_the_runs_of_the_summary(frame: Frame) -> None:
    lines = cover_lines(frame)
    for kind in RunKind:
        told = math.fsum(r.length_mm * r.count for r in lines.channel if r.kind is kind)
        made = math.fsum(m.part.length_mm for m in pieces(frame) if kind_of(m) is kind)
        assert made == pytest.approx(told, abs=1e-3)
    count = sum(run.pieces * run.count for run in lines.channel)
    assert count == len(pieces(frame)) == lines.channel_pieces


def outer_arc_mm(frame: Frame, foot_mm: float) -> float:
    """Half of the outer path above a height, by quadrature of the axis' curvature.

    The outer face at a distance d from an axis of curvature k is 1 + k d times as long, and a
    gothic one goes on to the centreline: none of the program's offsets is used.
    """
    out = frame.arch.tube_od_mm / 2
    axis = frame.arch.half

    def curvature(at: float) -> float:
        step = 1e-3
        return (axis.at(at + step).heading_rad - axis.at(at - step).heading_rad) / (2 * step)

    joints = [along for along, _ in axis.starts][1:]
    whole, _ = quad(lambda at: 1 + curvature(at) * out, 0, axis.length_mm, points=joints, limit=200)
    turned = axis.end.heading_rad
    last = axis.segments[-1]
    slope = frame.arch.springing_heading_rad - turned
    if slope > 1e-9:  # a gothic half is carried on until it meets the other
        radius = (last.radius_mm + out) if isinstance(last, Arc) else math.inf
        back = out * math.sin(slope)
        if math.isinf(radius):
            whole += back / math.cos(slope)
        else:
            more = slope - math.asin(math.sin(slope) - back / radius)
            whole += radius * more
    return whole - foot_mm / math.cos(frame.arch.leg_lean_rad)


def test_film_and_channel_against_an_integral_of_the_outer_path(frame: Frame) -> None:
    sill = frame.design.sill_board
    foot = sill.bottom + sill.timber.depth_mm
    girth = 2 * outer_arc_mm(frame, foot)
    lines = cover_lines(frame)
    assert lines.girth_mm == pytest.approx(girth, abs=0.05)
    bent = math.fsum(m.part.length_mm for m in pieces(frame) if kind_of(m) is RunKind.END_HOOPS)
    assert bent == pytest.approx(2 * girth, abs=0.1)
    (over, *_) = film_sheets(frame)
    assert over.across_mm == pytest.approx(girth + 2 * frame.design.cover.side_allowance, abs=0.05)


def test_every_piece_comes_out_of_its_stock(frame: Frame) -> None:
    stock = frame.design.cover.channel_length - frame.design.order.end_trim
    assert max(m.part.over_all_mm for m in pieces(frame)) <= stock + 1e-6


def test_joints_along_the_sides_lie_off_the_hoops(frame: Frame) -> None:
    length, half = frame.grid.length_mm, frame.arch.tube_od_mm / 2
    for member in pieces(frame):
        if kind_of(member) in (RunKind.HIPS, RunKind.SILLS):
            start = member.placement.origin[1]
            for end in (start, start + member.part.length_mm):
                inner = -half + 1 < end < length + half - 1
                beside_vent = any(
                    abs(end - y) < 1 for v in frame.vents for y in (v.start_y_mm, v.end_y_mm)
                )
                if inner and not beside_vent:
                    assert min(abs(end - y) for y in frame.grid.hoop_y_mm) > half + 49


def test_bent_pieces_lie_on_the_outer_face_and_meet_end_to_end(frame: Frame) -> None:
    out = frame.arch.tube_od_mm / 2
    places = np.linspace(0, frame.arch.half.length_mm, 4001).tolist()
    axis = [(p.x_mm, p.z_mm) for p in map(frame.arch.point_at, places)]
    ends = []
    for member in pieces(frame):
        if kind_of(member) is not RunKind.END_HOOPS:
            continue
        part = member.part
        for share in (0.0, 0.3, 0.7, 1.0):
            at = part.axis.at(share * part.length_mm)
            x, y, z = member.placement.point((at.x_mm, at.y_mm, 0.0))
            inner = (at.x_mm + out * at.normal[0], at.y_mm + out * at.normal[1], 0.0)
            back = member.placement.point(inner)
            # Half a tube inside of the face is the axis, within what its points stand apart;
            # not at a ridge, where the face goes on.
            if abs(x) > 3 * out:
                assert min(math.hypot(u + abs(back[0]), w - back[2]) for u, w in axis) < 1.0
            assert y in (0.0, frame.grid.length_mm)
            ends += [(round(x) + 0, round(y), round(z))] if share in (0.0, 1.0) else []
    feet = min(z for _, _, z in ends)
    assert all(ends.count(end) == (1 if end[2] == feet else 2) for end in ends)


def test_screws_are_no_farther_apart_than_they_may_be(frame: Frame) -> None:
    most = frame.design.cover.channel_spacing
    screws = [np.array(m.placement.origin) for m in frame.of(Role.CHANNEL_SCREW)]
    for member in pieces(frame):
        part, thick = member.part, member.part.section.thickness_mm
        along = []
        for seat in screws:
            own = np.array([
                np.dot(seat - member.placement.origin, axis)
                for axis in (member.placement.x, member.placement.y, member.placement.z)
            ])  # fmt: skip
            # In the middle of the face, or beside a door nearer to the middle of its jamb.
            is_on_face = abs(own[1]) < part.section.width_mm / 2 - thick
            if part.axis.is_straight and is_on_face and abs(own[2] - thick) < 1e-6:
                along += [own[0]] if 0 < own[0] < part.length_mm else []
        if part.axis.is_straight:
            gaps = np.diff([0.0, *sorted(along), part.length_mm])
            assert gaps[1:-1].max(initial=0.0) <= most + 1e-6
            # 50 mm from the ends, or past the 70 mm of a hinge that lies there.
            assert max(gaps[0], gaps[-1]) <= 50 + 70 + 1e-6


def test_the_body_weighs_what_its_section_and_length_do() -> None:
    frame = lay_out(design_from_mapping(GOTHIC))
    for group in frame.parts_of_kind(Channel):
        section = group.part.section
        # Area by hand: 1.5 mm of sheet, a face of 32 mm and lips of 10.5 mm beyond it.
        assert section.area_mm2 == pytest.approx(1.5 * (32 + 2 * 10.5))
        middle = (group.part.length_mm + group.part.over_all_mm) / 2
        # Bent outward, lips are longer than the face by the radius' share.
        assert volume_mm3(group.part) == pytest.approx(section.area_mm2 * middle, rel=6e-3)


def test_a_mitred_corner_closes() -> None:
    """Two pieces at 45° share the line of their cut: the corner points are the same."""
    frame = lay_out(design_from_mapping(GOTHIC))
    door = [m for m in pieces(frame) if kind_of(m) is RunKind.DOOR]
    corners = []
    for member in door:
        outline = member.part.bodies[0].outline
        corners.append(
            {tuple(np.round(member.placement.point((x, y, 0.0)), 3)) for x, y in outline}
        )
    left, right, across = corners
    assert len(left & across) == len(right & across) == 2


def test_whole_stock_lengths_with_joints_moved_off_hoops() -> None:
    grid = Grid(hoop_y_mm=tuple(1000.0 * k for k in range(8)), socket_x_mm=3000.0)
    stops = straight_pieces(0.0, 7000.0, 3000.0, grid, 40.0)
    assert stops == (0.0, 2930.0, 5930.0, 7000.0)
    assert straight_pieces(0.0, 3000.0, 3000.0, grid, 40.0) == (0.0, 3000.0)
    # The last piece is not left shorter than 300 mm.
    assert straight_pieces(-20.0, 3100.0, 3050.0, grid, 40.0) == (-20.0, 2800.0, 3100.0)


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"channel_thickness": "3 mm", "channel_width": "10 mm"}, "cover.channel_thickness"),
        ({"channel_screw": "no such screw"}, "cover.channel_screw"),
    ],
)
def test_what_cannot_be_made_is_refused(change: dict, where: str) -> None:
    design = design_from_mapping(QUONSET | {"cover": {"listed_as": "parts", **change}})
    with pytest.raises(DesignError) as told:
        lay_out(design)
    assert told.value.where == where


def test_figures_alone_bring_no_parts() -> None:
    frame = lay_out(design_from_mapping(QUONSET | {"cover": {}}))
    assert not any(m.role in (Role.CHANNEL, Role.CHANNEL_SCREW) for m in frame.members)
    assert cover_lines(frame).channel_pieces == sum(
        math.ceil(r.length_mm / frame.design.cover.channel_length) * r.count
        for r in cover_lines(frame).channel
    )


def test_a_bent_piece_is_drawn_within_a_millimetre_of_its_arc() -> None:
    section = lay_out(design_from_mapping(GOTHIC)).parts_of_kind(Channel)[0].part.section
    part = Channel(section=section, axis=PlanePath((Line(200.0), Arc(1500.0, 1.2), Line(100.0))))
    (face, *_) = part.bodies
    inner = [
        p for p in face.outline if p[1] > -1e-9 or math.hypot(p[0] - 200, p[1] - 1500) < 1500.01
    ]
    off = [
        1500 - math.hypot((a[0] + b[0]) / 2 - 200, (a[1] + b[1]) / 2 - 1500)
        for a, b in zip(inner, inner[1:], strict=False)
        if (a[0] + b[0]) / 2 > 201 and (a[1] + b[1]) / 2 < 900
    ]
    assert off and max(off) < 1.0
