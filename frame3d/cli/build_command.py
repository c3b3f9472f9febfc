"""``frame3d build``: every file of a design; ``frame3d compare``: what differs between two."""

from __future__ import annotations

import enum
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import (
    FAULT,
    end_with,
    faults_told,
    frames_of,
    out_folder,
    usage_fault,
)
from frame3d.cli.show import progress_bar, say, show_build, show_cautions, show_grid, tell
from frame3d.cli.survey_options import BuiltFile, LevelsFile, MeasuredFile
from frame3d.errors import DesignFaults

if TYPE_CHECKING:
    from frame3d.building import BuildResult
    from frame3d.frame.model.members import Frame


class OneOutput(enum.Enum):
    """What can be made by itself."""

    MODEL = "model"
    IFC = "ifc"
    SHEETS = "sheets"
    PARTS = "parts"
    TAKEOFF = "takeoff"
    ORDER = "order"
    GUIDE = "guide"
    VIEW = "view"


@app.command()
def build(
    designs: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="DESIGN", help="Design files. With none, the two examples are built."
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for the files; several designs get one folder each inside it. "
            "Default: outputs/NAME in this folder, where NAME is that of the design "
            "file.",
            show_default=False,
        ),
    ] = None,
    only: Annotated[
        list[OneOutput] | None,
        typer.Option(
            help="Make only this; may be repeated. Other files of an earlier build are kept.",
            show_default=False,
        ),
    ] = None,
    since: Annotated[
        Path | None,
        typer.Option(
            metavar="OLD",
            help="Folder of an older build, or its summary.json: parts that have not changed keep "
            "their marks, and cover, part sheets and schedules say what has. For one design; with "
            "--only, the folder must not hold files with other marks.",
            show_default=False,
        ),
    ] = None,
    levels: LevelsFile = None,
    measured: MeasuredFile = None,
    built: BuiltFile = None,
    workers: Annotated[
        int | None,
        typer.Option(
            min=1,
            metavar="COUNT",
            help="Processes that share the work; 1 is slower and needs less memory. "
            "Default: two, where there are two cores.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Make everything for a design: model, drawings, take-off, guide, view and summary."""
    with faults_told():
        from frame3d.examples import example_paths
        from frame3d.processes import tidy_seldom

        tidy_seldom()
        paths = list(designs or example_paths().values())
        if since is not None and len(paths) != 1:
            raise usage_fault("--since is for one design; name one design")
        lists = {"levels": levels, "measured": measured, "built": built}
        if any(lists.values()) and len(paths) != 1:
            raise usage_fault(
                "--levels, --measured and --built are for one design; name one, or name the lists "
                "in [staking] of each"
            )
        folders = _folders(paths, out, alone=designs is not None and len(paths) == 1)
        # All of them before the first is built: a fault in one leaves everything untouched.
        frames = frames_of(paths, since, lists)
        _check_lists(paths, frames)
        statuses, uncut = [], 0
        for frame, folder in zip(frames, folders, strict=True):
            result = _with_progress(frame, folder, only or (), workers)
            show_build(result, folder)
            statuses.append(result.status)
            uncut += result.takeoff.uncut
        show_cautions()
        end_with(*statuses, uncut=uncut)


@app.command()
def compare(
    old: Annotated[Path, typer.Argument(metavar="OLD", help="The design file as it was.")],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The design file as it is now.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON and nothing else.")
    ] = False,
) -> None:
    """Compare two designs part by part: same, moved, changed, new, gone. Writes nothing.

    It says which parts that were made for the old design still fit. Exit status: 0 whatever
    differs, 2 a design is not valid, 3 the computer failed.
    """
    with faults_told():
        from frame3d.frame.revisions.comparison import compared
        from frame3d.frame.revisions.telling import (
            FIT_HEADS,
            HARDWARE_HEADS,
            HEADS,
            LINES,
            change_rows,
            comparison_text,
            fit_rows,
            hardware_rows,
            headline,
        )

        found = compared(*frames_of([old, new]))
        if as_json:
            sys.stdout.write(comparison_text(found))
            return
        show_grid(HEADS, change_rows(found), title="Made parts")
        if hardware := hardware_rows(found):
            show_grid(HARDWARE_HEADS, hardware, title="Hardware in other quantities")
        show_grid(FIT_HEADS, fit_rows(found), title="Parts already made for the old design")
        to_make = ", ".join(f"{count} × {mark}" for mark, count in found.to_make)
        say(
            f"Still to make for the new design: {to_make}."
            if to_make
            else "Nothing is left to make."
        )
        for line in LINES:
            say(line)
        say(headline(found))


def _check_lists(paths: list[Path], frames: list[Frame]) -> None:
    """Read the price and stock lists of the designs; the faults of all are told together."""
    from frame3d.building import lists_of

    failed = False
    for path, frame in zip(paths, frames, strict=True):
        try:
            lists_of(frame)
        except DesignFaults as error:
            failed = True
            for fault in error.faults:
                tell(
                    f"{path}: {fault}"
                    if error.source == path.name
                    else f"{path.parent / error.source}: {fault}"
                )
    if failed:
        raise typer.Exit(FAULT)


def _folders(paths: list[Path], out: Path | None, *, alone: bool) -> list[Path]:
    if out is not None and alone:
        return [out]
    base = Path("outputs") if out is None else out
    folders = [base / path.stem for path in paths]
    for folder in folders:
        if folders.count(folder) > 1:
            raise usage_fault(
                f"two designs would be built into the same folder, {folder}; rename one of "
                "the design files, or build them one at a time with --out"
            )
    return folders


def _with_progress(
    frame: Frame, folder: Path, only: Sequence[OneOutput], workers: int | None
) -> BuildResult:
    from frame3d.building import build_frame

    name, names = frame.design.project.name, [one.value for one in only]
    with progress_bar(name, f"{name}: ") as told:
        return build_frame(frame, folder, told, only=names, workers=workers)
