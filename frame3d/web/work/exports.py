"""Files to take away, made one at a time: model, drawings, take-off, or all of them in a ZIP.

Each is made as a build makes it and holds the same bytes. What is handed over is called after
the project: ``<project>-sheets.pdf``, ``<project>.zip`` with one folder ``<project>`` in it.
"""

from __future__ import annotations

import re
import shutil
import unicodedata
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct, field

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import status_of
from frame3d.design.reading.user_lists import GivenLists
from frame3d.errors import DesignFaults, Fault, Frame3dError, machine_reason
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.model.members import Frame
from frame3d.frame_set import frame_set_of, lists_of, sheets_of, surveyed
from frame3d.summary import main_figures
from frame3d.units.data_tables import Json
from frame3d.web.requests.given import given_from
from frame3d.web.work.read_designs import NAME, frame_of

Tell = Callable[[str, int, int], None]
Lacking = Sequence[Unmade]
"""What the model lacks, as each maker tells it."""
_ODD = re.compile(r"[^A-Za-z0-9_-]+")
_LONGEST_STEM = 60
_CHUNK = 2**20
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
"""Of every file in a ZIP, the earliest that there is: the same set gives the same bytes."""


class ExportKind(Struct, frozen=True, kw_only=True):
    """A kind of file: what it is called in a build or besides, its meaning, its media type.

    Parameters
    ----------
    file, meaning, media : str
    use : str
        What it is for, which is where the page offers it.
    listed : bool
        False for one that has a place of its own on the page.
    """

    file: str
    meaning: str
    media: str
    use: str
    listed: bool = True


_HTML, _PDF, _ZIP = "text/html", "application/pdf", "application/zip"
_SEND, _BUILD, _ORDER, _CAD = "To send", "To build by", "To order by", "For other programs"

KINDS: dict[str, ExportKind] = {
    "view": ExportKind(
        file="view.html", meaning="The frame to turn, in one file that opens in any browser",
        media=_HTML, use=_SEND,
    ),
    "zip": ExportKind(
        file="build.zip", meaning="Every file of a build, and the design", media=_ZIP, use=_SEND
    ),
    "guide": ExportKind(
        file="guide.html", meaning="How to put it up, for the phone", media=_HTML, use=_BUILD
    ),
    "guide_pdf": ExportKind(
        file="guide.pdf", meaning="How to put it up, to print", media=_PDF, use=_BUILD
    ),
    "pdf": ExportKind(file="sheets.pdf", meaning="Sheets to print", media=_PDF, use=_BUILD),
    "site": ExportKind(
        file="site.zip", meaning="Points, tables and sheets for layout, with your surveys",
        media=_ZIP, use=_BUILD,
    ),
    "xlsx": ExportKind(
        file="takeoff.xlsx", meaning="Take-off to order and cut from",
        media="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", use=_ORDER,
    ),
    "requests": ExportKind(
        file="requests.zip", meaning="Requests for quotation, one for each kind of supplier",
        media=_ZIP, use=_ORDER,
    ),
    "labels": ExportKind(
        file="labels.pdf", meaning="Labels for every part that is made", media=_PDF, use=_ORDER
    ),
    "step": ExportKind(
        file="model.step", meaning="Exact model for CAD programs", media="model/step", use=_CAD
    ),
    "stl": ExportKind(
        file="model.stl", meaning="Triangles in millimetres", media="model/stl", use=_CAD
    ),
    "glb": ExportKind(
        file="model.glb", meaning="Model for viewers", media="model/gltf-binary", use=_CAD
    ),
    "ifc": ExportKind(
        file="model.ifc", meaning="Model for building planners (IFC 4)",
        media="application/x-step", use=_CAD,
    ),
    "dxf": ExportKind(
        file="sheets.dxf", meaning="Drawings at full size", media="image/vnd.dxf", use=_CAD
    ),
    "loads": ExportKind(
        file="loads.zip", meaning="The comparison under the same loads", media=_ZIP, use="",
        listed=False,
    ),
}  # fmt: skip
"""What can be asked for, in the order in which the page offers it."""


