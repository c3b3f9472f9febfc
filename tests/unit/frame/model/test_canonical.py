"""One form for parts made the same way, judged by points of the parts themselves.

What a part is, is told here by points worked out from the words of its docstrings: the
corners of a board, the mouths of its holes, points of a tube's surface. Two parts are
the same piece exactly when a proper rotation takes the points of one to those of the other.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from msgspec.structs import replace

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.frame.model.canonical import are_alike, canonical, shape_key
from frame3d.frame.model.parts import Board, BoardEnd, BoardHole, EdgeHole, Flat, Hole, Swage, Tube
from frame3d.geometry.paths import Arc, Line, PlanePath

TWO_BY_FOUR = TimberSection(name="2x4", thickness_mm=38.0, depth_mm=89.0)
FOUR_BY_FOUR = TimberSection(name="4x4", thickness_mm=89.0, depth_mm=89.0)
LONG = 700.0
PIPE = TubeSection(name="42 x 3", od_mm=42.0, wall_mm=3.0)
LEFT, RIGHT = 0.31, -0.31
QUARTER = math.pi / 2
HALF_WIDE = math.pi * (PIPE.od_mm / 2 - PIPE.wall_mm) / 2 + PIPE.wall_mm
LAP = {"lap_mm": 60.0, "lap_depth_mm": 38.0}

Cloud = list[tuple[np.ndarray, float]]
"""Points, each with a number that says what it is a point of."""


def board_cloud(board: Board) -> Cloud:
    long, deep = board.length_mm, board.section.depth_mm
    thick = board.section.thickness_mm
    cloud: Cloud = []
    for end, foot, inward in ((board.start, 0.0, 1.0), (board.end, long, -1.0)):
        end = end or BoardEnd()

        def cut(y, z, more=0.0, end=end, foot=foot, inward=inward):
            mitre, bevel = end.mitre_rad, end.bevel_rad
            behind = math.tan(abs(mitre)) * (y if mitre > 0 else deep - y)
            behind += math.tan(abs(bevel)) * (z if bevel > 0 else thick - z)
            return np.array((foot + inward * (behind + more), y, z))

        low, high = 0.0, deep
        if end.lap_mm:
            edge = deep - end.lap_depth_mm if end.lap_from_top else end.lap_depth_mm
            low, high = (0.0, edge) if end.lap_from_top else (edge, deep)
            gone = deep if end.lap_from_top else 0.0
            for y, z in itertools.product((edge, gone), (0.0, thick)):
                cloud.append((cut(y, z, end.lap_mm), 0.0))
        cloud += [(cut(y, z), 0.0) for y in (low, high) for z in (0.0, thick)]
    for hole in board.holes:
        for z in (0.0, thick):
            cloud.append((np.array((hole.along_mm, hole.up_mm, z)), hole.diameter_mm))
    for hole in board.edge_holes:
        for y in (0.0, deep):
            cloud.append((np.array((hole.along_mm, y, hole.across_mm)), hole.diameter_mm))
    return cloud


def drilled_clock(tube: Tube, hole: Hole) -> float:
    """The clock angle of a hole; one in a flat goes square through it."""
    clock = hole.clock_rad
    for end, to_end in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(end, Flat) and to_end < end.length_mm:
            clock = end.clock_rad
    return clock


def tube_cloud(tube: Tube) -> Cloud:
    """Ends of the axis, bends, swages, the middles of flats' edges, and mouths of holes."""
    length = tube.length_mm
    cloud: Cloud = []

    def add(at, clock, out, kind):
        here = tube.axis.at(at)
        point = np.array((here.x_mm, here.y_mm, 0.0))
        radial = np.array(
            (here.normal[0] * math.cos(clock), here.normal[1] * math.cos(clock), math.sin(clock))
        )
        cloud.append((point + out * radial, kind))

    for share in np.linspace(0, 1, 9):
        add(share * length, 0.0, 0.0, 1.0)
    for end, sense, foot in ((tube.start, 1, 0.0), (tube.end, -1, length)):
        if isinstance(end, Swage):
            add(foot + sense * end.length_mm, 0.0, 0.0, 2.0)
            add(foot + sense * (end.length_mm + end.taper_mm), 0.0, 0.0, end.od_mm)
        if isinstance(end, Flat):
            # Seen with its normal toward you and the axis upward, longest at the right,
            # a quarter turn on from the normal, when the slant is positive.
            long = sense * math.tan(end.slant_rad) * HALF_WIDE
            tangent = np.array((*tube.axis.at(foot).tangent, 0.0))
            for turn, run in ((QUARTER, -long), (-QUARTER, long)):
                add(foot, end.clock_rad + turn, HALF_WIDE, 5.0)
                cloud[-1] = (cloud[-1][0] - run * tangent, 5.0)
            for turn in (0.0, math.pi):
                add(foot, end.clock_rad + turn, PIPE.wall_mm, 3.0)
                add(foot + sense * end.length_mm, end.clock_rad + turn, PIPE.wall_mm, 3.0)
                add(
                    foot + sense * (end.length_mm + end.transition_mm),
                    end.clock_rad + turn,
                    PIPE.od_mm / 2,
                    4.0,
                )
    for hole in tube.holes:
        for turn in (0.0, math.pi):
            add(
                hole.at_mm,
                drilled_clock(tube, hole) + turn,
                PIPE.od_mm / 2,
                10.0 + hole.diameter_mm,
            )
    return cloud


