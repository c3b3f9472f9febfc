"""The files for an engineer."""

from __future__ import annotations

import json
from pathlib import Path

from frame3d.frame.model.members import Frame
from frame3d.loads.cautions import CAUTION_CELL
from frame3d.loads.engineer.decisions import decisions_pdf
from frame3d.loads.engineer.model import Sheet, engineer_model, record_of, tables_of
from frame3d.loads.engineer.schema import schema
from frame3d.loads.engineer.script import script_text
from frame3d.units.cells import as_csv

TABLES = (
    "nodes", "members", "sections", "joints", "supports", "tributary", "exposed", "weight",
    "reactions", "forces",
)  # fmt: skip
RECORD, SCHEMA = "engineer-model.json", "engineer-model.schema.json"
SCRIPT, DECISIONS = "engineer-pynite.py", "engineer-decisions.pdf"
MODEL_FILES = (DECISIONS, RECORD, SCHEMA, SCRIPT, *(f"engineer-{key}.csv" for key in TABLES))
"""What is written for an engineer."""


def write_model(frame: Frame, folder: Path) -> None:
    """Write every file into ``folder``, which is there and may be spoilt.

    Raises
    ------
    OSError
        If a file cannot be written.
    Unstable
        If the frame is a mechanism.
    """
    model = engineer_model(frame)
    for sheet in tables_of(model):
        _write_csv(folder / f"engineer-{sheet.key}.csv", sheet)
    texts = {
        RECORD: json.dumps(record_of(model), ensure_ascii=False, allow_nan=False) + "\n",
        SCHEMA: json.dumps(schema(), indent=1, ensure_ascii=False) + "\n",
        SCRIPT: script_text(),
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    (folder / DECISIONS).write_bytes(decisions_pdf(frame))


def _write_csv(path: Path, sheet: Sheet) -> None:
    rows = [["caution", *sheet.header], *((CAUTION_CELL, *row) for row in sheet.rows)]
    path.write_text(as_csv(rows), encoding="utf-8", newline="")
