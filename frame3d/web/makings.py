"""Files to take away, made one at a time: model, drawings, take-off, or all of them in a ZIP."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct

from frame3d.errors import DesignFaults, Fault, Frame3dError
from frame3d.frame.members import Frame
from frame3d.frame.unmade import Unmade
from frame3d.web.reading import NAME, frame_of

Tell = Callable[[str, int, int], None]
Lacking = Sequence[Unmade]
"""What the model lacks, as each maker tells it."""

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
        ``path``, as text, ``bytes``, and ``lacks``, a sentence for each part that the model
        does not show as it is.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, or the file cannot be made of it.
    """
    frame = frame_of(text)
    path = Path(folder) / f"frame.{KINDS[kind].ending}"
    try:
        unmade = _MAKERS[kind](frame, path, tell)
    except DesignFaults:
        raise
    except Frame3dError as error:
        raise DesignFaults([Fault(where="", message=str(error))], NAME) from error
    return {
        "path": str(path), "bytes": path.stat().st_size, "lacks": [one.words for one in unmade],
    }  # fmt: skip


def _model(frame: Frame, path: Path, tell: Tell) -> Lacking:
    tell("loading", 0, 1)
    from frame3d.solids.model import make_model, write_model_file

    model = make_model(frame, tell)
    tell(f"writing the {path.suffix[1:].upper()} file", 0, 1)
    write_model_file(frame, model, path)
    return model.unmade


def _sheets(frame: Frame, path: Path, tell: Tell) -> Lacking:
    """The set of a build, whose cover tells what the model lacks, so that is made before."""
    tell("loading", 0, 2)
    from frame3d.sheets import draw_sheets, write_dxf, write_pdf
    from frame3d.solids.model import make_model

    unmade = make_model(frame, tell).unmade
    tell("drawing the sheets", 0, 2)
    sheets = draw_sheets(frame, unmade=unmade)
    tell(f"writing the {path.suffix[1:].upper()} file", 1, 2)
    (write_dxf if path.suffix == ".dxf" else write_pdf)(sheets, path)
    return unmade


def _order(frame: Frame, path: Path, tell: Tell) -> Lacking:
    tell("planning the cuts", 0, 1)
    from frame3d.build import build_takeoff, taken_off

    made = build_takeoff(taken_off(frame), path.parent / "order")
    next(file for file in made if file.suffix == ".xlsx").rename(path)
    return ()


def _everything(frame: Frame, path: Path, tell: Tell) -> Lacking:
    from frame3d.build import build_frame

    result = build_frame(frame, path.parent / "build", tell)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for done, file in enumerate(result.files):
            tell(f"packing {file.name}", done, len(result.files))
            archive.write(file, file.name)
            file.unlink()
    return result.unmade


_MAKERS: dict[str, Callable[[Frame, Path, Tell], Lacking]] = {
    "step": _model, "stl": _model, "glb": _model, "dxf": _sheets, "pdf": _sheets, "xlsx": _order,
    "zip": _everything,
}  # fmt: skip