def rounded(cloud: Cloud) -> tuple:
    """The cloud as a value: sorted, to 1e-3 mm, off the border between two steps."""
    return tuple(
        sorted((*(int(v) for v in np.floor(point / 1e-3 + 0.637)), kind) for point, kind in cloud)
    )


def moved(cloud: Cloud, turn: np.ndarray) -> Cloud:
    """The cloud turned and pushed against the planes of coordinates."""
    points = np.array([turn @ point for point, _ in cloud])
    points -= points.min(axis=0)
    return [(point, kind) for point, (_, kind) in zip(points, cloud, strict=True)]


def rotations() -> list[np.ndarray]:
    """The 24 proper rotations that take a box's directions to each other."""
    found = []
    for order in itertools.permutations(range(3)):
        for signs in itertools.product((1.0, -1.0), repeat=3):
            turn = np.zeros((3, 3))
            for row, (column, sign) in enumerate(zip(order, signs, strict=True)):
                turn[row, column] = sign
            if np.linalg.det(turn) > 0:
                found.append(turn)
    return found


BOX_TURNS = rotations()
MIRROR = np.diag((1.0, 1.0, -1.0))


def piece(cloud: Cloud, turns: list[np.ndarray]) -> tuple:
    """The same for two clouds exactly when one of ``turns`` takes one to the other."""
    return min(rounded(moved(cloud, turn)) for turn in turns)


def assert_placed(part, cloud_of) -> None:
    """The form, put where ``canonical`` says, has the points of the part."""
    form, local = canonical(part)
    axes = np.array((local.x, local.y, local.z))
    assert np.linalg.det(axes) == pytest.approx(1.0)
    there = [(np.array(local.point(tuple(point))), kind) for point, kind in cloud_of(form)]
    here = rounded_near(cloud_of(part))
    assert rounded_near(there) == here


def rounded_near(cloud: Cloud) -> list:
    return sorted((*(round(float(v), 3) + 0.0 for v in point), kind) for point, kind in cloud)


