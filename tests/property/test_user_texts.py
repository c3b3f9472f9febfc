"""Whatever a text field accepts is in every file that shows it, and what it refuses is told.

Every text field of the schema meets every nasty text at reading. Those that are accepted go
through all outputs, many of them in one design, and are looked for with other readers: ezdxf's
and a text parser for DXF, pdftotext and pypdf for PDF, an XML parser for SVG, openpyxl for XLSX,
html.parser for pages, json and csv.
"""

from __future__ import annotations

import base64
import csv
import json
import re
import subprocess
import zlib
from collections.abc import Sequence
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import openpyxl
import pytest
from ezdxf import decode_dxf_unicode
from ezdxf.tools.text import fast_plain_mtext
from nasty_texts import REFUSED, SHOWN, plainly, without_blanks
from pypdf import PdfReader

from frame3d.building import taken_off
from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import report_of, report_text
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.tables.fields import FieldKind
from frame3d.design.tables.purchase import SUPPLY_KINDS
from frame3d.design.values.field_info import sections
from frame3d.errors import DesignFaults
from frame3d.frame.describe.direction import as_seen, runs_left
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.ordering.requests import request_csv, request_pdf, requests_of
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.part_files import write_parts
from frame3d.sheets.write.sheet_files import write_sheet_files
from frame3d.single_builds import build_guide, build_takeoff
from frame3d.summary import main_figures, summary_of, summary_text
from frame3d.units.cells import as_cell
from frame3d.view.view_page import view_page

BASE = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "rail": [{"at": "ridge"}],
}
TEXT_FIELDS = [
    (section.name, section.several, name, facts.longest)
    for section in sections().values()
    for name, facts in section.fields.items()
    if facts.kind is FieldKind.TEXT and not facts.several
]
FILE_FIELDS = {"price_file", "stock_file", "levels", "measured", "built"}
CATALOGUE = {"frame_bolt", "board_bolt", "channel_screw"}


def with_text(section: str, several: bool, name: str, text: str) -> dict:
    """The plain design with one text in one field."""
    table = {**BASE.get(section, {}), name: text} if not several else [{name: text}]
    if section == "accept":
        table = [{"rule": "x", "reason": "xyz", **table[0]}]
    return {**BASE, section: table}


def test_the_schema_has_the_fields_that_are_tried() -> None:
    """A field of text that is new must be thought of here, and shown in the outputs below."""
    lists = [f"{s.name}.{name}" for s in sections().values() for name, facts in s.fields.items()
             if facts.kind is FieldKind.TEXT and facts.several]  # fmt: skip
    assert lists == ["order.groups"]
    assert {f"{section}.{name}" for section, _, name, _ in TEXT_FIELDS} == {
        "project.name",
        "project.number",
        "project.revision",
        "project.owner",
        "project.drawn_by",
        "project.approved_by",
        "hardware.frame_bolt",
        "hardware.board_bolt",
        "machine.name",
        "boundary.name",
        "nearby.name",
        "service.name",
        "revision.mark",
        "revision.what",
        "revision.who",
        "accept.rule",
        "accept.where",
        "accept.reason",
        "make.tube_grade",
        "make.plate_grade",
        "make.zinc_repair",
        "make.timber_grade",
        "make.timber_species",
        "make.timber_treatment",
        "cover.channel_screw",
        "order.alternatives",
        "order.bolt_grade",
        "order.finish",
        "order.price_file",
        "order.stock_file",
        "staking.built",
        "staking.levels",
        "staking.measured",
    }


@pytest.mark.parametrize(("section", "several", "name", "longest"), TEXT_FIELDS)
def test_a_field_takes_a_text_as_it_is_or_says_why_not(
    section: str, several: bool, name: str, longest: int | None
) -> None:
    for text in (*SHOWN, *REFUSED, "x" * 200, " spaces round ", "dots..."):
        try:
            design = design_from_mapping(with_text(section, several, name, text))
        except DesignFaults as error:
            assert all(name in fault.where for fault in error.faults), (text, str(error))
            too_long = longest is not None and len(text) > longest
            allowed = text in SHOWN or not set(text) - set("x spacesroundt.")
            assert too_long or name in CATALOGUE or not allowed or len(text) < 3, str(error)
            # It can be told on any terminal: no control character, no lone surrogate.
            str(error).encode("utf-8")
            continue
        assert name in FILE_FIELDS or text not in REFUSED, text
        table = getattr(design, section)
        table = table[0] if several else table
        assert getattr(table, name) == text.strip()


