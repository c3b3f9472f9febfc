"""The fabricator's files, read back by readers that share no code with what wrote them."""

from __future__ import annotations

import json
import math
import os
import subprocess
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.board_measures import blocks
from frame3d.frame.model.parts import Board, Plate, Tube
from frame3d.frame.model.roles import Role
from frame3d.sheets.write.part_files import write_parts

TOOLS = Path(__file__).parents[1] / "tools"
PLATED = {
    "output": {"units": "metric", "layers": "iso 13567", "dxf_version": "R2000"},
    "profile": {"style": "gothic", "width": "6 m", "ridge_height": "4.6 m", "leg_height": "1.2 m"},
    "bays": {"count": 3, "spacing": "1.5 m"},
    "hoop": {"tube": "42 x 2 mm", "ridge_joint": "plates"},
    "socket": {"tube": "50 x 3 mm"},
}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """Folder, parts by mark and millimetres in a drawing unit: an imperial and a metric design."""
    made = {}
    for name, design in (
        ("imperial", read_design(example_paths()["long_meadow_gothic"])),
        ("metric", design_from_mapping(PLATED)),
    ):
        frame, folder = lay_out(design), tmp_path_factory.mktemp(name)
        names = write_parts(frame, folder)
        parts = {group.mark: group for group in frame.parts()}
        made[name] = (folder / "parts", parts, 25.4 if name == "imperial" else 1.0, names)
    return made


def lines(path: Path) -> dict[str, list[shapely.Geometry]]:
    """What pyogrio finds on each layer."""
    meta, _, shapes, fields = pyogrio.raw.read(path)
    layers = fields[list(meta["fields"]).index("Layer")]
    found: dict[str, list] = {}
    for layer, shape in zip(layers, shapely.from_wkb(shapes), strict=True):
        found.setdefault(layer, []).append(shape)
    return found


def first(parts, kind, also=lambda part: True):
    return next(g for g in parts.values() if isinstance(g.part, kind) and also(g.part))


def area_mm2(shape, unit: float) -> float:
    return shapely.Polygon(shape.coords).area * unit**2


def is_at(hole, place, unit: float) -> bool:
    return math.dist((hole.centroid.x * unit, hole.centroid.y * unit), place) < 1e-3


def test_every_part_that_is_made_has_its_file_and_no_other(written):
    for folder, parts, _, names in written.values():
        made = {mark for mark, g in parts.items() if isinstance(g.part, Tube | Board | Plate)}
        bent = {
            m
            for m in made
            if isinstance(parts[m].part, Tube) and not parts[m].part.axis.is_straight
        }
        wanted = {f"{mark}.dxf" for mark in made} | {f"{mark}-bends.csv" for mark in bent}
        flat = {Path(name).name for name in names if name.endswith("-flat.dxf")}
        for name in flat:  # named by the legs that it is bent from
            assert set(name.removesuffix("-flat.dxf").split("-")) <= made
        wanted |= flat
        assert {Path(name).name for name in names} == wanted == {p.name for p in folder.iterdir()}


@pytest.mark.parametrize("which", ["imperial", "metric"])
def test_files_are_sound_and_in_the_units_of_the_design(written, which):
    folder, _, unit, _ = written[which]
    for path in sorted(folder.glob("*.dxf"))[::9]:
        doc = ezdxf.readfile(path)
        assert doc.audit().errors == []
        assert doc.header["$INSUNITS"] == {25.4: 1, 1.0: 4}[unit]
        assert doc.acad_release == {25.4: "R2018", 1.0: "R2000"}[unit]