ENDS = [
    None,
    BoardEnd(mitre_rad=LEFT),
    BoardEnd(mitre_rad=RIGHT),
    BoardEnd(bevel_rad=LEFT),
    BoardEnd(bevel_rad=RIGHT),
    *(
        BoardEnd(bevel_rad=bevel, lap_from_top=top, **LAP)
        for bevel in (0.0, LEFT, RIGHT)
        for top in (False, True)
    ),
]
HOLES = [
    {},
    {"holes": (BoardHole(along_mm=250.0, up_mm=30.0, diameter_mm=9.0),)},
    {"edge_holes": (EdgeHole(along_mm=250.0, across_mm=11.0, diameter_mm=9.0),)},
    {"holes": (BoardHole(along_mm=350.0, up_mm=44.5, diameter_mm=9.0),)},
]
BOARDS = [
    Board(section=TWO_BY_FOUR, length_mm=LONG, start=start, end=end, **holes)
    for start, end in itertools.product(ENDS, repeat=2)
    for holes in HOLES
]
SQUARES = [
    Board(section=FOUR_BY_FOUR, length_mm=LONG, start=start, end=end, **holes)
    for start, end in itertools.product(ENDS[:5], repeat=2)
    for holes in (
        *HOLES[:2],
        {"edge_holes": (EdgeHole(along_mm=250.0, across_mm=30.0, diameter_mm=9.0),)},
    )
]


@pytest.mark.parametrize("boards", [BOARDS, SQUARES], ids=["2x4", "4x4"])
def test_boards_are_one_part_exactly_when_they_are_one_piece(boards) -> None:
    """All of them against each other: 484 boards, and 75 of square section."""
    part_of: dict[tuple, set] = {}
    piece_of: dict[Board, set] = {}
    for board in boards:
        assert_placed(board, board_cloud)
        form, told = canonical(board)[0], piece(board_cloud(board), BOX_TURNS)
        part_of.setdefault(told, set()).add(form)
        piece_of.setdefault(form, set()).add(told)
    assert all(len(forms) == 1 for forms in part_of.values())
    assert all(len(pieces) == 1 for pieces in piece_of.values())
    # neither all different nor all the same
    assert len(boards) / 8 < len(part_of) < len(boards)


@pytest.mark.parametrize("boards", [BOARDS, SQUARES], ids=["2x4", "4x4"])
def test_a_mirror_image_is_the_same_part_only_when_a_turn_makes_it(boards) -> None:
    """The mirror image in z: bevels change sides, edge holes too, all else stays."""

    def mirrored(end):
        return end and replace(end, bevel_rad=-end.bevel_rad)

    ways = set()
    for board in boards:
        image = replace(
            board,
            start=mirrored(board.start),
            end=mirrored(board.end),
            edge_holes=tuple(
                replace(h, across_mm=board.section.thickness_mm - h.across_mm)
                for h in board.edge_holes
            ),
        )
        cloud = board_cloud(board)
        image_cloud = [(MIRROR @ point, kind) for point, kind in cloud]
        assert piece(image_cloud, BOX_TURNS) == piece(board_cloud(image), BOX_TURNS)
        same = piece(image_cloud, BOX_TURNS) == piece(cloud, BOX_TURNS)
        assert (canonical(image)[0] == canonical(board)[0]) is same
        ways.add(same)
    assert ways == {True, False}


def test_studs_of_both_sides_are_one_part() -> None:
    """Cut to the same slant at the head, square at the foot, a hole midway across."""
    left = Board(
        section=TWO_BY_FOUR,
        length_mm=LONG,
        end=BoardEnd(bevel_rad=LEFT),
        holes=(BoardHole(along_mm=300.0, up_mm=44.5, diameter_mm=9.0),),
    )
    right = replace(left, end=BoardEnd(bevel_rad=RIGHT))
    assert canonical(left)[0] == canonical(right)[0]
    # with the hole off the middle a turn brings it to the other side
    low = replace(left, holes=(BoardHole(along_mm=300.0, up_mm=30.0, diameter_mm=9.0),))
    other = replace(low, end=right.end)
    assert canonical(low)[0] != canonical(other)[0]
    turned = replace(other, holes=(BoardHole(along_mm=300.0, up_mm=59.0, diameter_mm=9.0),))
    assert canonical(low)[0] == canonical(turned)[0]


