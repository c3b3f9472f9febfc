"""Details: what they say is what the design and the frame are; only of what there is."""

from __future__ import annotations

import math

import pytest
from shapely import box
from walled_designs import DESIGNS, example, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import RidgeJoint, Splice
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import Swage
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import Aligned, Chain, Note, Running
from frame3d.sheets.details.detail_sheets import details_of
from frame3d.sheets.details.details import DetailContext, nearest_on, quiet_hoop
from frame3d.sheets.primitives.hatching import Hatch
from frame3d.sheets.projection.projection import axis_point

CASES = {
    "gothic": example("long_meadow_gothic"),
    "quonset": example("long_meadow_quonset"),
    "plates": walled(
        profile={"style": "gothic", "width": "6 m", "ridge_height": "4 m", "leg_height": "1.2 m"},
        hoop={"tube": "48 x 2 mm", "ridge_joint": "plates"},
        rail=[{"at": "ridge", "fixing": "clamped"}, {"at": "sides", "height": "2 m"}],
        tie=[{"height": "2.5 m", "joint": "plates"}],
    ),
    **DESIGNS,
}


@pytest.fixture(scope="module", params=list(CASES))
def found(request):
    frame = lay_out(design_from_mapping(CASES[request.param]))
    site = DetailContext(frame=frame, lengths=lengths_of(frame))
    return frame, site, {one.name: one for one in details_of(site)}


def spans(detail, name="") -> list[float]:
    """Lengths of the chains and slanting dimensions of a detail that have a name, mm."""
    result = []
    for annotation in detail.annotations:
        if isinstance(annotation, Chain):
            names = annotation.names or ("",) * (len(annotation.points) - 1)
            pairs = zip(annotation.points, annotation.points[1:], names, strict=False)
            result += [math.dist(a, b) for a, b, said in pairs if said == name]
        elif isinstance(annotation, Aligned) and annotation.name == name:
            result.append(math.dist(annotation.first, annotation.second))
    return result


def notes(detail) -> str:
    return "\n".join(w.text for w in detail.annotations if isinstance(w, Note))


def test_the_socket_is_given_with_insertion_driving_mark_and_depth(found):
    frame, site, details = found
    detail = next(one for name, one in details.items() if name.startswith("Socket"))
    design = frame.design.socket
    lean = math.cos(frame.arch.leg_lean_rad)
    [inserted] = spans(detail, "inserted")
    assert inserted == pytest.approx(design.insertion * lean, abs=0.01)
    text = notes(detail)
    assert f"Driving mark, {site.say(design.exposed)} below the top" in text
    assert f"{site.say(design.length - design.exposed)} of it in the ground" in text
    [heights] = [w for w in detail.annotations if isinstance(w, Running)]
    top = max(z for _, z in heights.points)
    assert top == pytest.approx(design.exposed * lean, abs=0.01)
    for hole in (design.lower_hole, design.upper_hole):
        want = (design.exposed - hole) * lean
        assert any(z == pytest.approx(want, abs=0.01) for _, z in heights.points)
    assert detail.ground


def test_sill_boards_stand_at_their_height(found):
    frame, _, details = found
    if frame.design.sill_board is None:
        assert "Socket with leg and sill board" not in details
        return
    detail = details["Socket with leg and sill board"]
    sill = frame.design.sill_board
    chain = next(w for w in detail.annotations if isinstance(w, Chain) and len(w.points) == 3)
    steps = [b[1] - a[1] for a, b in zip(chain.points, chain.points[1:], strict=False)]
    lean = math.cos(frame.arch.leg_lean_rad)
    assert steps[1] == pytest.approx(sill.timber.depth_mm * lean, rel=0.02)
    assert steps[0] == pytest.approx(sill.bottom * lean, abs=1.0)


def test_the_overlap_of_splices_is_the_design_s(found):
    frame, _, details = found
    hoop = frame.design.hoop
    spliced = any(True for _ in frame.of(Role.SPLICE)) or any(
        isinstance(end, Swage) for m in frame.of(Role.HOOP) for end in (m.part.start, m.part.end)
    )
    assert ("Hoop splice" in details) is spliced
    if not spliced:
        return
    lengths = spans(details["Hoop splice"], "overlap")
    assert len(lengths) == (2 if hoop.splice is Splice.SLEEVE else 1)
    # On the sheet the chord of the overlap, which at 1 m radius is 0.1 % less than the arc.
    assert lengths == pytest.approx([hoop.overlap] * len(lengths), rel=2e-3)


