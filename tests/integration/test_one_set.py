"""One design, one set: a build on the command line and the page hand over the same bytes.

What may differ is named: the ZIP holds the design too, in one folder called after the project.
"""

from __future__ import annotations

import io
import json
import os
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from page_server import Server, page_server

from frame3d.building import build
from frame3d.design.reading.reader import read_design
from frame3d.web.requests.design_links import packed
from frame3d.web.requests.limits import LIST_BYTES

DESIGN = """# Ours.
[project]
name = "Côté nord 7/8"
number = "N-7"
[profile]
style = "quonset"
width = "16 ft"
[bays]
count = 3
spacing = "4 ft"
[order]
price_file = "our prices.csv"
stock_file = "yard.csv"
"""
STEM = "Cote_nord_7_8"
"""Letters without their accents, the rest as one stroke."""
PRICES = "item,price,currency\nNPS 1-1/4 STD,9.50,EUR\n"
STOCK = "section,length,count,owned\nNPS 1-1/4 STD,24 ft,2,yes\n"
LISTS = {
    "prices": {"name": "our prices.csv", "text": PRICES},
    "stock": {"name": "yard.csv", "text": STOCK},
}


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with page_server() as running:
        yield running


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("built")
    (folder / "d.toml").write_text(DESIGN, encoding="utf-8")
    (folder / "our prices.csv").write_text(PRICES, encoding="utf-8")
    (folder / "yard.csv").write_text(STOCK, encoding="utf-8")
    return build(read_design(folder / "d.toml"), folder / "out").folder


def fetched(server: Server, kind: str, text: str = DESIGN, **fields: object) -> tuple[str, bytes]:
    """Name and content of a file of the page."""
    told, content = server.file(text, kind, **fields)
    assert told["state"] == "ready", told
    assert told["bytes"] == len(content)
    return told["name"], content


def files_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_zip_of_the_page_is_the_folder_of_a_build(server: Server, built: Path) -> None:
    name, content = fetched(server, "zip", lists=LISTS)
    assert name == f"{STEM}.zip"
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        packed_files = {
            one.removeprefix(f"{STEM}/"): archive.read(one) for one in archive.namelist()
        }
        assert all(one.startswith(f"{STEM}/") for one in archive.namelist())
    assert packed_files.pop(f"{STEM}.toml").decode() == DESIGN
    ours = files_of(built)
    assert {"sheets", "parts"} <= {one.partition("/")[0] for one in ours}
    assert sorted(packed_files) == sorted(ours)
    assert [one for one in ours if ours[one] != packed_files[one]] == []


@pytest.mark.parametrize(
    ("kind", "file"),
    [
        ("step", "model.step"), ("stl", "model.stl"), ("glb", "model.glb"), ("dxf", "sheets.dxf"),
        ("pdf", "sheets.pdf"), ("xlsx", "takeoff.xlsx"), ("view", "view.html"),
        ("guide", "guide.html"),
    ],
)  # fmt: skip
def test_a_file_of_the_page_is_that_of_a_build(
    server: Server, built: Path, kind: str, file: str
) -> None:
    name, content = fetched(server, kind, lists=LISTS)
    assert name == f"{STEM}-{file}"
    assert content == (built / file).read_bytes()


def test_the_drawings_on_the_page_are_those_of_a_build(server: Server, built: Path) -> None:
    ours = sorted((built / "sheets").glob("*.svg"))
    body = {"text": DESIGN, "lists": LISTS}
    assert len(server.post("/api/sheets", body).json["sheets"]) == len(ours)
    for number, path in enumerate(ours, start=1):
        assert server.post(f"/api/sheet?number={number}", body).body == path.read_bytes()


def test_without_its_lists_the_set_goes_by_another_number(server: Server, built: Path) -> None:
    _, content = fetched(server, "zip", lists={"stock": LISTS["stock"]})
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        summary = json.loads(archive.read(f"{STEM}/summary.json"))
        stakes = archive.read(f"{STEM}/stakes.csv").decode()
        order = json.loads(archive.read(f"{STEM}/takeoff.json"))
        sheets = pymupdf.open(stream=archive.read(f"{STEM}/sheets.pdf"))
        guide = archive.read(f"{STEM}/guide.html").decode()
    assert summary["status"]["set_number"] == "N-7 without prices"
    texts = [page.get_text() for page in sheets]
    assert all("N-7 without prices" in text for text in texts)
    told = "The prices list (our prices.csv) was not given: nothing has a price."
    assert told in " ".join(texts[0].split())
    assert not any("was not given" in text for text in texts[1:])
    assert all(line.endswith("N-7 without prices") for line in stakes.splitlines()[1:])
    assert told in order["findings"]
    assert "N-7 without prices" in guide
    assert not any("N-7 without" in page.get_text() for page in pymupdf.open(built / "sheets.pdf"))
    assert "without prices" not in (built / "stakes.csv").read_text("utf-8")


