"""Where the layout puts dimensions and marks, against ISO 129-1 and by its own promises."""

from __future__ import annotations

import math

import pytest

from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Angle,
    Chain,
    GridBubbles,
    Mark,
    MarkRow,
    Radius,
    Running,
    View,
    ViewEdge,
)
from frame3d.sheets.layout.compose import Run, best_scale, broken
from frame3d.sheets.primitives.occupancy import dimension_lines, text_box
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    Bubble,
    CircleStroke,
    Label,
    LinearDimension,
    RadiusDimension,
    RunningDimension,
    Stroke,
)
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
BOX = (0.0, 0.0, 4000.0, 2000.0)
FRAME = tuple(
    Stroke(start=a, end=b)
    for a, b in (((0, 0), (4000, 0)), ((4000, 0), (4000, 2000)), ((0, 0), (0, 2000)))
)


def view(*annotations, primitives=FRAME):
    return View(title="A view", primitives=primitives, bounds=BOX, annotations=annotations)


def of(kind, placed):
    return [item for item in placed.primitives if isinstance(item, kind)]


@pytest.mark.parametrize("edge", list(ViewEdge))
def test_distances_of_dimension_lines(edge):
    """ISO 129-1: at least 10 mm from the outline, then 6 to 8 mm on."""
    along = (1, 0) if edge.runs_along_x else (0, 1)
    annotations = [
        Chain(points=((0, 0), (along[0] * size, along[1] * size)), edge=edge)
        for size in (1000, 2000, 1500)
    ]
    lines = of(LinearDimension, place(view(*annotations), 20, MM))
    axis = 1 if edge.runs_along_x else 0
    start = {ViewEdge.TOP: 2000, ViewEdge.BOTTOM: 0, ViewEdge.LEFT: 0, ViewEdge.RIGHT: 4000}[edge]
    out = [abs(line.line_at[axis] - start) / 20 for line in lines]
    assert out[0] >= 10
    for nearer, farther in zip(out, out[1:], strict=False):
        # a text outward of its line takes a millimetre more before the next
        assert 6 <= farther - nearer <= 9
    # the shorter the nearer, so that extension lines don't cross
    assert [line.text for line in lines] == ["1000", "1500", "2000"]


@pytest.mark.parametrize("edge", list(ViewEdge))
def test_text_is_above_its_line_read_from_below_or_right(edge):
    along = (1, 0) if edge.runs_along_x else (0, 1)
    [line] = of(
        LinearDimension,
        place(view(Chain(points=((0, 0), (along[0] * 1000, along[1] * 1000)), edge=edge)), 20, MM),
    )
    if edge.runs_along_x:
        assert line.text_angle_rad == 0
        assert line.text_at[1] > line.line_at[1]
    else:
        assert line.text_angle_rad == pytest.approx(math.pi / 2)
        assert line.text_at[0] < line.line_at[0]


def test_a_text_too_wide_moves_out_at_the_end_of_a_chain():
    placed = place(
        view(Chain(points=((0, 0), (50, 0), (2000, 0), (2050, 0)), edge=ViewEdge.BOTTOM)), 20, MM
    )
    first, middle, last = of(LinearDimension, placed)
    assert first.text_at[0] < 0 and first.extended_to is not None
    assert 50 < middle.text_at[0] < 2000 and middle.extended_to is None
    assert last.text_at[0] > 2050
    assert placed.problems == ()


def test_wide_texts_inside_a_chain_go_below_the_line():
    points = tuple((x, 0.0) for x in (0, 1000, 1100, 2000))
    placed = place(view(Chain(points=points, edge=ViewEdge.BOTTOM)), 20, MM)
    below = [d for d in of(LinearDimension, placed) if d.text == "100"]
    assert below[0].text_at[1] < below[0].line_at[1]


def test_a_hopeless_chain_is_reported():
    points = tuple((x * 10.0, 0.0) for x in range(40))
    assert place(view(Chain(points=points, edge=ViewEdge.BOTTOM)), 50, MM).problems


