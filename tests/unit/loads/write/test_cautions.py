"""Every output of loads says first what it does not say, without a word that reads as a verdict."""

from __future__ import annotations

import csv
import functools
import io
import json
import re
from pathlib import Path

import pypdfium2
import pytest
from load_frames import small_frame
from msgspec.structs import replace
from verdict_words import FORBIDDEN

from frame3d.cli.loads_command import loads
from frame3d.design.tables.loads import Loads, LoadShape
from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.model.members import Frame
from frame3d.loads.cautions import CAUTIONS, NOT_COVERED, REFERENCE, UNIT_ONLY
from frame3d.loads.compare.changes import NO_BRACES
from frame3d.loads.comparison import Comparison, compared
from frame3d.loads.model.assumed import HINGED, USUAL
from frame3d.loads.write.files import LOADS_FILES
from frame3d.loads.write.pages import comparison_pdf, title_of
from frame3d.loads.write.pictures import INK, PALE, SHADES
from frame3d.loads.write.words import basis, cautions, grids
from frame3d.single_builds import build_engineer_model, build_loads
from frame3d.web.work.load_answers import shown


@functools.cache
def found() -> Comparison:
    """A small frame beside one without braces, under two shapes."""
    given = {"shapes": ["even snow", "wind along"]}
    own, other = small_frame(loads=given), small_frame(brace=None, loads=given)
    return compared(own, other, workers=1)


def alone() -> Comparison:
    """The same frame beside none."""
    return replace(found(), other=None, indices=(), feet={}, differences=())


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("loads")
    build_loads(found(), folder)
    build_engineer_model(found().frame, folder / "engineer")
    return folder


def text_of(path: Path) -> str:
    if path.suffix != ".pdf":
        return path.read_text("utf-8")
    document = pypdfium2.PdfDocument(path)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def plain(text: str) -> str:
    return " ".join(text.split())


def test_all_files_are_there(made: Path) -> None:
    names = {path.name for path in made.iterdir() if path.is_file()}
    assert names == set(LOADS_FILES)
    assert len(list((made / "engineer").iterdir())) == 14


def test_no_output_has_a_word_that_reads_as_a_verdict(made: Path) -> None:
    told = [text_of(path) for path in made.rglob("*") if path.is_file()]
    told += [cell for grid in grids(found()) for row in (grid.header, *grid.rows) for cell in row]
    told += [grid.note for grid in grids(found())]
    told += [title_of(found()), title_of(alone())]
    told += [*basis(found().frame.design.loads, found()), *cautions(found())]
    told += [loads.__doc__ or "", str(Loads.model_json_schema()), json.dumps(shown(found()))]
    assert len(told) > 30
    for text in told:
        assert FORBIDDEN.findall(text) == []
    assert FORBIDDEN.findall("It is safe, OK") == ["safe", "OK"]  # the search itself sees them


def test_cautions_stand_first_and_whole_in_every_file(made: Path) -> None:
    for path in made.rglob("*"):
        if path.suffix in (".pdf", ".svg"):
            text = plain(re.sub(r"<[^>]+>", " ", text_of(path)).replace("&#x27;", "'"))
            for caution in CAUTIONS:
                assert caution in text, path.name
            assert plain(NOT_COVERED) in text, path.name
        elif path.suffix == ".json" and "schema" not in path.name:
            record = json.loads(path.read_text("utf-8"))
            assert list(record)[0 if path.name == "loads.json" else 1] == "caution"
            assert record["caution"][: len(CAUTIONS)] == list(CAUTIONS)
            assert NOT_COVERED in record["caution"]
        elif path.suffix == ".csv":
            rows = list(csv.reader(io.StringIO(path.read_text("utf-8"))))
            assert rows[0][0] == "caution"
            assert all("Nothing here says what a frame can carry" in row[0] for row in rows[1:])
            assert all(len(row) == len(rows[0]) for row in rows)
        elif path.suffix == ".py":
            assert path.read_text("utf-8").startswith(f'"""{CAUTIONS[0]}')


def test_the_page_is_told_the_cautions_first() -> None:
    answer = shown(found())
    assert list(answer)[0] == "cautions"
    assert answer["cautions"] == [*CAUTIONS, REFERENCE, NOT_COVERED]
    assert [table["key"] for table in answer["tables"]] == [g.key for g in grids(found())]
    assert len(answer["pictures"]) == len(found().own.pictures)
    assert answer["notes"] == list(found().notes) != []


def test_cautions_are_as_loud_on_both_pages(made: Path) -> None:
    document = pypdfium2.PdfDocument(made / "loads.pdf")
    assert len(document) == 2
    for page in document:
        text = plain(page.get_textpage().get_text_range())
        places = [text.index(caution) for caution in (*CAUTIONS, REFERENCE)]
        for word in ("Index", "What changes it", "Where this design"):
            assert word not in text[: max(places)]
    sheet = pypdfium2.PdfDocument(made / "engineer" / "engineer-decisions.pdf")
    assert CAUTIONS[0] in plain(sheet[0].get_textpage().get_text_range())