def test_the_page_says_which_list_is_not_there(server: Server) -> None:
    found = server.ask(f"/api/findings?d={packed(DESIGN)}").json
    assert found["lists"] == {"faults": {}, "missing": ["prices", "stock"]}
    assert len([line for line in found["status"]["told"] if "was not given" in line]) == 2


def test_faults_of_a_list_are_told_beside_it(server: Server) -> None:
    """And a set is not made with it, as a build would not make one."""
    bad = {**LISTS, "prices": {"name": "x.csv", "text": "item,price\nNPS 1-1/4 STD,a lot\n"}}
    survey = {"levels": {"name": "l.csv", "text": "point,x,y\n"}}
    found = server.post("/api/findings", {"text": DESIGN, "lists": bad | survey}).json
    assert set(found["lists"]["faults"]) == {"prices", "levels"}
    assert "row 2, column price" in found["lists"]["faults"]["prices"][0]
    got = server.post("/api/sheets", {"text": DESIGN, "lists": bad}).json
    assert "a lot" in got["faults"][0]["message"]


def test_a_list_that_the_design_does_not_name_is_told_of_and_left(server: Server) -> None:
    text = DESIGN.partition("[order]")[0]
    found = server.post("/api/findings", {"text": text, "lists": LISTS}).json
    assert set(found["lists"]["faults"]) == {"prices", "stock"}
    assert "names no prices list" in found["lists"]["faults"]["prices"][0]
    plain = server.ask(f"/api/sheet?number=1&d={packed(text)}").body
    assert server.post("/api/sheet?number=1", {"text": text, "lists": LISTS}).body == plain


def test_surveys_make_the_files_of_a_site(server: Server) -> None:
    levels = "point,x,y,z\n" + "".join(
        f"{name},{x} ft,{y} ft,{z} in\n"
        for name, x, y, z in (("a", 0, 0, 0), ("b", 16, 0, 1), ("c", 0, 12, 1), ("d", 16, 12, 2))
    )
    name, content = fetched(server, "site", lists={"levels": {"name": "l.csv", "text": levels}})
    assert name == f"{STEM}-site.zip"
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {f"{STEM}/site-drive.csv", f"{STEM}/site-sheets.pdf"} <= set(archive.namelist())


@pytest.mark.parametrize(
    "lists",
    [
        3, [], "x", {"other": {"name": "a", "text": "b"}}, {"prices": "x"},
        {"prices": {"name": "a"}},
        {"prices": {"name": 1, "text": "b"}}, {"prices": {"name": "a" * 201, "text": "b"}},
        {"stock": {"name": "a", "text": "b" * (LIST_BYTES + 1)}},
        {"stock": {"name": "a", "text": "é" * (LIST_BYTES // 2 + 1)}},
    ],
)  # fmt: skip
def test_what_is_no_list_is_refused(server: Server, lists: object) -> None:
    for path in ("/api/findings", "/api/sheets", "/api/file"):
        got = server.post(path, {"text": DESIGN, "kind": "xlsx", "lists": lists})
        assert got.status == 400 and "list" in got.json["refused"], got


@pytest.mark.parametrize("what", ["prices", "stock", "levels", "measured", "built"])
def test_any_text_as_a_list_gets_an_answer(server: Server, what: str) -> None:
    for text in ("", "\x00", "\ud800", '"', "a;b\n" * 9000, "item,price\n" + ",-1\n" * 9000):
        lists = {what: {"name": "../../etc/passwd\r\nX: y", "text": text}}
        got = server.post("/api/findings", {"text": DESIGN, "lists": lists})
        assert got.status == 200, got
        assert what in got.json["lists"]["faults"]


@pytest.mark.parametrize("kind", ["xlsx", "pdf", "dxf", "site"])
def test_no_file_that_a_design_names_is_opened(server: Server, tmp_path: Path, kind: str) -> None:
    """A list that blocks whoever opens it: a file that read it would never be ready."""
    trap = tmp_path / "trap.csv"
    os.mkfifo(trap)
    text = re.sub(r'"(our prices|yard)\.csv"', f'"{trap}"', DESIGN)
    assert text.count(str(trap)) == 2
    assert fetched(server, kind, text)[1]
    assert server.ask(f"/api/sheets?d={packed(text)}").json["sheets"]
