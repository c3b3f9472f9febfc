"""What the user's files may say, and what a bad one is told: row, column, and what to do."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from site_frames import small_frame

from frame3d.errors import DesignError, ListFaults
from frame3d.site.built.tops import read_built
from frame3d.site.ground.levels import read_levels
from frame3d.site.staking.measured import read_measured
from frame3d.site.staking.plausible import unit_hint
from frame3d.site.staking.setting_out import PlaceKind, set_out
from frame3d.site.survey import survey_site

READERS = {"levels": read_levels, "measured": read_measured, "built": read_built}


def written(folder: Path, text: str | bytes, name: str = "list.csv") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def table(*rows) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def faults(kind: str, folder: Path, text: str) -> list[str]:
    """Everything that a file is told."""
    with pytest.raises(ListFaults) as error:
        READERS[kind](written(folder, text), small_frame())
    return [str(fault) for fault in error.value.faults]


GRID = [(x, y) for x in ("0 m", "2.5 m", "5 m") for y in ("0 m", "4 m", "9 m")]


def test_levels_by_height_in_any_unit(tmp_path: Path) -> None:
    text = table(
        ["Point", "x, m", "y (ft)", "z", "note"],
        ["a", "0", "0", "1' 6\"", ""], ["b", "5.0", "3 m", "450 mm", "wet"],
        [], ["c", "-1.5", "29.5", "-0.2 m", ""],
    )  # fmt: skip
    found = read_levels(written(tmp_path, text), small_frame())
    assert [(level.name, level.row) for level in found] == [("a", 2), ("b", 3), ("c", 5)]
    assert [(level.x_mm, level.y_mm, level.z_mm) for level in found] == [
        (0.0, 0.0, 457.2), (5000.0, 3000.0, 450.0), (-1500.0, pytest.approx(29.5 * 304.8), -200.0),
    ]  # fmt: skip


def test_levels_by_rod_from_two_set_ups(tmp_path: Path) -> None:
    """Height of the sight = benchmark + reading; height of a point = sight less its reading."""
    text = table(
        ["point", "rod, m", "z, m", "rock"],
        ["benchmark", "1.200", "100", ""], ["1L", "1.500", "", ""], ["7R", "1.000", "", "40 cm"],
        ["Benchmark", "0.700", "100.5", ""], ["front right", "1.100", "", ""],
    )  # fmt: skip
    found = read_levels(written(tmp_path, text), small_frame())
    assert [level.z_mm for level in found] == pytest.approx([99700, 100200, 100100])
    assert [(level.x_mm, level.y_mm) for level in found] == [(0, 0), (5000, 9000), (5000, 0)]
    assert [level.rock_mm for level in found] == [None, 400.0, None]


@pytest.mark.parametrize("corner", ["front left", "front right", "back left", "back right"])
def test_a_name_stands_for_the_place_that_is_staked(corner: str, tmp_path: Path) -> None:
    """Level by name and level by the figures of the stake list lie at the same place."""
    frame = small_frame(corner=corner)
    points = set_out(frame).of(PlaceKind.SOCKET)
    text = table(["point", "z"], *([point.name, "0 m"] for point in points))
    levels = read_levels(written(tmp_path, text), frame)
    found = {level.name: (level.x_mm, level.y_mm) for level in levels}
    assert found == {p.name: pytest.approx((p.x_mm, p.y_mm)) for p in points}


def test_semicolons_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    text = "\ufeffpoint;x;y;z\n;0;0;0\n;5 m;0;10 mm\n;0;9 m;20 mm\n"
    assert len(read_levels(written(tmp_path, text), small_frame())) == 3


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([["x", "y"]], "row 1, column z: is missing; give heights in a column z, or rod"),
        ([["x", "z"]], "row 1, column y: is missing; give places in columns x and y"),
        ([["x", "y", "rod"]], 'row 1, column point: is missing; rod readings need a row called'),
        ([["x", "y", "z", "z"]], "row 1, column z: appears twice"),
        ([["x", "y", "z", "depth"]], 'row 1, column "depth": is not a column of this list'),
        ([["x", "y", "z"], ["0", "0", "high"]], 'row 2, column z: got \'high\', which is not a'),
        ([["x", "y", "z"], ["0", "0", "3.5"]], 'row 2, column z: .* or name the column "z, m"'),
        ([["x", "y", "z"], ["0", "", "3 m"]], "row 2, column y: is empty; give both x and y"),
        ([["x", "y", "z"], ["", "", "3 m"]], "row 2, column x: has no x and y and names no"),
        ([["point", "z"], ["9L", "3 m"]],
         "row 2, column point: has no x and y and names no socket"),
        ([["x", "y", "z"], ["0", "0", ""]], "row 2, column z: is empty; give the point's height"),
        ([["point", "rod"], ["1L", "1 m"]], 'row 2, column rod: has no "benchmark" before it'),
        ([["point", "rod"], ["benchmark", ""]], "row 2, column rod: is empty; give the rod "
                                                "reading"),
        ([["point", "z", "rod"], ["1L", "1 m", "2 m"]],
         "row 2, column rod: is given as well as"),
        ([["x", "y", "z"], ["0", "0", "99 km"]], "row 2, column z: got '99 km' .*"),
        ([["x", "y", "z"], ["0", "0", "99000 m"]], 'row 2, column z: got "99000 m"; it must be'),
        ([["x", "y", "z", "rock"], ["0", "0", "0", "-1 m"]], "row 2, column rock: .* must not be"),
        ([["x", "y", "z"], ["0", "0", "0"], ["5 m", "0", "0"]],
         "row 3: ends the list with 2 points"),
    ],
)  # fmt: skip
def test_bad_levels_are_told(rows: list, told: str, tmp_path: Path) -> None:
    import re

    found = faults("levels", tmp_path, table(*rows))
    assert any(re.search(told, line) for line in found), found


def level_rows(change=None) -> list[list[str]]:
    rows = [["x", "y", "z"], *([x, y, "0 m"] for x, y in GRID)]
    if change:
        change(rows)
    return rows


def test_points_that_are_there_twice_are_told(tmp_path: Path) -> None:
    found = faults(
        "levels", tmp_path, table(*level_rows(lambda r: r.append(["2.505 m", "4 m", "0"])))
    )
    assert found == ["row 11: is at the same place as row 6; remove one of the two rows"]


def test_a_point_far_off_is_told(tmp_path: Path) -> None:
    (found,) = faults(
        "levels", tmp_path, table(*level_rows(lambda r: r.append(["2 m", "900 m", "0"])))
    )
    assert found.startswith("row 11, column x: and y put this point 895")
    assert found.endswith("from the middle of the tunnel; correct them or remove the row")


def test_a_height_that_is_a_slip_is_told(tmp_path: Path) -> None:
    def slip(rows):
        rows[5][2] = "12 m"  # 12 mm was meant

    (found,) = faults("levels", tmp_path, table(*level_rows(slip)))
    assert found.startswith("row 6, column z: differs in height from every nearby point")


def test_heights_in_a_wrong_unit_are_told_once(tmp_path: Path) -> None:
    """Millimetres of a gentle plot, called metres."""
    rows = [["x", "y", "z, m"], *([x, y, f"{37 * i % 100}"] for i, (x, y) in enumerate(GRID))]
    (found,) = faults("levels", tmp_path, table(*rows))
    assert "others differ too much: the heights span" in found
    assert found.startswith("row 3, column z")  # the corner of the grid has two neighbours only


def test_points_on_one_line_are_told(tmp_path: Path) -> None:
    rows = [["x", "y", "z"], *(["1 m", f"{y} m", "0"] for y in range(9))]
    (found,) = faults("levels", tmp_path, table(*rows))
    assert "and the other points are all on one line; take levels on both sides" in found


@pytest.mark.parametrize(
    ("unit", "told"),
    [("mm", "it looks like m read as mm"), ("cm", "it looks like m read as cm"),
     ("ft", None), ("m", None)],
)  # fmt: skip
def test_a_wrong_unit_shows_by_the_size(unit: str, told: str | None, tmp_path: Path) -> None:
    """A plot of 5 m by 9 m whose numbers are in metres, whatever the column says."""
    rows = [[f"x, {unit}", f"y, {unit}", "z"],
            *([x.split()[0], y.split()[0], "0"] for x, y in GRID)]  # fmt: skip
    if told is None:
        assert len(read_levels(written(tmp_path, table(*rows)), small_frame())) == 9
        return
    (found,) = faults("levels", tmp_path, table(*rows))
    assert told in found
    assert found.startswith("row 2, column x")


def test_millimetres_read_as_metres_show_as_well(tmp_path: Path) -> None:
    rows = [["x, m", "y, m", "z"], *([f"{x}", f"{y}", "0"] for x in (0, 4000, 5000)
                                      for y in (0, 5000, 9000))]  # fmt: skip
    (found,) = faults("levels", tmp_path, table(*rows))
    assert "must be within 10 km" in found or "most other points are" in found
    rows = [["x, ft", "y, ft", "z"], *([f"{x}", f"{y}", "0"] for x in (0, 400, 500)
                                        for y in (0, 500, 900))]  # fmt: skip
    (found,) = faults("levels", tmp_path, table(*rows))
    assert "from the tunnel" in found


@pytest.mark.parametrize(
    ("got", "meant", "hint"),
    [(29.3, 29260.0, "m read as mm"), (29260.0 * 1000, 29260.0, "mm read as m"),
     (96 * 25.4, 96 * 304.8, "ft read as in"), (1152 * 304.8, 1152 * 25.4, "in read as ft"),
     (4000.0, 29260.0, ""), (0.0, 100.0, "")],
)  # fmt: skip
def test_units_that_are_taken_for_each_other(got: float, meant: float, hint: str) -> None:
    assert hint in unit_hint(got, meant)
    assert bool(unit_hint(got, meant)) == bool(hint)


SIDES = [
    ["1L", "1R", "5 m"], ["7L", "7R", "5 m"], ["1L", "7L", "9 m"], ["1R", "7R", "9 m"],
    ["front left", "back right", "10296 mm"], ["1R", "7L", "10.295 m"],
]  # fmt: skip


def test_measured_distances_are_read(tmp_path: Path) -> None:
    found = read_measured(
        written(tmp_path, table(["from", "to", "distance"], *SIDES)), small_frame()
    )
    assert [(d.first, d.second) for d in found] == [(0, 1), (2, 3), (0, 2), (1, 3), (0, 3), (1, 2)]
    assert found[4].length_mm == 10296.0


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([["from", "to"]], "row 1, column distance: is missing"),
        ([["from", "to", "distance"], *SIDES[:4]], r"row 5: ends the list with 4 different dist"),
        ([["from", "to", "distance"], ["2L", "1R", "5 m"]],
         'row 2, column from: got "2L"; it must'),
        ([["from", "to", "distance"], ["1L", "1L", "5 m"]], "row 2, column to: is the corner"),
        ([["from", "to", "distance"], ["1L", "1R", ""]], "row 2, column distance: is empty"),
        ([["from", "to", "distance"], ["1L", "1R", "wide"]], "row 2, column distance: got 'wide'"),
        ([["from", "to", "distance"], ["1L", "1R", "9 m"]],
         "row 2, column distance: is 9000 mm, but the design has"),
        ([["from", "to", "distance"], ["1L", "1R", "5 mm"]], "it looks like m read as mm"),
    ],
)  # fmt: skip
def test_bad_distances_are_told(rows: list, told: str, tmp_path: Path) -> None:
    import re

    found = faults("measured", tmp_path, table(*rows))
    assert any(re.search(told, line) for line in found), found


def point_rows() -> list[list[str]]:
    return [["point", "x, m", "y, m", "z, m"],
            *([f"{n}{s}", x, f"{1.5 * (n - 1)}", "0.3"] for n in range(1, 8)
              for s, x in (("L", "0"), ("R", "5")))]  # fmt: skip


def test_tops_are_read_by_points_and_by_tape(tmp_path: Path) -> None:
    frame = small_frame()
    assert len(read_built(written(tmp_path, table(*point_rows())), frame)) == 14
    rows = [["hoop", "width", "left", "right", "left_height", "right_height"],
            *([f"{n}", "5 m", f"{1.5 * (n - 1)} m", f"{1.5 * (n - 1)} m", "0.3 m", ""]
              for n in range(1, 8))]  # fmt: skip
    found = read_built(written(tmp_path, table(*rows)), frame)
    assert len(found) == 14
    assert {top.taped for top in found} == {True}
    assert [top.z_mm for top in found[:2]] == [300.0, None]
    rows = [["point", "x", "y", "rod"], *([*row[:1], f"{row[1]} m", f"{row[2]} m", "1.2 m"]
                                           for row in point_rows()[1:])]  # fmt: skip
    assert {top.z_mm for top in read_built(written(tmp_path, table(*rows)), frame)} == {-1200.0}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda r: r.append(["1L", "0", "0", "0"]), "row 16, column point: is in row 2 already"),
        (lambda r: r.append(["8L", "0", "0", "0"]), "row 16, column point: .* of hoops 1 to 7"),
        (lambda r: r[3].__setitem__(1, ""), "row 4, column x: is empty"),
        (lambda r: r[3].__setitem__(1, "far"), "row 4, column x: got 'far'"),
        (lambda r: r[0].__setitem__(1, "across"), "row 1, column x: is missing"),
        (lambda r: r[0].__setitem__(3, "width"), "row 1, column width: does not belong with point"),
        (lambda r: r[6].__setitem__(2, "7.5"), "row 7, column x: and y put 3R"),
        (lambda r: r.__delitem__(slice(4, 99)), "row 4: ends the list with 3 tops"),
        (lambda r: r[5].__setitem__(3, "300"), "row 2, column z: and the rest differ by 299700 mm"),
        (lambda r: r[0].__setitem__(slice(1, 3), ["x, mm", "y, mm"]), "it looks like m read as mm"),
    ],
)  # fmt: skip
def test_bad_tops_are_told(change, told: str, tmp_path: Path) -> None:
    import re

    rows = point_rows()
    change(rows)
    found = faults("built", tmp_path, table(*rows))
    assert any(re.search(told, line) for line in found), found


@pytest.mark.parametrize(
    ("row", "told"),
    [(["9", "5 m", "0", "0"], "row 2, column hoop: got 9; the last hoop is number 7"),
     (["one", "5 m", "0", "0"], 'row 2, column hoop: got "one"; it must be a whole number'),
     (["1", "", "0", "0"], "row 2, column width: is empty"),
     (["", "5 m", "0", "0"], "row 2, column hoop: is empty")],
)  # fmt: skip
def test_bad_tapes_are_told(row: list, told: str, tmp_path: Path) -> None:
    found = faults("built", tmp_path, table(["hoop", "width", "left", "right"], row))
    assert any(line.startswith(told) for line in found), found


def test_the_faults_of_all_files_are_told_at_once(tmp_path: Path) -> None:
    levels = written(tmp_path, "x,y,z\n0,0,up\n1,0,down\n", "levels.csv")
    measured = written(tmp_path, "from,to\n", "measured.csv")
    with pytest.raises(ListFaults) as error:
        survey_site(small_frame(), levels=levels, measured=measured, built=tmp_path / "nothing.csv")
    told = str(error.value)
    assert "levels.csv, row 2, column z" in told
    assert "levels.csv, row 3, column z" in told
    assert "measured.csv, row 1, column distance" in told
    assert "nothing.csv cannot be read: No such file" in told


@pytest.mark.parametrize("kind", READERS)
def test_files_that_are_none_are_told(kind: str, tmp_path: Path) -> None:
    with pytest.raises(DesignError, match=f"--{kind}: .* is not text in UTF-8"):
        READERS[kind](written(tmp_path, b"x,y\xff\xfe"), small_frame())
    with pytest.raises(DesignError, match="cannot be read: No such file"):
        READERS[kind](tmp_path / "none.csv", small_frame())
    with pytest.raises(ListFaults, match="row 1: is empty; the first row must name the columns"):
        READERS[kind](written(tmp_path, ""), small_frame())