def full(sheets: SheetStandard) -> Comparison:
    """As much as a comparison can have to tell: every shape, every change, all that differs."""
    made, shapes = found(), list(LoadShape)
    own, one = made.own, made.own.worse[LoadShape.WIND_ALONG]
    weakest, picture = (part[LoadShape.WIND_ALONG] for part in (own.weakest, own.pictures))
    index = replace(made.indices[0], by={HINGED: 0.5, "a higher common stress": 2.0, USUAL: 1.1})
    three = dict.fromkeys(
        (LoadShape.SNOW_DRIFT, LoadShape.WIND_ACROSS, LoadShape.WIND_ALONG, LoadShape.CROP),
        (1.0, 0.8, 1.2),
    )
    change = replace(made.tried[0], words=NO_BRACES, index=three, sway=1.0, mass_kg=9.0, cost=9.0)
    named = made.frame.design.model_copy(
        update={
            "project": made.frame.design.project.model_copy(update={"name": "Long name " * 5}),
            "output": made.frame.design.output.model_copy(update={"sheets": sheets}),
            "loads": made.frame.design.loads.model_copy(update={"shapes": tuple(shapes)}),
        }
    )
    return replace(
        made,
        frame=Frame(design=named, grid=made.frame.grid, arch=made.frame.arch,
                    members=made.frame.members, joints=made.frame.joints),
        own=replace(own, weakest=dict.fromkeys(shapes, weakest), worse=dict.fromkeys(shapes, one),
                    pictures=dict.fromkeys(shapes, picture), notes=("It gives most. " * 12,) * 2),
        indices=tuple(replace(index, shape=shape) for shape in shapes),
        feet=dict.fromkeys(shapes, (1.25, 1.25)),
        tried=(change, *(replace(change, words="hoops and sockets of a tube larger, the walls kept",
                                 index=dict.fromkeys(three, (1.1, 1.1, 1.1))),) * 13),
        differences=tuple(f"lines of rails {k}: 3 here, 5 there" for k in range(11)),
        is_of_another_kind=True,
    )  # fmt: skip


@pytest.mark.parametrize("sheets", list(SheetStandard))
def test_a_full_comparison_has_two_pages(sheets: SheetStandard) -> None:
    made = full(sheets)
    document = pypdfium2.PdfDocument(comparison_pdf(made))
    assert len(document) == 2
    for page in document:
        assert plain(page.get_textpage().get_text_range()).index(CAUTIONS[0]) < 400
        # Nothing runs into the line at the foot, the lowest on the page.
        read = page.get_textpage()
        lines = sorted(read.get_rect(k)[1] for k in range(read.count_rects()))
        foot = [low for low in lines if low < lines[0] + 4]
        assert lines[len(foot)] > lines[0] + 10
    text = plain(" ".join(page.get_textpage().get_text_range() for page in document))
    for grid in grids(made):
        assert grid.title in text


def test_that_the_other_design_may_not_stand_is_told_only_with_one() -> None:
    assert REFERENCE in cautions(found())
    assert REFERENCE not in cautions(alone())
    assert {grid.key for grid in grids(alone())} == {"weakest", "changes"}


def test_no_factor_of_a_load_comes_out(made: Path) -> None:
    """Only ratios do: neither a common stress nor a load at which something happens."""
    factors = {f"{ending.factor:.4g}" for ending in found().own.endings.values()}
    text = (made / "loads.json").read_text("utf-8")
    assert not any(factor in text for factor in factors)
    assert not re.search(r"\b(?:235|140|350)\b", text)
    assert "kN" not in text.replace("sources", "")


def test_pictures_have_one_hue() -> None:
    from frame3d.loads.write.pictures import whole_picture

    colours = set(re.findall(r"#[0-9a-f]{6}", whole_picture(found())))
    assert colours <= {*SHADES, INK, PALE, "#ffffff", "#7a2c00"}
    for shade in SHADES:  # a blue: its three parts rise
        red, green, blue = (int(shade[k : k + 2], 16) for k in (1, 3, 5))
        assert red < green < blue


def test_results_of_the_engineers_model_are_labelled(made: Path) -> None:
    for name in ("reactions", "forces"):
        text = (made / "engineer" / f"engineer-{name}.csv").read_text("utf-8")
        rows = list(csv.DictReader(io.StringIO(text)))
        assert {row["label"] for row in rows if row["load"] != "own weight"} == {UNIT_ONLY}
        assert {row["label"] for row in rows if row["load"] == "own weight"} == {"as it is"}


def test_the_table_of_changes_tells_mass_and_says_what_is_undecided() -> None:
    table = next(grid for grid in grids(found()) if grid.key == "changes")
    assert table.header[-2:] == ("Mass", "Cost")
    thinner = next(row for row in table.rows if "thinner wall" in row[0])
    assert thinner[-2].endswith("less")
    assert thinner[-1] == "-"
    assert table.header[-3] == "Sway"
    assert all(float(row[-3]) > 0 for row in table.rows if row[-3] != "-")