def test_the_one_form_of_a_stud_has_its_plain_end_first_and_a_positive_slant() -> None:
    stud = Board(section=TWO_BY_FOUR, length_mm=LONG, start=BoardEnd(bevel_rad=RIGHT))
    form = canonical(stud)[0]
    assert form.start is None
    assert form.end == BoardEnd(bevel_rad=LEFT)


def test_an_end_with_nothing_cut_is_a_plain_end() -> None:
    plain = Board(section=TWO_BY_FOUR, length_mm=LONG)
    assert canonical(replace(plain, start=BoardEnd(), end=BoardEnd(lap_from_top=True)))[0] == plain


def test_rounding_does_not_decide_between_two_forms() -> None:
    """Two holes even to a step of the grid; what tells the ends apart is the cut."""
    ends = {"start": BoardEnd(mitre_rad=LEFT), "end": BoardEnd(mitre_rad=0.5)}
    forms = []
    for off in (0.0, 1e-6, -1e-6):
        holes = tuple(
            BoardHole(along_mm=at, up_mm=44.5, diameter_mm=9.0) for at in (100.0 + off, 600.0)
        )
        board = Board(section=TWO_BY_FOUR, length_mm=LONG, holes=holes, **ends)
        turned = replace(
            board,
            start=board.end,
            end=board.start,
            holes=tuple(replace(h, along_mm=LONG - h.along_mm) for h in holes),
        )
        forms += [shape_key(canonical(board)[0]), shape_key(canonical(turned)[0])]
    assert len({kinds for kinds, _ in forms}) == 1
    assert all(are_alike(forms[0][1], numbers) for _, numbers in forms)


STEP = math.pi / 6
FLATS = [
    None,
    Swage(od_mm=34.0, length_mm=50.0, taper_mm=20.0),
    *(Flat(length_mm=60.0, transition_mm=40.0, clock_rad=k * STEP) for k in range(0, 6, 2)),
    Flat(length_mm=60.0, transition_mm=40.0, clock_rad=STEP),
    *(
        Flat(length_mm=60.0, transition_mm=40.0, clock_rad=k * STEP, slant_rad=slant)
        for k, slant in ((0, 0.31), (0, -0.31), (7, 0.31))
    ),
]
DRILLED = [
    (),
    (Hole(at_mm=30.0, clock_rad=STEP, diameter_mm=9.0),),
    (Hole(at_mm=300.0, clock_rad=2 * STEP, diameter_mm=9.0),),
    (Hole(at_mm=30.0, diameter_mm=9.0), Hole(at_mm=670.0, diameter_mm=9.0)),
]


def tubes(axis: PlanePath) -> list[Tube]:
    return [
        Tube(section=PIPE, axis=axis, start=start, end=end, holes=holes)
        for start, end in itertools.product(FLATS, repeat=2)
        for holes in DRILLED
    ]


def test_straight_tubes_with_flats_are_one_part_exactly_when_they_are_one_piece() -> None:
    """Rolled by every twelfth of a turn and turned end for end: 324 tubes."""
    turns = []
    for k in range(12):
        cos, sin = math.cos(k * STEP), math.sin(k * STEP)
        roll = np.array(((1, 0, 0), (0, cos, -sin), (0, sin, cos)))
        turns += [roll, roll @ np.diag((-1.0, 1.0, -1.0))]
    assert_one_part_for_one_piece(tubes(PlanePath((Line(LONG),))), turns)


