"""The model of a frame: a solid and a mesh for every distinct part, and all model files.

A part whose solid fails loses alone: it goes in without its holes, or if that fails too
it stays out, and it says so by its name.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace
from OCP.Standard import Standard_Failure

from frame3d.design.tables.general import ModelParts
from frame3d.errors import OutputError, SolidError
from frame3d.frame.cover.film_shapes import with_film
from frame3d.frame.describe.unmade import Lack, Unmade
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Part
from frame3d.solids.kernel.solid import Solid
from frame3d.solids.meshes.mesh_parts import Mesh, Tolerance, enclosed_mm3
from frame3d.solids.meshes.meshes import mesh_of
from frame3d.solids.parts.make_solids import make_solid
from frame3d.solids.write.glb import write_glb
from frame3d.solids.write.step import write_step
from frame3d.solids.write.stl import write_stl

_FAILURES = (SolidError, Standard_Failure)
"""A solid that proved wrong, and what the kernel raises of its own."""
Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many steps are done, and how many there are."""


class Model(Struct, frozen=True, kw_only=True):
    """Solids and closed meshes by mark, and the parts that these do not show as they are."""

    solids: dict[str, Solid]
    meshes: dict[str, Mesh]
    unmade: tuple[Unmade, ...]

    def lost_share(self, frame: Frame) -> float:
        """How much less than their solids the triangles of ``frame`` enclose, as a share."""
        whole = lost = 0.0
        for group in frame.parts():
            if group.mark in self.solids:
                mesh, volume = self.meshes[group.mark], self.solids[group.mark].volume_mm3
                whole += group.count * volume
                lost += group.count * (volume - enclosed_mm3(mesh.corners, mesh.triangles))
        return lost / whole if whole else 0.0


def make_model(frame: Frame, progress: Progress | None = None) -> Model:
    """The model of ``frame``; whatever fails is in its ``unmade`` and never an error.

    Parameters
    ----------
    frame : Frame
    progress : callable or None
        Told about each solid as it is begun, and once at the end.
    """
    counts, output = frame.parts(), frame.design.output
    fine = Tolerance(linear_mm=output.mesh_tolerance, angle_rad=output.mesh_angle)
    solids, meshes, unmade = {}, {}, []
    for done, count in enumerate(counts):
        if progress:
            progress(f"solid {count.mark}", done, len(counts))
        made, lacks = _made(count, fine)
        if made:
            solids[count.mark], meshes[count.mark] = made
        if lacks:
            unmade.append(lacks)
    if progress:
        progress("solids", len(counts), len(counts))
    return Model(solids=solids, meshes=meshes, unmade=tuple(unmade))


def _made(count: PartCount, fine: Tolerance) -> tuple[tuple[Solid, Mesh] | None, Unmade | None]:
    """Solid and mesh of a part, without its holes if that is all that can be made, or nothing."""
    try:
        return _both(count, count.part, fine), None
    except _FAILURES as error:
        reason = str(error)
    plain = without_holes(count.part)
    if plain != count.part:
        try:
            return _both(count, plain, fine), _unmade(count, Lack.NOT_BORED, reason)
        except _FAILURES as error:
            reason = f"{reason}; without its holes: {error}"
    return None, _unmade(count, Lack.NOT_MADE, reason)


def _both(count: PartCount, part: Part, fine: Tolerance) -> tuple[Solid, Mesh]:
    solid = make_solid(part, mark=count.mark, role=count.role)
    return solid, mesh_of(solid, fine)


def _unmade(count: PartCount, lack: Lack, reason: str) -> Unmade:
    return Unmade(mark=count.mark, role=count.role, lack=lack, reason=reason)


def without_holes(part: Part) -> Part:
    """``part`` before it is drilled; a part that is never drilled is its own."""
    drilled = {name: () for name in part.__struct_fields__ if name in ("holes", "edge_holes")}
    return replace(part, **drilled) if drilled else part


def write_model(frame: Frame, folder: Path, progress: Progress | None = None) -> Model:
    """Make the model of ``frame``: ``model.step``, ``model.stl`` and ``model.glb`` in ``folder``.

    Parameters
    ----------
    frame : Frame
    folder : Path
        Made if it does not exist.
    progress : callable or None
        Told what is being done.

    Returns
    -------
    Model
        What is in them.

    Raises
    ------
    OutputError
        If the folder or a file cannot be written.
    """
    model = make_model(with_film(frame), progress)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"{folder} cannot be made: {error.strerror or error}; choose another folder"
        ) from error
    endings = ("step", "stl", "glb")
    for done, ending in enumerate(endings):
        path = folder / f"model.{ending}"
        if progress:
            progress(f"writing {path.name}", done, len(endings))
        write_model_file(frame, model, path)
    if progress:
        progress("model files", len(endings), len(endings))
    return model


def write_model_file(frame: Frame, model: Model, path: Path) -> None:
    """Write one model file, of the kind that the ending of ``path`` says: STEP, STL or GLB.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    output, unmade = frame.design.output, model.unmade
    if path.suffix == ".step":
        write_step(with_film(_shown(frame, output.step_parts)), model.solids, path, unmade)
    elif path.suffix == ".stl":
        write_stl(_shown(frame, output.stl_parts), model.meshes, path, unmade)
    else:
        write_glb(with_film(frame), model.meshes, path, unmade)


def _shown(frame: Frame, parts: ModelParts) -> Frame:
    """The frame with all of its members, or without what is bought."""
    if parts is ModelParts.ALL:
        return frame
    return replace(frame, members=tuple(m for m in frame.members if not m.part.is_bought))
