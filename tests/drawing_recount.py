"""Every made part counted, measured and weighed from its drawing file, by none of our lists.

``python tests/drawing_recount.py`` builds the twelve designs of ``recounted_designs.py``, counts
them from their drawing files and from the STEP file, and holds the take-off against both.
"""

from __future__ import annotations

import math
import re
import sys
import tempfile
from pathlib import Path

import ezdxf
from made_from_drawings import made
from step_recount import KG_PER_LB, MM_PER_INCH, STEEL, TIMBER, table
from step_recount import faults as faults_of_model

_NEEDED = re.compile(r"(\S+), (\d+) needed")
_SHARE = {"tube": 0.003, "board": 0.007, "plate": 0.001}
"""How far a mass may be off: swages and bevels are read from a drawing in plain shapes."""


def drawn(path: Path) -> tuple[str, int, float | None, float | None]:
    """Kind, count, length and mass of a part by its drawing, mm and kg; None for what is not told.

    Of channel the length is that of its face, half the way round it.
    """
    doc = ezdxf.readfile(path)
    unit = {1: MM_PER_INCH, 4: 1.0}[doc.header["$INSUNITS"]]
    words = [e.dxf.text for e in doc.modelspace() if e.dxf.layer == "text"]
    count = next(int(m[2]) for word in words if (m := _NEEDED.search(word)))
    if any("film channel" in word for word in words):
        face = max(
            (e for e in doc.modelspace().query("LWPOLYLINE") if e.dxf.layer == "cut"),
            key=lambda e: sum(abs(x) + abs(y) for x, y in e.get_points("xy")),
        )
        corners = list(face.get_points("xyb"))
        way = sum(map(_along, corners, corners[1:] + corners[:1]))
        return "channel", count, way / 2 * unit, None
    part = made(path)
    density = TIMBER if part.kind == "board" else STEEL
    return part.kind, count, part.length_mm or None, part.volume_mm3 * density


def _along(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """From a corner of a polyline to the next, round the arc that its bulge says (DXF)."""
    chord, turn = math.dist(one[:2], other[:2]), 4 * math.atan(abs(one[2]))
    return chord if turn < 1e-9 else chord / 2 / math.sin(turn / 2) * turn


def faults(parts: Path, folder: Path) -> list[str]:
    """Where the take-off in ``folder`` says other than the drawing files in ``parts``."""
    # Flat patterns show plates once more, before they are bent into one piece.
    files = (path for path in parts.glob("*.dxf") if not path.stem.endswith("-flat"))
    told, left = [], {path.stem: path for path in files}
    for row in table(folder, "parts"):
        path = left.pop(row["Mark"], None)
        if path is None:
            continue  # bought: the model has it
        pounds = "Weight each, lb" in row
        mass = float(row["Weight each, lb" if pounds else "Mass each, kg"])
        mass *= KG_PER_LB if pounds else 1.0
        key = "Length, in" if pounds else "Length, mm"
        length = float(row[key]) * (MM_PER_INCH if pounds else 1.0) if row[key] else None
        kind, count, long, kg = drawn(path)
        if count != int(row["Count"]):
            told.append(f"{row['Mark']}: {row['Count']}, its drawing {count}")
        if kg is not None and abs(kg - mass) > _SHARE[kind] * mass:
            told.append(f"{row['Mark']}: {mass:.3f} kg, its drawing {kg:.3f}")
        # Of a channel the face is as wide or deep as it is besides, and may be mitred.
        slack = 45.0 if kind == "channel" else 0.5
        if length is not None and long is not None and abs(long - length) > slack:
            told.append(f"{row['Mark']}: {length:.1f} mm, its drawing {long:.1f}")
    return [*told, *(f"in the drawings alone: {mark}" for mark in left)]


def main() -> int:
    """Count the twelve designs from drawings and model; 1 where one is counted otherwise."""
    from recounted_designs import RECOUNTED

    from frame3d.building import build
    from frame3d.design.reading.reader import design_from_mapping

    wrong = 0
    for name, design in RECOUNTED.items():
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            only = ["model", "parts", "takeoff"]
            build(design_from_mapping(design), folder, only=only, workers=1)
            found = faults(folder / "parts", folder)
            found += faults_of_model(folder / "model.step", folder)
            rows = table(folder, "parts")
        pieces = sum(int(row["Count"]) for row in rows)
        print(f"{name}: {len(rows)} marks, {pieces} pieces: {'; '.join(found) or 'the same'}")
        sys.stdout.flush()
        wrong += bool(found)
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
