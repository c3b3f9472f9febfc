"""What a design leaves to the program gives way to what the design gives.

Low and narrow tunnels are what people build over low crops (common practice, no source).
"""

from __future__ import annotations

import tomllib

import pytest
from walks import STARTS, start

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.errors import DesignError
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.units import UnitSystem

ROOM = {"walk-headroom", "tie-headroom", "piece-stock"}
"""What a tunnel lower than a person, or wider than the starters' pieces of hoop, is told."""


def laid_out(design: dict) -> Frame:
    return lay_out(design_from_mapping(design))


def errors(frame: Frame) -> list:
    return [f for f in check_frame(frame) if f.severity is Severity.ERROR]


def sized(style, units: UnitSystem, width_m: float, share: float, *, walls: bool) -> dict:
    """A starter of another width, its ridge at a share of that; the curve is left out."""
    design = start(style, units, walls=walls)
    design["profile"] = {
        "style": style.value,
        "width": f"{width_m} m",
        "ridge_height": f"{share * width_m:.2f} m",
    }
    del design["side_opening"]
    return design | {"brace": []}


@pytest.mark.parametrize("joint", ["clamped", "plates"])
@pytest.mark.parametrize(("style", "units"), STARTS)
def test_ties_and_doors_left_to_the_program_fit_into_low_tunnels(style, units, joint: str) -> None:
    for width_m, share in ((3.0, 0.35), (4.5, 0.42), (6.0, 0.35), (7.5, 0.5)):
        for post in ("none", "king post"):
            design = sized(style, units, width_m, share, walls=True)
            design["tie"] = [{"joint": joint, "post": post}]
            found = {f.rule.name for f in errors(laid_out(design))}
            assert found <= ROOM, (width_m, share, post)


def test_a_tie_of_a_given_height_is_refused_where_it_cannot_be() -> None:
    design = sized(*STARTS[0], 5.0, 0.4, walls=False) | {"tie": [{"height": "2.4 m"}]}
    with pytest.raises(DesignError, match=r"^tie\[1\]\.height: a tie at 7'-10 1/2\" misses"):
        laid_out(design)


def test_a_tie_left_to_the_program_keeps_its_usual_height_where_that_fits() -> None:
    """2400 mm, the default."""
    frame = laid_out(start(*STARTS[1]) | {"tie": [{}]})
    assert {round(m.placement.origin[2], 3) for m in frame.of(Role.TIE)} == {2400.0}
    assert frame.design.tie[0].height == 2400.0


def test_a_tie_left_to_the_program_gives_way_to_a_rail_beside_it() -> None:
    design = start(*STARTS[1], walls=False) | {"tie": [{}]}
    design["rail"] = [{"height": "2400 mm"}]
    frame = laid_out(design)
    assert not errors(frame)
    assert frame.design.tie[0].height < 2400.0
    given = laid_out(design | {"tie": [{"height": "2400 mm"}]})
    assert {f.fields for f in errors(given)} == {("rail[1].height", "tie[1].height")}


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_a_clamp_partly_on_the_socket_sits_beside_it(style, units) -> None:
    """Sockets stand out by 12 in or 300 mm; half a clamp and 10 mm are less than 1 1/2 in."""
    imperial = units is UnitSystem.IMPERIAL
    design = start(style, units, walls=False)
    for height in ("12 in", "12 1/2 in", "13 in") if imperial else ("300 mm", "310 mm", "320 mm"):
        design["brace"][0]["from_height"] = height
        assert not errors(laid_out(design))
    design["brace"][0]["from_height"] = "11 in" if imperial else "29 cm"
    with pytest.raises(DesignError, match="is on the socket; make it at least (12|1'-0|300)"):
        laid_out(design)


def test_a_brace_left_to_the_program_starts_above_high_sockets() -> None:
    design = start(*STARTS[2], walls=False)
    design["socket"]["exposed"] = "2 ft"
    assert not errors(laid_out(design))