def test_bent_tubes_with_flats_are_one_part_exactly_when_they_are_one_piece() -> None:
    """An even bend, so that both ends look alike: it may be turned over its middle line."""
    axis = PlanePath((Line(200.0), Arc(300.0, 1.0), Line(200.0)))
    found = tubes(axis)
    assert found[0].length_mm == LONG
    # its own axes start along one leg: the middle line lies half the bend from its normal
    half = math.cos(0.5), math.sin(0.5)
    across = np.array((-half[1], half[0], 0.0))
    over = 2 * np.outer(across, across) - np.eye(3)
    assert_one_part_for_one_piece(found, [np.eye(3), over])

    # the same tube bent to the other hand, its clock angles seen from behind, is the same
    def behind(end):
        return replace(end, clock_rad=end.clock_rad + math.pi) if isinstance(end, Flat) else end

    for tube in found:
        rolled = replace(tube, axis=axis.mirrored(), start=behind(tube.start), end=behind(tube.end))
        assert_placed(rolled, tube_cloud)
        assert canonical(rolled)[0] == canonical(tube)[0]


@pytest.mark.parametrize(
    "axis", [PlanePath((Line(LONG),)), PlanePath((Line(200.0), Arc(300.0, 1.0), Line(200.0)))]
)
def test_mirror_images_of_slanted_flats_are_one_part_when_a_turn_makes_them_so(axis) -> None:
    """The mirror image in the plane of the bend: clock angles and slants change sign."""

    def mirrored(end):
        return end and replace(end, clock_rad=-end.clock_rad, slant_rad=-end.slant_rad)

    one = Flat(length_mm=60.0, transition_mm=40.0, slant_rad=0.31)
    square = replace(one, slant_rad=0.0)
    ways = {}
    for start, end in itertools.product(
        (None, square, one, replace(one, slant_rad=-0.31), replace(one, clock_rad=STEP)), repeat=2
    ):
        tube = Tube(section=PIPE, axis=axis, start=start, end=end)
        image = Tube(section=PIPE, axis=axis, start=mirrored(start), end=mirrored(end))
        cloud = [(MIRROR @ point, kind) for point, kind in tube_cloud(tube)]
        assert rounded_near(cloud) == rounded_near(tube_cloud(image))
        ways[start, end] = shape_key(canonical(tube)[0]) == shape_key(canonical(image)[0])
    straight = axis.is_straight
    # one slanting cut on a straight tube: rolled half a turn it slants the other way
    assert ways[None, one] is straight
    assert ways[square, one] is straight
    # both longest on the same side: turned end for end they are so on the other side;
    # on opposite sides: only a roll makes it so
    assert ways[one, one] is True
    assert ways[one, replace(one, slant_rad=-0.31)] is straight
    assert ways[replace(one, clock_rad=STEP), one] is False
    assert ways[square, square] is True


def test_a_flat_named_by_its_other_normal_slants_the_other_way() -> None:
    flat = Flat(length_mm=60.0, transition_mm=40.0, clock_rad=0.4, slant_rad=0.31)
    for turns in (-3, -1, 1, 3):
        other = replace(flat, clock_rad=0.4 + turns * math.pi, slant_rad=-0.31)
        assert other == flat
    for turns in (-2, 0, 2):
        assert replace(flat, clock_rad=0.4 + turns * math.pi) == flat
    # on the border between the two, whatever rounding does
    level = replace(flat, clock_rad=0.0)
    for off in (0.0, 1e-12, -1e-12):
        assert replace(level, clock_rad=math.pi + off, slant_rad=-0.31) == level
        assert replace(level, clock_rad=off) == level
    with pytest.raises(ValueError, match="does not cross the flat"):
        replace(flat, slant_rad=math.pi / 2)


def assert_one_part_for_one_piece(found: list[Tube], turns: list[np.ndarray]) -> None:
    part_of: dict[tuple, set] = {}
    piece_of: dict[Tube, set] = {}
    for tube in found:
        assert_placed(tube, tube_cloud)
        form, told = canonical(tube)[0], piece(tube_cloud(tube), turns)
        part_of.setdefault(told, set()).add(form)
        piece_of.setdefault(form, set()).add(told)
    assert all(len(pieces) == 1 for pieces in piece_of.values())
    assert all(len(forms) == 1 for forms in part_of.values())
    assert len(part_of) < len(found)
    assert all(canonical(form)[0] == form for form in piece_of)
