"""What people are shown says it as the trade says it: no odd words, no mixed units."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from plain_words import ROOT, HtmlTexts, documents, forbidden, foreign, literals, script_texts
from walled_designs import example

from frame3d.checks.all_checks import check_frame, rules
from frame3d.checks.report import finding_row, room_tables
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.design.writing.template import design_text
from frame3d.frame.describe.glossary import GLOSSARY
from frame3d.frame.describe.key_figures import main_figures
from frame3d.frame.lay_out import lay_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html
from frame3d.sheets.primitives.primitives import Label
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.part_files import part_drawing
from frame3d.site.survey import survey_site
from frame3d.site.write.site_files import write_stakes
from frame3d.site.write.site_report import assumptions as site_assumptions
from frame3d.site.write.site_report import figures as site_figures
from frame3d.site.write.site_report import findings as site_findings
from frame3d.site.write.site_tables import site_tables
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.part_lists import tables_of
from frame3d.takeoff.write.records import FIRST_LINE, write_csv
from frame3d.takeoff.write.records import assumptions as takeoff_assumptions
from frame3d.takeoff.write.records import figures as takeoff_figures
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Units
from frame3d.view.view_page import view_page
from frame3d.web.form import form_of_a_design


@pytest.mark.parametrize("source", [literals, script_texts, documents])
def test_no_text_has_a_word_that_the_trade_does_not_use(source) -> None:
    assert [(at, odd) for at, text in source() for odd in forbidden(text)] == []


_LEVELS = """x,y,z
-2 m,-2 m,10.1 m
12 m,-2 m,10.4 m
-2 m,14 m,10 m
12 m,14 m,10.9 m
4 m,6 m,10 m
"""


def _short(name: str, **more) -> dict:
    """An example of few bays, with everything that a design can have."""
    mapping = example(name, **more)
    mapping["bays"] = {"count": 8, "spacing": mapping["bays"].get("spacing", "1.5 m")}
    return mapping


_DESIGNS = {
    "gothic, imperial": _short(
        "long_meadow_gothic",
        door=[
            {"at": "front", "kind": "sliding", "width": "9 ft", "height": "8 ft", "leaves": 2},
            {"at": "back", "width": "4 ft", "height": "7 ft", "threshold": "board"},
        ],
        order={"zinc": 400},
        clearance={"walking_lines": ["0 in", "14 ft"], "bed_edges": ["24 in"]},
    ),
    "quonset, metric": _short(
        "long_meadow_quonset",
        end_wall=[{"studs": "tube", "girts": ["1.2 m"]}],
        door=[{"at": "both", "kind": "roll-up", "width": "2 m", "height": "2 m"}],
        side_opening={"hip": "rail"},
        tie=[{"height": "2.3 m", "joint": "plates", "webs": 2}],
    ),
}


class Shown:
    """One design with the texts of all that is made of it, by output."""

    def __init__(self, name: str) -> None:
        self.design = design_from_mapping(_DESIGNS[name])
        self.metric = self.design.output.units is UnitSystem.METRIC
        self.frame = frame = lay_out(self.design)
        self.findings = check_frame(frame)
        self.takeoff, self.sheets = take_off(frame), draw_sheets(frame)
        self.site = survey_site(
            frame, levels=GivenList(name="levels.csv", text=_LEVELS) if self.metric else None
        )
        self.texts: list[tuple[str, str]] = []
        for output, texts in (
            ("findings", self._of_findings()),
            ("figures", (f"{a}: {b}" for a, b in main_figures(frame))),
            ("guide", HtmlTexts(page_html(guide_of(frame))).texts),
            ("sheets", self._of_sheets()),
            ("take-off", self._of_tables()),
            ("site", self._of_site()),
            ("view.html", HtmlTexts(view_page(frame, self.findings, ())).texts),
        ):
            self.texts += [(output, " ".join(text.split())) for text in texts]

    def _of_findings(self) -> Iterator[str]:
        for finding in self.findings:
            for lines in finding_row(self.frame, finding):
                yield "\n".join(line for line in lines if not line.startswith("Source: "))
        for title, header, rows in room_tables(self.frame):
            yield from (title, *header, *(cell for row in rows for cell in row))

    def _of_sheets(self) -> Iterator[str]:
        for sheet in self.sheets.sheets:
            yield from (
                label.text for label in (*sheet.labels, *sheet.border) if isinstance(label, Label)
            )
            for view in sheet.views:
                yield from (one.text for one in view.view.primitives if hasattr(one, "text"))
            yield from (str(getattr(sheet.block, name)) for name in ("kind", "dimensions", "scale"))
        yield from map(str, self.sheets.findings)

    def _of_tables(self) -> Iterator[str]:
        units = Units(system=self.design.output.units)
        for table in (*tables_of(self.takeoff), *site_tables(self.site)):
            yield from (table.title, table.note)
            yield from (table.header(column, units) for column in table.columns)
            for row in table.values(units):
                yield from (cell for cell in row if isinstance(cell, str))
        yield from (f"{a}: {b}" for a, b in takeoff_figures(self.takeoff))
        yield from takeoff_assumptions(self.takeoff)

    def _of_site(self) -> Iterator[str]:
        yield from (f"{a}: {b}" for a, b in site_figures(self.site))
        yield from site_findings(self.site)
        yield from site_assumptions(self.site)


@pytest.fixture(scope="module", params=_DESIGNS)
def shown(request) -> Shown:
    return Shown(request.param)


def test_no_output_has_a_word_that_the_trade_does_not_use(shown: Shown) -> None:
    assert len({output for output, _ in shown.texts}) == 7
    assert sorted({(at, odd) for at, text in shown.texts for odd in forbidden(text)}) == []


def test_no_output_mixes_units(shown: Shown) -> None:
    mixed = {
        (output, size, text)
        for output, text in shown.texts
        for size in foreign(text, metric=shown.metric)
    }
    assert sorted(mixed) == []


@pytest.mark.parametrize("units", UnitSystem)
@pytest.mark.parametrize("style", ArchStyle)
def test_a_new_design_file_is_in_plain_words(style: ArchStyle, units: UnitSystem) -> None:
    assert forbidden(design_text(style, units)) == []


def test_the_form_of_the_page_is_in_plain_words() -> None:
    assert forbidden(json.dumps(form_of_a_design(), ensure_ascii=False)) == []


def test_the_rules_are_in_plain_words() -> None:
    assert [odd for rule in rules() for odd in forbidden(f"{rule.meaning} {rule.source}")] == []


def test_the_glossary_is_the_same_in_readme_page_and_guide(shown: Shown) -> None:
    readme = (ROOT / "README.md").read_text("utf-8").partition("## Words")[2].partition("\n## ")[0]
    told = [tuple(row.strip("| ").split(" | ")) for row in readme.splitlines() if row[:2] == "| "]
    glossary = [(term.called, term.meaning) for term in GLOSSARY]
    assert told[1:] == glossary
    guide = [text for output, text in shown.texts if output == "guide"]
    assert guide[guide.index("Words") + 1 :] == [text for row in glossary for text in row]
    assert [tuple(row) for row in form_of_a_design()["glossary"]] == glossary


def test_words_of_the_glossary_are_used(shown: Shown) -> None:
    texts = " ".join(text for _, text in shown.texts).lower()
    texts += json.dumps(form_of_a_design()).lower()
    everything = texts + " ".join(text.lower() for _, text in documents())
    assert [term.word for term in GLOSSARY if everything.count(term.word.lower()) < 2] == []


@pytest.mark.parametrize(
    "notebook", sorted((ROOT / "notebooks").glob("*.ipynb")), ids=lambda path: path.stem
)
def test_every_notebook_has_the_cautions(notebook: Path) -> None:
    first = " ".join("".join(json.loads(notebook.read_text("utf-8"))["cells"][0]["source"]).split())
    for caution in ("buried cables", "overhead lines", "never against a hoop, braced or not",
                    "head protection", "fall protection", "power tools"):  # fmt: skip
        assert caution in first


def test_cautions_stand_in_files_for_people_and_in_none_for_instruments(
    shown: Shown, tmp_path: Path
) -> None:
    part = next(group for group in shown.frame.parts() if not group.part.is_bought)
    texts = {text.dxf.text for text in part_drawing(shown.frame, part).modelspace().query("TEXT")}
    assert any("nothing here says what the part or the frame can carry" in text for text in texts)
    write_stakes(shown.frame, tmp_path / "stakes.csv")
    assert not (tmp_path / "stakes.csv").read_text("utf-8-sig").startswith("#")
    units = Units(system=shown.design.output.units)
    write_csv(tmp_path / "parts.csv", tables_of(shown.takeoff)[0], units)
    first, second = (tmp_path / "parts.csv").read_text("utf-8-sig").splitlines()[:2]
    assert first == FIRST_LINE and second.startswith("Mark,")
