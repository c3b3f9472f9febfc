"""Files to take away, made one at a time: model, drawings, take-off, or all of them in a ZIP."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from msgspec import Struct

from frame3d.errors import DesignFaults, Fault, Frame3dError, machine_reason
from frame3d.frame.members import Frame
from frame3d.web.reading import NAME, frame_of

Tell = Callable[[str, int, int], None]

__all__ = ["KINDS", "Kind", "make_file"]


class Kind(Struct, frozen=True, kw_only=True):
    """A kind of file: its ending, what it is called, and its media type."""

    ending: str
    meaning: str
    media: str


KINDS: dict[str, Kind] = {
    "step": Kind(ending="step", meaning="Exact model for CAD programs", media="model/step"),
    "stl": Kind(ending="stl", meaning="Triangles in millimetres", media="model/stl"),
    "glb": Kind(ending="glb", meaning="Model for viewers", media="model/gltf-binary"),
    "dxf": Kind(ending="dxf", meaning="Drawings at full size", media="image/vnd.dxf"),
    "pdf": Kind(ending="pdf", meaning="Sheets to print", media="application/pdf"),
    "xlsx": Kind(
        ending="xlsx", meaning="Take-off to order and cut from",
        media="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ),
    "zip": Kind(ending="zip", meaning="Every file of a build", media="application/zip"),
}  # fmt: skip
"""What can be asked for, in the order in which the page offers it."""


def make_file(text: str, kind: str, folder: str, tell: Tell) -> dict[str, Any]:
    """Make one file in ``folder``, which the server chose and will remove.

    Returns
    -------
    dict
        ``path``, as text, and ``bytes``.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, or the file cannot be made of it.
    """
    frame = frame_of(text)
    path = Path(folder) / f"frame.{KINDS[kind].ending}"
    try:
        _MAKERS[kind](frame, path, tell)
    except DesignFaults:
        raise
    except (Frame3dError, OSError) as error:
        message = str(error)
        if isinstance(error, OSError) and (reason := machine_reason(error)):
            message = f"the file cannot be made: on the machine of this page {reason}"
        elif not isinstance(error, Frame3dError):
            raise
        raise DesignFaults([Fault(where="", message=message)], NAME) from error
    return {"path": str(path), "bytes": path.stat().st_size}


def _step(frame: Frame, path: Path, tell: Tell) -> None:
    tell("loading", 0, 1)
    from frame3d.solids.make import make_solids
    from frame3d.solids.step import write_step

    solids = make_solids(frame, tell)
    tell("writing the STEP file", 0, 1)
    write_step(frame, solids, path)


def _mesh(frame: Frame, path: Path, tell: Tell) -> None:
    tell("loading", 0, 1)
    from frame3d.solids.glb import write_glb
    from frame3d.solids.make import make_solids
    from frame3d.solids.meshes import make_meshes
    from frame3d.solids.stl import write_stl

    meshes = make_meshes(make_solids(frame, tell), tell)
    tell(f"writing the {path.suffix[1:].upper()} file", 0, 1)
    (write_stl if path.suffix == ".stl" else write_glb)(frame, meshes, path)


def _sheets(frame: Frame, path: Path, tell: Tell) -> None:
    tell("loading", 0, 2)
    from frame3d.sheets import draw_sheets, write_dxf, write_pdf

    tell("drawing the sheets", 0, 2)
    sheets = draw_sheets(frame)
    tell(f"writing the {path.suffix[1:].upper()} file", 1, 2)
    (write_dxf if path.suffix == ".dxf" else write_pdf)(sheets, path)


def _order(frame: Frame, path: Path, tell: Tell) -> None:
    tell("planning the cuts", 0, 1)
    from frame3d.build import build_takeoff, taken_off

    made = build_takeoff(taken_off(frame), path.parent / "order")
    next(file for file in made if file.suffix == ".xlsx").rename(path)


def _everything(frame: Frame, path: Path, tell: Tell) -> None:
    from frame3d.build import build_frame

    result = build_frame(frame, path.parent / "build", tell)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for done, file in enumerate(result.files):
            tell(f"packing {file.name}", done, len(result.files))
            archive.write(file, file.name)
            file.unlink()


_MAKERS: dict[str, Callable[[Frame, Path, Tell], None]] = {
    "step": _step, "stl": _mesh, "glb": _mesh, "dxf": _sheets, "pdf": _sheets, "xlsx": _order,
    "zip": _everything,
}  # fmt: skip