def test_a_text_makes_way_for_the_lines_of_longer_dimensions():
    short = Chain(points=((0, 0), (1000, 0)), edge=ViewEdge.BOTTOM)
    long = Chain(points=((500, 0), (3000, 0)), edge=ViewEdge.BOTTOM, rank=2)
    placed = place(view(short, long), 20, MM)
    text = next(d for d in of(LinearDimension, placed) if d.text == "1000")
    half = 8 * 20 / 2  # "1000" is less than 8 mm wide
    assert not text.text_at[0] - half < 500 < text.text_at[0] + half


def test_running_dimensions_keep_their_values_when_they_crowd():
    points = tuple((x, 0.0) for x in (0.0, 20.0, 40.0, 2000.0))
    placed = place(view(Running(datum=(0, 0), points=points, edge=ViewEdge.TOP)), 20, MM)
    found = of(RunningDimension, placed)
    assert [d.text for d in found] == ["0", "20", "40", "2000"]
    feet = [d.foot[0] / 20 for d in found]
    assert all(b - a >= 2.5 for a, b in zip(feet, feet[1:], strict=False))
    assert [d.knee[0] for d in found] == [0.0, 20.0, 40.0, 2000.0]


def test_running_dimensions_without_room_are_reported():
    points = tuple((x * 10.0, 0.0) for x in range(60))
    placed = place(view(Running(datum=(0, 0), points=points, edge=ViewEdge.TOP)), 50, MM)
    assert any("running" in problem for problem in placed.problems)


@pytest.mark.parametrize(("spacing", "rows"), [(200.0, 1), (100.0, 2), (60.0, 3)])
def test_bubbles_stand_in_as_many_rows_as_they_need(spacing, rows):
    places = tuple((str(i), (i * spacing, 2000.0)) for i in range(6))
    placed = place(view(GridBubbles(places=places, edge=ViewEdge.TOP)), 20, MM)
    bubbles = of(Bubble, placed)
    assert len({round(bubble.at[1], 3) for bubble in bubbles}) == rows
    assert placed.crowded is (rows > 1)
    for i, a in enumerate(bubbles):
        for b in bubbles[i + 1 :]:
            assert math.dist(a.at, b.at) / 20 >= 7.0


def test_a_slanting_dimension_gives_the_length_of_its_line():
    placed = place(view(Aligned(first=(0, 0), second=(3000, 4000))), 20, MM)
    [made] = of(LinearDimension, placed)
    assert made.text == "5000"  # 3-4-5
    assert not made.witness


def test_two_diagonals_of_a_flat_view_get_leaders():
    flat = View(
        title="flat",
        primitives=(Stroke(start=(0, 0), end=(4000, 0)), Stroke(start=(0, 60), end=(4000, 60))),
        bounds=(0, 0, 4000, 60),
        annotations=(
            Aligned(first=(0, 0), second=(4000, 60), name="diagonal", share=0.3),
            Aligned(first=(4000, 0), second=(0, 60), name="diagonal", share=0.3),
        ),
    )
    placed = place(flat, 20, MM)
    first, second = of(LinearDimension, placed)
    assert first.leader and second.leader
    grounds = [text_box(d.text, d.text_at, 2.5, d.text_angle_rad, 20) for d in (first, second)]
    assert not grounds[0].intersects(grounds[1])
    assert placed.problems == ()


def test_a_radius_ends_on_its_arc_and_a_slope_says_its_angle():
    placed = place(
        view(
            Radius(centre=(2000, 0), on_arc=((0, 0),), name="eave"),
            Angle(vertex=(2000, 1500), first_rad=math.pi, second_rad=math.pi + 0.25),
        ),
        20,
        MM,
    )
    [radius] = of(RadiusDimension, placed)
    assert radius.text == "R2000 eave"
    assert radius.on_arc == (0, 0)
    [angle] = of(AngleDimension, placed)
    assert angle.text == "14.3°"  # 0.25 rad