@pytest.mark.parametrize("text", REFUSED)
def test_a_refusal_names_line_and_characters(text: str) -> None:
    quoted = json.dumps(text)
    if re.search(r"\\ud[89a-f]", quoted, re.IGNORECASE):
        # TOML has no surrogates, so those come from a mapping, which has no lines.
        with pytest.raises(DesignFaults) as told:
            design_from_mapping({**BASE, "machine": [{"name": text}]})
        [fault] = told.value.faults
    else:
        source = f"""
[profile]
style = "quonset"
width = "4 m"
[bays]
count = 2
spacing = "1.2 m"
[[machine]]
name = {quoted.replace(chr(127), "")}
"""
        with pytest.raises(DesignFaults) as told:
            design_from_text(source)
        [fault] = told.value.faults
        assert fault.line == 9
    assert fault.where == "machine[1].name"
    bad = list(dict.fromkeys(c for c in text if not c.isascii()))[:5]  # no more are listed
    assert "control characters" in fault.message or all(
        f"U+{ord(c):04X}" in fault.message for c in bad
    ), fault.message


def _fitting(longest: int) -> list[str]:
    return [text for text in SHOWN if len(text) <= longest]


def _groups(texts: Sequence[str]) -> list[str]:
    """Those that a group of suppliers can be called."""
    return [text for text in texts if len(text) <= 24 and not set(text) & set(",:+")][-5:]


def _designs() -> dict[str, dict]:
    """Two designs that have every nasty text in the names of machines, and others elsewhere."""
    half = len(SHOWN) // 2
    found = {}
    for number, (key, names, output) in enumerate(
        (
            ("iso", SHOWN[:half], {"units": "metric", "sheets": "iso", "dxf_version": "R2018"}),
            ("us", SHOWN[half:], {"units": "imperial", "sheets": "us", "dxf_version": "R2000"}),
        )
    ):
        short, middle = _fitting(2), _fitting(16)
        found[key] = {
            **BASE,
            "output": output,
            "project": {
                "name": ("</script> %%d {\\H3;x} =1+1 ]]> 温室", "חממה 12 (א)")[number],
                "number": ("(1\\温室)", "חממה 3")[number],
                "revision": "-",
                "owner": ("O'Brien & Söhne %%c", "비닐하우스 <b>")[number],
                "drawn_by": ("\\P^J", "Ёлка ]]>")[number],
                "approved_by": middle[number + 3],
            },
            "hoop": {
                "tube": {
                    "outside": "42 mm",
                    "wall": "2 mm",
                    "name": ("%%u {x} 管 ]]>", "צינור </script>")[number],
                }
            },
            "machine": [
                {"name": name, "width": "0.5 m", "height": "0.9 m", "passes": "none"}
                for name in names
            ],
            "nearby": [{"name": names[3], "distance": "0.1 m", "height": "12 m"}],
            "boundary": [{"name": names[11]}],
            "service": [{"name": names[12]}],
            "revision": [
                {"mark": "0", "what": "First issue"},
                {
                    "mark": short[number % len(short)],
                    "what": names[5] + " because " + names[8],
                    "who": middle[number + 1],
                },
            ],
            "order": {
                "bolt_grade": names[6],
                "finish": names[10],
                "alternatives": names[9],
                "groups": [
                    f"{group}: {kind}"
                    for group, kind in zip(_groups(names), SUPPLY_KINDS, strict=False)
                ],
            },
            "make": {"tube_grade": names[1], "zinc_repair": names[4]},
            "accept": [{"rule": names[2], "reason": names[7] + " because", "where": names[0]}],
        }
    return found


