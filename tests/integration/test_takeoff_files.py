"""The files of a take-off agree with each other and with the frame, read by other programs."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import openpyxl
import pytest

from frame3d.building import taken_off
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.errors import OutputError
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.single_builds import build_takeoff
from frame3d.takeoff.quantities.prices import read_prices
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.records import FIRST_LINE
from frame3d.takeoff.write.takeoff_files import TABLES as OWN_TABLES
from frame3d.takeoff.write.takeoff_files import TAKEOFF_FILES, WORK_TABLES
from frame3d.takeoff.write.workbook import FIRST_ROW, HEAD_ROW, SUM_ROW

PRICES = """item,length,price,per,pack,currency
2 in x 13 ga BWG,24 ft,71.5,,,EUR
2x10,,1.95,ft,,
hex nut 3/8-16,,9.25,pack,50,
flat washer 3/8 wide,,0.08,each,,
"""
TABLES = (*OWN_TABLES, *WORK_TABLES)
KG_PER_LB, MM_PER_INCH = 0.45359237, 25.4
NAMES = ("long_meadow_gothic", "long_meadow_quonset")


def taken(name: str, folder: Path) -> Takeoff:
    """The take-off of an example; the gothic one with a price list that lacks most prices."""
    text = example_paths()[name].read_text("utf-8")
    if name == "long_meadow_gothic":
        (folder / "prices.csv").write_text(PRICES)
        text += '\n[order]\nprice_file = "prices.csv"\nzinc = 305.0\nbolt_pack = 25\n'
    return taken_off(lay_out(design_from_text(text, folder=folder)))


@pytest.fixture(scope="module", params=NAMES)
def made(request, tmp_path_factory) -> tuple[Takeoff, Path]:
    folder = tmp_path_factory.mktemp(request.param)
    takeoff = taken(request.param, folder)
    build_takeoff(takeoff, folder / "out")
    return takeoff, folder / "out"


@pytest.fixture(scope="module")
def worked_out(made, tmp_path_factory) -> openpyxl.Workbook:
    """The workbook as LibreOffice works it out: values it never saw are not in the file."""
    bare = openpyxl.load_workbook(made[1] / "takeoff.xlsx")
    folder = tmp_path_factory.mktemp("office")
    bare.save(folder / "bare.xlsx")  # openpyxl writes formulas without their values
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    subprocess.run(
        [shutil.which("soffice") or "soffice", profile, "--headless", "--convert-to", "xlsx",
         "--outdir", str(folder / "out"), str(folder / "bare.xlsx")],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return openpyxl.load_workbook(folder / "out" / "bare.xlsx", data_only=True)


def rows_of(sheet) -> list[list]:
    values = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=FIRST_ROW + 1)]
    return [["" if value is None else value for value in row] for row in values]


def csv_rows(folder: Path, key: str) -> list[list[str]]:
    with (folder / f"takeoff-{key}.csv").open(encoding="utf-8-sig", newline="") as file:
        caution, *rows = csv.reader(file)
    assert caution == [FIRST_LINE]
    return rows


def same(got, wanted, tolerance: float = 1e-6) -> bool:
    if isinstance(wanted, str) or isinstance(got, str):
        return str(got) == str(wanted)
    return got == pytest.approx(wanted, rel=1e-9, abs=tolerance)


def test_every_file_is_there_and_nothing_else(made) -> None:
    assert sorted(path.name for path in made[1].iterdir()) == sorted(TAKEOFF_FILES)
    assert [path.name for path in made[1].parent.iterdir() if path.name.startswith(".")] == []


def test_second_time_gives_the_same_bytes(made, tmp_path: Path) -> None:
    name = NAMES["quonset" in made[1].parent.name]
    build_takeoff(taken(name, tmp_path), tmp_path / "again")
    for file in TAKEOFF_FILES:
        assert (tmp_path / "again" / file).read_bytes() == (made[1] / file).read_bytes(), file


def test_workbook_holds_what_the_csv_files_hold(made) -> None:
    book = openpyxl.load_workbook(made[1] / "takeoff.xlsx", data_only=True)
    assert book.sheetnames == ["Notes", *(key.capitalize() for key in TABLES)]
    for key in TABLES:
        sheet, (head, *rows) = book[key.capitalize()], csv_rows(made[1], key)
        assert [cell.value for cell in sheet[HEAD_ROW + 1]] == head
        got = rows_of(sheet)
        assert len(got) == len(rows) > 0
        for line, expected in zip(got, rows, strict=True):
            for cell, text in zip(line, expected, strict=True):
                assert same(cell, float(text) if isinstance(cell, (int, float)) else text)


def test_libreoffice_works_out_the_same(made, worked_out) -> None:
    """Every formula: products, packs, sums of columns, sums over another sheet."""
    kept = openpyxl.load_workbook(made[1] / "takeoff.xlsx", data_only=True)
    formulas = openpyxl.load_workbook(made[1] / "takeoff.xlsx")
    compared = 0
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                told = kept[sheet.title][cell.coordinate].value
                found = worked_out[sheet.title][cell.coordinate].value
                # Of values to 1e-6 each, times counts below a thousand, sums of some thirty.
                wanted, got = ("" if v is None else v for v in (told, found))
                assert same(got, wanted, 2e-3), (sheet.title, cell.coordinate, cell.value)
                compared += 1
    assert compared > 100


def test_sums_are_formulas_and_stand_over_their_columns(made, worked_out) -> None:
    takeoff, folder = made
    book = openpyxl.load_workbook(folder / "takeoff.xlsx")
    heads = [cell.value for cell in book["Parts"][HEAD_ROW + 1]]
    place = next(n for n, head in enumerate(heads, 1) if head in ("Weight, lb", "Mass, kg"))
    formula = book["Parts"].cell(SUM_ROW + 1, place).value
    assert formula.startswith("=SUBTOTAL(9,")
    unit = KG_PER_LB if heads[place - 1].endswith("lb") else 1.0
    total = worked_out["Parts"].cell(SUM_ROW + 1, place).value
    assert total * unit == pytest.approx(takeoff.mass_kg, abs=1e-3)


def test_sheets_are_set_up_to_be_used(made) -> None:
    takeoff, folder = made
    book = openpyxl.load_workbook(folder / "takeoff.xlsx")
    paper = {"us": "1", "iso": "9"}[takeoff.frame.design.output.sheets.value]
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert str(sheet.page_setup.paperSize) == paper
        # As wide as a page, as many pages long as it takes; a width of 1 is not written.
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.fitToWidth in (None, 1) and sheet.page_setup.fitToHeight == 0
        assert "Page" in sheet.oddFooter.right.text
        if sheet.title == "Notes":
            continue
        assert sheet.freeze_panes == f"B{FIRST_ROW + 1}"
        assert sheet.print_title_rows == f"${HEAD_ROW + 1}:${HEAD_ROW + 1}"
        assert sheet.auto_filter.ref.startswith(f"A{HEAD_ROW + 1}:")
    told = " ".join(str(row[1].value) for row in book["Notes"].iter_rows(min_row=3))
    assert "licensed professional" in told
    assert "NIOSH" in told


def test_json_holds_what_the_csv_files_hold_in_its_own_units(made) -> None:
    data = json.loads((made[1] / "takeoff.json").read_text("utf-8"))
    assert list(data["tables"]) == list(TABLES)
    units = {"in": MM_PER_INCH, "mm": 1.0, "lb": KG_PER_LB, "kg": 1.0,
             "ft²": 0.09290304, "m²": 1.0, "EUR": 1.0}  # fmt: skip
    for key in TABLES:
        head, *rows = csv_rows(made[1], key)
        records = data["tables"][key]
        assert len(records) == len(rows)
        for record, row in zip(records, rows, strict=True):
            for value, text, name in zip(record.values(), row, head, strict=True):
                if isinstance(value, str) or value is None:
                    assert text == (value or "")
                    continue
                factor = units.get(name.rpartition(", ")[2], 1.0)
                # The table's own digits: 1e-4 in, 1e-6 lb times a count below a thousand.
                assert float(text) * factor == pytest.approx(value, rel=1e-6, abs=2e-3)


def test_price_list_to_fill_in_reads_back(made) -> None:
    takeoff, folder = made
    prices = read_prices(folder / "takeoff-prices.csv")
    assert prices.currency == takeoff.currency
    for line in takeoff.cost:
        row = prices.find(line.item, line.length_mm)
        assert (row.price, row.per) == (line.price, line.per)
    for section in takeoff.sections:
        for stock in section.stocks:
            row = prices.find(section.section.name, stock.length_mm)
            assert stock.owned or (row.length_mm, row.price) == (
                pytest.approx(stock.length_mm, abs=0.5), stock.price,
            )  # fmt: skip


def test_cost_by_hand(tmp_path: Path) -> None:
    """Fifty bars at 71.50; thirteen boards of 16 ft at 1.95 a foot; nuts for 553, 5 % spare:
    581, twelve packs of 50 at 9.25; 850 washers and 43 to spare at 0.08.
    """
    takeoff = taken("long_meadow_gothic", tmp_path)
    found = {line.item: line.amount for line in takeoff.cost if line.price is not None}
    assert found == {
        "2 in x 13 ga BWG": pytest.approx(50 * 71.5),
        "2x10": pytest.approx(13 * 16 * 1.95),
        "hex nut 3/8-16": pytest.approx(12 * 9.25),
        "flat washer 3/8 wide": pytest.approx(893 * 0.08),
    }
    assert takeoff.currency == "EUR"
    build_takeoff(takeoff, tmp_path / "out")
    data = json.loads((tmp_path / "out" / "takeoff.json").read_text("utf-8"))
    assert data["cost"]["total"] == pytest.approx(3575 + 405.6 + 111 + 71.44)
    assert "2.375 in x 10 ga BWG, 24'-0\"" in data["cost"]["missing_prices"]


def test_picture_is_to_scale(made) -> None:
    takeoff, folder = made
    root = ET.parse(folder / "takeoff-cuts.svg").getroot()
    boxes = root.findall("{http://www.w3.org/2000/svg}rect")[1:]
    wanted = []
    for section in takeoff.sections:
        bars = list(dict.fromkeys(section.plan.bars))
        for bar in bars:
            wanted.append(bar.stock.length_mm)
            wanted += [cut.length_mm for cut in bar.cuts]
            if bar.rest_mm >= max(takeoff.frame.design.order.shortest_offcut, 1e-3):
                wanted.append(bar.rest_mm)
    drawn = [float(box.get("width")) for box in boxes]
    scale = drawn[0] / wanted[0]
    assert drawn == pytest.approx([length * scale for length in wanted], abs=0.02)


def test_a_name_with_every_awkward_sign_is_written(tmp_path: Path) -> None:
    name = '=SUM(1) & <b> "quote" \' ; , é'
    frame = lay_out(design_from_mapping({
        "project": {"name": name},
        "profile": {"style": "quonset", "width": "14 ft", "ridge_height": "9 ft"},
        "bays": {"count": 2, "spacing": "4 ft"},
        "hoop": {"tube": {"outside": "42 mm", "wall": "2 mm", "name": "=1+1, & <tube>"}},
    }))  # fmt: skip
    build_takeoff(taken_off(frame), tmp_path / "out")
    book = openpyxl.load_workbook(tmp_path / "out" / "takeoff.xlsx")
    assert book["Notes"]["A1"].value == f"{name}: take-off"
    assert book["Sums"].cell(FIRST_ROW + 2, 2).value == "=1+1, & <tube>"
    assert book["Sums"].cell(FIRST_ROW + 2, 2).data_type == "s"
    ET.parse(tmp_path / "out" / "takeoff-cuts.svg")


def test_a_folder_where_a_file_is_to_be_is_refused(made, tmp_path: Path) -> None:
    (tmp_path / "takeoff.json").mkdir()
    (tmp_path / "takeoff.xlsx").write_text("last good one")
    with pytest.raises(
        OutputError, match="takeoff.json is a folder, but a file of that name is to be written"
    ):
        build_takeoff(made[0], tmp_path)
    assert (tmp_path / "takeoff.xlsx").read_text() == "last good one"
