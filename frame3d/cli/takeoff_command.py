"""``frame3d takeoff``: what to order and how to cut it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import end_with, faults_told, frames_of, out_folder
from frame3d.cli.show import show_cautions, show_order, show_table, size_text


@app.command()
def takeoff(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON only.")] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for the workbook, JSON, CSV and the cutting picture. Without it, "
            "nothing is written.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """List what to order and how to cut it: tube, boards, hardware, weights, cost."""
    with faults_told():
        from frame3d.building import build_takeoff, frame_set_of, lists_of
        from frame3d.takeoff.write.takeoff_files import takeoff_text

        (frame,) = frames_of([design])
        whole = frame_set_of(frame, lists_of(frame))
        found = whole.takeoff
        files = build_takeoff(found, out) if out is not None else ()
        if as_json:
            sys.stdout.write(takeoff_text(found))
            end_with(whole.status)
            return
        show_order(found)
        if files:
            show_table(
                [(path.name, size_text(path)) for path in files],
                title=f"Files in {out}",
                right=True,
            )
        show_cautions()
        end_with(whole.status)
