"""``frame3d loads``: a design compared with another; a model for the engineer."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import faults_told, frames_of, out_folder, usage_fault
from frame3d.cli.show import progress_bar, say, show_grid, show_table, size_text

if TYPE_CHECKING:
    from frame3d.frame.model.members import Frame
    from frame3d.loads.comparison import Comparison


@app.command()
def loads(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    against: Annotated[
        Path | None,
        typer.Option(
            metavar="OTHER",
            help="The design file to compare with. Without it, only changes to the design "
            "itself are compared.",
            show_default=False,
        ),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON and nothing else.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for PDF, JSON, CSV and the picture. Without it, nothing is written.",
            show_default=False,
        ),
    ] = None,
    model: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Write the model for an engineer into this folder, and compare nothing unless "
            "--against is given too.",
            show_default=False,
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(
            min=1,
            metavar="COUNT",
            help="Processes that share the work. Default: two, where there are two cores.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Compare a design with another under the same loads; write a model for an engineer.

    Nothing here says what a frame can carry. Loads, foundations and permits are for local codes and
    a licensed professional.
    """
    with faults_told():
        from frame3d.loads import one_thread

        if as_json and model is not None and against is None:
            raise usage_fault(
                "--model writes files and has nothing to print as JSON; leave one out"
            )
        one_thread()
        frames = frames_of([design] if against is None else [design, against])
        if model is not None:
            _write_model(frames[0], model, quiet=as_json)
            if against is None and out is None:
                return
        found = _with_progress(frames, workers)
        from frame3d.loads.write.record import record_text
        from frame3d.single_builds import build_loads

        files = build_loads(found, out) if out is not None else ()
        if as_json:
            sys.stdout.write(record_text(found))
            return
        _show(found)
        if files:
            rows = [(path.name, size_text(path)) for path in files]
            show_table(rows, title=f"Files in {out}", right=True)


def _write_model(frame: Frame, folder: Path, *, quiet: bool) -> None:
    from frame3d.loads.cautions import CAUTIONS, NOT_COVERED
    from frame3d.single_builds import build_engineer_model

    files = build_engineer_model(frame, folder)
    if quiet:
        return
    say("Caution: " + " ".join((*CAUTIONS, NOT_COVERED)))
    rows = [(path.name, size_text(path)) for path in files]
    show_table(rows, title=f"For the engineer, in {folder}", right=True)


def _show(found: Comparison) -> None:
    from frame3d.loads.cautions import CAUTIONS
    from frame3d.loads.write.words import basis, cautions, grids

    say("Caution: " + " ".join(cautions(found)))
    for text in found.notes:
        say(f"Note: {text}")
    for grid in grids(found):
        show_grid(grid.header, grid.rows, title=grid.title, whole=grid.key != "changes")
        say(grid.note)
    for text in basis(found.frame.design.loads, found):
        say(f"Note: {text}")
    # Once more at the end, which is what stays in sight in a terminal.
    say("Caution: " + " ".join(CAUTIONS))


def _with_progress(frames: list[Frame], workers: int | None) -> Comparison:
    from frame3d.loads.comparison import compared

    with progress_bar("comparing") as told:
        return compared(frames[0], frames[1] if len(frames) > 1 else None, told, workers=workers)