@pytest.mark.parametrize("first", [9, 10, 11])
def test_a_brace_to_no_given_hoop_ends_at_one_that_there_is(first: int) -> None:
    """The metric starters have 11 hoops."""
    design = start(*STARTS[1], walls=False)
    design["brace"][0]["from_hoop"] = first
    assert design_from_mapping(design).brace[0].to_hoop == {9: 11, 10: 11, 11: 9}[first]
    laid_out(design)


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_a_door_is_where_there_is_an_end_wall(style, units) -> None:
    design = start(style, units)
    design["end_wall"][0]["at"] = "back"
    (door,) = laid_out(design).doors
    assert door.end.value == "back"
    design["door"][0]["at"] = "front"
    with pytest.raises(DesignError, match="there is no front end wall to put it in"):
        laid_out(design)


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_a_ridge_rail_is_clamped_where_plates_leave_no_bolt(style, units) -> None:
    design = start(style, units)
    design["hoop"]["ridge_joint"] = "plates"
    assert not errors(laid_out(design))


@pytest.mark.parametrize(("leaf", "thick"), [("2x4", 6.35), ("2x6", 9.525)])
def test_leaves_are_screwed_by_the_thinnest_screw_that_is_long_enough(leaf, thick) -> None:
    """Through 5 1/2 in and 1 in into the other: 6 1/2 in. 1/4 and 5/16 in end at 6 in, 3/8 at 8 in
    (lengths as stocked, lag_screw.csv).
    """
    design = start(*STARTS[0])
    design["door"][0]["leaf"] = leaf
    frame = laid_out(design)
    through = {"2x4": 3.5, "2x6": 5.5}[leaf] * 25.4
    screws = [m.part for m in frame.of(Role.SCREW) if m.part.length_mm > through + 25]
    assert screws and {part.diameter_mm for part in screws} == {thick}
    assert not errors(frame)


def test_heads_of_screws_in_two_leaves_pass_each_other() -> None:
    """Two hex heads, 1/4 in high each, need more than 12 mm (ASME B18.2.1; lag_screw.csv)."""
    design = start(*STARTS[0])
    design["door"][0] |= {"leaf": "2x6", "leaves": 2, "width": "6 ft"}
    assert not errors(laid_out(design))


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_screws_of_a_jamb_end_in_the_sill_and_not_in_the_opening(style, units) -> None:
    """Their points stay 5 mm off the face of the opening, as others do off the far side."""
    design = start(style, units, walls=True)
    design["end_wall"] = [{"studs": "timber", "sill": {"thickness": "50 mm", "depth": "200 mm"}}]
    frame = laid_out(design)
    door = frame.doors[0]
    points = [
        [m.placement.origin[i] + m.part.length_mm * m.placement.z[i] for i in range(3)]
        for m in frame.of(Role.SCREW)
        if abs(m.placement.z[2] + 0.866) < 0.01
    ]
    near = [
        x
        for x, y, z in points
        if abs(y) < 200 and z < 50 and door.left_x_mm - 40 < x < door.right_x_mm + 40
    ]
    assert near and not [x for x in near if door.left_x_mm - 4 < x < door.right_x_mm + 4]


@pytest.mark.parametrize("leaves", [1, 2])
@pytest.mark.parametrize("studs", ["tube", "timber"])
@pytest.mark.parametrize(
    ("number", "leaf"), [(0, "1x4"), (0, "5/4x6"), (1, "22x100"), (1, "25x125")]
)
def test_thin_leaves_have_hinges_that_fit(number, leaf, studs, leaves) -> None:
    """The band ends at the leaf's edge, before the pin, which is deeper than the leaf is thick."""
    design = start(*STARTS[number], walls=True)
    design["end_wall"] = [{"studs": studs}]
    design["door"] = [{"leaf": leaf, "leaves": leaves, "width": "1500 mm"}]
    assert not errors(laid_out(design))


