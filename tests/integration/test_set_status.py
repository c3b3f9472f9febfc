"""A design with errors: whatever could be built from says so, and one with none says nothing."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl
import pymupdf
import pytest
from drawing_judge import judge
from typer.testing import CliRunner

from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import status_of
from frame3d.cli import app
from frame3d.design.reading.reader import design_from_text
from frame3d.frame.describe.set_status import MissingList, SetStatus
from frame3d.frame.describe.unmade import Lack, Unmade
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.guide.make_guide import guide_of
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of
from frame3d.view.view_page import view_page

HEADLINE, FIELD = "Do not build from this set: 2 errors found.", "DO NOT BUILD: 2 errors"
LOW = """[project]
name = "Low"
[profile]
style = "quonset"
width = "16 ft"
[bays]
count = 3
spacing = "4 ft"
[[tie]]
height = "5 ft"
[[machine]]
name = "Wagon"
width = "17 ft"
height = "4 ft"
passes = "none"
"""
"""A tie that nobody walks under, and a wagon wider than the tunnel: no layout could mend either."""
ACCEPTED = (
    LOW
    + """
[[accept]]
rule = "tie-headroom"
reason = "Beds on both sides; nobody walks there."
[[accept]]
rule = "machine-inside"
reason = "The wagon stays outside."
"""
)
TIE = "Headroom under the clamp is 4'-10 1/4\"; 6'-8\" is needed (C2, left, hoop 3)."


def frame_of(text: str) -> Frame:
    return laid_out(design_from_text(text))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("low")
    (folder / "low.toml").write_text(LOW, encoding="utf-8")
    run = CliRunner().invoke(app, ["build", str(folder / "low.toml"), "--out", str(folder / "out")])
    assert run.exit_code == 1, run.output
    assert HEADLINE in run.stderr
    return folder / "out"


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_all_files_are_there(folder: Path) -> None:
    summary = json.loads((folder / "summary.json").read_text("utf-8"))
    assert {name for name in summary["files"] if not (folder / name).is_file()} == set()
    status = summary["status"]
    assert (status["not_to_be_built_from"], status["errors"]) == (True, 2)
    assert TIE in status["why"]


def test_cover_and_every_title_block_say_so(folder: Path) -> None:
    cover, *others = [one_line(page.get_text()) for page in pymupdf.open(folder / "sheets.pdf")]
    assert HEADLINE in cover and TIE in cover
    assert all(FIELD in text for text in (cover, *others))
    for path in (folder / "sheets").glob("*.svg"):
        assert FIELD in path.read_text("utf-8")


def test_the_first_step_of_the_guide_says_so(folder: Path) -> None:
    _, first, *_ = [one_line(page.get_text()) for page in pymupdf.open(folder / "guide.pdf")]
    assert first.startswith("1. Before you begin")
    assert HEADLINE in first and TIE in first
    step = (folder / "guide.html").read_text("utf-8").split('id="step-1"')[1].split("</section>")[0]
    assert HEADLINE in step and "none left" in step


def test_order_stakes_and_view_say_so(folder: Path) -> None:
    assert json.loads((folder / "takeoff.json").read_text("utf-8"))["findings"][0] == HEADLINE
    cells = [
        cell
        for sheet in openpyxl.load_workbook(folder / "takeoff.xlsx")
        for row in sheet.iter_rows(values_only=True)
        for cell in row
    ]
    assert HEADLINE in cells
    rows = (folder / "stakes.csv").read_text("utf-8").splitlines()[1:]
    assert rows and all(row.endswith(HEADLINE.rstrip(".")) for row in rows)
    assert f"<summary>{HEADLINE}</summary>" in (folder / "view.html").read_text("utf-8")


@pytest.mark.parametrize("command", ["guide", "takeoff", "site"])
def test_commands_that_print_something_to_build_from_end_with_1(
    tmp_path: Path, command: str
) -> None:
    for text, code in ((LOW, 1), (ACCEPTED, 0)):
        (tmp_path / "low.toml").write_text(text, encoding="utf-8")
        run = CliRunner().invoke(
            app, [command, str(tmp_path / "low.toml"), "--out", str(tmp_path / "out")]
        )
        assert run.exit_code == code, run.output
        assert (HEADLINE in run.stderr) is bool(code)


def test_what_is_accepted_is_no_error() -> None:
    frame = frame_of(ACCEPTED)
    findings = check_frame(frame)
    status = status_of(findings)
    assert (status.is_stopped, status.told, status.field) == (False, (), "-")
    sheets = draw_sheets(frame, (), status).sheets
    assert {sheet.block.status for sheet in sheets} == {"-"}
    first = guide_of(frame, status, drawn=False).steps[0].words
    assert not any("built from" in text for text in first.cautions)
    assert 'id="status"' not in view_page(frame, findings, (), status)


def test_sheets_of_which_nothing_is_known_say_that() -> None:
    frame = frame_of(LOW)
    assert {sheet.block.status for sheet in draw_sheets(frame).sheets} == {"not checked"}


MANY = SetStatus(
    error_count=90,
    errors=tuple(f"The {word} brace and the end wall girt overlap (G1 and BT{n}: hoop "
                 f"{n}, left; hoop {n}, right (2 places in all), and 9 more like it)."
                 for n, word in enumerate(["first", "second", "third", "fourth", "fifth"] * 3)),
    missing=(MissingList(what="prices", name="p" * 150 + ".csv", without="nothing has a price"),
             MissingList(what="stock", name="s.csv", without="planned without the yard")),
    unmade=tuple(Unmade(mark=mark, role=Role.HOOP, lack=Lack.NOT_BORED, reason="it does not close")
                 for mark in ("H1", "H2")),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sheets", "size"), [("iso", "A4"), ("iso", "A3"), ("us", "A"), ("us", "B"), ("us", "C")]
)
def test_the_sheets_stay_legible_with_many_errors(sheets: str, size: str) -> None:
    plain = LOW.partition("[[machine]]")[0]
    frame = frame_of(f'{plain}[output]\nsheets = "{sheets}"\nsheet_size = "{size}"\n')
    drawn = draw_sheets(frame, (), MANY)
    assert judge(document_of(drawn).doc) == []
    said = one_line(" ".join(label.text for label in drawn.sheets[0].labels))
    assert MANY.headline in said and MANY.errors[0][:40] in said


def test_errors_in_the_same_words_are_told_once() -> None:
    frame = frame_of(LOW)
    findings = check_frame(frame)
    (tie,) = [one for one in findings if one.rule.name == "tie-headroom"]
    status = status_of([tie, tie, tie, *findings])
    assert status.error_count == 5
    assert len(status.errors) == 2
    assert "and 3 more like it" in status.errors[0]
