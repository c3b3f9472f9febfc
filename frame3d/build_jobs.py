"""The jobs of a build: each makes some of its files in a folder, here or in another process."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from frame3d.checks.report import report_of, report_text
from frame3d.design.tables.whole_design import OrderFiles
from frame3d.errors import MachineError, OutputError
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Unmade
from frame3d.frame.describe.wording import fine_lengths, lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame_set import FrameSet, drawn_on, sheets_of
from frame3d.guide import GUIDE_FILES
from frame3d.ordering.work_tables import work_tables
from frame3d.side_process import Tell
from frame3d.site.write.site_files import write_stakes
from frame3d.solids.pictures.render import PICTURES, drawing
from frame3d.staging import stop_later, unwritable, write_text
from frame3d.summary import main_figures
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.takeoff_files import CREW_FILES, TAKEOFF_FILES, write_takeoff
from frame3d.units import LengthText
from frame3d.units.data_tables import DataTable
from frame3d.view.light_shells import shells_of, signs_of
from frame3d.view.view_page import view_page

VIEW, CLEARANCE = "view.html", "clearance.svg"
FOUND = ("findings.json", "stakes.csv")
"""What is written of every build as a whole."""
FILES_OF = {
    "model": ("model.step", "model.stl", "model.glb"),
    "ifc": ("model.ifc",),
    "view": (*PICTURES, VIEW),
    "sheets": ("sheets.dxf", "sheets.pdf", CLEARANCE),
    "parts": (),
    "guide": GUIDE_FILES,
    "takeoff": (*TAKEOFF_FILES, *CREW_FILES),
    "order": (),
}
"""What can be made by itself, and its files; those in ``FOLDERS`` besides."""
FOLDERS = ("sheets", "parts", "order")
"""Folders of a build: one SVG for each sheet and the sets printed apart, one DXF for each part,
requests for quotation and labels."""


class Made(Struct, frozen=True, kw_only=True):
    """Files besides the usual ones, what sheets could not show as wanted, and notes.

    ``drawn_on`` is the sheet of each part, by its mark.
    """

    names: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    drawn_on: dict[str, str] = {}  # msgspec gives each its own


def make_model(frame: Frame, staging: Path, tell: Tell) -> tuple[tuple[Unmade, ...], str]:
    """Write the model; the parts that it does not show as they are, and a note of its triangles."""
    tell("loading", 0, 1)
    # Only here: loading the kernel takes longer than laying out a frame.
    with stop_later():
        from frame3d.solids.write.model_files import write_model

    model, output = write_model(frame, staging, tell), frame.design.output
    form = fine_lengths(lengths_of(frame))
    return model.unmade, (
        "triangles of model.stl and model.glb are within "
        f"{LengthText(form).least(output.mesh_tolerance)} and {form.angle(output.mesh_angle)} of "
        "the surfaces, and enclose "
        f"{100 * model.lost_share(frame):.2f} % less than the solids"
    )


def write_found(whole: FrameSet, staging: Path) -> None:
    """Write what the checks found, and the points to stake out on level ground."""
    found, stakes = (staging / name for name in FOUND)
    write_text(found, report_text(report_of(whole.frame, whole.checks)))
    try:
        write_stakes(whole.frame, stakes, whole.status)
    except OSError as error:
        raise unwritable(staging, error) from error


def draw_takeoff(takeoff: Takeoff, staging: Path, more: Sequence[DataTable] = ()) -> None:
    """Write the files of a take-off, with bundles, hours and ``more`` tables."""
    try:
        write_takeoff(takeoff, staging, (*work_tables(takeoff.frame), *more))
    except OSError as error:
        raise unwritable(staging, error) from error


def make_ifc(whole: FrameSet, path: Path, sheets: Mapping[str, str] | None, tell: Tell) -> None:
    """Write the model as IFC; where ``sheets`` are not known they are drawn first."""
    with stop_later():
        from frame3d.ifc.model_ifc import write_ifc

    if sheets is None:
        tell("drawing the sheets", 0, 1)
        sheets = drawn_on(whole)
    tell(f"writing {path.name}", 0, 1)
    write_ifc(whole.frame, path, sheets)


def make_guide(frame: Frame, staging: Path, status: SetStatus) -> None:
    """Write the guide to put a frame up by."""
    # Only here: its drawings load what a take-off does not wait for.
    with stop_later():
        from frame3d.guide.write.guide_files import write_guide

    try:
        write_guide(frame, staging, status)
    except OSError as error:
        raise unwritable(staging, error) from error


def _sheets(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    with stop_later():
        from frame3d.sheets.write.sheet_files import write_sheet_files

    tell("drawing the sheets", 0, 1)
    sheets = sheets_of(whole)
    names = write_sheet_files(sheets, staging, lambda name: tell(f"writing {name}", 0, 1))
    note = (
        f"{CLEARANCE} was not written: no clearance view fits on the paper; choose a larger "
        "sheet_size"
    )
    return Made(
        names=names,
        findings=tuple(str(finding) for finding in sheets.findings),
        notes=() if CLEARANCE in names else (note,),
        drawn_on=drawn_on(whole, sheets),
    )


def _parts(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    with stop_later():
        from frame3d.sheets.write.part_files import write_parts

    def told(done: int, total: int) -> None:
        tell("drawing the parts", done, total)

    return Made(names=write_parts(whole.frame, staging, told))


def _takeoff(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    tell("writing the take-off", 0, 1)
    draw_takeoff(whole.takeoff, staging)
    return Made()


def _order(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    """Requests and labels: those that the design asks for, or all where they are made alone."""
    from frame3d.ordering.order_files import write_order

    tell("writing requests and labels", 0, 1)
    folder, wanted = staging / "order", whole.frame.design.output.order_files or tuple(OrderFiles)
    try:
        folder.mkdir(exist_ok=True)
        names = write_order(whole.takeoff, folder, wanted)
    except OSError as error:
        raise unwritable(staging, error) from error
    return Made(names=tuple(f"order/{name}" for name in names))


def _guide(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    tell("writing the guide", 0, 1)
    make_guide(whole.frame, staging, whole.status)
    return Made()


def _view(whole: FrameSet, staging: Path, tell: Tell) -> Made:
    """Make view.html; the pictures are drawn meanwhile."""
    frame = whole.frame
    tell(f"writing {VIEW}", 0, 1)
    page = view_page(frame, whole.checks, main_figures(frame), whole.status)
    write_text(staging / VIEW, page)
    return Made()


@contextlib.contextmanager
def pictures(frame: Frame, staging: Path) -> Iterator[Callable[[], Made]]:
    """Begin to draw the pictures; gives what waits for them, and notes why there are none."""
    # Light shapes: the exact ones take ten times as long to draw and look the same.
    with drawing(shells_of(frame), staging, signs_of(frame)) as finish:

        def made() -> Made:
            try:
                finish()
            except MachineError:
                raise
            except OutputError as error:
                return Made(notes=(str(error),))
            return Made()

        yield made


JOBS: dict[str, Callable[[FrameSet, Path, Tell], Made]] = {
    "sheets": _sheets, "takeoff": _takeoff, "view": _view, "parts": _parts, "guide": _guide,
    "order": _order,
}  # fmt: skip
"""All but the model and the pictures, the longest first."""