class _Job(Struct, frozen=True, kw_only=True):
    """What a file is made from, and where."""

    frame: Frame
    text: str
    given: GivenLists
    path: Path
    tell: Tell
    against: str
    """Another design, packed as lists are; empty for none."""
    shown: dict[str, Json] = field(default_factory=dict)
    """What the page shows besides, where a maker puts it there."""


def project_stem(frame: Frame) -> str:
    """The project's name as a name for files: letters, digits, ``-`` and ``_``."""
    plain = unicodedata.normalize("NFKD", frame.design.project.name)
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    return _ODD.sub("_", plain)[:_LONGEST_STEM].strip("_") or "frame"


def make_file(
    text: str, lists: str, kind: str, folder: str, tell: Tell, against: str = ""
) -> dict[str, Json]:
    """Make one file in ``folder``, which the server chose and will remove.

    Parameters
    ----------
    text, lists : str
        The design, and the lists that came with it as :mod:`frame3d.web.requests.given` packs them.
    kind, folder : str
    tell : callable
    against : str
        The design to compare with, as :func:`frame3d.web.requests.given.packed_design` packs it.

    Returns
    -------
    dict
        ``path``, as text, ``name``, under which it is to be saved, ``bytes``, ``lacks``, a
        sentence for each part that the model does not show as it is, and ``shown``, what of it
        the page shows.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, a list has faults, or the file cannot be made of it.
    """
    given = given_from(lists)
    frame = surveyed(frame_of(text), given)
    path = Path(folder) / KINDS[kind].file
    job = _Job(frame=frame, text=text, given=given, path=path, tell=tell,
               against=against)  # fmt: skip
    try:
        unmade = _MAKERS[kind](job)
    except DesignFaults:
        raise
    except (Frame3dError, OSError) as error:
        message = str(error)
        if isinstance(error, OSError) and (reason := machine_reason(error)):
            message = f"the file cannot be made: on the page's computer {reason}"
        elif not isinstance(error, Frame3dError):
            raise
        raise DesignFaults([Fault(where="", message=message)], NAME) from error
    stem = project_stem(frame)
    name = f"{stem}.zip" if kind == "zip" else f"{stem}-{path.name}"
    return {
        "path": str(path), "name": name, "bytes": path.stat().st_size,
        "lacks": [one.words for one in unmade], "shown": job.shown,
    }  # fmt: skip


def _model(job: _Job) -> Lacking:
    job.tell("loading", 0, 1)
    from frame3d.solids.write.model_files import make_model, write_model_file

    model = make_model(job.frame, job.tell)
    job.tell(f"writing the {job.path.suffix[1:].upper()} file", 0, 1)
    write_model_file(job.frame, model, job.path)
    return model.unmade


def _ifc(job: _Job) -> Lacking:
    job.tell("planning the cuts", 0, 1)
    from frame3d.build_jobs import make_ifc

    whole = frame_set_of(job.frame, lists_of(job.frame, job.given))
    make_ifc(whole, job.path, None, job.tell)
    return ()


def _sheets(job: _Job) -> Lacking:
    """The set of a build, whose cover tells what the model lacks, so that is made before."""
    job.tell("loading", 0, 3)
    from frame3d.sheets.write.dxf_write import write_dxf
    from frame3d.sheets.write.pdf_write import write_pdf
    from frame3d.solids.write.model_files import make_model

    unmade = make_model(job.frame, job.tell).unmade
    job.tell("planning the cuts", 0, 3)
    whole = frame_set_of(job.frame, lists_of(job.frame, job.given), unmade)
    job.tell("drawing the sheets", 1, 3)
    sheets = sheets_of(whole)
    job.tell(f"writing the {job.path.suffix[1:].upper()} file", 2, 3)
    (write_dxf if job.path.suffix == ".dxf" else write_pdf)(sheets, job.path)
    return unmade


def _checked(job: _Job) -> tuple[Sequence[Finding], SetStatus]:
    """What the checks find, and what stands against building from it."""
    found = check_frame(job.frame)
    return found, status_of(found, missing=lists_of(job.frame, job.given).missing)


