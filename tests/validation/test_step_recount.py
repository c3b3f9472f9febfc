"""The take-off against the model: bodies of the STEP file counted and measured by the kernel.

The script knows nothing of our lists but the CSV file that it holds against the model; run by
itself it counts any design: ``python tests/step_recount.py DESIGN...``
"""

from __future__ import annotations

from pathlib import Path

import pytest
from step_recount import faults, table

import frame3d
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out

DESIGNS = {
    "gothic, bolted, imperial": {
        "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "15 ft",
                    "leg_height": "4 ft"},
        "bays": {"count": 1, "spacing": "4 ft"},
        "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.5}],
        "sill_board": {},
    },
    "quonset, clamped, metric": {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m",
                    "leg_height": "0.6 m"},
        "bays": {"count": 2, "spacing": "1.2 m"},
        "rail": [{"at": "ridge", "fixing": "clamped"}],
        "tie": [{"height": "2 m"}],
    },
}  # fmt: skip


@pytest.mark.parametrize("name", DESIGNS)
def test_the_model_holds_what_the_take_off_counts(name: str, tmp_path: Path) -> None:
    frame = lay_out(design_from_mapping(DESIGNS[name]))
    frame3d.write_model(frame, tmp_path / "model.step")
    frame3d.build_takeoff(frame3d.take_off(frame), tmp_path)
    assert faults(tmp_path / "model.step", tmp_path) == []
    # What is ordered of it: every bolt in the model, those that come with clamps too.
    order = table(tmp_path, "hardware")
    bolts = sum(int(row["Count"]) for row in table(tmp_path, "parts") if row["Use"] == "bolt")
    clamps = sum(int(row["Needed"]) for row in order if " clamp for " in row["Item"])
    loose = sum(int(row["Needed"]) for row in order if " bolt " in row["Item"][:14])
    assert bolts == loose + 2 * clamps
    # A count and a length that are wrong are found.
    path = tmp_path / "takeoff-parts.csv"
    text = path.read_text("utf-8-sig")
    rows = text.splitlines()
    socket = next(row for row in rows if row.startswith("S1,"))
    count = next(count for count in (",4,", ",6,") if count in socket)
    path.write_text(text.replace(socket, socket.replace(count, ",5,", 1)), "utf-8-sig")
    assert len(faults(tmp_path / "model.step", tmp_path)) == 2