def test_a_mark_takes_the_first_free_place():
    ways = ((0, 1, 1.0), (0, -1, 1.0))
    mark = Mark(text="R1", at=(2000, 1000), ways=ways)
    free = place(view(mark), 20, MM)
    assert of(Label, free)[0].at[1] > 1000
    busy = (*FRAME, Stroke(start=(1000, 1040), end=(3000, 1040)))
    taken = place(view(mark, primitives=busy), 20, MM)
    assert of(Label, taken)[0].at[1] < 1000


def test_a_mark_without_a_free_place_nearby_gets_a_leader():
    mark = Mark(text="R1", at=(2000, 1000), ways=((0, 1, 1.0),))
    busy = (*FRAME, Stroke(start=(1000, 1040), end=(3000, 1040)))
    placed = place(view(mark, primitives=busy), 20, MM)
    assert len(of(Stroke, placed)) == len(busy) + 1
    assert placed.problems == ()


def test_a_row_of_equal_marks_that_crowds_becomes_one():
    marks = tuple(
        Mark(text="S1" if i < 5 else "S2", at=(1000 + i * 50.0, 1000), ways=((1, 0, 1.0),))
        for i in range(8)
    )
    texts = sorted(label.text for label in of(Label, place(view(MarkRow(marks=marks)), 20, MM)))
    assert texts == ["S1 × 5", "S2 × 3"]


def test_extension_lines_start_off_the_feature_and_go_past_the_line():
    [line] = of(
        LinearDimension,
        place(view(Chain(points=((0, 0), (1000, 0)), edge=ViewEdge.BOTTOM)), 20, MM),
    )
    [_, first, _] = dimension_lines(line, 20)
    assert first[0][1] / 20 == pytest.approx(-1.0)
    assert first[1][1] / 20 == pytest.approx(line.line_at[1] / 20 - 1.5)


def test_the_largest_scale_that_fits_is_taken():
    # 4000 mm at 1:20 is 200 mm; at 1:10 it would be 400
    assert best_scale(view(), (220.0, 120.0), MM).scale == 20
    assert best_scale(view(), (420.0, 220.0), MM).scale == 10
    assert best_scale(view(), (0.1, 0.1), MM) is None


def test_a_long_view_is_broken_until_it_can_be_read():
    def build(parts):
        step = 60_000 / parts
        for part in range(parts):
            low = part * step
            places = tuple(
                (str(n), (n * 1000.0, 1000.0)) for n in range(61) if low <= n * 1000 <= low + step
            )
            yield View(
                title=str(part),
                primitives=(Stroke(start=(low, 0), end=(low + step, 0)),),
                bounds=(low, 0, low + step, 1000),
                annotations=(GridBubbles(places=places, edge=ViewEdge.TOP),),
            )

    run = Run(length_mm=60_000, spacing_mm=1000, most_parts=30)
    placed = broken(build, run, (390.0, 190.0), MM)
    assert len(placed) > 1
    assert not any(p.problems or p.crowded for p in placed)
    # bubbles of 7 mm and a gap of 0.6 need the bays of 1 m at 1:100 or larger: two parts do
    assert {p.scale for p in placed} == {100}
    assert len(placed) == 2


@pytest.mark.parametrize(("apart_mm", "starts_at_feature"), [(10.0, False), (40.0, True)])
def test_extension_lines_too_close_to_tell_apart_do_not_run_side_by_side(
    apart_mm, starts_at_feature
):
    """At 1:20, 10 mm is half a millimetre on paper and 40 mm is two."""
    first, second = of(
        LinearDimension,
        place(
            view(
                *(
                    Chain(points=((4000, 0), (2000, top)), edge=ViewEdge.RIGHT)
                    for top in (1900, 1900 + apart_mm)
                )
            ),
            20,
            MM,
        ),
    )
    assert second.text == f"{1900 + apart_mm:.0f}"
    inner, outer = (dimension_lines(item, 20)[2] for item in (first, second))
    assert (outer[0][0] < inner[1][0]) is starts_at_feature
    assert outer[1][0] > inner[1][0]


