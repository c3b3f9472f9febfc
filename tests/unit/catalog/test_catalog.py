"""Sizes by name, by numbers and by gauge; and tables that are well formed."""

import pytest

from frame3d.catalog import (
    CatalogKind,
    GaugeSystem,
    Status,
    bolt_size,
    choose_bolt_length,
    clearance_mm,
    grip_to_length,
    lag_screw,
    names,
    nut_size,
    rows,
    screw,
    thread_length_mm,
    timber_rows,
    timber_section,
    timber_stock_lengths_mm,
    tube_rows,
    tube_section,
    tube_stock_lengths_mm,
    wall_from_gauge,
    washer_size,
)
from frame3d.catalog.sections import Head, TubeSection
from frame3d.catalog.spellings import key
from frame3d.errors import CatalogError

FOOT = 304.8
EVERY_ROW = [
    pytest.param(kind, row, id=f"{kind.value} {row.name}")
    for kind in CatalogKind
    for row in rows(kind)
]


@pytest.mark.parametrize(("kind", "row"), EVERY_ROW)
def test_row_is_well_formed(kind, row):
    assert row.source.strip() == row.source != ""
    assert isinstance(row.status, Status)
    assert row.name == row.value.name == row.name.strip()
    assert list(row.stock_lengths_mm) == sorted(set(row.stock_lengths_mm))
    assert bool(row.stock_lengths_mm) == (kind in (CatalogKind.TUBE, CatalogKind.TIMBER))


@pytest.mark.parametrize("row", tube_rows(), ids=lambda row: row.name)
def test_tube_row(row):
    tube = row.value
    assert tube.od_mm > 2 * tube.wall_mm > 1
    assert 0.5 <= tube.inside_mm < tube.od_mm
    assert tube_section(row.name) is tube
    assert tube_stock_lengths_mm(row.name) == row.stock_lengths_mm


@pytest.mark.parametrize("row", timber_rows(), ids=lambda row: row.name)
def test_timber_row(row):
    board = row.value
    assert 10 < board.thickness_mm <= board.depth_mm < 300
    assert 300 < board.density_kg_per_m3 < 1000
    assert timber_section(row.name) is board
    assert timber_stock_lengths_mm(row.name) == row.stock_lengths_mm


@pytest.mark.parametrize(
    "row", rows(CatalogKind.BOLT), ids=lambda row: f"{row.name} {row.value.head.value}"
)
def test_bolt_row_fits_its_hole_its_nut_and_its_washers(row):
    bolt = row.value
    assert bolt_size(row.name, bolt.head) is bolt
    assert list(bolt.lengths_mm) == sorted(set(bolt.lengths_mm)) and len(bolt.lengths_mm) > 10
    assert bolt.pitch_mm < bolt.diameter_mm < bolt.hole_mm < bolt.diameter_mm * 1.2
    assert bolt.hole_mm < bolt.flats_mm and bolt.head_height_mm < bolt.diameter_mm
    nut, washer = nut_size(row.name), washer_size(row.name)
    assert nut.diameter_mm == bolt.diameter_mm
    assert nut.height_mm > 3 * bolt.pitch_mm
    assert bolt.diameter_mm < washer.inside_mm < nut.flats_mm < washer.outside_mm


def test_every_thread_has_both_heads():
    bolts = [row.value for row in rows(CatalogKind.BOLT)]
    threads = {head: [bolt.name for bolt in bolts if bolt.head is head] for head in Head}
    assert threads[Head.HEX] == threads[Head.CARRIAGE]
    assert list(names(CatalogKind.BOLT)) == threads[Head.HEX] == list(names(CatalogKind.NUT))


@pytest.mark.parametrize("row", rows(CatalogKind.SCREW), ids=lambda row: row.name)
def test_screw_row(row):
    size = screw(row.name)
    assert size is row.value
    assert size.diameter_mm < size.flats_mm < size.flange_mm
    assert 0 < size.thinnest_mm < size.thickest_mm < size.lengths_mm[0]
    assert list(size.lengths_mm) == sorted(set(size.lengths_mm))


