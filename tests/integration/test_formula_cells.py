"""Names in a stranger's design that a spreadsheet would work out stay texts, and come back."""

from __future__ import annotations

import csv
import shutil
import subprocess
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.building import taken_off
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.single_builds import build_site, build_takeoff
from frame3d.site.survey import survey_site
from frame3d.takeoff.quantities.prices import read_prices
from frame3d.units.cells import as_cell, from_cell

# CWE-1236 names = + - @; OWASP ASVS 5.0, 1.2.10 adds tab and NUL, the wide forms and line ends
# are from memory of OWASP's page "CSV Injection".
SIGNS = "=+-@\t\r\n\0\uff1d\uff0b\uff0d\uff20"
EVALUATING = "--infilter=CSV:44,34,76,1,,0,false,true,false,false,false,0,true"
"""Commas, quotation marks, UTF-8; the last but one is the sheet, the last works formulas out, as
other spreadsheets do unasked and LibreOffice did before it asked."""
NAMES = ["=1+1", "@SUM(A1)", "+1", "-1", "'=1+1", "\uff1d1+1", "''-2", "'plain", "plain"]


def hostile(name: str) -> dict:
    """A design that says ``name`` wherever it may say anything."""
    return {
        "project": {"name": name, "owner": name, "drawn_by": name, "number": "T-1"},
        "output": {"units": "metric"},
        "profile": {
            "style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m",
        },
        "bays": {"count": 2, "spacing": "1.2 m"},
        "hoop": {"tube": {"outside": "42 mm", "wall": "2 mm", "name": name}},
        "socket": {"tube": {"outside": "50 mm", "wall": "3 mm", "name": f"{name} s"}},
        "rail": [{"at": "ridge"}],
        "machine": [{"name": name, "width": "1 m", "height": "1.8 m"}],
    }  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_no_cell_of_any_list_begins_as_a_formula_and_prices_come_back(
    name: str, tmp_path: Path
) -> None:
    (tmp_path / "mine.csv").write_text(
        f'item,price,currency\n"{as_cell(name)}",3.5,"{as_cell(name)}"\n', encoding="utf-8"
    )
    design = {**hostile(name), "order": {"price_file": "mine.csv"}}
    frame = lay_out(design_from_mapping(design, folder=tmp_path))
    takeoff = taken_off(frame)
    files = [*build_takeoff(takeoff, tmp_path / "out")]
    files += build_site(survey_site(frame), tmp_path / "out")[0]
    lists = [path for path in files if path.suffix == ".csv"]
    assert len(lists) >= 14
    said = []
    for path in lists:
        for row in csv.reader(path.read_text("utf-8-sig").splitlines()):
            for cell in row:
                assert cell[:1] not in SIGNS or not cell or is_number(cell), (path.name, cell)
                said.append(cell)
    assert as_cell(name) in said
    prices = read_prices(tmp_path / "out" / "takeoff-prices.csv")
    assert prices.currency == takeoff.currency == name
    (hoops,) = [s for s in takeoff.sections if s.section.name == name]
    assert {prices.find(name, stock.length_mm).price for stock in hoops.stocks} == {3.5}
    for line in takeoff.cost:
        assert prices.find(line.item, line.length_mm).price == line.price


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return cell[:1] == "-"


@settings(deadline=None, derandomize=True, database=None)
@given(st.text(st.sampled_from("'=+-@ a1\t\uff1d"), max_size=6) | st.text(max_size=6))
def test_every_text_comes_back(text: str) -> None:
    cell = as_cell(text)
    assert from_cell(cell) == text
    assert not cell.lstrip()[:1] or cell.lstrip()[0] not in SIGNS
    assert cell in (text, f"'{text}")


@pytest.mark.parametrize("number", [-3.5, 0, 12, None])
def test_numbers_stay_numbers(number: float | None) -> None:
    assert as_cell(number) is number


def test_a_spreadsheet_takes_them_for_texts(tmp_path: Path) -> None:
    """What LibreOffice makes of the bare texts and of ours: it works out the former."""
    with (tmp_path / "list.csv").open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows([[name, as_cell(name)] for name in NAMES])
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    subprocess.run(
        [shutil.which("soffice") or "soffice", profile, "--headless", EVALUATING,
         "--convert-to", "xlsx", "--outdir", str(tmp_path), str(tmp_path / "list.csv")],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    sheet = openpyxl.load_workbook(tmp_path / "list.xlsx").active
    bare, ours = zip(*sheet.iter_rows(max_row=len(NAMES)), strict=True)
    assert bare[0].data_type in ("f", "n")
    assert [cell.data_type for cell in ours] == ["s"] * len(NAMES)
    assert [from_cell(cell.value) for cell in ours] == NAMES
