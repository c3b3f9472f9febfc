"""STEP as others read it: every part and every placed member valid, tight and whole.

The kernel that wrote the file reads it back with nothing left of what it knew, and gmsh reads it
by itself. Frames are kept short, since a member costs the check a tenth of a second; the parts of
a long frame are the same.
"""

from __future__ import annotations

import math
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.members import Frame, Member
from frame3d.solids.kernel.solid import MOST_TOLERANCE_MM, Solid, greatest_tolerance_mm, solids_in
from frame3d.solids.parts.make_solids import make_solids
from frame3d.solids.write.step import quiet, write_step

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))
from campaign import examples  # noqa: E402 - the path is set above
from end_form_parts import end_form_frame  # noqa: E402 - the path is set above
from whole_designs import designs  # noqa: E402 - the path is set above


def short(path: Path) -> Frame:
    """A frame of four bays with everything else as the design has it."""
    mapping = tomllib.loads(path.read_text(encoding="utf-8"))
    spacing = mapping["bays"].get("spacing") or mapping["bays"]["largest_spacing"]
    return lay_out(design_from_mapping(mapping | {"bays": {"count": 4, "spacing": spacing}}))


FRAMES = {
    **example_paths(),
    "low_wide": TESTS / "cases" / "low_wide.toml",
}


@pytest.fixture(scope="module", params=[*FRAMES, "end forms"])
def written(request, tmp_path_factory) -> tuple[Frame, dict[str, Solid], Path]:
    name = request.param
    frame = end_form_frame() if name == "end forms" else short(FRAMES[name])
    path = tmp_path_factory.mktemp("step") / "model.step"
    solids = make_solids(frame)
    write_step(frame, solids, path)
    return frame, solids, path


def faults(path: Path) -> Iterator[str]:
    """What is wrong with the members of a file, each where it stands.

    Of members of one part that are turned alike, the one farthest off is judged: with it the
    kernel rounds most. ``FRAME3D_EXAMPLES`` above its usual has every one of them judged.
    """
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.STEPControl import STEPControl_Reader
    from OCP.TopLoc import TopLoc_Location

    with quiet():
        reader = STEPControl_Reader()
        reader.ReadFile(str(path))
        reader.TransferRoots()
    farthest: dict[tuple, tuple[float, int]] = {}
    solids = solids_in(reader.OneShape())
    for number, solid in enumerate(solids):
        move = solid.Location().Transformation()
        turn = [round(move.Value(row, column), 6) for row in (1, 2, 3) for column in (1, 2, 3)]
        far = move.TranslationPart().Modulus()
        key = (hash(solid.Located(TopLoc_Location())), *turn, number if examples(1) > 1 else 0)
        farthest[key] = max(farthest.get(key, (far, number)), (far, number))
    for _, number in farthest.values():
        if not BRepCheck_Analyzer(solids[number]).IsValid():
            yield f"member {number} is not valid"
        if (widest := greatest_tolerance_mm(solids[number])) > MOST_TOLERANCE_MM:
            yield f"member {number} has a tolerance of {widest} mm"


def test_members_are_valid_where_they_stand(written: tuple[Frame, dict[str, Solid], Path]) -> None:
    assert list(faults(written[2])) == []


def one_of_each(frame: Frame) -> Frame:
    """The frame with one member of each part, the one that stands farthest off."""
    farthest: dict[str, Member] = {}
    for member in sorted(frame.members, key=lambda one: math.hypot(*one.placement.origin)):
        farthest[member.mark] = member
    return replace(frame, members=tuple(farthest.values()))


def test_parts_are_whole_in_gmsh(
    written: tuple[Frame, dict[str, Solid], Path], tmp_path: Path
) -> None:
    """One member of each: gmsh takes a tenth of a second for every one, and copies are alike."""
    import gmsh

    whole, solids, _ = written
    frame, path = one_of_each(whole), tmp_path / "parts.step"
    write_step(frame, solids, path)
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        found = sorted(gmsh.model.occ.getMass(3, tag) for _, tag in gmsh.model.getEntities(3))
    finally:
        gmsh.finalize()
    # gmsh integrates trimmed faces by a fixed rule, coarser than ours: 1e-4.
    expected = sorted(volume_mm3(member.part) for member in frame.members)
    assert found == pytest.approx(expected, rel=1e-4)


@settings(
    max_examples=examples(2), deadline=None, derandomize=True,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(mapping=designs(most_bays=2))
def test_members_of_random_frames_are_valid_where_they_stand(
    mapping: dict, tmp_path_factory
) -> None:
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
    path = tmp_path_factory.mktemp("step") / "model.step"
    write_step(frame, make_solids(frame), path)
    assert list(faults(path)) == []