def test_the_ridge_joint_overlaps_as_the_design_says(found):
    frame, site, details = found
    joints = any(True for _ in frame.of(Role.RIDGE_JOINT))
    assert ("Ridge joint" in details) is joints
    if not joints:
        return
    detail, hoop = details["Ridge joint"], frame.design.hoop
    name = "overlap" if hoop.ridge_joint is RidgeJoint.SLEEVE else "from the ridge"
    [length] = spans(detail, name)
    assert length == pytest.approx(hoop.ridge_overlap, rel=5e-3)
    assert f"{site.say(frame.arch.ridge_height_mm)} above ground" in notes(detail)


def test_tubes_stand_as_far_apart_as_in_the_frame(found):
    frame, _, details = found
    number = quiet_hoop(frame)
    for name, detail in details.items():
        if " to the hoop" not in name:
            continue
        [between] = spans(detail)
        mark = name.split(",")[0].split()[-1]
        rails = [m for m in frame.of(Role.RAIL, Role.HIP_RAIL) if m.mark == mark]
        y = frame.grid.hoop_y_mm[number - 1]
        gaps = []
        for rail in rails:
            point = (rail.placement.origin[0], y, rail.placement.origin[2])
            pieces = [
                m
                for m in frame.of(Role.HOOP, Role.RIDGE_JOINT, Role.SPLICE)
                if m.spot.hoop == number and hasattr(m.part, "axis")
            ]
            gaps.append(min(math.dist(nearest_on(m, point)[1], point) for m in pieces))
        assert any(between == pytest.approx(gap, abs=0.01) for gap in gaps)


def test_hatches_lie_in_faces_and_faces_in_windows(found):
    _, _, details = found
    for detail in details.values():
        frame = box(*detail.window).buffer(1e-6)
        faces = [item.face.buffer(1e-6) for item in detail.shown if not item.face.is_empty]
        hatches = [i for i in detail.view().primitives if isinstance(i, Hatch)]
        if detail.ground:
            hatches = hatches[:-1]  # the soil
        for hatch in hatches:
            assert hatch.area.is_empty or frame.contains(hatch.area)
            assert any(face.contains(hatch.area) for face in faces)


def test_notes_point_into_the_view(found):
    _, _, details = found
    for detail in details.values():
        left, bottom, right, top = detail.window
        for note in (w for w in detail.annotations if isinstance(w, Note)):
            u, v = note.at
            assert left <= u <= right and bottom <= v <= top, (detail.name, note.text)


def test_only_what_the_design_has_is_shown(found):
    frame, _, details = found
    names = set(details)
    has = {role: any(True for _ in frame.of(role)) for role in Role}
    assert ("Brace clamp" in names) is has[Role.BRACE]
    assert ("Tie at the hoop" in names) is has[Role.TIE]
    assert ("End wall stud at the hoop" in names) is (has[Role.STUD] or has[Role.DOOR_JAMB])
    assert ("Hip board joint" in names) <= has[Role.HIP_BOARD]


@pytest.mark.parametrize("height", ["600 mm", "911 mm"])
def test_bolts_of_a_joint_block_are_given_where_the_board_leans_with_the_hoop(height):
    """From the joint to the block's holes, which its part has; at 911 mm the low hoop leans
    so far that no bolt's head is level with the block.
    """
    frame = lay_out(
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {
                    "style": "quonset",
                    "measured": "centres",
                    "width": "2.5 m",
                    "leg_height": "300 mm",
                    "ridge_height": "1052 mm",
                    "eave_radius": "564 mm",
                },
                "bays": {"count": 6, "spacing": "600 mm"},
                "hoop": {"tube": "EN 10255 DN32 medium", "pieces": 1, "smallest_bend": 3.0},
                "socket": {"tube": "50 x 3 mm"},
                "side_opening": {
                    "hip": "board",
                    "height": height,
                    "stock_length": "3 m",
                    "end_stop": "0 mm",
                },
            }
        )
    )
    found = {d.name: d for d in details_of(DetailContext(frame=frame, lengths=lengths_of(frame)))}
    (bolts,) = (w for w in found["Hip board joint"].annotations if isinstance(w, Running))
    block = next(frame.of(Role.JOINT_BLOCK)).part
    wanted = {round(h.along_mm - block.length_mm / 2, 3) for h in block.holes}
    assert {round(y - bolts.datum[0], 3) for y, _ in bolts.points} == wanted


def test_the_nearest_point_of_a_bend_is_found():
    """On an arc about a centre it lies on the line to the centre."""
    frame = lay_out(design_from_mapping(walled(door=[], end_wall=[])))
    hoop = next(m for m in frame.of(Role.HOOP))
    target = axis_point(hoop, 0.4 * hoop.part.length_mm)
    at, point = nearest_on(hoop, target)
    assert at == pytest.approx(0.4 * hoop.part.length_mm, abs=1e-3)
    assert math.dist(point, target) < 1e-3