def test_a_radius_without_room_inside_is_shown_from_without():
    """A small loop: its text is wider than what is inside."""
    circle = CircleStroke(centre=(2000.0, 1000.0), radius=200.0)
    on_arc = (2000.0 - 200.0 * math.sqrt(0.5), 1000.0 + 200.0 * math.sqrt(0.5))
    annotation = Radius(centre=circle.centre, on_arc=(on_arc,), name="loop")
    placed = place(view(annotation, primitives=(*FRAME, circle)), 50, MM)
    (made,) = of(RadiusDimension, placed)
    assert made.text == "R200 loop"
    assert math.dist(made.tail, circle.centre) > 200.0
    assert placed.problems == ()


@pytest.mark.parametrize("edge", [ViewEdge.LEFT, ViewEdge.RIGHT])
def test_running_dimensions_keep_clear_of_lines_that_pass_them(edge):
    """At 1:100 the text of 1650 stands where the line of 1900 overall has to pass."""
    annotations = (
        Running(datum=(0, 0), points=((0, 1650), (0, 700)), edge=edge),
        Chain(points=((0, 0), (0, 1900)), edge=edge, names=("overall",)),
    )
    placed = place(view(*annotations), 100, MM)
    assert placed.problems == ()
    assert [item.text for item in of(RunningDimension, placed)] == ["700", "1650"]
    # what nothing passes stays in line
    first = of(RunningDimension, placed)[0]
    assert first.knee[1] == pytest.approx(first.foot[1])


def test_a_text_past_the_end_of_its_chain_keeps_clear_of_lines_that_pass():
    """5 mm on paper is too short for ``100 clear``, and the next chain ends beside it."""
    annotations = (
        Chain(points=((1000, 0), (1100, 0)), edge=ViewEdge.BOTTOM, names=("clear",)),
        Chain(points=((1000, 0), (1300, 0)), edge=ViewEdge.BOTTOM, names=("in all",), rank=2),
    )
    placed = place(view(*annotations), 20, MM)
    assert placed.problems == ()
    [clear] = [i for i in of(LinearDimension, placed) if i.text == "100 clear"]
    assert clear.extended_to[0] > clear.text_at[0] > 1300


# --- where nothing else helps ---------------------------------------------------------------


def hatched(half: float) -> tuple[Stroke, ...]:
    """Lines 2 mm apart on paper at 1:1, so that no text between them is free."""
    ys = range(-int(half), int(half) + 1, 2)
    return tuple(Stroke(start=(-half, y), end=(half, y)) for y in ys)


def crowded(half: float, *, last: bool, texts: tuple[Label, ...] = ()):
    wanted = View(
        title="Crowded", primitives=(*hatched(half), *texts), bounds=(-half, -half, half, half),
        annotations=(Mark(text="ST1", at=(0.0, 0.0), ways=((0, 1, 1.0),)),),
    )  # fmt: skip
    placed = place(wanted, 1, MM, last=last)
    return placed, [item for item in of(Label, placed) if item.text == "ST1"]


def test_a_mark_stands_beyond_the_lines_where_nothing_else_helps():
    """Lines reach 50 mm out, past the places that are looked at first."""
    before, [label] = crowded(50.0, last=False)
    assert before.problems == ("no room for the mark ST1", "a line runs through ST1")
    assert max(map(abs, label.at)) < 50.0
    after, [label] = crowded(50.0, last=True)
    assert max(map(abs, label.at)) > 50.0
    assert after.problems == ("no room for the mark ST1 near what it names",)


def test_a_mark_that_stands_near_is_not_told():
    placed, [label] = crowded(26.0, last=True)
    assert placed.problems == () and max(map(abs, label.at)) > 26.0


def test_a_mark_that_would_stand_on_a_text_is_left_out_and_told():
    """Texts cover all that a mark can reach."""
    texts = tuple(Label(text="X" * 200, at=(0.0, float(y)), height=2.5) for y in range(-90, 91, 3))
    _, shown = crowded(90.0, last=False, texts=texts)
    assert len(shown) == 1
    placed, shown = crowded(90.0, last=True, texts=texts)
    assert shown == [] and "no room for the mark ST1" in placed.problems