@pytest.mark.parametrize("row", rows(CatalogKind.LAG_SCREW), ids=lambda row: row.name)
def test_lag_screw_row(row):
    size = lag_screw(row.name)
    assert size is row.value
    assert size.head_height_mm < size.diameter_mm < size.flats_mm < 2 * size.diameter_mm
    assert list(size.lengths_mm) == sorted(set(size.lengths_mm)) and len(size.lengths_mm) > 7
    assert size.lengths_mm[0] > 3 * size.diameter_mm


@pytest.mark.parametrize("kind", [kind for kind in CatalogKind if kind is not CatalogKind.BOLT])
def test_no_name_or_alias_stands_for_two_sizes(kind):
    keys = [key(name) for row in rows(kind) for name in (row.name, *row.aliases)]
    assert len(keys) == len(set(keys))


def test_no_bolt_name_stands_for_two_sizes_with_one_head():
    for head in Head:
        found = [row for row in rows(CatalogKind.BOLT) if row.value.head is head]
        keys = [key(name) for row in found for name in (row.name, *row.aliases)]
        assert len(keys) == len(set(keys))


def test_kinds_by_their_names():
    assert names("tube") == names(CatalogKind.TUBE) == tuple(row.name for row in tube_rows())
    with pytest.raises(ValueError, match="'pipe' is not a valid CatalogKind"):
        names("pipe")


@pytest.mark.parametrize(
    "spelling",
    [
        "NPS 1-1/2 STD",
        "nps 1 1/2 std",
        "NPS 1½ Std.",
        "NPS 1.5 STD",
        "NPS 1.50 standard",
        "NPS 1-1/2 Sch 40",
        "nps1-1/2 schedule 40",
        "NPS 1–1/2 SCH. 40",
    ],
)
def test_one_pipe_in_many_spellings_is_one_tube(spelling):
    assert tube_section(spelling) is tube_section("NPS 1-1/2 STD")


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        ("dn40 medium", "EN 10255 DN40 medium"),
        ("EN 10255 DN40 H", "EN 10255 DN40 heavy"),
        ("48x2mm", "48 x 2 mm"),
        ("48 mm × 2.0 mm", "48 x 2 mm"),
        ('1.660" x 14 gauge bwg', "1.66 in x 14 ga BWG"),
        ("1.66 x 14 ga bwg", "1.66 in x 14 ga BWG"),
        ("1.66 in x BWG 14", "1.66 in x 14 ga BWG"),
        ("1-5/8 in x 16 ga BWG", "1.625 in x 16 ga BWG"),
        ("F1043 group IC 1.9 in", "ASTM F1043 IC 1.900 in"),
        ("NPS 2 XS", "NPS 2 Sch 80"),
    ],
)
def test_tube_of_the_table_by_other_names(spelling, name):
    assert tube_section(spelling).name == name in names(CatalogKind.TUBE)


@pytest.mark.parametrize(
    ("spelling", "name", "od_mm", "wall_mm"),
    [
        ("42.4 mm x 3.2 mm", "42.4 x 3.2 mm", 42.4, 3.2),
        ("tube 61 x 2.25 mm", "61 x 2.25 mm", 61, 2.25),
        ("1.66 in x 0.111 in", "1.66 in x 0.111 in", 1.66 * 25.4, 0.111 * 25.4),
        ("1-5/8 x 1/8 in", "1.625 in x 0.125 in", 41.275, 3.175),
        ("1.315 in x 2 mm", "1.315 in x 2 mm", 1.315 * 25.4, 2),
        ("1.5 in x 14 ga MSG", "1.5 in x 14 ga MSG", 38.1, 0.0747 * 25.4),
    ],
)
def test_tube_by_numbers(spelling, name, od_mm, wall_mm):
    tube = tube_section(spelling)
    assert tube.name == name not in names(CatalogKind.TUBE)
    assert (tube.od_mm, tube.wall_mm) == pytest.approx((od_mm, wall_mm), rel=1e-12)
    assert tube_section(tube.name) == tube


