"""What a design chooses of its model files: how fine the triangles are, and what is left out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import trimesh

from frame3d.build_jobs import make_model
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.members import Frame

SMALL = {
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 1, "spacing": "1.2 m"},
}


def made(folder: Path, **output: str) -> tuple[Frame, str]:
    """A small frame whose model is in ``folder``, and what is told of its triangles."""
    frame = lay_out(design_from_mapping({**SMALL, "output": output}))
    unmade, note = make_model(frame, folder, lambda *_: None)
    assert unmade == ()
    return frame, note


def stl_volume_mm3(folder: Path) -> float:
    return float(trimesh.load_mesh(folder / "model.stl").volume)


def names(folder: Path) -> set[str]:
    """Names of products in the STEP file, as text."""
    return set(re.findall(r"PRODUCT\('([^']*)'", (folder / "model.step").read_text("utf-8")))


@pytest.mark.parametrize("parts", ["all", "made"])
def test_bought_parts_are_left_out_of_one_file_alone(tmp_path: Path, parts: str) -> None:
    frame, _ = made(tmp_path, units="metric", mesh_angle="4 deg", stl_parts=parts)
    whole = sum(volume_mm3(m.part) for m in frame.members)
    bought = sum(volume_mm3(m.part) for m in frame.members if m.part.is_bought)
    assert bought > 0.005 * whole
    # Chords of 4 deg leave out (4 deg)²/6 = 8e-4 of a tube, of all else four times as much.
    wanted = whole if parts == "all" else whole - bought
    assert stl_volume_mm3(tmp_path) == pytest.approx(wanted, rel=2e-3)
    assert {"H1", "BT1", "N1"} <= names(tmp_path)


def test_bought_parts_are_left_out_of_the_step_file(tmp_path: Path) -> None:
    made(tmp_path, units="metric", step_parts="made")
    assert "H1" in names(tmp_path)
    assert not {"BT1", "N1", "W1"} & names(tmp_path)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_what_is_told_of_the_triangles_is_so(tmp_path: Path, units: str) -> None:
    frame, note = made(tmp_path, units=units, mesh_angle="20 deg")
    share = float(re.search(r"enclose ([\d.]+) % less", note)[1]) / 100
    whole = sum(volume_mm3(m.part) for m in frame.members)
    assert 1 - stl_volume_mm3(tmp_path) / whole == pytest.approx(share, abs=1e-4)
    # 0.5 mm is the default: what is told is never less, 1/64 in would be.
    within = {"metric": "0.5 mm", "imperial": '1/32"'}[units]
    assert f"within {within} and 20°" in note


def test_finer_files_are_larger(tmp_path: Path) -> None:
    sizes = []
    for angle in ("20 deg", "12 deg", "3 deg"):
        made(tmp_path / angle, units="metric", mesh_angle=angle)
        sizes.append((tmp_path / angle / "model.stl").stat().st_size)
    assert sizes[0] < sizes[1] < sizes[2]


@pytest.mark.parametrize(("name", "value"), [("mesh_angle", "30 deg"), ("mesh_tolerance", "0 mm")])
def test_what_cannot_be_chosen_is_told(name: str, value: str) -> None:
    with pytest.raises(DesignFaults, match=f"output.{name}"):
        design_from_mapping({**SMALL, "output": {name: value}})