def seen(entity) -> str:
    """What a drawing program shows of a text; old files have letters by their codes."""
    return decode_dxf_unicode(entity.plain_text())


def is_in(text: str, page: str) -> bool:
    """Whether a page, as pdftotext reads it back, has a text.

    Of one that runs from right to left each word counts: pdftotext puts words in the order of
    reading, but brackets and figures among them anywhere.
    """
    if runs_left(text):
        return all(word in page for word in re.findall(r"[\u05d0-\u05ea]+|[a-z0-9]+", text))
    return without_blanks(text) in page


class Made:
    """The files of one design."""

    def __init__(self, frame: Frame, folder: Path) -> None:
        self.frame, self.folder = frame, folder
        self.names = [machine.name for machine in frame.design.machine]
        checks = check_frame(frame)
        sheets = draw_sheets(frame)
        self.titles = [sheet.title for sheet in sheets.sheets]
        write_sheet_files(sheets, folder)
        write_parts(frame, folder)
        build_guide(frame, folder)
        self.takeoff = taken_off(frame)
        build_takeoff(self.takeoff, folder)
        (folder / "view.html").write_text(view_page(frame, checks, main_figures(frame)), "utf-8")
        (folder / "findings.json").write_text(report_text(report_of(frame, checks)), "utf-8")
        (folder / "summary.json").write_text(summary_text(summary_of(frame)), "utf-8")

    def text(self, name: str) -> str:
        return (self.folder / name).read_text("utf-8")


@pytest.fixture(scope="module", params=["iso", "us"])
def made(request, tmp_path_factory: pytest.TempPathFactory) -> Made:
    frame = lay_out(design_from_mapping(_designs()[request.param]))
    return Made(frame, tmp_path_factory.mktemp(request.param))


def test_dxf_opens_and_shows_every_name(made: Made) -> None:
    doc = ezdxf.readfile(made.folder / "sheets.dxf")
    assert doc.audit().errors == []
    layouts = [name for name in doc.layout_names_in_taborder() if name != "Model"]
    named = [decode_dxf_unicode(name) for name in layouts]
    assert len(layouts) == len(made.titles)
    assert len({name.casefold() for name in named}) == len(named)
    assert not any(set(name) & set("<>/\\\":;?*|,=`'") for name in named)
    assert all(1 <= len(name) <= 255 for name in layouts)
    shown, project = [], made.frame.design.project
    for layout in layouts:
        for insert in doc.layout(layout).query("INSERT"):
            fields = {a.dxf.tag: seen(a) for a in insert.attribs}
            if fields:
                shown.append(fields)
    assert len(shown) == len(made.titles)
    for fields, title in zip(shown, made.titles, strict=True):
        assert fields["TITLE"] == title
        for tag in ("owner", "drawn_by", "approved_by", "number"):
            assert fields[tag.upper()] == getattr(project, tag)
        assert fields["REVISION"] == made.frame.design.revision[-1].mark
        assert fields["PROJECT"] == project.name
    for name in made.names:
        assert any(name in title for title in made.titles), name
    texts = [
        seen(entity)
        for block in doc.blocks
        for entity in block
        if entity.dxftype() in ("MTEXT", "TEXT")
    ]
    design = made.frame.design
    for one in (*design.boundary, *design.nearby, *design.service):  # in the lists of the plot plan
        assert one.name in texts, one.name
    dimensioned = [name for name in made.names if any(name in text for text in texts)]
    assert len(dimensioned) == len(made.names)


def test_what_stands_round_a_dimension_is_the_name(made: Made) -> None:
    """DIMPOST, drawn anew by ezdxf, as a program does that changes a drawing."""
    doc = ezdxf.readfile(made.folder / "sheets.dxf")
    found = set()
    for dimension in doc.modelspace().query("DIMENSION"):
        post = decode_dxf_unicode(dimension.override().get("dimpost", ""))
        value = post.replace("(<>)", "").replace("<>", "", 1)
        assert "<>" not in value and "[]" not in value
        found.add(fast_plain_mtext(value).strip())
    for name in made.names:
        assert name in found, name