@pytest.mark.parametrize("which", ["imperial", "metric"])
def test_cautions_and_notes_have_a_layer_of_their_own(written, which):
    """Whoever cuts by layers leaves them out; whoever opens the file reads them."""
    folder, parts, _, _ = written[which]
    notes, text = {"imperial": ("notes", "text"), "metric": ("Z-NOTES-T-", "Z-------T-")}[which]
    for path in [p for p in sorted(folder.glob("*.dxf")) if "flat" not in p.name][::7]:
        doc = ezdxf.readfile(path)
        said = {layer: " ".join(
            e.dxf.text for e in sorted(
                doc.modelspace().query(f'TEXT[layer=="{layer}"]'), key=lambda e: -e.dxf.insert[1]
            )
        ) for layer in (notes, text)}  # fmt: skip
        for words in ("licensed professional", "nothing here says what the part", "ISO 2768-1",
                      "ISO 13715", "Measure the delivered material"):  # fmt: skip
            assert words in said[notes]
        group = parts[path.stem]
        assert said[text].startswith(f"{group.mark}, {group.count} needed")
        assert "by the fabricator" in said[text]
        kinds = {e.dxftype() for e in doc.modelspace() if e.dxf.layer in (notes, text)}
        assert kinds == {"TEXT"}


def test_a_plate_has_its_area_and_its_holes(written):
    folder, parts, unit, _ = written["metric"]
    group = first(parts, Plate)
    found = lines(folder / f"{group.mark}.dxf")
    # ISO 13567-2: agent 2, element 6 and presentation 2 characters
    assert set(found) == {"Z-CUT---E-", "Z-CUTHOLE-", "Z-------T-", "Z-NOTES-T-"}
    (outline,) = found["Z-CUT---E-"]
    assert len(found["Z-CUTHOLE-"]) == len(group.part.holes)
    # shoelace over the part's own corners
    corners = group.part.outline
    wanted = abs(sum(
        a[0] * b[1] - b[0] * a[1]
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    )) / 2  # fmt: skip
    assert area_mm2(outline, unit) == pytest.approx(wanted, rel=1e-9)


def test_a_board_has_the_area_of_its_face(written):
    folder, parts, unit, _ = written["imperial"]
    group = first(parts, Board, lambda b: b.start is None and b.end is None and b.holes)
    found = lines(folder / f"{group.mark}.dxf")
    wanted = group.part.length_mm * group.part.section.depth_mm
    assert area_mm2(found["cut"][0], unit) == pytest.approx(wanted, rel=1e-9)
    assert len(found["cut holes"]) == len(group.part.holes)
    for hole in group.part.holes:
        assert any(is_at(h, (hole.along_mm, hole.up_mm), unit) for h in found["cut holes"])


def test_a_lapped_stud_has_the_area_of_its_blocks(written):
    folder, parts, unit, _ = written["imperial"]
    group = first(parts, Board, lambda b: b.end is not None and b.end.lap_mm)
    found = lines(folder / f"{group.mark}.dxf")
    hulls = [shapely.MultiPoint(block[:, :2]).convex_hull for block in blocks(group.part)]
    wanted = shapely.union_all(hulls).area
    assert area_mm2(found["cut"][0], unit) == pytest.approx(wanted, rel=1e-6)


def test_a_tube_unrolled_is_its_length_by_its_girth_with_two_holes_for_each(written):
    folder, parts, unit, _ = written["imperial"]
    group = first(parts, Tube, lambda t: not t.axis.is_straight and t.holes)
    found, tube = lines(folder / f"{group.mark}.dxf"), group.part
    (surface,) = found["cut"]
    assert area_mm2(surface, unit) == pytest.approx(
        tube.length_mm * math.pi * tube.section.od_mm, rel=1e-9
    )
    # Each hole goes through both walls: at its clock angle and half a turn on, counted from
    # the line at the inside of the bends.
    (inside,) = found["inside of bends"]
    assert len(found["cut holes"]) == 2 * len(tube.holes)
    low, girth = surface.bounds[1] * unit, math.pi * tube.section.od_mm
    for hole in tube.holes:
        for turn in (0.0, math.pi):
            y = inside.bounds[1] * unit + (turn - hole.clock_rad) * tube.section.od_mm / 2
            y = low + (y - low) % girth
            assert any(is_at(h, (hole.at_mm, y), unit) for h in found["cut holes"])