def test_gauge_without_its_system_is_refused_with_the_choices():
    for text in ("14 ga", "1.66 in x 14 ga", "1.66 in x 14 gauge"):
        with pytest.raises(CatalogError, match="the name of its system, which could be") as caught:
            tube_section(text)
        message = str(caught.value)
        for choice in ("BWG = 0.083 in", "MSG = 0.0747 in", "GSG = 0.0785 in", "SWG = 0.080 in"):
            assert f"14 ga {choice}" in message


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("NPS 1-1/2", 'the nearest are "NPS 1-1/2 STD"'),
        ("NPS 1-1/2 Sch 60", r'"NPS 1-1/2 Sch 80".*or give the outside diameter and wall instead'),
        ("zzzz", 'some of them are "NPS 1/2 STD"'),
        ("", "got '' for a tube; the catalogue has"),
        (None, "got None for a tube"),
        ("1 in x 1 in", r"the wall must be at least 0.5 mm \(0.02 in\) and leave a bore"),
        ("40 mm x 0.4 mm", "the wall must be at least 0.5 mm"),
        ("3 x 42 mm", "the outside diameter must be 10 mm to 400 mm"),
        ("500 mm x 5 mm", "the outside diameter must be 10 mm to 400 mm"),
        ("48 x 2", "got '48 x 2'.*without a unit; add one"),
        ("2 in x 13", 'the wall, 13, has no unit.*or as a gauge .*"13 ga BWG"'),
        ("1,5 in x 2 mm", "a comma in a number is not read"),
        ("1.66 in x 99 ga BWG", "got 99 gauge in BWG; 10 to 20 are in the table"),
        ("1.66 in x 14 ga XYZ", "a gauge needs exactly one number and the name of its system"),
        ("1.66 in x 14 ga BWG MSG", "a gauge needs exactly one number"),
    ],
)
def test_tube_that_is_not_there(text, message):
    with pytest.raises(CatalogError, match=message):
        tube_section(text)
    with pytest.raises(CatalogError, match=message):
        tube_stock_lengths_mm(text)


def test_wall_from_gauge():
    assert wall_from_gauge(14, GaugeSystem.BWG) == wall_from_gauge(14, "bwg") == 2.1082
    with pytest.raises(CatalogError, match=r"got 'XYZ' for a gauge system; BWG \(Birmingham"):
        wall_from_gauge(14, "XYZ")
    with pytest.raises(CatalogError, match="got 3 gauge in MSG; 10 to 20 are in the table"):
        wall_from_gauge(3, GaugeSystem.MSG)


@pytest.mark.parametrize("spelling", ["47x150", "47 × 150", "47 x 150 mm", "47 mm x 150 mm"])
def test_one_board_in_many_spellings(spelling):
    assert timber_section(spelling) is timber_section("47x150")


@pytest.mark.parametrize(
    ("spelling", "name", "thickness_mm", "depth_mm"),
    [
        ("45 x 145 mm", "45x145 mm", 45, 145),
        ("145 x 45 mm", "45x145 mm", 45, 145),
        ("board 1-1/2 in x 7-1/4 in", "1.5 in x 7.25 in", 38.1, 184.15),
        ("2.0 in x 8.0 in", "2.0 in x 8.0 in", 50.8, 203.2),
        ("38 mm x 7.25 in", "38 mm x 7.25 in", 38, 184.15),
    ],
)
def test_board_by_its_actual_sizes(spelling, name, thickness_mm, depth_mm):
    board = timber_section(spelling)
    assert (board.name, board.thickness_mm, board.depth_mm) == (name, thickness_mm, depth_mm)
    assert timber_section(board.name) == board


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("2 in x 8 in", "whole inches are usually nominal sizes"),
        ('2"x8"', "write the nominal name, such as 2x8"),
        ("2x9", 'the nearest are "2x8".*or give the actual thickness and depth instead'),
        ("45x145", 'for example "45 x 145 mm"'),
        ("200 mm x 900 mm", r"10 mm to 150 mm \(0.4 in to 5.9 in\) thick and at most 500 mm"),
        ("45 mm x 145 furlongs", "the unit 'furlongs' is not known"),
        (28, "got 28 for a timber"),
    ],
)
def test_board_that_is_not_there(text, message):
    with pytest.raises(CatalogError, match=message):
        timber_section(text)
    with pytest.raises(CatalogError, match=message):
        timber_stock_lengths_mm(text)


