"""The files of the guide, read back: text, figures, pages, bookmarks, the same bytes again."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from guide_reader import GuideReader
from pypdf import PdfReader
from walled_designs import DESIGNS, example

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.guide import GUIDE_FILES
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.step_content import Guide
from frame3d.guide.write.guide_files import write_guide

GUIDES = {
    "gothic": example("long_meadow_gothic"),
    "two doors, two ties": DESIGNS["two doors, two ties"],
}
SIZES = {"gothic": (612.0, 792.0), "two doors, two ties": (595.28, 841.89)}
"""US letter and ISO 216 A4, points."""


def frame_of(name: str) -> Frame:
    return lay_out(design_from_mapping(GUIDES[name]))


class Written(dict):
    """Folders with files, and the guide that they hold, made when they are first asked for."""

    def __init__(self, make: Callable[[str], Path]) -> None:
        super().__init__()
        self.make = make

    def __missing__(self, name: str) -> tuple[Path, Guide]:
        folder, frame = self.make("guide"), frame_of(name)
        write_guide(frame, folder)
        found = self[name] = folder, guide_of(frame, drawn=False)
        return found


@pytest.fixture(scope="module")
def written(tmp_path_factory) -> Written:
    return Written(tmp_path_factory.mktemp)


def flat(text: str) -> str:
    """Text without breaks of lines, as columns break where they must."""
    return re.sub(r"\s+", "", text)


def pdf_text(path: Path) -> str:
    """What poppler reads, a program that has no part in writing."""
    run = subprocess.run(
        ["pdftotext", "-raw", str(path), "-"], capture_output=True, text=True, check=True
    )
    return run.stdout


@pytest.mark.parametrize("name", GUIDES)
def test_print_and_page_hold_every_figure(written, name: str) -> None:
    folder, guide = written[name]
    page = GuideReader((folder / "guide.html").read_text(encoding="utf-8"))
    paper = flat(pdf_text(folder / "guide.pdf"))
    for caution in (*CAUTIONS, *guide.cautions):
        assert flat(caution) in paper
    for told in guide.steps:
        section = flat(page.sections[f"step-{told.step.number}"].text)
        for check in told.words.checks:
            assert flat(check.what) in section
            assert flat(check.figure) in section
            assert flat(check.figure) in paper
        for line in (*told.parts, *told.fixings):
            assert flat(f"{line.count} × {line.mark}") in section
            assert flat(f"{line.count} × {line.mark}") in paper
        for text in (*told.words.do, *told.words.cautions, told.people, told.hours):
            assert flat(text) in section
        for text in told.words.cautions:
            assert flat(text) in paper


@pytest.mark.parametrize("name", GUIDES)
def test_each_step_begins_a_page_with_a_bookmark(written, name: str) -> None:
    folder, guide = written[name]
    reader = PdfReader(folder / "guide.pdf")
    marks = [(one.title, reader.get_destination_page_number(one)) for one in reader.outline]
    titles = [f"{told.step.number}. {told.words.title}" for told in guide.steps]
    assert [title for title, _ in marks] == ["Cautions and figures", *titles, "Words"]
    numbers = [number for _, number in marks]
    assert numbers == sorted(set(numbers))
    for title, number in marks[1:]:
        assert flat(title) in flat(reader.pages[number].extract_text())
    # Most steps are on one side of paper.
    ends = [*numbers[1:], len(reader.pages)]
    single = sum(end - begin == 1 for begin, end in zip(numbers, ends, strict=True))
    assert single >= 0.7 * len(marks)
    for page in reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            SIZES[name], abs=0.1
        )
        # Drawings are lines and letters, not pictures made of dots.
        assert not page.images


def test_two_writes_give_the_same_bytes(written, tmp_path: Path) -> None:
    folder, _ = written["two doors, two ties"]
    write_guide(frame_of("two doors, two ties"), tmp_path)
    for name in GUIDE_FILES:
        assert (tmp_path / name).read_bytes() == (folder / name).read_bytes()
