"""Papers that are handed on without the sheets say which revision they are of."""

from __future__ import annotations

import json
import re
from pathlib import Path

import openpyxl
import pymupdf
import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html
from frame3d.guide.write.inspection import inspection_pdf
from frame3d.single_builds import build_order
from frame3d.takeoff.take_off import take_off

SMALL = {
    "profile": {"style": "quonset", "width": "12 ft", "ridge_height": "8 ft",
                "leg_height": "2 ft"},
    "bays": {"count": 1, "spacing": "4 ft"},
}  # fmt: skip
REVISED = {"revision": [{"mark": "A", "what": "first"}, {"mark": "B", "what": "second"}]}


def papers(folder: Path, given: dict) -> dict[str, str]:
    """The text of everything that is handed on alone, by name."""
    frame = lay_out(design_from_mapping(SMALL | given))
    build_order(take_off(frame), folder)
    (folder / "inspection.pdf").write_bytes(inspection_pdf(frame))
    told = {"guide.html": page_html(guide_of(frame, drawn=False))}
    for path in folder.iterdir():
        if path.suffix == ".csv" and path.name.startswith("takeoff-"):
            continue  # its folder says it: the JSON and the workbook beside it
        if path.suffix in (".csv", ".json", ".svg"):
            told[path.name] = path.read_text("utf-8-sig")
        elif path.suffix == ".xlsx":
            cells = openpyxl.load_workbook(path)
            told[path.name] = " ".join(str(sheet.cell(1, 1).value) for sheet in cells)
        else:
            with pymupdf.open(path) as pages:
                told[path.name] = " ".join(page.get_text() for page in pages)
    return told


@pytest.mark.parametrize(("given", "said"), [(REVISED, True), ({}, False)])
def test_each_says_the_last_revision_or_none(tmp_path: Path, given: dict, said: bool) -> None:
    told = papers(tmp_path, given)
    assert {"guide.html", "inspection.pdf", "labels.csv", "request-steel.pdf"} <= set(told)
    for name, text in told.items():
        if name.endswith(".json"):
            assert json.loads(text)["project"]["revision"] == ("B" if said else "-")
        elif not name.endswith(".svg"):
            indices = set(re.findall(r"[,;]\s+revision (\w+)", text))
            assert indices == ({"B"} if said else set()), name