def _view(job: _Job) -> Lacking:
    job.tell("checking", 0, 1)
    from frame3d.view.view_page import view_page

    found, status = _checked(job)
    page = view_page(job.frame, found, main_figures(job.frame), status)
    job.path.write_text(page, encoding="utf-8", newline="\n")
    return ()


def _guide(job: _Job) -> Lacking:
    job.tell("writing the guide", 0, 1)
    from frame3d.build_jobs import make_guide

    make_guide(job.frame, job.path.parent, _checked(job)[1])
    return ()


def _requests(job: _Job) -> Lacking:
    job.tell("planning the cuts", 0, 1)
    from frame3d.design.tables.general import OrderFiles
    from frame3d.ordering.order_files import write_order

    whole = frame_set_of(job.frame, lists_of(job.frame, job.given))
    folder = job.path.parent / "requests"
    folder.mkdir()
    names = write_order(whole.takeoff, folder, (OrderFiles.REQUESTS,))
    _pack(job, folder, [folder / name for name in names])
    return ()


def _labels(job: _Job) -> Lacking:
    job.tell("writing the labels", 0, 1)
    from frame3d.ordering.labels import label_pages

    job.path.write_bytes(label_pages(job.frame))
    return ()


def _order(job: _Job) -> Lacking:
    job.tell("planning the cuts", 0, 1)
    from frame3d.single_builds import build_takeoff

    whole = frame_set_of(job.frame, lists_of(job.frame, job.given))
    made = build_takeoff(whole.takeoff, job.path.parent / "order")
    next(file for file in made if file.name == job.path.name).rename(job.path)
    return ()


def _site(job: _Job) -> Lacking:
    job.tell("setting out", 0, 1)
    from frame3d.single_builds import build_site
    from frame3d.site.survey import located, site_of

    site = located(site_of(job.frame, status_of(check_frame(job.frame))))
    folder = job.path.parent / "site"
    files, _ = build_site(site, folder)
    _pack(job, folder, files)
    return ()


def _everything(job: _Job) -> Lacking:
    from frame3d.building import build_frame

    folder = job.path.parent / "build"
    lists = lists_of(job.frame, job.given)
    result = build_frame(job.frame, folder, job.tell, lists, workers=1)
    design = folder / f"{project_stem(job.frame)}.toml"
    design.write_bytes(job.text.encode("utf-8", "replace"))
    _pack(job, folder, (*result.files, design))
    return result.unmade


def _loads(job: _Job) -> Lacking:
    job.tell("loading", 0, 1)
    from frame3d.loads.comparison import compared
    from frame3d.single_builds import build_loads
    from frame3d.web.work.load_answers import other_frame, shown

    found = compared(job.frame, other_frame(job.against), job.tell, lists=job.given)
    folder = job.path.parent / "loads"
    _pack(job, folder, build_loads(found, folder))
    job.shown.update(shown(found))
    return ()


def _pack(job: _Job, folder: Path, files: Sequence[Path]) -> None:
    """Move ``files`` in ``folder`` into a ZIP, under one folder with the project's name."""
    stem = project_stem(job.frame)
    with zipfile.ZipFile(job.path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for done, file in enumerate(files):
            job.tell(f"packing {file.name}", done, len(files))
            inside = zipfile.ZipInfo(f"{stem}/{file.relative_to(folder).as_posix()}", _ZIP_TIME)
            inside.external_attr = 0o644 << 16
            inside.compress_type, inside.file_size = zipfile.ZIP_DEFLATED, file.stat().st_size
            with file.open("rb") as source, archive.open(inside, "w") as target:
                shutil.copyfileobj(source, target, _CHUNK)
            file.unlink()


_MAKERS: dict[str, Callable[[_Job], Lacking]] = {
    "step": _model, "stl": _model, "glb": _model, "ifc": _ifc, "dxf": _sheets, "pdf": _sheets,
    "xlsx": _order, "site": _site, "zip": _everything, "loads": _loads,
    "view": _view, "guide": _guide, "guide_pdf": _guide, "requests": _requests, "labels": _labels,
}  # fmt: skip