def test_a_surface_unrolled_is_wrapped_round_its_tube_face_out(tmp_path):
    """Each hole of the flat surface lies on a hole of the bar, and the face of the drawing out.

    By geometry: x goes along the tube, and a step along x and one along y of the drawing turn
    into two steps on the tube whose cross product points away from its axis.
    """
    frame = lay_out(read_design(example_paths()["long_meadow_quonset"]))
    write_parts(frame, tmp_path)
    lopsided = [
        g
        for g in frame.parts()
        if isinstance(g.part, Tube)
        and {(h.at_mm, h.clock_rad) for h in g.part.holes}
        != {(h.at_mm, -h.clock_rad % math.pi) for h in g.part.holes}
    ]
    assert lopsided, "without holes on one side only a mirrored drawing looks the same"
    for group in lopsided:
        found, tube = lines(tmp_path / "parts" / f"{group.mark}.dxf"), group.part
        half = tube.section.od_mm / 2
        zero = found["inside of bends"][0].bounds[1]
        directions = [
            np.array([0.0, math.cos(h.clock_rad), math.sin(h.clock_rad)]) for h in tube.holes
        ]
        wrapped = []
        for circle in found["cut holes"]:
            # Wrapped face out, y runs from the bend's inside (+y) toward -z.
            turn = (circle.centroid.y - zero) / half
            out = np.array([0.0, math.cos(turn), -math.sin(turn)])
            up = np.array([0.0, -math.sin(turn), -math.cos(turn)])
            assert np.cross([1.0, 0.0, 0.0], up) @ out == pytest.approx(1.0)
            wrapped.append((circle.centroid.x, out))
        for hole, direction in zip(tube.holes, directions, strict=True):
            for way in (direction, -direction):
                assert any(
                    abs(x - hole.at_mm) < 1e-3 and np.linalg.norm(out - way) < 1e-3
                    for x, out in wrapped
                )


def test_the_bent_centreline_is_as_long_as_the_straight_tube(written):
    """By npm's dxf-parser, which keeps arcs as arcs: Σ R·angle + Σ lines = developed length."""
    folder, parts, unit, _ = written["imperial"]
    group = first(parts, Tube, lambda t: not t.axis.is_straight)
    run = subprocess.run(
        ["node", str(TOOLS / "read_dxf.js"), str(folder / f"{group.mark}.dxf")],
        capture_output=True, text=True, timeout=60, check=True,
        env={**os.environ, "NODE_PATH": os.pathsep.join(
            filter(None, [str(TOOLS / "node_modules"), os.environ.get("NODE_PATH", "")]))},
    )  # fmt: skip
    entities = [e for e in json.loads(run.stdout)["entities"] if e["layer"] == "centre line"]
    straight = [e for e in entities if e["type"] == "LINE"]
    arcs = [e for e in entities if e["type"] == "ARC"]

    def length(e) -> float:
        (a, b) = e["vertices"]
        return math.dist((a["x"], a["y"]), (b["x"], b["y"])) * unit

    developed = next(e for e in straight if all(v["y"] == 0 for v in e["vertices"]))
    bent = sum(length(e) for e in straight if e is not developed)
    bent += sum(e["radius"] * unit * ((e["endAngle"] - e["startAngle"]) % math.tau) for e in arcs)
    assert arcs
    assert length(developed) == pytest.approx(group.part.length_mm, rel=1e-9)
    assert bent == pytest.approx(group.part.length_mm, rel=1e-7)


def test_roles_are_those_of_the_frame(written):
    """Sockets, hoops, rails, boards and studs are among them, so no kind was forgotten."""
    _, parts, _, names = written["imperial"]
    roles = {
        parts[Path(name).stem].role
        for name in names
        if name.endswith(".dxf") and "-flat" not in name
    }
    assert {Role.SOCKET, Role.HOOP, Role.RAIL, Role.SILL_BOARD, Role.STUD} <= roles