def test_a_parser_of_plain_text_reads_the_drawing(made: Made) -> None:
    """Pairs of code and value to the end, whatever the texts are: none has broken a line."""
    lines = (made.folder / "sheets.dxf").read_bytes().decode("utf-8", "surrogateescape")
    rows = lines.replace("\r\n", "\n").split("\n")
    codes = rows[:-1:2]
    assert all(code.strip().isdigit() for code in codes)
    assert rows[-2] == "EOF"


def test_print_shows_every_name(made: Made) -> None:
    pages = subprocess.run(
        ["pdftotext", str(made.folder / "sheets.pdf"), "-"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout.split("\f")
    text = without_blanks("".join(pages))
    project = made.frame.design.project
    for field in ("name", "number", "owner", "drawn_by", "approved_by"):
        assert is_in(getattr(project, field), text), field
    for name in made.names:
        assert is_in(name, text), name
    assert is_in(made.frame.design.hoop.tube.name, text)
    make, order = made.frame.design.make, made.frame.design.order
    for told in (make.tube_grade, make.zinc_repair, order.bolt_grade, order.finish):
        assert is_in(told, text), told


def test_requests_show_groups_and_alternatives(made: Made) -> None:
    """A file for each group, of a name that every disk takes."""
    order, requests = made.takeoff.frame.design.order, requests_of(made.takeoff)
    groups = {group.name for group in order.supply_groups}
    assert len(groups & {lines[0].group for lines in requests.values()}) >= 2
    for stem, lines in requests.items():
        assert re.fullmatch(r"request-[a-z0-9-]+", stem)
        rows = list(csv.reader(request_csv(made.takeoff, lines).splitlines()))
        assert any(as_cell(order.alternatives) in row for row in rows)
        paper = made.folder / f"{stem}.pdf"
        paper.write_bytes(request_pdf(made.takeoff, lines))
        said = subprocess.run(
            ["pdftotext", str(paper), "-"], check=True, capture_output=True, text=True
        ).stdout
        assert is_in(lines[0].group, without_blanks(said)), stem
        assert is_in(order.alternatives, without_blanks(said)), stem


@pytest.mark.parametrize("text", REFUSED)
def test_a_group_takes_no_name_that_cannot_be_shown(text: str) -> None:
    with pytest.raises(DesignFaults) as told:
        design_from_mapping({**BASE, "order": {"groups": [f"{text}: steel"]}})
    assert told.value.faults[0].where.startswith("order.groups")
    str(told.value).encode("utf-8")


def test_files_of_parts_show_what_the_design_says_of_their_make(made: Made) -> None:
    make = made.frame.design.make
    for path in (made.folder / "parts").glob("*.dxf"):
        texts = ezdxf.readfile(path).modelspace().query("TEXT")
        said = without_blanks("".join(seen(text) for text in reversed(texts)))
        for told in (make.tube_grade, make.zinc_repair):
            assert without_blanks(told) in said


def test_bookmarks_labels_and_title_of_the_print(made: Made) -> None:
    reader = PdfReader(made.folder / "sheets.pdf")
    assert [entry.title for entry in reader.outline] == [
        f"{number} {title}" for number, title in enumerate(made.titles, start=1)
    ]
    project = made.frame.design.project
    assert reader.metadata.title == f"{project.name}, {project.number}"
    assert reader.metadata.author == project.drawn_by
    assert reader.page_labels[:2] == [f"{project.number} 1", f"{project.number} 2"]


def test_pictures_of_sheets_are_xml_and_show_the_names(made: Made) -> None:
    texts = []
    for path in sorted((made.folder / "sheets").glob("*.svg")):
        texts.append(without_blanks("".join(ElementTree.parse(path).getroot().itertext())))
    assert len(texts) == len(made.titles)
    whole = "".join(texts)
    for name in made.names:
        # Letters stand in the order in which they are seen.
        assert without_blanks(as_seen(name)) in whole, name
    clearance = ElementTree.parse(made.folder / "clearance.svg").getroot()
    assert without_blanks(as_seen(made.names[0])) in without_blanks("".join(clearance.itertext()))


def test_data_has_every_text_exactly(made: Made) -> None:
    design = made.frame.design
    summary = json.loads(made.text("summary.json"))
    project = design.project.model_dump(mode="json") | {"revision": design.revision[-1].mark}
    assert summary["project"] == project
    findings = json.loads(made.text("findings.json"))
    assert findings["project"] == design.project.name
    assert [row["name"] for row in findings["room"]["machines"]] == made.names
    assert any(row["where"].endswith(design.nearby[0].name) for row in findings["findings"])
    order = json.loads(made.text("takeoff.json"))
    assert order["project"] == project
    assert design.hoop.tube.name in json.dumps(order, ensure_ascii=False)
    assert any(
        f"tube {design.hoop.tube.name}".split()[-1] in row["description"]
        for row in summary["parts"]
    )


def test_workbook_and_lists_have_texts_and_no_formulas_of_them(made: Made) -> None:
    order = made.frame.design.order
    book = openpyxl.load_workbook(made.folder / "takeoff.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    texts = {cell.value for cell in cells if cell.data_type == "s"}
    assert {order.finish, order.bolt_grade} <= texts
    assert any(str(text).startswith(made.frame.design.project.name) for text in texts)
    formulas = [str(cell.value) for cell in cells if cell.data_type == "f"]
    assert not any("1+1" in formula or "SUM(A1)" in formula for formula in formulas)
    with (made.folder / "takeoff-hardware.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [cell for row in csv.reader(file) for cell in row]
    assert order.finish in rows and order.bolt_grade in rows


class _Words(HTMLParser):
    """The text of a page, that of scripts and styles left out, and what scripts hold."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self.titles: list[str] = []
        self.scripts: list[str] = []
        self.tags: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        last = self.tags[-1] if self.tags else ""
        if self.cdata_elem:
            self.scripts.append(data)
        elif last == "title" and not self.titles:
            self.titles.append(data)
        else:
            self.words.append(data)


def test_pages_show_the_name_and_nothing_in_it_is_a_tag(made: Made) -> None:
    project = made.frame.design.project
    for file in ("guide.html", "view.html"):
        page = _Words(made.text(file))
        assert without_blanks(project.name) in without_blanks("".join(page.words))
        assert plainly(page.titles[0]).startswith(plainly(project.name))
    guide = _Words(made.text("guide.html"))
    assert without_blanks(project.number) in without_blanks("".join(guide.words))
    assert without_blanks(project.owner) in without_blanks("".join(guide.words))
    # Names of machines are packed with the bodies that the page draws.
    [packed] = re.findall(r'id="data">([^<]+)<', made.text("view.html"))
    data = json.loads(zlib.decompress(base64.b64decode(packed)))
    assert set(_names(data["bodies"])) >= set(made.names)


def _names(value: object) -> list[str]:
    if isinstance(value, dict):
        own = [value["name"]] if isinstance(value.get("name"), str) else []
        return own + [name for item in value.values() for name in _names(item)]
    return [name for item in value for name in _names(item)] if isinstance(value, list) else []


def test_printed_guide_has_name_owner_and_every_foot(made: Made) -> None:
    project, path = made.frame.design.project, made.folder / "guide.pdf"
    pages = subprocess.run(
        ["pdftotext", str(path), "-"], check=True, capture_output=True, text=True
    ).stdout.split("\f")[:-1]
    first = without_blanks(pages[0])
    for text in (project.name, project.number, project.owner):
        assert is_in(text, first), text
    for page in pages:
        assert is_in(project.name, without_blanks(page))
        # English runs on from left to right whatever the name is.
        assert "Nothingheresaysanythingaboutstrength" in without_blanks(page)
    assert PdfReader(path).metadata.title is not None


def test_files_of_parts_show_the_section(made: Made) -> None:
    name = made.frame.design.hoop.tube.name
    doc = ezdxf.readfile(made.folder / "parts" / "H1.dxf")
    texts = [seen(entity) for entity in doc.modelspace().query("TEXT")]
    assert any(name in text for text in texts)
