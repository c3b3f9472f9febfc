"""All the model files of a frame, in one folder."""

from __future__ import annotations

from pathlib import Path

from frame3d.errors import OutputError
from frame3d.frame.members import Frame
from frame3d.solids.glb import write_glb
from frame3d.solids.make import make_solids
from frame3d.solids.meshes import make_meshes
from frame3d.solids.progress import Progress
from frame3d.solids.step import write_step
from frame3d.solids.stl import write_stl


def write_model(frame: Frame, folder: Path, progress: Progress | None = None) -> list[Path]:
    """Write ``model.step``, ``model.stl`` and ``model.glb`` into ``folder``.

    Parameters
    ----------
    frame : Frame
    folder : Path
        Made if it does not exist.
    progress : callable or None
        Told what is being done.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    SolidError
        If a part cannot be made; nothing has been written then.
    OutputError
        If the folder or a file cannot be written.
    """
    solids = make_solids(frame, progress)
    meshes = make_meshes(solids, progress)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"{folder} cannot be made: {error.strerror or error}; choose another folder"
        ) from error
    jobs = ((write_step, solids), (write_stl, meshes), (write_glb, meshes))
    names = ("model.step", "model.stl", "model.glb")
    paths = []
    for done, ((write, shapes), name) in enumerate(zip(jobs, names, strict=True)):
        if progress:
            progress(f"writing {name}", done, len(jobs))
        write(frame, shapes, folder / name)
        paths.append(folder / name)
    if progress:
        progress("model files", len(jobs), len(jobs))
    return paths