def test_a_stud_too_near_a_jamb_under_a_track_is_named_with_the_door() -> None:
    """Both are held to the header that carries the track; their couplers meet there."""
    design = {
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "width": "8475 mm", "leg_height": "872 mm",
                    "ridge_height": "4667 mm", "eave_radius": "1708 mm", "ridge_slope": "17 deg"},
        "bays": {"count": 7, "spacing": "1500 mm"},
        "hoop": {"tube": "EN 10255 DN32 medium", "ridge_tube": "50 x 3 mm",
                 "smallest_bend": 3.0, "ridge_bend_radius": "420 mm"},
        "end_wall": [{"at": "front", "studs": "tube", "tube": "42 x 2 mm", "top": "flattened",
                      "braces": "none", "girts": [], "positions": ["600 mm", "1800 mm"]}],
        "door": [{"kind": "sliding", "width": "1032 mm", "height": "1781 mm", "hand": "right"}],
    }  # fmt: skip
    frame = laid_out(design)
    found = errors(frame)
    assert found
    for one in found:
        assert {str(field) for field in one.fields} == {"door[1]", "end_wall[1].positions"}
    at_stud = [m for m in frame.of(Role.CLAMP) if abs(m.placement.origin[0] - 600) < 1]
    assert {m.source for m in at_stud} == {"end_wall[1].positions"}


def test_a_threshold_narrower_than_the_studs_is_held_at_both_ends() -> None:
    design = start(*STARTS[1], walls=True)
    design["end_wall"] = [
        {"studs": "timber", "timber": "47x150", "sill": "47x75", "foot": "ground"}
    ]
    design["door"] = [{"threshold": "board"}]
    assert not errors(laid_out(design))


def test_sleeves_of_splices_keep_clear_of_bends_too_tight_for_them() -> None:
    """The hoop's 48 mm tube bends to 144 mm, three diameters; its 60.3 mm sleeve only to 181 mm."""
    design = {
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "measured": "inside", "width": "3109 mm",
                    "leg_height": "1240 mm", "ridge_height": "2173 mm", "ridge_slope": "29 deg"},
        "bays": {"count": 1, "spacing": "1595 mm"},
        "hoop": {"tube": "48 x 2 mm", "pieces": 4, "splice": "sleeve",
                 "splice_tube": "EN 10255 DN50 medium", "ridge_tube": "EN 10255 DN50 medium",
                 "smallest_bend": 3.0, "ridge_bend_radius": "251 mm"},
    }  # fmt: skip
    frame = laid_out(design)
    assert any(True for _ in frame.of(Role.SPLICE))
    assert not errors(frame)


def test_boards_too_thick_for_every_screw_are_named() -> None:
    design = start(*STARTS[0])
    design["door"][0]["leaf"] = "2x8"
    with pytest.raises(DesignError, match=r"^door\[1\].leaf: no stocked lag screw goes through"):
        laid_out(design)


def test_where_no_screw_is_between_two_lengths_the_nearest_are_told() -> None:
    """Through 3 1/2 in into 1 1/2 in: stocked are 4 in and 5 in (lag_screw.csv)."""
    design = tomllib.loads(example_paths()["long_meadow_gothic"].read_text(encoding="utf-8"))
    design["side_opening"] |= {"timber": "4x4", "stop": "2x4"}
    with pytest.raises(DesignError, match=r"the nearest stocked are 4\" and 5\""):
        laid_out(design)


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_a_sill_on_its_flat_ends_before_the_nut_of_a_low_bolt(style, units) -> None:
    """The socket's lower bolt 50 mm above the ground, where the sill is 38 or 47 mm thick."""
    design = start(style, units, walls=True)
    design["socket"] = {"exposed": "300 mm", "upper_hole": "130 mm", "lower_hole": "250 mm"}
    design["sill_board"] |= {"bottom": "10 mm"}
    design["end_wall"] = [wall | {"studs": "timber"} for wall in design["end_wall"]]
    assert not errors(laid_out(design))


@pytest.mark.parametrize("height", ["1000 mm", "1050 mm", "1100 mm"])
@pytest.mark.parametrize(("style", "units"), STARTS)
def test_the_middle_hinge_gives_way_to_a_girt_on_the_jamb(style, units, height) -> None:
    design = start(style, units, walls=True)
    design["end_wall"] = [{"studs": "tube", "girts": [height]}]
    assert not errors(laid_out(design))


