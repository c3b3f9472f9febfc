"""``frame3d guide``: the steps to put a frame up by, as a page and for print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import end_with, faults_told, frames_of, out_folder
from frame3d.cli.show import show_cautions, show_table, size_text
from frame3d.cli.survey_options import BuiltFile, LevelsFile, MeasuredFile


@app.command()
def guide(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    out: Annotated[
        Path,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for guide.html, guide.pdf and the inspection record (PDF, CSV).",
        ),
    ] = Path("."),
    since: Annotated[
        Path | None,
        typer.Option(
            metavar="BUILD",
            help="Folder of an older build, or its summary.json, whose marks are kept: give here "
            "what you give to build.",
            show_default=False,
        ),
    ] = None,
    levels: LevelsFile = None,
    measured: MeasuredFile = None,
    built: BuiltFile = None,
) -> None:
    """Write the assembly guide: steps, parts, measurements to check, drawings."""
    with faults_told():
        from frame3d.single_builds import build_guide

        lists = {"levels": levels, "measured": measured, "built": built}
        (frame,) = frames_of([design], since, lists)
        files, status = build_guide(frame, out)
        show_table(
            [(path.name, size_text(path)) for path in files], title=f"Files in {out}", right=True
        )
        show_cautions()
        end_with(status)