def test_stock_lengths():
    """Common practice, no source."""
    pipe, tube = [pytest.approx((feet * FOOT, 24 * FOOT)) for feet in (21, 20)]
    assert tube_stock_lengths_mm("NPS 2 STD") == pipe
    assert tube_stock_lengths_mm("DN40 medium") == (6000, 6400)
    assert tube_stock_lengths_mm("1.7 in x 0.1 in") == tube
    assert tube_stock_lengths_mm("1.7 in x 14 ga BWG") == tube
    assert tube_stock_lengths_mm("43 x 2 mm") == (6000,)
    assert timber_stock_lengths_mm("2x8")[:2] == pytest.approx((8 * FOOT, 10 * FOOT))
    assert timber_stock_lengths_mm("1.5 in x 7.0 in")[-1] == pytest.approx(16 * FOOT)
    assert timber_stock_lengths_mm("45 x 145 mm")[-1] == 6000


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        ("3/8", "3/8-16"),
        ("3/8 in", "3/8-16"),
        ('3/8"', "3/8-16"),
        ("1/2-13", "1/2-13"),
        ("m 10", "M10"),
        ("M10 × 1.5", "M10"),
    ],
)
def test_bolt_and_nut_by_other_names(spelling, name):
    for head in ("hex", Head.CARRIAGE):
        assert bolt_size(spelling, head).name == name
        assert bolt_size(spelling, head).head is Head(head)
    assert nut_size(spelling).name == name


@pytest.mark.parametrize(
    ("find", "text", "message"),
    [
        (bolt_size, "M11", 'for a bolt; the catalogue has 11 sizes, the nearest are "M1'),
        (nut_size, "3/4", "got '3/4' for a nut"),
        (washer_size, "M7", "got 'M7' for a washer"),
        (screw, "ST9", 'for a screw; the catalogue has 7 sizes, the nearest are "ST'),
        (nut_size, 10, "got 10 for a nut"),
        (lag_screw, "1/3", "got '1/3' for a lag screw; the catalogue has 6 sizes, the nearest"),
        (lag_screw, 8, "got 8 for a lag screw"),
    ],
)
def test_fastener_that_is_not_there(find, text, message):
    with pytest.raises(CatalogError, match=message):
        find(text)


def test_head_that_is_not_there():
    with pytest.raises(CatalogError, match="got 'round' for the head of a bolt; hex, carriage are"):
        bolt_size("M10", "round")


def test_washer_and_screw_names():
    assert washer_size("1/2").name == "1/2 wide" == washer_size("1/2 W").name
    assert washer_size("1/2 N").name == "1/2 narrow"
    assert washer_size("m10").outside_mm < washer_size("M10 large").outside_mm
    assert screw("12-14") is screw("No. 12-14") is screw("#12-14")


def test_lag_screw_names():
    assert lag_screw("1/4") is lag_screw('1/4"') is lag_screw("1/4 in")
    assert lag_screw("8mm") is lag_screw("8.0 mm")


def test_choose_bolt_length():
    bolt = bolt_size("1/2-13")
    assert choose_bolt_length(bolt, 4.5 * 25.4) == pytest.approx(4.5 * 25.4)
    assert choose_bolt_length(bolt, 4.5 * 25.4 + 1e-9) == pytest.approx(4.5 * 25.4)
    assert choose_bolt_length(bolt, 4.5 * 25.4 + 0.01) == pytest.approx(4.75 * 25.4)
    assert choose_bolt_length(bolt, 0) == bolt.lengths_mm[0]
    assert choose_bolt_length(bolt, 12 * 25.4) == pytest.approx(12 * 25.4)
    with pytest.raises(CatalogError, match=r"a 1/2-13 hex bolt must be 305.0 mm long"):
        choose_bolt_length(bolt, 305)
    with pytest.raises(CatalogError, match="the longest stocked is 200.0 mm: use threaded rod"):
        choose_bolt_length(bolt_size("M10", Head.CARRIAGE), 201)


def test_grip_to_length():
    assert grip_to_length(100, 8.4, 1.5) == pytest.approx(100 + 8.4 + 3)


def test_clearance():
    outer = TubeSection(name="outer", od_mm=50, wall_mm=3)
    inner = TubeSection(name="inner", od_mm=42, wall_mm=2)
    assert clearance_mm(outer, inner) == 2
    assert clearance_mm(inner, outer) == -12


def test_thread_length_is_never_more_than_the_bolt():
    bolt = bolt_size("1/2-13")
    assert thread_length_mm(bolt, 25.4) == 25.4
    assert thread_length_mm(bolt, 152.4) == pytest.approx(31.75)
    assert thread_length_mm(bolt, 165.1) == pytest.approx(38.1)