def test_an_end_wall_has_a_stud_wherever_one_can_stand() -> None:
    """The even spacing would put it where the hoop is too low for it; a girt needs it."""
    design = read_design(example_paths()["long_meadow_quonset"])
    lower = design.profile.model_copy(update={"leg_height": 700.0})
    frame = lay_out(design.model_copy(update={"profile": lower}))
    assert {m.spot.hoop for m in frame.of(Role.GIRT)} == {1, len(frame.grid.hoop_y_mm)}


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_walls_without_room_for_braces_are_told(style, units) -> None:
    """Under ties at the only height that there is, no stud of a wall 3 m wide can be braced."""
    design = sized(style, units, 3.0, 0.5, walls=True)
    design["door"] = [{"width": "1.6 m", "height": "60 cm"}]
    design["tie"] = [{}]
    frame = laid_out(design)
    told = {f.rule.name for f in check_frame(frame)}
    assert ("wall-unbraced" in told) == (len(list(frame.of(Role.WALL_BRACE))) < 4)


FLAT = {"studs": "tube", "top": "flattened"}
ROLLED = {"kind": "roll-up"}
STRUCK: dict[str, tuple[int, dict]] = {
    # What the program itself put into the way of something else: the starter, and the change.
    "braces of the other end at a door, two bays": (0, {
        "bays": {"count": 2, "spacing": "4 ft"}, "end_wall": [FLAT], "brace": [],
        "door": [ROLLED | {"width": "44 in", "height": "60 in", "position": "-48 in"}]}),
    "all braces of the other end at a door, two bays": (0, {
        "bays": {"count": 2, "spacing": "4 ft"}, "brace": [],
        "end_wall": [{"top": "bolted", "foot": "ground", "braces": "all"}],
        "door": [ROLLED | {"width": "86 in", "height": "84 in"}]}),
    "a brace before a door, one bay": (1, {
        "bays": {"count": 1, "spacing": "1.5 m"}, "brace": [],
        "end_wall": [{"studs": "tube", "largest_spacing": "1000 mm"}],
        "door": [{"at": "back", "width": "1400 mm", "height": "2100 mm", "leaves": 2,
                  "threshold": "board", "position": "-850 mm"}]}),
    "a brace behind a leaf that swings in": (2, {
        "end_wall": [{"top": "bolted", "foot": "ground", "brace_height": "30 in"}],
        "door": [{"width": "60 in", "height": "84 in", "swing": "in", "leaves": 2,
                  "position": "-56 in", "threshold": "board"}]}),
    "a stud flattened at the ridge joint": (2, {
        "end_wall": [FLAT],
        "door": [{"at": "back", "width": "46 in", "height": "82 in", "position": "70 in"}]}),
    "a short stud flattened at the ridge joint": (2, {
        "end_wall": [FLAT], "door": [ROLLED | {"width": "76 in", "height": "64 in"}]}),
}  # fmt: skip


@pytest.mark.parametrize("name", STRUCK)
def test_what_the_program_places_by_itself_is_in_no_way(name: str) -> None:
    number, changes = STRUCK[name]
    assert errors(laid_out(start(*STARTS[number]) | changes)) == []


@pytest.mark.parametrize("units", list(UnitSystem))
@pytest.mark.parametrize("style", ["gothic", "quonset"])
def test_pieces_left_to_the_program_come_out_of_the_tube_that_is_bought(style, units) -> None:
    for feet in (16, 24, 32, 40):
        sizes = {
            "output": {"units": units.value},
            "bays": {"length": "48 ft"},
            "profile": {"style": style, "width": f"{feet} ft", "ridge_height": f"{feet / 2} ft"},
        }
        frame = laid_out(sizes)
        stock, pieces = frame.design.practice.hoop_stock, frame.design.hoop.pieces
        fits = max(m.part.length_mm for m in frame.of(Role.HOOP)) <= stock
        assert fits or pieces == {"gothic": 4, "quonset": 5}[style]
        assert laid_out(sizes | {"hoop": {"pieces": 2}}).design.hoop.pieces == 2
        if pieces > 2:
            fewer = laid_out(sizes | {"hoop": {"pieces": pieces - (2 if style == "gothic" else 1)}})
            assert max(m.part.length_mm for m in fewer.of(Role.HOOP)) > stock
