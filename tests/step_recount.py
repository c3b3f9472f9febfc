"""Everything in a STEP file counted and measured, by the kernel alone and none of our lists.

``python tests/step_recount.py DESIGN...`` writes the model of each design file, counts it and holds
the take-off's own files against it.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

from msgspec import Struct
from OCP.Bnd import Bnd_OBB
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

KG_PER_LB, MM_PER_INCH = 0.45359237, 25.4
STEEL, TIMBER = 7850e-9, 560e-9
"""kg/mm³: EN 1991-1-1, table A.4, and the default density of boards."""


class Counted(Struct, frozen=True, kw_only=True):
    """Solids that are one and the same body: volume, mm³, longest side of its box, mm, count."""

    volume: float
    longest: float
    count: int


def recount(path: Path) -> list[Counted]:
    """The bodies of a STEP file, each in all of its places."""
    reader = STEPControl_Reader()
    assert reader.ReadFile(str(path)) == IFSelect_RetDone
    reader.TransferRoots()
    bodies: list[list[TopoDS_Shape]] = []
    at = TopExp_Explorer(reader.OneShape(), TopAbs_SOLID)
    while at.More():
        solid = at.Current()
        alike = next((own for own in bodies if own[0].IsPartner(solid)), None)
        if alike is None:
            bodies.append([solid])
        else:
            alike.append(solid)
        at.Next()
    return [_measured(own[0], len(own)) for own in bodies]


def _measured(solid: TopoDS_Shape, count: int) -> Counted:
    properties, box = GProp_GProps(), Bnd_OBB()
    BRepGProp.VolumeProperties_s(solid, properties, 1e-9, True)
    BRepBndLib.AddOBB_s(solid, box, False, True, False)
    sides = (box.XHSize(), box.YHSize(), box.ZHSize())
    return Counted(volume=properties.Mass(), longest=2 * max(sides), count=count)


def table(folder: Path, key: str) -> list[dict[str, str]]:
    """A table of the take-off from its CSV file."""
    lines = (folder / f"takeoff-{key}.csv").read_text("utf-8-sig").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def faults(step: Path, folder: Path) -> list[str]:
    """Where the take-off in ``folder`` says other counts, masses or lengths than the model."""
    told, left = [], sorted(recount(step), key=lambda one: one.volume)
    for row in table(folder, "parts"):
        pounds = "Weight each, lb" in row
        mass = float(row["Weight each, lb" if pounds else "Mass each, kg"])
        mass *= KG_PER_LB if pounds else 1.0
        density = TIMBER if row["Material"] == "treated lumber" else STEEL
        key = "Length, in" if pounds else "Length, mm"
        length = float(row[key]) * (MM_PER_INCH if pounds else 1.0) if row[key] else None
        # A part may be several solids that touch; then they are counted by its mass alone.
        same = [one for one in left if abs(one.volume * density - mass) <= 2e-5 * mass + 5e-7]
        count = int(row["Count"])
        exact = [one for one in same if one.count == count]
        straight = "tube, straight" in row["Description"]
        if length is not None and straight:
            exact = [one for one in exact if abs(one.longest - length) < 0.02] or exact[:0]
        if not exact:
            near = [(one.count, round(one.longest, 2)) for one in same]
            told.append(f"{row['Mark']} {row['Description']}: {count} of {length}, model {near}")
            continue
        left.remove(exact[0])
    return [*told, *(f"in the model alone: {one}" for one in left)]


def main(designs: list[str]) -> int:
    """Count each design; 1 where one is counted otherwise."""
    wrong = 0
    for design in designs:
        with tempfile.TemporaryDirectory() as folder:
            options = ["--only", "model", "--only", "takeoff", "--out", folder, "--workers", "1"]
            command = [sys.executable, "-P", "-m", "frame3d.cli", "build", design, *options]
            subprocess.run(command, check=False, capture_output=True)
            found = faults(Path(folder) / "model.step", Path(folder))
        print(f"{design}: {'; '.join(found) or 'the same'}")
        wrong += bool(found)
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
